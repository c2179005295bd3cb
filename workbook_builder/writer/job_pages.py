"""What the pages of one job share: the pick, its row, and cells declared as lines of words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import pandas as pd
from xlsxwriter.format import Format
from xlsxwriter.utility import xl_cell_to_rowcol

from ..sheets.job_page import JOB_CELL, NO_JOB, STATE_CELL, Line, value_of
from ..sheets.model import JOB_GRID, JOB_NUMBER, ROW_STATE
from .context import Context
from .directory_sheet import write_pick
from .entry_help import job_numbers
from .grids import colour_states
from .measure import height_for
from .sheet_class import PlainFormulaSheet
from .styles import BASE_SIZE, LINE
from .values import cached, is_blank, plain

_PICK_ROW = 4
MONEY = "#,##0.00"

LOOKS: Mapping[str, dict[str, Any]] = {
    "formula": {"style": "formula", "align": "left"},
    "strong": {"style": "formula", "align": "left", "bold": True, "font_size": 12},
    "words": {"style": "formula", "align": "left"},
    "price": {"style": "formula", "align": "left", "bold": True, "font_size": 15},
    "state": {"style": "formula", "align": "left", "bold": True},
    "box": {"style": "formula", "align": "center", "shrink": True},
    "arrow": {"style": "formula", "align": "center"},
    "note": {"style": "note", "font_size": 8, "align": "right"},
}


def first_job(context: Context) -> tuple[str, Mapping[str, object] | None, int]:
    """The first ready job in the order of Jobs: its number, its results, its row from 1 (0 for none)."""
    results = context.rows[JOB_GRID].results
    numbers = [plain(one) for one in context.jobs.get(JOB_NUMBER, ()) if not is_blank(one)]
    if results is None or not numbers:
        return (numbers[0] if numbers else ""), None, 0
    ready = results[ROW_STATE].eq("ready").to_numpy()
    if not ready.any():
        return numbers[0], None, 0
    at = int(ready.argmax())
    return plain(results[JOB_NUMBER].iloc[at]), _row(results, at), at + 1


def _row(results: pd.DataFrame, at: int) -> dict[str, object]:
    return {str(name): results[name].iloc[at] for name in results.columns}


def write_head(context: Context, sheet: PlainFormulaSheet, number: str, row: int) -> dict[str, object]:
    """The cell that picks the job with its words; the last results of the head's formulas."""
    sheet.write_string(_PICK_ROW - 1, 0, "Job number", context.formats.get("text", bold=True))
    write_pick(
        context, sheet, JOB_CELL, number, job_numbers(context.layout), "Job number", "One of the job numbers of Jobs."
    )
    at_row, at = xl_cell_to_rowcol(STATE_CELL)
    colour_states(context, sheet, at, at, at_row + 1, at_row + 2, ("OK", "CHECK", "STOP"))
    state = NO_JOB if number and not row else ""
    return {STATE_CELL.replace("$", ""): state}


def line_values(lines: Iterable[Line], row: Mapping[str, object] | None) -> dict[str, object]:
    """What the lines show of a job."""
    return {line.cell: value_of(line, row) for line in lines}


def line_looks(context: Context, lines: Iterable[Line]) -> dict[str, Format]:
    """The formats of the lines' cells."""
    return {line.cell: look(context, line.look, line.number) for line in lines}


def look(context: Context, name: str, number: str = "") -> Format:
    """A format by its name; money is right-aligned and ruled."""
    properties = dict(LOOKS[name])
    style = properties.pop("style")
    if number == "money":
        properties = {"num_format": MONEY, "align": "right", "border": 1, "border_color": LINE}
    return context.formats.get(style, **properties)


def put(
    context: Context,
    sheet: PlainFormulaSheet,
    formulas: Mapping[str, str],
    values: Mapping[str, object],
    looks: Mapping[str, Format],
    otherwise: Format,
) -> int:
    """Every formula of the page with its last result; 0 where results are not kept."""
    kept = context.rows[JOB_GRID].results is not None
    for cell, formula in formulas.items():
        row, at = xl_cell_to_rowcol(cell)
        form = looks.get(cell, otherwise)
        if form.font_size > BASE_SIZE:
            sheet.set_row(row, height_for(1, size=form.font_size))
        sheet.put_formula(row, at, formula, form, cached(values.get(cell, "")) if kept else 0)
    return len(formulas)
