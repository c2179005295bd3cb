"""Checks of spaces and circuits that no other rule makes."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule


@rule(
    "point_two_circuit",
    words=("OK", "CHECK: two-circuit breakers only where the panel label lists them"),
)
def point_two_circuit(in_existing: np.ndarray, two_circuit_breakers: np.ndarray) -> np.ndarray:
    """Two-circuit breakers stand only where the panel is listed for them.

    Section: 110.3(B), 408.54.
    Inputs: in_existing [0 or 1], two_circuit_breakers [each]. Result: place in the words.
    """
    return np.where(np.equal(in_existing, 1) & np.greater(two_circuit_breakers, 0), 1, 0)


@rule(
    "point_shared_neutral",
    words=("OK", "CHECK: circuits that share a neutral need one handle or a tie"),
    circuits="listed_shared",
)
@rule(
    "point_aluminum",
    words=("OK", "CHECK: aluminum circuits need their own connectors"),
    circuits="listed_aluminum",
)
@rule(
    "point_arc_fault",
    words=("OK", "CHECK: circuits extended so far need arc-fault protection, priced"),
    circuits="moved_arc_fault",
)
@rule(
    "point_splices",
    words=(
        "OK",
        "CHECK: splices fill at most 75 percent of the wiring space; label conductors that pass through",
    ),
    circuits="spliced_circuits",
)
def circuits_to_added_panel(in_added: np.ndarray, circuits: np.ndarray) -> np.ndarray:
    """Something to look at where circuits of one sort move to an added panel.

    Section: 210.4(B) (shared neutrals), 110.14 (aluminum), 210.12(D) or (E) (arc-fault
    protection), 312.8 (splices).
    Inputs: in_added [0 or 1], circuits [circuits]. Result: place in the words.
    """
    return np.where(np.not_equal(in_added, 0) & np.greater(circuits, 0), 1, 0)


@rule("point_old_wiring", words=("OK", "CHECK: old insulation may not stand being moved"))
def point_old_wiring(in_added: np.ndarray, house_age: Choice, moved_circuits: np.ndarray) -> np.ndarray:
    """The insulation of an older house may crack where its circuits move.

    Section: common practice.
    Inputs: in_added [0 or 1], house_age, moved_circuits [circuits]. Result: place in the words.
    """
    old = house_age.is_("older") & np.greater(moved_circuits, 0)
    return np.where(np.not_equal(in_added, 0) & old, 1, 0)


@rule(
    "point_extra",
    words=("OK", "CHECK: wiring to new equipment is not priced; enter its run or extra work"),
)
def point_extra(
    *,
    add_1pole: np.ndarray,
    planned_2pole: np.ndarray,
    vehicle_sets: np.ndarray,
    heat_pump_sets: np.ndarray,
    extra_hours: np.ndarray,
    extra_material_usd: np.ndarray,
) -> np.ndarray:
    """The price ends at the breakers of new circuits, unless their run or extra work is entered.

    Section: own rule.
    Inputs: circuits [circuits], planned_2pole [breakers], sets [each], extra_hours [h],
    extra_material_usd [USD]. Result: place in the words.
    """
    new = np.greater(np.add(add_1pole, planned_2pole), np.add(vehicle_sets, heat_pump_sets))
    return np.where(new & np.equal(extra_hours, 0) & np.equal(extra_material_usd, 0), 1, 0)


@rule(
    "point_came_from",
    words=("OK", "CHECK: a circuit came from a space beyond the main panel"),
    circuits="listed_from_checks",
)
@rule(
    "point_wires",
    words=("OK", "CHECK: a breaker is over the limit of its small conductor"),
    circuits="listed_wire_checks",
)
@rule(
    "point_suggested",
    words=("OK", "CHECK: a suggested space is taken or beyond the panel"),
    circuits="listed_suggested_checks",
)
def circuits_of_list(circuits: np.ndarray) -> np.ndarray:
    """The list has a circuit with a CHECK of its own.

    Section: own rule, 240.4(D) (breaker and wire).
    Inputs: circuits [circuits]. Result: place in the words.
    """
    return np.where(np.greater(circuits, 0), 1, 0)
