"""Damage to formulas and to values that were built in."""

from __future__ import annotations

import re

from workbook_builder.sheets.layout import letter

from .kind import DIFFERENT, EQUAL, Kind, kind
from .workbook import BLANK, FIRST, SECOND, Workbook, at, built, here

SUM = here("Loads", "lighting_group_va")
SUM_TEXT = f"Loads!{SUM[1]} lighting_group_va"
COPY = here("Loads", "lighting_va")
COPY_TEXT = f"Loads!{COPY[1]} lighting_va"
_D, _E = at("Loads", "lighting_va"), at("Loads", "small_appliance_va")
_TABLE = built().layout.tables["cooking_demand"]
_IN_USE = here("Local rules", "in_use_2023")
_LINE = next((row, column) for row, column in built().cells.sheets["Line prices"].formulas if row == 6)


def _column(book: Workbook, name: str, change: str) -> None:
    """The same thing done to every row of a column of Loads."""
    for row in range(FIRST, BLANK + 1):
        cell = f"{at('Loads', name)}{row}"
        if change == "value":
            book.put("Loads", cell, 7)
        elif change == "blank":
            book.put("Loads", cell, None)
        elif change == "down":
            book.put_formula("Loads", cell, re.sub(rf"(?<=[A-Z]){row}\b", str(row + 1), book.formula("Loads", cell)))
        else:
            book.change("Loads", cell, "+", "-")


def _shift_down(book: Workbook) -> None:
    """A column pasted one row lower, the texts of its formulas as they were."""
    name = at("Loads", "lighting_group_va")
    texts = [book.formula("Loads", f"{name}{row}") for row in (FIRST, SECOND)]
    book.put("Loads", f"{name}{FIRST}", None)
    for row, text in zip((SECOND, BLANK), texts, strict=True):
        book.put_formula("Loads", f"{name}{row}", text)


def _shift_right(book: Workbook) -> None:
    """Two columns of formulas, the left one written over the right one."""
    for row in range(FIRST, BLANK + 1):
        book.put_formula("Loads", f"{_E}{row}", book.formula("Loads", f"{_D}{row}"))


def _shared(book: Workbook) -> None:
    """One formula written for a whole column, as programs do that save space; it is the same formula."""
    name = at("Loads", "lighting_group_va")
    text = book.formula("Loads", f"{name}{FIRST}").replace("<", "&lt;").replace(">", "&gt;")
    book.put_content(
        "Loads", f"{name}{FIRST}",
        f'><f t="shared" si="0" ref="{name}{FIRST}:{name}{BLANK}">{text}</f><v>0</v></c>',
    )  # fmt: skip
    for row in (SECOND, BLANK):
        book.put_content("Loads", f"{name}{row}", '><f t="shared" si="0"/><v>0</v></c>')


def _array(book: Workbook, last: str) -> None:
    text = book.formula(*SUM)
    book.put_content("Loads", SUM[1], f'><f t="array" ref="{SUM[1]}:{last}">{text}</f><v>0</v></c>')


def _other_form(book: Workbook) -> None:
    """Everything that programs write in their own way and that changes nothing."""
    book.put_formula("Loads", SUM[1], re.sub(r"\b(IF|ROUND)\b", lambda hit: hit[1].lower(), book.formula(*SUM)).replace(", ", ","))
    text = book.formula(*COPY)
    book.put_formula(*COPY, "_xlfn." + text.replace(", 6)", " , 6.0)").replace("Inputs!", "'Inputs'!").replace("$C10", "(+Loads!$C10)"))


def _number_on(sheet: str) -> tuple[str, int]:
    """The first number that was built into a page, and another."""
    cells = built().cells.sheets[sheet].values
    row, column = min(place for place, value in cells.items() if isinstance(value, float))
    return f"{letter(column)}{row}", 99


FORMULAS: tuple[Kind, ...] = (
    kind("formula overwritten by a number", lambda b: b.put(*SUM, 4500), f"formulas: overwritten {SUM_TEXT}", results=DIFFERENT),
    kind("formula overwritten by a text", lambda b: b.put(*SUM, "see notes"), f"formulas: overwritten {SUM_TEXT}"),
    kind("formula overwritten by its own last value", lambda b: b.put(*SUM, 0), f"formulas: overwritten {SUM_TEXT}"),
    kind("formula overwritten by an error value", lambda b: b.put(*SUM, ["#REF!"]), f"formulas: overwritten {SUM_TEXT}"),
    kind("formula overwritten by a truth value", lambda b: b.put(*SUM, True), f"formulas: overwritten {SUM_TEXT}"),
    kind("column of formulas overwritten", lambda b: _column(b, "lighting_group_va", "value"),
         f"formulas: overwritten Loads!{SUM[1]}:{at('Loads', 'lighting_group_va')}{BLANK} lighting_group_va"),
    kind("formula with another operator", lambda b: b.change(*SUM, "+", "-"), f"formulas: changed {SUM_TEXT}", results=DIFFERENT),
    kind("comparison with its edge", lambda b: b.change(*here("Feeder", "feeder_range_ab_kw"), ">", ">="),
         f"formulas: changed Feeder!{here('Feeder', 'feeder_range_ab_kw')[1]} feeder_range_ab_kw"),
    kind("formula with another constant", lambda b: b.change(*SUM, ", 6)", ", 5)"), f"formulas: changed {SUM_TEXT}"),
    kind("formula with another text in it", lambda b: b.change(*SUM, '"ready"', '"Ready"'), f"formulas: changed {SUM_TEXT}"),
    kind("formula with another function", lambda b: b.change(*SUM, "ROUND", "ROUNDUP"), f"formulas: changed {SUM_TEXT}"),
    kind("formula that takes a neighbour column", lambda b: b.change(*SUM, f"${_D}{FIRST}", f"${_E}{FIRST}"), f"formulas: changed {SUM_TEXT}"),
    kind("formula that takes another row", lambda b: b.change(*SUM, f"${_D}{FIRST}", f"${_D}{SECOND}"), f"formulas: changed {SUM_TEXT}"),
    kind("absolute column made relative", lambda b: b.change(*SUM, f"${_D}{FIRST}", f"{_D}{FIRST}"), f"formulas: changed {SUM_TEXT}", results=EQUAL),
    kind("range one short", lambda b: b.change(*here("Inputs", "job_no"), f"${FIRST + 3}", f"${FIRST + 2}"),
         f"formulas: changed Inputs!{here('Inputs', 'job_no')[1]} job_no"),
    kind("term left out", lambda b: b.change(*SUM, f"${_D}{FIRST}+", ""), f"formulas: changed {SUM_TEXT}"),
    kind("brackets that change the sum", lambda b: b.change(*COPY, "*INDEX", "*1+INDEX"), f"formulas: changed {COPY_TEXT}"),
    kind("reference lost", lambda b: b.change(*SUM, f"${_D}{FIRST}", "#REF!"), f"formulas: changed {SUM_TEXT}", results=DIFFERENT),
    kind("formula that no program can read", lambda b: b.put_formula(*SUM, "IF(("), f"formulas: changed {SUM_TEXT}"),
    kind("formula deleted", lambda b: b.put(*SUM, None), f"formulas: missing {SUM_TEXT}"),
    kind("column of formulas deleted", lambda b: _column(b, "lighting_group_va", "blank"),
         f"formulas: missing Loads!{SUM[1]}:{at('Loads', 'lighting_group_va')}{BLANK} lighting_group_va"),
    kind("column of formulas changed alike", lambda b: _column(b, "lighting_group_va", "sign"),
         f"formulas: changed Loads!{SUM[1]}:{at('Loads', 'lighting_group_va')}{BLANK} lighting_group_va"),
    kind("formula of the row below", lambda b: b.put_formula(*SUM, b.formula("Loads", SUM[1].replace(str(FIRST), str(SECOND)))),
         f"formulas: shifted {SUM_TEXT}"),
    kind("column that reads one row lower", lambda b: _column(b, "lighting_group_va", "down"),
         f"formulas: shifted Loads!{SUM[1]}:{at('Loads', 'lighting_group_va')}{BLANK} lighting_group_va"),
    kind("column shifted down", _shift_down, f"formulas: missing {SUM_TEXT}",
         f"formulas: shifted Loads!{at('Loads', 'lighting_group_va')}{SECOND}:{at('Loads', 'lighting_group_va')}{BLANK} lighting_group_va"),
    kind("column shifted right", _shift_right, f"formulas: shifted Loads!{_E}{FIRST}:{_E}{BLANK} small_appliance_va"),
    kind("formulas of two columns swapped under their names",
         lambda b: b.swap_columns("Loads", 4, 5, range(FIRST, BLANK + 1)),
         f"formulas: shifted Loads!{_D}{FIRST}:{_D}{BLANK} lighting_va",
         f"formulas: shifted Loads!{_E}{FIRST}:{_E}{BLANK} small_appliance_va", results=DIFFERENT),
    kind("formula spread over two cells", lambda b: _array(b, f"{at('Loads', 'lighting_group_va')}{SECOND}"), f"formulas: changed {SUM_TEXT}"),
    kind("formula put beside a calculated sheet", lambda b: b.put_formula("Loads", "ZZ10", "G10*2"), "formulas: extra Loads!ZZ10"),
    kind("formula in a row below the grid", lambda b: b.put_formula("Loads", f"D{BLANK + 1}", f"D{BLANK}"), f"formulas: extra Loads!D{BLANK + 1}"),
    kind("formula in a code table", lambda b: b.put_formula("Load tables", f"B{_TABLE.first_row}", "80"),
         f"formulas: extra Load tables!B{_TABLE.first_row}"),
    kind("formula of a page changed", lambda b: b.put_formula("Directory", "A10", "7"), "formulas: changed Directory!A10"),
    kind("formula of the master check changed", lambda b: b.put_formula("Start", "C4", "0"), "formulas: changed Start!C4"),
    kind("formula of a price book overwritten", lambda b: b.put(*here("Price book", "mean"), 5),
         f"formulas: overwritten Price book!{here('Price book', 'mean')[1]} mean"),
    kind("formula of the line prices changed", lambda b: b.put_formula("Line prices", f"{letter(_LINE[1])}6", "7"),
         f"formulas: changed Line prices!{letter(_LINE[1])}6"),
    kind("state of a row on Jobs overwritten", lambda b: b.put("Jobs", f"A{FIRST}", "ready"), f"formulas: overwritten Jobs!A{FIRST} row_state"),
    kind("value in use of a local rule overwritten", lambda b: b.put(*_IN_USE, 3), f"formulas: overwritten Local rules!{_IN_USE[1]} in_use_2023"),
    kind("value of a code table changed", lambda b: b.put("Load tables", f"B{_TABLE.first_row}", 81),
         f"formulas: value Load tables!B{_TABLE.first_row} cooking_demand.column_a"),
    kind("value of a code table as text", lambda b: b.put("Load tables", f"B{_TABLE.first_row}", "80"),
         f"formulas: value Load tables!B{_TABLE.first_row} cooking_demand.column_a"),
    kind("key of a code table deleted", lambda b: b.put("Load tables", f"A{_TABLE.first_row + 1}", None),
         f"formulas: value Load tables!A{_TABLE.first_row + 1} cooking_demand.units"),
    kind("name of a table's column changed", lambda b: b.put("Load tables", f"B{_TABLE.header_row}", "column_x"),
         f"formulas: value Load tables!B{_TABLE.header_row} cooking_demand.column_a"),
    kind("status of a table's row changed", lambda b: b.put("Load tables", f"{_TABLE.status_letter}{_TABLE.first_row}", "sure"),
         f"formulas: value Load tables!{_TABLE.status_letter}{_TABLE.first_row} cooking_demand.status"),
    kind("word of a drop-down changed", lambda b: b.put("Lists", "A4", "mane"), "formulas: value Lists!A4"),
    kind("published value of a rule changed", lambda b: b.put(*here("Local rules", "published_2023"), 2.5),
         f"formulas: value Local rules!{here('Local rules', 'published_2023')[1]} published_2023"),
    kind("number of a row changed", lambda b: b.put("Loads", f"A{SECOND}", 9), f"formulas: value Loads!A{SECOND} row_number"),
    kind("unit over an entry changed", lambda b: b.put(*here("Jobs", "floor_area_ft2", 5), "m2"),
         f"formulas: value Jobs!{here('Jobs', 'floor_area_ft2', 5)[1]} floor_area_ft2"),
    kind("unit over a result changed", lambda b: b.put(*here("Loads", "lighting_va", 5), "kVA"),
         f"formulas: value Loads!{here('Loads', 'lighting_va', 5)[1]} lighting_va"),
    kind("number of a space on the job sheet changed", lambda b: b.put("Job sheet", *_number_on("Job sheet")),
         f"formulas: value Job sheet!{_number_on('Job sheet')[0]}"),
)  # fmt: skip

FORM_ONLY: tuple[Kind, ...] = (
    kind("one formula shared by a column", _shared),
    kind("array formula of one cell", lambda b: _array(b, SUM[1])),
    kind("another spelling of the same formula", _other_form),
)
