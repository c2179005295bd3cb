"""Wrong entries of every kind, prices and rules that were changed, and what must not matter."""

from __future__ import annotations

import re
from collections.abc import Callable

from workbook_builder.code_tables.load import load

from .kind import EQUAL, Kind, kind
from .workbook import END, FIRST, SECOND, Workbook, at, built, here

_AREA = here("Jobs", "floor_area_ft2")
_PRICE = here("Price book", "likely")
_SETTING = ("Settings", f"{at('Settings', 'value')}{built().layout.setting_rows['profit_percent']}")
_RULE = built().layout.parameter_rows["unit_load"]
_OVERRIDE, _REASON = here("Local rules", "override", _RULE), here("Local rules", "reason", _RULE)


def _entry(name: str, value: object, *, row: int = SECOND, sheet: str = "Jobs", results: str | None = None, as_: str = "") -> Kind:
    """One wrong entry, told by its cell and field; of the job that has no circuits, which would be told too."""
    place = here(sheet, name, FIRST if sheet == "Circuits" else row)
    words = as_ or f"{name} {value!r}"
    return kind(f"entry of {sheet.lower()}: {words}", lambda b: b.put(*place, value),
                f"entries: {sheet}!{place[1]}, {name}", results=results)  # fmt: skip


def _formula_entry(book: Workbook) -> None:
    book.put_formula(*_AREA, "1000*2", "2000")


def _override(value: float, reason: str | None) -> Callable[[Workbook], None]:
    def damage(book: Workbook) -> None:
        book.put(*_OVERRIDE, value)
        book.put(*_REASON, reason)

    return damage


def _last_results(book: Workbook) -> None:
    """Every last result another; nobody may believe them."""
    for title in book.files:
        book[title] = re.sub(r"(</f>)<v>[^<]*</v>", r"\1<v>123</v>", book[title])


def _other_day_zero(book: Workbook) -> None:
    book.swap_text(None, "<workbookPr ", '<workbookPr date1904="1" ')
    book.put(*here("Jobs", "visit_date"), 44000)


def _protection(book: Workbook) -> None:
    book["Loads"], count = re.subn(r"<sheetProtection[^>]*/>", "", book["Loads"])
    assert count == 1


def _validation(book: Workbook) -> None:
    book["Circuits"], count = re.subn(r"<dataValidations.*</dataValidations>", "", book["Circuits"], flags=re.DOTALL)
    assert count == 1


def _end_lost(book: Workbook) -> None:
    book.put(*here("Jobs", "job_no", END), None)


def _middle() -> float:
    """Another likely price of the first line, between its low and its high."""
    line = load().books.lines["price_book"][0]
    return (line.likely + line.high) / 2


ENTRIES: tuple[Kind, ...] = (
    _entry("floor_area_ft2", "two thousand"),
    _entry("floor_area_ft2", 99),
    _entry("floor_area_ft2", "2000", as_="a number as text", results=EQUAL),
    _entry("floor_area_ft2", ["#N/A"], as_="an error value"),
    _entry("floor_area_ft2", True, as_="a truth value"),
    _entry("floor_area_ft2", None, as_="a required one missing"),
    _entry("move_1pole", 1.5, as_="a part of a whole number"),
    _entry("wiring", "gold", as_="an unknown choice", results=EQUAL),
    _entry("visit_date", "31/12/2025", as_="a date as text"),
    _entry("visit_date", "2025-02-30", as_="a day that there is not"),
    _entry("main_spaces_used", 31, as_="more than its other entry allows"),
    _entry("position", "four", sheet="Circuits", as_="a text for a number"),
    _entry("panel", "cellar", sheet="Circuits", as_="an unknown choice"),
    _entry("job_no", "A9", sheet="Circuits", as_="a job that is not there", results=EQUAL),
    _entry("label", None, sheet="Circuits", as_="a required one missing"),
    kind("job number twice", lambda b: b.put(*here("Jobs", "job_no", SECOND), "A1"),
         *(f"entries: Jobs!{here('Jobs', 'job_no', row)[1]}, job_no" for row in (FIRST, SECOND)),
         f"entries: Circuits!{here('Circuits', 'job_no')[1]}, job_no"),
    kind("formula between the entries", _formula_entry, f"entries: Jobs!{_AREA[1]}, floor_area_ft2", results=EQUAL),
    kind("end row lost", _end_lost, "entries: Jobs"),
    kind("price out of order", lambda b: b.put(*here("Price book", "low"), 99999),
         f"entries: Price book!{here('Price book', 'likely')[1]}, likely",
         f"price: Price book!{here('Price book', 'low')[1]}"),
    kind("price deleted", lambda b: b.put(*_PRICE, None), f"entries: Price book!{_PRICE[1]}, likely", f"price: Price book!{_PRICE[1]}"),
    kind("setting out of range", lambda b: b.put(*_SETTING, 95), f"entries: Settings!{_SETTING[1]}, value", f"price: Settings!{_SETTING[1]}"),
    kind("line of a book renamed", lambda b: b.put(*here("Labour units", "key"), "L1"),
         f"entries: Labour units!{here('Labour units', 'key')[1]}, key", "entries: Labour units, key"),
    kind("local rule without a reason", _override(2.5, None), f"entries: Local rules!{_REASON[1]}, reason", "rule: unit_load"),
    kind("local rule as text", lambda b: b.put(*_OVERRIDE, "two"), f"entries: Local rules!{_OVERRIDE[1]}, override",
         f"entries: Local rules!{_REASON[1]}, reason"),
)  # fmt: skip

LISTED: tuple[Kind, ...] = (
    kind("price changed", lambda b: b.put(*_PRICE, _middle()), f"price: Price book!{_PRICE[1]}", results=EQUAL),
    kind("setting changed", lambda b: b.put(*_SETTING, 12), f"price: Settings!{_SETTING[1]}", results=EQUAL),
    kind("local rule with a reason", _override(2.5, "the inspector, by letter"), "rule: unit_load", results=EQUAL),
    kind("title of a column changed", lambda b: b.put(*here("Loads", "lighting_va", 4), "Lights"),
         f"listed: words Loads!{here('Loads', 'lighting_va', 4)[1]} lighting_va"),
    kind("role of a column changed", lambda b: b.put(*here("Jobs", "site", 6), "mine"), f"listed: words Jobs!{here('Jobs', 'site', 6)[1]} site"),
    kind("title of a sheet changed", lambda b: b.put("Lists", "A1", "Words"), "listed: words Lists!A1"),
    kind("protection taken off", _protection, "listed: protection Loads"),
    kind("checks of what is typed taken off", _validation, f"listed: unchecked Circuits!B:{at('Circuits', 'priority')}"),
)  # fmt: skip

NO_MATTER: tuple[Kind, ...] = (
    kind("last results altered", _last_results, results=EQUAL),
    kind("days counted from 1904", _other_day_zero),
    kind("note beside the entries", lambda b: b.put("Jobs", f"ZZ{FIRST}", "call first")),
    kind("job picked on a page", lambda b: b.put("Directory", "A5", "A2")),
    kind("job deleted", lambda b: [b.put(*here("Jobs", name, SECOND), None) for name in built().marks("Jobs") if name != "row_state"], results=EQUAL),
)  # fmt: skip
