"""Writes a frame of results as CSV or JSON: the whole file or none of it."""

from __future__ import annotations

import json
import math
import re
from datetime import date
from os import PathLike
from pathlib import Path

import pandas as pd

from ..writer.on_disk import replace_file
from .cells import FORMULA_STARTS

_ALSO_FORMULAS = ("\n", "＝", "＋", "－", "＠")
"""A line end and the wide forms of the signs count as formula starts in some programs."""
_QUOTED = re.compile('[",;\r\n]')
_STARTS = "".join(re.escape(sign) for sign in (*FORMULA_STARTS, *_ALSO_FORMULAS))
_RUNS = re.compile(rf"[\s\ufeff\"'\u2018\u2019\u201c\u201d]*[{_STARTS}]")
"""A sign behind spaces or opening quotes counts, too: some programs take those away."""

Plain = str | float | int | bool | None


def write_results(frame: pd.DataFrame, path: str | PathLike[str]) -> None:
    """Writes the columns of a frame; the name's ending, .csv or .json, says how.

    The index is not written. Blanks are empty cells, in JSON null; whole
    numbers have no point. In CSV a text that begins as a formula does gets an
    apostrophe before it, and a file with letters beyond ASCII begins with a
    byte-order mark, without which spreadsheets misread them. A file that is
    there is replaced once the new one is complete. ValueError for another
    ending and for a number that is not finite, OSError where the place cannot
    be written; neither leaves anything behind.
    """
    path = Path(path)
    kind = path.suffix.lower()
    if kind not in (".csv", ".json"):
        raise ValueError(f"{path.name}: results are written as .csv or .json")
    names = [str(name) for name in frame.columns]
    rows = [
        [plain(value, f"{path.name}, {name}") for name, value in zip(names, row, strict=True)]
        for row in frame.itertuples(index=False, name=None)
    ]
    replace_file(path, _csv(names, rows) if kind == ".csv" else _json(names, rows))


def guarded(text: str) -> str:
    """A text that no spreadsheet runs as a formula.

    One apostrophe goes before a text that begins with a sign of FORMULA_STARTS,
    or with spaces and quotes before one. To get the text back, take the
    apostrophe off where what is left begins so.

    >>> guarded("=1+1"), guarded("'=1"), guarded("panel A")
    ("'=1+1", "''=1", 'panel A')
    """
    return "'" + text if _RUNS.match(text) else text


def _csv(names: list[str], rows: list[list[Plain]]) -> bytes:
    """A line that would be empty is a quoted blank, since readers pass over empty lines."""
    lines = [",".join(map(_cell, row)) for row in (names, *rows)]
    text = "".join((line or '""') + "\n" for line in lines)
    return text.encode("utf-8" if text.isascii() else "utf-8-sig")


def _cell(value: Plain) -> str:
    """One cell of CSV; a lone carriage return is quoted too, since readers take it for the end of a row."""
    if not isinstance(value, str):
        return "" if value is None else str(value)
    text = guarded(value)
    return '"' + text.replace('"', '""') + '"' if _QUOTED.search(text) else text


def _json(names: list[str], rows: list[list[Plain]]) -> bytes:
    records = [dict(zip(names, row, strict=True)) for row in rows]
    text = json.dumps(records, ensure_ascii=False, allow_nan=False, indent=1)
    return (text + "\n").encode("utf-8")


def plain(value: object, where: str) -> Plain:
    """A value as JSON can hold it, whole numbers without point; ValueError, with `where`, for any other."""
    if value is None or value is pd.NaT or value is pd.NA:
        return None
    if hasattr(value, "item"):
        value = value.item()
    if isinstance(value, float):
        if math.isnan(value):
            return None
        if math.isinf(value):
            raise ValueError(f"{where}: the number is not finite")
        return int(value) if value.is_integer() and abs(value) < 1e15 else value
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str | int):
        return value
    raise ValueError(f"{where}: {type(value).__name__} is neither number, text nor date")
