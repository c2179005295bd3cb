"""Compares what an engine made of a workbook with what the reference says."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import pandas as pd

from ..sheets.layout import JOBS, letter
from ..sheets.model import FIRST_ROW, MARK_ROW, CompiledSheet
from .engines import CellError, Grid

ABSOLUTE = 2e-6
"""Both entries round at six decimals; a tie may fall either way in one engine."""
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


def compare(
    grids: Mapping[str, Grid],
    *,
    sheets: Sequence[CompiledSheet],
    reference: pd.DataFrame,
    entered: Sequence[bool],
    rows: Sequence[int] | None = None,
) -> Comparison:
    """Every calculated column of every sheet against the reference.

    grids: recalculated sheets. reference: a row for each row of the grid, from
    the first. entered: which of these rows hold any entry at all. rows: the
    places (from 0) to compare, default all.
    """
    places = range(len(reference)) if rows is None else rows
    differences: list[Difference] = []
    cells = columns = 0
    jobs = [str(job) for job in reference["job_no"]]
    for sheet in sheets:
        grid = grids.get(sheet.name)
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
            expected = reference[column.name].tolist()
            for place in places:
                cells += 1
                found = _at(grid, FIRST_ROW + place, number)
                if not agree(found, expected[place]):
                    cell = f"{letter(number)}{FIRST_ROW + place}"
                    differences.append(
                        Difference(sheet.name, cell, column.name, jobs[place], found, expected[place])
                    )
    status = list(_statuses(reference, entered))
    columns += 1
    for place in places:
        cells += 1
        found = _at(grids.get(JOBS, []), FIRST_ROW + place, 1)
        if not agree(found, status[place]):
            differences.append(
                Difference(JOBS, f"A{FIRST_ROW + place}", "row_state", jobs[place], found, status[place])
            )
    return Comparison(cells, columns, tuple(differences))


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


def _statuses(reference: pd.DataFrame, entered: Sequence[bool]) -> Iterator[str]:
    for state, some in zip(reference["row_state"], entered, strict=True):
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
