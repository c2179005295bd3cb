"""Columns stand in the order of their rules, so that Rules, sheets and rule files are read side by side."""

from __future__ import annotations

import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.sheets.model import Sheet
from workbook_builder.sheets.order import SHEETS

RULES = load().rules


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_columns_stand_in_the_order_of_their_rules(sheet: Sheet) -> None:
    columns = [column.name for column in sheet.columns if column.name in RULES and RULES[column.name].sheet == sheet.name]

    assert columns == [rule.name for rule in RULES.values() if rule.sheet == sheet.name]
