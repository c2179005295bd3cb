"""The calculated grids: formulas, a row for each job or circuit, with their last results."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..code_tables.model import Rule
from ..sheets.compile import message
from ..sheets.model import (
    CIRCUIT_GRID,
    CIRCUIT_STATE,
    FIRST_ROW,
    JOB_GRID,
    JOB_NUMBER,
    ROW_NUMBER,
    ROW_STATE,
    CompiledColumn,
    CompiledSheet,
)
from .context import SHOWN_EDITION, Context
from .grid_header import Heading, bands, fitted, total_points, write_headings
from .measure import width_for
from .page import head, print_setup, protect
from .sheet_class import PlainFormulaSheet
from .styles import (
    ACCENT,
    BASE_SIZE,
    STATE_WORDS,
    UNIT_WORDS,
    entry_format,
    result_format,
    without_zero,
)
from .values import column as values_of

FROZEN_COLUMNS = 3
_WIDTHS = {"number": 13, "count": 11, "size": 11, "choice": 16, "state": 44, "text": 24}
_FIELD_WIDTHS = {"number": 12, "date": 12, "choice": 15, "text": 18}
STATES = (ROW_STATE, CIRCUIT_STATE)
IDS = (JOB_NUMBER, *STATES)
_NAMED_WIDTHS = {ROW_STATE: 26, CIRCUIT_STATE: 26, JOB_NUMBER: 16, "site": 46, "label": 32}
_WIDEST = 76
_UNIT_WIDTHS = {"USD": 16, "USD2": 22, "USD/h": 15, "USD2/h2": 17}
QUANTITIES = ("Takeoff", "Line costs", "Labour")
"""Sheets on which a quantity that does not apply is 0, and 0 shows as nothing."""
_SAID = re.compile(r'"([^"]+)"')
_PRINT_SCALE = 60
ID_BANDS = {JOB_GRID: "Job", CIRCUIT_GRID: "Circuit"}
_ROW_WORDS = {
    JOB_GRID: "Place of the job in the list of Jobs.",
    CIRCUIT_GRID: "Place of the circuit in the list of Circuits.",
}


def write_grid(context: Context, sheet: PlainFormulaSheet, compiled: CompiledSheet) -> int:
    """One calculated sheet. Returns how many formulas it has."""
    headings = fitted([
        Heading(ROW_NUMBER, ID_BANDS[compiled.grid], "Row", "", "row number",
                _ROW_WORDS[compiled.grid], "own rule", 7),
        *(heading_of(compiled.grid, column) for column in compiled.columns),
    ])  # fmt: skip
    head(context, sheet, compiled.title, compiled.note, note_at=FROZEN_COLUMNS)
    write_headings(context, sheet, headings)
    firsts = {first for first, _ in bands(headings)}
    rows = context.layout.rows_of(compiled.grid)
    number = context.formats.get("note", align="center")
    for row in range(rows):
        sheet.write_number(FIRST_ROW - 1 + row, 0, row + 1, number)
    for at, column in enumerate(compiled.columns, start=1):
        _write_column(context, sheet, compiled.grid, column, at, first=at in firsts)
    sheet.set_zoom(90)
    sheet.freeze_panes(FIRST_ROW - 1, FROZEN_COLUMNS)
    protect(sheet)
    print_setup(
        context,
        sheet,
        last_row=context.printed_row(compiled.grid),
        last_column=len(compiled.columns),
        header_rows=(3, 9),
        id_columns=FROZEN_COLUMNS,
        width_points=total_points(headings),
        scale=_PRINT_SCALE,
    )
    return rows * len(compiled.columns)


def role_of(column: CompiledColumn) -> str:
    """The word of the role row; see ROLES."""
    if column.plain_copy:
        return "from another sheet"
    if column.rule.kind == "state" or column.name in STATES:
        return "state"
    if column.field is not None:
        return "entry as used"
    return "calculated"


def heading_of(grid: str, column: CompiledColumn) -> Heading:
    """What stands above a calculated column."""
    rule, field = column.rule, column.field
    is_id = column.name in IDS
    least = _FIELD_WIDTHS.get(field.kind, 12) if field else _least_width(rule)
    return Heading(
        name=column.name,
        band=ID_BANDS[grid] if is_id else rule.band.capitalize() if field else rule.band,
        title=rule.title,
        unit=UNIT_WORDS.get(rule.unit, rule.unit),
        role=role_of(column),
        rule=message(field) if field is not None else rule.sentence,
        section=rule.sections[SHOWN_EDITION],
        width=_NAMED_WIDTHS.get(column.name, least),
    )


def _least_width(rule: Rule) -> float:
    """Room for the kind, and for the longest text the rule may put into the cell."""
    texts = _SAID.findall(rule.sentence) if rule.kind in ("state", "text") else []
    said = max((width_for(text, size=BASE_SIZE) for text in texts), default=0)
    least = max(_WIDTHS[rule.kind], _UNIT_WIDTHS.get(rule.unit, 0))
    return min(_WIDEST, max(least, said + 2))


def _number_format(column: CompiledColumn, sheet: str) -> str:
    rule, field = column.rule, column.field
    if field is None:
        if sheet in QUANTITIES and rule.kind in ("number", "count"):
            pieces = rule.kind == "number" and not rule.unit
            return without_zero("General" if pieces else result_format(rule.kind, rule.unit))
        return result_format(rule.kind, rule.unit)
    is_number = field.kind == "number" or field.numeric
    wanted = entry_format(unit=field.unit, number=is_number, date=field.kind == "date")
    return "General" if wanted == "@" else wanted


def _write_column(
    context: Context,
    sheet: PlainFormulaSheet,
    grid: str,
    column: CompiledColumn,
    at: int,
    *,
    first: bool,
) -> None:
    is_number = column.rule.kind in ("number", "count")
    look = context.formats.get(
        "linked" if column.plain_copy else "formula",
        num_format=_number_format(column, sheet.name),
        **({"align": "right"} if is_number else {"align": "left", "indent": 1}),
        **({"left": 1, "left_color": ACCENT} if first else {}),
    )
    place = context.layout.grids[grid]
    results = values_of(context.rows[grid].results, column.name, place.rows)
    for row, value in enumerate(results, start=FIRST_ROW):
        sheet.put_formula(row - 1, at, column.at(row), look, value)
    if column.rule.kind == "state" or column.name in STATES:
        colour_states(context, sheet, at, at, FIRST_ROW, place.last_row)


def colour_states(
    context: Context,
    sheet: PlainFormulaSheet,
    first_column: int,
    last_column: int,
    first_row: int,
    last_row: int,
    words: Sequence[str] = tuple(STATE_WORDS),
) -> None:
    """Colour over cells that already say OK, CHECK, STOP in words."""
    for word in words:
        sheet.conditional_format(
            first_row - 1, first_column, last_row - 1, last_column,
            {"type": "text", "criteria": "begins with", "value": word,
             "format": context.formats.state(STATE_WORDS[word])},
        )  # fmt: skip
