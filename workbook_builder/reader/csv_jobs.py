"""Reads the lists of jobs and of circuits from CSV files, whole or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from os import PathLike

import pandas as pd

from ..code_tables.load import load
from ..code_tables.model import Field
from .cells import parsed, trimmed
from .checks import circuit_faults, job_faults
from .csv_table import CsvTable, read_table
from .faults import MOST_FAULTS, BadInput, Fault, in_order, shown


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
    frame, refused = frame_of_table(table, fields)
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
    frame, refused = frame_of_table(table, fields)
    table.faults += refused
    table.faults += circuit_faults(
        frame,
        jobs=jobs,
        file=table.file,
        absent={field.name for field in fields} - set(table.columns),
        told={(fault.row, fault.field) for fault in refused},
    )
    _stop_on(table, fields)
    spelling = {number.casefold(): number for number in jobs["job_no"]}
    frame["job_no"] = [spelling[number.casefold()] for number in frame["job_no"]]
    return frame


def frame_of_table(table: CsvTable, fields: Sequence[Field]) -> tuple[pd.DataFrame, list[Fault]]:
    """Values by row and field, and a fault for each cell that has no value to give.

    Such a cell keeps its text, so that it counts as wrong and not as blank.
    BadInput where there are too many to tell.
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
                if len(refused) > MOST_FAULTS:
                    table.faults += refused
                    _stop_on(table, fields)
    return pd.DataFrame(columns, index=list(table.rows), dtype=object), refused


def _stop_on(table: CsvTable, fields: Sequence[Field]) -> None:
    if table.faults:
        raise BadInput(in_order(table.faults, [field.name for field in fields]))
