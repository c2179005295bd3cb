"""Takeoff, line costs, labour, price: what stands where, and that quantities and books speak of the same unit."""

from __future__ import annotations

import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import DIFFICULTIES, PACKAGES
from workbook_builder.sheets.line_costs import ALWAYS_COPPER, BY_METAL, ITEMS
from workbook_builder.sheets.order import SHEETS
from workbook_builder.sheets.package_lines import fixed_lines, span, tasks, times

BY_NAME = {sheet.name: [column.name for column in sheet.columns] for sheet in SHEETS}
PRICE_SHEETS = ("Takeoff", "Line costs", "Labour", "Price", "Actuals")


@pytest.mark.parametrize("sheet", PRICE_SHEETS)
def test_columns_stand_in_the_order_of_their_rules(sheet: str) -> None:
    assert BY_NAME[sheet] == [name for name, rule in load().rules.items() if rule.sheet == sheet]


def test_the_sheets_follow_the_options() -> None:
    names = list(BY_NAME)

    assert names[names.index("Options") + 1 :] == [*PRICE_SHEETS[:-1], "Checks", "Readings", PRICE_SHEETS[-1]]


@pytest.mark.parametrize("package", PACKAGES)
def test_one_range_has_exactly_the_lines_of_a_package(package: str) -> None:
    ranges = [("Takeoff", fixed_lines(package))]
    ranges += [("Labour", tasks(package, difficulty)) for difficulty in DIFFICULTIES]
    for sheet, names in ranges:
        if names:
            order = BY_NAME[sheet]
            assert tuple(order[order.index(names[0]) : order.index(names[-1]) + 1]) == names


def test_the_permit_is_no_material() -> None:
    assert "permits" not in fixed_lines("common")


def test_every_line_by_size_has_its_size() -> None:
    sized = [line for line in load().takeoff_lines if line.by_size]

    assert list(ITEMS) == [line.name for line in sized]
    assert {line.name for line in sized if "copper" in line.item} == set(ALWAYS_COPPER)
    assert {line.name for line in sized if "MATERIAL" in line.item} == set(BY_METAL)


def test_a_quantity_in_feet_takes_a_price_or_labour_unit_of_a_foot() -> None:
    code = load()
    units = {line.key: line.unit for book in code.books.lines.values() for line in book}
    items = {line.name: line.item for line in code.takeoff_lines if not line.by_size}
    items |= {line.name: line.unit_id for line in code.work_lines}

    assert not [
        name for name, key in items.items() if (code.rules[name].unit == "ft") != (units[key] == "ft")
    ]


def test_one_line_is_a_product_and_more_are_a_sum_of_products() -> None:
    assert times(("permits",), "variance") == "[permits]^2*{line.variance:permits}"
    assert times(("a", "b", "c"), "mean") == "SUMPRODUCT([a:c], {line.mean:a:c})"
    assert times(("a", "c"), "variance") == "SUMPRODUCT([a:c], [a:c], {line.variance:a:c})"
    assert span(("a", "c"), "_usd") == "a_usd:c_usd"
