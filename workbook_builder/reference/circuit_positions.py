"""What a circuit loads, on which leg, and the spaces it stands in."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.by_job import same_text
from workbook_builder.reference.choice import BLANK, Choice, first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.texts import first_text, is_blank

LEGS = ("A", "B")


@rule("circuit_stays", words=("no", "yes"))
def circuit_stays(action: Choice) -> np.ndarray:
    """A circuit is there after the work unless it is removed.

    Section: own rule.
    Inputs: action. Result: place in the words.
    """
    return (~action.is_("remove")).astype(np.int8)


@rule("circuit_va")
def circuit_va(
    load_va: np.ndarray, poles: np.ndarray, move_1pole_load: np.ndarray, move_2pole_load: np.ndarray
) -> np.ndarray:
    """The load given, else the usual one of a circuit with so many poles.

    Section: own rule.
    Inputs: load_va, usual loads [VA], poles [poles]. Result: [VA].
    Limits: a load of 0 is a load given.
    """
    usual = np.where(poles == 2, move_2pole_load, move_1pole_load)
    return np.where(np.isnan(load_va), usual, load_va)


@rule("circuit_neutral_va")
def circuit_neutral_va(
    *, circuit_va: np.ndarray, has_neutral: np.ndarray, has_neutral_blank: np.ndarray, poles: np.ndarray
) -> np.ndarray:
    """The neutral carries circuits that have one; where not said, the one-pole ones.

    Section: 220.61; 120.61 (2026).
    Inputs: circuit_va [VA], has_neutral, has_neutral_blank [yes or no], poles [poles]. Result: [VA].
    """
    return np.where(has_neutral | (has_neutral_blank & (poles == 1)), circuit_va, 0.0)


@rule("circuit_leg", words=LEGS)
def circuit_leg(position: np.ndarray) -> np.ndarray:
    """The legs take turns from one row of the panel to the next; a row holds two spaces.

    Section: 408.36.
    Inputs: position [space]. Result: place in the words, blank without a position.

    >>> circuit_leg(np.array([1.0, 2, 3, 4, 5, np.nan])).tolist()
    [0, 0, 1, 1, 0, -1]
    """
    given = ~np.isnan(position)
    row = np.floor((np.where(given, position, 1.0) + 1.0) / 2.0)
    return np.where(given, np.where(row % 2 == 1, 0, 1), BLANK).astype(np.int8)


@rule("added_leg_a_va", leg=0.0)
@rule("added_leg_b_va", leg=1.0)
def added_leg_va(
    *,
    panel: Choice,
    circuit_stays: np.ndarray,
    position: np.ndarray,
    poles: np.ndarray,
    circuit_va: np.ndarray,
    circuit_leg: Choice,
    leg: float,
) -> np.ndarray:
    """A one-pole circuit loads its leg, a two-pole circuit half and half.

    Section: 408.36.
    Inputs: panel, circuit_stays [yes or no], position [space], poles [poles], circuit_va [VA],
    circuit_leg, leg [place in the legs]. Result: [VA]; 0 where it does not stand in the added panel.
    """
    there = panel.is_("added") & circuit_stays & ~np.isnan(position)
    share = np.where(poles == 2, 0.5, np.where(circuit_leg.codes == leg, 1.0, 0.0))
    return np.where(there, share * circuit_va, 0.0)


@rule("space_key")
def space_key(
    *, circuit_stays: np.ndarray, circuit_job_row: np.ndarray, panel: Choice, position: np.ndarray
) -> Choice:
    """The space of the first pole: job, panel and position.

    Section: own rule.
    Inputs: circuit_stays [yes or no], circuit_job_row [row], panel, position [space].
    Result: text, blank where it stands nowhere.
    """
    there = circuit_stays & ~np.isnan(position)
    return first_text((there, "{}|{}|{}", circuit_job_row, panel, position))


@rule("second_space_key")
def second_space_key(
    *, space_key: Choice, poles: np.ndarray, circuit_job_row: np.ndarray, panel: Choice, position: np.ndarray
) -> Choice:
    """The space of the second pole, two positions on.

    Section: own rule.
    Inputs: space_key, poles [poles], circuit_job_row [row], panel, position [space].
    Result: text, blank for one pole.
    """
    there = ~is_blank(space_key) & (poles == 2)
    return first_text((there, "{}|{}|{}", circuit_job_row, panel, position + 2.0))


@rule("same_space")
def same_space(space_key: Choice, second_space_key: Choice) -> np.ndarray:
    """How often another circuit stands in a space of this one.

    Section: own rule.
    Inputs: space_key, second_space_key [text]. Result: [circuits].

    >>> first = Choice.of(("1|main|1", "1|main|3"), ["1|main|1", "1|main|3", ""])
    >>> second = Choice.of(("1|main|3",), ["1|main|3", "", ""])
    >>> same_space(first, second).tolist()
    [1, 1, 0]
    """
    keys = same_text(space_key, second_space_key)
    taken = np.concatenate(keys)
    times = np.bincount(taken[taken >= 0], minlength=1)
    return sum(np.where(key >= 0, times[key] - 1, 0) for key in keys)


@rule("panel_spaces")
def panel_spaces(panel: Choice, main_spaces: np.ndarray, added_spaces_chosen: np.ndarray) -> np.ndarray:
    """How many spaces the panel of the circuit has.

    Section: own rule.
    Inputs: panel, main_spaces, added_spaces_chosen of its job [spaces]. Result: [spaces].
    """
    return np.where(panel.is_("main"), main_spaces, added_spaces_chosen)


@rule(
    "position_state",
    words=(
        "OK",
        "STOP: two circuits stand in one space",
        "STOP: the position is beyond the panel",
    ),
)
def position_state(
    *,
    position: np.ndarray,
    poles: np.ndarray,
    circuit_stays: np.ndarray,
    same_space: np.ndarray,
    panel_spaces: np.ndarray,
) -> np.ndarray:
    """A circuit has its spaces for itself and within the panel.

    Section: 408.54.
    Inputs: position [space], poles [poles], circuit_stays [yes or no], same_space [circuits],
    panel_spaces [spaces]. Result: place in the words.
    """
    last = position + np.where(poles == 2, 2.0, 0.0)
    return np.where(circuit_stays, first_true((same_space > 0, panel_spaces < last)), 0)


@rule("from_state", words=("OK", "CHECK: the space it came from is beyond the main panel"))
def from_state(from_position: np.ndarray, poles: np.ndarray, main_spaces: np.ndarray) -> np.ndarray:
    """The space a circuit stood in before the work is one of the main panel.

    Section: own rule.
    Inputs: from_position [space], poles [poles], main_spaces of its job [spaces].
    Result: place in the words.
    """
    return (from_position + np.where(poles == 2, 2.0, 0.0) > main_spaces).astype(np.int8)
