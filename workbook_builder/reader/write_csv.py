"""Writes columns of results as CSV or JSON, in pieces or whole."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterable, Mapping, Sequence
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

    >>> guarded("=1+1"), guarded("panel A")
    ("'=1+1", 'panel A')
    """
    return "'" + text if text.startswith(FORMULA_STARTS + _ALSO_FORMULAS) else text


def csv_head(names: Iterable[str]) -> str:
    """The line of the names."""
    return _lines([[guarded(name) for name in names]])


def csv_rows(columns: Mapping[str, np.ndarray | Choice], *, file: str) -> str:
    """A line for each row. file: name of the file in messages."""
    cells = [_cells(column, f"{file}, {name}", guard=True) for name, column in columns.items()]
    return _lines(zip(*cells, strict=True))


def _lines(rows: Iterable[Sequence[Plain]]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue()


JSON_HEAD, JSON_BETWEEN, JSON_END = b"[", b",", b"\n]\n"


def json_rows(columns: Mapping[str, np.ndarray | Choice], *, file: str) -> str:
    """A record for each row, between the head, commas and the end."""
    cells = [_cells(column, f"{file}, {name}", guard=False) for name, column in columns.items()]
    records = [dict(zip(columns, row, strict=True)) for row in zip(*cells, strict=True)]
    return json.dumps(records, ensure_ascii=False, allow_nan=False, indent=1)[1:-2]


def _cells(column: np.ndarray | Choice, where: str, *, guard: bool) -> list[Plain]:
    """A column as plain values. guard: as CSV has texts."""
    if isinstance(column, Choice):
        words = [guarded(word) if guard else word for word in column.words]
        return np.array([*words, "invalid", ""], dtype=object)[column.codes].tolist()
    if column.dtype == np.float64:
        return _numbers(column, where)
    values = [_plain(value, where) for value in column.tolist()]
    return [guarded(value) if isinstance(value, str) else value for value in values] if guard else values


def _numbers(column: np.ndarray, where: str) -> list[Plain]:
    if np.isinf(column).any():
        raise ValueError(f"{where}: the number is not finite")
    blank = np.isnan(column)
    whole = (column == np.floor(column)) & (np.abs(column) < 1e15)
    values = column.astype(object)
    values[whole] = column[whole].astype(np.int64).astype(object)
    values[blank] = None
    return values.tolist()


def _plain(value: object, where: str) -> Plain:
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
