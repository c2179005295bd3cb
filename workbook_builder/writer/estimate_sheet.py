"""Estimate: price, material and work of one job, line by line."""

from __future__ import annotations

from collections.abc import Mapping

from ..sheets import estimate_page as page
from ..sheets.job_page import STATE_CELL
from .context import Context
from .job_pages import MONEY, first_job, line_looks, line_values, put, write_head
from .page import head, number_of, print_setup, protect
from .sheet_class import PlainFormulaSheet
from .styles import LINE

TITLE = "Estimate, line by line"
NOTE = "Pick a job number in the yellow cell. Price, material and work of the way chosen; nothing else to type."
_WIDTHS = {"A": 46, "B": 12, "C": 12, "D": 15, "E": 15, "F": 3, "G": 3, "H": 7, "I": 44, "J": 11, "K": 7,
           "L": 9, "M": 12, "N": 12}  # fmt: skip
_QUANTITY, _HOURS = "#,##0.##", "0.00"
_HEADINGS = {
    "Takeoff": ("Material", "Quantity", "Unit", "USD of one, likely", "USD, likely"),
    "Labour": ("Work", "Quantity", "Unit", "Hours of one, likely", "Hours, likely"),
}
_BESIDE = {"H": "Line", "I": "Every line", "J": "Quantity", "K": "Count", "L": "Unit", "M": "Of one", "N": "Amount"}


def write_estimate(context: Context, sheet: PlainFormulaSheet) -> int:
    """The page of the estimate. Returns how many formulas it has."""
    get = context.formats.get
    sheet.hide_gridlines(2)
    for at, width in _WIDTHS.items():
        sheet.set_column(number_of(at), number_of(at), width)
    head(context, sheet, TITLE, NOTE, note_at=2)
    number, row, at_row = first_job(context)
    values: dict[str, object] = {page.ROW_CELL.replace("$", ""): at_row}
    values |= write_head(context, sheet, number, at_row)
    values |= line_values((*page.WAY, *page.price_lines()), row)
    _words(context, sheet)
    values |= _list_values(context, row)
    formulas = page.estimate_formulas(context.sheets, context.layout)
    looks = line_looks(context, (*page.WAY, *page.price_lines()))
    looks[STATE_CELL.replace("$", "")] = get("formula", bold=True)
    for sheet_name, _, _, shown in page.blocks(context.code):
        for place in range(shown):
            line = page.printed_top(sheet_name) + place
            for at in page.PRINTED:
                looks[f"{at}{line}"] = _printed_look(context, at, sheet_name)
    total = put(context, sheet, formulas, values, looks, get("note", font_size=8, align="right", num_format=_QUANTITY))
    protect(sheet)
    last = page.printed_top("Labour") + page.WORK_ROWS - 1
    print_setup(
        context, sheet, last_row=last, last_column=number_of("E"), header_rows=None,
        width_points=0, portrait=True,
    )  # fmt: skip
    return total


def _printed_look(context: Context, at: str, sheet_name: str) -> object:
    get = context.formats.get
    border = {"border": 1, "border_color": LINE}
    if at == "A":
        return get("formula", align="left", indent=1, shrink=True, **border)
    if at == "C":
        return get("formula", align="center", **border)
    number = _QUANTITY if at == "B" else MONEY if sheet_name == "Takeoff" else _HOURS
    return get("formula", align="right", num_format=number, **border)


def _words(context: Context, sheet: PlainFormulaSheet) -> None:
    """Headings, titles of the price and of every line, and the numbers of the printed lines."""
    get = context.formats.get
    header = get("header", font_size=9, align="left", border=1, border_color=LINE)
    right = get("header", font_size=9, align="right", border=1, border_color=LINE)
    cell = get("text", border=1, border_color=LINE)
    strong = get("text", bold=True, border=1, border_color=LINE)
    top = page.PRICE_TOP - 2
    for at, text in (("A", "Price of the way chosen"), ("B", ""), ("C", ""), ("D", "USD, likely"), ("E", "USD, mean")):
        sheet.write_string(top, number_of(at), text, right if at in "DE" else header)
    for place, (text, _, _) in enumerate(page.PRICE):
        for at in "ABC":
            sheet.write_string(page.PRICE_TOP - 1 + place, number_of(at), text if at == "A" else "",
                               strong if text in ("Direct cost", "Price") else cell)  # fmt: skip
    for place, (text, _) in enumerate(page.RANGE):
        for at in "ABCD":
            sheet.write_string(page.RANGE_TOP - 1 + place, number_of(at), text if at == "A" else "", cell)
    note = get("note", font_size=9)
    sheet.write_string(page.LIST_TOP - 3, 0, "The mean is over the likely sum: what goes wrong costs more "
                       "than what goes well saves. The price offered is the mean.", note)  # fmt: skip
    beside = get("note", font_size=8)
    for sheet_name, items, first, shown in page.blocks(context.code):
        head_row = page.printed_top(sheet_name) - 2
        for at, text in zip("ABCDE", _HEADINGS[sheet_name], strict=True):
            sheet.write_string(head_row, number_of(at), text, header if at == "A" else right)
        for at, text in _BESIDE.items():
            if at != "H":
                sheet.write_string(first - 2, number_of(at), text, beside)
        sheet.write_string(head_row, number_of("H"), _BESIDE["H"], beside)
        for place in range(shown):
            sheet.write_number(page.printed_top(sheet_name) - 1 + place, number_of("H"), place + 1, beside)
        for place, item in enumerate(items):
            sheet.write_string(first - 1 + place, number_of("I"), item.words, beside)
            sheet.write_string(first - 1 + place, number_of("L"), item.unit, beside)


def _list_values(context: Context, row: Mapping[str, object] | None) -> dict[str, object]:
    """Last results of both lists."""
    values: dict[str, object] = {}
    likely = {
        book: {line.key: line.likely for line in context.code.books.lines[book]}
        for book in ("price_book", "labour_units")
    }
    items_of = {line.name: line.item for line in context.code.takeoff_lines if not line.by_size}
    unit_of = {line.name: line.unit_id for line in context.code.work_lines}
    for sheet_name, items, first, shown in page.blocks(context.code):
        found: list[tuple[object, ...]] = []
        for place, item in enumerate(items):
            line = first + place
            held = row is not None and row["option_chosen"] != "" and (not item.included or row[item.included] == 1)
            quantity = float(row[item.name]) if held else 0.0
            each, amount = 0.0, 0.0
            if row is not None and sheet_name == "Takeoff":
                key = row[f"{item.name}_item"] if item.each else items_of[item.name]
                each = likely["price_book"].get(str(key), 0.0) if not item.each or row[item.each] else 0.0
                amount = float(row[item.amount]) if quantity > 0 else 0.0
            elif row is not None:
                each = likely["labour_units"][unit_of[item.name]] * (float(row[item.amount]) if item.amount else 1.0)
                amount = round(quantity * each, 6)
            if quantity > 0:
                found.append((item.words, quantity, item.unit, each, amount))
            values |= {f"J{line}": quantity, f"K{line}": len(found), f"M{line}": each, f"N{line}": amount}
        for place, line_values_ in enumerate(found[:shown]):
            printed = page.printed_top(sheet_name) + place
            values |= {f"{at}{printed}": value for at, value in zip("ABCDE", line_values_, strict=True)}
    return values


