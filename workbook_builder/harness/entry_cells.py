"""What is wrong with the entries, as verify tells it: the faults of the reader, and formulas in entry cells."""

from __future__ import annotations

from collections.abc import Iterator

from ..reader.book_jobs import BookInputs
from ..reader.faults import Fault
from ..sheets.layout import letter
from ..sheets.model import JOB_GRID
from .built import Built
from .file_cells import FileCells
from .finding import told
from .places import Places

_NO_COLUMN = "no column of that name"


def entry_faults(book: BookInputs, cells: FileCells, built: Built, places: Places) -> list[str]:
    """Every entry that is not valid, a line each; a lost column is told with what is not whole."""
    faults = [fault for fault in book.faults if fault.found != _NO_COLUMN]
    told_of = {(fault.sheet, fault.cell) for fault in faults}
    for sheet in built.entry_sheets:
        if sheet in places.sheets:
            faults += _beyond(book, built, places, sheet)
            faults += [
                fault for fault in _formulas(book, cells, built, places, sheet)
                if (sheet, fault.cell) not in told_of
            ]  # fmt: skip
    return [str(fault) for fault in faults]


def _formulas(
    book: BookInputs, cells: FileCells, built: Built, places: Places, sheet: str
) -> Iterator[Fault]:
    """Formulas between the entries: their last result counted as typed, and the next may be another."""
    place, grid = places.sheets[sheet], built.layout.grids[built.entry_sheets[sheet]]
    names = {place.column(at): name for name, at in built.marks(sheet).items() if name != grid.state}
    first, end = place.mark_row + 1, place.row(grid.end_row)
    for (row, column), text in sorted(cells.sheets[place.title].formulas.items()):
        if first <= row < end and column in names:
            yield Fault(
                book.file, sheet, row, names[column], f"{letter(column)}{row}",
                f"the formula {told('=' + text)}", "a typed value", "type the result",
            )  # fmt: skip


def _beyond(book: BookInputs, built: Built, places: Places, sheet: str) -> Iterator[Fault]:
    """Rows in use under the last one that the calculated sheets know, where rows were put in."""
    grid = built.layout.grids[built.entry_sheets[sheet]]
    jobs = built.entry_sheets[sheet] == JOB_GRID
    frame, mark_row = (book.jobs, book.mark_row) if jobs else (book.circuits, book.circuit_mark_row)
    at = letter(places.sheets[sheet].column(built.marks(sheet)["job_no"]))
    for row in frame.index:
        if row > mark_row + grid.rows:
            yield Fault(
                book.file, sheet, int(row), "job_no", f"{at}{row}", "a row that is not calculated",
                f"in one of the first {grid.rows} rows", "move it up, or build with more rows",
            )  # fmt: skip
