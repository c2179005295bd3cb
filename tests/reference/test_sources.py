"""Sources on the buses. Figures for the 120 percent rule: see TWENTY_PERCENT."""

from __future__ import annotations

import numpy as np
import pytest

from workbook_builder.reference.choice import Choice
from workbook_builder.reference.sources import (
    PLACES,
    added_bus_check,
    main_breakers_known,
    max_source_output_a,
    source_breaker_a,
    source_counted_a,
    source_rated_a,
)

from .jobs import results_of

TWENTY_PERCENT = "https://go.mail-archive.com/re-wrenches@lists.re-wrenches.org/msg21261.html"
"""The formula, and 40 A for a bus and a main of 200 A; the other two pairs are its arithmetic."""


@pytest.mark.parametrize(("bus", "main", "output"), [(200, 200, 32), (225, 200, 56), (100, 100, 16)])
def test_largest_output_by_the_120_percent_rule(bus: int, main: int, output: int) -> None:
    found = max_source_output_a(main_bus_a=bus, bus_far_end_rate=1.2, service_a=main, continuous_rate=0.25)

    assert float(found) == pytest.approx(output)


def test_a_main_over_120_percent_of_the_bus_leaves_nothing() -> None:
    found = max_source_output_a(main_bus_a=100, bus_far_end_rate=1.2, service_a=125, continuous_rate=0.25)

    assert float(found) == 0


@pytest.mark.parametrize(
    ("output", "breaker"), [(31.7, 40), (41.7, 60), (15.8, 20), (20.8, 30), (25, 35), (47.5, 60), (32, 40)]
)
def test_inverter_breaker(output: float, breaker: int) -> None:
    """125 percent of the output, then the next rating of 240.6; inverters of 3.8 to 11.4 kW at 240 V."""
    assert source_breaker_a(np.array([output]), 0.25).tolist() == [breaker]


def test_a_setting_does_not_change_the_breaker() -> None:
    """48 A are 60 A at 125 percent, with and without a power-control setting."""
    row = results_of(pv_output_a=48, source_limit_a=16, source_at="supply side")

    assert (row["source_rated_a"], row["source_breaker_a"]) == (20, 60)


@pytest.mark.parametrize(
    ("entries", "known", "after"),
    [
        ({"main_breakers_sum_a": None}, "no", np.nan),
        ({}, "yes", 160),
        ({"pv_output_a": 16}, "yes", 180),
        ({"pv_output_a": 16, "source_at": "added panel far end"}, "yes", 160),
        ({"move_kva": 500}, "no", np.nan),
        ({"planned_in": "main panel"}, "yes", 160),
        ({"planned_in": "main panel", "add_1pole": 1}, "no", np.nan),
        ({"planned_in": "added panel", "add_1pole": 1}, "yes", 160),
        ({"generator_inlet_a": 30}, "no", np.nan),
        ({"generator_inlet_a": 30, "inlet_at": "added panel"}, "yes", 160),
    ],
)
def test_sum_of_breakers_holds_only_where_each_is_known(entries: dict, known: str, after: float) -> None:
    """100 A on the bus, a 60 A feeder breaker, a 20 A breaker for 16 A of solar."""
    row = results_of(**{"main_breakers_sum_a": 100} | entries)

    assert row["main_breakers_known"] == known
    assert row["main_breakers_after_a"] == pytest.approx(after, nan_ok=True)


def test_source_breaker_over_the_table_is_not_known() -> None:
    found = main_breakers_known(
        main_breakers_sum_a=100.0, feeder_breaker_a=60.0, planned_spaces=0.0, generator_inlet_a=0.0,
        planned_in=Choice.of(("added panel", "main panel"), "main panel"),
        inlet_at=Choice.of(("main panel", "added panel"), "main panel"),
        source_place=Choice.of(PLACES, ["main panel", "added panel"]), source_breaker_a=np.nan,
    )  # fmt: skip

    assert found.tolist() == [0, 1]


def test_a_setting_counts_only_where_it_is_lower() -> None:
    limits = np.array([np.nan, 20.0, 48.0, 0.0])

    assert source_counted_a(np.full(4, 32.0), limits).tolist() == [32, 20, 32, 0]


@pytest.mark.parametrize(
    ("entries", "route", "check"),
    [
        ({}, "none", "OK"),
        ({"pv_output_a": 32}, "120 percent", "OK"),
        ({"pv_output_a": 32.1}, "no test passes", "STOP"),
        ({"pv_output_a": 32.1, "source_limit_a": 32}, "120 percent", "OK"),
        ({"pv_output_a": 32, "existing_source": "yes"}, "120 percent", "CHECK"),
        ({"pv_output_a": 33, "existing_source": "yes"}, "no test passes", "STOP"),
        ({"existing_source": "yes"}, "none", "OK"),
        ({"pv_output_a": 16, "source_at": "main panel elsewhere"}, "no test passes", "STOP"),
        ({"pv_output_a": 16, "source_at": "main panel elsewhere", "main_bus_a": 220}, "100 percent", "OK"),
        ({"pv_output_a": 16, "source_at": "main panel elsewhere", "main_breakers_sum_a": 120},
         "sum of breakers", "OK"),
        ({"pv_output_a": 16, "source_at": "main panel elsewhere", "main_breakers_sum_a": 121},
         "no test passes", "STOP"),
        ({"pv_output_a": 16, "source_at": "added panel far end"}, "no test passes", "STOP"),
        ({"pv_output_a": 16, "source_at": "added panel far end", "feeder_at": "far end"}, "120 percent", "OK"),
        ({"pv_output_a": 16, "source_at": "added panel far end", "main_breakers_sum_a": 140},
         "sum of breakers", "OK"),
        ({"pv_output_a": 200, "source_at": "supply side"}, "supply side", "OK"),
        ({"pv_output_a": 150, "storage_output_a": 51, "source_at": "supply side"}, "supply side", "STOP"),
        ({"pv_output_a": 20, "source_at": "supply side", "existing_source": "yes"}, "supply side", "CHECK"),
        ({"main_feed": "centre"}, "none", "OK"),
        ({"pv_output_a": 32, "main_feed": "centre"}, "120 percent", "CHECK"),
        ({"pv_output_a": 32, "main_feed": "centre", "existing_source": "yes"}, "120 percent", "CHECK"),
        ({"pv_output_a": 32.1, "main_feed": "centre"}, "no test passes", "STOP"),
        ({"pv_output_a": 16, "main_feed": "centre", "main_bus_a": 220}, "100 percent", "OK"),
        ({"pv_output_a": 16, "main_feed": "centre", "source_at": "main panel elsewhere",
          "main_breakers_sum_a": 120}, "sum of breakers", "OK"),
        ({"pv_output_a": 16, "main_feed": "centre", "source_at": "added panel far end", "feeder_at": "far end"},
         "120 percent", "CHECK"),
        ({"pv_output_a": 20, "main_feed": "centre", "source_at": "supply side"}, "supply side", "OK"),
    ],
)  # fmt: skip
def test_routes_of_the_main_bus(entries: dict, route: str, check: str) -> None:
    """A bus and a main of 200 A, a 60 A feeder breaker, a 20 A breaker for 16 A of solar.

    A bus fed at its centre takes a source at either end, but not at both: TWENTY_PERCENT.
    """
    row = results_of(**entries)

    assert (row["main_bus_route"], row["main_bus_check"]) == (route, check)


def test_two_sources_meet_in_a_panel_bus() -> None:
    """200 A from the main and 21 A of inverter are 221 A on a 200 A bus: it needs other protection.

    http://forums.mikeholt.com/threads/2580629: a main breaker in the panel, or the end of the bus.
    """
    place = Choice.of(("none", "supply side", "main panel", "added panel"), "added panel")
    common = {
        "source_place": place,
        "source_rated_a": source_rated_a(np.array([21.0]), 0.25),
        "added_bus_chosen_a": np.array([200.0]),
    }

    elsewhere = added_bus_check(feeder_breaker_a=np.array([200.0]), added_bus_factor=1.0, **common)
    far_end = added_bus_check(feeder_breaker_a=np.array([200.0]), added_bus_factor=1.2, **common)
    smaller = added_bus_check(feeder_breaker_a=np.array([150.0]), added_bus_factor=1.0, **common)

    assert (elsewhere.tolist(), far_end.tolist(), smaller.tolist()) == ([1], [0], [0])


@pytest.mark.parametrize(
    ("entries", "picked", "wished"),
    [
        ({"source_at": "added panel far end", "pv_output_a": 48}, 100, "OK"),
        ({"source_at": "added panel far end", "pv_output_a": 48.1}, 125, "STOP"),
        ({"source_at": "added panel elsewhere", "pv_output_a": 32}, 100, "OK"),
        ({"source_at": "added panel elsewhere", "pv_output_a": 32.1}, 125, "STOP"),
        ({"source_at": "added panel elsewhere", "pv_output_a": 32.1, "source_limit_a": 32}, 100, "OK"),
        ({"source_at": "main panel far end", "pv_output_a": 48.1}, 100, "OK"),
    ],
)
def test_added_bus_carries_feeder_and_source(entries: dict, picked: float, wished: str) -> None:
    """60 A of feeder on a 100 A bus: 40 A remain, at the far end 60 A; a wish of 100 A is kept."""
    row = results_of(**entries)

    assert (row["added_bus_chosen_a"], row["added_bus_check"]) == (picked, "OK")
    assert results_of(added_bus_wanted_a=100, **entries)["added_bus_check"] == wished


def test_no_bus_of_the_list_takes_so_large_a_source() -> None:
    """60 and 250 A within 400 A, 60 and 350 A not; at the far end of it 60 and 420 A."""
    small, large, far = (
        results_of(pv_output_a=output, storage_output_a=80, source_at=place, main_bus_a=600)
        for output, place in (
            (120, "added panel elsewhere"),
            (200, "added panel elsewhere"),
            (200, "added panel far end"),
        )
    )

    assert (small["added_bus_chosen_a"], far["added_bus_chosen_a"]) == (400, 400)
    assert np.isnan(large["added_bus_chosen_a"])
    assert large["added_bus_check"] == "STOP"
    assert large["added_panel_state"] == "STOP: no panel of the list is large enough"


@pytest.mark.parametrize(
    ("entries", "output"),
    [
        ({}, 32),
        ({"source_at": "main panel elsewhere"}, 0),
        ({"source_at": "main panel elsewhere", "main_bus_a": 225}, 20),
        ({"source_at": "main panel elsewhere", "main_bus_a": 150}, 0),
        ({"source_at": "main panel far end", "feeder_at": "elsewhere", "main_bus_a": 225}, 56),
        ({"source_at": "main panel elsewhere", "feeder_at": "far end"}, 0),
        ({"source_at": "added panel far end"}, 0),
        ({"source_at": "added panel far end", "main_bus_a": 225}, 20),
        ({"source_at": "added panel far end", "feeder_at": "far end"}, 32),
        ({"source_at": "added panel elsewhere", "feeder_at": "far end"}, 32),
        ({"source_at": "supply side", "main_bus_a": 225}, 200),
        ({"source_at": "supply side", "service_a": 100, "main_bus_a": 225}, 100),
    ],
)
def test_largest_output_at_the_place_of_the_sources(entries: dict, output: float) -> None:
    """1.2 x 200 - 200 = 40 A of breaker at the far end of a 200 A bus behind 200 A, 225 - 200 = 25 A anywhere."""
    assert results_of(**entries)["place_output_a"] == pytest.approx(output)


@pytest.mark.parametrize(
    ("entries", "allowed", "check"),
    [
        ({}, 240, "OK"),
        ({"pv_output_a": 32}, 240, "OK"),
        ({"pv_output_a": 32.1}, 240, "STOP"),
        ({"pv_output_a": 32.1, "source_limit_a": 32}, 240, "OK"),
        ({"pv_output_a": 32, "existing_source": "yes", "main_feed": "centre"}, 240, "OK"),
        ({"pv_output_a": 16, "source_at": "main panel elsewhere"}, 200, "STOP"),
        ({"pv_output_a": 16, "source_at": "main panel elsewhere", "main_bus_a": 220}, 220, "OK"),
        ({"pv_output_a": 32, "source_at": "added panel far end"}, 240, "OK"),
        ({"pv_output_a": 32, "source_at": "added panel elsewhere"}, 240, "OK"),
        ({"pv_output_a": 32.1, "source_at": "added panel elsewhere"}, 240, "STOP"),
        ({"pv_output_a": 200, "source_at": "supply side"}, 240, "OK"),
        ({"pv_output_a": 150, "storage_output_a": 51, "source_at": "supply side"}, 240, "STOP"),
    ],
)
def test_main_bus_without_an_added_panel(entries: dict, allowed: float, check: str) -> None:
    """A bus and a main of 200 A; a source meant for an added panel stands at the far end."""
    row = results_of(**entries)

    assert (row["existing_bus_allowed_a"], row["existing_bus_check"]) == (allowed, check)
    assert row["existing_source_stop"] == ("yes" if check == "STOP" else "no")


@pytest.mark.parametrize(
    ("entries", "after", "check"),
    [
        ({}, 200, "OK"),
        ({"main_breakers_sum_a": 181}, 201, "STOP"),
        ({"main_breakers_sum_a": None}, np.nan, "STOP"),
        ({"move_kva": 500}, 200, "OK"),
        ({"add_1pole": 1}, np.nan, "STOP"),
        ({"add_1pole": 1, "planned_in": "main panel"}, np.nan, "STOP"),
        ({"generator_inlet_a": 30, "inlet_at": "added panel"}, np.nan, "STOP"),
    ],
)
def test_sum_of_breakers_without_an_added_panel(entries: dict, after: float, check: str) -> None:
    """180 A on the bus and a 20 A breaker for 16 A of solar, no feeder breaker; all else comes here, too."""
    solar = {"pv_output_a": 16, "source_at": "main panel elsewhere", "main_breakers_sum_a": 180}
    row = results_of(**solar | entries)

    assert row["existing_breakers_a"] == pytest.approx(after, nan_ok=True)
    assert row["existing_bus_check"] == check


def test_without_a_source_there_is_no_sum_of_breakers() -> None:
    row = results_of(main_breakers_sum_a=180)

    assert np.isnan(row["existing_breakers_a"])
    assert row["existing_bus_check"] == "OK"


def test_no_breaker_stops_a_source_in_the_added_panel() -> None:
    row = results_of(move_kva=500, pv_output_a=8, source_at="added panel far end")

    assert np.isnan(row["feeder_breaker_a"])
    assert row["added_bus_check"] == "STOP"


def test_the_feeder_carries_the_source_back() -> None:
    stop = "STOP: the feeder carries less than the source"
    entries = {"terminals": "75 C", "source_at": "added panel far end"}
    ampacity = results_of(pv_output_a=8, **entries)["feeder_ampacity_a"]

    assert results_of(pv_output_a=np.floor(ampacity / 1.25), **entries)["feeder_source_state"] == "OK"
    assert results_of(pv_output_a=np.floor(ampacity / 1.25) + 1, **entries)["feeder_source_state"] == stop


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ({}, "OK"),
        ({"interlock": "yes"}, "OK"),
        ({"generator_inlet_a": 30}, "STOP: an inlet needs a listed interlock or transfer equipment"),
        ({"generator_inlet_a": 30, "interlock": "yes"},
         "CHECK: a set with its neutral bonded is bonded twice through an interlock"),
    ],
)  # fmt: skip
def test_an_inlet_needs_an_interlock(entries: dict, state: str) -> None:
    assert results_of(**entries)["inlet_state"] == state


def test_inlet_and_storage_are_held_down_solar_is_not() -> None:
    assert results_of(pv_output_a=16)["hold_down"] == "no"
    assert results_of(storage_output_a=16)["hold_down"] == "yes"
    assert results_of(generator_inlet_a=30)["hold_down"] == "yes"
