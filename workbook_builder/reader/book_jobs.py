"""Reads what people typed into a workbook: jobs and local rules.

Columns are found by the row of field names and rows by what stands in them,
so that inserted rows and columns, and columns in another order, do no harm.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from os import PathLike
from pathlib import Path

import pandas as pd

from ..code_tables.fields import WIRE_SIZES
from ..code_tables.load import load
from ..code_tables.model import Field, Parameter
from .cells import number_advice, parsed
from .checks import job_faults
from .faults import BadInput, Fault, in_order, shown
from .safety import open_safely
from .sheet_cells import Book, Cell, column_letters, open_book, rows_of

JOBS, LOCAL_RULES, START = "Jobs", "Local rules", "Start"
END_OF_ROWS = "end of rows"
"""The job_no cell of the row after the last one begins so."""
RULE_COLUMNS = ("name", "override", "reason")

_VERSION = re.compile(r"\bworkbook_builder ([0-9]+(?:\.[0-9A-Za-z]+)*)")
_NOTHING = Cell(None)


@dataclass(frozen=True)
class BookInputs:
    """Everything typed into a workbook, valid or not, and what is wrong with it.

    jobs: a row each by sheet row, an input field a column, values as they are
    in the cells (numbers, text, truth values, error values as text; a number
    under a date field as the date it means). overrides: the values of local
    rules that can be used; reasons: the words beside them. version: what built
    the workbook, where its Start sheet says so. rows: rows of the grid, blank
    ones too, the first being mark_row + 1.
    """

    jobs: pd.DataFrame
    overrides: dict[str, float | str]
    reasons: dict[str, str]
    version: str | None
    rows: int
    mark_row: int
    faults: tuple[Fault, ...]


@dataclass(frozen=True)
class _Grid:
    """A sheet's cells, with the column of each name found in its row of names."""

    file: str
    sheet: str
    rows: dict[int, dict[int, Cell]]
    mark_row: int
    columns: dict[str, int]

    def cell(self, row: int, name: str) -> Cell:
        if name not in self.columns:
            return _NOTHING
        return self.rows.get(row, {}).get(self.columns[name], _NOTHING)

    def fault(self, row: int | None, name: str, found: str, expected: str, todo: str) -> Fault:
        at = f"{column_letters(self.columns[name])}{row}" if row and name in self.columns else None
        return Fault(self.file, self.sheet, row, name, at, found, expected, todo)


def read_book(path: str | PathLike[str]) -> BookInputs:
    """The inputs of a workbook that this project built.

    A wrong entry is listed in the result's faults and spoils nothing else; the
    entry itself stays in the frame. Raises BadInput with every reason where
    the file is not safe to open, damaged, or lacks a sheet, its row of names or
    a column that is required.
    """
    fields = load().job_fields
    with open_safely(path) as archive:
        try:
            book = open_book(archive)
            jobs, rules = _grids(book, fields)
            version = _version(book)
        except zipfile.BadZipFile as fault:
            raise _refused(Path(path).name, None, f"a damaged file ({fault})", "a workbook") from None
    end, faults = _end_row(jobs)
    frame, refused = _frame(jobs, end, fields)
    faults += _missing_columns(jobs, fields) + refused + _below(jobs, end, fields)
    faults += job_faults(
        frame,
        file=jobs.file,
        sheet=JOBS,
        letters={name: column_letters(column) for name, column in jobs.columns.items()},
        absent={field.name for field in fields} - set(jobs.columns),
        told={(fault.row, fault.field) for fault in refused},
    )
    overrides, reasons, rule_faults = _local_rules(rules)
    return BookInputs(
        jobs=frame,
        overrides=overrides,
        reasons=reasons,
        version=version,
        rows=end - jobs.mark_row - 1,
        mark_row=jobs.mark_row,
        faults=(*in_order(faults, [field.name for field in fields]), *rule_faults),
    )


def _refused(file: str, sheet: str | None, found: str, expected: str, todo: str = "") -> BadInput:
    return BadInput([Fault(file, sheet, None, None, None, found, expected, todo)])


def _grids(book: Book, fields: Sequence[Field]) -> tuple[_Grid, _Grid]:
    """Both sheets that people type in, or one BadInput for whatever they lack."""
    wanted = (
        (JOBS, [field.name for field in fields], [field.name for field in fields if field.required]),
        (LOCAL_RULES, RULE_COLUMNS, RULE_COLUMNS),
    )
    grids, faults = [], []
    for sheet, names, required in wanted:
        try:
            grids.append(_grid(book, sheet, names, required))
        except BadInput as refusal:
            faults += refusal.faults
    if faults:
        raise BadInput(faults)
    return grids[0], grids[1]


def _grid(book: Book, sheet: str, names: Sequence[str], required: Sequence[str]) -> _Grid:
    if sheet not in book.sheets:
        raise _refused(
            book.file, None, f"no sheet {sheet}", "a workbook built here, with all its sheets",
            "give the sheet its name back",
        )  # fmt: skip
    rows = dict(rows_of(book, sheet))
    mark_row, marks = 0, []
    for row, cells in rows.items():
        found = [(cell.value, column) for column, cell in cells.items() if cell.value in names]
        if required[0] in dict(found) and len(found) >= max(len(marks), 2):
            mark_row, marks = row, found
    if not mark_row:
        raise _refused(
            book.file, sheet, "no row of field names", f"there, with {required[0]} in it",
            "copy the row from a new workbook",
        )  # fmt: skip
    columns: dict[str, int] = {}
    faults = []
    for name, column in marks:
        if name in columns:
            at = f"{column_letters(column)}{mark_row}"
            faults.append(
                Fault(
                    book.file, sheet, mark_row, name, at, "the field name a second time",
                    "there once", "delete the copied column",
                )
            )  # fmt: skip
        columns.setdefault(name, column)
    faults += [
        Fault(
            book.file, sheet, mark_row, name, None, "no column of that name",
            "there, since it is required", "write the name back over its column",
        )
        for name in required if name not in columns
    ]  # fmt: skip
    if faults:
        raise BadInput(faults)
    return _Grid(book.file, sheet, rows, mark_row, columns)


def _missing_columns(jobs: _Grid, fields: Iterable[Field]) -> list[Fault]:
    return [
        jobs.fault(
            None, field.name, "no column of that name", "in the row of field names",
            "write the name back over its column; it counts as blank until then",
        )
        for field in fields if field.name not in jobs.columns
    ]  # fmt: skip


def _end_row(jobs: _Grid) -> tuple[int, list[Fault]]:
    for row in jobs.rows:
        text = jobs.cell(row, "job_no").value
        if row > jobs.mark_row and isinstance(text, str) and text.casefold().startswith(END_OF_ROWS):
            return row, []
    fault = Fault(
        jobs.file, JOBS, None, None, None, f"no row that begins with {END_OF_ROWS!r}",
        "there, under the last job", "carry the jobs into a new workbook",
    )  # fmt: skip
    return max([jobs.mark_row, *jobs.rows]) + 1, [fault]


def _below(jobs: _Grid, end: int, fields: Sequence[Field]) -> list[Fault]:
    return [
        jobs.fault(
            row, "job_no", "a job below the end of the rows", "above that row",
            "it is not counted: move it up, or insert rows above the end",
        )
        for row in jobs.rows
        if row > end and any(jobs.cell(row, field.name).value is not None for field in fields)
    ]  # fmt: skip


def _frame(
    jobs: _Grid, end: int, fields: Sequence[Field]
) -> tuple[pd.DataFrame, list[Fault]]:
    index = [
        row for row in jobs.rows
        if jobs.mark_row < row < end
        and any(jobs.cell(row, field.name) != _NOTHING for field in fields)
    ]  # fmt: skip
    columns: dict[str, list[object]] = {}
    faults: list[Fault] = []
    for field in fields:
        columns[field.name] = values = []
        for row in index:
            cell = jobs.cell(row, field.name)
            problem = _problem(cell, field)
            if problem:
                faults.append(jobs.fault(row, field.name, *problem))
            values.append(cell.value)
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
