"""The estimate of one job, line by line: price, material and work of the way chosen.

Lines that the way does not have are passed over: beside the printed page stands
every line with its quantity, and the page takes them in turn.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..code_tables.load import CodeTables, load
from .job_page import JobPage, Line
from .layout import LINE_PRICES, LINE_ROWS, LINE_STATISTICS, Layout, quoted
from .model import CompiledSheet

ESTIMATE = "Estimate"
ROW_CELL = "$H$4"
"""Row of the job picked."""

PRICE_TOP = 11
LIST_TOP = 30
"""Header row of the list of material."""

MATERIAL_ROWS, WORK_ROWS = 46, 44
"""Lines printed of each list; a test holds that no way has more."""

ALL_FIRST = LIST_TOP + 1
COUNT_COLUMN, TITLE_COLUMN, QUANTITY_COLUMN, PLACE_COLUMN, UNIT_COLUMN, EACH_COLUMN, AMOUNT_COLUMN = "HIJKLMN"
"""Beside the page: number on the page, then every line with title, quantity, count so far, unit, of one, amount."""

WAY = (
    Line("A6", "{site}"),
    Line("A7", "{option_chosen}", look="strong"),
    Line("A8", "{option_reason}"),
    Line("C6", "{price_state}", look="state"),
)

LIKELY, MEAN = "D", "E"
PRICE = (
    ("Material", "material_usd", "mean_material_usd"),
    ("Tape, staples and other small things", "likely_consumables_usd", "mean_consumables_usd"),
    ("Sales tax on material", "likely_tax_usd", "mean_tax_usd"),
    ("Labour", "likely_labour_usd", "mean_labour_usd"),
    ("Permit", "likely_permit_usd", "mean_permit_usd"),
    ("Direct cost", "likely_direct_usd", "mean_direct_usd"),
    ("Overhead", "likely_overhead_usd", "mean_overhead_usd"),
    ("Contingency", "likely_contingency_usd", "mean_contingency_usd"),
    ("Profit", "likely_profit_usd", "mean_profit_usd"),
    ("Price", "price_modes_usd", "price_likely_usd"),
)
"""Words, name of the likely line, name of the mean line."""

RANGE = (
    ("One in ten such jobs costs less than", "price_low_usd"),
    ("One in ten such jobs costs more than", "price_high_usd"),
    ("Labour hours, likely", "labour_hours"),
    ("Cost of an hour, likely", "rate_likely_usd"),
)


@dataclass(frozen=True)
class Item:
    """One line of a list: its quantity's name, its words, unit, and what one of it is and costs."""

    name: str
    words: str
    unit: str
    included: str
    each: str
    amount: str


def price_lines() -> tuple[Line, ...]:
    """The lines of the price, likely and mean."""
    lines = [
        Line(f"{at}{PRICE_TOP + place}", f"{{{name}}}", number="money")
        for place, (_, likely, mean) in enumerate(PRICE)
        for at, name in ((LIKELY, likely), (MEAN, mean))
    ]
    first = PRICE_TOP + len(PRICE) + 1
    lines += [Line(f"{MEAN}{first + place}", f"{{{name}}}", number="money") for place, (_, name) in enumerate(RANGE)]
    return tuple(lines)


RANGE_TOP = PRICE_TOP + len(PRICE) + 1


def material_items(code: CodeTables | None = None) -> tuple[Item, ...]:
    """Every line of material, the permit left out, in the order of the packages."""
    code = code or load()
    units = {line.key: line.unit for line in code.books.lines["price_book"]}
    sized = {"feeder_breakers": "each", "added_panels": "each", "main_panels": "each",
             "raceway_lengths": "length", "riser_lengths": "length"}  # fmt: skip
    return tuple(
        Item(
            line.name,
            code.rules[line.name].title,
            sized.get(line.name, "ft") if line.by_size else units[line.item],
            "" if line.package == "common" else f"in_{line.package}",
            f"{line.name}_place" if line.by_size else "",
            f"{line.name}_usd",
        )
        for line in code.takeoff_lines
        if line.name != "permits"
    )


def work_items(code: CodeTables | None = None) -> tuple[Item, ...]:
    """Every task, in the order of the packages."""
    code = code or load()
    units = {line.key: line.unit for line in code.books.lines["labour_units"]}
    return tuple(
        Item(
            line.name,
            code.rules[line.name].title,
            units[line.unit_id],
            "" if line.package == "common" else f"in_{line.package}",
            "",
            "" if line.difficulty == "none" else f"{line.difficulty}_factor_likely",
        )
        for line in code.work_lines
    )


WORK_HEADER = LIST_TOP + MATERIAL_ROWS + 3
"""Header row of the list of work; it has every task beside it, the longer list sets the rows."""


def blocks(code: CodeTables | None = None) -> tuple[tuple[str, tuple[Item, ...], int, int], ...]:
    """(sheet of the quantities, items, first row of all lines, lines printed) of both lists."""
    material, work = material_items(code), work_items(code)
    first = ALL_FIRST
    second = max(WORK_HEADER + 1, first + len(material) + 2)
    return (("Takeoff", material, first, MATERIAL_ROWS), ("Labour", work, second, WORK_ROWS))


def printed_top(sheet: str) -> int:
    """First printed row of a list."""
    return LIST_TOP + 1 if sheet == "Takeoff" else WORK_HEADER + 1


def estimate_formulas(sheets: Sequence[CompiledSheet], layout: Layout) -> dict[str, str]:
    """Every formula of the page by the cell it stands in, no leading `=`."""
    page = JobPage(sheets, layout, ROW_CELL)
    formulas = page.head_formulas()
    formulas |= {line.cell: page.formula(line) for line in (*WAY, *price_lines())}
    letters = {
        sheet.name: {column.name: column.letter for column in sheet.columns} for sheet in sheets
    }
    for sheet, items, first, shown in blocks(layout.code):
        for place, item in enumerate(items):
            formulas |= _all_line(page, layout, letters[sheet], sheet, item, first, first + place)
        formulas |= _printed(sheet, first, first + len(items) - 1, shown)
    return formulas


def _all_line(
    page: JobPage, layout: Layout, letters: Mapping[str, str], sheet: str, item: Item, first: int, row: int
) -> dict[str, str]:
    """Quantity in the way chosen, count so far, of one, and amount of one line."""
    held = page.value(item.name)
    if item.included:
        held = f"IF({page.value(item.included)}=1, {held}, 0)"
    likely = f"{quoted(LINE_PRICES)}!${letters[item.name]}${LINE_ROWS[sheet] + LINE_STATISTICS.index('likely')}"
    quantity, amount, each = (f"${at}{row}" for at in (QUANTITY_COLUMN, AMOUNT_COLUMN, EACH_COLUMN))
    before = f"${PLACE_COLUMN}{row - 1}+" if row > first else ""
    if sheet == "Takeoff":
        of_one = likely
        if item.each:
            place = page.value(item.each)
            of_one = f"IF({place}=0, 0, INDEX({layout.books['price_book'].column('likely')}, {place}))"
        total = f"IF({quantity}>0, {page.value(item.amount)}, 0)"
    else:
        of_one = f"{likely}*{page.value(item.amount)}" if item.amount else likely
        total = f"ROUND({quantity}*{each}, 6)"
    return {
        f"{QUANTITY_COLUMN}{row}": f"IF({ROW_CELL}=0, 0, IF({page.value('option_chosen')}=\"\", 0, {held}))",
        f"{PLACE_COLUMN}{row}": f"{before}IF({quantity}>0, 1, 0)",
        f"{EACH_COLUMN}{row}": f"IF({ROW_CELL}=0, 0, {of_one})",
        f"{AMOUNT_COLUMN}{row}": f"IF({ROW_CELL}=0, 0, {total})",
    }


PRINTED = {"A": TITLE_COLUMN, "B": QUANTITY_COLUMN, "C": UNIT_COLUMN, "D": EACH_COLUMN, "E": AMOUNT_COLUMN}
"""Printed column and the column of all lines that it takes."""


def _printed(sheet: str, first: int, last: int, shown: int) -> dict[str, str]:
    """The lines of the page, each by its number."""
    formulas = {}
    count = f"${PLACE_COLUMN}${first}:${PLACE_COLUMN}${last}"
    for place in range(shown):
        row = printed_top(sheet) + place
        number = f"${COUNT_COLUMN}{row}"
        for at, source in PRINTED.items():
            whole = f"${source}${first}:${source}${last}"
            formulas[f"{at}{row}"] = (
                f'IF({number}>${PLACE_COLUMN}${last}, "", INDEX({whole}, MATCH({number}, {count}, 0)))'
            )
    return formulas
