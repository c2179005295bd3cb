"""Carries what people typed from an old workbook into a new one of this version, and tells what became of each value."""

from __future__ import annotations

import itertools
import math
import os
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import pandas as pd

from ..code_tables.books import BOOKS, POINTS, BookLine, Books, Setting
from ..code_tables.load import load
from ..exits import Usage
from ..reader.book_jobs import CIRCUITS, JOBS, LOCAL_RULES, read_book
from ..reader.book_prices import TEXT_UNIT
from ..reader.faults import Fault, shown
from ..reader.limits import MOST_CIRCUITS, MOST_JOBS
from ..reader.safety import open_safely
from ..reader.salvage import Salvage, salvage
from ..reference.run import calculate_all
from ..sheets.compile import compile_book
from ..sheets.directory import DIRECTORY
from ..sheets.layout import CIRCUIT_ROWS, LISTS, SETTINGS, TABLE_SHEETS, Layout
from ..sheets.order import SHEETS
from ..sheets.pages import page_names
from ..writer.context import PRICE_SHEETS, PROVENANCE, RULES, START
from ..writer.on_disk import replace_file
from ..writer.workbook import Summary, write_workbook
from .book_values import book_values
from .formula_cells import formula_cells

Typed = dict[str, dict[str, object]]
NEW_ROWS = {JOBS: 100, CIRCUITS: CIRCUIT_ROWS}
"""Rows of a list that the old workbook has not."""
_MOST = {JOBS: MOST_JOBS, CIRCUITS: MOST_CIRCUITS}


@dataclass(frozen=True)
class Carried:
    """What was written, what became of every value, and the entries that are not valid in the new workbook."""

    summary: Summary
    old: Salvage
    faults: tuple[Fault, ...]

    @property
    def clean(self) -> bool:
        """Everything was carried as it stood, and all of it is valid."""
        return not (self.old.refused or self.old.changed or self.faults)


def carry(
    path: Path,
    out: Path,
    *,
    rows: int | None = None,
    circuit_rows: int | None = None,
    progress: Callable[[str], object] | None = None,
) -> Carried:
    """Writes `out` with the entries of the workbook at `path`, which is only read.

    Grids have as many rows as there, or as asked for; blank rows between entries
    stay where the grid has room for them. Raises Usage where `out` is that very
    file or the rows are too few, BadInput where the workbook cannot be opened.
    """
    if same_file(path, out):
        raise Usage(f"{out}: the old workbook itself; give the new one another name")
    tell = progress or (lambda _: None)
    tell("reading the old workbook")
    open_safely(path).close()
    old = salvage(path, known_sheets=sheet_names(), formulas=formula_cells(path))
    jobs = _placed(old, JOBS, rows, "rows")
    circuits = _placed(old, CIRCUITS, circuit_rows, "circuit-rows")
    books = books_of(old)
    layout = Layout(
        load().with_books(books),
        rows=rows or max(old.rows[JOBS] or NEW_ROWS[JOBS], len(jobs)),
        circuit_rows=circuit_rows or max(old.rows[CIRCUITS] or NEW_ROWS[CIRCUITS], len(circuits)),
    )
    tell("calculating the reference")
    results, circuit_results = calculate_all(jobs, circuits, overrides=old.overrides, books=books)
    tell("compiling the formulas")
    sheets = compile_book(SHEETS, layout)
    with tempfile.TemporaryDirectory(prefix="carry-") as folder:
        beside = Path(folder) / out.name
        summary = write_workbook(
            beside,
            layout=layout,
            sheets=sheets,
            jobs=jobs,
            results=results,
            circuits=circuits,
            circuit_results=circuit_results,
            built_on=date.today().isoformat(),
            overrides=_given(old, "override"),
            reasons=_given(old, "reason"),
            book_results=book_values(books, sheets, layout),
            built_books=load().books,
            as_typed=_as_typed(old, books, layout),
            progress=progress,
        )
        tell("reading the new workbook back")
        faults = read_book(beside).faults
        target = replace_file(out, beside.read_bytes())
    return Carried(replace(summary, path=target), old, faults)


def sheet_names() -> tuple[str, ...]:
    """Every sheet that is built."""
    names = [sheet.name for sheet in SHEETS]
    return (
        START, JOBS, CIRCUITS, *names, DIRECTORY, *page_names(names), *PRICE_SHEETS,
        LOCAL_RULES, *TABLE_SHEETS, LISTS, PROVENANCE, RULES,
    )  # fmt: skip


def same_file(path: Path, out: Path) -> bool:
    """Whether two names are of one file, through links too."""
    if os.path.realpath(path) == os.path.realpath(out):
        return True
    return out.exists() and path.exists() and os.path.samefile(path, out)


def _placed(old: Salvage, sheet: str, rows: int | None, option: str) -> pd.DataFrame:
    """The rows of a list where they stood, blank ones left out where the new grid has no room for them."""
    frame = old.lists[sheet]
    if rows is not None and not 1 <= rows <= _MOST[sheet]:
        raise Usage(f"--{option} {rows}: from 1 to {_MOST[sheet]:,} rows can be built")
    if rows is None or len(frame) <= rows:
        return frame
    filled = frame[frame.notna().any(axis=1)].reset_index(drop=True)
    if len(filled) > rows:
        raise Usage(f"--{option} {rows}: {len(filled)} {sheet.lower()} need at least as many rows")
    return filled


def books_of(old: Salvage) -> Books:
    """The books in the order of today, with the numbers of the old workbook; a number that is none is NaN."""
    ours = load().books
    lines = {}
    for book in BOOKS:
        typed = {_text(line.get("key")).casefold(): line for line in old.lines.get(book, ())}
        known = {line.key.casefold() for line in ours.lines[book]}
        there = [
            _line(typed[line.key.casefold()], line) if line.key.casefold() in typed else line
            for line in ours.lines[book]
        ]
        added = [line for line in old.lines.get(book, ()) if _text(line.get("key")).casefold() not in known]
        lines[book] = tuple(there + [_line(line, None) for line in added])
    settings = {name: _setting(old.settings.get(name, {}), one) for name, one in ours.settings.items()}
    return Books(lines, settings)


def _line(typed: Mapping[str, object], ours: BookLine | None) -> BookLine:
    """A line as typed; a column that the old workbook has not is as in the line of today."""
    def text(column: str) -> str:
        return _text(typed[column]) if column in typed else getattr(ours, column, "")

    copper = text("copper").casefold() == "yes" if "copper" in typed else bool(ours and ours.copper)
    return BookLine(
        ours.key if ours else text("key"), text("words"), ours.unit if ours else text("unit"),
        *(_number(typed.get(point)) for point in POINTS),
        copper, text("date"), text("source"),
    )  # fmt: skip


def _setting(typed: Mapping[str, object], ours: Setting) -> Setting:
    source = _text(typed["source"]) if "source" in typed else ours.source
    if "value" not in typed:
        return replace(ours, source=source)
    value = _text(typed["value"]) if ours.unit == TEXT_UNIT else _number(typed["value"])
    return replace(ours, value=value, source=source)


def _number(value: object) -> float:
    return value if isinstance(value, float) else math.nan


def _text(value: object) -> str:
    if value is None:
        return ""
    return value if isinstance(value, str) else shown(value)


def _given(old: Salvage, column: str) -> dict[str, object]:
    """Overrides or reasons by parameter, as typed."""
    return {name: one[column] for name, one in old.rules.items() if one.get(column) is not None}


def _as_typed(old: Salvage, books: Books, layout: Layout) -> Typed:
    """Cells whose entry is of another kind than the books can hold, and what was typed there."""
    cells: Typed = {}
    for book in BOOKS:
        place, ours = layout.books[book], load().books.lines[book]
        known = {line.key.casefold(): place.first_row + down for down, line in enumerate(ours)}
        added = itertools.count(place.first_row + len(ours))
        for typed in old.lines.get(book, ()):
            key = _text(typed.get("key")).casefold()
            row = known[key] if key in known else next(added)
            cells.setdefault(place.sheet, {}).update(
                (f"{place.letter_of(column)}{row}", value)
                for column, value in typed.items() if _odd(value, column in POINTS)
            )  # fmt: skip
    for name, typed in old.settings.items():
        is_number = load().books.settings[name].unit != TEXT_UNIT
        if _odd(typed.get("value"), is_number):
            at = layout.settings.letter_of("value")
            cells.setdefault(SETTINGS, {})[f"{at}{layout.setting_rows[name]}"] = typed["value"]
    return cells


def _odd(value: object, is_number: bool) -> bool:
    """Whether a value is of another kind than its column, so that the books cannot hold it."""
    return value is not None and not isinstance(value, float if is_number else str)
