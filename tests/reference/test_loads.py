"""Loads of a dwelling. Expected numbers are worked by hand from the section named."""

from __future__ import annotations

import pytest

from workbook_builder.reference.loads_appliances import lighting_demand_va
from workbook_builder.reference.loads_neutral import service_neutral_va

from .jobs import results_of


@pytest.mark.parametrize(("edition", "expected"), [(2017, 3000), (2020, 3000), (2023, 3000), (2026, 2000)])
def test_unit_load_falls_in_2026(edition: int, expected: float) -> None:
    """220.12, 220.14(J), 220.41; 2 VA/ft2 in 120.41."""
    assert results_of(floor_area_ft2=1000, code_edition=edition)["lighting_va"] == expected


@pytest.mark.parametrize(
    ("group", "expected"), [(2000, 2000), (3000, 3000), (7500, 4575), (120000, 43950), (121500, 44325)]
)
def test_lighting_demand_has_three_steps(group: float, expected: float) -> None:
    """3000 VA whole, to 120,000 VA at 35 %, above at 25 % (Table 220.42)."""
    demand = lighting_demand_va(
        lighting_group_va=group,
        lighting_first=3000,
        lighting_second=120000,
        lighting_second_rate=0.35,
        lighting_third_rate=0.25,
    )

    assert demand == pytest.approx(expected)


@pytest.mark.parametrize(
    ("entries", "units", "demand"),
    [
        ({"water_heater_kw": 4, "dishwasher_kw": 1, "disposal_kw": 1}, 3, 6000),
        ({"water_heater_kw": 4, "dishwasher_kw": 1, "disposal_kw": 1, "microwave_kw": 2}, 4, 6000),
        ({"other_fixed_kva": 4, "other_fixed_count": 4}, 4, 3000),
        ({"other_fixed_kva": 1.6, "other_fixed_count": 4}, 0, 1600),
        ({"other_fixed_kva": 2, "other_fixed_count": 4}, 4, 1500),
        ({"water_heater_kw": 4, "dishwasher_kw": 1, "well_pump_kva": 1, "disposal_kw": 0.4}, 3, 6400),
        (
            {"water_heater_kw": 4, "dishwasher_kw": 1, "well_pump_kva": 1, "spa_kva": 2, "disposal_kw": 0.4},
            4,
            6400,
        ),
        ({"water_heater_kw": 4, "drop_water_heater": "yes", "add_water_heater_kw": 5}, 1, 5000),
        ({"add_spa_kva": 8, "spa_kva": 0.5}, 2, 8500),
    ],
)
def test_four_appliances_are_reduced(entries: dict, units: int, demand: float) -> None:
    """220.53 in 2023: 75 % from four on; under 500 VA neither counted nor reduced."""
    row = results_of(**entries)

    assert (row["appliance_group_units"], row["appliance_demand_va"]) == (units, demand)


@pytest.mark.parametrize(("edition", "demand"), [(2017, 5025), (2020, 6700), (2023, 6700), (2026, 6700)])
def test_small_appliance_counts_before_2020(edition: int, demand: float) -> None:
    """220.53: the limit of 1/4 hp or 500 W came in 2020; 2026 assumed the same.

    https://www.electricallicenserenewal.com/Electrical-Continuing-Education-Courses/NEC-Content.php?sectionID=836
    has the limit. 4500 + 1200 + 600 + 400 VA: 75 % of four appliances, or three and a small one whole.
    """
    row = results_of(
        code_edition=edition, water_heater_kw=4.5, dishwasher_kw=1.2, disposal_kw=0.6, microwave_kw=0.4
    )

    assert row["appliance_demand_va"] == demand


def test_house_as_it_is_knows_no_planned_appliance() -> None:
    row = results_of(water_heater_kw=4, drop_water_heater="yes", add_water_heater_kw=5, add_spa_kva=8)

    assert (row["now_appliances_va"], row["appliances_va"]) == (4000, 13000)


@pytest.mark.parametrize(
    ("entries", "now", "planned"),
    [
        ({}, 0, 0),
        ({"dryer_kw": 4.5}, 5000, 5000),
        ({"dryer_kw": 6}, 6000, 6000),
        ({"dryer_kw": 6, "drop_dryer": "yes"}, 6000, 0),
        ({"dryer_kw": 6, "drop_dryer": "yes", "add_dryer_kw": 3}, 6000, 5000),
        ({"dryer_kw": 4, "add_dryer_kw": 5.5}, 5000, 10500),
    ],
)
def test_each_dryer_counts_5000_va_at_least(entries: dict, now: float, planned: float) -> None:
    """220.54."""
    row = results_of(**entries)

    assert (row["now_dryer_demand_va"], row["dryer_demand_va"]) == (now, planned)


@pytest.mark.parametrize(
    ("entries", "demand"),
    [
        ({"range_kw": 1.75}, 1750),
        ({"range_kw": 1.76}, 1408),
        ({"range_kw": 3.4}, 2720),
        ({"range_kw": 3.5}, 2800),
        ({"range_kw": 8.75}, 7000),
        ({"range_kw": 8.76}, 8000),
        ({"range_kw": 12}, 8000),
        ({"range_kw": 12.4}, 8000),
        ({"range_kw": 12.5}, 8400),
        ({"range_kw": 16}, 9600),
        ({"range_kw": 27}, 14000),
        ({"oven_kw": 5, "cooktop_kw": 7}, 7800),
        ({"oven_kw": 6, "oven_count": 2, "cooktop_kw": 3}, 6300),
        ({"oven_kw": 10, "oven_count": 2, "cooktop_kw": 8, "range_kw": 16}, 17850),
        ({"range_kw": 12, "cooktop_kw": 1.5}, 9500),
        ({"range_kw": 12, "drop_range": "yes", "add_range_kw": 14}, 8800),
        ({"range_kw": 16, "add_range_kw": 10}, 12100),
    ],
)
def test_cooking_by_the_demand_table(entries: dict, demand: float) -> None:
    """Table 220.55 with notes 1 to 3: one unit 80, 80 % and 8 kW; two 75, 65 % and 11 kW; three 14 kW.

    Three units with an oven pair of 3 kW each and a cooktop of 3 kW are all of column A: 70 % of
    9 kW is 6.3 kW. Two ovens of 5 kW and a cooktop of 8 kW are of column B, a range of 16 kW is
    above it: 55 % of 18 kW is 9.9 kW, and 9.6 kW for the range, 19.5 kW; four units in column C
    are 17 kW, their average (16 and three times 12, over four) is 13 kW, 5 % more: 17.85 kW.
    The first of the two ranges counts 16 kW, the second 12 kW: 14 kW, 10 % more than 11 kW.
    """
    assert results_of(**entries)["cooking_demand_va"] == pytest.approx(demand)


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ({"range_kw": 27}, "OK"),
        ({"range_kw": 27.1}, "STOP: a cooking unit is over the demand table"),
        ({"oven_kw": 54, "oven_count": 2}, "OK"),
        ({"oven_kw": 54.2, "oven_count": 2}, "STOP: a cooking unit is over the demand table"),
        ({"oven_kw": 75, "oven_count": 25}, "OK"),
        ({"oven_kw": 78, "oven_count": 26}, "STOP: more cooking units than the demand table holds"),
        ({"oven_kw": 26, "oven_count": 26}, "OK"),
    ],
)
def test_cooking_outside_the_table_stops(entries: dict, state: str) -> None:
    """Table 220.55: to 27 kW; the table here has 25 rows; small units are not of it."""
    assert results_of(**entries)["cooking_state"] == state


@pytest.mark.parametrize(
    ("edition", "entries", "now", "planned"),
    [
        (2017, {"ev_a": 16}, 3840, 3840),
        (2020, {"ev_a": 16, "add_ev_a": 20}, 3840, 8640),
        (2023, {"ev_a": 16, "add_ev_a": 40}, 7200, 16800),
        (2023, {"ev_a": 60, "ev_count": 2}, 14400, 14400),
        (2023, {"ev_a": 56, "ev_count": 2}, 14400, 14400),
        (2023, {"add_ev_a": 20, "add_ev_count": 2}, 0, 14400),
        (2023, {"add_ev_count": 2}, 0, 0),
        (2026, {"ev_a": 16, "add_ev_a": 20}, 3840, 8640),
    ],
)
def test_vehicle_supply_has_a_floor_in_2023(edition: int, entries: dict, now: float, planned: float) -> None:
    """220.57: 7200 VA or nameplate a unit; nameplate before, and (secondary source) in 2026."""
    row = results_of(code_edition=edition, **entries)

    assert (row["now_ev_va"], row["ev_va"]) == (now, planned)


@pytest.mark.parametrize(
    ("entries", "heating", "cooling"),
    [
        ({"heat_kw": 5, "ac_kva": 3}, 5000, 3000),
        ({"heat_pump_kva": 4, "heat_pump_aux_kw": 10}, 14000, 4000),
        ({"heat_pump_kva": 4, "heat_pump_aux_kw": 10, "aux_with_compressor": "no"}, 10000, 4000),
        ({"heat_pump_kva": 4, "heat_pump_aux_kw": 2, "aux_with_compressor": "no", "ac_kva": 1}, 4000, 5000),
        (
            {"heat_kw": 5, "drop_heat": "yes", "add_heat_pump_kva": 3, "ac_kva": 3, "drop_ac": "yes"},
            3000,
            3000,
        ),
        ({"heat_pump_kva": 4, "heat_pump_aux_kw": 10, "drop_heat_pump": "yes", "add_heat_kw": 2}, 2000, 0),
    ],
)
def test_heating_and_cooling_cases(entries: dict, heating: float, cooling: float) -> None:
    """220.60: they do not run together; supplementary heat runs beside the compressor or not."""
    row = results_of(**entries)

    assert (row["heating_va"], row["cooling_va"]) == (heating, cooling)
    assert row["hvac_va"] == max(heating, cooling)


def test_standard_load_compares_the_cases_with_their_motors() -> None:
    """220.60, 220.50: heating 4000 VA with the pump (2 kVA), cooling 3900 VA with itself.

    4000 + 25 % of 2000 is 4500; 3900 + 25 % of 3900 is 4875, the larger.
    """
    row = results_of(heat_kw=4, ac_kva=3.9, well_pump_kva=2)

    assert row["heating_motor_va"] == 2000
    assert row["cooling_motor_va"] == 3900
    assert row["standard_load_va"] - row["standard_base_va"] == 4875


def test_given_motor_stands_for_both_cases() -> None:
    row = results_of(heat_kw=4, ac_kva=3.9, largest_motor_kva=0)

    assert row["standard_load_va"] - row["standard_base_va"] == 4000


def test_house_as_it_is_has_no_planned_load() -> None:
    row = results_of(add_other_kva=3, add_ev_a=40, add_heat_kw=5)

    assert row["standard_load_va"] - row["now_standard_load_va"] == 3000 + 9600 + 5000
    assert row["now_standard_base_va"] == row["lighting_demand_va"]


@pytest.mark.parametrize(
    ("entries", "neutral"),
    [
        ({"dishwasher_kw": 1}, 1000),
        ({"water_heater_kw": 4}, 0),
        ({"well_pump_kva": 1}, 0),
        ({"well_pump_kva": 1, "well_pump_v": 120}, 1000),
        ({"spa_kva": 6, "add_spa_kva": 2}, 8000),
        ({"other_fixed_kva": 2, "other_fixed_neutral_kva": 0.5}, 500),
        ({"other_fixed_kva": 4, "other_fixed_count": 4, "other_fixed_neutral_kva": 1}, 750),
        (
            {"other_fixed_kva": 1.6, "other_fixed_count": 4, "water_heater_kw": 4, "dishwasher_kw": 1,
             "disposal_kw": 1, "microwave_kw": 1},
            0.75 * 3000 + 1600,
        ),
    ],
)  # fmt: skip
def test_appliances_on_the_neutral(entries: dict, neutral: float) -> None:
    """220.61(A): not those between the lines; at the rate of their group."""
    assert results_of(**entries)["appliance_neutral_va"] == pytest.approx(neutral)


def test_neutral_counts_cooking_and_dryer_at_70_percent() -> None:
    """220.61(B): 70 % of 8000 and 5000 VA; the motor of a 120 V pump adds 25 %."""
    plain = results_of()["neutral_base_va"]

    assert results_of(range_kw=12, dryer_kw=5)["neutral_base_va"] - plain == pytest.approx(9100)
    assert results_of(well_pump_kva=2, well_pump_v=120)["neutral_base_va"] - plain == 2500
    assert results_of(add_other_kva=2)["neutral_base_va"] - plain == 2000


def test_wye_neutral_is_not_reduced() -> None:
    """220.61(C)(1)."""
    plain = results_of()["neutral_base_va"]

    assert results_of(range_kw=12, dryer_kw=5, line_v=208)["neutral_base_va"] - plain == 13000


@pytest.mark.parametrize(
    ("volts", "base", "expected"), [(240, 48000, 48000), (240, 58000, 55000), (208, 58000, 58000)]
)
def test_neutral_over_200_a_is_reduced(volts: float, base: float, expected: float) -> None:
    """220.61(B)(2): 200 A at 240 V is 48,000 VA; 70 % of the rest, not on a wye."""
    found = service_neutral_va(
        neutral_base_va=base, neutral_whole=200, neutral_rate=0.7, line_v=volts, wye_voltage=208
    )

    assert found == pytest.approx(expected)
