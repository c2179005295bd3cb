"""Estimate: price, material and work of one job, line by line."""

from __future__ import annotations

from collections.abc import Mapping

from xlsxwriter.format import Format

from ..sheets import estimate_page as page
from ..sheets.job_page import STATE_CELL
from .context import Context
from .job_pages import MONEY, first_job, line_looks, line_values, put, write_head
from .page import head, number_of, print_setup, protect
from .sheet_class import PlainFormulaSheet
from .styles import LINE, STYLES
from .values import amount as amount_of

TITLE = "Estimate, line by line"
NOTE = "Pick a job number in the yellow cell; nothing else to type."
_WIDTHS = {"A": 46, "B": 12, "C": 12, "D": 15, "E": 15, "F": 6, "G": 3, "H": 7, "I": 44, "J": 11, "K": 7,
           "L": 9, "M": 12, "N": 12, "O": 6}  # fmt: skip
_QUANTITY = "#,##0.##"
_END = "End of the list. Amounts are likely ones; labour rate, overhead, profit, tax and contingency stand above it."
_HEADINGS = {
    "A": "Material and work", "B": "Quantity", "C": "Unit", "D": "Of one, likely", "E": "Amount, likely",
    "F": "",
}  # fmt: skip
_BESIDE = {"H": "Line", "I": "Every line", "J": "Quantity", "K": "Count", "L": "Unit", "M": "Of one",
           "N": "Amount", "O": "In"}  # fmt: skip



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
    printed = {at: _printed_look(context, at) for at in page.PRINTED}
    for line in range(page.FIRST, page.FIRST + page.LIST_ROWS):
        looks |= {f"{at}{line}": printed[at] for at in page.PRINTED}
    total = put(context, sheet, formulas, values, looks, get("note", font_size=8, align="right", num_format=_QUANTITY))
    protect(sheet)
    last = page.FIRST + page.LIST_ROWS - 1
    sheet.conditional_format(page.FIRST - 1, 0, last - 1, number_of("F"), {
        "type": "formula", "criteria": f'=$A{page.FIRST}<>""',
        "format": context.book.add_format(
            {"font_color": STYLES["formula"].color, "bg_color": "#FFFFFF", "bottom": 1, "border_color": LINE}
        ),
    })  # fmt: skip
    print_setup(
        context, sheet, last_row=last + 1, last_column=number_of("F"), header_rows=(page.LIST_TOP, page.LIST_TOP),
        width_points=0, portrait=True, deep=2,
    )  # fmt: skip
    return total


def _printed_look(context: Context, at: str) -> Format:
    get = context.formats.get
    if at == "A":
        return get("formula", align="left", indent=1, shrink=True)
    if at in "CF":
        return get("formula", align="center")
    return get("formula", align="right", num_format=_QUANTITY if at == "B" else MONEY)


def _words(context: Context, sheet: PlainFormulaSheet) -> None:
    """Headings, titles of the price and of every line, and the numbers of the printed lines."""
    get = context.formats.get
    header = get("header", font_size=9, align="left", border=1, border_color=LINE)
    right = get("header", font_size=9, align="right", border=1, border_color=LINE)
    centre = get("header", font_size=9, align="center", border=1, border_color=LINE)
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
    for at, text in _HEADINGS.items():
        sheet.write_string(page.LIST_TOP - 1, number_of(at), text, header if at in "AF" else centre if at == "C" else right)
    for at, text in _BESIDE.items():
        sheet.write_string(page.LIST_TOP - 1, number_of(at), text, beside)
    sheet.write_string(page.FIRST + page.LIST_ROWS - 1, 0, _END, get("note", font_size=8))
    for place in range(page.LIST_ROWS):
        sheet.write_number(page.FIRST - 1 + place, number_of(page.COUNT_COLUMN), place + 1, beside)
    for row, item in enumerate(page.items(context.code), start=page.FIRST - 1):
        for at, text in (
            (page.TITLE_COLUMN, item.words), (page.UNIT_COLUMN, item.unit), (page.KIND_COLUMN, item.kind),
        ):  # fmt: skip
            sheet.write_string(row, number_of(at), text, beside)


def _list_values(context: Context, row: Mapping[str, object] | None) -> dict[str, object]:
    """Last results of the list."""
    code = context.code
    prices, hours = (
        {line.key: line.likely for line in code.books.lines[book]} for book in ("price_book", "labour_units")
    )
    behind = {line.name: prices.get(line.item, 0.0) for line in code.takeoff_lines}
    behind |= {line.name: hours[line.unit_id] for line in code.work_lines}
    values: dict[str, object] = {}
    found: list[tuple[object, ...]] = []
    for at, item in enumerate(page.items(code), start=page.FIRST):
        quantity = each = amount = 0.0
        if row is not None:
            held = row["option_chosen"] != "" and (not item.included or row[item.included] == 1)
            quantity = amount_of(row[item.name]) if held else 0.0
            each = behind[item.name]
            if item.kind == "USD":
                each = prices.get(str(row[f"{item.name}_item"]), 0.0) * bool(row[item.behind]) if item.behind else each
                amount = amount_of(row[f"{item.name}_usd"]) if quantity > 0 else 0.0
            else:
                each *= amount_of(row[item.behind]) if item.behind else 1.0
                amount = round(quantity * each, 6)
        if quantity > 0:
            found.append((item.words, quantity, item.unit, each, amount, item.kind))
        values |= {f"J{at}": quantity, f"K{at}": len(found), f"M{at}": each, f"N{at}": amount}
    for at, shown in enumerate(found[: page.LIST_ROWS], start=page.FIRST):
        values |= {f"{letter}{at}": value for letter, value in zip("ABCDEF", shown, strict=True)}
    return values
