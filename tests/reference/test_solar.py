"""Solar: arithmetic of the array, and the panel that takes it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook_builder.reference.run import calculate

from .jobs import random_jobs, results_of


def test_array_for_a_years_use() -> None:
    """10,400 kWh at 1300 kWh a kW: 8 kW, 20 modules of 400 W; 8 kW over 1.2 over 240 V: 27.8 A."""
    row = results_of(annual_kwh=10400)

    assert (row["use_kwh"], row["wanted_kwh"], row["array_kw"]) == (10400, 10400, 8)
    assert (row["module_count"], row["array_built_kw"], row["array_yield_kwh"]) == (20, 8, 10400)
    assert row["inverter_a"] == pytest.approx(27.777778)
    assert row["solar_state"] == "OK"


def test_vehicle_and_heat_pump_add_to_the_use() -> None:
    """12,750 miles at 0.32 kWh are 4080 kWh; 60,000 kBtu at HSPF2 8.5 are 7060 kWh; half covered."""
    row = results_of(
        annual_kwh=9000, ev_miles=12750, ev_kwh_per_mile=0.32, heat_pump_kwh=7060, offset_percent=50
    )

    assert (row["use_kwh"], row["wanted_kwh"]) == (20140, 10070)
    assert row["module_count"] == 20  # 10,070 / 1300 = 7.746 kW of 400 W
    assert row["array_built_kw"] == 8


def test_no_bills_no_array() -> None:
    row = results_of(ev_miles=10000)
    names = ["use_kwh", "wanted_kwh", "array_kw", "module_count", "array_built_kw", "array_yield_kwh"]

    assert row[[*names, "inverter_a", "solar_output_a"]].isna().all()
    assert row["solar_state"] == "OK"


@pytest.mark.parametrize(("bus", "service", "kw"), [(200, 200, 7.68), (225, 200, 13.44), (100, 100, 3.84)])
def test_inverter_power_that_the_bus_takes(bus: int, service: int, kw: float) -> None:
    """32, 56 and 16 A at 240 V, by the 120 percent rule; the array is 1.2 times the inverter."""
    assert results_of(main_bus_a=bus, service_a=service)["panel_array_kw"] == pytest.approx(1.2 * kw)


def test_storage_takes_its_part_of_the_bus() -> None:
    assert results_of(storage_output_a=20)["panel_array_kw"] == pytest.approx(12 * 0.24 * 1.2)
    assert results_of(storage_output_a=40)["panel_array_kw"] == 0


TOO_LARGE = "CHECK: the array wanted is more than the bus takes there"


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ({"annual_kwh": 11960}, "OK"),
        ({"annual_kwh": 11961}, TOO_LARGE),
        ({"annual_kwh": 11961, "source_limit_a": 32}, "OK"),
        ({"annual_kwh": 11961, "source_limit_a": 32.1}, TOO_LARGE),
        ({"annual_kwh": 11961, "source_limit_a": 40}, TOO_LARGE),
        ({"annual_kwh": 1300, "source_at": "main panel elsewhere"}, TOO_LARGE),
        ({"annual_kwh": 11961, "source_at": "main panel elsewhere", "main_bus_a": 242}, "OK"),
        ({"annual_kwh": 11960, "source_at": "added panel elsewhere", "feeder_at": "far end"}, "OK"),
        ({"annual_kwh": 11961, "source_at": "added panel elsewhere", "feeder_at": "far end"}, TOO_LARGE),
        ({"annual_kwh": 11960, "source_at": "added panel far end"}, TOO_LARGE),
        ({"annual_kwh": 40000, "source_at": "supply side"}, "OK"),
        ({"annual_kwh": 40000, "source_at": "supply side", "service_a": 100}, TOO_LARGE),
        ({"storage_output_a": 100, "source_limit_a": 100}, "OK"),
        ({"annual_kwh": 10400, "storage_output_a": 5}, TOO_LARGE),
        ({"annual_kwh": 10400, "pv_output_a": 27.7}, "CHECK: the inverter entered is smaller than the array wants"),
        ({"annual_kwh": 10400, "pv_output_a": 27.8}, "OK"),
    ],
)  # fmt: skip
def test_state_of_the_solar_wish(entries: dict, state: str) -> None:
    """A 200 A bus takes 32 A at its far end: 23 modules of 400 W (31.9 A), not 24 (33.3 A).

    A 242 A bus takes 42/1.25 = 33.6 A anywhere; 40 000 kWh are 77 modules, 106.9 A.
    """
    assert results_of(**entries)["solar_state"] == state


@given(seed=st.integers(min_value=0, max_value=10**6))
@settings(max_examples=10, deadline=None)
def test_the_array_covers_the_wanted_energy_and_one_module_less_does_not(seed: int) -> None:
    draw = np.random.default_rng(seed)
    jobs = random_jobs(300, seed).assign(annual_kwh=np.round(draw.uniform(0, 40000, 300)))
    results = calculate(jobs)
    results = results[(results["row_state"] == "ready") & (results["wanted_kwh"] > 0)]
    one_module = results["module_w"] / 1000 * results["yield_kwh_per_kw"]
    rounding = 1e-6 * results["yield_kwh_per_kw"]

    assert len(results) > 100
    assert (results["array_yield_kwh"] >= results["wanted_kwh"] - rounding).all()
    assert (results["array_yield_kwh"] - one_module < results["wanted_kwh"] + rounding).all()
