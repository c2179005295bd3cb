"""Compares what an engine made of a workbook with what the reference says."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import pandas as pd

from ..sheets.layout import (
    LINE_PRICES,
    LINE_ROWS,
    LINE_STATISTICS,
    LOCAL_RULES,
    PARAMETER_COLUMNS,
    Layout,
    letter,
)
from ..sheets.model import FIRST_ROW, CompiledSheet
from .book_values import STOP
from .engines import CellError, Grid
from .engines.cells import position
from .places import SheetPlace

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
    places: Mapping[str, SheetPlace],
) -> Comparison:
    """Every calculated column of every sheet that is there against the reference.

    grids: recalculated sheets by name. expected: for jobs and for circuits.
    inputs: the input sheet of each of these and the column of row states that
    it repeats. places: where the sheets' rows and columns are now; what is not
    there any more is not compared.
    """
    differences: list[Difference] = []
    cells = columns = 0

    def look(own: Expected, sheet: str, number: int, name: str, values: Sequence[object]) -> None:
        nonlocal cells, columns
        place = places.get(sheet)
        if sheet not in grids or place is None or number in place.lost_columns:
            return
        at = [one for one in own.compared if FIRST_ROW + one not in place.lost_rows]
        columns, cells = columns + 1, cells + len(at)
        differences.extend(_different(grids[sheet], own, values, (sheet, number, name), at, place))

    for sheet in sheets:
        own = expected[sheet.grid]
        for number, column in enumerate(sheet.columns, start=2):
            look(own, sheet.name, number, column.name, own.results[column.name].tolist())
    for name, (sheet_name, state) in inputs.items():
        own = expected[name]
        look(own, sheet_name, 1, state, list(_statuses(own.results[state], own.entered)))
    return Comparison(cells, columns, tuple(differences))


def compare_cells(
    grids: Mapping[str, Grid],
    expected: Mapping[str, Mapping[str, object]],
    layout: Layout,
    places: Mapping[str, SheetPlace],
) -> Comparison:
    """Cells of books and local rules against their values; a state that is expected to be STOP may say why.

    A row of Line prices counts as a column.
    """
    differences: list[Difference] = []
    columns: set[tuple[str, str]] = set()
    count = 0
    for sheet, cells in expected.items():
        place = places.get(sheet)
        for cell, value in cells.items() if place is not None and sheet in grids else ():
            row, number = position(cell)
            name = _book_column(layout, sheet, row, number)
            if not place.is_there(row, number):
                continue
            columns.add((sheet, name.partition(" of ")[0] if sheet == LOCAL_RULES else name))
            count += 1
            row, number = place.row(row), place.column(number)
            found = _at(grids[sheet], row, number)
            if not (agree(found, value) or (value == STOP and str(found).startswith("STOP: "))):
                differences.append(Difference(sheet, f"{letter(number)}{row}", name, "", found, value))
    return Comparison(count, len(columns), tuple(differences))


def _book_column(layout: Layout, sheet: str, row: int, number: int) -> str:
    """What stands in a column of a book, of settings or local rules, or in a row of Line prices."""
    if sheet == LOCAL_RULES:
        rule = next(name for name, at in layout.parameter_rows.items() if at == row)
        return f"{PARAMETER_COLUMNS[number - 1]} of {rule}"
    if sheet == LINE_PRICES:
        first, block = max((first, block) for block, first in LINE_ROWS.items() if first <= row)
        return f"{LINE_STATISTICS[row - first]} of {block}"
    places = {place.sheet: place for place in (*layout.books.values(), layout.settings)}
    return places[sheet].columns[number - 1]


def _different(
    grid: Grid,
    own: Expected,
    values: Sequence[object],
    where: tuple[str, int, str],
    compared: Sequence[int],
    place: SheetPlace,
) -> Iterator[Difference]:
    """Cells of one column that do not hold their value; where is sheet, built column number and name."""
    sheet, number, name = where
    jobs = own.results["job_no"].tolist()
    column = place.column(number)
    for one in compared:
        row = place.row(FIRST_ROW + one)
        found = _at(grid, row, column)
        if not agree(found, values[one]):
            yield Difference(sheet, f"{letter(column)}{row}", name, str(jobs[one]), found, values[one])


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
