"""Answers for one workbook: are the inputs valid, the formulas ours, the results right?"""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from os import PathLike, fspath

import pandas as pd

from ..code_tables.books import Books
from ..code_tables.load import load
from ..reader.book_jobs import BookInputs, read_book
from ..reader.book_prices import Change
from ..reference.run import calculate_all
from ..sheets.books import book_formulas
from ..sheets.compile import compile_book
from ..sheets.layout import LINE_ROWS, Layout, letter
from ..sheets.model import CIRCUIT_GRID, FIRST_ROW, JOB_GRID, CompiledSheet
from ..sheets.order import SHEETS
from ..sheets.pages import page_formulas
from .book_values import book_values
from .compare import Comparison, Difference, Expected, compare, compare_cells
from .engines import ENGINES, Grid, available, recalculate, value_at
from .engines.cells import position
from .formula_cells import MOST_FORMULA_FAULTS, check_count, formula_cells, same_form

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
    """Everything verify found. clean means nothing to act on.

    changes: what differs in the books and settings from what the workbook was
    built with; that is what they are for, and nothing wrong.
    """

    file: str
    jobs: int
    rows: int
    circuits: int
    circuit_rows: int
    formulas: int
    input_faults: list[str] = field(default_factory=list)
    formula_faults: list[Difference] = field(default_factory=list)
    overrides: dict[str, float | str] = field(default_factory=dict)
    changes: list[Change] = field(default_factory=list)
    engines: list[EngineReport] = field(default_factory=list)
    skipped: list[str] = field(default_factory=list)

    @property
    def clean(self) -> bool:
        return not (
            self.input_faults
            or self.formula_faults
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


def verify(
    path: str | PathLike[str],
    *,
    engines: Sequence[str],
    skipped: Sequence[str] = (),
    progress: Callable[[str], object] | None = None,
    found_by: dict[str, dict[str, pd.DataFrame]] | None = None,
) -> Report:
    """Check a workbook. found_by takes, for each engine, what recalculated_frames gives.

    Raises BadInput for a file that cannot be trusted to open, EngineMissing and
    EngineFailed as `recalculate` does."""
    tell = progress or (lambda _: None)
    tell("reading the entries")
    book = read_book(path)
    layout = layout_of(book)
    sheets = compile_book(SHEETS, layout)
    raw = by_place(book)
    entered = {grid: frame.notna().any(axis=1).tolist() for grid, frame in raw.items()}
    report = Report(
        file=fspath(path),
        jobs=sum(entered[JOB_GRID]),
        rows=book.rows,
        circuits=sum(entered[CIRCUIT_GRID]),
        circuit_rows=book.circuit_rows,
        formulas=0,
        input_faults=[str(fault) for fault in book.faults],
        overrides=dict(book.overrides),
        changes=list(book.prices.changes),
        skipped=list(skipped),
    )
    tell("reading the formulas")
    found = formula_cells(path)
    report.formulas = sum(len(cells) for cells in found.values())
    check_count(path, found, sum(len(sheet.columns) * layout.rows_of(sheet.grid) for sheet in sheets))
    report.formula_faults = as_built(found, sheets, layout)
    tell("calculating the reference")
    books = books_of(book)
    jobs, circuits = calculate_all(raw[JOB_GRID], raw[CIRCUIT_GRID], overrides=book.overrides, books=books)
    cells = book_values(books, sheets, layout, line_rows=book.prices.line_rows)
    results = {JOB_GRID: jobs, CIRCUIT_GRID: circuits}
    inputs = {sheet.grid: layout.grids[sheet.grid] for sheet in sheets}
    for engine in engines:
        start = time.perf_counter()
        used = {grid: [at for at, some in enumerate(entered[grid]) if some] for grid in raw}
        few = engine == FEW_ROWS
        grids = recalculate(
            path,
            engine=engine,
            keep_rows=_kept(sheets, layout, used, found) if few else None,
            progress=progress,
        )
        comparison = compare(
            grids,
            sheets=sheets,
            expected={
                grid: Expected(results[grid], entered[grid], used[grid] if few else None) for grid in raw
            },
            inputs={grid: (place.sheet, place.state) for grid, place in inputs.items()},
        )
        comparison += compare_cells(grids, cells, layout)
        if found_by is not None:
            found_by[engine] = _frames(grids, sheets, layout)
        seconds = time.perf_counter() - start
        report.engines.append(EngineReport(engine, available(engine) or "", seconds, comparison))
    return report


def books_of(book: BookInputs) -> Books:
    """The books of a workbook; those of the package for one that has none."""
    return book.prices.books or load().books


def layout_of(book: BookInputs) -> Layout:
    """Where everything stands in a workbook of that many rows, books so long and settings in that order."""
    return Layout(
        load(),
        rows=book.rows,
        circuit_rows=book.circuit_rows,
        book_rows=book.prices.book_rows,
        setting_rows=book.prices.setting_rows,
    )


def by_place(book: BookInputs) -> dict[str, pd.DataFrame]:
    """The entries of each grid with a row for every row of it, blank ones too."""
    frames = {JOB_GRID: (book.jobs, book.rows), CIRCUIT_GRID: (book.circuits, book.circuit_rows)}
    return {
        grid: frame.reindex(range(FIRST_ROW, FIRST_ROW + rows)).reset_index(drop=True)
        for grid, (frame, rows) in frames.items()
    }


def _kept(
    sheets: Sequence[CompiledSheet],
    layout: Layout,
    used: Mapping[str, Sequence[int]],
    there: Collection[str],
) -> dict[str, set[int]]:
    """The rows in use, and the first one, of every sheet of a grid that the file has."""
    grids = {sheet.name: sheet.grid for sheet in sheets}
    grids |= {layout.grids[grid].sheet: grid for grid in grids.values()}
    return {
        name: {FIRST_ROW, *(FIRST_ROW + place for place in used[grid])}
        for name, grid in grids.items()
        if name in there
    }


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


def as_built(
    found: Mapping[str, Mapping[tuple[int, int], str]], sheets: Sequence[CompiledSheet], layout: Layout
) -> list[Difference]:
    """Each calculated cell whose formula, of those found in the file, is not the one that was built."""
    faults: list[Difference] = []

    def look(sheet: str, row: int, number: int, name: str, built: str) -> None:
        there = found.get(sheet, {}).get((row, number))
        if there is None or not same_form(there, built):
            if len(faults) == MOST_FORMULA_FAULTS:
                return
            shown = None if there is None else "=" + there
            faults.append(Difference(sheet, f"{letter(number)}{row}", name, "", shown, "=" + built))

    for sheet in sheets:
        for number, column in enumerate(sheet.columns, start=2):
            for row in range(FIRST_ROW, layout.grids[sheet.grid].last_row + 1):
                look(sheet.name, row, number, column.name, column.at(row)[1:])
    for page, cells in page_formulas(sheets, layout).items():
        for cell, built in cells.items():
            look(page, *position(cell), "", built)
    has_books = set(LINE_ROWS) <= {sheet.name for sheet in sheets}
    for sheet, cells in (book_formulas(sheets, layout) if has_books else {}).items():
        for cell, built in cells.items():
            look(sheet, *position(cell), "", built)
    return faults
