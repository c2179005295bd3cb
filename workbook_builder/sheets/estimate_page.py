"""The estimate of one job, line by line: price, material and work of the way chosen.

Lines that the way does not have are passed over: beside the printed page stands
every line with its quantity, and the page takes them in turn.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..code_tables.load import CodeTables
from .job_page import JobPage, Line
from .layout import LINE_PRICES, LINE_ROWS, LINE_STATISTICS, Layout, quoted
from .model import CompiledSheet

ESTIMATE = "Estimate"
ROW_CELL = "$H$4"
"""Row of the job picked."""

PRICE_TOP = 11
LIST_TOP = 29
"""Header row of the list of material and work."""

LIST_ROWS = 86
"""Lines printed of the list; a test holds that no way has more."""

FIRST = LIST_TOP + 1
COUNT_COLUMN, TITLE_COLUMN, QUANTITY_COLUMN, PLACE_COLUMN, UNIT_COLUMN, EACH_COLUMN, AMOUNT_COLUMN, KIND_COLUMN = (
    "HIJKLMNO"
)
"""Beside the page: number on the page, then every line with title, quantity, count so far, unit, of one,
amount, and whether these are USD or hours."""

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
    """One line: its quantity's name and sheet, its words and unit, and the columns behind it.

    included is the column that says whether its package is in the way, blank
    for every way. behind is, of material by size, the place in the price book;
    of work, its factor of difficulty. kind is what one of it is counted in.
    """

    name: str
    sheet: str
    words: str
    unit: str
    included: str
    behind: str
    kind: str


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


SIZED_UNITS = {"feeder_breakers": "each", "added_panels": "each", "main_panels": "each",
               "raceway_lengths": "length", "riser_lengths": "length"}  # fmt: skip
"""Units of material by size that is not sold by the foot."""


def items(code: CodeTables) -> tuple[Item, ...]:
    """Every line of material, the permit left out, then every task, in the order of the packages."""
    prices, hours = (
        {line.key: line.unit for line in code.books.lines[book]} for book in ("price_book", "labour_units")
    )

    def included(package: str) -> str:
        return "" if package == "common" else f"in_{package}"

    material = (
        Item(
            line.name,
            "Takeoff",
            code.rules[line.name].title,
            SIZED_UNITS.get(line.name, "ft") if line.by_size else prices[line.item],
            included(line.package),
            f"{line.name}_place" if line.by_size else "",
            "USD",
        )
        for line in code.takeoff_lines
        if line.name != "permits"
    )
    work = (
        Item(
            line.name,
            "Labour",
            code.rules[line.name].title,
            hours[line.unit_id],
            included(line.package),
            "" if line.difficulty == "none" else f"{line.difficulty}_factor_likely",
            "h",
        )
        for line in code.work_lines
    )
    return (*material, *work)


def estimate_formulas(sheets: Sequence[CompiledSheet], layout: Layout) -> dict[str, str]:
    """Every formula of the page by the cell it stands in, no leading `=`."""
    page = JobPage(sheets, layout, ROW_CELL)
    formulas = page.head_formulas()
    formulas |= {line.cell: page.formula(line) for line in (*WAY, *price_lines())}
    letters = {
        sheet.name: {column.name: column.letter for column in sheet.columns} for sheet in sheets
    }
    every = items(layout.code)
    for row, item in enumerate(every, start=FIRST):
        formulas |= _all_line(page, layout, letters[item.sheet], item, row)
    return formulas | _printed(FIRST + len(every) - 1)


def _all_line(
    page: JobPage, layout: Layout, letters: Mapping[str, str], item: Item, row: int
) -> dict[str, str]:
    """Quantity in the way chosen, count so far, of one, and amount of one line."""
    held = page.value(item.name)
    if item.included:
        held = f"IF({page.value(item.included)}=1, {held}, 0)"
    at_row = LINE_ROWS[item.sheet] + LINE_STATISTICS.index("likely")
    likely = f"{quoted(LINE_PRICES)}!${letters[item.name]}${at_row}"
    quantity, each = f"${QUANTITY_COLUMN}{row}", f"${EACH_COLUMN}{row}"
    before = f"${PLACE_COLUMN}{row - 1}+" if row > FIRST else ""
    if item.kind == "USD":
        of_one = likely
        if item.behind:
            place = page.value(item.behind)
            of_one = f"IF({place}=0, 0, INDEX({layout.books['price_book'].column('likely')}, {place}))"
        total = f"IF({quantity}>0, {page.value(item.name + '_usd')}, 0)"
    else:
        of_one = f"{likely}*{page.value(item.behind)}" if item.behind else likely
        total = f"ROUND({quantity}*{each}, 6)"
    return {
        f"{QUANTITY_COLUMN}{row}": f"IF({ROW_CELL}=0, 0, IF({page.value('option_chosen')}=\"\", 0, {held}))",
        f"{PLACE_COLUMN}{row}": f"{before}IF({quantity}>0, 1, 0)",
        f"{EACH_COLUMN}{row}": f"IF({ROW_CELL}=0, 0, {of_one})",
        f"{AMOUNT_COLUMN}{row}": f"IF({ROW_CELL}=0, 0, {total})",
    }


PRINTED = {
    "A": TITLE_COLUMN, "B": QUANTITY_COLUMN, "C": UNIT_COLUMN, "D": EACH_COLUMN, "E": AMOUNT_COLUMN,
    "F": KIND_COLUMN,
}  # fmt: skip
"""Printed column and the column of all lines that it takes."""


def _printed(last: int) -> dict[str, str]:
    """The lines of the page, each by its number."""
    formulas = {}
    count = f"${PLACE_COLUMN}${FIRST}:${PLACE_COLUMN}${last}"
    for row in range(FIRST, FIRST + LIST_ROWS):
        number = f"${COUNT_COLUMN}{row}"
        for at, source in PRINTED.items():
            whole = f"${source}${FIRST}:${source}${last}"
            formulas[f"{at}{row}"] = (
                f'IF({number}>${PLACE_COLUMN}${last}, "", INDEX({whole}, MATCH({number}, {count}, 0)))'
            )
    return formulas
