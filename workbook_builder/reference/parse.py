"""Turns one column of raw cells into numbers, words or texts, and marks what is not valid."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from numbers import Real

import numpy as np
import pandas as pd

from workbook_builder.code_tables.model import Field
from workbook_builder.reference.choice import BLANK, INVALID, Choice

DAY_ZERO = dt.datetime(1899, 12, 30)
LONGEST_JOB_NO = 20


@dataclass(frozen=True)
class Parsed:
    """One column: values (NaN, blank or empty text where none) and masks of blank and invalid.

    values is a float array for numbers and dates, a Choice for words, an
    object array for texts. A mask is None where it would be False everywhere.
    """

    values: np.ndarray | Choice
    blank: np.ndarray | None
    invalid: np.ndarray | None


def parse(field: Field, column: pd.Series | None, rows: int) -> Parsed:
    """The column of a field; None stands for a column that is not there."""
    if field.kind == "choice" and not field.numeric:
        return _words(field, column, rows)
    if field.kind in ("number", "choice"):
        return _numbers(field, column, rows)
    if field.kind == "date":
        return _dates(column, rows)
    if field.name == "job_no":
        return _job_numbers(column, rows)
    return _texts(column, rows)


def is_blank(cell: object) -> bool:
    """An empty text, None and not-a-number are blank cells."""
    return cell is None or (isinstance(cell, str) and cell == "") or cell is pd.NA or cell != cell


def is_number(cell: object) -> bool:
    """A finite number; a truth value is none."""
    return isinstance(cell, Real) and not isinstance(cell, bool | np.bool_) and np.isfinite(cell)


def _any(mask: np.ndarray) -> np.ndarray | None:
    return mask if mask.any() else None


def _plain_numbers(column: pd.Series) -> np.ndarray | None:
    """The column as floats where its type is a number type."""
    kind = column.dtype
    if not pd.api.types.is_numeric_dtype(kind) or pd.api.types.is_bool_dtype(kind):
        return None
    if isinstance(kind, np.dtype) and kind.kind in "fiu":
        return column.to_numpy().astype(np.float64, copy=False)
    return column.to_numpy(dtype=np.float64, na_value=np.nan)


def _cells(column: pd.Series) -> np.ndarray:
    return column.to_numpy(dtype=object)


def _all_text(cells: np.ndarray) -> bool:
    return pd.api.types.infer_dtype(cells, skipna=True) in ("string", "empty")


def _blank_cells(cells: np.ndarray) -> np.ndarray:
    if _all_text(cells):
        return np.where(pd.isna(cells), "", cells) == ""
    return np.fromiter((is_blank(cell) for cell in cells), bool, len(cells))


def _numbers(field: Field, column: pd.Series | None, rows: int) -> Parsed:
    if column is None:
        return Parsed(np.full(rows, np.nan), np.ones(rows, bool), None)
    values = _plain_numbers(column)
    invalid = np.zeros(rows, bool)
    if values is None:
        cells = _cells(column)
        blank = _blank_cells(cells)
        values = np.fromiter((float(cell) if is_number(cell) else np.nan for cell in cells), np.float64, rows)
        invalid = np.isnan(values) & ~blank
    else:
        blank = np.isnan(values)
    with np.errstate(invalid="ignore"):
        invalid = invalid | ~(_in_field(field, values) | np.isnan(values))
    if invalid.any():
        values = np.where(invalid, np.nan, values)
    return Parsed(values, _any(blank), _any(invalid))


def _in_field(field: Field, values: np.ndarray) -> np.ndarray:
    if field.kind == "choice":
        return np.logical_or.reduce([values == choice for choice in field.choices])
    inside = np.isfinite(values)
    if field.minimum is not None:
        inside &= values >= field.minimum
    if field.maximum is not None:
        inside &= values <= field.maximum
    if field.whole:
        inside &= values == np.floor(values)
    return inside


def number_text(value: float) -> str:
    """A number as its text: whole numbers without decimals.

    >>> number_text(14.0), number_text(2.5)
    ('14', '2.5')
    """
    if float(value).is_integer() and abs(value) < 1e15:
        return str(int(value))
    return f"{value:.15g}"


def _code(field: Field, cell: object) -> int:
    if is_blank(cell):
        return BLANK
    text = number_text(cell) if is_number(cell) else cell
    if not isinstance(text, str):
        return INVALID
    for place, choice in enumerate(field.choices):
        if choice.lower() == text.lower():
            return place
    return INVALID


def _words(field: Field, column: pd.Series | None, rows: int) -> Parsed:
    if column is None:
        return Parsed(Choice(field.choices, np.full(rows, BLANK, np.int8)), np.ones(rows, bool), None)
    plain = _plain_numbers(column)
    if isinstance(column.dtype, pd.CategoricalDtype):
        places, cells = column.cat.codes.to_numpy(), list(column.cat.categories)
    elif plain is not None:
        places, found = pd.factorize(plain)
        cells = list(found)
    elif _all_text(_cells(column)):
        places, found = pd.factorize(_cells(column))
        cells = list(found)
    else:
        cells, places = _distinct(_cells(column))
    codes = np.array([*(_code(field, cell) for cell in cells), BLANK], dtype=np.int8)[places]
    return Parsed(Choice(field.choices, codes), _any(codes == BLANK), _any(codes == INVALID))


def _distinct(cells: np.ndarray) -> tuple[list[object], np.ndarray]:
    """Distinct cells by type and value, so that 1 and True stay apart, and the place of each."""
    seen: dict[object, int] = {}
    distinct: list[object] = []
    places = np.empty(len(cells), dtype=np.int64)
    for number, cell in enumerate(cells):
        key = (type(cell), repr(cell))
        if key not in seen:
            seen[key] = len(distinct)
            distinct.append(cell)
        places[number] = seen[key]
    return distinct, places


def _texts(column: pd.Series | None, rows: int) -> Parsed:
    if column is None:
        return Parsed(np.full(rows, "", dtype=object), np.ones(rows, bool), None)
    cells = _cells(column)
    blank = _blank_cells(cells)
    texts = np.where(blank, "", cells)
    if not _all_text(cells):
        texts = np.array([_text(cell) for cell in texts], dtype=object)
    return Parsed(texts, _any(blank), None)


def _text(cell: object) -> str:
    """A cell as text, as a spreadsheet joins it to other text.

    >>> _text(3.0), _text(2.5), _text(True)
    ('3', '2.5', 'TRUE')
    """
    if isinstance(cell, bool | np.bool_):
        return str(cell).upper()
    return number_text(cell) if is_number(cell) else str(cell)


def _serial(cell: object) -> float:
    """A date as a day number of a spreadsheet."""
    if isinstance(cell, np.datetime64):
        cell = pd.Timestamp(cell)
    if isinstance(cell, dt.datetime):
        return (cell.replace(tzinfo=None) - DAY_ZERO) / dt.timedelta(days=1)
    if isinstance(cell, dt.date):
        return float((cell - DAY_ZERO.date()).days)
    return float(cell) if is_number(cell) else np.nan


def _dates(column: pd.Series | None, rows: int) -> Parsed:
    if column is None:
        return Parsed(np.full(rows, np.nan), np.ones(rows, bool), None)
    values = _plain_numbers(column)
    if column.dtype.kind == "M":
        days = column.to_numpy(dtype="datetime64[us]") - np.datetime64(DAY_ZERO, "us")
        values = np.where(np.isnat(days), np.nan, days / np.timedelta64(1, "D"))
        blank = np.isnan(values)
    elif values is None:
        cells = _cells(column)
        blank = _blank_cells(cells)
        days = (np.nan if empty else _serial(cell) for cell, empty in zip(cells, blank, strict=True))
        values = np.fromiter(days, np.float64, rows)
    else:
        blank = np.isnan(values)
    invalid = ~np.isfinite(values) & ~blank
    return Parsed(np.where(invalid, np.nan, values), _any(blank), _any(invalid))


def _job_numbers(column: pd.Series | None, rows: int) -> Parsed:
    if column is None:
        return Parsed(np.full(rows, "", dtype=object), np.ones(rows, bool), None)
    cells = _cells(column)
    blank = _blank_cells(cells)
    if _all_text(cells):
        texts = np.where(blank, "", cells)
        invalid = np.fromiter(map(len, texts), np.int64, rows) > LONGEST_JOB_NO
    else:
        texts = np.array([_job_text(cell) for cell in cells], dtype=object)
        invalid = np.fromiter((text is None for text in texts), bool, rows)
    return Parsed(np.where(invalid, "", texts), _any(blank), _any(invalid))


def _job_text(cell: object) -> str | None:
    """A job number as text; None where it is not one."""
    if is_blank(cell):
        return ""
    text = number_text(cell) if is_number(cell) else cell
    if not isinstance(text, str) or len(text) > LONGEST_JOB_NO:
        return None
    return text
