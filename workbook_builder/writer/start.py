"""Start: what the workbook is for, its cautions, and where everything is."""

from __future__ import annotations

from dataclasses import dataclass

from ..code_tables.model import EDITIONS
from ..sheets.directory import DIRECTORY
from ..sheets.estimate_page import ESTIMATE
from ..sheets.job_sheet_page import JOB_SHEET
from ..sheets.portfolio_page import PORTFOLIO
from ..sheets.layout import (
    BOOK_SHEETS,
    CIRCUITS,
    JOBS,
    LINE_PRICES,
    LISTS,
    LOCAL_RULES,
    SETTINGS,
    TABLE_SHEETS,
)
from ..sheets.quotation_page import QUOTATION
from .context import BUILT_BY, PROVENANCE, RULES, START, Context
from .local_rules import override_range
from .measure import height_for, lines
from .page import link, print_setup
from .sheet_class import PlainFormulaSheet
from .start_check import check_lines
from .styles import ACCENT, LINE, STYLES

TITLE = "Panel capacity workbook"
SUBTITLE = "Adding capacity to a full electrical panel in a dwelling: one job a row, every figure with its rule and section."
PURPOSE = (
    "For a house whose panel is full while new loads are coming: a vehicle supply, a heat pump, an "
    "electric range, solar. It works out the loads, the spaces, the feeder and the raceway of an "
    "added panel from what was seen on the visit, and shows how: each calculated column has its "
    "rule in words and the section it follows, and each number of the code has its source. "
    "Formulas are live and plain; there are no macros and nothing is hidden."
)
STEPS = (
    "On Price book, Labour units, Factors, Market rates and Settings, put your own numbers in the yellow cells: what comes with the workbook is a starting point, most of it from no source.",
    "On Jobs, fill one row for each job. Blank cells take the default that the header shows.",
    "On Circuits, list the circuits of a job where you want moves, legs and directory worked out from them. It may stay empty.",
    "Read column A of both. A row is calculated once it says ready; until then it says what is missing or wrong.",
    "Go through the calculated sheets: settle every STOP, look at every CHECK, and have the result reviewed.",
)
CAUTIONS = (
    "Live parts: the lugs on the line side of the main stay live with the main switched off.",
    "Prove it dead: test every circuit with a tester that was checked on a live source before and is checked again after.",
    "Who may do it: meter and service work belongs to the utility and to licensed people.",
    "Who decides: local amendments and the inspector decide, not this workbook. Enter amendments on Local rules.",
    "What this is: an estimating aid, not a design approval. A CHECK needs a person; a STOP must not be built.",
    "Assumed values: much of the 2026 edition has not been read and is assumed the same; such rows carry a CHECK.",
)
KEY = {
    "input": "input", "formula": "calculated, entry as used", "linked": "from another sheet",
    "table": "table", "header": "header", "ok": "OK, ready", "check": "CHECK, missing",
    "stop": "STOP, error", "note": "note",
}  # fmt: skip
"""Style, and the words that the role row or the cell itself says."""
PRINTING = (
    "Letter paper. The print area of each grid ends with the jobs given when the workbook "
    "was built; where jobs were added since, set it anew in the page setup."
)
_MAP = {
    JOBS: "The grid to type in: one row a job, drop-downs, and what each cell expects.",
    CIRCUITS: "The second grid to type in, where a house has a circuit list: one row a circuit.",
    DIRECTORY: "The directory of one panel of one job, to look at and to print.",
    JOB_SHEET: "Two printed pages of one job: diagram, sizes, ways, directory, what is open, sign-off.",
    PORTFOLIO: "Every job in one line, totals and charts.",
    ESTIMATE: "Price, material and work of one job, line by line, to look at and to print.",
    QUOTATION: "One page for the client: scope, price and range, what is not in it, cautions.",
    BOOK_SHEETS["price_book"]: "Prices of material, low, likely and high, to be made your own; blank rows for more.",
    BOOK_SHEETS["labour_units"]: "Hours of each task, low, likely and high, to be made your own.",
    BOOK_SHEETS["factors"]: "What age, condition, wall and access do to labour, and the copper price to material.",
    BOOK_SHEETS["market"]: "Wages of an hour by market, low, likely and high.",
    SETTINGS: "Tax, overhead, profit, contingency, waste and the habits of the company.",
    LINE_PRICES: "What the books have for each quantity that always takes the same line.",
    LOCAL_RULES: "Every parameter, with cells for a local value and its reason.",
    LISTS: "Words of the drop-downs, and the editions.",
    PROVENANCE: "Every value with section, edition, source and status; the sources with their addresses.",
    RULES: "Every calculated column: rule in words, sections, formula.",
} | {name: "Tables of the code, each with its sections, sources and note." for name in TABLE_SHEETS}
_LABEL, _TEXT, _SIZE = 30, 100, 10
_LAST_COLUMN = 3


@dataclass
class Cursor:
    """The next free row of the page, 1-based."""

    row: int = 1


def write_start(context: Context, sheet: PlainFormulaSheet) -> int:
    """The first page. Returns how many formulas it has."""
    sheet.hide_gridlines(2)
    for at, width in enumerate((2, _LABEL, _TEXT, 2)):
        sheet.set_column(at, at, width)
    cursor = Cursor()
    _title(context, sheet, cursor)
    _section(context, sheet, cursor, "Cautions", style="stop")
    for text in CAUTIONS:
        head, _, rest = text.partition(": ")
        _line(context, sheet, cursor, head, rest[0].upper() + rest[1:], style="stop")
    _section(context, sheet, cursor, "What it is for")
    _line(context, sheet, cursor, "", PURPOSE)
    _section(context, sheet, cursor, "How to use it")
    for number, text in enumerate(STEPS, start=1):
        _line(context, sheet, cursor, f"Step {number}", text)
    formulas = _check(context, sheet, cursor)
    _map(context, sheet, cursor)
    _key(context, sheet, cursor)
    _editions(context, sheet, cursor)
    _section(context, sheet, cursor, "This file")
    built = cursor.row
    _line(context, sheet, cursor, "Built by", BUILT_BY)
    context.book.define_name("built_by", f"={START}!$C${built}")
    _line(context, sheet, cursor, "Built on", context.built_on)
    _line(context, sheet, cursor, "Last verification", context.verified or "not recorded; run: python -m workbook_builder verify FILE")
    _line(context, sheet, cursor, "On paper", PRINTING)
    protect_page(sheet)
    print_setup(context, sheet, last_row=cursor.row - 1, last_column=_LAST_COLUMN,
                header_rows=None, width_points=0, portrait=True)  # fmt: skip
    return formulas


def protect_page(sheet: PlainFormulaSheet) -> None:
    sheet.protect("", {"select_locked_cells": True, "format_columns": True, "format_rows": True})


def _title(context: Context, sheet: PlainFormulaSheet, cursor: Cursor) -> None:
    get = context.formats.get
    sheet.set_row(0, 34)
    sheet.write_string(0, 1, TITLE, get("title", font_size=22))
    sheet.set_row(1, 18)
    rule = {"bottom": 2, "bottom_color": ACCENT}
    sheet.write_string(1, 1, SUBTITLE, get("note", **rule))
    sheet.write_blank(1, 2, None, get("note", **rule))
    cursor.row = 3


def _section(
    context: Context, sheet: PlainFormulaSheet, cursor: Cursor, title: str, style: str = "title"
) -> None:
    sheet.set_row(cursor.row - 1, 9)
    row = cursor.row
    sheet.set_row(row, 20)
    look = context.formats.get(style, font_size=12, bold=True)
    sheet.write_string(row, 1, title, look)
    if style != "title":
        sheet.write_blank(row, 2, None, look)
    cursor.row += 2


def _line(
    context: Context,
    sheet: PlainFormulaSheet,
    cursor: Cursor,
    label: str,
    text: str,
    style: str = "text",
) -> None:
    """A label and a text that wraps, as high as the text needs."""
    get = context.formats.get
    if label:
        sheet.write_string(cursor.row - 1, 1, label, get(style, bold=True, valign="top"))
    elif style != "text":
        sheet.write_blank(cursor.row - 1, 1, None, get(style))
    sheet.write_string(
        cursor.row - 1, 2, text, get(style, text_wrap=True, valign="top", align="left")
    )
    count = lines(text, width=_TEXT, size=_SIZE)
    sheet.set_row(cursor.row - 1, height_for(count, size=_SIZE))
    cursor.row += 1


def _check(context: Context, sheet: PlainFormulaSheet, cursor: Cursor) -> int:
    """The master check, line by line; the first formula is the canary."""
    get = context.formats.get
    _section(context, sheet, cursor, "Master check")
    found = check_lines(context, cursor.row, override_range(context, "override"),
                        override_range(context, "reason"))  # fmt: skip
    border = {"border": 1, "border_color": LINE}
    for line in found:
        row = cursor.row - 1
        sheet.write_string(row, 1, line.label, get("text", bold=True, **border))
        look = get("formula", align="left", num_format=line.number_format, **border)
        sheet.put_formula(row, 2, line.formula, look, line.value)
        sheet.set_row(row, 16)
        if line.name:
            context.book.define_name(line.name, f"={START}!$C${row + 1}")
        if line.is_state:
            _colour(context, sheet, row)
        cursor.row += 1
    return len(found)


def _colour(context: Context, sheet: PlainFormulaSheet, row: int) -> None:
    for word in ("OK", "CHECK", "STOP"):
        sheet.conditional_format(
            row, 2, row, 2,
            {"type": "text", "criteria": "begins with", "value": word,
             "format": context.formats.state(word.lower())},
        )  # fmt: skip


def _map(context: Context, sheet: PlainFormulaSheet, cursor: Cursor) -> None:
    _section(context, sheet, cursor, "Sheets")
    notes = _MAP | {grid.name: grid.note for grid in context.sheets}
    for name in context.order[1:]:
        row = cursor.row
        _line(context, sheet, cursor, "", notes[name])
        link(context, sheet, row - 1, 1, name, name, size=_SIZE)


def _key(context: Context, sheet: PlainFormulaSheet, cursor: Cursor) -> None:
    _section(context, sheet, cursor, "Colours and roles")
    border = {"border": 1, "border_color": LINE}
    for style, words in KEY.items():
        look = context.formats.get(style, **border)
        sheet.write_string(cursor.row - 1, 1, words, look)
        sheet.write_string(cursor.row - 1, 2, STYLES[style].words, context.formats.get("text"))
        sheet.set_row(cursor.row - 1, 16)
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
