"""The ring of a rule is closed: sentence, column, function, parameters and tables know each other."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import workbook_builder.reference
from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import EDITIONS
from workbook_builder.sheets.formula import Named, parse, walk
from workbook_builder.sheets.order import SHEETS

CODE = load()
REFERENCE = Path(workbook_builder.reference.__file__).parent

FOR_TESTS_ONLY: dict[str, str] = {}
"""Tables that no formula reads yet, each with the reason it is kept."""


def _named_in_formulas() -> set[str]:
    return {
        node.name.split(".")[0]
        for sheet in SHEETS
        for column in sheet.columns
        for node in walk(parse(column.formula))
        if isinstance(node, Named)
    }


def _words_of_reference() -> set[str]:
    """Names of arguments, by which a function asks for what it needs, and text constants."""
    nodes = [
        node
        for path in REFERENCE.glob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    ]
    texts = {node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)}
    return texts | {node.arg for node in nodes if isinstance(node, ast.arg)}


@pytest.mark.parametrize("entry", ["formulas", "reference"])
def test_every_parameter_is_used(entry: str) -> None:
    used = _named_in_formulas() if entry == "formulas" else _words_of_reference()

    assert [name for name in CODE.parameters if name not in used] == []


@pytest.mark.parametrize("entry", ["formulas", "reference"])
def test_every_table_is_used(entry: str) -> None:
    used = _named_in_formulas() if entry == "formulas" else _words_of_reference()

    assert {name for name in CODE.tables if name not in used} <= set(FOR_TESTS_ONLY)


def test_every_claimed_edition_has_a_section() -> None:
    for entry in (*CODE.tables.values(), *CODE.parameters.values()):
        assert set(entry.editions) == set(EDITIONS)
        assert all(claim.section for claim in entry.editions.values())


def test_a_value_that_differs_between_editions_is_never_claimed_the_same() -> None:
    """`same` next to another number would be a contradiction."""
    for parameter in CODE.parameters.values():
        for before, after in zip(EDITIONS, EDITIONS[1:], strict=False):
            if parameter.values[before] != parameter.values[after]:
                assert parameter.editions[after].status == "changed", parameter.name
            else:
                assert parameter.editions[after].status != "changed", parameter.name


def test_result_fields_keep_their_units() -> None:
    """A rule that is a field of the contract has the unit of the contract."""
    for _, field, unit, _ in CODE.result_fields:
        if field in CODE.rules:
            assert CODE.rules[field].unit == unit, field


def test_rules_of_the_contract_stand_on_its_sheet() -> None:
    for sheet, field, _, _ in CODE.result_fields:
        if field in CODE.rules and field != "row_state":
            assert CODE.rules[field].sheet == sheet
