"""The added panel: circuits, bus, size. Panels are those dealers keep; counts are made by hand."""

from __future__ import annotations

import numpy as np
import pytest

from workbook_builder.reference.spaces_added import (
    added_bus_index,
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
    ("circuits", "growth", "needed"),
    [
        (0, 25, 0),
        (1, 0, 2),
        (2, 0, 2),
        (8, 25, 10),
        (8, 26, 12),
        (10, 20, 12),
        (3, 33.333333, 4),
        (20, 10, 22),
    ],
)
def test_growth_is_added_and_the_sum_made_even(circuits: int, growth: float, needed: int) -> None:
    assert float(added_spaces_needed(circuits, growth, 100)) == needed


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
    found = added_bus_index(np.array([breaker]), needs)
    spaces = added_spaces_listed(found, added_size_index(needs, found))

    np.testing.assert_array_equal(found, [bus])
    np.testing.assert_array_equal(spaces, [size])


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
        ({"add_1pole": 40, "add_2pole": 10, "added_spaces_wanted": 84, "added_bus_wanted_a": 200}, "OK"),
    ],
)  # fmt: skip
def test_state_of_the_added_panel(entries: dict, state: str) -> None:
    assert results_of(**entries)["added_panel_state"] == state


def test_wishes_for_the_added_panel_are_kept() -> None:
    row = results_of(add_1pole=8, added_spaces_wanted=7, added_bus_wanted_a=90)

    assert (row["added_spaces_chosen"], row["added_bus_chosen_a"]) == (7, 90)
    assert (row["added_spaces_listed"], row["added_size_index"]) == (12, 1)
