"""Line prices: for each quantity that always takes the same line, what its book has of it.

A line stands in the column that its quantity has on its sheet, so that a range
of quantities and a range of prices have the same columns.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from xlsxwriter.format import Format

from ..code_tables.books import LABOUR_UNITS, PRICE_BOOK
from ..sheets.layout import LINE_ROWS, LINE_STATISTICS
from .books_sheet import PAGES, Page, write_formulas
from .context import Context
from .measure import height_for, lines, narrowest, width_for
from .page import head, number_of, print_grid, protect
from .sheet_class import PlainFormulaSheet
from .styles import ACCENT, LINE, SMALL_SIZE

TITLE = "Line prices"
NOTE = (
    "Nothing to type here. A quantity of Takeoff or Labour that always takes the same line of a book "
    "has that line in its own column."
)
_LABELS = 3
"""Columns of the labels, which have no quantity on either sheet."""

_LABEL_WIDTHS = (25, 13, 13)
_WIDTH, _EMPTY_WIDTH = 11, 1
_SIZE = 9
_TITLE_LINES, _KEY_LINES = 3, 2
_LABEL_WORDS = {
    "key": "Name of the line in its book",
    "place": "Place in its book",
    "likely": "Likely, of one",
    "mean": "Mean, of one",
    "variance": "Variance, of one",
}


@dataclass(frozen=True)
class _Line:
    """One quantity with its column (from 0), its title and the line it takes."""

    name: str
    at: int
    title: str
    key: str


@dataclass(frozen=True)
class _Block:
    """The lines of one sheet, and the row of their first statistic."""

    sheet: str
    page: Page
    first_row: int
    found: Sequence[_Line]

    @property
    def band_row(self) -> int:
        return self.first_row - 2

    @property
    def title_row(self) -> int:
        return self.first_row - 1

    @property
    def mark_row(self) -> int:
        """The row of the names of the columns, under the statistics."""
        return self.first_row + len(LINE_STATISTICS)


def write_line_prices(context: Context, sheet: PlainFormulaSheet) -> int:
    """The cells of every line. Returns how many formulas the sheet has."""
    blocks = [_block(context, name) for name in LINE_ROWS]
    widths = _widths(blocks)
    last = max(widths)
    for at, width in enumerate(_LABEL_WIDTHS):
        sheet.set_column(at, at, width)
    for at in range(_LABELS, last + 1):
        sheet.set_column(at, at, widths.get(at, _EMPTY_WIDTH))
    head(context, sheet, TITLE, NOTE, note_at=_LABELS)
    for block in blocks:
        _write_block(context, sheet, block, widths)
    formulas = write_formulas(context, sheet, lambda _, row: _look(context, blocks, row))
    sheet.freeze_panes(2, _LABELS)
    sheet.set_zoom(90)
    protect(sheet)
    print_grid(
        context,
        sheet,
        last_row=blocks[-1].mark_row,
        widths=[*_LABEL_WIDTHS, *(widths.get(at, _EMPTY_WIDTH) for at in range(_LABELS, last + 1))],
        repeated=0,
        header_rows=(blocks[0].band_row, blocks[0].band_row),
        title=TITLE,
    )
    return formulas


def _block(context: Context, name: str) -> _Block:
    code = context.code
    book, taken = {
        "Takeoff": (PRICE_BOOK, {line.name: line.item for line in code.takeoff_lines if not line.by_size}),
        "Labour": (LABOUR_UNITS, {line.name: line.unit_id for line in code.work_lines}),
    }[name]
    grid = next(sheet for sheet in context.sheets if sheet.name == name)
    found = [
        _Line(one, number_of(grid.letter_of(one)), code.rules[one].title, key) for one, key in taken.items()
    ]
    return _Block(name, PAGES[book], LINE_ROWS[name], found)


def _widths(blocks: Sequence[_Block]) -> dict[int, float]:
    """Width of every column in use, so that no name is cut and no title or key too tall."""
    widths: dict[int, float] = {}
    for line in (line for block in blocks for line in block.found):
        least = max(widths.get(line.at, _WIDTH), width_for(line.name, size=SMALL_SIZE))
        for text, most, bold in ((line.title, _TITLE_LINES, True), (line.key, _KEY_LINES, False)):
            longest = max(width_for(word, size=_SIZE, bold=bold) for word in text.split())
            least = narrowest(text, most_lines=most, size=_SIZE, least=max(least, longest), bold=bold)
        widths[line.at] = least
    for at, words in (note for block in blocks for note in _notes(block.sheet)):
        widths[at] = narrowest(words, most_lines=_KEY_LINES - 1, size=_SIZE, least=widths.get(at, _WIDTH))
    return dict(sorted(widths.items()))


def _notes(sheet: str) -> list[tuple[int, str]]:
    """Columns and words over the counts of a block: lines that are missing, and those out of order."""
    bad = "Out of order, all books" if sheet == "Takeoff" else "Out of order, without prices"
    return [(1, "Lines that its book lacks"), (2, bad)]


def _write_block(context: Context, sheet: PlainFormulaSheet, block: _Block, widths: dict[int, float]) -> None:
    get = context.formats.get
    band = get("band", font_size=_SIZE)
    header = get("header", font_size=_SIZE, text_wrap=True, align="left")
    mark = get("mark", font_size=SMALL_SIZE, bottom=1, bottom_color=ACCENT)
    for at in range(max(widths) + 1):
        for row, look in ((block.band_row, band), (block.title_row, header), (block.mark_row, mark)):
            sheet.write_blank(row - 1, at, None, look)
    page = block.page
    words = f"{block.sheet}: from {page.title}, in {page.unit}; variance in {page.square_unit}"
    sheet.write_string(block.band_row - 1, 0, words, band)
    sheet.write_string(block.title_row - 1, 0, "Quantity", header)
    sheet.write_string(block.mark_row - 1, 0, "column", mark)
    for down, statistic in enumerate(LINE_STATISTICS):
        look = get("text", font_size=_SIZE, bold=True)
        sheet.write_string(block.first_row - 1 + down, 0, _LABEL_WORDS[statistic], look)
    for at, words in _notes(block.sheet):
        sheet.write_string(block.first_row - 1, at, words, get("note", font_size=_SIZE, text_wrap=True))
    for line in block.found:
        sheet.write_string(block.title_row - 1, line.at, line.title, header)
        sheet.write_string(block.mark_row - 1, line.at, line.name, mark)
    tallest = max(lines(line.title, width=widths[line.at], size=_SIZE, bold=True) for line in block.found)
    sheet.set_row(block.band_row - 1, 16)
    sheet.set_row(block.title_row - 1, height_for(tallest, size=_SIZE))
    sheet.set_row(block.first_row - 1, height_for(_KEY_LINES, size=_SIZE))
    sheet.set_row(block.mark_row - 1, 15)


def _look(context: Context, blocks: Sequence[_Block], row: int) -> Format:
    block = next(block for block in reversed(blocks) if row >= block.first_row)
    statistic = LINE_STATISTICS[row - block.first_row]
    border = {"border": 1, "border_color": LINE}
    if statistic == "place":
        return context.formats.get("formula", num_format="0", font_size=_SIZE, align="right", **border)
    if statistic == "key":
        return context.formats.get("formula", font_size=_SIZE, text_wrap=True, align="left", **border)
    number = block.page.square if statistic == "variance" else block.page.number
    return context.formats.get("linked", num_format=number, align="right", **border)
