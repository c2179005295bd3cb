"""What is salvaged from a workbook, and how the columns of a sheet are found where names were overwritten."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field

import pandas as pd

from .faults import BadInput, one_line, shown
from .grid import NOTHING, Grid, marked
from .sheet_cells import Book, Cell, column_letters

TITLES_ABOVE = 5
"""The row of titles stands so many rows above the row of names."""
FEWEST_TITLES = 3
LONGEST_TEXT = 32_767
"""Longest text of a cell."""

Raw = float | str | bool | object


@dataclass(frozen=True)
class Found:
    """One value and where it stood: `of` says what it belongs to (a job, a circuit, a line of a book)."""

    sheet: str
    cell: str
    of: str
    field: str
    value: Raw
    why: str = ""

    def __str__(self) -> str:
        place = f"{self.sheet}!{self.cell}" if self.cell else self.sheet
        words = " ".join([place, ", ".join(one for one in (self.of, self.field) if one)]).rstrip()
        value = f": {shown(self.value)}" if self.cell else ""
        return one_line(words + value + (f"; {self.why}" if self.why else ""))


@dataclass
class Salvage:
    """What a workbook holds that people typed.

    sheets: the sheets that were found, by the name they should have. lists: jobs
    and circuits, a row for each place from 0, None for blank, values as typed.
    rows: rows of these grids. rules: override and reason of a parameter as
    typed; overrides: those that can be used. lines: the lines of each book, and
    settings, with their cells as typed. carried, refused, changed, defaulted:
    each value and what became of it.
    """

    file: str
    version: str | None
    formulas: Mapping[str, Mapping[tuple[int, int], str]]
    sheets: dict[str, str] = field(default_factory=dict)
    lists: dict[str, pd.DataFrame] = field(default_factory=dict)
    rows: dict[str, int] = field(default_factory=dict)
    rules: dict[str, dict[str, Raw]] = field(default_factory=dict)
    overrides: dict[str, float | str] = field(default_factory=dict)
    lines: dict[str, list[dict[str, Raw]]] = field(default_factory=dict)
    settings: dict[str, dict[str, Raw]] = field(default_factory=dict)
    carried: list[Found] = field(default_factory=list)
    refused: list[Found] = field(default_factory=list)
    changed: list[Found] = field(default_factory=list)
    defaulted: list[Found] = field(default_factory=list)

    def take(
        self, grid: Grid, row: int, name: str, of: str, *, kind: Callable[[Raw], Raw] = lambda value: value
    ) -> Raw | None:
        """The value of a cell, which is carried; None where there is none that can be.

        A formula is carried as its last result, and an error value as text;
        both are told.
        """
        cell = grid.cell(row, name)
        if cell == NOTHING:
            return None
        column = grid.columns[name]
        if cell.value is None:
            self.refuse(grid, row, name, of, "a formula without a result")
            return None
        if isinstance(cell.value, str) and len(cell.value) > LONGEST_TEXT:
            self.refuse_at(grid.sheet, row, column, of, name, cell.value, "longer than a cell may be")
            return None
        value = kind(cell.value)
        found = Found(grid.sheet, f"{column_letters(column)}{row}", of, name, value)
        self.carried.append(found)
        if cell.formula:
            formula = self.formulas.get(grid.sheet, {}).get((row, column), "")
            self._change(found, f"the last result of the formula ={formula}")
        elif cell.is_error:
            self._change(found, "an error value, carried as text")
        return value

    def _change(self, found: Found, why: str) -> None:
        self.changed.append(Found(found.sheet, found.cell, found.of, found.field, found.value, why))

    def note(self, grid: Grid, row: int, name: str, why: str) -> None:
        """Tells of a value that is carried, but not as it stood."""
        at = column_letters(grid.columns[name]) if name in grid.columns else ""
        self.changed.append(Found(grid.sheet, f"{at}{row}", "", name, grid.cell(row, name).value, why))

    def refuse(self, grid: Grid, row: int, name: str, of: str, why: str) -> None:
        """Tells of a value under a known name that is not carried."""
        column = grid.columns[name]
        value = self.shown_value(grid.sheet, row, column, grid.cell(row, name))
        self.refuse_at(grid.sheet, row, column, of, name, value, why)

    def shown_value(self, sheet: str, row: int, column: int, cell: Cell) -> Raw:
        """The value of a cell, or its formula where it has no value."""
        if cell.value is None and cell.formula:
            return "=" + self.formulas.get(sheet, {}).get((row, column), "")
        return cell.value

    def refuse_at(self, sheet: str, row: int, column: int, of: str, name: str, value: Raw, why: str) -> None:
        self.refused.append(Found(sheet, f"{column_letters(column)}{row}", of, name, value, why))

    def lost(self, sheet: str, why: str) -> None:
        """Tells of a sheet that cannot be read at all."""
        self.refused.append(Found(sheet, "", "", "", None, why))

    def missing(self, sheet: str, name: str, why: str) -> None:
        """Tells of something that the workbook has not and a new one has."""
        self.defaulted.append(Found(sheet, "", "", name, None, why))


def salvaged_grid(
    book: Book,
    sheet: str,
    names: Sequence[str],
    found: Salvage,
    *,
    titles: Mapping[str, str] | None = None,
    others: Sequence[str] = (),
    optional: bool = False,
) -> Grid | None:
    """A sheet with as many of its columns as can be found; None, which is told, where it cannot be read.

    A name that is not in the row of names is found by the title of its column,
    or between its neighbours where its cell is blank and no column is missing
    or too many there. Of a name that stands twice the first counts. A sheet
    that is not there may be one of `others` that has the names. optional: there
    may be none, in a workbook of an earlier version.
    """
    taken = found.sheets.values()
    candidates = [sheet] if sheet in book.sheets else [title for title in others if title not in taken]
    for title in candidates:
        try:
            rows, mark_row, marks = marked(book, title, names)
        except BadInput:
            continue
        if title != sheet and len(marks) < max(FEWEST_TITLES, len(names) // 2):
            continue
        columns: dict[str, int] = {}
        for name, column in marks:
            columns.setdefault(name, column)
        mark_row = mark_row or _below_titles(rows, titles or {})
        if not mark_row:
            continue
        _by_title(rows.get(mark_row - TITLES_ABOVE, {}), titles or {}, columns)
        _by_neighbours(rows.get(mark_row, {}), names, columns)
        found.sheets[sheet] = title
        return Grid(found.file, title, rows, mark_row, columns)
    if sheet not in book.sheets:
        if optional:
            found.missing(sheet, "", "no such sheet; as a new workbook has it")
        else:
            found.lost(sheet, "no such sheet; as a new workbook has it")
        return None
    found.sheets[sheet] = sheet
    found.lost(sheet, "no row of names can be found; as a new workbook has it")
    for row, cells in marked(book, sheet, ())[0].items():
        for column, cell in cells.items():
            if not cell.formula:
                found.refuse_at(sheet, row, column, "", "", cell.value, "no row of names says what it is")
    return None


def _below_titles(rows: Mapping[int, Mapping[int, Cell]], titles: Mapping[str, str]) -> int:
    """Where the row of names should be, from the row of titles; 0 where that is not there either."""
    words = set(titles.values())
    counts = {row: sum(cell.value in words for cell in cells.values()) for row, cells in rows.items()}
    best = max(counts, key=lambda row: counts[row], default=0)
    return best + TITLES_ABOVE if counts.get(best, 0) >= FEWEST_TITLES else 0


def _by_title(row: Mapping[int, Cell], titles: Mapping[str, str], columns: dict[str, int]) -> None:
    for name, title in titles.items():
        at = [column for column, cell in row.items() if cell.value == title and column not in columns.values()]
        if name not in columns and len(at) == 1:
            columns[name] = at[0]


def _by_neighbours(row: Mapping[int, Cell], names: Sequence[str], columns: dict[str, int]) -> None:
    there = [place for place, name in enumerate(names) if name in columns]
    for place, name in enumerate(names):
        left = max((one for one in there if one < place), default=None)
        right = min((one for one in there if one > place), default=None)
        if name in columns or left is None or right is None:
            continue
        first, last = columns[names[left]], columns[names[right]]
        at = first + place - left
        if last - first == right - left and row.get(at, NOTHING).value is None and at not in columns.values():
            columns[name] = at


def take_rest(
    grid: Grid,
    found: Salvage,
    *,
    filled: Collection[str] = (),
    ignored: Callable[[object], bool] = lambda name: False,
    end: int | None = None,
) -> None:
    """Refuses every value that stands in a column without a name that is known.

    filled: columns that the workbook fills with formulas, where only a typed
    value is told; ignored: names of columns whose values are built. end: the
    row after the last one, of which only the words that end the list belong there.
    """
    marks = grid.rows.get(grid.mark_row, {})
    names = {column: cell.value for column, cell in marks.items()}
    names |= {column: name for name, column in grid.columns.items()}
    for row, cells in grid.rows.items():
        if row <= grid.mark_row:
            continue
        for column, cell in cells.items():
            name = names.get(column)
            why = ""
            if ignored(name) or (cell.formula and name in filled):
                continue
            if name in filled:
                why = "typed over what the workbook fills in"
            elif row == end:
                why = "" if name == "job_no" else "in the row that ends the list"
            elif column not in grid.columns.values():
                why = "no field has that name today" if isinstance(name, str) else "its column has no name"
            if why:
                value = found.shown_value(grid.sheet, row, column, cell)
                found.refuse_at(grid.sheet, row, column, "", name if isinstance(name, str) else "", value, why)
