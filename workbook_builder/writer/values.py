"""Turns values of the frames into what a cell can hold."""

from __future__ import annotations

import datetime as dt
import math
import re
from contextlib import suppress
from typing import TYPE_CHECKING, Any

import pandas as pd
from xlsxwriter.format import Format

from ..code_tables.model import Field

if TYPE_CHECKING:
    from .sheet_class import PlainFormulaSheet

LONGEST_TEXT = 32767
"""Longest text of a cell."""

BLANK_CELL = "/>"
"""The XML of a cell without a value, behind its style."""

_CONTROL = re.compile("[\x00-\x08\x0b-\x1f]")
_DAY_ZERO = dt.datetime(1899, 12, 30)


def is_blank(value: Any) -> bool:
    """Nothing was entered: None, a missing number or date, or the empty text."""
    return bool(pd.isna(value)) or value == ""


def serial(day: dt.date) -> float:
    """A date as spreadsheets count it, in days."""
    moment = day if isinstance(day, dt.datetime) else dt.datetime(day.year, day.month, day.day)
    return (moment.replace(tzinfo=None) - _DAY_ZERO) / dt.timedelta(days=1)


def amount(value: Any) -> float:
    """A number, 0 for a blank or a text."""
    if is_blank(value) or isinstance(value, str):
        return 0.0
    return float(value)


def cached(value: Any) -> float | str:
    """The last result of a formula; a missing one is the empty text."""
    if is_blank(value):
        return ""
    if isinstance(value, str):
        return _CONTROL.sub(lambda found: f"_x{ord(found[0]):04X}_", value)
    if isinstance(value, dt.date):
        return serial(value)
    number = float(value)
    if not math.isfinite(number):
        return ""
    return int(number) if number.is_integer() and abs(number) < 1e15 else number


def column(frame: pd.DataFrame | None, name: str, rows: int) -> list[float | str]:
    """Last results of one column for every row; 0 everywhere without a frame."""
    if frame is None:
        return [0] * rows
    if name not in frame.columns:
        return [""] * rows
    found = [cached(value) for value in frame[name].tolist()[:rows]]
    return found + [""] * (rows - len(found))


def plain(value: Any) -> str:
    """A value in words, whole numbers without a decimal point."""
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)


def number_cell(number: float) -> str:
    """The XML of a number behind the style of its cell."""
    return f"><v>{number:.16G}</v></c>"


def entry_cell(sheet: PlainFormulaSheet, row: int, field: Field, value: Any) -> str:
    """The XML behind the style of a cell with one input as it was given, in a row from 1.

    An entry of the wrong kind stays visible as it is. Raises ValueError for
    what no cell can hold.
    """
    if is_blank(value):
        return BLANK_CELL
    if isinstance(value, bool):
        return f' t="b"><v>{int(value)}</v></c>'
    if field.kind == "date" and isinstance(value, str):
        with suppress(ValueError):
            value = dt.date.fromisoformat(value)
    if field.kind == "date" and isinstance(value, dt.date):
        value = serial(value)
    if not isinstance(value, int | float):
        value = str(value)
        if len(value) > LONGEST_TEXT:
            raise ValueError(f"row {row}, {field.name}: {len(value)} characters, a cell takes {LONGEST_TEXT}")
        return f' t="s"><v>{sheet.text_number(value)}</v></c>'
    if not math.isfinite(value):
        raise ValueError(f"row {row}, {field.name}: {value}, a cell takes finite numbers")
    return number_cell(float(value))


def write_value(sheet: PlainFormulaSheet, row: int, at: int, value: Any, look: Format) -> None:
    """A number as number, a truth value as such, anything else as text, nothing as an empty cell."""
    if is_blank(value):
        sheet.write_blank(row, at, None, look)
    elif isinstance(value, bool):
        sheet.write_boolean(row, at, value, look)
    elif isinstance(value, int | float):
        sheet.write_number(row, at, value, look)
    else:
        sheet.write_string(row, at, value, look)
