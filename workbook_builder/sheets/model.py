"""What a sheet of the workbook is before anything is written: declarations only.

Names are identities: a column's name is the name of its rule, of the field of
the contract, of the reference's result and of every report. Names are unique
in the whole workbook; titles are only for show.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..code_tables.model import Field, Rule

TITLE_ROW = 1
NOTE_ROW = 2
BAND_ROW = 3
NAME_ROW = 4
UNIT_ROW = 5
ROLE_ROW = 6
RULE_ROW = 7
SECTION_ROW = 8
MARK_ROW = 9
"""The row of column names by which a returned workbook is recognised."""
FIRST_ROW = 10
"""First data row of every grid, 1-based."""

JOB_GRID, CIRCUIT_GRID = "jobs", "circuits"
"""What a row is: a job, or a circuit of one."""

ROW_NUMBER, JOB_NUMBER, ROW_STATE = "row_number", "job_no", "row_state"
"""The first three columns of every calculated grid of jobs: A, B and C."""

CIRCUIT_STATE, CIRCUIT_JOB_ROW = "circuit_state", "circuit_job_row"
"""Column C of a grid of circuits, and the column that holds the row_number of a circuit's job."""

ROLES = ("input", "entry as used", "calculated", "from another sheet", "state")


class DeclarationError(Exception):
    """Faults in the declarations of the sheets, all in one message, a line each."""


@dataclass(frozen=True)
class Column:
    """One calculated column: the name of its rule and its formula template.

    The template names things and never cells: [column] this row, {parameter}
    the value of the row's edition, {table.column} a column of a code table,
    {table} all its columns but the key, {table.header} their names, {raw.field}
    the whole input column, {all.column} a whole calculated column of either
    grid, [job.column] what the job of a circuit has there. It has no leading
    `=`. Row guard and rounding are added when it is compiled.
    """

    name: str
    formula: str
    guarded: bool = True


@dataclass(frozen=True)
class Sheet:
    """One sheet of calculated columns, a row for each row of its grid."""

    name: str
    title: str
    note: str
    columns: tuple[Column, ...]
    grid: str = JOB_GRID


@dataclass(frozen=True)
class CompiledColumn:
    """A column ready to be written.

    cell is the formula with `{row}` where the row number goes, no leading `=`.
    letter is its place. plain_copy marks a formula that only repeats a cell of
    another sheet. rule is None for the row number.
    """

    name: str
    letter: str
    cell: str
    rule: Rule
    plain_copy: bool
    field: Field | None = None

    def at(self, row: int) -> str:
        """The formula for one sheet row, with its equals sign."""
        return "=" + self.cell.replace("{row}", str(row))


@dataclass(frozen=True)
class CompiledSheet:
    """A calculated grid ready to be written; columns start at letter B.

    Column A holds the row number 1, 2, 3 ... as a constant.
    """

    name: str
    title: str
    note: str
    columns: tuple[CompiledColumn, ...]
    grid: str = JOB_GRID

    def letter_of(self, name: str) -> str:
        """Where a column stands. KeyError names the sheet and the column."""
        for column in self.columns:
            if column.name == name:
                return column.letter
        raise KeyError(f"{self.name} has no column {name}")
