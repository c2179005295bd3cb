"""Answers for one workbook: are the inputs valid, the formulas ours, the results right?"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from os import PathLike, fspath

import pandas as pd

from ..code_tables.load import load
from ..reader.book_jobs import BookInputs, read_book
from ..reference.run import calculate
from ..sheets.compile import compile_book
from ..sheets.layout import Layout, letter
from ..sheets.model import FIRST_ROW, CompiledSheet
from ..sheets.order import SHEETS
from .compare import Comparison, Difference, compare
from .engines import ENGINES, available, recalculate
from .formula_cells import formula_cells, same_form


@dataclass(frozen=True)
class EngineReport:
    """What one engine's recalculation gave."""

    engine: str
    version: str
    seconds: float
    comparison: Comparison


@dataclass
class Report:
    """Everything verify found. clean means nothing to act on."""

    file: str
    jobs: int
    rows: int
    formulas: int
    input_faults: list[str] = field(default_factory=list)
    formula_faults: list[Difference] = field(default_factory=list)
    overrides: dict[str, float | str] = field(default_factory=dict)
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
) -> Report:
    """Check a workbook. Raises BadInput for a file that cannot be trusted to open,
    EngineMissing and EngineFailed as `recalculate` does."""
    tell = progress or (lambda _: None)
    tell("reading the entries")
    book = read_book(path)
    layout = Layout(load(), rows=book.rows)
    sheets = compile_book(SHEETS, layout)
    raw = by_place(book)
    entered = raw.notna().any(axis=1)
    report = Report(
        file=fspath(path),
        jobs=int(entered.sum()),
        rows=book.rows,
        formulas=0,
        input_faults=[str(fault) for fault in book.faults],
        overrides=dict(book.overrides),
        skipped=list(skipped),
    )
    tell("reading the formulas")
    report.formulas, report.formula_faults = as_built(path, sheets, layout)
    tell("calculating the reference")
    reference = calculate(raw, overrides=book.overrides)
    used = [place for place, some in enumerate(entered) if some]
    for engine in engines:
        start = time.perf_counter()
        few = engine == "formulas"
        keep = {sheet.name: {FIRST_ROW, *(FIRST_ROW + place for place in used)} for sheet in sheets} if few else None
        if keep is not None:
            keep["Jobs"] = keep[sheets[0].name]
        grids = recalculate(path, engine=engine, keep_rows=keep, progress=progress)
        comparison = compare(
            grids,
            sheets=sheets,
            reference=reference,
            entered=entered.tolist(),
            rows=used if few else None,
        )
        seconds = time.perf_counter() - start
        report.engines.append(EngineReport(engine, available(engine) or "", seconds, comparison))
    return report


def by_place(book: BookInputs) -> pd.DataFrame:
    """The entries with a row for every row of the grid, blank ones too."""
    return book.jobs.reindex(range(FIRST_ROW, FIRST_ROW + book.rows)).reset_index(drop=True)


def recalculated_frame(path: str | PathLike[str], *, engine: str) -> pd.DataFrame:
    """Every calculated column as an engine finds it, a row for each row of the grid."""
    book = read_book(path)
    sheets = compile_book(SHEETS, Layout(load(), rows=book.rows))
    grids = recalculate(path, engine=engine)
    columns = {
        column.name: [grids[sheet.name][FIRST_ROW - 1 + place][number] for place in range(book.rows)]
        for sheet in sheets
        for number, column in enumerate(sheet.columns, start=1)
    }
    return pd.DataFrame(columns, dtype=object)


def as_built(
    path: str | PathLike[str], sheets: Sequence[CompiledSheet], layout: Layout
) -> tuple[int, list[Difference]]:
    """How many formulas the workbook has, and each calculated cell that is not as built."""
    found = formula_cells(path)
    faults: list[Difference] = []
    for sheet in sheets:
        cells = found.get(sheet.name, {})
        for number, column in enumerate(sheet.columns, start=2):
            for row in range(FIRST_ROW, layout.last_row + 1):
                there, built = cells.get((row, number)), column.at(row)[1:]
                if there is None or not same_form(there, built):
                    cell = f"{letter(number)}{row}"
                    shown = None if there is None else "=" + there
                    faults.append(Difference(sheet.name, cell, column.name, "", shown, "=" + built))
    return sum(len(cells) for cells in found.values()), faults
