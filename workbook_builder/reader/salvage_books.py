"""The books and settings of a workbook as they were typed, by the names of their lines."""

from __future__ import annotations

from collections.abc import Sequence

from ..code_tables.books import BOOKS, POINTS, PRICE_BOOK
from ..code_tables.load import load
from ..writer.styles import UNIT_WORDS
from .book_prices import BOOK_SHEETS, COLUMNS, NAMED_UNITS, SETTING_COLUMNS, SETTINGS
from .grid import NOTHING, Grid
from .salvage_grid import Salvage, salvaged_grid, take_rest
from .sheet_cells import Book

INPUTS = ("words", *POINTS, "copper", "date", "source")
"""What is carried of a line beside its key; its unit must be the same."""
_FILLED = ("state", "mean", "variance", "used")


def salvage_books(book: Book, found: Salvage) -> None:
    """Fills in the lines of each book, the known ones and those a company added, and the settings."""
    if not {*BOOK_SHEETS.values(), SETTINGS} & set(book.sheets):
        found.missing("Price book", "", "no books and settings in it; all as a new workbook has them")
        return
    for name in BOOKS:
        _lines(book, name, found)
    _settings(book, found)


def _lines(book: Book, name: str, found: Salvage) -> None:
    sheet = BOOK_SHEETS[name]
    found.lines[name] = []
    grid = salvaged_grid(book, sheet, COLUMNS, found)
    if grid is None:
        return
    ours = {line.key.casefold(): line for line in load().books.lines[name]}
    seen: set[object] = set()
    lost = [column for column in ("key", *POINTS) if column not in grid.columns]
    for row in _rows(grid, ("key", *POINTS)):
        key = grid.cell(row, "key").value
        plain = key.casefold() if isinstance(key, str) else key
        line = ours.get(plain) if isinstance(plain, str) else None
        why = ""
        if lost:
            why = f"the column {lost[0]} cannot be found; the line as a new workbook has it"
        elif plain is not None and plain in seen:
            why = "the line a second time"
        elif line is None and name != PRICE_BOOK:
            why = "no line has that name today" if key is not None else "a line without a name"
        elif line is not None and name in NAMED_UNITS and not _same_unit(grid, row, line.unit):
            why = f"its unit is {line.unit or 'blank'} today; the line as a new workbook has it"
        if why:
            _refuse(grid, row, ("key", "unit", *INPUTS), str(key or ""), why, found)
            continue
        seen.add(plain)
        columns = ("key", *INPUTS) if line else ("key", "unit", *INPUTS)
        values = {one: found.take(grid, row, one, str(key or "")) for one in columns if one in grid.columns}
        if any(value is not None for value in values.values()):
            found.lines[name].append(values)
    for key, line in ours.items():
        if key not in seen:
            found.missing(sheet, line.key, "no such line that can be taken; as a new workbook has it")
    take_rest(grid, found, filled=_FILLED, ignored=lambda column: str(column).startswith("built_"))


def _settings(book: Book, found: Salvage) -> None:
    grid = salvaged_grid(book, SETTINGS, SETTING_COLUMNS, found)
    if grid is None:
        return
    ours = load().books.settings
    for row in _rows(grid, ("name", "value")):
        name = grid.cell(row, "name").value
        why = ""
        if name not in ours:
            why = "no setting has that name today"
        elif name in found.settings:
            why = "the setting a second time"
        elif not _same_unit(grid, row, ours[name].unit):
            why = f"its unit is {ours[name].unit or 'blank'} today; the setting as a new workbook has it"
        if why:
            _refuse(grid, row, ("name", "unit", "value", "source"), str(name or ""), why, found)
            continue
        found.settings[name] = {
            one: found.take(grid, row, one, name) for one in ("value", "source") if one in grid.columns
        }
    for name in ours:
        if name not in found.settings:
            found.missing(SETTINGS, name, "no such setting that can be taken; as a new workbook has it")
    take_rest(grid, found, filled=_FILLED, ignored=lambda column: str(column).startswith("built_"))


def _rows(grid: Grid, columns: Sequence[str]) -> list[int]:
    """Rows under the row of names that hold something in these columns, as people see it from above."""
    return [
        row for row in sorted(grid.rows)
        if row > grid.mark_row and any(grid.cell(row, column) != NOTHING for column in columns)
    ]  # fmt: skip


def _same_unit(grid: Grid, row: int, unit: str) -> bool:
    """Whether the numbers of a row are of this unit; a lost column of units counts as the same."""
    if "unit" not in grid.columns:
        return True
    return (grid.cell(row, "unit").value or "") in (unit, UNIT_WORDS.get(unit, unit))


def _refuse(grid: Grid, row: int, columns: Sequence[str], of: str, why: str, found: Salvage) -> None:
    for column in columns:
        if column in grid.columns and grid.cell(row, column) != NOTHING:
            found.refuse(grid, row, column, of, why)
