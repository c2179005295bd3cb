"""Which circuits move, what stands against it, and where they stand in the added panel.

The order of moving is common practice without a source; a three-wire range or
dryer circuit keeps its bond only where the branch circuit starts at the
service (250.140, from memory). Toy numbers, counted by hand.
"""

from __future__ import annotations

import pytest

from .circuits import ADDED, MOVED, listed

FULL = {"main_spaces_used": 30}
THREE_WIRE = "STOP: a three-wire range or dryer circuit stays at the service or is rewired"
ALUMINUM = "CHECK: aluminum needs its own connectors"
OLD = "CHECK: old insulation may not stand being moved"
ALARM = "CHECK: an alarm or pump circuit is out while it moves"
REACHES = {"cable_reaches": "yes", "has_neutral": "no"}


@pytest.mark.parametrize(
    ("entries", "state", "by_condition"),
    [
        ({"condition": "three wire", "poles": 2}, THREE_WIRE, THREE_WIRE),
        ({"condition": "aluminum", "priority": "alarm"}, ALUMINUM, ALUMINUM),
        ({"condition": "cloth"}, OLD, "OK"),
        ({"condition": "ungrounded"}, OLD, "OK"),
        ({"priority": "alarm"}, ALARM, "OK"),
        ({"condition": "sound", "priority": "essential"}, "OK", "OK"),
        ({}, "OK", "OK"),
        ({"condition": "three wire", "panel": "main", "action": "keep"}, "OK", THREE_WIRE),
    ],
)
def test_what_stands_against_moving(entries: dict, state: str, by_condition: str) -> None:
    job, circuits = listed(MOVED | entries)

    assert circuits[["move_state", "condition_state"]].values.tolist() == [[state, by_condition]]
    assert job["list_state"] == ("STOP: the circuit list has a STOP" if state == THREE_WIRE else "OK")


@pytest.mark.parametrize(
    ("entries", "extension", "needed"),
    [
        ({}, 7, True),
        ({}, 6, False),
        ({}, None, False),
        ({"protection": "GFCI"}, 7, True),
        ({"protection": "none"}, 7, True),
        ({"protection": "AFCI"}, 7, False),
        ({"protection": "both"}, 7, False),
        ({"poles": 2}, 7, False),
        ({"breaker_a": 25}, 7, False),
        ({"action": "new"}, 7, False),
    ],
)
def test_an_extended_circuit_takes_arc_fault_protection(
    entries: dict, extension: float | None, needed: bool
) -> None:
    """Over 6 ft of a one-pole circuit to 20 A: 210.12, from memory."""
    _, circuits = listed(MOVED | entries, moved_ext_ft=extension)

    assert circuits["arc_fault_state"].tolist() == [
        "CHECK: extended more than 6 ft: arc-fault protection" if needed else "OK"
    ]


@pytest.mark.parametrize(
    ("entries", "may"),
    [
        ({}, "yes"),
        (ADDED, "no"),
        ({"action": "new"}, "no"),
        ({"condition": "three wire"}, "no"),
        ({"condition": "cloth"}, "yes"),
        ({"multiwire_group": "a"}, "no"),
        ({"priority": "alarm"}, "no"),
        ({"priority": "essential"}, "yes"),
    ],
)
def test_circuits_that_may_be_suggested(entries: dict, may: str) -> None:
    _, circuits = listed(entries)

    assert circuits["may_move"].tolist() == [may]
    assert circuits["move_order"].notna().tolist() == [may == "yes"]


def test_trouble_of_moving_adds_up() -> None:
    """Splice 2, old 8, aluminum 6, neutral 1, two poles less 2."""
    _, circuits = listed(
        {},
        REACHES,
        REACHES | {"poles": 2},
        {"condition": "cloth"},
        {"condition": "aluminum", "cable_reaches": "yes"},
        {"load_va": 0, "cable_reaches": "no"},
    )

    assert circuits["move_cost"].tolist() == [3, 0, -2, 11, 7, 2]
    assert circuits["move_order"].tolist() == [4, 2, 1, 6, 5, 3]


def test_circuits_are_suggested_until_enough_spaces_are_free() -> None:
    """The feeder breaker needs two spaces of a full panel; of equal ones the first row moves."""
    same = listed({}, {}, {}, **FULL)[1]
    assert same["freed_before"].tolist() == [0, 1, 2]
    assert same["move_suggested"].tolist() == ["yes", "yes", "no"]

    two_pole = listed({}, REACHES | {"poles": 2}, {}, **FULL)[1]
    assert two_pole["freed_before"].tolist() == [2, 0, 3]
    assert two_pole["move_suggested"].tolist() == ["no", "yes", "no"]

    one_listed = listed({}, {}, MOVED, **FULL)[1]
    assert one_listed["move_suggested"].tolist() == ["yes", "no", "no"]

    removed = listed({}, {"action": "remove", "poles": 2}, **FULL)[1]
    assert removed["move_suggested"].tolist() == ["no", "no"]

    assert listed({}, {})[1]["move_suggested"].tolist() == ["no", "no"]


def test_list_wins_over_the_counts_once_a_circuit_moves() -> None:
    job, _ = listed(MOVED | {"load_va": 800}, MOVED | {"poles": 2}, {"action": "remove"}, {}, move_1pole=1)

    assert (job["listed_moves"], job["listed_1pole"], job["listed_2pole"], job["listed_freed"]) == (
        2,
        1,
        1,
        4,
    )
    assert (job["move_1pole_used"], job["move_2pole_used"]) == (1, 1)
    assert (job["listed_move_va"], job["moved_va"]) == (5300, 5300)
    assert job["list_state"] == "CHECK: the list and the counts differ"

    kept, _ = listed({}, move_1pole=1)
    assert (kept["move_1pole_used"], kept["list_state"]) == (1, "OK")


def test_circuits_moved_beyond_the_list_take_the_usual_load() -> None:
    """Two spaces must be free, one circuit is listed; a given load holds for the listed ones."""
    job, _ = listed(MOVED | {"load_va": 800}, **FULL)
    assert (job["moved_1pole_total"], job["moved_va"]) == (2, 2300)

    given, _ = listed(MOVED | {"load_va": 800}, move_kva=2, **FULL)
    assert given["moved_va"] == 3500


@pytest.mark.parametrize("two_pole", [0, 1, 2, 3])
@pytest.mark.parametrize("one_pole", range(1, 14))
def test_equal_circuits_are_suggested_to_stand_evenly_on_the_legs(one_pole: int, two_pole: int) -> None:
    """Of n equal one-pole circuits each leg takes half, the odd one aside; no space twice (arithmetic)."""
    entries = [ADDED] * one_pole + [ADDED | {"poles": 2}] * two_pole
    _, circuits = listed(*entries)
    spaces = []
    on_a = 0
    for position, poles in circuits[["suggested_position", "poles"]].values.astype(int).tolist():
        spaces += [position] if poles == 1 else [position, position + 2]
        on_a += poles == 1 and (position - 1) // 2 % 2 == 0

    assert abs(on_a - (one_pole - on_a)) <= 1
    assert len(set(spaces)) == one_pole + 2 * two_pole
    assert min(spaces) == 1


def test_order_of_placing() -> None:
    """Two-pole circuits by row; shared neutrals first, by their group; then the largest load first."""
    group, other = {"multiwire_group": "a"}, {"multiwire_group": "b"}
    _, circuits = listed(
        ADDED | {"load_va": 100},
        ADDED | group | {"load_va": 50},
        ADDED | {"load_va": 900},
        ADDED | other,
        ADDED | {"poles": 2},
        ADDED | group,
        ADDED | {"load_va": 100},
        ADDED | other,
        ADDED | {"poles": 2},
        {},
        ADDED | {"action": "remove"},
    )

    assert circuits["to_place"].tolist() == ["yes"] * 9 + ["no"] * 2
    assert circuits["group_first"].tolist() == [0, 2, 0, 4, 0, 2, 0, 4, 0, 0, 0]
    assert circuits["shared_before"].dropna().to_dict() == {1: 0, 5: 1, 3: 2, 7: 3}
    assert circuits["single_before"].dropna().to_dict() == {2: 4, 0: 5, 6: 6}
    assert circuits["place_order"].tolist()[:9] == [6, 1, 5, 3, 1, 2, 7, 4, 2]
    assert circuits["two_pole_rows"].tolist()[:9] == [2] * 9
    assert circuits["suggested_position"].tolist()[:9] == [11, 5, 9, 8, 1, 7, 12, 6, 2]
    assert circuits.loc[9:, ["place_order", "two_pole_rows", "suggested_position"]].isna().all(axis=None)


@pytest.mark.parametrize("pairs", [1, 2, 3, 4])
def test_pairs_with_a_shared_neutral_are_suggested_for_opposite_legs_side_by_side(pairs: int) -> None:
    """One handle joins spaces two positions apart, and these are on opposite legs."""
    entries = [ADDED | {"multiwire_group": str(number // 2)} for number in range(2 * pairs)]
    _, circuits = listed(ADDED | {"poles": 2}, *entries, ADDED)
    places = circuits["suggested_position"].tolist()[1 : 2 * pairs + 1]

    assert [abs(one - other) for one, other in zip(places[::2], places[1::2], strict=True)] == [2] * pairs
