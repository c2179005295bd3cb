"""Units of formulas: what is the same and what is not."""

from __future__ import annotations

from workbook_builder.code_tables.load import load
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.names import Names
from workbook_builder.sheets.order import SHEETS
from workbook_builder.sheets.units import PLAIN, unit


def test_a_watt_is_a_volt_ampere() -> None:
    """Power factor 1, as for every nameplate in kW."""
    assert unit("W") == unit("VA") != unit("kW")


def test_the_bus_table_has_amperes_and_spaces() -> None:
    names = Names(SHEETS, Layout(load(), rows=1))

    assert names.unit("{panel_bus.bus_a}") == unit("A")
    assert names.unit("{panel_bus.largest_spaces}") == names.unit("{panel_size}") == PLAIN
