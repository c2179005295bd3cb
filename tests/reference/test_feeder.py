"""Load of the added panel and its feeder breaker.

Expected numbers are worked by hand from the section named.
"""

from __future__ import annotations

import numpy as np
import pytest

from workbook_builder.reference.run import calculate

from .jobs import loaded, plain_job, results_of


@pytest.mark.parametrize(
    ("entries", "load", "neutral"),
    [
        ({"move_1pole": 3, "move_2pole": 1}, 9000, 9000),
        ({"move_1pole": 3, "move_kva": 2}, 2000, 2000),
        ({"move_1pole": 3, "move_kva": 2, "move_neutral_kva": 0.5}, 2000, 500),
        ({"main_spaces_used": 30, "move_1pole": 1, "move_kva": 2}, 3500, 3500),
        ({"main_spaces_used": 30, "move_1pole": 1, "move_kva": 2, "move_neutral_kva": 0}, 3500, 1500),
    ],
)
def test_moved_circuits_count_as_given_or_by_their_number(entries: dict, load: float, neutral: float) -> None:
    """1500 VA a one-pole, 4500 VA a two-pole (common practice); more circuits than said add theirs."""
    row = results_of(**entries)

    assert (row["moved_va"], row["moved_neutral_va"]) == (load, neutral)


@pytest.mark.parametrize(
    ("kw", "expected"),
    [(0, 0), (1.75, 1750), (3.4, 2720), (3.5, 2800), (8.75, 7000), (8.8, 8000), (12.5, 8400), (14, 8800)],
)
def test_new_range_on_the_feeder(kw: float, expected: float) -> None:
    """Table 220.55 for one unit: 80 % in columns A and B, 8 kW in column C, 5 % a kW over 12."""
    assert results_of(add_range_kw=kw)["feeder_range_va"] == pytest.approx(expected)
    assert results_of(add_range_kw=kw, planned_in="main panel")["feeder_range_va"] == 0


def test_new_loads_on_the_feeder() -> None:
    """220.54, 220.60, 220.50, 625.41, 215.2: the vehicle supply counts 125 % in the breaker."""
    row = results_of(
        move_kva=1, move_continuous_kva=0.4, add_dryer_kw=3, add_heat_pump_kva=4, add_heat_pump_aux_kw=5,
        add_ac_kva=2, add_heat_kw=1, add_water_heater_kw=4.5, add_spa_kva=6, add_other_kva=1, add_ev_a=10,
    )  # fmt: skip

    assert row["feeder_dryer_va"] == 5000
    assert row["feeder_hvac_va"] == 10000
    assert row["feeder_motor_va"] == 1000
    assert row["feeder_other_va"] == 11500
    assert row["feeder_ev_va"] == 2400
    assert row["feeder_plain_va"] == 1000 + 5000 + 10000 + 1000 + 11500 + 2400
    assert row["feeder_continuous_va"] == 2800
    assert row["feeder_load_a"] == pytest.approx((30900 + 700) / 240, abs=1e-6)


def test_loads_planned_in_the_main_panel_are_not_on_the_feeder() -> None:
    row = results_of(
        main_spaces_used=10, move_kva=1, add_dryer_kw=3, add_heat_pump_kva=4, add_water_heater_kw=4.5,
        add_ev_a=10, planned_in="main panel",
    )  # fmt: skip

    assert row["feeder_plain_va"] == 1000


def test_compressor_locked_out_of_supplementary_heat() -> None:
    row = results_of(add_heat_pump_kva=4, add_heat_pump_aux_kw=5, aux_with_compressor="no")

    assert row["feeder_hvac_va"] == 5000


@pytest.mark.parametrize(
    ("amperes", "needed"),
    [(0, 60), (60, 60), (60.000001, 70), (90, 90), (100.1, 110), (400, 400), (401, 450), (800, 800)],
)
def test_next_standard_rating(amperes: float, needed: float) -> None:
    """240.6(A); the company's smallest is 60 A."""
    assert loaded(amperes)["feeder_needed_a"] == needed


def test_no_rating_over_800_a() -> None:
    row = loaded(800.1)

    assert np.isnan(row["feeder_needed_a"])
    assert np.isnan(row["breaker_below_a"])
    assert row["breaker_state"] == "STOP: no standard rating carries the load"
    assert row["feeder_size"] == ""


@pytest.mark.parametrize(
    ("amperes", "entries", "state"),
    [
        (50, {}, "OK"),
        (50, {"feeder_breaker_wanted_a": 65}, "STOP: the breaker is no standard rating"),
        (80, {"feeder_breaker_wanted_a": 70}, "STOP: the breaker is under the load"),
        (70, {"feeder_breaker_wanted_a": 70}, "OK"),
        (110, {"service_a": 100}, "STOP: the breaker is over the service rating"),
        (100, {"service_a": 100}, "OK"),
        (
            110,
            {"branch_limit_a": 100},
            "STOP: the breaker is over the branch limit of the main panel",
        ),
        (100, {"branch_limit_a": 100}, "OK"),
        (110, {"added_bus_wanted_a": 100}, "STOP: the breaker is over the bus of the added panel"),
        (100, {"added_bus_wanted_a": 100}, "OK"),
        (
            40,
            {"feeder_breaker_wanted_a": 50, "panel_place": "other building"},
            "STOP: another building needs a larger disconnect",
        ),
        (
            40,
            {"feeder_breaker_wanted_a": 60, "panel_place": "other building"},
            "CHECK: a dwelling in the other building needs 100 A",
        ),
        (95, {"panel_place": "other building"}, "OK"),
        (
            110,
            {"panel_place": "other building", "feeder_breaker_wanted_a": 90, "service_a": 60},
            "STOP: the breaker is under the load",
        ),
        (
            80,
            {"panel_place": "other building", "service_a": 60},
            "STOP: the breaker is over the service rating",
        ),
        (
            40,
            {"feeder_breaker_wanted_a": 50},
            "CHECK: the breaker is under the smallest the company installs",
        ),
    ],
)
def test_breaker_wished_for_is_kept_and_judged(amperes: float, entries: dict, state: str) -> None:
    """225.39(C), (D): 100 A for a dwelling, 60 A else."""
    assert loaded(amperes, **entries)["breaker_state"] == state


def test_a_smaller_breaker_of_the_company_does_not_hide_the_dwelling() -> None:
    row = calculate(
        plain_job(move_kva=9.6, feeder_breaker_wanted_a=70, panel_place="other building"),
        overrides={"feeder_minimum": 80},
    ).iloc[0]

    assert row["breaker_state"] == "CHECK: a dwelling in the other building needs 100 A"
