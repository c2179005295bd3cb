"""The calculated grids: formulas, a row for each job or circuit, with their last results."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..sheets.compile import message
from ..sheets.model import (
    CIRCUIT_GRID,
    FIRST_ROW,
    JOB_GRID,
    ROW_NUMBER,
    CompiledColumn,
    CompiledSheet,
)
from . import matrix
from .column_widths import width_of
from .context import SHOWN_EDITION, Context
from .grid_header import Heading, bands, fitted, write_headings
from .page import head, print_grid, protect
from .row_block import CellColumn, FormulaColumn, LastResults, RowBlock
from .rule_rows import IDS, STATES, rule_rows
from .sheet_class import PlainFormulaSheet
from .styles import (
    ACCENT,
    NUMERIC,
    STATE_WORDS,
    UNIT_WORDS,
    entry_format,
    result_format,
    without_zero,
)
from .values import number_cell

FROZEN_COLUMNS = 3
ROW_HEIGHT = 13.5
JOB_COLUMN = 1
"""The column, from 0, that is repeated on every page."""

COLOURED = ("job_status",)
"""Columns that are no state and show a word of one."""

QUANTITIES = ("Takeoff", "Line costs", "Labour")
"""Sheets on which a quantity that does not apply is 0, and 0 shows as nothing."""
ID_BANDS = {JOB_GRID: "Job", CIRCUIT_GRID: "Circuit"}
_ROW_WORDS = {
    JOB_GRID: "Place of the job in the list of Jobs.",
    CIRCUIT_GRID: "Place of the circuit in the list of Circuits.",
}


def write_grid(context: Context, sheet: PlainFormulaSheet, compiled: CompiledSheet) -> int:
    """One calculated sheet. Returns how many formulas it has."""
    rules = rule_rows(context) if matrix.is_matrix(compiled) else {}
    headings = fitted([
        Heading(ROW_NUMBER, ID_BANDS[compiled.grid], "Row", "", "row number",
                _ROW_WORDS[compiled.grid], "own rule", 7),
        *(heading_of(compiled, column, rules) for column in compiled.columns),
    ])  # fmt: skip
    frozen = matrix.FROZEN if matrix.is_matrix(compiled) else FROZEN_COLUMNS
    head(context, sheet, compiled.title, compiled.note, note_at=frozen)
    write_headings(context, sheet, headings)
    if matrix.is_matrix(compiled):
        matrix.write_legend(context, sheet, compiled.columns)
    firsts = {first for first, _ in bands(headings)}
    rows = context.layout.rows_of(compiled.grid)
    number = context.formats.get("note", align="center")
    sheet.set_default_row(ROW_HEIGHT)
    for row in range(rows if matrix.is_matrix(compiled) else 0):
        sheet.set_row(FIRST_ROW - 1 + row, matrix.ROW_HEIGHT)
    known: dict[object, tuple[str, ...]] = {}
    sheet.put_rows(RowBlock(FIRST_ROW - 1, rows, [
        CellColumn(0, number, [number_cell(row + 1) for row in range(rows)]),
        *(_column(context, sheet, compiled, column, at, known, first=at in firsts)
          for at, column in enumerate(compiled.columns, start=1)),
    ]))  # fmt: skip
    sheet.set_zoom(matrix.ZOOM if matrix.is_matrix(compiled) else 90)
    sheet.freeze_panes(FIRST_ROW - 1, frozen)
    protect(sheet)
    last = matrix.last_printed(compiled) if matrix.is_matrix(compiled) else len(compiled.columns)
    print_grid(
        context,
        sheet,
        last_row=context.printed_row(compiled.grid),
        widths=[heading.width for heading in headings[: last + 1]],
        repeated=JOB_COLUMN,
        title=compiled.title,
        legend=matrix.LEGEND_ON_PAPER if matrix.is_matrix(compiled) else "",
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


def heading_of(
    sheet: CompiledSheet, column: CompiledColumn, rules: Mapping[str, int] | None = None
) -> Heading:
    """What stands above a calculated column. rules: the row of each column on Rules, for a link there."""
    rule, field = column.rule, column.field
    is_id = column.name in IDS
    return Heading(
        name=column.name,
        band=ID_BANDS[sheet.grid] if is_id else rule.band.capitalize() if field else rule.band,
        title=rule.title,
        unit=UNIT_WORDS.get(rule.unit, rule.unit),
        role=role_of(column),
        rule=message(field) if field is not None else rule.sentence,
        section=rule.sections[SHOWN_EDITION],
        width=matrix.width_in_matrix(sheet, column) or width_of(column.name, rule, field),
        more=f"B{rules[column.name]}" if rules and matrix.is_matrix(sheet) else "",
        upright=matrix.is_sign(sheet, column),
    )


def _number_format(column: CompiledColumn, sheet: str) -> str:
    rule, field = column.rule, column.field
    if field is None:
        if sheet in QUANTITIES and rule.kind in NUMERIC:
            pieces = rule.kind != "count" and not rule.unit
            return without_zero("General" if pieces else result_format(rule.kind, rule.unit))
        return result_format(rule.kind, rule.unit)
    is_number = field.kind == "number" or field.numeric
    wanted = entry_format(unit=field.unit, number=is_number, date=field.kind == "date")
    return "General" if wanted == "@" else wanted


def _column(
    context: Context,
    sheet: PlainFormulaSheet,
    compiled: CompiledSheet,
    column: CompiledColumn,
    at: int,
    known: dict[object, tuple[str, ...]],
    *,
    first: bool,
) -> FormulaColumn:
    is_number = column.rule.kind in NUMERIC
    properties = {"num_format": _number_format(column, sheet.name)}
    properties |= {"align": "right"} if is_number else {"align": "left", "indent": 1}
    properties |= {"left": 1, "left_color": ACCENT} if first else {}
    if matrix.is_matrix(compiled):
        properties |= matrix.look_in_matrix(compiled, column)
    style = "linked" if column.plain_copy else "note" if matrix.is_part(compiled, column) else "formula"
    look = context.formats.get(style, **properties)
    if column.rule.kind == "state" or column.name in (*STATES, *COLOURED):
        colour_states(context, sheet, at, at, FIRST_ROW, context.layout.grids[compiled.grid].last_row)
    results = LastResults(context.rows[compiled.grid].results, column.name, known, sheet._escape_data)
    return FormulaColumn(at, look, column.cell, results)


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
