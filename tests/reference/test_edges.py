"""Rules at the very edge of their limits, where a `more than` differs from an `at or above`."""

from __future__ import annotations

import numpy as np
import pytest

from workbook_builder.reference.feeder_conductor import size_uncorrected
from workbook_builder.reference.feeder_drop import drop_state
from workbook_builder.reference.raceway import expansion_fitting
from workbook_builder.reference.run import calculate

from .jobs import loaded, plain_job, results_of


@pytest.mark.parametrize("unit", ["range_kw", "oven_kw", "cooktop_kw", "add_range_kw"])
def test_any_cooking_unit_can_be_the_largest(unit: str) -> None:
    units = {"range_kw": 2, "oven_kw": 3, "cooktop_kw": 4, "add_range_kw": 5} | {unit: 9}

    assert results_of(**units)["cooking_largest_kw"] == 9


def test_unit_at_the_floor_of_the_table_stays_out_of_it() -> None:
    """Table 220.55: over 1.75 kW. A range of 14 kW counts 8.8 kW, the cooktop 1.75 kW whole."""
    row = results_of(range_kw=14, cooktop_kw=1.75)

    assert (row["cooking_units"], row["cooking_a_units"], row["cooking_a_kw"]) == (1, 0, 0)
    assert row["cooking_raised_kw"] == 14
    assert row["cooking_demand_va"] == pytest.approx(10550)


def test_unit_at_the_limit_of_column_b_is_of_it() -> None:
    row = results_of(range_kw=8.75, cooktop_kw=3.5)

    assert (row["cooking_b_units"], row["cooking_b_kw"], row["cooking_over_raised_kw"]) == (2, 12.25, 0)


def test_dropping_what_is_not_there_frees_nothing() -> None:
    entries = {
        f"drop_{name}": "yes" for name in ("ac", "heat", "heat_pump", "range", "dryer", "water_heater")
    }

    assert results_of(**entries)["spaces_dropped"] == 0


def test_new_heating_units_count_only_with_new_heat() -> None:
    assert results_of(heat_zones=3, add_heat_zones=2)["heat_units"] == 3
    assert results_of(heat_zones=3, add_heat_zones=2, add_heat_kw=1)["heat_units"] == 5


def test_load_just_at_the_service_rating_is_carried() -> None:
    """8760 + 5640 VA is 14,400 VA, just 60 A: not over, by neither reading."""
    row = results_of(service_a=60, ac_kva=5.64)

    assert (row["total_load_a"], row["service_state"], row["readings_differ"]) == (60, "OK", "no")


def test_correction_decides_where_the_breaker_is_under_the_load() -> None:
    """80 A behind 60 A at 50 C: 80 over 0.82 is 97.6 A, 3 AWG at 90 C; 4 AWG at the terminals."""
    row = loaded(80, feeder_breaker_wanted_a=60, terminals="75 C", ambient_c=50)

    assert (row["feeder_size"], row["size_governed_by"]) == ("3", "correction")


def test_terminals_decide_where_the_breaker_is_under_the_load() -> None:
    """80 A behind 60 A on marked terminals: 4 AWG, where the breaker asks for 6 AWG."""
    row = loaded(80, feeder_breaker_wanted_a=60, terminals="75 C")

    assert (row["size_by_overcurrent"], row["feeder_size"], row["size_governed_by"]) == (5, "4", "terminals")


def test_voltage_drop_at_its_target_is_fine() -> None:
    assert drop_state(np.array([2.999999, 3.0, 3.000001, np.nan]), 3.0).tolist() == [0, 0, 1, 0]


def test_expansion_at_its_limit_needs_a_fitting() -> None:
    assert expansion_fitting(np.array([0.249999, 0.25, np.nan]), 0.25).tolist() == [0, 1, -1]


def test_working_space_as_wide_as_a_wide_panel_is_enough() -> None:
    measured = {"clear_depth_in": 36, "clear_height_in": 78, "clear_width_in": 36}

    assert results_of(**measured, panel_width_in=36)["width_state"] == "OK"
    assert results_of(**measured, panel_width_in=36.1)["width_state"] != "OK"


def test_appliance_of_just_500_va_is_of_the_group() -> None:
    """220.53 from 2023: three larger ones and one of 500 VA are four, all at 75 %, on the neutral too."""
    larger = {"dishwasher_kw": 1, "microwave_kw": 1, "spa_kva": 2}
    row = results_of(**larger, disposal_kw=0.5)

    assert (row["appliance_group_units"], row["appliance_group_va"]) == (4, 4500)
    assert (row["appliance_demand_va"], row["appliance_neutral_va"]) == (3375, 3375)


def test_other_appliances_of_just_500_va_each_are_of_the_group() -> None:
    row = results_of(other_fixed_kva=2, other_fixed_count=4, other_fixed_neutral_kva=1)

    assert (row["appliance_demand_va"], row["appliance_neutral_va"]) == (1500, 750)


def test_appliances_that_are_not_there_are_not_counted() -> None:
    """Before 2023 no rating is too small, but 0 VA is no appliance."""
    row = results_of(code_edition=2017, other_fixed_kva=0, other_fixed_count=4, dishwasher_kw=1)

    assert (row["appliance_group_units"], row["appliance_demand_va"]) == (1, 1000)


@pytest.mark.parametrize("largest", range(3))
def test_size_without_corrections_passes_each_of_its_tests(largest: int) -> None:
    sizes = [np.array([4]), np.array([5]), np.array([6])]
    turned = sizes[largest:] + sizes[:largest]

    assert size_uncorrected(*turned).tolist() == [6]


def test_temperature_column_that_is_not_printed_carries_nothing() -> None:
    row = calculate(plain_job(), overrides={"terminal_unmarked": 65}).iloc[0]

    assert (row["terminal_key"], row["size_by_terminals"], row["feeder_size"]) == ("", 21, "")
