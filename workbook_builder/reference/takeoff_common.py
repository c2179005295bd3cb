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


@rule("ev_runs_ft")
def ev_runs_ft(new_ev_va: np.ndarray, add_ev_count: np.ndarray, add_ev_run_ft: np.ndarray) -> np.ndarray:
    """Feet of all circuits of new vehicle units.

    Section: common practice.
    Inputs: new_ev_va [VA], add_ev_count [units], add_ev_run_ft [ft], blank where not known. Result: [ft].

    Example: two units, 30 ft each.
    >>> float(ev_runs_ft(new_ev_va=15360, add_ev_count=2, add_ev_run_ft=30))
    60.0
    """
    return np.where(np.greater(new_ev_va, 0), np.nan_to_num(np.multiply(add_ev_count, add_ev_run_ft)), 0.0)


@rule("hp_run_ft")
def hp_run_ft(add_heat_pump_kva: np.ndarray, add_heat_pump_run_ft: np.ndarray) -> np.ndarray:
    """Feet of the circuit of a new heat pump.

    Section: common practice.
    Inputs: add_heat_pump_kva [kVA], add_heat_pump_run_ft [ft], blank where not known. Result: [ft].
    """
    return np.where(np.greater(add_heat_pump_kva, 0), np.nan_to_num(add_heat_pump_run_ft), 0.0)


@rule("ev_priced_a", breaker_a="ev_breaker_a")
@rule("hp_priced_a", breaker_a="hp_breaker_a")
def priced_a(breaker_a: np.ndarray, branch_large: np.ndarray) -> np.ndarray:
    """The breaker whose class prices a circuit: a middling one where it is not known.

    Section: common practice.
    Inputs: breaker_a [A], blank where not known, branch_large [A]. Result: [A].
    """
    return np.where(np.isnan(breaker_a), branch_large, breaker_a)


@rule("circuit_small_ft", over=-np.inf, most="circuit_small")
@rule("circuit_medium_ft", over="circuit_small", most="branch_large")
@rule("circuit_large_ft", over="branch_large", most=np.inf)
def circuits_ft(
    *,
    ev_runs_ft: np.ndarray,
    ev_priced_a: np.ndarray,
    hp_run_ft: np.ndarray,
    hp_priced_a: np.ndarray,
    over: np.ndarray,
    most: np.ndarray,
    waste_percent: float,
    percent: np.ndarray,
) -> np.ndarray:
    """Feet of the circuits of one class of breaker, with waste.

    Section: common practice.
    Inputs: runs [ft], breakers, over and most [A], waste_percent [%]. Result: [ft].

    Example: 30 ft at 100 A, 20 ft at 60 A, over 60 A, a tenth of waste
    >>> round(float(circuits_ft(ev_runs_ft=30.0, ev_priced_a=100.0, hp_run_ft=20.0, hp_priced_a=60.0,
    ...     over=60.0, most=np.inf, waste_percent=10.0, percent=100.0)), 6)
    33.0
    """
    runs = ((ev_priced_a, ev_runs_ft), (hp_priced_a, hp_run_ft))
    feet = sum(np.where(np.greater(breaker, over) & np.less_equal(breaker, most), run, 0.0) for breaker, run in runs)
    return feet * (1.0 + waste_percent / percent)


@rule("vehicle_sets")
def vehicle_sets(ev_runs_ft: np.ndarray, add_ev_count: np.ndarray) -> np.ndarray:
    """An end for each vehicle circuit whose run is known.

    Section: common practice.
    Inputs: ev_runs_ft [ft], add_ev_count [units]. Result: [each].
    """
    return np.where(np.greater(ev_runs_ft, 0), add_ev_count, 0.0)


@rule("heat_pump_sets")
def heat_pump_sets(hp_run_ft: np.ndarray) -> np.ndarray:
    """An end for the heat-pump circuit whose run is known.

    Section: 440.14.
    Inputs: hp_run_ft [ft]. Result: [each].
    """
    return np.where(np.greater(hp_run_ft, 0), 1.0, 0.0)


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
