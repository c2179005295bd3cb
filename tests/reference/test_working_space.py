"""Working space in front of the added panel."""

from __future__ import annotations

import pytest

from .jobs import results_of

MEASURED = {"clear_width_in": 30, "clear_depth_in": 36, "clear_height_in": 78, "top_breaker_height_in": 79}


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ({}, "OK"),
        ({"room": "bathroom"}, "STOP: no overcurrent device in this room"),
        ({"room": "stairs", "clear_width_in": 10}, "STOP: no overcurrent device in this room"),
        ({"clear_width_in": 29.9}, "STOP: the working space is too narrow"),
        ({"panel_width_in": 31}, "STOP: the working space is too narrow"),
        ({"clear_depth_in": 35.9}, "STOP: the working space is too shallow"),
        ({"clear_height_in": 77.9, "service_a": 400, "move_kva": 49}, "STOP: the working space is too low"),
        (
            {"clear_height_in": 77.9, "service_a": 400, "move_kva": 48},
            "CHECK: low headroom, only by the exception for existing dwellings",
        ),
        (
            {"clear_height_in": 77.9, "move_kva": 500},
            "CHECK: low headroom, only by the exception for existing dwellings",
        ),
        ({"clear_height_in": 77.9, "panel_place": "other building"}, "STOP: the working space is too low"),
        (
            {"clear_height_in": 77.9, "service_a": 225},
            "CHECK: low headroom, only by the exception for existing dwellings",
        ),
        ({"top_breaker_height_in": 79.1}, "STOP: the highest handle is too high"),
        ({"top_breaker_height_in": 79.1, "clear_height_in": 70}, "STOP: the highest handle is too high"),
        ({"top_breaker_height_in": None}, "OK"),
        ({"clear_width_in": None}, "CHECK: working space not measured"),
        ({"clear_height_in": None}, "CHECK: working space not measured"),
    ],
)
def test_working_space(entries: dict, state: str) -> None:
    """110.26(A): 30, 36 and 78 in, low headroom to a panel of 200 A; 240.24: handle to 79 in, rooms."""
    assert results_of(**MEASURED | entries)["working_space_state"] == state
