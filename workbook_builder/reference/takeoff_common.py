"""Material of every way, of existing spaces and of load control."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.registry import rule


@rule(
    "permits",
    "label_sets",
    "disposals",
    "feeder_breakers",
    "added_panels",
    "backboards",
    "ground_bar_kits",
    "phase_tapes",
    "control_devices",
    "main_panels",
    "mast_sets",
    "service_intersystem",
)
def one_each() -> float:
    """One of these where its package is taken at all.

    Section: 408.4, 705.10 (labels), 408.40 (ground bar), 200.6, 250.119 (tape), 625.42 (load
    management), 250.94 (intersystem bonding); else common practice.
    Inputs: none. Result: [each].
    """
    return 1.0


@rule("extra_materials")
def extra_materials(extra_material_usd: np.ndarray) -> np.ndarray:
    """Extra material of the job, each dollar entered a unit of its line.

    Section: common practice.
    Inputs: extra_material_usd [USD]. Result: [USD].
    """
    return extra_material_usd


@rule("branch_arc_fault")
def branch_arc_fault(add_1pole: np.ndarray, arc_fault_new: np.ndarray) -> np.ndarray:
    """The share of the new one-pole circuits that is priced with arc-fault breakers.

    Section: 210.12.
    Inputs: add_1pole [circuits], arc_fault_new [1]. Result: [each].
    """
    return add_1pole * arc_fault_new


@rule("branch_1pole")
def branch_1pole(add_1pole: np.ndarray, branch_arc_fault: np.ndarray) -> np.ndarray:
    """New one-pole breakers without arc-fault protection.

    Section: common practice.
    Inputs: add_1pole, branch_arc_fault [each]. Result: [each].
    """
    return add_1pole - branch_arc_fault


@rule("branch_ground_fault")
def branch_ground_fault(
    *,
    ev_ground_fault: np.ndarray,
    outdoor_ground_fault: np.ndarray,
    gfci_dryer: np.ndarray,
    add_dryer_kw: np.ndarray,
    gfci_range: np.ndarray,
    add_range_kw: np.ndarray,
    add_spa_kva: np.ndarray,
) -> np.ndarray:
    """New ground-fault breakers: vehicles, outdoors, dryer, range, and always a spa.

    Section: 210.8, 625.54, 680.44.
    Inputs: ground-fault breakers [each], ratings [kW, kVA]. Result: [each].
    """
    dryer = np.where(add_dryer_kw > 0, gfci_dryer, 0.0)
    cooking = np.where(add_range_kw > 0, gfci_range, 0.0)
    return ev_ground_fault + outdoor_ground_fault + dryer + cooking + (add_spa_kva > 0)


@rule("branch_2pole_large")
def branch_2pole_large(large_equipment: np.ndarray, large_sources: np.ndarray) -> np.ndarray:
    """New two-pole breakers that are large ones.

    Section: common practice.
    Inputs: breakers [breakers]. Result: [each].
    """
    return large_equipment + large_sources


@rule("branch_2pole")
def branch_2pole(
    planned_2pole: np.ndarray, branch_ground_fault: np.ndarray, branch_2pole_large: np.ndarray
) -> np.ndarray:
    """New two-pole breakers that are neither large nor ground-fault ones.

    Section: common practice.
    Inputs: breakers [each]. Result: [each].
    """
    return np.maximum(planned_2pole - branch_ground_fault - branch_2pole_large, 0.0)


@rule("hold_down_kits")
def hold_down_kits(hold_down: np.ndarray) -> np.ndarray:
    """A kit where a back-fed breaker must be held down.

    Section: 408.36(D).
    Inputs: hold_down [yes or no]. Result: [each].
    """
    return np.where(hold_down, 1.0, 0.0)


@rule("interlock_kits")
def interlock_kits(generator_inlet_a: np.ndarray, interlock: np.ndarray) -> np.ndarray:
    """A kit where an inlet comes with an interlock.

    Section: 702.5.
    Inputs: generator_inlet_a [A], interlock [yes or no]. Result: [each].
    """
    return np.where((generator_inlet_a > 0) & interlock, 1.0, 0.0)


@rule("two_circuit_breakers")
def two_circuit_breakers(
    *,
    two_circuit_spaces: np.ndarray,
    new_spaces: np.ndarray,
    spaces_free: np.ndarray,
    spaces_freed: np.ndarray,
) -> np.ndarray:
    """As many two-circuit breakers as spaces lack, no more than the label permits.

    Section: 408.54.
    Inputs: spaces [spaces]. Result: [each].
    """
    short = np.maximum(new_spaces - spaces_free - spaces_freed, 0)
    return np.minimum(two_circuit_spaces, short)
