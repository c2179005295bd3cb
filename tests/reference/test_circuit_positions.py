"""Loads, legs, spaces and shared neutrals of listed circuits.

The legs take turns from one row of a panel to the next: common practice, no
source. Circuits that share a neutral start in one panel, open together and
stand on both legs: 210.4(A), (B). All numbers are toy numbers.
"""

from __future__ import annotations

import pytest

from .circuits import ADDED, MOVED, listed

TWO_IN_ONE = "STOP: two circuits stand in one space"
BEYOND = "STOP: the position is beyond the panel"
TWO_PANELS = "STOP: circuits that share a neutral stand in two panels"
ONE_LEG = "STOP: circuits that share a neutral stand on one leg"
MANY = "STOP: more than two circuits share a neutral"
ALONE = "CHECK: the other circuit is not listed"
ONE_HANDLE = "CHECK: one handle or a tie for the circuits that share a neutral"


def test_spaces_1_and_2_are_on_leg_a_the_next_two_on_leg_b_and_so_on() -> None:
    legs = {
        1: "A",
        2: "A",
        3: "B",
        4: "B",
        5: "A",
        6: "A",
        7: "B",
        8: "B",
        41: "A",
        42: "A",
        83: "B",
        84: "B",
    }
    _, circuits = listed(*({"position": position} for position in legs), {})

    assert circuits["circuit_leg"].tolist() == [*legs.values(), ""]


@pytest.mark.parametrize(
    ("entries", "load", "on_neutral"),
    [
        ({}, 1500, 1500),
        ({"poles": 2}, 4500, 0),
        ({"load_va": 0}, 0, 0),
        ({"load_va": 800, "has_neutral": "no"}, 800, 0),
        ({"poles": 2, "load_va": 6000, "has_neutral": "yes"}, 6000, 6000),
    ],
)
def test_load_is_given_or_the_usual_one(entries: dict, load: float, on_neutral: float) -> None:
    _, circuits = listed(entries)

    assert circuits[["circuit_va", "circuit_neutral_va"]].values.tolist() == [[load, on_neutral]]


def test_one_pole_loads_its_leg_and_two_poles_load_both() -> None:
    job, circuits = listed(
        ADDED | {"position": 1, "load_va": 1000},
        ADDED | {"position": 4, "load_va": 500},
        ADDED | {"position": 5, "poles": 2, "load_va": 3000},
        ADDED | {"load_va": 9000},
        {"position": 2, "load_va": 9000},
        ADDED | {"position": 9, "load_va": 9000, "action": "remove"},
    )

    assert circuits["added_leg_a_va"].tolist() == [1000, 0, 1500, 0, 0, 0]
    assert circuits["added_leg_b_va"].tolist() == [0, 500, 1500, 0, 0, 0]
    assert (job["listed_leg_a_va"], job["listed_leg_b_va"], job["listed_added"]) == (2500, 2000, 3)


def test_circuits_in_one_space_stop() -> None:
    """The second pole of a two-pole circuit stands two positions on; panels and jobs are apart."""
    _, circuits = listed(
        {"position": 1, "poles": 2},
        {"position": 3},
        {"position": 2},
        {"position": 3, "action": "remove"},
        ADDED | {"position": 1},
        {},
    )

    assert circuits["space_key"].tolist() == ["1|main|1", "1|main|3", "1|main|2", "", "1|added|1", ""]
    assert circuits["second_space_key"].tolist() == ["1|main|3", "", "", "", "", ""]
    assert circuits["same_space"].tolist() == [1, 1, 0, 0, 0, 0]
    assert circuits["position_state"].tolist() == [TWO_IN_ONE, TWO_IN_ONE, "OK", "OK", "OK", "OK"]


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ({"position": 30}, "OK"),
        ({"position": 31}, BEYOND),
        ({"position": 28, "poles": 2}, "OK"),
        ({"position": 29, "poles": 2}, BEYOND),
        ({"position": 31, "action": "remove"}, "OK"),
        (ADDED | {"position": 24}, "OK"),
        (ADDED | {"position": 25}, BEYOND),
    ],
)
def test_a_position_is_within_its_panel(entries: dict, state: str) -> None:
    """A main panel of thirty spaces, an added one of twenty-four; a STOP stops the list."""
    job, circuits = listed(entries, added_spaces_wanted=24)

    assert circuits["position_state"].tolist() == [state]
    assert circuits["circuit_stop"].tolist() == ["no" if state == "OK" else "yes"]
    assert job["list_state"] == ("OK" if state == "OK" else "STOP: the circuit list has a STOP")


@pytest.mark.parametrize(
    ("first", "second", "states"),
    [
        ({"position": 1}, {"position": 3}, ["OK", "OK"]),
        ({"position": 1}, {"position": 2}, [ONE_LEG, ONE_LEG]),
        ({"position": 1}, {"position": 5}, [ONE_LEG, ONE_LEG]),
        ({"position": 1}, {"position": 4, "multiwire_group": "A"}, ["OK", "OK"]),
        ({"position": 1}, {"position": 2, "multiwire_group": "b"}, [ALONE, ALONE]),
        ({"position": 1}, {"position": 2, "action": "remove"}, [ALONE, "OK"]),
        (MOVED, {"multiwire_group": ""}, [ALONE, "OK"]),
        ({"poles": 2}, {"multiwire_group": ""}, ["OK", "OK"]),
        (MOVED | {"poles": 2}, {"multiwire_group": ""}, [ONE_HANDLE, "OK"]),
        ({}, {}, ["OK", "OK"]),
        ({"position": 1}, {}, ["OK", "OK"]),
        (MOVED | {"position": 1}, MOVED, [ONE_HANDLE, ONE_HANDLE]),
        ({"position": 1}, {"position": 2, "poles": 2}, [ONE_LEG, "OK"]),
        ({"position": 1}, MOVED | {"position": 3}, [TWO_PANELS, TWO_PANELS]),
        (MOVED | {"position": 1}, MOVED | {"position": 3}, [ONE_HANDLE, ONE_HANDLE]),
        (MOVED | {"position": 1}, MOVED | {"position": 2}, [ONE_LEG, ONE_LEG]),
    ],
)
def test_circuits_that_share_a_neutral_start_in_one_panel_on_both_legs(
    first: dict, second: dict, states: list[str]
) -> None:
    """210.4(A): the neutral carries the difference only of loads on opposite legs."""
    _, circuits = listed({"multiwire_group": "a"} | first, {"multiwire_group": "a"} | second)

    assert circuits["multiwire_state"].tolist() == states
    before = ["OK" if state == ONE_HANDLE else state for state in states]
    assert circuits["shared_neutral_state"].tolist() == before
    stops = ["yes" if state.startswith("STOP") else "no" for state in states]
    assert circuits["circuit_stop"].tolist() == stops


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ([{"position": 1}, {"position": 3}, {"position": 5}], MANY),
        ([{}, {}, {}], MANY),
        ([{}, {}, {"multiwire_group": "A"}, {}], MANY),
        ([MOVED, MOVED, MOVED], MANY),
        ([MOVED, MOVED, {}], TWO_PANELS),
    ],
)
def test_two_circuits_at_most_share_a_neutral(entries: list[dict], state: str) -> None:
    """On two legs a third circuit stands on the leg of another one; two panels come first."""
    job, circuits = listed(*({"multiwire_group": "a"} | one for one in entries))

    assert set(circuits["multiwire_state"]) == set(circuits["shared_neutral_state"]) == {state}
    assert job["listed_stops"] == len(entries)
    assert job["list_state"] == "STOP: the circuit list has a STOP"


@pytest.mark.parametrize(
    ("entries", "beyond"),
    [
        ({}, False),
        ({"from_position": 30}, False),
        ({"from_position": 31}, True),
        ({"from_position": 28, "poles": 2}, False),
        ({"from_position": 29, "poles": 2}, True),
        (MOVED | {"from_position": 31}, True),
        ({"from_position": 31, "action": "remove"}, True),
        ({"from_position": 84, "action": "new"}, True),
    ],
)
def test_a_circuit_came_from_a_space_of_the_main_panel(entries: dict, beyond: bool) -> None:
    """A main panel of thirty spaces; whatever happens to the circuit."""
    _, circuits = listed(entries)
    check = "CHECK: the space it came from is beyond the main panel"

    assert circuits["from_state"].tolist() == [check if beyond else "OK"]
    assert circuits["circuit_stop"].tolist() == ["no"]


def test_members_of_a_group_are_counted_letters_case_aside() -> None:
    """Panels and legs within the group; another job with the same mark is another group."""
    _, circuits = listed(
        {"multiwire_group": "a", "position": 1},
        {"multiwire_group": "A", "position": 3},
        ADDED | {"multiwire_group": "a", "position": 7},
        {"multiwire_group": "b"},
        {},
        {"multiwire_group": "a", "action": "remove"},
    )

    assert circuits["group_key"].tolist() == ["1|a", "1|A", "1|a", "1|b", "", ""]
    assert circuits["group_members"].tolist() == [3, 3, 3, 1, 0, 0]
    assert circuits["group_here"].tolist() == [2, 2, 1, 1, 0, 0]
    assert circuits["group_placed"].tolist() == [3, 3, 3, 0, 0, 0]
    assert circuits["group_other_leg"].tolist() == [2, 1, 1, 0, 0, 0]
    assert circuits["group_earlier"].fillna(-1).tolist() == [0, 1, 2, 0, -1, -1]
