"""Circuits that share a neutral."""

from __future__ import annotations

import numpy as np
import pandas as pd

from workbook_builder.reference.by_job import count_in_group, rank_among, same_text
from workbook_builder.reference.choice import BLANK, Choice, first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.texts import first_text, is_blank

TWO_PANELS = "STOP: circuits that share a neutral stand in two panels"
MANY = "STOP: more than two circuits share a neutral"
ONE_LEG = "STOP: circuits that share a neutral stand on one leg"
ALONE = "CHECK: the other circuit is not listed"
ONE_HANDLE = "CHECK: one handle or a tie for the circuits that share a neutral"


@rule("group_key")
def group_key(circuit_stays: np.ndarray, circuit_job_row: np.ndarray, multiwire_group: np.ndarray) -> Choice:
    """Circuits with the same mark in the same job share a neutral.

    Section: own rule.
    Inputs: circuit_stays [yes or no], circuit_job_row [row], multiwire_group [text].
    Result: text, blank without a mark.
    """
    places, marks = pd.factorize(multiwire_group)
    marked = circuit_stays & (multiwire_group != "")
    return first_text((marked, "{}|{}", circuit_job_row, Choice(tuple(marks), places)))


def _known(key: Choice) -> tuple[np.ndarray, np.ndarray]:
    """Where there is a group, and a number for each group."""
    return ~is_blank(key), same_text(key)[0]


@rule("group_earlier")
def group_earlier(group_key: Choice) -> np.ndarray:
    """Circuits of the group in earlier rows.

    Section: 210.4.
    Inputs: group_key [text]. Result: [circuits]; blank without a group.
    """
    known, group = _known(group_key)
    return rank_among(known, group) - 1.0


@rule("group_members")
def group_members(group_key: Choice) -> np.ndarray:
    """Circuits of the group.

    Section: 210.4.
    Inputs: group_key [text]. Result: [circuits]; 0 without a group.
    """
    known, group = _known(group_key)
    return np.where(known, count_in_group(known, group), 0)


@rule("group_here")
def group_here(group_key: Choice, panel: Choice) -> np.ndarray:
    """Circuits of the group in the panel of this one.

    Section: 210.4.
    Inputs: group_key [text], panel. Result: [circuits]; 0 without a group.
    """
    known, group = _known(group_key)
    added = panel.is_("added")
    there = (count_in_group(known & in_panel, group) for in_panel in (~added, added))
    main_count, added_count = there
    return np.where(known, np.where(added, added_count, main_count), 0)


@rule("group_placed")
def group_placed(group_key: Choice, circuit_leg: Choice) -> np.ndarray:
    """Circuits of the group that have a position.

    Section: 210.4.
    Inputs: group_key [text], circuit_leg. Result: [circuits]; 0 without a group.
    """
    known, group = _known(group_key)
    return np.where(known, count_in_group(known & (circuit_leg.codes != BLANK), group), 0)


@rule("group_other_leg")
def group_other_leg(group_key: Choice, circuit_leg: Choice) -> np.ndarray:
    """Circuits of the group on the leg that this one is not on.

    Section: 210.4.
    Inputs: group_key [text], circuit_leg. Result: [circuits]; 0 without a group or a leg.
    """
    known, group = _known(group_key)
    on_a, on_b = (count_in_group(known & circuit_leg.is_(leg), group) for leg in circuit_leg.words)
    other = np.where(circuit_leg.is_("A"), on_b, on_a)
    return np.where(known & (circuit_leg.codes != BLANK), other, 0)


@rule("neutral_leg_state", words=("OK", MANY, ONE_LEG, ALONE))
def neutral_leg_state(
    *,
    group_members: np.ndarray,
    group_placed: np.ndarray,
    group_other_leg: np.ndarray,
    poles: np.ndarray,
) -> np.ndarray:
    """Just two one-pole circuits share a neutral, one on each leg.

    Section: 210.4(B), 408.36.
    Inputs: counts [circuits], poles [poles]. Result: place in the words.
    Limits: legs are judged once two circuits have a position.
    """
    faults = (
        group_members > 2,
        (group_placed == 2) & (group_other_leg == 0),
        group_members == 1,
    )
    return np.where(poles == 2, 0, first_true(faults))


@rule("shared_neutral_state", words=("OK", TWO_PANELS, MANY, ONE_LEG, ALONE))
def shared_neutral_state(
    *, group_key: Choice, group_here: np.ndarray, group_members: np.ndarray, neutral_leg_state: Choice
) -> np.ndarray:
    """Two circuits share a neutral; they start in one panel, on both legs.

    Section: 210.4(A), (B), 300.13(B).
    Inputs: group_key [text], counts [circuits], neutral_leg_state. Result: place in the words.
    """
    legs = np.where(neutral_leg_state.is_("OK"), 0, neutral_leg_state.codes + 1)
    return np.where(is_blank(group_key), 0, np.where(group_here < group_members, 1, legs))


@rule("multiwire_state", words=("OK", TWO_PANELS, MANY, ONE_LEG, ALONE, ONE_HANDLE))
def multiwire_state(group_key: Choice, shared_neutral_state: np.ndarray, action: Choice) -> np.ndarray:
    """Where a shared neutral is touched, its circuits open together.

    Section: 210.4(A), (B), 300.13(B).
    Inputs: group_key [text], shared_neutral_state [place in its words], action.
    Result: place in the words.
    """
    touched = ~is_blank(group_key) & ~action.is_("keep")
    return np.where(shared_neutral_state != 0, shared_neutral_state, np.where(touched, 5, 0))
