"""Compares what an engine made of a workbook with what the reference says."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import pandas as pd

from ..sheets.layout import LINE_PRICES, LINE_ROWS, LINE_STATISTICS, Layout, letter
from ..sheets.model import FIRST_ROW, MARK_ROW, CompiledSheet
from .book_values import STOP
from .engines import CellError, Grid
from .engines.cells import position

ABSOLUTE = 2e-6
"""Both entries round at six decimals (hours and variances at twelve); a tie may fall either way in one engine."""
RELATIVE = 1e-9


@dataclass(frozen=True)
class Difference:
    """One cell where workbook and reference differ, or a column that is not there."""

    sheet: str
    cell: str
    column: str
    job: str
    found: object
    expected: object

    def __str__(self) -> str:
        job = f", job {self.job}" if self.job else ""
        return (
            f"{self.sheet}!{self.cell} {self.column}{job}: "
            f"found {_shown(self.found)}, expected {_shown(self.expected)}"
        )


@dataclass(frozen=True)
class Comparison:
    """differences of one engine, and how many cells were compared."""

    cells: int
    columns: int
    differences: tuple[Difference, ...]

    def __add__(self, other: Comparison) -> Comparison:
        return Comparison(
            self.cells + other.cells, self.columns + other.columns, self.differences + other.differences
        )


@dataclass(frozen=True)
class Expected:
    """What one grid should hold: the reference's results, a row for each row of the grid.

    entered says which rows hold any entry at all; places are the rows (from 0)
    to compare, None for all.
    """

    results: pd.DataFrame
    entered: Sequence[bool]
    places: Sequence[int] | None = None

    @property
    def compared(self) -> Sequence[int]:
        return range(len(self.results)) if self.places is None else self.places


def compare(
    grids: Mapping[str, Grid],
    *,
    sheets: Sequence[CompiledSheet],
    expected: Mapping[str, Expected],
    inputs: Mapping[str, tuple[str, str]],
) -> Comparison:
    """Every calculated column of every sheet against the reference.

    grids: recalculated sheets by name. expected: for jobs and for circuits.
    inputs: the input sheet of each of these and the column of row states that
    it repeats.
    """
    differences: list[Difference] = []
    cells = columns = 0
    for sheet in sheets:
        grid, own = grids.get(sheet.name), expected[sheet.grid]
        if grid is None:
            differences.append(Difference(sheet.name, "A1", "", "", "no such sheet", "the sheet"))
            continue
        for number, column in enumerate(sheet.columns, start=2):
            columns += 1
            mark = _at(grid, MARK_ROW, number)
            if mark != column.name:
                differences.append(
                    Difference(sheet.name, f"{letter(number)}{MARK_ROW}", column.name, "", mark, column.name)
                )
                continue
            cells += len(own.compared)
            values = own.results[column.name].tolist()
            differences += _different(grid, own, values, (sheet.name, number, column.name))
    for name, (sheet_name, state) in inputs.items():
        own = expected[name]
        columns, cells = columns + 1, cells + len(own.compared)
        status = list(_statuses(own.results[state], own.entered))
        differences += _different(grids.get(sheet_name, []), own, status, (sheet_name, 1, state))
    return Comparison(cells, columns, tuple(differences))


def compare_cells(
    grids: Mapping[str, Grid], expected: Mapping[str, Mapping[str, object]], layout: Layout
) -> Comparison:
    """Cells of the books against their values; a state that is expected to be STOP may say why.

    A row of Line prices counts as a column.
    """
    differences: list[Difference] = []
    columns: set[tuple[str, str]] = set()
    for sheet, cells in expected.items():
        for cell, value in cells.items():
            row, number = position(cell)
            name = _book_column(layout, sheet, row, number)
            columns.add((sheet, name))
            found = _at(grids.get(sheet, []), row, number)
            if not (agree(found, value) or (value == STOP and str(found).startswith("STOP: "))):
                differences.append(Difference(sheet, cell, name, "", found, value))
    return Comparison(sum(map(len, expected.values())), len(columns), tuple(differences))


def _book_column(layout: Layout, sheet: str, row: int, number: int) -> str:
    """What stands in a column of a book or of the settings, or in a row of Line prices."""
    if sheet == LINE_PRICES:
        first, block = max((first, block) for block, first in LINE_ROWS.items() if first <= row)
        return f"{LINE_STATISTICS[row - first]} of {block}"
    places = {place.sheet: place for place in (*layout.books.values(), layout.settings)}
    return places[sheet].columns[number - 1]


def _different(
    grid: Grid, own: Expected, values: Sequence[object], where: tuple[str, int, str]
) -> Iterator[Difference]:
    """Cells of one column that do not hold their value; where is sheet, column number and name."""
    sheet, number, name = where
    jobs = own.results["job_no"].tolist()
    for place in own.compared:
        found = _at(grid, FIRST_ROW + place, number)
        if not agree(found, values[place]):
            cell = f"{letter(number)}{FIRST_ROW + place}"
            yield Difference(sheet, cell, name, str(jobs[place]), found, values[place])


def agree(found: object, expected: object) -> bool:
    """Whether a cell holds the expected value; blank, "" and NaN are the same.

    >>> agree(None, float("nan")), agree(41.0000001, 41), agree("41", 41.0)
    (True, True, False)
    """
    if isinstance(found, CellError):
        return False
    if _blank(found) or _blank(expected):
        return _blank(found) and _blank(expected)
    if isinstance(found, bool) or isinstance(expected, bool):
        return found is expected
    if isinstance(found, int | float) and isinstance(expected, int | float):
        return math.isclose(found, expected, rel_tol=RELATIVE, abs_tol=ABSOLUTE)
    return type(found) is type(expected) and found == expected


def _statuses(states: Iterable[str], entered: Sequence[bool]) -> Iterator[str]:
    for state, some in zip(states, entered, strict=True):
        yield state if state else "missing: job_no" if some else ""


def _blank(value: object) -> bool:
    return value is None or value == "" or (isinstance(value, float) and math.isnan(value))


def _at(grid: Grid, row: int, column: int) -> object:
    if row > len(grid) or column > len(grid[row - 1]):
        return None
    return grid[row - 1][column - 1]


def _shown(value: object) -> str:
    if _blank(value):
        return "nothing"
    return repr(str(value)) if isinstance(value, str) else f"{value}"
