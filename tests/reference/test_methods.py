"""Optional, existing-dwelling and metered calculations, load control and their verdicts.

Expected numbers are worked by hand. The plain job has 1800 ft2: 5400 VA of
lighting and 4500 VA of circuits, 9900 VA.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from workbook_builder.reference.run import calculate

from .jobs import PLAIN, plain_job, results_of

GROUP = 9900


def test_optional_load_takes_ten_kva_whole_and_the_rest_at_40_percent() -> None:
    """220.82(B): 9900 + 10,100 is 20,000 VA; 10,000 + 40 % of 10,000."""
    assert results_of(water_heater_kw=10.1)["optional_general_va"] == 14000


@pytest.mark.parametrize(
    ("edition", "expected"), [(2023, 10000 + 0.4 * 7580), (2026, 8000 + 2300 * 0.4 + 7680)]
)
def test_vehicle_supply_in_the_optional_load(edition: int, expected: float) -> None:
    """220.82(B): in the pool to 2023; 2026 by secondary sources beside it, with a first part of 8 kVA.

    2026: lighting 3600, circuits 4500, appliance 2200: 10,300 VA.
    """
    entries = {"water_heater_kw": 0} if edition == 2023 else {"water_heater_kw": 2.2}
    found = results_of(code_edition=edition, add_ev_a=32, **entries)["optional_load_va"]

    assert found == pytest.approx(expected)


@pytest.mark.parametrize(
    ("entries", "expected"),
    [
        ({"ac_kva": 5, "heat_kw": 6, "heat_zones": 3}, 5000),
        ({"ac_kva": 3, "heat_kw": 6, "heat_zones": 3}, 3900),
        ({"ac_kva": 3, "heat_kw": 10, "heat_zones": 4}, 4000),
        ({"heat_kw": 10, "heat_zones": 3, "add_heat_kw": 2}, 4800),
        ({"heat_kw": 10, "heat_zones": 3, "drop_heat": "yes", "add_heat_kw": 2}, 1300),
        ({"heat_pump_kva": 4, "heat_pump_aux_kw": 10}, 10500),
        ({"heat_pump_kva": 4, "heat_pump_aux_kw": 10, "aux_with_compressor": "no"}, 6500),
        ({"heat_pump_kva": 4, "heat_pump_aux_kw": 5, "aux_with_compressor": "no"}, 4000),
        ({"heat_pump_kva": 4, "ac_kva": 2}, 6000),
    ],
)
def test_optional_heating_and_cooling(entries: dict, expected: float) -> None:
    """220.82(C): cooling whole; supplementary and resistance heat 65 %, four or more units 40 %."""
    assert results_of(**entries)["optional_hvac_va"] == pytest.approx(expected)


@pytest.mark.parametrize(
    ("entries", "chosen", "other"),
    [
        ({"ac_kva": 5}, 8000 + 0.4 * 1900 + 5000, 8000 + 0.4 * 6900),
        ({"ac_kva": 5, "add_ac_kva": 1}, 8000 + 0.4 * 1900 + 6000, np.nan),
        ({"ac_kva": 5, "add_heat_kw": 1}, 8000 + 0.4 * 1900 + 5000, np.nan),
        ({"ac_kva": 5, "add_heat_pump_aux_kw": 1}, 8000 + 0.4 * 1900 + 5000, np.nan),
        ({"ac_kva": 5, "drop_ac": "yes"}, 8000 + 0.4 * 1900, 8000 + 0.4 * 1900),
    ],
)
def test_existing_dwelling_load(entries: dict, chosen: float, other: float) -> None:
    """220.83: 8 kVA whole, the rest 40 %, heating or cooling whole beside it; inside by the other reading."""
    row = results_of(**entries)

    assert row["existing_dwelling_load_va"] == pytest.approx(chosen)
    assert row["existing_dwelling_alt_va"] == pytest.approx(other, nan_ok=True)


def test_other_reading_of_existing_heating_and_cooling_is_a_parameter() -> None:
    """220.83(A): inside the pool; not where heating or cooling is added."""
    jobs = pd.DataFrame([PLAIN | {"ac_kva": 5}, PLAIN | {"job_no": "J2", "ac_kva": 5, "add_ac_kva": 1}])
    results = calculate(jobs, overrides={"hvac_in_pool_83a": 1})

    inside, beside = 8000 + 0.4 * 6900, 8000 + 0.4 * 1900 + 5000
    assert results["now_existing_dwelling_load_va"].tolist() == pytest.approx([inside, inside])
    assert results["existing_dwelling_load_va"].tolist() == pytest.approx([inside, beside + 1000])
    assert results["existing_dwelling_alt_va"][0] == pytest.approx(beside)


@pytest.mark.parametrize(
    ("entries", "now"),
    [
        ({}, 12500),
        ({"metered_days": 364}, 1.25 * (10000 + 3000)),
        ({"metered_days": 365}, 12500),
        ({"metered_days": 30, "metered_covers_season": "yes"}, 12500),
        ({"metered_days": 30, "metered_season_kva": 2}, 1.25 * 12000),
        ({"metered_days": 30, "metered_season_kva": 0}, 12500),
    ],
)
def test_metered_load(entries: dict, now: float) -> None:
    """220.87: 125 % of the highest demand; a short record out of season is raised by heating or cooling."""
    row = results_of(load_method="metered peak", metered_peak_kw=10, ac_kva=3, **entries)

    assert row["now_metered_load_va"] == pytest.approx(now)
    assert row["existing_load_va"] == row["now_metered_load_va"]


def test_metered_load_takes_new_loads_whole_and_nothing_off() -> None:
    row = results_of(
        load_method="metered peak", metered_peak_kw=10, add_ev_a=40, add_range_kw=12, range_kw=10,
        drop_range="yes", add_dryer_kw=3, add_heat_pump_kva=2, add_heat_pump_aux_kw=5, add_heat_kw=1,
        add_ac_kva=1.5, add_water_heater_kw=4, add_spa_kva=6, add_other_kva=0.5,
    )  # fmt: skip

    assert row["new_load_va"] == 9600 + 12000 + 3000 + 2000 + 5000 + 1000 + 1500 + 4000 + 6000 + 500
    assert row["total_load_va"] == 12500 + row["new_load_va"]


def test_metered_load_is_blank_without_a_record() -> None:
    row = results_of()

    assert np.isnan(row["now_metered_load_va"])
    assert np.isnan(row["metered_load_va"])


@pytest.mark.parametrize(
    ("method", "column"),
    [
        ("existing dwelling", "existing_dwelling_load_va"),
        ("dwelling optional", "optional_load_va"),
        ("dwelling standard", "standard_load_va"),
        ("metered peak", "metered_load_va"),
    ],
)
def test_method_decides_the_load(method: str, column: str) -> None:
    row = results_of(load_method=method, metered_peak_kw=20, range_kw=14, ac_kva=3, add_ev_a=20)

    assert row["total_load_va"] == row[column]
    assert row["existing_load_va"] == row[f"now_{column}"]
    assert row["service_spare_a"] == pytest.approx(200 - row[column] / 240)


@pytest.mark.parametrize(
    ("service", "state"), [(100, "OK"), (60, "STOP: the load is over the service rating")]
)
def test_load_over_the_service_stops(service: float, state: str) -> None:
    """230.42: 8000 + 40 % of 40,000 is 24,000 VA, just 100 A."""
    row = results_of(service_a=service, water_heater_kw=38.1)

    assert row["total_load_a"] == 100
    assert row["service_state"] == state


def test_set_point_is_the_whole_amperes_of_the_spare_over_125_percent() -> None:
    """625.42, 220.70: 18,000 VA is 75 A; 25 A spare; 20 A at 125 %."""
    row = results_of(service_a=100, water_heater_kw=23.1, add_ev_a=48)

    assert row["no_ev_va"] == 18000
    assert row["ev_set_point_a"] == 20
    assert row["controlled_load_a"] == 100


@pytest.mark.parametrize(
    ("entries", "set_point"),
    [
        ({}, np.nan),
        ({"add_ev_a": 48, "ev_limit_a": 12.5}, 12.5),
        ({"add_ev_a": 48, "ev_limit_a": 0}, 0),
        ({"add_ev_a": 48, "water_heater_kw": 60}, 0),
        ({"add_ev_a": 48, "add_ev_count": 0}, np.nan),
        ({"add_ev_a": 6.5}, 6.5),
        ({"add_ev_a": 3, "add_ev_count": 2, "ev_a": 4}, 10),
        ({"add_ev_a": 48}, 18),
    ],
)
def test_set_point_is_given_or_fits_or_is_blank(entries: dict, set_point: float) -> None:
    """8760 VA, 36.5 A of 60 A: 23.5 A over 1.25 are 18 A, never more than the units are rated."""
    found = results_of(service_a=60, **entries)["ev_set_point_a"]

    assert found == pytest.approx(set_point, nan_ok=True)


@pytest.mark.parametrize(
    ("entries", "by"),
    [
        ({}, ""),
        ({"ev_limit_a": 12}, ""),
        ({"add_ev_a": 48, "add_ev_count": 0, "ev_limit_a": 12}, ""),
        ({"add_ev_a": 48, "ev_limit_a": 12.5}, "the job"),
        ({"add_ev_a": 48, "ev_limit_a": 48}, "the job"),
        ({"add_ev_a": 18}, "rated current of the vehicle supply"),
        ({"add_ev_a": 4, "add_ev_count": 2, "ev_a": 10}, "rated current of the vehicle supply"),
        ({"add_ev_a": 18.1}, "what the service leaves"),
        ({"add_ev_a": 4, "add_ev_count": 2, "ev_a": 10.1}, "what the service leaves"),
        ({"add_ev_a": 48, "water_heater_kw": 60}, "what the service leaves"),
        ({"add_ev_a": 16.1, "add_ev_count": 3, "service_a": 200}, "rated current of the vehicle supply"),
    ],
)
def test_what_decides_the_set_point(entries: dict, by: str) -> None:
    """18 A fit on 60 A, as above; three times 16.1 A is 48.3 A to the last decimal, binary noise aside."""
    assert results_of(**{"service_a": 60} | entries)["set_point_by"] == by


@pytest.mark.parametrize("method", ["existing dwelling", "dwelling optional", "dwelling standard"])
def test_load_without_vehicle_supply_is_that_of_a_house_without_any(method: str) -> None:
    with_ev = results_of(load_method=method, ev_a=30, add_ev_a=40, ac_kva=3, range_kw=12)
    without = results_of(load_method=method, ac_kva=3, range_kw=12)

    assert with_ev["no_ev_va"] == without["total_load_va"]


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ({"metered_days": 365, "metered_gross": "yes"}, "OK"),
        (
            {"metered_days": 365},
            "CHECK: the record must show gross consumption beside a source",
        ),
        (
            {"metered_days": 364, "metered_gross": "yes"},
            "STOP: a short record is not permitted beside a source",
        ),
        ({"metered_days": 364, "existing_source": "no"}, "OK"),
        ({"metered_days": 364, "load_method": "dwelling standard"}, "OK"),
    ],
)
def test_metered_record_beside_a_source(entries: dict, state: str) -> None:
    """220.87."""
    metered = {"load_method": "metered peak", "metered_peak_kw": 10, "existing_source": "yes"}

    assert results_of(**metered | entries)["load_method_state"] == state


@pytest.mark.parametrize(
    ("service", "method", "state"),
    [
        (60, "existing dwelling", "CHECK: the two readings of 220.83(A) give different verdicts"),
        (60, "dwelling standard", "OK"),
        (100, "existing dwelling", "OK"),
    ],
)
def test_readings_with_different_verdicts(service: float, method: str, state: str) -> None:
    """220.83(A): beside the pool 8760 + 9000 VA is 74 A, inside it 8000 + 40 % of 10,900 is 51.5 A."""
    assert results_of(service_a=service, load_method=method, ac_kva=9)["load_method_state"] == state


def test_edition_that_nobody_has_read_through_is_checked() -> None:
    jobs = pd.DataFrame([PLAIN | {"job_no": f"J{e}", "code_edition": e} for e in (2017, 2020, 2023, 2026)])
    assumed = "CHECK: values of this edition are assumed unchanged, see Provenance"

    assert calculate(jobs)["edition_state"].tolist() == ["OK", "OK", "OK", assumed]


def test_line_voltage_makes_amperes() -> None:
    assert calculate(plain_job(line_v=208))["total_load_a"][0] == pytest.approx(8760 / 208, abs=1e-6)
