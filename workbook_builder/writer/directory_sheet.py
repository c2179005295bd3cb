"""Directory: the panel directory of the job and panel that are picked on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import pandas as pd
from xlsxwriter.utility import xl_cell_to_rowcol

from ..sheets import directory as page
from ..sheets.model import CIRCUIT_GRID, JOB_GRID, JOB_NUMBER, ROW_STATE
from .context import Context
from .entry_help import job_numbers
from .grids import colour_states
from .page import head, keep_text, number_of, print_setup, protect
from .sheet_class import PlainFormulaSheet
from .styles import INPUT_LINE, LINE
from .values import cached, is_blank, plain

TITLE = "Panel directory"
NOTE = "Pick a job number and a panel in the yellow cells; the rest looks the circuits up."
_LINKS = 1
_WIDTHS = {"A": 40, "B": 11, "C": 6, "D": 8, "E": 8, "F": 6, "G": 11, "H": 40, "I": 18, "J": 18}
_HEADINGS = {"label": "Circuit", "breaker_a": "Breaker", "leg": "Leg", "space": "Space"}
_ROW_HEADINGS = {"I": "Row of the odd space", "J": "Row of the even space"}
_COUNTS = {
    page.JOB_ROW_CELL: "Row of the job",
    page.STOPS_CELL: "Position is a STOP",
    page.UNPLACED_CELL: "Without a space",
    page.BEYOND_CELL: "Beyond this page",
}


def write_directory(context: Context, sheet: PlainFormulaSheet) -> int:
    """The directory page. Returns how many formulas it has."""
    sheet.hide_gridlines(2)
    for at, width in _WIDTHS.items():
        sheet.set_column(number_of(at), number_of(at), width)
    head(context, sheet, TITLE, NOTE, note_at=_LINKS)
    job, panel = first_pick(context)
    _write_words(context, sheet)
    write_pick(context, sheet, page.JOB_CELL, job, job_numbers(context.layout), "Job number",
                "One of the job numbers of Jobs.")  # fmt: skip
    write_pick(context, sheet, page.PANEL_CELL, panel, context.layout.choices("panel"), "Panel",
                "main or added.")  # fmt: skip
    formulas = page.directory_formulas(context.sheets, context.layout)
    values = _values(context, job, panel)
    for cell, formula in formulas.items():
        row, at = xl_cell_to_rowcol(cell)
        sheet.put_formula(row, at, formula, _look(context, cell), cached(values.get(cell)))
    row, at = xl_cell_to_rowcol(page.STATE_CELL)
    colour_states(context, sheet, at, at, row + 1, row + 1, ("OK", "CHECK", "STOP"))
    keep_text(sheet, page.LAST_ROW, number_of("J"))
    protect(sheet)
    print_setup(
        context,
        sheet,
        last_row=page.LAST_ROW,
        last_column=number_of("H"),
        header_rows=None,
        width_points=0,
        portrait=True,
        deep=1,
    )
    return len(formulas)


def first_pick(context: Context) -> tuple[str, str]:
    """The first job in the order of Jobs that has circuits, and its main panel."""
    circuits = context.rows[CIRCUIT_GRID].entries
    listed = {plain(number).casefold() for number in circuits.get(JOB_NUMBER, ()) if not is_blank(number)}
    jobs = [plain(number) for number in context.jobs.get(JOB_NUMBER, ()) if not is_blank(number)]
    return next((number for number in jobs if number.casefold() in listed), ""), "main"


def _write_words(context: Context, sheet: PlainFormulaSheet) -> None:
    get = context.formats.get
    header = get("header", font_size=9, align="left", border=1, border_color=LINE)
    for cell, text in ((page.JOB_CELL, "Job number"), (page.PANEL_CELL, "Panel: main or added")):
        row, at = xl_cell_to_rowcol(cell)
        sheet.write_string(row - 1, at, text, get("text", bold=True))
    for row in range(4, page.LAST_ROW + 1):
        sheet.set_row(row - 1, 24 if row >= page.TOP_ROW else 20)
    for columns in (page.LEFT, page.RIGHT):
        for name, text in _HEADINGS.items():
            sheet.write_string(page.TOP_ROW - 2, number_of(columns[name]), text, header)
    for column, text in _ROW_HEADINGS.items():
        sheet.write_string(page.TOP_ROW - 2, number_of(column), text, get("note", font_size=9))
    for cell, text in _COUNTS.items():
        row, at = xl_cell_to_rowcol(cell)
        sheet.write_string(row, at - 1, text, get("note", font_size=9))
    space = get("table", align="center", border=1, border_color=LINE, bold=True)
    for columns, row, number in page.places():
        sheet.write_number(row - 1, number_of(columns["space"]), number, space)


def write_pick(
    context: Context, sheet: PlainFormulaSheet, cell: str, value: str, source: str, title: str, words: str
) -> None:
    look = context.formats.get(
        "input", num_format="@", align="left", border=1, border_color=INPUT_LINE, locked=False
    )
    row, at = xl_cell_to_rowcol(cell)
    if value:
        sheet.write_string(row, at, value, look)
    else:
        sheet.write_blank(row, at, None, look)
    sheet.data_validation(row, at, row, at, {
        "validate": "list", "source": f"={source}", "ignore_blank": True,
        "input_title": title, "input_message": words,
        "error_title": title, "error_message": words, "error_type": "stop",
    })  # fmt: skip


def _look(context: Context, cell: str) -> Any:
    """Formats by column; the helper cells outside the printed page are notes."""
    get, column = context.formats.get, cell[0]
    if column in _ROW_HEADINGS:
        return get("note", font_size=9, align="right")
    if int(cell[1:]) < page.TOP_ROW:
        return get("formula", align="left")
    if column in "BG":
        return get("formula", num_format='General" A"', align="right", border=1, border_color=LINE)
    if column in "AH":
        return get("formula", align="left", indent=1, shrink=True, border=1, border_color=LINE)
    return get("formula", align="center", border=1, border_color=LINE)


def _values(context: Context, job: str, panel: str) -> Mapping[str, object]:
    """Last results of the page for the job and panel picked."""
    jobs, circuits = context.rows[JOB_GRID].results, context.rows[CIRCUIT_GRID].results
    if jobs is None or circuits is None:
        return dict.fromkeys(page.directory_formulas(context.sheets, context.layout), 0)
    ready = jobs[ROW_STATE].eq("ready") & jobs[JOB_NUMBER].astype(str).str.casefold().eq(job.casefold())
    row = int(ready.to_numpy().argmax()) + 1 if job and ready.any() else 0
    state, counts = _state(circuits, row, panel, job)
    site = jobs["site"].iloc[row - 1] if row else ""
    shown = {page.SITE_CELL: site, page.STATE_CELL: state, page.JOB_ROW_CELL: row, **counts}
    plain_cells = {cell.replace("$", ""): value for cell, value in shown.items()}
    return plain_cells | dict(_spaces(circuits, f"{row}|{panel}|"))


def _state(circuits: pd.DataFrame, row: int, panel: str, job: str) -> tuple[str, dict[str, int]]:
    of_job = circuits["circuit_job_row"].eq(row) & circuits["panel"].eq(panel)
    here = of_job & circuits["circuit_stays"].eq("yes")
    position = pd.to_numeric(circuits["position"], errors="coerce")
    stops = int((of_job & circuits["position_state"].astype(str).str.startswith("STOP")).sum())
    unplaced, beyond = int((here & position.isna()).sum()), int((here & position.gt(page.SPACES)).sum())
    counts = {page.STOPS_CELL: stops, page.UNPLACED_CELL: unplaced, page.BEYOND_CELL: beyond}
    if not row:
        return page.NO_JOB if job else "", counts
    if stops:
        return page.STOPPED, counts
    if unplaced:
        return f"{page.UNPLACED}{unplaced}", counts
    return (f"{page.BEYOND}{beyond}" if beyond else "OK"), counts


def _spaces(circuits: pd.DataFrame, start: str) -> Iterator[tuple[str, object]]:
    first = {key: at for at, key in reversed(list(enumerate(circuits["space_key"]))) if key}
    second = {key: at for at, key in reversed(list(enumerate(circuits["second_space_key"]))) if key}
    for columns, row, number in page.places():
        key = f"{start}{number}"
        is_first = key in first
        at = first.get(key, second.get(key))
        yield f"{columns['row']}{row}", 0 if at is None else at + 1
        if at is None:
            continue
        circuit = circuits.iloc[at]
        leg = circuit["circuit_leg"]
        yield f"{columns['breaker_a']}{row}", circuit["breaker_a"]
        yield f"{columns['label']}{row}", circuit["label"] + ("" if is_first else page.SECOND_POLE)
        yield f"{columns['leg']}{row}", leg if is_first else "B" if leg == "A" else "A"
