"""Writes columns of results as CSV or JSON, in pieces or whole."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from os import PathLike
from pathlib import Path

import numpy as np
import pandas as pd

from ..reference.choice import Choice
from ..writer.on_disk import replace_file
from .cells import FORMULA_STARTS

_ALSO_FORMULAS = ("\n", "＝", "＋", "－", "＠")
"""A line end and the wide forms of the signs count as formula starts in some programs."""
_QUOTED = re.compile('[",;\r\n]')
_STARTS = "".join(re.escape(sign) for sign in (*FORMULA_STARTS, *_ALSO_FORMULAS))
_RUNS = re.compile(rf"[\s\ufeff\"'\u2018\u2019\u201c\u201d]*[{_STARTS}]")
"""A sign behind spaces or opening quotes counts, too: some programs take those away."""
BYTE_ORDER_MARK = b"\xef\xbb\xbf"

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
    columns = {str(name): frame[name].to_numpy() for name in frame.columns}
    if kind == ".csv":
        text = csv_head(list(columns)) + csv_rows(columns, file=path.name)
        replace_file(path, text.encode("utf-8" if text.isascii() else "utf-8-sig"))
    else:
        replace_file(path, JSON_HEAD + json_rows(columns, file=path.name).encode() + JSON_END)


def guarded(text: str) -> str:
    """A text that no spreadsheet runs as a formula.

    One apostrophe goes before a text that begins with a sign of FORMULA_STARTS,
    or with spaces and quotes before one. To get the text back, take the
    apostrophe off where what is left begins so.

    >>> guarded("=1+1"), guarded("'=1"), guarded("panel A")
    ("'=1+1", "''=1", 'panel A')
    """
    return "'" + text if _RUNS.match(text) else text


def csv_head(names: Iterable[str]) -> str:
    """The line of the names."""
    return ",".join(_cell(name) for name in names) + "\n"


def csv_rows(columns: Mapping[str, np.ndarray | Choice], *, file: str) -> str:
    """A line for each row; a single blank cell is quoted, or its row would be none. file: its name in messages."""
    cells = [_cells(column, f"{file}, {name}", _cell) for name, column in columns.items()]
    return "".join((",".join(row) or '""') + "\n" for row in zip(*cells, strict=True))


def _cell(value: Plain) -> str:
    """One cell of CSV; a lone carriage return is quoted too, since readers take it for the end of a row."""
    if not isinstance(value, str):
        return "" if value is None else str(value)
    text = guarded(value)
    return '"' + text.replace('"', '""') + '"' if _QUOTED.search(text) else text


JSON_HEAD, JSON_BETWEEN, JSON_END = b"[", b",", b"\n]\n"


def json_rows(columns: Mapping[str, np.ndarray | Choice], *, file: str) -> str:
    """A record for each row, between the head, commas and the end."""
    cells = [_cells(column, f"{file}, {name}") for name, column in columns.items()]
    records = [dict(zip(columns, row, strict=True)) for row in zip(*cells, strict=True)]
    return json.dumps(records, ensure_ascii=False, allow_nan=False, indent=1)[1:-2]


def _cells(
    column: np.ndarray | Choice, where: str, shown: Callable[[Plain], object] = lambda value: value
) -> list[object]:
    """A column as plain values, each as it is shown."""
    if isinstance(column, Choice):
        words = [shown(word) for word in (*column.words, "invalid", "")]
        return np.array(words, dtype=object)[column.codes].tolist()
    if column.dtype == np.float64:
        return [shown(value) for value in _numbers(column, where)]
    return [shown(plain(value, where)) for value in column.tolist()]


def _numbers(column: np.ndarray, where: str) -> list[Plain]:
    if np.isinf(column).any():
        raise ValueError(f"{where}: the number is not finite")
    blank = np.isnan(column)
    whole = (column == np.floor(column)) & (np.abs(column) < 1e15)
    values = column.astype(object)
    values[whole] = column[whole].astype(np.int64).astype(object)
    values[blank] = None
    return values.tolist()


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
