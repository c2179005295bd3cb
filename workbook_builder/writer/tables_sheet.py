"""The code tables, each at its place, with where it comes from at its side."""

from __future__ import annotations

from ..code_tables.model import EDITIONS, Table
from ..sheets.layout import TablePlace
from .context import Context
from .measure import split, width_for
from .page import head, keep_text, number_of, print_setup, protect
from .sheet_class import PlainFormulaSheet
from .styles import LINE, SMALL_SIZE, UNIT_WORDS
from .values import plain, write_value

NOTE = "Values of the code with their sections and sources; addresses on Provenance. A blank cell has no value printed."
_LABEL_WIDTH, _FACTS_WIDTH, _LINK_WIDTH = 9, 78, 17


def write_tables(context: Context, sheet: PlainFormulaSheet, name: str) -> None:
    """One sheet of code tables."""
    places = {
        table: place for table, place in context.layout.tables.items() if place.sheet == name
    }
    head(context, sheet, name, NOTE, note_at=3)
    aside = max(number_of(place.status_letter) for place in places.values()) + 2
    widths = _widths(context, places)
    for at, width in widths.items():
        sheet.set_column(at, at, width)
    sheet.set_column(aside - 1, aside - 1, 2)
    sheet.set_column(aside, aside, _LABEL_WIDTH)
    sheet.set_column(aside + 1, aside + 1, _FACTS_WIDTH)
    for table, place in places.items():
        _write_table(context, sheet, context.code.tables[table], place)
        _write_facts(context, sheet, context.code.tables[table], place, aside)
    sheet.freeze_panes(2, 0)
    protect(sheet)
    keep_text(sheet, max(place.last_row for place in places.values()), aside)
    print_setup(
        context,
        sheet,
        last_row=max(place.last_row for place in places.values()),
        last_column=aside + 1,
        header_rows=(1, 1),
        width_points=(sum(widths.values()) + _LABEL_WIDTH + _FACTS_WIDTH) * 5.25,
    )


def _widths(context: Context, places: dict[str, TablePlace]) -> dict[int, float]:
    found: dict[int, float] = dict.fromkeys(range(3), _LINK_WIDTH)
    for name in places:
        table = context.code.tables[name]
        for at, column in enumerate((*table.header, "status")):
            cells = [column]
            cells += [row[at] for row in table.rows] if column != "status" else table.status
            texts = [plain(cell) for cell in cells if cell is not None]
            least = max(width_for(text, size=9, bold=True) for text in texts) + 1
            found[at] = max(found.get(at, 10), least)
    return found


def _write_table(
    context: Context, sheet: PlainFormulaSheet, table: Table, place: TablePlace
) -> None:
    get = context.formats.get
    border = {"border": 1, "border_color": LINE}
    sheet.write_string(place.title_row - 1, 0, table.title, get("title", font_size=11))
    unit = UNIT_WORDS.get(table.unit, table.unit)
    words = f"Unit: {unit}. Sources: {', '.join(table.source)}."
    sheet.write_string(place.title_row, 0, words, get("note", font_size=SMALL_SIZE))
    header = get("header", font_size=9, align="left", indent=1, **border)
    over_numbers = get("header", font_size=9, align="right", **border)
    for column, at in place.letters.items():
        has_words = any(isinstance(cell, str) for cell in table.column(column))
        look = header if has_words else over_numbers
        sheet.write_string(place.header_row - 1, number_of(at), column, look)
    status = number_of(place.status_letter)
    sheet.write_string(place.header_row - 1, status, "status", header)
    word = get("table", font_size=9, align="left", indent=1, **border)
    number = get("table", font_size=9, align="right", **border)
    for row, (cells, sure) in enumerate(zip(table.rows, table.status, strict=True), place.first_row):
        for at, cell in enumerate(cells):
            write_value(sheet, row - 1, at, cell, number if isinstance(cell, float) else word)
        sheet.write_string(row - 1, status, sure, word)


def _write_facts(
    context: Context, sheet: PlainFormulaSheet, table: Table, place: TablePlace, aside: int
) -> None:
    """Beside the table: what its columns are, each edition's section and claim, the note."""
    get = context.formats.get
    label = get("text", font_size=SMALL_SIZE, bold=True, align="left")
    words = get("text", font_size=SMALL_SIZE, align="left")
    facts = [("columns", table.columns)] if table.columns else []
    facts += [
        (str(edition), f"{table.editions[edition].section}: {table.editions[edition].status}")
        for edition in EDITIONS
    ]
    facts.append(("note", table.note))
    row = place.title_row - 1
    for name, text in facts:
        sheet.write_string(row, aside, name, label)
        for line in split(text, width=_FACTS_WIDTH, size=SMALL_SIZE):
            sheet.write_string(row, aside + 1, line, words)
            row += 1
