"""The books and settings of a workbook: prices, labour units, factors, market rates.

Lines are found by their keys and settings by their names, so that a row in
another place does no harm. What cannot be used is kept as it is, a number that
is none as NaN, and is a fault as well: the workbook says STOP there and so must
the reference.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ..code_tables.books import (
    FACTORS,
    LABOUR_UNITS,
    LIMITS,
    MARKET,
    POINTS,
    PRICE_BOOK,
    BookLine,
    Books,
    Setting,
)
from ..code_tables.load import load
from .checks import did_you_mean
from .faults import BadInput, Fault, shown
from .grid import NOTHING, Grid, read_grid
from .sheet_cells import Book, Cell, column_letters

BOOK_SHEETS = {
    PRICE_BOOK: "Price book", LABOUR_UNITS: "Labour units", FACTORS: "Factors", MARKET: "Market rates",
}  # fmt: skip
SETTINGS = "Settings"
COLUMNS = (
    "key", "words", "unit", *POINTS, "copper", "date", "source", "state", "mean", "variance",
    *(f"built_{point}" for point in POINTS),
)  # fmt: skip
SETTING_COLUMNS = ("name", "meaning", "unit", "value", "source", "state", "used", "built_value")
TEXT_UNIT = "text"
NAMED_UNITS = (PRICE_BOOK, LABOUR_UNITS)
"""Books whose lines each have a unit; in the other two all have the same one."""

BLANK = BookLine("", "", "", math.nan, math.nan, math.nan, False, "", "")
"""A blank row between lines."""

AMOUNT = "a number of 0 or more"
_TYPE = "type the number"
_WRITE_BACK = "write it as a new workbook has it"


@dataclass(frozen=True)
class Change:
    """A number or text of a book or of the settings that is not the one the workbook was built with."""

    sheet: str
    cell: str
    key: str
    column: str
    built: float | str | None
    found: float | str | None

    def __str__(self) -> str:
        return f"{self.sheet}!{self.cell} {self.key}, {self.column}: {shown(self.found)}, built with {shown(self.built)}"


@dataclass(frozen=True)
class BookPrices:
    """What a workbook has in its books, and what is wrong with it.

    books is None for a workbook without them; a blank row above the last line
    is a line without key and numbers. book_rows: rows of each book, blank ones
    too. line_rows: the sheet row of each line of `books`, in the same order;
    setting_rows: that of each setting. changes: what is not as built, which is
    nothing wrong.
    """

    books: Books | None = None
    book_rows: Mapping[str, int] | None = None
    line_rows: Mapping[str, tuple[int, ...]] | None = None
    setting_rows: Mapping[str, int] | None = None
    changes: tuple[Change, ...] = ()
    faults: tuple[Fault, ...] = ()


def read_prices(book: Book) -> BookPrices:
    """The books of a workbook; none where it has no sheet of them.

    Raises BadInput where it has some of the sheets but not all, or one without
    its row of names.
    """
    if not {*BOOK_SHEETS.values(), SETTINGS} & set(book.sheets):
        return BookPrices()
    grids, faults = _grids(book)
    if faults:
        raise BadInput(faults)
    changes: list[Change] = []
    lines: dict[str, tuple[BookLine, ...]] = {}
    book_rows: dict[str, int] = {}
    line_rows: dict[str, tuple[int, ...]] = {}
    for name in BOOK_SHEETS:
        grid = grids[name]
        last = _last_row(grid, COLUMNS)
        found = _lines(name, grid, last, faults)
        lines[name], line_rows[name] = tuple(found.values()), tuple(found)
        book_rows[name] = last - grid.mark_row
        changes += _changes(grid, {row: line.key for row, line in found.items()}, POINTS)
    settings, setting_rows = _settings(grids[SETTINGS], faults)
    changes += _changes(grids[SETTINGS], {row: name for name, row in setting_rows.items()}, ("value",))
    return BookPrices(
        Books(lines, settings), book_rows, line_rows, setting_rows, tuple(changes), tuple(faults)
    )


def _grids(book: Book) -> tuple[dict[str, Grid], list[Fault]]:
    grids, faults = {}, []
    for name, sheet in {**BOOK_SHEETS, SETTINGS: SETTINGS}.items():
        columns = SETTING_COLUMNS if name == SETTINGS else COLUMNS
        required = ("name", "value") if name == SETTINGS else ("key", *POINTS)
        try:
            grids[name] = read_grid(book, sheet, columns, required)
        except BadInput as refusal:
            faults += refusal.faults
    return grids, faults


def _last_row(grid: Grid, columns: Iterable[str]) -> int:
    """The last row that has the formula of a state, or anything at all where none has."""
    rows = [row for row in grid.rows if row > grid.mark_row]
    with_state = [row for row in rows if grid.cell(row, "state").formula]
    filled = [row for row in rows if any(grid.cell(row, column) != NOTHING for column in columns)]
    return max([grid.mark_row, *(with_state or filled)])


def _lines(name: str, grid: Grid, last: int, faults: list[Fault]) -> dict[int, BookLine]:
    """Lines by row, blank rows between them too: a place in the book counts these.

    A row that has neither key nor number is blank.
    """
    ours = load().books.keys(name)
    found: dict[int, BookLine] = {}
    seen: set[str] = set()
    used = [
        row for row in sorted(grid.rows)
        if row > grid.mark_row and any(grid.cell(row, column) != NOTHING for column in ("key", *POINTS))
    ]  # fmt: skip
    faults += [
        grid.fault(
            row, "key", "a line below the last row", "above it",
            "it is not counted: build with a longer book for more lines than there are blank rows",
        )
        for row in used if row > last
    ]  # fmt: skip
    used = [row for row in used if row <= last]
    for row in range(grid.mark_row + 1, max([grid.mark_row, *used]) + 1):
        if row not in used:
            found[row] = BLANK
            continue
        key = _key(name, grid, row, ours, seen, faults)
        numbers = {point: _number(grid, row, point, faults) for point in POINTS}
        _check_order(grid, row, numbers, faults)
        found[row] = BookLine(
            key, _text(grid.cell(row, "words")), _text(grid.cell(row, "unit")) if name in NAMED_UNITS else "",
            *numbers.values(), _copper(name, grid, row, faults),
            _text(grid.cell(row, "date")), _text(grid.cell(row, "source")),
        )  # fmt: skip
    keys = {line.key.casefold() for line in found.values()}
    faults += [
        Fault(
            grid.file, grid.sheet, None, "key", None, f"no line {shown(key)}",
            "there, as in a new workbook", "write its name back over its row",
        )
        for key in ours if key.casefold() not in keys
    ]  # fmt: skip
    return found


def _key(
    name: str, grid: Grid, row: int, ours: tuple[str, ...], seen: set[str], faults: list[Fault]
) -> str:
    cell = grid.cell(row, "key")
    key = _text(cell)
    problem: tuple[str, str, str] | None = None
    if cell.value is None:
        problem = "nothing", "the name of the line", "type it, or clear the numbers beside it"
    elif cell.is_error or not isinstance(cell.value, str):
        problem = shown(cell.value), "a name as text", _WRITE_BACK
    elif key != key.strip():
        problem = shown(key), "a name without spaces at its ends", "type it anew"
    elif key.casefold() in seen:
        problem = f"{shown(key)} a second time", "each line once", "delete one of them"
    elif name != PRICE_BOOK and key.casefold() not in {one.casefold() for one in ours}:
        problem = shown(key), "a line that a new workbook has", _WRITE_BACK
    if problem:
        faults.append(grid.fault(row, "key", *problem))
    seen.add(key.casefold())
    return key


def _number(grid: Grid, row: int, column: str, faults: list[Fault], within: tuple[float, float] = (0, math.inf)) -> float:
    """The number of a cell, NaN where there is none."""
    cell, (low, high) = grid.cell(row, column), within
    expected = AMOUNT if high == math.inf else f"a number from {low} to {high}"
    if high == math.inf and low:
        expected = f"a number of {low} or more"
    value = cell.value
    is_number = isinstance(value, float)
    if is_number and low <= value <= high:
        return value
    found, todo = shown(value), _TYPE
    if cell.formula and value is None:
        found = "a formula without a result"
    elif cell.is_error:
        found = f"the error value {value}"
    elif isinstance(value, str):
        found, todo = f"the text {found}", "clear the cell and type the number anew"
    faults.append(grid.fault(row, column, found, expected, todo))
    return value if is_number else math.nan


def _check_order(grid: Grid, row: int, numbers: Mapping[str, float], faults: list[Fault]) -> None:
    """low, likely and high must rise; the fault stands at the first that does not."""
    if not all(value >= 0 for value in numbers.values()):
        return
    low, likely, high = numbers.values()
    if low <= likely <= high:
        return
    words = ", ".join(f"{point} {shown(value)}" for point, value in numbers.items())
    column = "likely" if low > likely else "high"
    faults.append(grid.fault(row, column, words, "low, likely and high that rise", "put them in order"))


def _copper(name: str, grid: Grid, row: int, faults: list[Fault]) -> bool:
    cell = grid.cell(row, "copper")
    if name != PRICE_BOOK or cell == NOTHING:
        return False
    word = _text(cell).casefold()
    if word not in ("yes", "no"):
        faults.append(grid.fault(row, "copper", shown(cell.value), "yes, no or blank", ""))
    return word == "yes"


def _settings(grid: Grid, faults: list[Fault]) -> tuple[dict[str, Setting], dict[str, int]]:
    """Settings by name and their rows, in the order of the sheet.

    Formulas know a setting by its cell. So where a name is lost the rows that
    are left over are taken for the names that are, in order.
    """
    ours = load().books.settings
    rows = [
        row for row in sorted(grid.rows)
        if row > grid.mark_row and any(grid.cell(row, column) != NOTHING for column in ("name", "value", "state"))
    ]  # fmt: skip
    place: dict[str, int] = {}
    left: list[int] = []
    for row in rows:
        name = _text(grid.cell(row, "name"))
        if name in ours and name not in place:
            place[name] = row
            continue
        left.append(row)
        found = f"{shown(name)} a second time" if name in place else shown(name)
        todo = did_you_mean(name, tuple(ours)) or _WRITE_BACK
        faults.append(grid.fault(row, "name", found, "the name of a setting, each in one row", todo))
    lost = [name for name in ours if name not in place]
    faults += [
        Fault(
            grid.file, grid.sheet, None, "name", None, f"no setting {shown(name)}",
            "there, as in a new workbook", "write its name back over its row",
        )
        for name in lost
    ]  # fmt: skip
    place |= dict(zip(lost, left, strict=False))
    settings = {}
    for name in sorted(ours, key=lambda one: place.get(one, math.inf)):
        row = place.get(name)
        value = "" if ours[name].unit == TEXT_UNIT else math.nan
        if row is not None:
            value = _value(grid, row, ours[name], faults)
        source = _text(grid.cell(row, "source")) if row else ours[name].source
        settings[name] = Setting(name, ours[name].meaning, ours[name].unit, value, source)
    end = max([grid.mark_row, *rows])
    gone = [name for name in settings if name not in place]
    place |= {name: end + down for down, name in enumerate(gone, start=1)}
    return settings, {name: place[name] for name in settings}


def _value(grid: Grid, row: int, setting: Setting, faults: list[Fault]) -> float | str:
    if setting.unit == TEXT_UNIT:
        cell = grid.cell(row, "value")
        if cell.is_error or (cell.formula and cell.value is None):
            found = f"the error value {cell.value}" if cell.is_error else "a formula without a result"
            faults.append(grid.fault(row, "value", found, "a text", "type the text"))
        return _text(cell)
    return _number(grid, row, "value", faults, LIMITS.get(setting.name, (0, math.inf)))


def _changes(grid: Grid, keys: Mapping[int, str], columns: Iterable[str]) -> list[Change]:
    """Cells that differ from what stands beside them as built."""
    found = []
    for row, key in sorted(keys.items()):
        for column in columns:
            built_column = f"built_{column}"
            if built_column not in grid.columns:
                continue
            there, built = grid.cell(row, column).value, grid.cell(row, built_column).value
            if there != built:
                cell = f"{column_letters(grid.columns[column])}{row}"
                found.append(Change(grid.sheet, cell, key, column, built, there))
    return found


def _text(cell: Cell) -> str:
    """What a cell holds as text; a whole number without a decimal point."""
    value = cell.value
    if value is None:
        return ""
    return value if isinstance(value, str) else shown(value)
