"""Reads the lists of jobs and of circuits from CSV files, whole or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from os import PathLike

import pandas as pd

from ..code_tables.load import load
from ..code_tables.model import Field
from .cells import parsed, trimmed
from .checks import advice, did_you_mean, job_faults
from .csv_table import CsvTable, read_table
from .faults import BadInput, Fault, in_order, shown


def read_jobs(path: str | PathLike[str]) -> pd.DataFrame:
    """The jobs of a CSV file, a row each, by the row's line in the file.

    Every input field is a column, in the contract's order: numbers as float,
    words and text as str, dates as datetime.date, blanks and columns that the
    file has not as None. Raises BadInput with every fault of the file.
    """
    fields = load().job_fields
    table = read_table(path, fields)
    if not table.rows and not table.faults:
        table.fault(
            None, None, "no row under the header", "a list of one job or more", "add a row for each job"
        )
    frame, refused = _frame(table, fields)
    table.faults += refused
    table.faults += job_faults(
        frame,
        file=table.file,
        absent={field.name for field in fields} - set(table.columns),
        told={(fault.row, fault.field) for fault in refused},
    )
    _stop_on(table, fields)
    return frame


def read_circuits(path: str | PathLike[str], *, jobs: pd.DataFrame) -> pd.DataFrame:
    """The circuits of a CSV file, a row each, by the row's line in the file.

    Columns and values are as in read_jobs; a list without rows is fine. Each
    job_no is one of `jobs`, without regard to capitals, and comes back in the
    spelling it has there. Raises BadInput with every fault of the file.
    """
    fields = load().circuit_fields
    table = read_table(path, fields)
    frame, refused = _frame(table, fields)
    table.faults += refused
    known = {number.casefold(): number for number in jobs["job_no"] if isinstance(number, str)}
    done = {(fault.row, fault.field) for fault in refused}
    for row, entries in zip(frame.index, frame.to_dict("records"), strict=True):
        for field in fields:
            if (row, field.name) in done or field.name not in table.columns:
                continue
            value = entries[field.name]
            if field.name == "job_no" and value is not None:
                if value.casefold() not in known:
                    table.fault(
                        row, "job_no", shown(value), "the number of a job in the list of jobs",
                        did_you_mean(value, tuple(known.values())),
                    )  # fmt: skip
                else:
                    frame.at[row, "job_no"] = known[value.casefold()]
            elif not _fits(value, field):
                table.fault(row, field.name, shown(value), field.expected, advice(value, field))
    _stop_on(table, fields)
    return frame


def _frame(table: CsvTable, fields: Sequence[Field]) -> tuple[pd.DataFrame, list[Fault]]:
    """Values by row and field, and a fault for each cell that has no value to give.

    Such a cell keeps its text, so that it counts as wrong and not as blank.
    """
    columns: dict[str, list[object]] = {}
    refused: list[Fault] = []
    for field in fields:
        columns[field.name] = values = []
        for row, cells in table.rows.items():
            value, complaint = parsed(cells.get(field.name, ""), field)
            values.append(value)
            if complaint:
                refused.append(
                    Fault(
                        table.file, None, row, field.name, None, shown(trimmed(cells[field.name])),
                        complaint.expected, complaint.todo,
                    )
                )  # fmt: skip
    return pd.DataFrame(columns, index=list(table.rows), dtype=object), refused


def _stop_on(table: CsvTable, fields: Sequence[Field]) -> None:
    if table.faults:
        raise BadInput(in_order(table.faults, [field.name for field in fields]))


def _fits(value: object, field: Field) -> bool:
    """Whether an entry of a circuit is in its list or range, and there where it must be."""
    if value is None:
        return not field.required
    if field.choices:
        return value in field.choices
    if field.kind != "number":
        return True
    return (
        (field.minimum is None or value >= field.minimum)
        and (field.maximum is None or value <= field.maximum)
        and not (field.whole and not value.is_integer())
    )
