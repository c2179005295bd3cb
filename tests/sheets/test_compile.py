"""The compiler refuses what would make a workbook wrong, all faults in one message."""

from __future__ import annotations

from dataclasses import replace

import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.sheets.compile import LONGEST, MEASURED_ROWS, compile_book
from workbook_builder.sheets.formula import (
    FUNCTIONS,
    FormulaError,
    dialect_faults,
    parse,
    rounded,
    walk,
    write,
)
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.model import DeclarationError, Sheet
from workbook_builder.sheets.order import SHEETS

LAYOUT = Layout(load(), rows=100)


def _with(name: str, formula: str) -> tuple[Sheet, ...]:
    """The real sheets with one formula changed."""
    return tuple(
        replace(
            sheet,
            columns=tuple(replace(c, formula=formula) if c.name == name else c for c in sheet.columns),
        )
        for sheet in SHEETS
    )


@pytest.mark.parametrize(
    ("name", "formula", "words"),
    [
        ("lighting_va", "[floor_aera_ft2]*{unit_load}", "Loads.lighting_va: unknown name [floor_aera_ft2]"),
        ("lighting_va", "[floor_area_ft2]*{unit_lode}", "Loads.lighting_va: unknown name {unit_lode}"),
        ("feeder_size", "INDEX({ampacity.sise}, [size_chosen])", "Feeder.feeder_size: unknown name {ampacity.sise}"),
        ("lighting_va", "[floor_area_ft2]*3", "Loads.lighting_va: typed-in constant 3; make it a parameter"),
        ("lighting_va", "D10*{unit_load}", "Loads.lighting_va: stray reference or word 'D10'"),
        ("lighting_va", "LET([floor_area_ft2], 1)", "Loads.lighting_va: function LET is outside the dialect"),
        ("lighting_va", "[floor_area_ft2]+{unit_load}", "Loads.lighting_va: + puts ft^2 beside A V ft^-2"),
        ("lighting_va", "[floor_area_ft2]", "Loads.lighting_va: gives ft^2, the rule says A V"),
        ("lighting_va", "[lighting_demand_va]", "circle: "),
        ("gec_size", 'IF([panel_place]="barn", "", "8")', "Feeder.gec_size: 'barn' is no choice of panel_place"),
        ("moved_1pole_total", "INT([move_1pole]/2)", "Spaces.moved_1pole_total: INT of a number that is not rounded"),
        ("lighting_va", "([floor_area_ft2]*{unit_load}", "Loads.lighting_va: a parenthesis is not closed"),
        ("lighting_va", "+".join(["[floor_area_ft2]*{unit_load}"] * 9), f"the most is {LONGEST}"),
    ],
)  # fmt: skip
def test_a_fault_is_named(name: str, formula: str, words: str) -> None:
    with pytest.raises(DeclarationError) as caught:
        compile_book(_with(name, formula), LAYOUT)

    assert words in str(caught.value)


def test_all_faults_come_in_one_message() -> None:
    sheets = _with("lighting_va", "[nothing]*3")

    with pytest.raises(DeclarationError) as caught:
        compile_book(sheets, LAYOUT)

    assert len(str(caught.value).splitlines()) == 2


def test_a_rule_without_a_column_is_a_fault() -> None:
    sheets = tuple(replace(s, columns=tuple(c for c in s.columns if c.name != "drop_state")) for s in SHEETS)

    with pytest.raises(DeclarationError, match=r"Feeder\.drop_state: the rule has no column"):
        compile_book(sheets, LAYOUT)


def test_a_name_that_stands_twice_is_a_fault() -> None:
    first = SHEETS[1]
    twice = replace(first, columns=(*first.columns, first.columns[0]))

    with pytest.raises(DeclarationError, match="the name stands on Spaces too"):
        compile_book((SHEETS[0], twice, *SHEETS[2:]), LAYOUT)


@pytest.mark.parametrize(
    "formula",
    ["1-(2-1)", "(1+2)*2", "2/(1*2)", "-(1+2)*2", "1-2-1", "2^1*2", '"a""b"&"c"', "IF(1<2, 1, (0))"],
)
def test_writing_what_was_read_keeps_its_meaning(formula: str) -> None:
    tree = parse(formula)

    assert parse(write(tree, {})) == tree


@pytest.mark.parametrize("formula", ["1=(2=1)", '"x"&(1>2)', "(1&2)*2", "2^1^2"])
def test_brackets_that_an_engine_loses_are_refused(formula: str) -> None:
    assert dialect_faults(parse(formula))


def test_rounding_goes_into_the_branches_and_leaves_blanks() -> None:
    tree = rounded(parse('IF(1<2, "", 1/2)'), 6)

    assert write(tree, {}) == 'IF(1<2, "", ROUND(1/2, 6))'


@pytest.mark.parametrize("text", ["1+", "(1", "IF(1, 2", "1 2", "'x'", "[a", "SUM(1;2)"])
def test_what_cannot_be_read_is_a_formula_error(text: str) -> None:
    with pytest.raises(FormulaError):
        parse(text)


def test_the_real_sheets_compile_within_the_limit() -> None:
    compiled = compile_book(SHEETS, Layout(load(), rows=MEASURED_ROWS))
    longest = max(len(column.at(MEASURED_ROWS)) for sheet in compiled for column in sheet.columns)

    assert longest <= LONGEST


def test_every_rule_has_its_column_and_every_column_its_rule() -> None:
    compiled = compile_book(SHEETS, LAYOUT)
    columns = {column.name for sheet in compiled for column in sheet.columns}

    fields = (*load().job_fields, *load().circuit_fields)

    assert set(load().rules) | {field.name for field in fields} == columns


def test_columns_stand_on_the_sheet_of_their_rule() -> None:
    places = {c.name: s.name for s in SHEETS for c in s.columns}

    assert all(places[name] == rule.sheet for name, rule in load().rules.items())


def test_only_functions_of_excel_2007_are_used() -> None:
    """None needs a prefix in the file: XlsxWriter's list of future functions holds none of them."""
    from xlsxwriter.worksheet import Worksheet

    probe = Worksheet()
    probe.use_future_functions = True
    for function in sorted(FUNCTIONS):
        assert "_xlfn" not in probe._prepare_formula(f"={function}(1)", expand_future_functions=True)


def test_formulas_name_their_parameters_not_their_values() -> None:
    """No number of a rule stands in a formula: only 0, 1, 2, 12 and places in lookups."""
    from workbook_builder.sheets.formula import typed_in

    fields = {field.name for field in (*load().job_fields, *load().circuit_fields)}
    found = {
        column.name: typed_in(parse(column.formula))
        for sheet in SHEETS
        for column in sheet.columns
        if column.name not in fields
    }

    assert {name: numbers for name, numbers in found.items() if numbers} == {}
    assert all(list(walk(parse(column.formula))) for sheet in SHEETS for column in sheet.columns)
