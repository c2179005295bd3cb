"""Rows of a grid, written from one template.

The rows of a grid differ in their numbers and values only, and nearly all
cells of a workbook stand in them. So the XML of one row is made once, with
marks where its number goes and gaps where values go, and a row is one join and
one replace. No cell is ever an object of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from math import isnan
from typing import Any, Protocol

import pandas as pd
from xlsxwriter.format import Format
from xlsxwriter.utility import xl_col_to_name

from .values import cached

ROW = "\x00"
"""Stands for the row number in a template; no text of a cell can hold it."""

_GAP = "\x01"
_AT_ONCE = 256
"""Rows that are made at one time."""

_MOST_KNOWN = 100_000
_ERRORS = ("#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!")
_EMPTY = (' t="str"', "")
"""An empty text as last result is written as text, as spreadsheets do."""

_NOTHING_YET = ("", "0")

Pieces = tuple[str, ...]
"""What goes into the gaps of one cell."""


class BlockColumn(Protocol):
    """One column of a block: its place from 0, its look, the XML behind the style with gaps, and what fills them."""

    at: int
    look: Format

    def body(self, escape: Callable[[str], str]) -> str: ...

    def pieces(self, first: int, last: int) -> Sequence[Pieces]: ...


@dataclass(frozen=True)
class CellColumn:
    """Cells without a formula. cells has for each row of the block the XML that follows the style."""

    at: int
    look: Format
    cells: Sequence[str]

    def body(self, escape: Callable[[str], str]) -> str:
        return _GAP

    def pieces(self, first: int, last: int) -> Sequence[Pieces]:
        return [(cell,) for cell in self.cells[first:last]]


@dataclass(frozen=True)
class FormulaColumn:
    """A formula with `{row}` where the row number goes, no equals sign, and the last result of each row."""

    at: int
    look: Format
    formula: str
    results: LastResults

    @property
    def name(self) -> str:
        return self.results.name

    def body(self, escape: Callable[[str], str]) -> str:
        return f"{_GAP}><f>{escape(self.formula.replace('{row}', ROW))}</f><v>{_GAP}</v></c>"

    def pieces(self, first: int, last: int) -> Sequence[Pieces]:
        return self.results.pieces(first, last)


class LastResults:
    """Last results of one column as XML: the type of the cell, and the value.

    Rows beyond the frame are blank; without a frame every result is 0.
    """

    def __init__(
        self, frame: pd.DataFrame | None, name: str, known: dict[Any, Pieces], escape: Callable[[str], str]
    ) -> None:
        """known: values met before, shared by the columns of a sheet."""
        self.name = name
        self._blank = _NOTHING_YET if frame is None else _EMPTY
        self._values = frame[name] if frame is not None and name in frame.columns else None
        self._known, self._escape = known, escape

    def pieces(self, first: int, last: int) -> list[Pieces]:
        known, values = self._known, self._values
        if values is None:
            return [self._blank] * (last - first)
        if len(known) > _MOST_KNOWN:
            known.clear()
        there = values.iloc[first:last].tolist()
        if values.dtype == "float64":
            found = [_EMPTY if isnan(one) else known.get(one) or self._new(one) for one in there]
        else:
            found = [known.get(one) or self._new(one) for one in there]
        return found + [self._blank] * (last - first - len(found))

    def _new(self, value: Any) -> Pieces:
        result = cached(value)
        if not isinstance(result, str):
            made = "", str(result)
        elif result == "":
            made = _EMPTY
        else:
            made = ' t="e"' if result in _ERRORS else ' t="str"', self._escape(result)
        self._known[value] = made
        return made


class RowBlock:
    """Neighbouring rows of the same columns, from `first` (from 0) on."""

    def __init__(self, first: int, count: int, columns: Sequence[BlockColumn]) -> None:
        self.first, self.count = first, count
        self.columns = sorted(columns, key=lambda column: column.at)
        self._parts: list[str] = []

    @property
    def last(self) -> int:
        """The last row, from 0."""
        return self.first + self.count - 1

    @property
    def span(self) -> tuple[int, int]:
        """First and last column, from 0."""
        return self.columns[0].at, self.columns[-1].at

    def set_template(self, row_tag: str, escape: Callable[[str], str]) -> None:
        """Make the template. row_tag: the start tag of a row, with ROW for its number."""
        cells = "".join(
            f'<c r="{xl_col_to_name(column.at)}{ROW}" s="{column.look._get_xf_index()}"{column.body(escape)}'
            for column in self.columns
        )
        self._parts = f"{row_tag}{cells}</row>".replace(_GAP, f"{_GAP}{_GAP}").split(_GAP)

    def xml(self) -> Iterator[str]:
        """The rows in order, some hundred at a time."""
        parts = self._parts
        for start in range(0, self.count, _AT_ONCE):
            end = min(start + _AT_ONCE, self.count)
            rows = zip(*(column.pieces(start, end) for column in self.columns), strict=True)
            made = []
            for number, pieces in enumerate(rows, start=self.first + start + 1):
                parts[1::2] = chain.from_iterable(pieces)
                made.append("".join(parts).replace(ROW, str(number)))
            yield "".join(made)
