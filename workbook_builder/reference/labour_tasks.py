"""Quantities of work of every way, of existing spaces, of load control and of a larger service."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.registry import rule


@rule(
    "work_survey",
    "work_packet",
    "work_permit",
    "work_deenergize",
    "work_directory",
    "work_readings",
    "work_cleanup",
    "work_ground_bar",
    "work_feeder_breaker",
    "work_mount",
    "work_meter",
    "work_standby",
    "work_service_visit",
    "work_service_inspection",
    "work_replace_panel",
)
def work_once() -> float:
    """Work that is done once where its package is taken at all.

    Section: common practice.
    Inputs: none. Result: [times].
    """
    return 1.0


@rule("work_circuit_run", first="ev_runs_ft", second="hp_run_ft")
@rule("work_circuit_end", first="vehicle_sets", second="heat_pump_sets")
def work_on_circuits(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """Work on the circuits of new equipment: what vehicle units and the heat pump have of it.

    Section: common practice.
    Inputs: first, second [ft, each]. Result: [ft, each].
    """
    return np.add(first, second)


@rule("work_extra", quantity="extra_hours")
@rule("work_land_1pole", quantity="branch_1pole")
@rule("work_surge", quantity="surge_devices")
@rule("work_backfill", quantity="trench_ft")
@rule("work_rods", quantity="rods")
@rule("work_electrode_run", quantity="electrode_ft")
@rule("work_intersystem", quantity="intersystem_terminals")
@rule("work_trace", quantity="moved_circuits")
@rule("work_move_shared", quantity="handle_ties")
@rule("work_moved_protected", quantity="moved_arc_fault")
@rule("work_control", quantity="control_devices")
@rule("work_service_rods", quantity="service_rods")
@rule("work_service_electrode", quantity="service_electrode_ft")
@rule("work_service_intersystem", quantity="service_intersystem")
@rule("work_service_surge", quantity="service_surge")
@rule("work_service_bond", quantity="service_ground_bars")
@rule("work_service_trace", quantity="main_spaces_used")
def work_as_counted(quantity: np.ndarray) -> np.ndarray:
    """Work that goes with something counted: its material, its circuits, its trench, hours entered.

    Section: common practice.
    Inputs: quantity [each, circuits, ft, h or spaces]. Result: [the same unit].
    """
    return quantity


@rule("work_visits")
def work_visits(is_building: np.ndarray) -> np.ndarray:
    """Set up once, and once more at another building.

    Section: common practice.
    Inputs: is_building [0 or 1]. Result: [times].
    """
    return 1 + is_building


@rule("work_inspection")
def work_inspection(trench_ft: np.ndarray, wall_repairs: np.ndarray) -> np.ndarray:
    """One inspection, and one before a trench or a wall is closed.

    Section: common practice.
    Inputs: trench_ft [ft], wall_repairs [each]. Result: [times].
    """
    return np.where((trench_ft > 0) | (wall_repairs > 0), 2.0, 1.0)


@rule("work_land_2pole")
def work_land_2pole(branch_2pole: np.ndarray, branch_2pole_large: np.ndarray) -> np.ndarray:
    """New two-pole breakers without ground-fault protection.

    Section: common practice.
    Inputs: breakers [each]. Result: [each].
    """
    return branch_2pole + branch_2pole_large


@rule("work_protected")
def work_protected(branch_arc_fault: np.ndarray, branch_ground_fault: np.ndarray) -> np.ndarray:
    """New breakers with a test of their own.

    Section: common practice.
    Inputs: breakers [each]. Result: [each].
    """
    return branch_arc_fault + branch_ground_fault


@rule("work_swap_pairs")
def work_swap_pairs(two_circuit_breakers: np.ndarray) -> np.ndarray:
    """Pairs of spaces cleared for two-circuit breakers.

    Section: common practice.
    Inputs: two_circuit_breakers [each]. Result: [pairs].
    """
    return np.ceil(two_circuit_breakers / 2.0)


@rule("work_land_more")
def work_land_more(main_spaces_used: np.ndarray, relanded_circuits: float) -> np.ndarray:
    """Circuits that the change of the panel does not include.

    Section: common practice.
    Inputs: main_spaces_used [spaces], relanded_circuits [circuits]. Result: [circuits].
    Limits: a space counts as a circuit.
    """
    return np.maximum(main_spaces_used - relanded_circuits, 0.0)
