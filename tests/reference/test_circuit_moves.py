"""Which circuits move, what stands against it, and where they stand in the added panel.

The order of moving is common practice without a source; a three-wire range or
dryer circuit keeps its bond only where the branch circuit starts at the
service (250.140, from memory). Toy numbers, counted by hand.
"""

from __future__ import annotations

import pytest

from .circuits import ADDED, MOVED, listed
from .jobs import results_of

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


EXTENDED = "CHECK: extended so far: arc-fault protection"
NEW = "CHECK: new circuit: arc-fault protection in living space"


@pytest.mark.parametrize(
    ("entries", "extension", "state"),
    [
        ({}, 7, EXTENDED),
        ({}, 6, "OK"),
        ({}, None, "OK"),
        ({"protection": "GFCI"}, 7, EXTENDED),
        ({"protection": "none"}, 7, EXTENDED),
        ({"protection": "AFCI"}, 7, "OK"),
        ({"protection": "both"}, 7, "OK"),
        ({"poles": 2}, 7, "OK"),
        ({"breaker_a": 25}, 7, "OK"),
        ({"action": "new"}, 7, NEW),
        ({"action": "new"}, None, NEW),
        ({"action": "new", "panel": "main"}, None, NEW),
        ({"action": "new", "protection": "GFCI"}, None, NEW),
        ({"action": "new", "protection": "AFCI"}, None, "OK"),
        ({"action": "new", "poles": 2}, None, "OK"),
        ({"action": "new", "breaker_a": 25}, None, "OK"),
        ({"action": "keep"}, 7, "OK"),
        ({"action": "remove"}, 7, "OK"),
    ],
)
def test_an_extended_or_new_circuit_takes_arc_fault_protection(
    entries: dict, extension: float | None, state: str
) -> None:
    """A one-pole circuit to 20 A that is new, or is extended over 6 ft: 210.12, from memory."""
    _, circuits = listed(MOVED | entries, moved_ext_ft=extension)

    assert circuits["arc_fault_state"].tolist() == [state]


@pytest.mark.parametrize(
    ("wire", "condition", "breaker", "over"),
    [
        ("14", None, 15, False),
        ("14", None, 20, True),
        ("12", "sound", 20, False),
        ("12", "cloth", 25, True),
        ("10", None, 30, False),
        ("10", "three wire", 35, True),
        ("12", "aluminum", 15, False),
        ("12", "aluminum", 20, True),
        ("10", "aluminum", 25, False),
        ("10", "aluminum", 30, True),
        ("14", "aluminum", 60, False),
        ("8", None, 60, False),
        (None, None, 200, False),
    ],
)
def test_breaker_of_a_small_conductor(
    wire: str | None, condition: str | None, breaker: int, over: bool
) -> None:
    """240.4(D): 15, 20 and 30 A for 14, 12 and 10 AWG copper, 15 and 25 A for 12 and 10 AWG aluminum."""
    _, circuits = listed({"wire": wire, "condition": condition, "breaker_a": breaker})
    check = "CHECK: the breaker is over the limit of small conductors; motor circuits follow their own rules"

    assert circuits["wire_state"].tolist() == [check if over else "OK"]


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

    assert listed({}, {})[1]["move_suggested"].tolist() == ["no", "no"]


def test_removed_circuits_free_spaces_of_the_main_panel() -> None:
    """A full panel and two spaces for the feeder breaker: what is removed makes room, what is moved beside it."""
    assert results_of(**FULL)["circuits_to_move"] == 2

    job, circuits = listed({}, {"action": "remove"}, **FULL)
    assert (job["listed_removed"], job["spaces_freed"], job["listed_freed"]) == (1, 1, 0)
    assert (job["circuits_to_move"], job["moved_1pole_total"], job["suggested_moves"]) == (1, 1, 1)
    assert circuits["move_suggested"].tolist() == ["yes", "no"]

    job, circuits = listed({}, {"action": "remove", "poles": 2}, **FULL)
    assert (job["listed_removed"], job["circuits_to_move"], job["suggested_moves"]) == (2, 0, 0)
    assert (job["full_spaces_short"], job["existing_spaces_spare_spaces"]) == (0, 2)
    assert circuits["move_suggested"].tolist() == ["no", "no"]

    from_the_added_panel, _ = listed({}, ADDED | {"action": "remove", "poles": 2}, **FULL)
    assert (from_the_added_panel["listed_removed"], from_the_added_panel["circuits_to_move"]) == (0, 2)


@pytest.mark.parametrize(("poles", "freed"), [((), 2), ((2,), 2), ((2, 1), 3), ((2, 2), 4)])
def test_dropped_equipment_and_its_circuit_free_the_same_spaces(poles: tuple[int, ...], freed: int) -> None:
    """The air conditioning that goes has a two-pole circuit, in the list or not."""
    removed = [{"action": "remove", "poles": number} for number in poles]
    job, _ = listed({}, *removed, ac_kva=3, drop_ac="yes", add_2pole=3, planned_in="main panel", **FULL)

    assert (job["spaces_dropped"], job["listed_removed"], job["spaces_freed"]) == (2, sum(poles), freed)
    assert job["circuits_to_move"] == 8 - freed
    assert job["existing_spaces_spare_spaces"] == freed - 6
    assert job["full_spaces_short"] == 6 - freed
    assert job["larger_service_spare_spaces"] == 42 - 30 + freed - 6


def test_what_is_removed_cannot_move() -> None:
    """Of six spaces used two are freed, so four are left to move."""
    stop = "STOP: more circuits would have to move than the main panel holds"
    for move, state in ((4, "OK"), (5, stop)):
        job, _ = listed(
            {"action": "remove"}, {"action": "remove"}, main_spaces=8, main_spaces_used=6, move_1pole=move
        )
        assert job["spaces_state"] == state


def test_suggested_circuits_are_to_be_given_their_action() -> None:
    """Before what differs from the counts, after a STOP."""
    suggested = "CHECK: circuits are suggested to move; set their action so that their load counts"
    differ = "CHECK: the list and the counts differ"
    stop = "STOP: the circuit list has a STOP"

    job, _ = listed({}, {}, {}, **FULL)
    assert (job["suggested_moves"], job["list_state"]) == (2, suggested)

    job, _ = listed({}, {}, MOVED, move_1pole=2, **FULL)
    assert (job["suggested_moves"], job["list_state"]) == (1, suggested)

    job, _ = listed({}, MOVED, MOVED, MOVED, move_1pole=2, **FULL)
    assert (job["suggested_moves"], job["list_state"]) == (0, differ)

    job, _ = listed({}, {"position": 31}, **FULL)
    assert (job["suggested_moves"], job["list_state"]) == (2, stop)


def test_list_wins_over_the_counts_once_a_circuit_moves() -> None:
    job, _ = listed(MOVED | {"load_va": 800}, MOVED | {"poles": 2}, {"action": "remove"}, {}, move_1pole=1)

    assert (job["listed_moves"], job["listed_1pole"], job["listed_2pole"]) == (2, 1, 1)
    assert (job["listed_freed"], job["listed_removed"]) == (3, 1)
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


def test_only_pairs_are_placed_side_by_side() -> None:
    """Three circuits of a mark, one alone, one in another panel or beside a removed one are single ones."""
    three, alone, two_pole, pair = ({"multiwire_group": mark} for mark in "abcd")
    _, circuits = listed(
        ADDED | three,
        ADDED | three,
        ADDED | three,
        ADDED | alone,
        ADDED | pair,
        ADDED | two_pole | {"poles": 2},
        ADDED | pair,
        {"multiwire_group": "e"},
        ADDED | {"multiwire_group": "e"},
        ADDED | {"multiwire_group": "f"},
        ADDED | {"multiwire_group": "f", "action": "remove"},
    )

    assert circuits["group_first"].tolist() == [0, 0, 0, 0, 5, 0, 5, 0, 0, 0, 0]
    assert circuits["suggested_position"].tolist()[4:7:2] == [5, 7]


OUTSIDE = "CHECK: the suggested space is beyond the added panel"
TAKEN = "CHECK: a listed circuit stands in the suggested space"


def test_suggested_spaces_that_another_circuit_has() -> None:
    """The suggestions lay out all circuits, those with a position, too; these are not judged.

    Two two-pole circuits in 1 and 3, 2 and 4; the one-pole ones from 5 on, in the order of rows.
    """
    _, circuits = listed(
        ADDED | {"poles": 2},
        ADDED | {"poles": 2, "position": 9},
        ADDED,
        ADDED | {"position": 3},
        ADDED,
        {"position": 5},
        {"position": 8},
    )

    assert circuits["suggested_position"].tolist()[:5] == [1, 2, 5, 7, 8]
    assert circuits["suggested_key"].tolist() == ["1|added|1", "", "1|added|5", "", "1|added|8", "", ""]
    assert circuits["suggested_second_key"].tolist() == ["1|added|3", *[""] * 6]
    assert circuits["suggested_taken"].tolist() == [1, 0, 0, 0, 0, 0, 0]
    assert circuits["suggested_state"].tolist() == [TAKEN, *["OK"] * 6]


def test_both_spaces_suggested_are_counted() -> None:
    _, circuits = listed(
        ADDED | {"poles": 2},
        ADDED | {"position": 1},
        ADDED | {"poles": 2, "position": 3},
        ADDED | {"position": 3},
    )

    assert circuits["suggested_taken"].tolist() == [3, 0, 0, 0]


def test_a_circuit_that_is_suggested_to_move_is_suggested_a_space_of_the_added_panel() -> None:
    """Its own position is one of the main panel and is not in the way."""
    _, circuits = listed({"position": 1}, {"position": 2}, ADDED | {"position": 3}, **FULL)

    assert circuits["suggested_key"].tolist() == ["1|added|1", "1|added|3", ""]
    assert circuits["suggested_state"].tolist() == ["OK", TAKEN, "OK"]


@pytest.mark.parametrize(
    ("spaces", "states"),
    [(4, ["OK", "OK"]), (3, ["OK", OUTSIDE]), (2, [OUTSIDE, OUTSIDE])],
)
def test_suggested_spaces_are_within_the_added_panel(spaces: int, states: list[str]) -> None:
    """Two two-pole circuits in spaces 1 and 3, 2 and 4."""
    _, circuits = listed(*[ADDED | {"poles": 2}] * 2, added_spaces_wanted=spaces)

    assert circuits["suggested_state"].tolist() == states


def test_beyond_the_panel_comes_before_taken() -> None:
    _, circuits = listed(ADDED | {"poles": 2}, ADDED | {"position": 1}, added_spaces_wanted=2)

    assert circuits["suggested_taken"].tolist() == [1, 0]
    assert circuits["suggested_state"].tolist() == [OUTSIDE, "OK"]
