"""Templates name settings, columns of the books and the cells of lines, and what is no such name is refused."""

from __future__ import annotations

from functools import cache

import pytest

from workbook_builder.code_tables.books import BOOKS, KEYS
from workbook_builder.code_tables.load import load
from workbook_builder.sheets.compile import compile_book
from workbook_builder.sheets.inputs import INPUTS
from workbook_builder.sheets.layout import LINE_ROWS, Layout
from workbook_builder.sheets.model import Column, CompiledSheet, DeclarationError, Sheet
from workbook_builder.sheets.names import Names
from workbook_builder.sheets.order import SHEETS
from workbook_builder.sheets.units import ANY, PLAIN, TEXT, unit

LAYOUT = Layout(load(), rows=20)
NAMES = Names(SHEETS, LAYOUT)

TAKEOFF = Sheet(
    name="Takeoff",
    title="Material",
    note="A few quantities.",
    columns=(
        *(Column(name, "1") for name in ("permits", "label_sets", "disposals")),
        Column("phase_ft", "[run_ft]"),
        *(Column(name, "1") for name in ("backboards", "surge_devices")),
    ),
)
LABOUR = Sheet(
    name="Labour",
    title="Work",
    note="A few tasks.",
    columns=(Column("work_survey", "1"), Column("work_packet", "1"), Column("work_backfill", "[trench_ft]")),
)
SUM, VARIANCE = "common_other_mean_usd", "common_other_var"


def _toy(name: str, formula: str) -> dict[str, CompiledSheet]:
    costs = Sheet("Line costs", "Costs", "One column.", (Column(name, formula),))
    sheets = compile_book((INPUTS, TAKEOFF, LABOUR, costs), LAYOUT, complete=False)
    return {sheet.name: sheet for sheet in sheets}


def _cell(formula: str, name: str = SUM) -> str:
    """What the formula becomes in row 10, without row guard and rounding."""
    text = _toy(name, formula)["Line costs"].columns[-1].at(10)
    return text.removeprefix('=IF($C10="ready", ').removesuffix(', "")')


@cache
def _at(sheet: str, name: str) -> str:
    return _toy(SUM, "0*{line.mean:permits}")[sheet].letter_of(name)


def test_a_setting_is_its_cell_with_its_unit() -> None:
    row = LAYOUT.setting_rows["tax_percent"]

    assert NAMES.cell("{tax_percent}", "Price") == f"Settings!$G${row}"
    assert NAMES.unit("{tax_percent}") == unit("%")
    assert NAMES.unit("{company_name}") == TEXT


@pytest.mark.parametrize("book", BOOKS)
def test_a_column_of_a_book_is_all_its_rows(book: str) -> None:
    place = LAYOUT.books[book]

    assert NAMES.cell(f"{{{book}.likely}}", "Price") == place.column("likely")
    assert NAMES.cell(f"{{{book}.{KEYS[book]}}}", "Price") == place.column("key")
    assert NAMES.cell(f"{{{book}.key}}", "Price") == place.column("key")
    assert NAMES.unit(f"{{{book}.state}}") == TEXT


def test_books_of_one_unit_have_it() -> None:
    assert NAMES.unit("{market.mean}") == unit("USD/h")
    assert NAMES.unit("{market.variance}") == unit("USD2/h2")
    assert NAMES.unit("{factors.variance}") == PLAIN
    assert NAMES.unit("{price_book.mean}") == ANY


def test_a_line_has_its_cells_in_the_column_of_its_quantity() -> None:
    first = LINE_ROWS["Takeoff"]
    label, disposal = _at("Takeoff", "label_sets"), _at("Takeoff", "disposals")

    assert _cell("[label_sets]*{line.mean:label_sets}") == (
        f"ROUND(Takeoff!${label}10*'Line prices'!${label}${first + 3}, 6)"
    )
    assert _cell("SUMPRODUCT([label_sets:disposals], {line.likely:label_sets:disposals})") == (
        f"ROUND(SUMPRODUCT(Takeoff!${label}10:${disposal}10, "
        f"'Line prices'!${label}${first + 2}:${disposal}${first + 2}), 6)"
    )


def test_tasks_have_other_rows() -> None:
    at = _at("Labour", "work_survey")

    assert _cell("[work_survey]*{line.variance:work_survey}*0") == (
        f"ROUND(Labour!${at}10*'Line prices'!${at}${LINE_ROWS['Labour'] + 4}*0, 6)"
    )


def test_a_line_gives_money_or_hours_for_one_of_its_quantity() -> None:
    assert NAMES.unit("{line.mean:label_sets:disposals}") == unit("USD")
    assert NAMES.unit("{line.mean:circuit_small_ft:circuit_large_ft}") == unit("USD/ft")
    assert NAMES.unit("{line.variance:label_sets}") == unit("USD2")
    assert NAMES.unit("{line.likely:work_survey:work_cleanup}") == unit("h")
    assert NAMES.unit("{line.mean:work_backfill}") == unit("h/ft")
    assert NAMES.unit("{line.mean:work_ground_bar:work_backfill}") == ANY
    assert NAMES.unit("{line.key:label_sets}") == TEXT


@pytest.mark.parametrize(
    ("formula", "words"),
    [
        ("{tax_percnt}", "unknown name {tax_percnt}"),
        ("INDEX({price_book.lickely}, 1)", "unknown name {price_book.lickely}: price_book has no column 'lickely'"),
        ("INDEX({market.item}, 1)", "unknown name {market.item}: market has no column 'item'"),
        ("INDEX({price_books.likely}, 1)", "unknown name {price_books.likely}"),
        ("{line.mode:permits}", "{line.mode:permits}: a line has no 'mode', only key, place, likely, mean, variance"),
        ("{line.mean}", "{line.mean}: a line is named as {line.mean:name} or {line.mean:first:last}"),
        ("{line.mean:permits:disposals:backboards}", "a line is named as"),
        ("{line.mean:phase_ft}", "phase_ft has no price or labour unit of its own"),
        ("{line.mean:nothing}", "nothing has no price or labour unit of its own"),
        ("{line.mean:permits:surge_devices}", "phase_ft stands between and has no price or labour unit of its own"),
        ("{line.mean:permits:work_survey}", "permits and work_survey stand on two sheets"),
        ("{line.mean:disposals:permits}", "permits stands left of disposals"),
        ("SUM([disposals:permits])", "unknown name [disposals:permits]"),
        ("SUM([permits:work_survey])", "unknown name [permits:work_survey]"),
    ],
)  # fmt: skip
def test_what_is_no_such_name_is_refused(formula: str, words: str) -> None:
    with pytest.raises(DeclarationError) as caught:
        _toy(SUM, formula)

    assert f"Line costs.{SUM}: " in str(caught.value)
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("name", "formula", "words"),
    [
        (SUM, "[permits]^2*{line.variance:permits}", "gives USD^2, the rule says USD"),
        (
            VARIANCE,
            "SUMPRODUCT([permits:disposals], {line.mean:permits:disposals})",
            "gives USD, the rule says USD^2",
        ),
        (SUM, "{line.mean:permits}*{tax_percent}", "gives % USD, the rule says USD"),
        (SUM, "{line.mean:permits}+{line.mean:work_survey}", "+ puts USD beside h"),
        (SUM, "LN({line.mean:permits})*{line.mean:permits}", "LN puts 1 beside USD"),
        (SUM, "[raceway_in]/12+{riser_ft}", "gives ft, the rule says USD"),
        (SUM, "{company_name}", "gives text, the rule says USD"),
    ],
)
def test_units_of_books_lines_and_settings_are_checked(name: str, formula: str, words: str) -> None:
    with pytest.raises(DeclarationError) as caught:
        _toy(name, formula)

    assert words in str(caught.value)


def test_no_setting_has_the_name_of_something_else() -> None:
    code = load()
    others = {*code.parameters, *code.tables, *LAYOUT.books}

    assert not others & set(code.books.settings)
    assert not set(LAYOUT.books) & set(code.tables)
