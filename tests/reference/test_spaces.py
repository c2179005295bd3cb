"""Breaker spaces. The rules are the workbook's own; numbers are toy numbers, counted by hand."""

from __future__ import annotations

import pytest

from .jobs import results_of


def test_dropped_load_frees_two_spaces_only_where_it_is_there() -> None:
    assert results_of(drop_heat="yes", drop_ac="yes")["spaces_dropped"] == 0
    assert results_of(heat_kw=5, drop_heat="yes", ac_kva=3, drop_ac="yes")["spaces_dropped"] == 4
    everything = {
        "heat_kw": 1, "ac_kva": 1, "heat_pump_kva": 1, "range_kw": 1, "dryer_kw": 1, "water_heater_kw": 1,
        "drop_heat": "yes", "drop_ac": "yes", "drop_heat_pump": "yes", "drop_range": "yes",
        "drop_dryer": "yes", "drop_water_heater": "yes",
    }  # fmt: skip

    assert results_of(**everything)["spaces_dropped"] == 12


def test_planned_loads_take_two_spaces_each() -> None:
    """Vehicle supply by the unit; other circuits by their poles; other loads none."""
    assert results_of(add_ev_a=32, add_ev_count=3)["planned_spaces"] == 6
    assert results_of(add_ev_count=3, add_other_kva=4)["planned_spaces"] == 0
    assert results_of(add_1pole=3, add_2pole=2)["planned_spaces"] == 7
    every = dict.fromkeys(
        ["add_heat_pump_kva", "add_heat_pump_aux_kw", "add_heat_kw", "add_ac_kva", "add_range_kw",
         "add_dryer_kw", "add_water_heater_kw", "add_spa_kva"], 1,
    )  # fmt: skip

    assert results_of(**every)["planned_spaces"] == 16


@pytest.mark.parametrize(
    ("entries", "source", "incoming"),
    [
        ({}, 0, 2),
        ({"pv_output_a": 16, "storage_output_a": 20}, 4, 6),
        ({"pv_output_a": 16, "source_at": "main panel elsewhere"}, 2, 4),
        ({"pv_output_a": 16, "source_at": "added panel far end"}, 2, 2),
        ({"pv_output_a": 16, "source_at": "supply side"}, 0, 2),
        ({"generator_inlet_a": 30}, 0, 4),
        ({"generator_inlet_a": 30, "inlet_at": "added panel"}, 0, 2),
        ({"add_ev_a": 32}, 0, 2),
        ({"add_ev_a": 32, "planned_in": "main panel"}, 0, 4),
    ],
)
def test_what_comes_into_the_main_panel(entries: dict, source: int, incoming: int) -> None:
    row = results_of(**entries)

    assert (row["source_spaces"], row["incoming_spaces"]) == (source, incoming)


@pytest.mark.parametrize(
    ("used", "wished", "moved", "state"),
    [
        (28, {}, 0, "OK"),
        (29, {}, 1, "CHECK: circuits must move and the job names none"),
        (30, {}, 2, "CHECK: circuits must move and the job names none"),
        (30, {"move_1pole": 1}, 2, "CHECK: more circuits must move than the job says"),
        (30, {"add_ev_a": 16, "planned_in": "main panel", "move_2pole": 1}, 2,
         "CHECK: more circuits must move than the job says"),
        (30, {"move_1pole": 2}, 2, "OK"),
        (30, {"move_2pole": 1}, 0, "OK"),
        (30, {"move_1pole": 5}, 5, "OK"),
        (30, {"move_1pole": 30}, 30, "OK"),
        (30, {"move_1pole": 31}, 31, "STOP: more circuits would have to move than the main panel holds"),
        (
            30,
            {"move_1pole": 28, "move_2pole": 2},
            28,
            "STOP: more circuits would have to move than the main panel holds",
        ),
    ],
)  # fmt: skip
def test_circuits_move_until_the_feeder_breaker_finds_room(
    used: int, wished: dict, moved: int, state: str
) -> None:
    """A panel of thirty spaces; the feeder breaker takes two."""
    row = results_of(main_spaces_used=used, **wished)

    assert (row["moved_1pole_total"], row["spaces_state"]) == (moved, state)


def test_freed_spaces_are_used_before_circuits_move() -> None:
    row = results_of(main_spaces_used=30, ac_kva=3, drop_ac="yes")

    assert (row["circuits_to_move"], row["moved_1pole_total"]) == (0, 0)
