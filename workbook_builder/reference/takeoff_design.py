"""What the design says to the takeoff: kinds of run, lengths, circuits moved, breakers to come."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6

INCHES_PER_FOOT = 12.0


@rule("is_raceway")
def is_raceway(wiring: Choice) -> np.ndarray:
    """1 where the feeder runs in a raceway, 0 where it is a cable.

    Section: common practice.
    Inputs: wiring. Result: [0 or 1].
    """
    return lookup.has_word("wiring_method", "kind", "raceway", wiring).astype(np.int64)


@rule("is_building")
def is_building(panel_place: Choice) -> np.ndarray:
    """1 where the added panel stands in another building.

    Section: common practice.
    Inputs: panel_place. Result: [0 or 1].
    """
    return panel_place.is_("other building").astype(np.int64)


@rule("is_inside")
def is_inside(panel_place: Choice) -> np.ndarray:
    """1 where the added panel stands elsewhere in the same building.

    Section: common practice.
    Inputs: panel_place. Result: [0 or 1].
    """
    return panel_place.is_("same building").astype(np.int64)


@rule("is_nipple")
def is_nipple(is_raceway: np.ndarray, raceway_in: np.ndarray, nipple_length: np.ndarray) -> np.ndarray:
    """1 where the raceway is short enough for a nipple.

    Section: Chapter 9 note 4.
    Inputs: is_raceway [0 or 1], lengths [in]. Result: [0 or 1].
    """
    return is_raceway * (raceway_in <= nipple_length)


@rule("is_finished")
def is_finished(wall: Choice) -> np.ndarray:
    """1 where the wall is drywall or plaster.

    Section: common practice.
    Inputs: wall. Result: [0 or 1].
    """
    return wall.is_("drywall", "plaster").astype(np.int64)


@rule("raceway_ft")
def raceway_ft(
    *, is_raceway: np.ndarray, raceway_in: np.ndarray, riser_ft: float, trench_ft: np.ndarray
) -> np.ndarray:
    """The raceway between enclosures, and a riser at each end of a trench.

    Section: common practice.
    Inputs: is_raceway [0 or 1], raceway_in [in], riser_ft, trench_ft [ft]. Result: [ft]; 0 for a cable.
    """
    length = raceway_in / INCHES_PER_FOOT + np.where(trench_ft > 0, 2.0 * riser_ft, 0.0)
    return np.where(is_raceway == 1, length, 0.0)


@rule("is_large_raceway")
def is_large_raceway(
    is_raceway: np.ndarray, raceway_index: np.ndarray, large_raceway: np.ndarray
) -> np.ndarray:
    """1 where the raceway is larger than the smaller fittings are made for.

    Section: common practice.
    Inputs: is_raceway [0 or 1], positions of trade sizes. Result: [0 or 1].
    Limits: 1 past the last size made, too.
    """
    return is_raceway * (raceway_index > large_raceway)


@rule("conductor_ft")
def conductor_ft(
    *,
    is_raceway: np.ndarray,
    feeder_size: np.ndarray,
    raceway_ft: np.ndarray,
    make_up_ft: float,
    waste_percent: float,
    percent: np.ndarray,
) -> np.ndarray:
    """One conductor of the feeder: the raceway, make-up at both ends, waste.

    Section: common practice.
    Inputs: is_raceway [0 or 1], feeder_size, lengths [ft], shares [%]. Result: [ft]; 0 for a cable
    and without a size.

    Example: 75 ft of raceway, 3 ft of make-up at each end, a tenth of waste
    >>> round(float(conductor_ft(is_raceway=np.array(1), feeder_size=np.array(5), raceway_ft=75.0,
    ...     make_up_ft=3.0, waste_percent=10.0, percent=100.0)), 6)
    89.1
    """
    length = (raceway_ft + 2.0 * make_up_ft) * (1.0 + waste_percent / percent)
    return np.where((is_raceway == 1) & (feeder_size > 0), length, 0.0)


@rule("pull_ft")
def pull_ft(is_raceway: np.ndarray, feeder_size: np.ndarray, raceway_ft: np.ndarray) -> np.ndarray:
    """The four conductors of the feeder, as far as they are pulled.

    Section: common practice.
    Inputs: is_raceway [0 or 1], feeder_size, raceway_ft [ft]. Result: [ft]; 0 for a cable and
    without a size.
    """
    return np.where((is_raceway == 1) & (feeder_size > 0), 4.0 * raceway_ft, 0.0)


@rule("moved_circuits")
def moved_circuits(moved_1pole_total: np.ndarray, move_2pole_used: np.ndarray) -> np.ndarray:
    """Circuits moved, of one pole and of two.

    Section: common practice.
    Inputs: circuits [circuits]. Result: [circuits].
    """
    return moved_1pole_total + move_2pole_used


@rule("spliced_circuits")
def spliced_circuits(
    moved_circuits: np.ndarray, listed_reaches_1pole: np.ndarray, listed_reaches_2pole: np.ndarray
) -> np.ndarray:
    """Moved circuits whose cable does not reach the added panel.

    Section: common practice.
    Inputs: circuits [circuits]. Result: [circuits].
    """
    return np.maximum(moved_circuits - listed_reaches_1pole - listed_reaches_2pole, 0)


@rule("moved_arc_fault")
def moved_arc_fault(
    *,
    moved_1pole_total: np.ndarray,
    moved_ext_ft: np.ndarray,
    arc_fault_extension: np.ndarray,
    moved_breaker_a: np.ndarray,
    arc_fault_breaker: np.ndarray,
) -> np.ndarray:
    """Moved one-pole circuits that are extended so far that they need arc-fault protection.

    Section: 210.12(D) (2017, 2020), 210.12(E) (2023 and later).
    Inputs: moved_1pole_total [circuits], lengths [ft], breakers [A]. Result: [circuits].
    Limits: without an entry for the extension none is taken to need it.
    """
    needed = (moved_ext_ft > arc_fault_extension) & (moved_breaker_a <= arc_fault_breaker)
    return np.where(needed, moved_1pole_total, 0)


def _continuous(amperes: np.ndarray, continuous_rate: np.ndarray) -> np.ndarray:
    """The breaker that a continuous load needs at the least [A]."""
    return round6(amperes * (1.0 + continuous_rate))


@rule("planned_2pole")
def planned_2pole(
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
    add_2pole: np.ndarray,
    source_spaces: np.ndarray,
    generator_inlet_a: np.ndarray,
) -> np.ndarray:
    """New two-pole breakers: one a planned load or vehicle supply unit, other circuits, sources, inlet.

    Section: common practice.
    Inputs: ratings [A, kVA, kW], counts [units, circuits], source_spaces [spaces]. Result: [breakers].
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
        generator_inlet_a,
    )
    vehicles = np.where(add_ev_a > 0, add_ev_count, 0.0)
    return vehicles + add_2pole + source_spaces / 2 + sum((load > 0).astype(np.int64) for load in loads)


@rule("ev_ground_fault")
def ev_ground_fault(ev_connection: Choice, add_ev_count: np.ndarray, gfci_vehicle: np.ndarray) -> np.ndarray:
    """Vehicle supply units on a receptacle, which take a ground-fault breaker each.

    Section: 625.54.
    Inputs: ev_connection, add_ev_count [units], gfci_vehicle [breakers each]. Result: [breakers].
    """
    return np.where(ev_connection.is_("receptacle"), add_ev_count * gfci_vehicle, 0.0)


@rule("outdoor_ground_fault")
def outdoor_ground_fault(
    *,
    add_heat_pump_kva: np.ndarray,
    hp_mocp_a: np.ndarray,
    add_ac_kva: np.ndarray,
    receptacle_largest: np.ndarray,
    gfci_outdoor: np.ndarray,
) -> np.ndarray:
    """New outdoor heat pump and air conditioning, which take a ground-fault breaker each.

    Section: 210.8 (2017), 210.8(F) (2020 and later).
    Inputs: ratings [kVA, A], gfci_outdoor [breakers each]. Result: [breakers].
    Limits: a heat pump whose nameplate asks for a larger breaker needs none.
    """
    heat_pump = (add_heat_pump_kva > 0) & ~(hp_mocp_a > receptacle_largest)
    return np.where(heat_pump, gfci_outdoor, 0.0) + np.where(add_ac_kva > 0, gfci_outdoor, 0.0)


@rule("large_equipment")
def large_equipment(
    *,
    add_ev_a: np.ndarray,
    add_ev_count: np.ndarray,
    add_heat_pump_kva: np.ndarray,
    hp_mocp_a: np.ndarray,
    continuous_rate: np.ndarray,
    branch_large: np.ndarray,
) -> np.ndarray:
    """New breakers of vehicle supply and heat pump that are large ones.

    Section: common practice.
    Inputs: ratings [A, kVA], add_ev_count [units], continuous_rate [1]. Result: [breakers].
    """
    vehicles = np.where(_continuous(add_ev_a, continuous_rate) > branch_large, add_ev_count, 0.0)
    return vehicles + ((add_heat_pump_kva > 0) & (hp_mocp_a > branch_large))


@rule("large_sources")
def large_sources(
    *,
    source_at: Choice,
    pv_output_a: np.ndarray,
    storage_output_a: np.ndarray,
    generator_inlet_a: np.ndarray,
    continuous_rate: np.ndarray,
    branch_large: np.ndarray,
) -> np.ndarray:
    """New breakers of sources and inlet that are large ones.

    Section: common practice.
    Inputs: source_at, ratings [A], continuous_rate [1]. Result: [breakers].
    Limits: sources on the supply side take none.
    """
    sources = sum(
        (_continuous(output, continuous_rate) > branch_large).astype(np.int64)
        for output in (pv_output_a, storage_output_a)
    )
    return np.where(source_at.is_("supply side"), 0, sources) + (generator_inlet_a > branch_large)
