"""Answers for one workbook, in this order: is it safe to open, whole, are its entries valid, its formulas as
built, what was changed in books and local rules, and do the recalculated results equal the reference?"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from os import PathLike, fspath

import pandas as pd

from ..code_tables.books import Books
from ..code_tables.load import load
from ..reader.book_jobs import BookInputs, read_book
from ..reader.book_prices import Change
from ..reader.faults import BadInput
from ..reader.safety import open_safely
from ..reference.run import calculate_all
from ..sheets.compile import compile_book
from ..sheets.layout import Layout
from ..sheets.model import CIRCUIT_GRID, FIRST_ROW, JOB_GRID, CompiledSheet
from ..sheets.order import SHEETS
from .book_values import book_values, rule_values
from .built import WORDS_ONLY, Built, built_as
from .compare import Comparison, Expected, compare, compare_cells
from .engines import ENGINES, EngineFailed, Grid, NotAWorkbook, available, recalculate, value_at
from .entry_cells import entry_faults
from .file_cells import FileCells, read_cells
from .finding import Finding
from .formula_cells import check_count
from .judge import judge
from .places import Places, find_places, rows_calculated
from .whole import listed_findings, whole_findings

FEW_ROWS = "formulas"
"""The engine that is too slow for blank rows."""


@dataclass(frozen=True)
class EngineReport:
    """What one engine's recalculation gave."""

    engine: str
    version: str
    seconds: float
    comparison: Comparison


@dataclass
class Report:
    """Everything verify found, in the order of its questions. clean means nothing to act on.

    A file that is not safe to open has no report. whole: what is missing,
    renamed, hidden or put between. input_faults: entries that are not valid.
    formula_faults: formulas and built-in values that are not as built.
    overrides, changes, listed: local rules, books and settings, and words,
    order and protection of sheets that are not as built; that is what they are
    for, or does no harm. unread says why the entries could not be read, and
    failed why an engine gave no results.
    """

    file: str
    jobs: int
    rows: int
    circuits: int
    circuit_rows: int
    formulas: int
    safe: bool = True
    whole: list[Finding] = field(default_factory=list)
    input_faults: list[str] = field(default_factory=list)
    formula_faults: list[Finding] = field(default_factory=list)
    overrides: dict[str, float | str] = field(default_factory=dict)
    changes: list[Change] = field(default_factory=list)
    listed: list[Finding] = field(default_factory=list)
    engines: list[EngineReport] = field(default_factory=list)
    skipped: list[str] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)

    @property
    def clean(self) -> bool:
        return not (
            self.whole
            or self.input_faults
            or self.formula_faults
            or self.unread
            or self.failed
            or any(one.comparison.differences for one in self.engines)
        )


def chosen_engines(wanted: str) -> tuple[list[str], list[str]]:
    """Engines to use and engines that are not installed, for `all`, `any` or a name.

    `any` is the fastest one that is there. Raises ValueError for another word.
    """
    if wanted == "all":
        there = [engine for engine in ENGINES if available(engine)]
        return there, [engine for engine in ENGINES if engine not in there]
    if wanted == "any":
        order = ("ironcalc", "libreoffice", "gnumeric", "formulas")
        return [engine for engine in order if available(engine)][:1], []
    if wanted not in ENGINES:
        raise ValueError(f"engine {wanted!r}; there are {', '.join(ENGINES)}, all and any")
    return [wanted], []


@dataclass(frozen=True)
class Looked:
    """A workbook read and set beside what was built: what verify knows before an engine gets the file.

    book is None where the entries cannot be read; refusal says why.
    """

    cells: FileCells
    book: BookInputs | None
    refusal: BadInput | None
    built: Built
    places: Places


def look(path: str | PathLike[str]) -> Looked:
    """Read a workbook. Raises BadInput for a file that cannot be trusted to open or was not built here."""
    open_safely(path).close()
    book, refusal = _read(path)
    try:
        cells = read_cells(path, leave_out=WORDS_ONLY)
    except NotAWorkbook:
        if refusal:
            raise refusal from None
        raise
    rows = rows_calculated(cells, _grid_sheets())
    if refusal and not any(rows.values()):
        raise refusal
    layout = layout_of(book, rows)
    check_count(path, cells.formula_count, _built_count(layout))
    built = built_as(layout)
    places = find_places(cells, built)
    renamed = {name: place.title for name, place in places.sheets.items() if place.title != name}
    if renamed:
        book, refusal = _read(path, renamed)
        built = built_as(layout_of(book, rows))
        places = find_places(cells, built)
    return Looked(cells, book, refusal, built, places)


def _read(
    path: str | PathLike[str], renamed: Mapping[str, str] | None = None
) -> tuple[BookInputs | None, BadInput | None]:
    try:
        return read_book(path, renamed=renamed or {}), None
    except BadInput as refusal:
        return None, refusal


def report_on(path: str | PathLike[str], looked: Looked, *, skipped: Sequence[str] = ()) -> Report:
    """All that can be told without recalculating."""
    book, built, places = looked.book, looked.built, looked.places
    judgement = judge(looked.cells, built, places)
    report = Report(
        file=fspath(path),
        jobs=0,
        rows=built.layout.rows,
        circuits=0,
        circuit_rows=built.layout.rows_of(CIRCUIT_GRID),
        formulas=looked.cells.formula_count,
        whole=whole_findings(looked.cells, built, places),
        formula_faults=judgement.faults,
        listed=[*listed_findings(looked.cells, built, places), *judgement.words],
        skipped=list(skipped),
    )
    if book is None:
        report.unread = str(looked.refusal).split("\n")
        return report
    raw = by_place(book)
    report.jobs, report.circuits = (int(raw[grid].notna().any(axis=1).sum()) for grid in (JOB_GRID, CIRCUIT_GRID))
    report.rows, report.circuit_rows = book.rows, book.circuit_rows
    report.input_faults = entry_faults(book, looked.cells, built, places)
    report.overrides = dict(book.overrides)
    report.changes = list(book.prices.changes)
    return report


def verify(
    path: str | PathLike[str],
    *,
    engines: Sequence[str],
    skipped: Sequence[str] = (),
    progress: Callable[[str], object] | None = None,
    found_by: dict[str, dict[str, pd.DataFrame]] | None = None,
) -> Report:
    """Check a workbook. found_by takes, for each engine, what recalculated_frames gives.

    Raises BadInput for a file that cannot be trusted to open or was not built
    here, EngineMissing as `recalculate` does."""
    tell = progress or (lambda _: None)
    tell("reading the workbook")
    looked = look(path)
    tell("comparing the formulas")
    report = report_on(path, looked, skipped=skipped)
    if looked.book is None or not engines:
        return report
    tell("calculating the reference")
    expected = Results(looked)
    for engine in engines:
        start = time.perf_counter()
        try:
            grids = expected.recalculated(path, engine, progress)
        except (EngineFailed, NotAWorkbook) as fault:
            report.failed.append(str(fault))
            continue
        comparison = expected.compared(grids, engine)
        if found_by is not None:
            found_by[engine] = _frames(grids, looked.built.sheets, looked.built.layout)
        seconds = time.perf_counter() - start
        report.engines.append(EngineReport(engine, available(engine) or "", seconds, comparison))
    return report


class Results:
    """What the reference makes of the entries of a workbook, and where it should stand."""

    def __init__(self, looked: Looked) -> None:
        book, built = looked.book, looked.built
        self._built, self._places = built, looked.places
        raw = by_place(book)
        books = books_of(book)
        typed = {JOB_GRID: book.rows, CIRCUIT_GRID: book.circuit_rows}
        jobs, circuits = calculate_all(raw[JOB_GRID], raw[CIRCUIT_GRID], overrides=book.overrides, books=books)
        results = {JOB_GRID: jobs, CIRCUIT_GRID: circuits}
        self._common = {grid: min(typed[grid], built.layout.rows_of(grid)) for grid in raw}
        entered = {grid: frame.notna().any(axis=1).tolist() for grid, frame in raw.items()}
        self._used = {
            grid: [at for at in range(self._common[grid]) if entered[grid][at]] for grid in raw
        }
        self._expected = {
            grid: Expected(results[grid].head(common), entered[grid][:common])
            for grid, common in self._common.items()
        }
        self._cells = book_values(books, built.sheets, built.layout, line_rows=book.prices.line_rows)
        self._cells |= rule_values(book.overrides, built.layout)

    def recalculated(
        self, path: str | PathLike[str], engine: str, progress: Callable[[str], object] | None
    ) -> dict[str, Grid]:
        """The sheets as one engine finds them, by the names they were built with.

        Raises EngineFailed, EngineMissing, NotAWorkbook.
        """
        kept = self._kept() if engine == FEW_ROWS else None
        found = recalculate(path, engine=engine, keep_rows=kept, progress=progress)
        places = self._places.sheets
        return {name: found[place.title] for name, place in places.items() if place.title in found}

    def compared(self, grids: Mapping[str, Grid], engine: str) -> Comparison:
        """What an engine found beside what the reference gives."""
        places, layout = self._places.sheets, self._built.layout
        few = engine == FEW_ROWS
        expected = {
            grid: Expected(own.results, own.entered, self._used[grid] if few else None)
            for grid, own in self._expected.items()
        }
        comparison = compare(
            grids,
            sheets=self._built.sheets,
            expected=expected,
            inputs={grid: (place.sheet, place.state) for grid, place in layout.grids.items()},
            places=places,
        )
        return comparison + compare_cells(grids, self._cells, layout, places)

    def _kept(self) -> dict[str, set[int]]:
        """The rows in use, and the first one, of every sheet of a grid that the file has."""
        layout, places = self._built.layout, self._places.sheets
        grids = {sheet.name: sheet.grid for sheet in self._built.sheets} | self._built.entry_sheets
        return {
            places[name].title: {places[name].row(FIRST_ROW + at) for at in (0, *self._used[grid])}
            for name, grid in grids.items()
            if name in places and layout.rows_of(grid)
        }


def books_of(book: BookInputs) -> Books:
    """The books of a workbook; those of the package for one that has none."""
    return book.prices.books or load().books


def layout_of(book: BookInputs | None, rows: Mapping[str, int] | None = None) -> Layout:
    """Where everything stands in a workbook of that many rows, books so long and settings in that order.

    rows are those of the calculated sheets, where they are known; else the
    calculated sheets have as many as the lists have.
    """
    calculated = rows or {}
    if book is None:
        return Layout(
            load(), rows=calculated.get(JOB_GRID) or 1, circuit_rows=calculated.get(CIRCUIT_GRID) or 1
        )
    return Layout(
        load(),
        rows=calculated.get(JOB_GRID) or book.rows,
        circuit_rows=calculated.get(CIRCUIT_GRID) or book.circuit_rows,
        book_rows=book.prices.book_rows,
        setting_rows=book.prices.setting_rows,
    )


def by_place(book: BookInputs) -> dict[str, pd.DataFrame]:
    """The entries of each grid with a row for every row of it, blank ones too."""
    frames = {
        JOB_GRID: (book.jobs, book.mark_row, book.rows),
        CIRCUIT_GRID: (book.circuits, book.circuit_mark_row, book.circuit_rows),
    }
    return {
        grid: frame.reindex(range(mark_row + 1, mark_row + 1 + rows)).reset_index(drop=True)
        for grid, (frame, mark_row, rows) in frames.items()
    }


def _grid_sheets() -> dict[str, tuple[str, ...]]:
    return {
        grid: tuple(sheet.name for sheet in SHEETS if sheet.grid == grid) for grid in (JOB_GRID, CIRCUIT_GRID)
    }


def _built_count(layout: Layout) -> int:
    """Formulas of the grids of a workbook of that many rows."""
    return sum(len(sheet.columns) * layout.rows_of(sheet.grid) for sheet in SHEETS)


def recalculated_frames(path: str | PathLike[str], *, engine: str) -> dict[str, pd.DataFrame]:
    """Every calculated column as an engine finds it, by grid, a row for each row of the grid."""
    layout = layout_of(read_book(path))
    return _frames(recalculate(path, engine=engine), compile_book(SHEETS, layout), layout)


def _frames(
    grids: Mapping[str, Grid], sheets: Sequence[CompiledSheet], layout: Layout
) -> dict[str, pd.DataFrame]:
    """The columns of recalculated sheets by grid; a sheet, row or cell that is not there is blank."""
    columns: dict[str, dict[str, list[object]]] = {grid: {} for grid in layout.grids}
    for sheet in sheets:
        cells = grids.get(sheet.name, [])
        rows = range(FIRST_ROW, FIRST_ROW + layout.rows_of(sheet.grid))
        for number, column in enumerate(sheet.columns, start=2):
            columns[sheet.grid][column.name] = [value_at(cells, row, number) for row in rows]
    return {grid: pd.DataFrame(found, dtype=object) for grid, found in columns.items()}


def recalculated_frame(path: str | PathLike[str], *, engine: str) -> pd.DataFrame:
    """Every calculated column of the jobs as an engine finds it."""
    return recalculated_frames(path, engine=engine)[JOB_GRID]
