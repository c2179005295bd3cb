"""Quantities of work of an added panel."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule

TERMINATIONS = 8.0


def _terminations(here: np.ndarray, is_building: np.ndarray) -> np.ndarray:
    """Four conductors at both ends; at another building at its disconnect and its panel."""
    return np.where(here, TERMINATIONS * (1 + is_building), 0.0)


@rule("work_terminate_small")
def work_terminate_small(
    feeder_mils: np.ndarray, termination_large: np.ndarray, is_building: np.ndarray
) -> np.ndarray:
    """Terminations of smaller conductors.

    Section: common practice.
    Inputs: feeder_mils [cmil], termination_large [size], is_building [0 or 1]. Result: [each].
    """
    return _terminations(feeder_mils < lookup.mils_of_size(termination_large), is_building)


@rule("work_terminate_large")
def work_terminate_large(
    feeder_mils: np.ndarray, termination_large: np.ndarray, is_building: np.ndarray
) -> np.ndarray:
    """Terminations of larger conductors.

    Section: common practice.
    Inputs: feeder_mils [cmil], termination_large [size], is_building [0 or 1]. Result: [each].
    """
    return _terminations(feeder_mils >= lookup.mils_of_size(termination_large), is_building)


@rule("work_trench_hand")
def work_trench_hand(trench_ft: np.ndarray, trench_by: Choice) -> np.ndarray:
    """Trench dug by hand.

    Section: common practice.
    Inputs: trench_ft [ft], trench_by. Result: [ft].
    """
    return np.where(trench_by.is_("hand"), trench_ft, 0.0)


@rule("work_trench_machine")
def work_trench_machine(trench_ft: np.ndarray, trench_by: Choice) -> np.ndarray:
    """Trench dug by machine.

    Section: common practice.
    Inputs: trench_ft [ft], trench_by. Result: [ft].
    """
    return np.where(trench_by.is_("machine"), trench_ft, 0.0)


@rule("work_clear_pair")
def work_clear_pair(circuits_to_move: np.ndarray) -> np.ndarray:
    """Two spaces cleared for the feeder breaker where none are free.

    Section: common practice.
    Inputs: circuits_to_move [circuits]. Result: [pairs].
    """
    return np.where(circuits_to_move > 0, 1.0, 0.0)


@rule("work_move_1pole")
def work_move_1pole(
    moved_1pole_total: np.ndarray, listed_shared: np.ndarray, listed_reaches_1pole: np.ndarray
) -> np.ndarray:
    """One-pole circuits moved by splices, those that share a neutral aside.

    Section: common practice.
    Inputs: circuits [circuits]. Result: [circuits].
    """
    return np.maximum(moved_1pole_total - listed_shared - listed_reaches_1pole, 0)


@rule("work_move_2pole", large=False)
@rule("work_move_2pole_large", large=True)
def work_move_2pole(
    *, move_2pole_used: np.ndarray, listed_reaches_2pole: np.ndarray, moved_wire: Choice, large: bool
) -> np.ndarray:
    """Two-pole circuits moved by splices, of 8 AWG or of smaller wire.

    Section: common practice.
    Inputs: circuits [circuits], moved_wire, large [yes or no]. Result: [circuits].
    """
    moved = np.maximum(move_2pole_used - listed_reaches_2pole, 0)
    return np.where(moved_wire.is_("8") == large, moved, 0)


@rule("work_reroute")
def work_reroute(listed_reaches_1pole: np.ndarray, listed_reaches_2pole: np.ndarray) -> np.ndarray:
    """Circuits whose whole cable goes to the added panel.

    Section: common practice.
    Inputs: circuits [circuits]. Result: [circuits].
    """
    return listed_reaches_1pole + listed_reaches_2pole


@rule("work_trouble")
def work_trouble(trouble_share: float, moved_arc_fault: np.ndarray) -> np.ndarray:
    """The share of old circuits behind arc-fault breakers that must be searched.

    Section: common practice.
    Inputs: trouble_share [1], moved_arc_fault [circuits]. Result: [circuits].
    """
    return trouble_share * moved_arc_fault


@rule("work_mount_extra")
def work_mount_extra(
    *,
    added_spaces_chosen: np.ndarray,
    large_panel_spaces: np.ndarray,
    added_bus_chosen_a: np.ndarray,
    large_panel_bus: np.ndarray,
) -> np.ndarray:
    """A panel that takes longer to mount, by its spaces or its bus.

    Section: common practice.
    Inputs: spaces [spaces], buses [A]. Result: [times].
    """
    large = (added_spaces_chosen >= large_panel_spaces) | (added_bus_chosen_a >= large_panel_bus)
    return np.where(large, 1.0, 0.0)


@rule("work_nipples")
def work_nipples(moved_nipples: np.ndarray, is_nipple: np.ndarray) -> np.ndarray:
    """Nipples between the cabinets.

    Section: common practice.
    Inputs: moved_nipples [each], is_nipple [0 or 1]. Result: [each].
    """
    return moved_nipples + is_nipple


@rule("work_holes_wood", masonry=False)
@rule("work_holes_masonry", masonry=True)
def work_holes(*, is_inside: np.ndarray, is_building: np.ndarray, wall: Choice, masonry: bool) -> np.ndarray:
    """Holes through wood frame or through masonry: one inside the building, two to another one.

    Section: common practice.
    Inputs: places [0 or 1], wall, masonry [yes or no]. Result: [each].
    """
    return np.where(wall.is_("masonry") == masonry, is_inside + 2 * is_building, 0)


@rule("work_fittings")
def work_fittings(
    elbows_small: np.ndarray, elbows_large: np.ndarray, bodies_small: np.ndarray, bodies_large: np.ndarray
) -> np.ndarray:
    """Elbows and conduit bodies.

    Section: common practice.
    Inputs: fittings [each]. Result: [each].
    """
    return elbows_small + elbows_large + bodies_small + bodies_large


@rule("work_fish")
def work_fish(
    *, is_raceway: np.ndarray, is_inside: np.ndarray, wall: Choice, fish_drops: float
) -> np.ndarray:
    """Cable fished down the closed walls of the building.

    Section: common practice.
    Inputs: kinds of run [0 or 1], wall, fish_drops [drops]. Result: [drops].
    """
    closed = (is_raceway == 0) & (is_inside == 1) & ~wall.is_("open framing")
    return np.where(closed, fish_drops, 0.0)
