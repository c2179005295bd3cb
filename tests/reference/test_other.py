"""Entries of the job that only a state of their own judges. Toy numbers."""

from __future__ import annotations

import numpy as np
import pytest

from workbook_builder.reference.feeder_other import heat_pump_most_a

from .jobs import results_of

OVER = "STOP: the fault current is over the rating of panel and breakers"
UNKNOWN = "CHECK: fault current not compared with the rating"
REWIRED = "STOP: a three-wire range or dryer circuit stays at the service or is rewired"
FED = "CHECK: the other building has a feed already"
UNLIKE = "STOP: nameplate ampacity over its breaker"
MORE = "CHECK: the nameplate asks for more than entered"


@pytest.mark.parametrize(
    ("fault", "rating", "state"),
    [(10, 10, "OK"), (10.1, 10, OVER), (0, 10, "OK"), (None, 10, UNKNOWN), (30, None, UNKNOWN),
     (None, None, UNKNOWN)],
)  # fmt: skip
def test_fault_current_against_the_rating(fault: float, rating: float, state: str) -> None:
    """110.9: a rating at least equal to the current available."""
    assert results_of(fault_ka=fault, panel_kaic=rating)["fault_state"] == state


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ({}, "OK"),
        ({"move_2pole": 1}, "OK"),
        ({"moved_three_wire": "no", "move_2pole": 1}, "OK"),
        ({"moved_three_wire": "yes"}, "OK"),
        ({"moved_three_wire": "yes", "move_2pole": 1}, REWIRED),
        ({"moved_three_wire": "yes", "move_1pole": 1}, REWIRED),
        ({"moved_three_wire": "yes", "main_spaces_used": 30}, REWIRED),
    ],
)
def test_three_wire_circuit_does_not_move(entries: dict, state: str) -> None:
    """250.140; in a full panel one circuit must move for the feeder."""
    assert results_of(**entries)["three_wire_state"] == state


@pytest.mark.parametrize(
    ("place", "feeds", "state"),
    [("other building", 0, "OK"), ("other building", 1, FED), ("same building", 1, "OK")],
)
def test_one_feed_to_another_building(place: str, feeds: int, state: str) -> None:
    """225.30."""
    assert results_of(panel_place=place, other_building_feeds=feeds)["feeds_state"] == state


def test_ampacity_of_a_nameplate_from_its_motor() -> None:
    """440.4(B), 440.33: 125 percent of a motor of 20 A (4.8 kVA at 240 V)."""
    found = heat_pump_most_a(
        add_heat_pump_kva=np.array([4.8, 0.0]), va_per_kva=1000, line_v=240, motor_rate=0.25
    )

    assert found.tolist() == [25, 0]


@pytest.mark.parametrize(
    ("kva", "ampacity", "state"),
    [(0, 25, "STOP: the heat pump has a nameplate and no kVA"), (None, 0.1, "STOP: the heat pump has a nameplate and no kVA"),
     (0, 0, "OK"), (0, None, "OK"), (4.8, 25, "OK"), (4.8, 25.1, MORE)],
)  # fmt: skip
def test_a_heat_pump_with_a_nameplate_is_a_load(kva: float, ampacity: float, state: str) -> None:
    """440.33: the minimum ampacity holds 125 percent of a motor, so a motor is there (arithmetic: 20 A, 25 A)."""
    row = results_of(add_heat_pump_kva=kva, hp_mca_a=ampacity)

    assert row["point_heat_pump"] == state


@pytest.mark.parametrize(
    ("ampacity", "breaker", "state"),
    [(25, 40, "OK"), (25, 25, "OK"), (25, 20, UNLIKE), (25.1, 25, UNLIKE), (25.1, 40, MORE),
     (25.1, None, MORE), (25, None, "OK"), (None, 20, "OK"), (None, None, "OK")],
)  # fmt: skip
def test_nameplate_of_the_new_heat_pump(ampacity: float, breaker: float, state: str) -> None:
    row = results_of(add_heat_pump_kva=4.8, hp_mca_a=ampacity, hp_mocp_a=breaker)

    assert row["heat_pump_state"] == state
