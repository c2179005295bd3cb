"""Start: what the workbook is for, its cautions, and where everything is."""

from __future__ import annotations

from dataclasses import dataclass

from xlsxwriter.format import Format

from ..code_tables.model import EDITIONS
from ..sheets.checks import CHECKS
from .context import BUILT_BY, START, Context
from .measure import split
from .page import link, number_of, print_setup
from .sheet_class import PlainFormulaSheet
from .start_check import CHECK, IN_USE, READY, STOP, WORDS, check_lines, first_finding, master, said_on
from .start_words import (
    CAUTIONS,
    KEY,
    NOT_VERIFIED,
    PRINTING,
    PURPOSE,
    RELY,
    REPORT,
    SHEET_NOTES,
    STEPS,
    SUBTITLE,
    TITLE,
)
from .styles import ACCENT, LINE, STYLES, without_zero

_SHORT = {
    CHECKS.name: "Every point that is looked at, jobs down, points across: OK, CHECK or STOP in each cell."
}
_WIDTHS = {"A": 1, "B": 22, "C": 78, "D": 9, "E": 9, "F": 9, "G": 9}
_SIZE, _ROW = 10, 13.5
_LAST, _SCALE = "G", 66
_COUNTED = {IN_USE: "in use", READY: "ready", STOP: "STOP", CHECK: "CHECK"}


@dataclass
class Cursor:
    """The next free row of the page, 1-based."""

    row: int = 1


def write_start(context: Context, sheet: PlainFormulaSheet) -> int:
    """The first page. Returns how many formulas it has."""
    sheet.hide_gridlines(2)
    for at, width in _WIDTHS.items():
        sheet.set_column(number_of(at), number_of(at), width)
    cursor = Cursor()
    _title(context, sheet, cursor)
    formulas = _check(context, sheet, cursor)
    _section(context, sheet, cursor, "Cautions", style="stop")
    for text in CAUTIONS:
        head, _, rest = text.partition(": ")
        _line(context, sheet, cursor, head, rest[0].upper() + rest[1:], style="stop")
    _section(context, sheet, cursor, "What it is, and who may rely on it")
    _line(context, sheet, cursor, "What it is", PURPOSE)
    _line(context, sheet, cursor, "Who may rely on it", RELY)
    _section(context, sheet, cursor, "Three steps")
    for number, text in enumerate(STEPS, start=1):
        head, _, rest = text.partition(": ")
        _line(context, sheet, cursor, f"{number}  {head}", rest[0].upper() + rest[1:])
    _section(context, sheet, cursor, "A formula looks wrong")
    _line(context, sheet, cursor, "How to report it", REPORT)
    _section(context, sheet, cursor, "This file")
    built = cursor.row
    _line(context, sheet, cursor, "Built by", BUILT_BY)
    context.book.define_name("built_by", f"={START}!$C${built}")
    _line(context, sheet, cursor, "Built on", context.built_on)
    _line(context, sheet, cursor, "Verified by", context.verified or NOT_VERIFIED)
    _line(context, sheet, cursor, "On paper", PRINTING)
    sheet.set_h_pagebreaks([cursor.row - 1])
    formulas += _map(context, sheet, cursor)
    _key(context, sheet, cursor)
    _editions(context, sheet, cursor)
    protect_page(sheet)
    print_setup(context, sheet, last_row=cursor.row - 1, last_column=number_of(_LAST),
                header_rows=None, width_points=0, portrait=True)  # fmt: skip
    # A scale and not a fit: only so does the break before the list of sheets hold.
    sheet.set_print_scale(_SCALE)
    return formulas


def protect_page(sheet: PlainFormulaSheet) -> None:
    sheet.protect("", {"select_locked_cells": True, "format_columns": True, "format_rows": True})


def _title(context: Context, sheet: PlainFormulaSheet, cursor: Cursor) -> None:
    get = context.formats.get
    sheet.set_row(0, 32)
    sheet.write_string(0, 1, TITLE, get("title", font_size=22))
    sheet.set_row(1, 16)
    look = get("note", bottom=2, bottom_color=ACCENT)
    _across(sheet, 1, SUBTITLE, look, first="B")
    cursor.row = 3


def _across(sheet: PlainFormulaSheet, row: int, text: str, look: Format, *, first: str = "C") -> None:
    """A text that runs over blank cells to the edge of the page; row from 0."""
    sheet.write_string(row, number_of(first), text, look)
    for at in range(number_of(first) + 1, number_of(_LAST) + 1):
        sheet.write_blank(row, at, None, look)


def _section(
    context: Context, sheet: PlainFormulaSheet, cursor: Cursor, title: str, style: str = "title"
) -> None:
    sheet.set_row(cursor.row - 1, 6)
    sheet.set_row(cursor.row, 17)
    look = context.formats.get(style, font_size=12, bold=True)
    if style == "title":
        sheet.write_string(cursor.row, 1, title, look)
    else:
        _across(sheet, cursor.row, title, look, first="B")
    cursor.row += 2


def _line(
    context: Context,
    sheet: PlainFormulaSheet,
    cursor: Cursor,
    label: str,
    text: str,
    style: str = "text",
) -> None:
    """A label, and a text in as many rows as it needs, each across the page."""
    get = context.formats.get
    width = sum(_WIDTHS[at] for at in "CDEFG")
    for place, part in enumerate(split(text, width=width, size=_SIZE)):
        sheet.write_string(
            cursor.row - 1, 1, label if place == 0 else "", get(style, font_size=_SIZE, bold=True)
        )
        _across(sheet, cursor.row - 1, part, get(style, font_size=_SIZE))
        sheet.set_row(cursor.row - 1, _ROW)
        cursor.row += 1


def _check(context: Context, sheet: PlainFormulaSheet, cursor: Cursor) -> int:
    """The master check: one cell for all, the first finding, then what was looked at. Returns the formulas."""
    get = context.formats.get
    border = {"border": 1, "border_color": LINE}
    cursor.row += 1
    sheet.set_row(cursor.row - 2, 6)
    top = cursor.row
    found = check_lines(context, top + 3)
    first = first_finding(context, top + 3, found)
    header = get("header", font_size=_SIZE)
    _across(sheet, top, "What is looked at", header, first="B")
    sheet.write_string(top, 2, "What it comes to", header)
    for at, words in _COUNTED.items():
        sheet.write_string(top, number_of(at), words, get("header", font_size=_SIZE, align="right"))
    formulas = 0
    for row, line in [(top, master(context, top + 3, found)), *enumerate(found, start=top + 3)]:
        size = 12 if row == top else _SIZE
        bold = {"bold": True} if row == top else {}
        if line.sheet:
            link(context, sheet, row - 1, 1, line.sheet, line.label, size=_SIZE)
        else:
            sheet.write_string(row - 1, 1, line.label, get("title", font_size=12))
        look = get("formula", align="left", font_size=size, **bold, **border)
        sheet.put_formula(row - 1, number_of(WORDS), line.words.formula, look, line.words.value)
        for at in (IN_USE, READY):
            if at not in line.counts:
                sheet.write_blank(row - 1, number_of(at), None, get("formula", **border))
        for at, cell in line.counts.items():
            look = get("formula", num_format="#,##0", align="right", **bold, **border)
            sheet.put_formula(row - 1, number_of(at), cell.formula, look, cell.value)
        sheet.set_row(row - 1, 20 if row == top else _ROW)
        _colour(context, sheet, row - 1)
        formulas += 1 + len(line.counts)
    context.book.define_name("canary", f"={START}!${READY}${top + 3}")
    sheet.set_row(top, _ROW)
    sheet.write_string(top + 1, 1, "First to settle", get("text", font_size=_SIZE))
    if first is not None:
        look = get("formula", align="left", bold=True)
        sheet.put_formula(top + 1, number_of(WORDS), first.formula, look, first.value)
        formulas += 1
    else:
        sheet.write_string(top + 1, number_of(WORDS), "There are no checks in this workbook.", get("note"))
    sheet.set_row(top + 1, _ROW)
    cursor.row = top + 3 + len(found)
    return formulas


def _colour(context: Context, sheet: PlainFormulaSheet, row: int) -> None:
    for word in ("OK", "CHECK", "STOP"):
        sheet.conditional_format(
            row, 2, row, 2,
            {"type": "text", "criteria": "begins with", "value": word,
             "format": context.formats.state(word.lower())},
        )  # fmt: skip


def _map(context: Context, sheet: PlainFormulaSheet, cursor: Cursor) -> int:
    """Every sheet with its note and its cells that say STOP or CHECK. Returns the formulas."""
    get = context.formats.get
    _section(context, sheet, cursor, "Sheets")
    header = get("header", font_size=_SIZE)
    _across(sheet, cursor.row - 1, "Sheet", header, first="B")
    sheet.write_string(
        cursor.row - 1,
        2,
        "What is on it; at the right the cells that say STOP and CHECK, of which Checks takes what counts",
        header,
    )
    for at in (STOP, CHECK):
        sheet.write_string(
            cursor.row - 1, number_of(at), _COUNTED[at], get("header", font_size=_SIZE, align="right")
        )
    cursor.row += 1
    grids = {grid.name: grid for grid in context.sheets}
    notes = SHEET_NOTES | {name: grid.note for name, grid in grids.items()} | _SHORT
    width = sum(_WIDTHS[at] for at in "CDE")
    formulas = 0
    for name in context.order[1:]:
        row = cursor.row
        for part in split(notes[name], width=width, size=_SIZE):
            sheet.write_string(cursor.row - 1, 2, part, get("text", font_size=_SIZE))
            sheet.set_row(cursor.row - 1, _ROW)
            cursor.row += 1
        link(context, sheet, row - 1, 1, name, name, size=_SIZE)
        for at, word in ((STOP, "STOP"), (CHECK, "CHECK")):
            cell = said_on(context, grids[name], word) if name in grids else None
            if cell is not None:
                look = get("formula", font_size=_SIZE, num_format=without_zero("#,##0"), align="right")
                sheet.put_formula(row - 1, number_of(at), cell.formula, look, cell.value)
                formulas += 1
    return formulas


def _key(context: Context, sheet: PlainFormulaSheet, cursor: Cursor) -> None:
    _section(context, sheet, cursor, "Colours and roles")
    border = {"border": 1, "border_color": LINE, "font_size": _SIZE}
    for style, words in KEY.items():
        sheet.write_string(cursor.row - 1, 1, words, context.formats.get(style, **border))
        sheet.write_string(
            cursor.row - 1, 2, STYLES[style].words, context.formats.get("text", font_size=_SIZE, indent=1)
        )
        sheet.set_row(cursor.row - 1, _ROW)
        cursor.row += 1


def _editions(context: Context, sheet: PlainFormulaSheet, cursor: Cursor) -> None:
    _section(context, sheet, cursor, "Editions of the electrical code")
    total = len(context.code.tables) + len(context.code.parameters)
    for edition in EDITIONS:
        assumed, unread = len(context.code.assumed(edition)), len(context.code.unread(edition))
        text = f"{assumed} of {total} tables and parameters assumed the same as in the edition before, {unread} not read."
        if assumed:
            text += " Every row of this edition carries a CHECK."
        _line(context, sheet, cursor, str(edition), text)
