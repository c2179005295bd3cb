"""Writes the whole workbook: every sheet in order, in one move onto the disk."""

from __future__ import annotations

import datetime as dt
import io
import os
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import pandas as pd
from xlsxwriter.utility import xl_cell_to_rowcol
from xlsxwriter.workbook import Workbook

from ..code_tables.books import Books
from ..code_tables.model import Field
from ..sheets.directory import DIRECTORY
from ..sheets.estimate_page import ESTIMATE
from ..sheets.job_sheet_page import JOB_SHEET
from ..sheets.layout import (
    CIRCUIT_CHECK,
    CIRCUITS,
    JOBS,
    LINE_PRICES,
    LISTS,
    LOCAL_RULES,
    SETTINGS,
    TABLE_SHEETS,
    Layout,
)
from ..sheets.model import CIRCUIT_GRID, JOB_GRID, CompiledSheet
from ..sheets.portfolio_page import PORTFOLIO
from ..sheets.quotation_page import QUOTATION
from .books_sheet import BOOK_OF, write_book
from .context import BUILT_BY, PROVENANCE, RULES, START, Context, Rows
from .directory_sheet import write_directory
from .entry_sheets import write_circuits, write_jobs
from .estimate_sheet import write_estimate
from .grids import write_grid
from .job_sheet import write_job_sheet
from .line_prices_sheet import write_line_prices
from .lists_sheet import write_lists
from .local_rules import write_local_rules
from .on_disk import replacing
from .package import Progress, put_together
from .portfolio_sheet import write_portfolio
from .provenance import write_provenance
from .quotation_sheet import write_quotation
from .rules_sheet import write_rules
from .settings_sheet import write_settings
from .sheet_class import PlainFormulaSheet
from .start import write_start
from .styles import ACCENT, BASE_SIZE, FONT, Formats
from .tables_sheet import write_tables
from .values import write_value

TAB_TO_TYPE = "#E0B84C"
"""Tabs of the sheets that people type in; their titles say it too."""

SUBJECT = "Adding capacity to a full electrical panel in a dwelling"


@dataclass(frozen=True)
class Summary:
    """What was written: file, sheets in order, jobs and circuits and the rows for them, formulas.

    circuit_rows is 0 where the workbook has no list of circuits.
    """

    path: Path
    sheets: tuple[str, ...]
    rows: int
    jobs: int
    circuit_rows: int
    circuits: int
    formulas: int

    def __str__(self) -> str:
        words = (
            f"{len(self.sheets)} sheets, {self.formulas:,} formulas, "
            f"{self.jobs} jobs in {self.rows} rows"
        )
        return f"{words}, {self.circuits} circuits in {self.circuit_rows}" if self.circuit_rows else words


def write_workbook(
    path: str | os.PathLike[str],
    *,
    layout: Layout,
    sheets: Sequence[CompiledSheet],
    jobs: pd.DataFrame,
    results: pd.DataFrame | None,
    circuits: pd.DataFrame | None = None,
    circuit_results: pd.DataFrame | None = None,
    built_on: str,
    overrides: Mapping[str, float | str] | None = None,
    reasons: Mapping[str, str] | None = None,
    verified: str = "",
    book_results: Mapping[str, Mapping[str, object]] | None = None,
    built_books: Books | None = None,
    as_typed: Mapping[str, Mapping[str, object]] | None = None,
    leave_blank: Collection[str] = (),
    progress: Progress | None = None,
) -> Summary:
    """Write the workbook of these jobs; the same input gives the same bytes.

    jobs has a column per input field, results a column per calculated column
    and input as used, both in row order; results are kept in the file as the
    last results of the formulas (0 everywhere where results is None). circuits
    and circuit_results are the same for the list of circuits, and book_results,
    by sheet and cell, for the formulas on the books. The columns `when built` of
    the books show built_books, or the books themselves. as_typed has, by sheet
    and cell, entries that stand there instead of what the books and overrides
    have. built_on is a date such as 2026-03-01. overrides and the reasons for them go into Local
    rules; verified is the line on Start that says when and with which engine
    the workbook was last proved. Sheets named in leave_blank stay blank, for
    those who want to know what stands on the others.

    Raises ValueError for more jobs or circuits than rows, a result frame of
    another length, an unknown input field or parameter, a column that stands
    twice, circuits where no sheet calculates them; the file at `path` then
    stays as it was.
    """
    listed = pd.DataFrame() if circuits is None else circuits
    if circuit_results is None and results is not None and listed.empty:
        circuit_results = _no_results(layout)
    rows = {JOB_GRID: Rows(jobs, results), CIRCUIT_GRID: Rows(listed, circuit_results)}
    _refuse(layout, rows, {sheet.name for sheet in sheets})
    unknown = {*(overrides or ()), *(reasons or ())} - {*layout.code.parameters}
    if unknown:
        raise ValueError("no such parameter to override: " + ", ".join(sorted(unknown)))
    created = dt.datetime.fromisoformat(built_on)
    frame = io.BytesIO()
    book = Workbook(frame, {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "default_format_properties": {"font_name": FONT, "font_size": BASE_SIZE},
    })  # fmt: skip
    book.set_properties({"title": SUBJECT, "comments": BUILT_BY, "created": created})
    book.set_size(1600, 1000)
    context = Context(
        book, Formats(book), layout, tuple(sheets), rows, built_on,
        dict(overrides or {}), dict(reasons or {}), verified, book_results, built_books,
    )  # fmt: skip
    made = _make_sheets(context)
    formulas = _write_sheets(context, made, leave_blank, progress)
    _put_as_typed(context, as_typed or {})
    for sheet in made.values():
        sheet.apart = sheet.block is not None
    book.close()
    with replacing(path) as file:
        put_together(frame, made.values(), file, progress)
    target = Path(os.path.realpath(path))
    circuit_rows = layout.rows_of(CIRCUIT_GRID) if CIRCUIT_GRID in context.grids else 0
    return Summary(target, context.order, layout.rows, len(jobs), circuit_rows, len(listed), formulas)


def _no_results(layout: Layout) -> pd.DataFrame:
    """Results of a list of circuits without a row."""
    fields = [field.name for field in layout.code.circuit_fields]
    rules = [rule.name for rule in layout.code.rules.values() if rule.sheet == CIRCUIT_CHECK]
    return pd.DataFrame(columns=[*fields, *rules], dtype=object)


def _refuse(layout: Layout, rows: Mapping[str, Rows], sheets: Collection[str]) -> None:
    faults: list[str] = []
    for grid, given in rows.items():
        place = layout.grids[grid]
        faults += _misfits(grid, given, place.rows, place.fields)
        if len(given.entries) and place.home not in sheets:
            faults.append(f"{grid}: there is no sheet {place.home} to calculate them")
    if (rows[JOB_GRID].results is None) is not (rows[CIRCUIT_GRID].results is None):
        faults.append("results of jobs and of circuits are given together or not at all")
    if faults:
        raise ValueError("\n".join(faults))


def _misfits(grid: str, given: Rows, rows: int, fields: Sequence[Field]) -> list[str]:
    """What does not fit in the entries and last results of one grid."""
    entries, results = given.entries, given.results
    faults = []
    if len(entries) > rows:
        faults.append(f"{len(entries)} {grid}, the workbook has {rows} rows; build with more rows")
    if results is not None and len(results) != len(entries):
        faults.append(f"{len(results)} rows of results for {len(entries)} {grid}")
    for what, frame in ((grid, entries), (f"results of {grid}", results)):
        if frame is not None:
            twice = frame.columns[frame.columns.duplicated()]
            faults += [f"{what}: the column {name} stands twice" for name in twice]
    known = {field.name for field in fields}
    faults += [f"no such input field of {grid}: {name}" for name in entries.columns if name not in known]
    return faults


def _make_sheets(context: Context) -> dict[str, PlainFormulaSheet]:
    """All sheets without anything on them, so that links lead somewhere."""
    return {
        name: context.book.add_worksheet(name, worksheet_class=PlainFormulaSheet)
        for name in context.order
    }


def _write_sheets(
    context: Context,
    made: Mapping[str, PlainFormulaSheet],
    leave_blank: Collection[str],
    progress: Progress | None,
) -> int:
    """What stands on every sheet. Returns the formulas."""
    grids = {compiled.name: compiled for compiled in context.sheets}
    formulas = 0
    for name in {JOBS, CIRCUITS, LOCAL_RULES, SETTINGS, *BOOK_OF} & made.keys():
        made[name].set_tab_color(TAB_TO_TYPE)
    made[START].set_tab_color(ACCENT)
    for name, sheet in made.items():
        if name in leave_blank:
            continue
        if progress:
            progress(f"writing {name}")
        formulas += _write_sheet(context, sheet, name, grids.get(name)) or 0
    made[START].activate()
    return formulas


def _put_as_typed(context: Context, cells: Mapping[str, Mapping[str, object]]) -> None:
    """Entries in the place of what was written there, in the same look."""
    for name, values in cells.items():
        sheet = context.book.get_worksheet_by_name(name)
        for cell, value in values.items():
            row, column = xl_cell_to_rowcol(cell)
            write_value(sheet, row, column, value, sheet.table[row][column].format)


def _write_sheet(
    context: Context, sheet: PlainFormulaSheet, name: str, grid: CompiledSheet | None
) -> int | None:
    if grid is not None:
        return write_grid(context, sheet, grid)
    if name in TABLE_SHEETS:
        return write_tables(context, sheet, name)
    if name in BOOK_OF:
        return write_book(context, sheet, BOOK_OF[name])
    return _WRITERS[name](context, sheet)


_WRITERS = {
    START: write_start,
    JOBS: write_jobs,
    CIRCUITS: write_circuits,
    DIRECTORY: write_directory,
    JOB_SHEET: write_job_sheet,
    PORTFOLIO: write_portfolio,
    ESTIMATE: write_estimate,
    QUOTATION: write_quotation,
    SETTINGS: write_settings,
    LINE_PRICES: write_line_prices,
    LOCAL_RULES: write_local_rules,
    LISTS: write_lists,
    PROVENANCE: write_provenance,
    RULES: write_rules,
}
