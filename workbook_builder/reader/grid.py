"""A sheet of a workbook whose columns are found by the row of their names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .faults import BadInput, Fault
from .sheet_cells import Book, Cell, column_letters, rows_of

NOTHING = Cell(None)
ROWS_BEFORE_NAMES = 1_000
"""So many filled rows may stand above the row of names."""


@dataclass(frozen=True)
class Grid:
    """A sheet's cells, with the column of each name found in its row of names."""

    file: str
    sheet: str
    rows: dict[int, dict[int, Cell]]
    mark_row: int
    columns: dict[str, int]

    def cell(self, row: int, name: str) -> Cell:
        if name not in self.columns:
            return NOTHING
        return self.rows.get(row, {}).get(self.columns[name], NOTHING)

    def fault(self, row: int | None, name: str, found: str, expected: str, todo: str) -> Fault:
        at = f"{column_letters(self.columns[name])}{row}" if row and name in self.columns else None
        return Fault(self.file, self.sheet, row, name, at, found, expected, todo)


def read_grid(book: Book, sheet: str, names: Sequence[str], required: Sequence[str]) -> Grid:
    """The sheet whose columns are marked by `names`, of which `required` must be there.

    The row of names is the one with most of them, the lowest where two are
    alike. BadInput where the sheet, the row or a required name is not there, or
    a name stands twice.
    """
    if sheet not in book.sheets:
        raise _refused(
            book.file, None, f"no sheet {sheet}", "a workbook built here, with all its sheets",
            "give the sheet its name back",
        )  # fmt: skip
    rows, mark_row, marks = marked(book, sheet, names, first=required[0])
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
    return Grid(book.file, sheet, rows, mark_row, columns)


def marked(
    book: Book, sheet: str, names: Sequence[str], *, first: str | None = None
) -> tuple[dict[int, dict[int, Cell]], int, list[tuple[str, int]]]:
    """The cells of a sheet, its row of names and the (name, column) found there; row 0 where there is none.

    first: a name that the row must have.
    """
    wanted = set(names)
    rows: dict[int, dict[int, Cell]] = {}
    mark_row, marks = 0, []
    for row, cells in rows_of(book, sheet):
        if not mark_row and len(rows) > ROWS_BEFORE_NAMES:
            break
        rows[row] = cells
        found = [(cell.value, column) for column, cell in cells.items() if cell.value in wanted]
        if (first is None or first in dict(found)) and len(found) >= max(len(marks), 2):
            mark_row, marks = row, found
    return rows, mark_row, marks


def _refused(file: str, sheet: str | None, found: str, expected: str, todo: str = "") -> BadInput:
    return BadInput([Fault(file, sheet, None, None, None, found, expected, todo)])
