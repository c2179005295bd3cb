"""The entries of one input grid of a workbook, valid or not, and what is wrong with the cells."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import pandas as pd

from ..code_tables.model import Field
from .cells import parsed
from .faults import MOST_FAULTS, BadInput, Fault, in_order, shown
from .grid import NOTHING, Grid
from .limits import MOST_CIRCUITS, MOST_JOBS
from .sheet_cells import Cell, column_letters

END_OF_ROWS = "end of rows"
"""The job_no cell of the row after the last one begins so."""

_MOST_ROWS = {"job": MOST_JOBS, "circuit": MOST_CIRCUITS}
_FIRST_DAY, _LAST_DAY = 61, 2_900_000


@dataclass(frozen=True)
class Entries:
    """frame: a row each by sheet row, a field each as column. rows: rows of the grid, blank ones too.

    faults: lost columns, entries of the wrong kind, entries below the end.
    refused: places (row, field) of the entries of the wrong kind.
    """

    grid: Grid
    fields: tuple[Field, ...]
    frame: pd.DataFrame
    rows: int
    faults: tuple[Fault, ...]
    refused: frozenset[tuple[int, str]]

    @property
    def letters(self) -> dict[str, str]:
        return {name: column_letters(column) for name, column in self.grid.columns.items()}

    @property
    def absent(self) -> set[str]:
        """Fields whose column is not in the sheet."""
        return {field.name for field in self.fields} - set(self.grid.columns)

    def in_order(self, faults: Iterable[Fault]) -> list[Fault]:
        """These faults and its own, by row and field."""
        return in_order([*self.faults, *faults], [field.name for field in self.fields])


def read_entries(grid: Grid, fields: Sequence[Field], *, noun: str, from_1904: bool) -> Entries:
    """Everything typed into a grid; noun says what a row is. BadInput for more rows than can be built."""
    end, faults = _end_row(grid, noun)
    rows, most = end - grid.mark_row - 1, _MOST_ROWS.get(noun, MOST_JOBS)
    if rows > most:
        todo = f"carry the {noun}s into new workbooks"
        raise BadInput([grid.fault(None, "job_no", f"{rows:,} rows", f"at most {most:,}", todo)])
    frame, refused = _frame(grid, end, fields, from_1904=from_1904)
    return Entries(
        grid=grid,
        fields=tuple(fields),
        frame=frame,
        rows=rows,
        faults=(*faults, *_missing_columns(grid, fields), *refused, *_below(grid, end, fields, noun)),
        refused=frozenset((fault.row, fault.field) for fault in refused),
    )


def _missing_columns(grid: Grid, fields: Iterable[Field]) -> list[Fault]:
    return [
        grid.fault(
            None, field.name, "no column of that name", "in the row of field names",
            "write the name back over its column; it counts as blank until then",
        )
        for field in fields if field.name not in grid.columns
    ]  # fmt: skip


def _end_row(grid: Grid, noun: str) -> tuple[int, list[Fault]]:
    for row in grid.rows:
        text = grid.cell(row, "job_no").value
        if row > grid.mark_row and isinstance(text, str) and text.casefold().startswith(END_OF_ROWS):
            return row, []
    fault = Fault(
        grid.file, grid.sheet, None, None, None, f"no row that begins with {END_OF_ROWS!r}",
        f"there, under the last {noun}", f"carry the {noun}s into a new workbook",
    )  # fmt: skip
    return max([grid.mark_row, *grid.rows]) + 1, [fault]


def _below(grid: Grid, end: int, fields: Sequence[Field], noun: str) -> list[Fault]:
    return [
        grid.fault(
            row, "job_no", f"a {noun} below the end of the rows", "above that row",
            "it is not counted: move it up, or insert rows above the end",
        )
        for row in grid.rows
        if row > end and any(grid.cell(row, field.name).value is not None for field in fields)
    ]  # fmt: skip


def _frame(
    grid: Grid, end: int, fields: Sequence[Field], *, from_1904: bool
) -> tuple[pd.DataFrame, list[Fault]]:
    index = [
        row for row in grid.rows
        if grid.mark_row < row < end
        and any(grid.cell(row, field.name) != NOTHING for field in fields)
    ]  # fmt: skip
    columns: dict[str, list[object]] = {}
    faults: list[Fault] = []
    for field in fields:
        columns[field.name] = values = []
        for row in index:
            cell = grid.cell(row, field.name)
            problem = _problem(cell, field)
            if problem and len(faults) <= MOST_FAULTS:
                faults.append(grid.fault(row, field.name, *problem))
            values.append(day(cell.value, from_1904) if field.kind == "date" else cell.value)
    return pd.DataFrame(columns, index=index, dtype=object), faults


def _problem(cell: Cell, field: Field) -> tuple[str, str, str] | None:
    """Found, expected and what to do, where a cell holds a value of the wrong kind."""
    value = cell.value
    if cell.formula and value is None:
        return "a formula without a result", field.expected, "type the value"
    if value is None:
        return None
    if cell.is_error:
        return f"the error value {value}", field.expected, "type the value, or clear the cell"
    if isinstance(value, bool):
        return shown(value), field.expected, "type the value, or clear the cell"
    if isinstance(value, str) and (field.kind in ("number", "date") or field.numeric):
        _, complaint = parsed(value, field)
        todo = complaint.todo if complaint else "clear the cell and type it anew, not as text"
        return f"the text {shown(value)}", field.expected, todo
    return None


def day(value: object, from_1904: bool) -> object:
    """The date that a number stands for; anything else as it is.

    Numbers up to 60 are left alone: spreadsheets do not agree which day they are.
    """
    if not isinstance(value, float) or not value.is_integer() or not _FIRST_DAY <= value <= _LAST_DAY:
        return value
    return (date(1904, 1, 1) if from_1904 else date(1899, 12, 30)) + timedelta(days=int(value))
