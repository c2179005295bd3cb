"""The added panel: circuits, bus, size. Panels are those dealers keep; counts are made by hand."""

from __future__ import annotations

import numpy as np
import pytest

from workbook_builder.reference.choice import Choice
from workbook_builder.reference.rounding import round6
from workbook_builder.reference.sources import PLACES
from workbook_builder.reference.spaces_added import (
    added_bus_index,
    added_bus_least_a,
    added_size_index,
    added_spaces_listed,
    added_spaces_needed,
)

from .jobs import results_of


def test_full_panel_moves_two_circuits_for_a_feeder_breaker() -> None:
    """No free space, two one-pole circuits moved, 100 A feeder. Common practice, no source."""
    row = results_of(main_spaces_used=30, move_1pole=2, feeder_breaker_wanted_a=100)

    assert row["circuits_to_move"] == 2
    assert row["added_circuit_spaces"] == 2
    assert row["added_spaces_needed"] == 4
    assert row["added_bus_chosen_a"] == 100
    assert row["added_panel_state"] == "OK"
    assert row["added_panel_spare_spaces"] >= row["spare_wanted"]
    assert row["added_spaces_chosen"] >= 1.25 * row["added_circuit_spaces"]


@pytest.mark.parametrize(
    ("entries", "spaces"),
    [
        ({}, 0),
        ({"move_1pole": 3, "move_2pole": 1}, 5),
        ({"add_ev_a": 32, "add_1pole": 1}, 3),
        ({"add_ev_a": 32, "add_1pole": 1, "planned_in": "main panel"}, 3),
        ({"pv_output_a": 16, "storage_output_a": 16, "source_at": "added panel elsewhere"}, 4),
        ({"pv_output_a": 16, "source_at": "added panel far end"}, 2),
        ({"pv_output_a": 16, "source_at": "supply side"}, 0),
        ({"generator_inlet_a": 30, "inlet_at": "added panel"}, 2),
        ({"inlet_at": "added panel"}, 0),
    ],
)
def test_what_stands_in_the_added_panel(entries: dict, spaces: int) -> None:
    """A main panel with two free spaces: the feeder breaker fills them, what else comes moves circuits."""
    row = results_of(main_spaces_used=28, **entries)

    assert row["added_circuit_spaces"] == spaces


@pytest.mark.parametrize(
    ("circuits", "growth", "spare", "needed"),
    [
        (0, 25, 0, 0),
        (1, 0, 0, 2),
        (2, 0, 0, 2),
        (8, 25, 2, 10),
        (8, 25, 3, 12),
        (8, 25, 7, 16),
        (8, 26, 0, 12),
        (10, 20, 2, 12),
        (3, 33.333333, 1, 4),
        (20, 10, 1, 22),
        (0, 25, 1, 2),
    ],
)
def test_growth_is_added_and_the_sum_made_even(circuits: int, growth: float, spare: int, needed: int) -> None:
    """The growth of its own circuits, or of all new ones where that is more."""
    found = added_spaces_needed(
        added_circuit_spaces=circuits, growth_percent=growth, percent=100, spare_wanted=spare
    )

    assert float(found) == needed


def test_growth_of_new_circuits_in_the_main_panel_counts_in_the_added_one() -> None:
    """A quarter of 24 new spaces: 6 spare ones beside 8 moved circuits; of its own it would be 2."""
    row = results_of(
        main_spaces_used=8, move_1pole=8, add_1pole=24, planned_in="main panel", growth_percent=25
    )

    assert (row["spare_wanted"], row["added_circuit_spaces"], row["added_spaces_needed"]) == (6, 8, 14)
    assert row["added_panel_spare_spaces"] >= row["spare_wanted"]


@pytest.mark.parametrize(
    ("breaker", "needed", "bus", "size"),
    [
        (60, 0, 1, 12),
        (100, 12, 1, 12),
        (100, 14, 1, 20),
        (100, 24, 1, 24),
        (100, 26, 2, 30),
        (110, 14, 2, 16),
        (125, 32, 3, 40),
        (200, 42, 3, 42),
        (200, 44, 4, 54),
        (225, 4, 4, 30),
        (250, 44, 5, 60),
        (60, 62, 6, np.nan),
        (450, 4, 6, np.nan),
        (np.nan, 4, np.nan, np.nan),
    ],
)
def test_smallest_panel_of_the_list(breaker: float, needed: int, bus: float, size: float) -> None:
    """The bus takes the breaker and is made with the spaces; the size is the next of that bus."""
    needs = np.array([float(needed)])
    found = bus_index(breaker, needed)
    spaces = added_spaces_listed(found, added_size_index(needs, found))

    np.testing.assert_array_equal(found, [bus])
    np.testing.assert_array_equal(spaces, [size])


def bus_index(
    breaker: float, needed: float, *, wanted: float = 0.0, rated: float = 0.0, factor: float = 1.0,
    place: str = "none",
) -> np.ndarray:  # fmt: skip
    return added_bus_index(
        added_bus_wanted_a=np.array([wanted]),
        feeder_breaker_a=np.array([breaker]),
        added_spaces_needed=np.array([float(needed)]),
        added_bus_least_a=round6(added_bus_least_a(
            feeder_breaker_a=np.array([breaker]),
            source_place=Choice.of(PLACES, [place]),
            added_bus_factor=np.array([factor]),
            source_rated_a=np.array([rated]),
        )),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("breaker", "rated", "factor", "bus"),
    [
        (60, 40, 1, 1),
        (60, 40.000001, 1, 2),
        (60, 60, 1.2, 1),
        (60, 60.000001, 1.2, 2),
        (100, 50, 1.2, 2),
        (100, 50, 1, 3),
        (100, 110, 1, 4),
        (200, 70, 1.2, 4),
        (225, 175, 1, 5),
        (225, 175.000001, 1, 6),
        (225, 250, 1.2, 5),
        (60, 400, 1, 6),
    ],
)
def test_bus_that_takes_feeder_and_source(breaker: float, rated: float, factor: float, bus: int) -> None:
    """705.12(B): feeder breaker and 125 percent of the output within the bus, 1.2 times it at the far end."""
    assert bus_index(breaker, 4, rated=rated, factor=factor, place="added panel").tolist() == [bus]
    for elsewhere in ("none", "supply side", "main panel"):
        alone = bus_index(breaker, 4, rated=rated, factor=factor, place=elsewhere)
        np.testing.assert_array_equal(alone, bus_index(breaker, 4))


@pytest.mark.parametrize(
    ("wanted", "bus"), [(60, 1), (100, 1), (101, 2), (125, 2), (200, 3), (226, 5), (400, 5), (500, 6)]
)
@pytest.mark.parametrize("breaker", [60, 225, np.nan])
def test_wished_bus_is_kept_whatever_stands_in_it(wanted: float, bus: int, breaker: float) -> None:
    """Its place, or that of the next one of the list."""
    assert bus_index(breaker, 50, wanted=wanted, rated=100, place="added panel").tolist() == [bus]


@pytest.mark.parametrize(
    ("wanted", "moved", "listed", "state"),
    [
        (0, 12, 20, "OK"),
        (100, 12, 20, "OK"),
        (125, 12, 16, "OK"),
        (200, 12, 20, "OK"),
        (225, 12, 30, "OK"),
        (400, 12, 42, "OK"),
        (100, 20, np.nan, "STOP: no panel of the list is large enough"),
        (125, 20, 30, "OK"),
    ],
)
def test_panel_of_the_list_has_the_bus_wished_for(
    wanted: float, moved: int, listed: float, state: str
) -> None:
    """12 circuits and a quarter are 15, up to 16; 20 are 25, up to 26."""
    row = results_of(move_1pole=moved, added_bus_wanted_a=wanted, main_spaces_used=28)

    assert row["added_spaces_listed"] == pytest.approx(listed, nan_ok=True)
    assert row["added_panel_state"] == state


UNMADE = "CHECK: no panel of the list has that many spaces on that bus"


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ({"add_1pole": 8}, "OK"),
        ({"add_1pole": 8, "added_spaces_wanted": 10}, "OK"),
        ({"add_1pole": 8, "added_spaces_wanted": 8}, "CHECK: the added panel leaves less growth than wanted"),
        ({"add_1pole": 8, "added_spaces_wanted": 7}, "STOP: the added panel has fewer spaces than circuits"),
        ({"add_1pole": 40, "add_2pole": 10}, "STOP: no panel of the list is large enough"),
        ({"add_1pole": 40, "add_2pole": 10, "added_spaces_wanted": 84},
         "STOP: no panel of the list is large enough"),
        ({"add_1pole": 40, "add_2pole": 10, "added_spaces_wanted": 84, "added_bus_wanted_a": 200}, UNMADE),
        ({"added_spaces_wanted": 24, "added_bus_wanted_a": 100}, "OK"),
        ({"added_spaces_wanted": 25, "added_bus_wanted_a": 100}, UNMADE),
        ({"added_spaces_wanted": 25, "added_bus_wanted_a": 90}, UNMADE),
        ({"added_spaces_wanted": 25, "added_bus_wanted_a": 110}, "OK"),
        ({"added_spaces_wanted": 25}, UNMADE),
        ({"added_spaces_wanted": 60, "added_bus_wanted_a": 400}, "OK"),
        ({"added_spaces_wanted": 61, "added_bus_wanted_a": 400}, UNMADE),
    ],
)  # fmt: skip
def test_state_of_the_added_panel(entries: dict, state: str) -> None:
    assert results_of(**entries)["added_panel_state"] == state


def test_wishes_for_the_added_panel_are_kept() -> None:
    row = results_of(add_1pole=8, added_spaces_wanted=7, added_bus_wanted_a=90)

    assert (row["added_spaces_chosen"], row["added_bus_chosen_a"]) == (7, 90)
    assert (row["added_spaces_listed"], row["added_size_index"]) == (12, 1)
