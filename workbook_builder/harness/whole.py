"""Whether a workbook is whole: sheets, marks, rows, defined names; and what else is not as built but no fault."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import SequenceMatcher

from ..sheets.layout import letter
from ..sheets.model import MARK_ROW
from .built import WORDS_ONLY, Built
from .engines.cells import position
from .engines.package import place_of
from .file_cells import FileCells, SheetCells
from .finding import Finding
from .places import Places, SheetPlace


def whole_findings(file: FileCells, built: Built, places: Places) -> list[Finding]:
    """What is missing, renamed, hidden, doubled or put between, a line each."""
    found = list(_sheets(file, built, places))
    for name, place in places.sheets.items():
        found += _marks(name, place, built, file.sheets[place.title])
        found += _rows(name, place, built)
    return found + list(_names(file, built, places))


def _sheets(file: FileCells, built: Built, places: Places) -> Iterator[Finding]:
    for name in built.order:
        if name not in places.sheets:
            yield Finding("missing", name, "", "", "no such sheet", "the sheet")
        elif places.sheets[name].title != name:
            yield Finding("renamed", name, "", "", f"named {places.sheets[name].title}", f"named {name}")
    for title, how in file.hidden.items():
        words = {"hidden": "hidden", "veryHidden": "hidden so that no menu shows it"}
        yield Finding("hidden", title, "", "", words.get(how, how), "in sight")


def _marks(name: str, place: SheetPlace, built: Built, cells: SheetCells) -> Iterator[Finding]:
    marks = built.marks(name)
    if marks and not place.mark_row:
        yield Finding("missing", name, "", "", "no row of names", f"the row of names, row {MARK_ROW} when built")
        return
    for mark, at in place.unmarked.items():
        if at in place.lost_columns:
            cell, seen = "", "no column of that name"
        else:
            column = place.column(at)
            cell, seen = f"{letter(column)}{place.mark_row}", cells.values.get((place.mark_row, column))
        kind = "missing" if not cell or seen is None else "changed"
        yield Finding(kind, name, cell, mark, seen, mark)
    for mark, columns in place.doubled.items():
        kept = place.column(marks[mark])
        for column in columns:
            if column != kept:
                yield Finding("doubled", name, f"{letter(column)}{place.mark_row}", mark, mark, "there once")


def _rows(name: str, place: SheetPlace, built: Built) -> Iterator[Finding]:
    if name in built.entry_sheets and place.mark_row:
        grid = built.layout.grids[built.entry_sheets[name]]
        rows = place.row(grid.end_row) - place.mark_row - 1
        if rows < grid.rows:
            yield Finding("missing", name, "", "", f"{rows} rows", f"{grid.rows} rows, as are calculated")
    for first, last in _runs(sorted(place.lost_rows)):
        rows = f"row {first}" if first == last else f"rows {first} to {last}"
        yield Finding("missing", name, "", "", f"no {rows} of those built", "the row")
    for first, last in _runs(place.new_rows):
        yield Finding("extra", name, f"{first}:{last}", "", "a row put between", "none")


def _runs(rows: tuple[int, ...] | list[int]) -> Iterator[tuple[int, int]]:
    """First and last of each run of neighbouring rows."""
    start = None
    for at, row in enumerate(rows):
        start = row if start is None else start
        if at + 1 == len(rows) or rows[at + 1] != row + 1:
            yield start, row
            start = None


def _names(file: FileCells, built: Built, places: Places) -> Iterator[Finding]:
    """Defined names of the whole workbook that no longer mean their cell."""
    for name, target in built.cells.names.items():
        sheet, row, column = place_of(target)
        place = places.sheets.get(sheet)
        if place is None:
            continue
        there = place.title, place.row(row), place.column(column)
        expected = f"{place.title}!{letter(there[2])}{there[1]}"
        found = file.names.get(name)
        if found is None:
            yield Finding("missing", sheet, "", f"defined name {name}", "no such name", expected)
        elif place_of(found) != there:
            yield Finding("changed", sheet, "", f"defined name {name}", found.replace("$", ""), expected)


def listed_findings(file: FileCells, built: Built, places: Places) -> list[Finding]:
    """Sheets put in, another order of sheets, protection and checks of entries taken off: told, and no fault."""
    titles = {place.title: name for name, place in places.sheets.items()}
    found = [
        Finding("extra", title, "", "", "a sheet put in", "none") for title in file.sheets if title not in titles
    ]
    there = [titles[title] for title in file.sheets if title in titles]
    due = [name for name in built.order if name in there]
    kept = {name for block in SequenceMatcher(None, due, there, autojunk=False).get_matching_blocks()
            for name in due[block.a : block.a + block.size]}  # fmt: skip
    found += [
        Finding("order", name, "", "", "in another place", "the order of the sheets as built")
        for name in due if name not in kept
    ]  # fmt: skip
    for name, place in places.sheets.items():
        model, cells = built.cells.sheets[name], file.sheets[place.title]
        if name not in WORDS_ONLY and built.is_protected(name) and not cells.is_protected:
            found.append(Finding("protection", name, "", "", "no protection", "protected against slips"))
        if name not in WORDS_ONLY:
            found += _unchecked(name, place, model, cells)
    return found


def _unchecked(name: str, place: SheetPlace, model: SheetCells, cells: SheetCells) -> Iterator[Finding]:
    """Columns in which the check of what is typed was taken off altogether."""
    there = {column for area in cells.checked for column in _columns_of(area)}
    due = {column for area in model.checked for column in _columns_of(area)}
    gone = [place.column(column) for column in due if place.column(column) not in there]
    for first, last in _runs(sorted(gone)):
        columns = letter(first) if first == last else f"{letter(first)}:{letter(last)}"
        yield Finding("unchecked", name, columns, "", "no check of what is typed", "the check")


def _columns_of(area: str) -> range:
    """Columns of an area of cells; none of what names no area."""
    first, _, last = area.replace("$", "").partition(":")
    try:
        return range(position(first)[1], position(last or first)[1] + 1)
    except ValueError:
        return range(0)
