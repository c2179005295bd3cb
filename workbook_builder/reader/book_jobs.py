"""Reads what people typed into a workbook: jobs and local rules.

Columns are found by the row of field names and rows by what stands in them,
so that inserted rows and columns, and columns in another order, do no harm.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from os import PathLike

import pandas as pd

from ..code_tables.load import load
from ..code_tables.model import Field
from .book_rules import LOCAL_RULES, RULE_COLUMNS, local_rules
from .cells import parsed
from .checks import job_faults
from .faults import BadInput, Fault, in_order, shown
from .grid import NOTHING, Grid, read_grid
from .safety import open_safely
from .sheet_cells import Book, Cell, column_letters, open_book, rows_of

JOBS, START = "Jobs", "Start"
END_OF_ROWS = "end of rows"
"""The job_no cell of the row after the last one begins so."""

_VERSION = re.compile(r"\bworkbook_builder ([0-9]+(?:\.[0-9A-Za-z]+)*)")
_FIRST_DAY, _LAST_DAY = 61, 2_900_000


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


def read_book(path: str | PathLike[str]) -> BookInputs:
    """The inputs of a workbook that this project built.

    A wrong entry is listed in the result's faults and spoils nothing else; the
    entry itself stays in the frame. Raises BadInput with every reason where
    the file is not safe to open, damaged, or lacks a sheet, its row of names or
    a column that is required.
    """
    fields = load().job_fields
    with open_safely(path) as archive:
        book = open_book(archive)
        jobs, rules = _grids(book, fields)
        version = _version(book)
    end, faults = _end_row(jobs)
    frame, refused = _frame(jobs, end, fields, from_1904=book.from_1904)
    faults += _missing_columns(jobs, fields) + refused + _below(jobs, end, fields)
    faults += job_faults(
        frame,
        file=jobs.file,
        sheet=JOBS,
        letters={name: column_letters(column) for name, column in jobs.columns.items()},
        absent={field.name for field in fields} - set(jobs.columns),
        told={(fault.row, fault.field) for fault in refused},
    )
    overrides, reasons, rule_faults = local_rules(rules)
    return BookInputs(
        jobs=frame,
        overrides=overrides,
        reasons=reasons,
        version=version,
        rows=end - jobs.mark_row - 1,
        mark_row=jobs.mark_row,
        faults=(*in_order(faults, [field.name for field in fields]), *rule_faults),
    )


def _grids(book: Book, fields: Sequence[Field]) -> tuple[Grid, Grid]:
    """Both sheets that people type in, or one BadInput for whatever they lack."""
    wanted = (
        (JOBS, [field.name for field in fields], [field.name for field in fields if field.required]),
        (LOCAL_RULES, RULE_COLUMNS, RULE_COLUMNS),
    )
    grids, faults = [], []
    for sheet, names, required in wanted:
        try:
            grids.append(read_grid(book, sheet, names, required))
        except BadInput as refusal:
            faults += refusal.faults
    if faults:
        raise BadInput(faults)
    return grids[0], grids[1]


def _missing_columns(jobs: Grid, fields: Iterable[Field]) -> list[Fault]:
    return [
        jobs.fault(
            None, field.name, "no column of that name", "in the row of field names",
            "write the name back over its column; it counts as blank until then",
        )
        for field in fields if field.name not in jobs.columns
    ]  # fmt: skip


def _end_row(jobs: Grid) -> tuple[int, list[Fault]]:
    for row in jobs.rows:
        text = jobs.cell(row, "job_no").value
        if row > jobs.mark_row and isinstance(text, str) and text.casefold().startswith(END_OF_ROWS):
            return row, []
    fault = Fault(
        jobs.file, JOBS, None, None, None, f"no row that begins with {END_OF_ROWS!r}",
        "there, under the last job", "carry the jobs into a new workbook",
    )  # fmt: skip
    return max([jobs.mark_row, *jobs.rows]) + 1, [fault]


def _below(jobs: Grid, end: int, fields: Sequence[Field]) -> list[Fault]:
    return [
        jobs.fault(
            row, "job_no", "a job below the end of the rows", "above that row",
            "it is not counted: move it up, or insert rows above the end",
        )
        for row in jobs.rows
        if row > end and any(jobs.cell(row, field.name).value is not None for field in fields)
    ]  # fmt: skip


def _frame(
    jobs: Grid, end: int, fields: Sequence[Field], *, from_1904: bool
) -> tuple[pd.DataFrame, list[Fault]]:
    index = [
        row for row in jobs.rows
        if jobs.mark_row < row < end
        and any(jobs.cell(row, field.name) != NOTHING for field in fields)
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
            values.append(_day(cell.value, from_1904) if field.kind == "date" else cell.value)
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


def _day(value: object, from_1904: bool) -> object:
    """The date that a number stands for; anything else as it is.

    Numbers up to 60 are left alone: spreadsheets do not agree which day they are.
    """
    if not isinstance(value, float) or not value.is_integer() or not _FIRST_DAY <= value <= _LAST_DAY:
        return value
    return (date(1904, 1, 1) if from_1904 else date(1899, 12, 30)) + timedelta(days=int(value))


def _version(book: Book) -> str | None:
    if START not in book.sheets:
        return None
    for _, cells in rows_of(book, START):
        for cell in cells.values():
            if isinstance(cell.value, str) and (found := _VERSION.search(cell.value)):
                return found[1]
    return None
