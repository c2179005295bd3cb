"""Breaker spaces of the main panel, and the circuits that must leave it."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule


@rule("spaces_free")
def spaces_free(main_spaces: np.ndarray, main_spaces_used: np.ndarray) -> np.ndarray:
    """Free spaces are those of the main panel less those used.

    Section: 408.54.
    Inputs: main_spaces, main_spaces_used [spaces]. Result: [spaces].
    """
    return main_spaces - main_spaces_used


@rule("dropped_hvac")
def dropped_hvac(
    *,
    heat_kw: np.ndarray,
    ac_kva: np.ndarray,
    heat_pump_kva: np.ndarray,
    drop_heat: np.ndarray,
    drop_ac: np.ndarray,
    drop_heat_pump: np.ndarray,
) -> np.ndarray:
    """Heating, cooling and heat pump that are there and are dropped.

    Section: own rule.
    Inputs: ratings [kW, kVA], drops [yes or no]. Result: [circuits].
    """
    pairs = ((heat_kw, drop_heat), (ac_kva, drop_ac), (heat_pump_kva, drop_heat_pump))
    return sum(((rating > 0) & dropped).astype(np.int64) for rating, dropped in pairs)


@rule("dropped_appliances")
def dropped_appliances(
    *,
    range_kw: np.ndarray,
    dryer_kw: np.ndarray,
    water_heater_kw: np.ndarray,
    drop_range: np.ndarray,
    drop_dryer: np.ndarray,
    drop_water_heater: np.ndarray,
) -> np.ndarray:
    """Range, dryer and water heater that are there and are dropped.

    Section: own rule.
    Inputs: ratings [kW], drops [yes or no]. Result: [circuits].
    """
    pairs = ((range_kw, drop_range), (dryer_kw, drop_dryer), (water_heater_kw, drop_water_heater))
    return sum(((rating > 0) & dropped).astype(np.int64) for rating, dropped in pairs)


@rule("spaces_dropped")
def spaces_dropped(dropped_hvac: np.ndarray, dropped_appliances: np.ndarray) -> np.ndarray:
    """Each dropped load that is there gives back the two spaces of its breaker.

    Section: own rule.
    Inputs: dropped loads [circuits]. Result: [spaces].
    Limits: every such load is taken as one two-pole circuit.
    """
    return 2 * (dropped_hvac + dropped_appliances)


@rule("planned_equipment")
def planned_equipment(
    *,
    add_ev_a: np.ndarray,
    add_ev_count: np.ndarray,
    add_heat_pump_kva: np.ndarray,
    add_heat_pump_aux_kw: np.ndarray,
    add_heat_kw: np.ndarray,
    add_ac_kva: np.ndarray,
    add_range_kw: np.ndarray,
    add_dryer_kw: np.ndarray,
    add_water_heater_kw: np.ndarray,
    add_spa_kva: np.ndarray,
) -> np.ndarray:
    """Planned loads with a two-pole breaker, vehicle supply by the unit.

    Section: own rule.
    Inputs: ratings [A, kVA, kW], add_ev_count [units]. Result: [circuits].
    """
    loads = (
        add_heat_pump_kva,
        add_heat_pump_aux_kw,
        add_heat_kw,
        add_ac_kva,
        add_range_kw,
        add_dryer_kw,
        add_water_heater_kw,
        add_spa_kva,
    )
    vehicle = np.where(add_ev_a > 0, add_ev_count, 0)
    return vehicle + sum((load > 0).astype(np.int64) for load in loads)


@rule("planned_spaces")
def planned_spaces(planned_equipment: np.ndarray, add_1pole: np.ndarray, add_2pole: np.ndarray) -> np.ndarray:
    """Each planned load takes a two-pole breaker; other new circuits take their poles.

    Section: own rule.
    Inputs: planned_equipment, counts [circuits]. Result: [spaces].
    Limits: add_other_kva takes no space by itself; its circuits are in add_1pole and add_2pole.
    """
    return 2 * (planned_equipment + add_2pole) + add_1pole


@rule("source_spaces")
def source_spaces(pv_output_a: np.ndarray, storage_output_a: np.ndarray, source_at: Choice) -> np.ndarray:
    """Solar and storage take a two-pole breaker each, unless they connect on the supply side.

    Section: own rule.
    Inputs: output currents [A], place of connection. Result: [spaces].
    """
    breakers = (pv_output_a > 0).astype(np.int64) + (storage_output_a > 0)
    return np.where(source_at.is_("supply side"), 0, 2 * breakers)


@rule("incoming_spaces")
def incoming_spaces(
    *,
    planned_spaces: np.ndarray,
    planned_in: Choice,
    source_spaces: np.ndarray,
    source_at: Choice,
    generator_inlet_a: np.ndarray,
    inlet_at: Choice,
) -> np.ndarray:
    """The feeder breaker and all else that is placed in the main panel come into it.

    Section: own rule.
    Inputs: spaces [spaces], places, inlet breaker [A]. Result: [spaces].
    """
    planned = np.where(planned_in.is_("main panel"), planned_spaces, 0)
    at_main = source_at.is_("main panel far end", "main panel elsewhere")
    source = np.where(at_main, source_spaces, 0)
    inlet = np.where((generator_inlet_a > 0) & inlet_at.is_("main panel"), 2, 0)
    return 2 + planned + source + inlet


@rule("circuits_to_move")
def circuits_to_move(
    incoming_spaces: np.ndarray, spaces_free: np.ndarray, spaces_freed: np.ndarray
) -> np.ndarray:
    """What comes in and finds no free or freed space must be made room for, a circuit a space.

    Section: own rule.
    Inputs: spaces [spaces]. Result: [one-pole circuits].
    """
    return np.maximum(incoming_spaces - spaces_free - spaces_freed, 0)


@rule("moved_1pole_total")
def moved_1pole_total(
    move_1pole_used: np.ndarray, move_2pole_used: np.ndarray, circuits_to_move: np.ndarray
) -> np.ndarray:
    """One-pole circuits moved: those listed or wished, or more where these do not free enough.

    Section: own rule.
    Inputs: circuits [circuits], spaces to free [spaces]. Result: [one-pole circuits].
    Limits: a moved two-pole circuit frees two spaces.
    """
    return np.maximum(move_1pole_used, circuits_to_move - 2 * move_2pole_used)


MOVES = (
    "OK",
    "CHECK: circuits must move and the job names none",
    "CHECK: more circuits must move than the job says",
)


@rule("moves_state", words=MOVES)
def moves_state(
    moved_1pole_total: np.ndarray, move_1pole_used: np.ndarray, move_2pole_used: np.ndarray
) -> np.ndarray:
    """Tells a job that names no circuits to move from one that names too few.

    Section: own rule.
    Inputs: circuits [circuits]. Result: place in the words.
    """
    more = moved_1pole_total > move_1pole_used
    none_named = np.equal(move_1pole_used, 0) & np.equal(move_2pole_used, 0)
    return np.where(more, np.where(none_named, 1, 2), 0)


@rule("spaces_state", words=(*MOVES, "STOP: more circuits would have to move than the main panel holds"))
def spaces_state(
    *,
    moved_1pole_total: np.ndarray,
    move_2pole_used: np.ndarray,
    main_spaces_used: np.ndarray,
    spaces_freed: np.ndarray,
    moves_state: Choice,
) -> np.ndarray:
    """Stops where more spaces would have to be freed than circuits are left to move.

    Section: own rule.
    Inputs: circuits [circuits], spaces to free [spaces], moves_state. Result: place in the words.
    """
    too_many = moved_1pole_total + 2 * move_2pole_used > main_spaces_used - spaces_freed
    return np.where(too_many, len(MOVES), moves_state.codes)
