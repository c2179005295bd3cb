"""What the circuit list says of a job."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.by_job import ByJob
from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.texts import is_blank


@rule("listed_moves")
def listed_moves(by_job: ByJob, action: Choice) -> np.ndarray:
    """Circuits of the list that move.

    Section: own rule.
    Inputs: circuits by job, action. Result: [circuits].
    """
    return by_job.count(action.is_("move"))


@rule("listed_1pole", wanted=1.0)
@rule("listed_2pole", wanted=2.0)
def listed_with_poles(by_job: ByJob, action: Choice, poles: np.ndarray, wanted: float) -> np.ndarray:
    """Circuits of the list that move and have so many poles.

    Section: own rule.
    Inputs: circuits by job, action, poles, wanted [poles]. Result: [circuits].
    """
    return by_job.count(action.is_("move") & (poles == wanted))


@rule("listed_freed")
def listed_freed(listed_1pole: np.ndarray, listed_2pole: np.ndarray) -> np.ndarray:
    """Listed circuits that move free their poles.

    Section: own rule.
    Inputs: counts [circuits]. Result: [spaces].
    """
    return listed_1pole + 2 * listed_2pole


@rule("listed_removed")
def listed_removed(by_job: ByJob, panel: Choice, action: Choice, poles: np.ndarray) -> np.ndarray:
    """Circuits that are removed from the main panel free their poles.

    Section: 408.54.
    Inputs: circuits by job, panel, action, poles [poles]. Result: [spaces].
    """
    removed = panel.is_("main") & action.is_("remove")
    return by_job.total(np.where(removed, poles, 0.0))


@rule("spaces_freed")
def spaces_freed(spaces_dropped: np.ndarray, listed_removed: np.ndarray) -> np.ndarray:
    """Dropped equipment and its circuit in the list are the same spaces, so the larger count holds.

    Section: own rule.
    Inputs: spaces [spaces]. Result: [spaces].
    Limits: removed circuits that are not those of the dropped equipment do not add to it.
    """
    return np.maximum(spaces_dropped, listed_removed)


@rule("listed_move_va")
def listed_move_va(by_job: ByJob, action: Choice, circuit_va: np.ndarray) -> np.ndarray:
    """Load of the listed circuits that move.

    Section: own rule.
    Inputs: circuits by job, action, circuit_va [VA]. Result: [VA].
    """
    return by_job.total(np.where(action.is_("move"), circuit_va, 0.0))


@rule("listed_reaches_1pole", wanted=1.0)
@rule("listed_reaches_2pole", wanted=2.0)
def listed_reaches(
    *, by_job: ByJob, action: Choice, poles: np.ndarray, cable_reaches: np.ndarray, wanted: float
) -> np.ndarray:
    """Circuits of the list that move, have so many poles, and whose cable reaches.

    Section: own rule.
    Inputs: circuits by job, action, poles, wanted [poles], cable_reaches [yes or no]. Result: [circuits].
    """
    return by_job.count(action.is_("move") & (poles == wanted) & cable_reaches)


@rule("listed_shared")
def listed_shared(by_job: ByJob, action: Choice, poles: np.ndarray, group_key: Choice) -> np.ndarray:
    """One-pole circuits of the list that move and share a neutral.

    Section: own rule.
    Inputs: circuits by job, action, poles [poles], group_key [text]. Result: [circuits].
    """
    return by_job.count(action.is_("move") & (poles == 1) & ~is_blank(group_key))


@rule("listed_aluminum")
def listed_aluminum(by_job: ByJob, action: Choice, condition: Choice) -> np.ndarray:
    """Circuits of the list that move and are aluminum.

    Section: own rule.
    Inputs: circuits by job, action, condition. Result: [circuits].
    """
    return by_job.count(action.is_("move") & condition.is_("aluminum"))


@rule("listed_added")
def listed_added(by_job: ByJob, panel: Choice, circuit_stays: np.ndarray, position: np.ndarray) -> np.ndarray:
    """Listed circuits that have a place in the added panel.

    Section: own rule.
    Inputs: circuits by job, panel, circuit_stays [yes or no], position [space]. Result: [circuits].
    """
    return by_job.count(panel.is_("added") & circuit_stays & ~np.isnan(position))


@rule("listed_leg_a_va", load="added_leg_a_va")
@rule("listed_leg_b_va", load="added_leg_b_va")
def listed_leg_va(by_job: ByJob, load: np.ndarray) -> np.ndarray:
    """Load of the listed circuits on one leg of the added panel.

    Section: own rule.
    Inputs: circuits by job, load of each on the leg [VA]. Result: [VA].
    """
    return by_job.total(load)


@rule("listed_stops")
def listed_stops(by_job: ByJob, circuit_stop: np.ndarray) -> np.ndarray:
    """Listed circuits with a STOP.

    Section: own rule.
    Inputs: circuits by job, circuit_stop [yes or no]. Result: [circuits].
    """
    return by_job.count(circuit_stop)


@rule("listed_from_checks", state="from_state")
@rule("listed_wire_checks", state="wire_state")
@rule("listed_suggested_checks", state="suggested_state")
def listed_checks(by_job: ByJob, state: np.ndarray) -> np.ndarray:
    """Listed circuits with a CHECK of one sort.

    Section: own rule.
    Inputs: circuits by job, state [place in its words]. Result: [circuits].
    Limits: these states have no words but OK and those of a CHECK.
    """
    return by_job.count(np.not_equal(state, 0))


@rule("suggested_moves")
def suggested_moves(by_job: ByJob, move_suggested: np.ndarray) -> np.ndarray:
    """Listed circuits that are suggested to move.

    Section: own rule.
    Inputs: circuits by job, move_suggested [yes or no]. Result: [circuits].
    """
    return by_job.count(move_suggested)


@rule("move_1pole_used", listed="listed_1pole", counted="move_1pole")
@rule("move_2pole_used", listed="listed_2pole", counted="move_2pole")
def moves_used(listed_moves: np.ndarray, listed: np.ndarray, counted: np.ndarray) -> np.ndarray:
    """The list wins over the counts once it has a circuit that moves.

    Section: own rule.
    Inputs: listed_moves, listed, counted [circuits]. Result: [circuits].
    """
    return np.where(listed_moves > 0, listed, counted)


@rule(
    "list_state",
    words=(
        "OK",
        "STOP: the circuit list has a STOP",
        "CHECK: circuits are suggested to move; set their action so that their load counts",
        "CHECK: the list and the counts differ",
    ),
)
def list_state(
    *,
    listed_stops: np.ndarray,
    suggested_moves: np.ndarray,
    list_differs: np.ndarray,
) -> np.ndarray:
    """The list has no STOP, leaves no suggestion open and does not contradict the counts.

    Section: own rule.
    Inputs: circuits [circuits], list_differs [yes or no]. Result: place in the words.
    """
    return first_true((listed_stops > 0, suggested_moves > 0, list_differs.astype(bool)))


@rule("list_differs", words=("no", "yes"))
def list_differs(
    *,
    listed_moves: np.ndarray,
    listed_1pole: np.ndarray,
    listed_2pole: np.ndarray,
    move_1pole: np.ndarray,
    move_2pole: np.ndarray,
) -> np.ndarray:
    """The list and the counts of the job name different circuits to move.

    Section: own rule.
    Inputs: listed and counted circuits [circuits]. Result: place in the words.
    Limits: counts of 0 contradict nothing.
    """
    differ = (listed_1pole != move_1pole) | (listed_2pole != move_2pole)
    return ((listed_moves > 0) & (move_1pole + move_2pole > 0) & differ).astype(np.int8)
