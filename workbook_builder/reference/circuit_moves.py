"""What moving a circuit brings, and which circuits to move."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.by_job import rank_among, sum_before
from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.texts import first_text

THREE_WIRE = "STOP: a three-wire range or dryer circuit stays at the service or is rewired"
ALUMINUM = "CHECK: aluminum needs its own connectors"


@rule("condition_state", words=("OK", THREE_WIRE, ALUMINUM))
def condition_state(condition: Choice) -> np.ndarray:
    """Three-wire circuits need the service, aluminum its own connectors, wherever they are.

    Section: 250.140, 110.14.
    Inputs: condition. Result: place in the words.
    """
    return first_true((condition.is_("three wire"), condition.is_("aluminum")))


@rule(
    "move_state",
    words=(
        "OK",
        THREE_WIRE,
        ALUMINUM,
        "CHECK: old insulation may not stand being moved",
        "CHECK: an alarm or pump circuit is out while it moves",
    ),
)
def move_state(action: Choice, condition: Choice, priority: Choice) -> np.ndarray:
    """What stands against moving a circuit that moves.

    Section: 250.140, 110.14.
    Inputs: action, condition, priority. Result: place in the words.
    """
    against = first_true(
        (
            condition.is_("three wire"),
            condition.is_("aluminum"),
            condition.is_("cloth", "ungrounded"),
            priority.is_("alarm"),
        )
    )
    return np.where(action.is_("move"), against, 0)


@rule("arc_fault_extended", words=("no", "yes"))
def arc_fault_extended(
    action: Choice, moved_ext_ft: np.ndarray, arc_fault_extension: np.ndarray
) -> np.ndarray:
    """A circuit that moves and whose wiring grows by more than the code lets pass.

    Section: 210.12(D) (2017, 2020), 210.12(E) (2023, 2026).
    Inputs: action, lengths [ft]. Result: place in the words.
    Limits: an extension that is not given is none.
    """
    return (action.is_("move") & (moved_ext_ft > arc_fault_extension)).astype(np.int8)


@rule(
    "arc_fault_state",
    words=(
        "OK",
        "CHECK: new circuit: arc-fault protection in living space",
        "CHECK: extended so far: arc-fault protection",
    ),
)
def arc_fault_state(
    *,
    action: Choice,
    poles: np.ndarray,
    breaker_a: np.ndarray,
    arc_fault_breaker: np.ndarray,
    arc_fault_extended: np.ndarray,
    protection: Choice,
) -> np.ndarray:
    """A one-pole circuit that is extended, or is new, takes arc-fault protection.

    Section: 210.12(D) (2017, 2020), 210.12(E) (2023, 2026).
    Inputs: action, poles [poles], breaker_a, arc_fault_breaker [A], arc_fault_extended [yes or no],
    protection. Result: place in the words.
    Limits: what a new circuit serves is not asked.
    """
    beside = (poles == 2) | (breaker_a > arc_fault_breaker) | protection.is_("AFCI", "both")
    return np.where(beside, 0, first_true((action.is_("new"), arc_fault_extended.astype(bool))))


@rule("wire_row")
def wire_row(wire: Choice) -> np.ndarray:
    """Where the wire stands among the small conductors.

    Section: 240.4(D).
    Inputs: wire. Result: place, 0 for none.
    """
    sizes = lookup.words("small_conductor", "size")
    places = np.array([sizes.index(word) + 1 if word in sizes else 0 for word in wire.words] + [0])
    return places[wire.codes]


@rule("wire_limit_a")
def wire_limit_a(wire_row: np.ndarray, condition: Choice) -> np.ndarray:
    """The largest breaker of a small conductor, that of aluminum where it is so.

    Section: 240.4(D).
    Inputs: wire_row, condition. Result: [A]; blank without a limit in that metal.
    """
    copper, aluminum = (
        lookup.at_position("small_conductor", metal, wire_row.astype(np.int64)) for metal in lookup.METALS
    )
    return np.where(condition.is_("aluminum"), aluminum, copper)


@rule(
    "wire_state",
    words=(
        "OK",
        "CHECK: the breaker is over the limit of small conductors; motor circuits follow their own rules",
    ),
)
def wire_state(wire_limit_a: np.ndarray, breaker_a: np.ndarray) -> np.ndarray:
    """The breaker of a small conductor is within its limit.

    Section: 240.4(D), (G).
    Inputs: currents [A]. Result: place in the words; OK without a limit.
    """
    return (breaker_a > wire_limit_a).astype(np.int8)


@rule("circuit_stop", words=("no", "yes"))
def circuit_stop(
    position_state: np.ndarray, multiwire_state: np.ndarray, move_state: np.ndarray
) -> np.ndarray:
    """One of the states of the circuit is a STOP.

    Section: own rule.
    Inputs: states [place in their words]. Result: place in the words.
    """
    stop = (position_state > 0) | np.isin(multiwire_state, (1, 2, 3)) | (move_state == 1)
    return stop.astype(np.int8)


@rule("may_move", words=("no", "yes"))
def may_move(
    *, panel: Choice, action: Choice, condition: Choice, multiwire_group_blank: np.ndarray, priority: Choice
) -> np.ndarray:
    """Circuits that stay in the main panel and that nothing holds there may be suggested.

    Section: own rule.
    Inputs: panel, action, condition, multiwire_group_blank [yes or no], priority.
    Result: place in the words.
    """
    stays = panel.is_("main") & action.is_("keep")
    held = condition.is_("three wire") | ~multiwire_group_blank | priority.is_("alarm")
    return (stays & ~held).astype(np.int8)


@rule("move_cost")
def move_cost(
    *,
    cable_reaches: np.ndarray,
    condition: Choice,
    circuit_neutral_va: np.ndarray,
    poles: np.ndarray,
    move_cost_splice: np.ndarray,
    move_cost_old: np.ndarray,
    move_cost_aluminum: np.ndarray,
    move_cost_neutral: np.ndarray,
    move_gain_two_pole: np.ndarray,
) -> np.ndarray:
    """Points against moving a circuit, less those for freeing two spaces at once.

    Section: common practice.
    Inputs: cable_reaches [yes or no], condition, circuit_neutral_va [VA], poles [poles], points.
    Result: [points]; may be negative.
    """
    return (
        np.where(cable_reaches, 0.0, move_cost_splice)
        + np.where(condition.is_("cloth", "ungrounded"), move_cost_old, 0.0)
        + np.where(condition.is_("aluminum"), move_cost_aluminum, 0.0)
        + np.where(circuit_neutral_va > 0, move_cost_neutral, 0.0)
        - np.where(poles == 2, move_gain_two_pole, 0.0)
    )


@rule("move_order")
def move_order(may_move: np.ndarray, circuit_job_row: np.ndarray, move_cost: np.ndarray) -> np.ndarray:
    """The least trouble first, on a tie the earlier row.

    Section: own rule.
    Inputs: may_move [yes or no], circuit_job_row [row], move_cost [points].
    Result: [place in the order]; blank where it may not move.
    """
    return rank_among(may_move, circuit_job_row, move_cost)


@rule("freed_before")
def freed_before(
    *, may_move: np.ndarray, circuit_job_row: np.ndarray, move_order: np.ndarray, poles: np.ndarray
) -> np.ndarray:
    """Spaces that the circuits before this one in the order free.

    Section: own rule.
    Inputs: may_move [yes or no], circuit_job_row [row], move_order [place], poles [poles].
    Result: [spaces]; blank where it may not move.
    """
    return sum_before(poles, may_move, circuit_job_row, move_order)


@rule("move_suggested", words=("no", "yes"))
def move_suggested(
    *, freed_before: np.ndarray, listed_freed: np.ndarray, circuits_to_move: np.ndarray
) -> np.ndarray:
    """Circuits are suggested until they and the listed ones free enough spaces.

    Section: common practice.
    Inputs: freed_before, listed_freed, circuits_to_move of its job [spaces]. Result: place in the words.
    """
    return (freed_before + listed_freed < circuits_to_move).astype(np.int8)


@rule("leaves", words=("no", "yes"))
def leaves(action: Choice, move_suggested: np.ndarray) -> np.ndarray:
    """Circuits that leave the main panel, listed so or suggested.

    Section: own rule.
    Inputs: action, move_suggested [yes or no]. Result: place in the words.
    """
    return (action.is_("move") | move_suggested).astype(np.int8)


@rule("leaves_key")
def leaves_key(leaves: np.ndarray, circuit_job_row: np.ndarray) -> Choice:
    """Its job and its place among those that leave, in the order of the list.

    Section: own rule.
    Inputs: leaves [yes or no], circuit_job_row [row]. Result: text, blank where it stays.
    """
    return first_text((leaves, "{}|leaves|{}", circuit_job_row, rank_among(leaves, circuit_job_row)))
