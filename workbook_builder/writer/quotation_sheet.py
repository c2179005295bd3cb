"""Quotation: one printed page for the client."""

from __future__ import annotations

import datetime as dt
import math

from xlsxwriter.utility import xl_cell_to_rowcol

from ..sheets import quotation_page as page
from ..sheets.job_page import STATE_CELL
from .context import Context
from .job_pages import first_job, line_looks, line_values, put, write_head
from .page import head, number_of, print_setup, protect
from .sheet_class import PlainFormulaSheet
from .styles import INPUT_LINE, LINE

TITLE = "Quotation"
NOTE = "Pick a job number in the yellow cell and type the date."
_WIDTHS = {"A": 62, "B": 3, "C": 40, "H": 8}
_COMPANY_ROW = 3
"""First row on paper: links and notes to the one who fills it in stand above."""
_EXCLUDED, _CAUTIONS, _AGREED = page.PRICE_TOP + 3, page.PRICE_TOP + 9, page.PRICE_TOP + 14
"""Rows of the headings below the price."""
_LAST_ROW = page.PRICE_TOP + 26


def write_quotation(context: Context, sheet: PlainFormulaSheet) -> int:
    """The page for the client. Returns how many formulas it has."""
    get = context.formats.get
    sheet.hide_gridlines(2)
    for at, width in _WIDTHS.items():
        sheet.set_column(number_of(at), number_of(at), width)
    head(context, sheet, TITLE, NOTE, note_at=1)
    number, row, at_row = first_job(context)
    values: dict[str, object] = {page.ROW_CELL.replace("$", ""): at_row}
    values |= write_head(context, sheet, number, at_row)
    lines = page.lines()
    values |= line_values(lines, row)
    settings = context.code.books.settings
    values |= {"A3": settings["company_name"].value, "C3": settings["company_licence"].value}
    days = float(settings["valid_days"].value)
    values["A8"] = "" if math.isnan(days) else f"This offer holds for {int(days + 0.5)} days from the date."
    shown = [values[line.cell] for line in page.scope_lines() if values[line.cell] != ""]
    so_far = 0
    for place, line in enumerate(page.scope_lines()):
        so_far += values[line.cell] != ""
        at = page.FIRST_SCOPE + place
        values |= {f"{page.COUNT_COLUMN}{at}": so_far, f"A{at}": shown[place] if place < len(shown) else ""}
    looks = line_looks(context, lines)
    note = get("note", font_size=8)
    looks |= {line.cell: note for line in page.scope_lines()}
    looks |= {f"A{page.FIRST_SCOPE + place}": get("formula", align="left") for place in range(page.SCOPE_ROWS)}
    looks |= {
        "A3": get("formula", bold=True, font_size=14),
        "C3": get("formula", align="left"),
        "A8": get("formula", align="left"),
        STATE_CELL.replace("$", ""): get("formula", bold=True),
    }
    formulas = page.quotation_formulas(context.sheets, context.layout)
    total = put(context, sheet, formulas, values, looks, get("note", font_size=8, align="right"))
    _words(context, sheet)
    protect(sheet)
    print_setup(
        context, sheet, first_row=_COMPANY_ROW, last_row=_LAST_ROW, last_column=number_of("C"), header_rows=None,
        width_points=0, portrait=True, deep=1,
    )  # fmt: skip
    return total


def _words(context: Context, sheet: PlainFormulaSheet) -> None:
    get = context.formats.get
    band = get("band", font_size=10)
    for place in range(page.SCOPE_ROWS):
        sheet.write_number(page.FIRST_SCOPE - 1 + place, number_of(page.NUMBER_COLUMN), place + 1,
                           get("note", font_size=8))  # fmt: skip
    text = get("text")
    row, at = xl_cell_to_rowcol(page.DATE_CELL)
    sheet.write_string(row - 1, at, "Date of this offer", get("text", bold=True))
    sheet.write_blank(row, at, None, get("input", num_format="yyyy-mm-dd", align="left", border=1,
                                         border_color=INPUT_LINE, locked=False))  # fmt: skip
    sheet.data_validation(row, at, row, at, {
        "validate": "date", "criteria": ">=", "value": dt.date(2000, 1, 1), "ignore_blank": True,
        "input_title": "Date", "input_message": "The day of this offer.",
        "error_title": "Date", "error_message": "A date, such as 2026-03-01.",
    })  # fmt: skip

    def heading(line: int, words: str) -> None:
        for place in range(3):
            sheet.write_string(line - 1, place, words if place == 0 else "", band)

    heading(page.FIRST_SCOPE - 1, "What is done")
    heading(page.PRICE_TOP - 1, "What it costs")
    heading(_EXCLUDED, "What is not in it")
    for place, words in enumerate(page.EXCLUDED):
        sheet.write_string(_EXCLUDED + place, 0, words, text)
    heading(_CAUTIONS, "Cautions")
    for place, words in enumerate(page.CAUTIONS):
        sheet.write_string(_CAUTIONS + place, 0, words, text)
    heading(_AGREED, "Agreed")
    line = get("text", bottom=1, bottom_color=LINE)
    for at_line in (_AGREED + 3, _AGREED + 7):
        for place in (0, 2):
            sheet.write_string(at_line - 1, place, "", line)
            words = ("Client, date" if place == 0 else "For the company, date") if at_line == _AGREED + 3 else (
                "Way of payment" if place == 0 else "Start of work")  # fmt: skip
            sheet.write_string(at_line, place, words, get("note", font_size=9))
