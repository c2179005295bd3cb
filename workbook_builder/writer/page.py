"""What all sheets share: title, links, protection and how they print."""

from __future__ import annotations

from collections.abc import Sequence

from xlsxwriter.utility import xl_col_to_name

from ..sheets.layout import quoted
from ..sheets.model import NOTE_ROW, TITLE_ROW
from .context import BUILT_BY, START, Context
from .paper import BOTTOM_MARGIN, SIDE_MARGIN, TOP_MARGIN, scale_to_fill
from .sheet_class import PlainFormulaSheet

_LETTER_PAPER = 1
_LANDSCAPE_POINTS = 792 - 2 * 36
_MARGIN = 0.5
CAUTION = "An estimating aid, not a design approval"

_PROTECTION = {
    "select_locked_cells": True,
    "select_unlocked_cells": True,
    "format_columns": True,
    "format_rows": True,
    "autofilter": True,
}


def number_of(letters: str) -> int:
    """0-based column number of its letters."""
    total = 0
    for sign in letters:
        total = total * 26 + ord(sign) - 64
    return total - 1


def link(context: Context, sheet: PlainFormulaSheet, row: int, at: int, target: str,
         words: str, *, cell: str = "A1", size: float = 9) -> None:  # fmt: skip
    """A cell that leads to another place of this workbook; row and column from 0."""
    look = context.formats.get("link", underline=1, font_size=size)
    sheet.write_url(row, at, f"internal:{quoted(target)}!{cell}", look, words)


def head(context: Context, sheet: PlainFormulaSheet, title: str, note: str,
         *, note_at: int) -> None:  # fmt: skip
    """Title in row 1; in row 2 the links in the first columns, then the note."""
    formats = context.formats
    sheet.set_row(TITLE_ROW - 1, 24)
    sheet.set_row(NOTE_ROW - 1, 16)
    sheet.write_string(TITLE_ROW - 1, 0, title, formats.get("title", font_size=15))
    before, after = context.neighbours(sheet.name)
    targets = [(START, START)]
    if before:
        targets.append((before, f"\u2190 {before}"))
    if after:
        targets.append((after, f"{after} \u2192"))
    for at, (target, words) in enumerate(targets[:note_at]):
        link(context, sheet, NOTE_ROW - 1, at, target, words)
    sheet.write_string(NOTE_ROW - 1, note_at, note, formats.get("note", font_size=9))


def keep_text(sheet: PlainFormulaSheet, last_row: int, last_column: int) -> None:
    """No offer to turn sizes such as 12, which are text, into numbers."""
    area = f"A1:{xl_col_to_name(last_column)}{last_row}"
    sheet.ignore_errors({"number_stored_as_text": area})


def protect(sheet: PlainFormulaSheet) -> None:
    """Against slips of the hand only: the password is empty."""
    sheet.protect("", _PROTECTION)


def print_setup(
    context: Context,
    sheet: PlainFormulaSheet,
    *,
    last_row: int,
    last_column: int,
    header_rows: tuple[int, int] | None,
    first_row: int = 1,
    id_columns: int = 0,
    width_points: float,
    portrait: bool = False,
    deep: int = 0,
) -> None:
    """Letter paper, header and id columns on every page, nothing empty printed.

    Fits one page across where that leaves the text legible, else two, and as many
    pages down as it takes or `deep` says.
    """
    sheet.set_portrait() if portrait else sheet.set_landscape()
    sheet.set_paper(_LETTER_PAPER)
    sheet.set_margins(left=_MARGIN, right=_MARGIN, top=_MARGIN, bottom=0.75)
    sheet.print_area(first_row - 1, 0, last_row - 1, last_column)
    if header_rows:
        sheet.repeat_rows(header_rows[0] - 1, header_rows[1] - 1)
    across = 1 if width_points <= _LANDSCAPE_POINTS / 0.5 else 2
    sheet.fit_to_pages(across, deep)
    if across == 1:
        id_columns = 0
    if id_columns:
        sheet.repeat_columns(0, id_columns - 1)
    _foot(context, sheet)


def print_grid(
    context: Context,
    sheet: PlainFormulaSheet,
    *,
    last_row: int,
    widths: Sequence[float],
    repeated: int | None,
    header_rows: tuple[int, int] = (3, 9),
    title: str,
    legend: str = "",
) -> None:
    """A wide grid in landscape on as few pages across as its columns fill, at most one column on every page.

    widths are those of the printed columns in characters, from column A; repeated is counted from 0.
    The title goes into the page header, so that it is cut by no column.
    """
    sheet.set_landscape()
    sheet.set_paper(_LETTER_PAPER)
    _margins_of_list(sheet, title, legend)
    sheet.print_area(header_rows[0] - 1, 0, last_row - 1, len(widths) - 1)
    sheet.repeat_rows(header_rows[0] - 1, header_rows[1] - 1)
    again = () if repeated is None else (repeated,)
    if again:
        sheet.repeat_columns(*again, *again)
    header = sheet.row_points(*header_rows)
    rows = sheet.row_points(header_rows[1] + 1, last_row)
    sheet.set_print_scale(scale_to_fill(widths, repeated=again, header=header, rows=rows))
    _foot(context, sheet)


def print_list(
    context: Context,
    sheet: PlainFormulaSheet,
    *,
    header_row: int,
    first_row: int,
    last_row: int,
    last_column: int,
    title: str,
) -> None:
    """A long list in landscape, one page across, its header row on every page.

    Rows from 1, the column from 0.
    """
    sheet.set_landscape()
    sheet.set_paper(_LETTER_PAPER)
    _margins_of_list(sheet, title)
    sheet.print_area(first_row - 1, 0, last_row - 1, last_column)
    sheet.repeat_rows(header_row - 1)
    sheet.fit_to_pages(1, 0)
    _foot(context, sheet)


def _margins_of_list(sheet: PlainFormulaSheet, title: str, legend: str = "") -> None:
    sheet.set_margins(left=SIDE_MARGIN, right=SIDE_MARGIN, top=TOP_MARGIN, bottom=BOTTOM_MARGIN)
    sheet.set_header(f'&L&"Arial,Bold"&12{title}&R&"Arial,Regular"&8{legend}', {"margin": 0.3})


def _foot(context: Context, sheet: PlainFormulaSheet) -> None:
    sheet.set_footer(
        f"&L&8&A&C&8{CAUTION}&R&8{BUILT_BY}, {context.built_on}   page &P of &N", {"margin": 0.25}
    )
