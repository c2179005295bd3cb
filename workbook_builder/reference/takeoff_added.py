"""Material of an added panel: feeder, raceway, moved circuits, other building."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import whole_above


@rule("phase_ft", conductors=2.0)
@rule("neutral_ft", conductors=1.0)
@rule("ground_ft", conductors=1.0)
def conductors_ft(conductor_ft: np.ndarray, conductors: float) -> np.ndarray:
    """Conductors of a kind in the raceway of the feeder.

    Section: common practice.
    Inputs: conductor_ft [ft], conductors [each]. Result: [ft].
    """
    return conductors * conductor_ft


@rule("cable_ft")
def cable_ft(
    *,
    is_raceway: np.ndarray,
    feeder_size: np.ndarray,
    run_ft: np.ndarray,
    cable_make_up_ft: float,
    waste_percent: float,
    percent: np.ndarray,
) -> np.ndarray:
    """The cable of the feeder: the run, make-up at both ends, waste.

    Section: common practice.
    Inputs: is_raceway [0 or 1], feeder_size, lengths [ft], shares [%]. Result: [ft]; 0 for a
    raceway and without a size.
    """
    length = (run_ft + 2.0 * cable_make_up_ft) * (1.0 + waste_percent / percent)
    return np.where((is_raceway == 0) & (feeder_size > 0), length, 0.0)


@rule("riser_lengths")
def riser_lengths(
    *,
    wiring: Choice,
    trench_ft: np.ndarray,
    raceway_size: np.ndarray,
    riser_ft: float,
    length_ft: float,
) -> np.ndarray:
    """The risers of a trench, which schedule 40 may not be.

    Section: 300.5(D)(4), 352.10(F).
    Inputs: wiring, raceway_size, lengths [ft]. Result: [lengths as sold].
    """
    needed = wiring.is_("PVC 40") & (trench_ft > 0) & (raceway_size > 0)
    return np.where(needed, whole_above(2.0 * riser_ft / length_ft), 0.0)


@rule("raceway_lengths")
def raceway_lengths(
    *,
    is_raceway: np.ndarray,
    raceway_size: np.ndarray,
    raceway_ft: np.ndarray,
    riser_lengths: np.ndarray,
    riser_ft: float,
    waste_percent: float,
    percent: np.ndarray,
    length_ft: float,
) -> np.ndarray:
    """The raceway with waste, without risers that are another raceway.

    Section: common practice.
    Inputs: is_raceway [0 or 1], raceway_size, lengths [ft], riser_lengths [lengths as sold],
    shares [%]. Result: [lengths as sold]; 0 for a cable and without a size.
    """
    risers = np.where(riser_lengths > 0, 2.0 * riser_ft, 0.0)
    lengths = whole_above((raceway_ft - risers) * (1.0 + waste_percent / percent) / length_ft)
    return np.where((is_raceway == 1) & (raceway_size > 0), lengths, 0.0)


@rule("moved_wire_ft")
def moved_wire_ft(
    *,
    spliced_circuits: np.ndarray,
    move_2pole_used: np.ndarray,
    listed_reaches_2pole: np.ndarray,
    moved_ext_ft: np.ndarray,
    splice_ft: float,
    waste_percent: float,
    percent: np.ndarray,
) -> np.ndarray:
    """Conductors added to spliced circuits: three to one of one pole, four to one of two.

    Section: common practice.
    Inputs: circuits [circuits], lengths [ft], shares [%]. Result: [ft].
    """
    two_pole = np.maximum(move_2pole_used - listed_reaches_2pole, 0)
    length = (np.nan_to_num(moved_ext_ft) + splice_ft) * (1.0 + waste_percent / percent)
    return (3.0 * spliced_circuits + two_pole) * length


@rule("electrode_ft", size="gec_size")
@rule("service_electrode_ft", size="service_electrode_size")
def electrode_length_ft(size: np.ndarray, electrode_run_ft: float) -> np.ndarray:
    """The electrode conductor where there is one.

    Section: 250.32 (another building), 250.66 (service).
    Inputs: size, electrode_run_ft [ft]. Result: [ft].
    """
    return np.where(size > 0, electrode_run_ft, 0.0)


@rule("surge_devices")
def surge_devices(surge_feeder: np.ndarray, is_building: np.ndarray) -> np.ndarray:
    """A surge device where the edition asks for one in the panel of a dwelling.

    Section: 215.18.
    Inputs: surge_feeder [each], is_building [0 or 1]. Result: [each].
    """
    return np.where(is_building == 0, surge_feeder, 0.0)


@rule("moved_1pole_breakers")
def moved_1pole_breakers(moved_1pole_total: np.ndarray, moved_arc_fault: np.ndarray) -> np.ndarray:
    """Moved one-pole circuits without arc-fault protection get a breaker of the new panel.

    Section: 110.3(B).
    Inputs: circuits [circuits]. Result: [each].
    """
    return moved_1pole_total - moved_arc_fault


@rule("moved_protected", circuits="moved_arc_fault")
@rule("moved_2pole_breakers", circuits="move_2pole_used")
def one_a_circuit(circuits: np.ndarray) -> np.ndarray:
    """One for each of these circuits.

    Section: 210.12 (arc-fault breakers), 110.3(B) (breakers of the new panel).
    Inputs: circuits [circuits]. Result: [each].
    """
    return circuits


@rule("handle_ties")
def handle_ties(listed_shared: np.ndarray) -> np.ndarray:
    """A tie for each pair of moved circuits that share a neutral.

    Section: 210.4(B).
    Inputs: listed_shared [circuits]. Result: [each].
    """
    return np.floor(listed_shared / 2.0)


@rule("filler_plates")
def filler_plates(
    *,
    moved_1pole_total: np.ndarray,
    move_2pole_used: np.ndarray,
    spaces_freed: np.ndarray,
    spaces_free: np.ndarray,
    incoming_spaces: np.ndarray,
) -> np.ndarray:
    """Spaces of the main panel that are opened and not used again.

    Section: 408.7.
    Inputs: circuits [circuits], spaces [spaces]. Result: [each].
    Limits: free spaces have their plates already.
    """
    left = moved_1pole_total + 2 * move_2pole_used + spaces_freed + spaces_free - incoming_spaces
    return np.maximum(left - spaces_free, 0)


@rule("wire_connectors")
def wire_connectors(spliced_circuits: np.ndarray, waste_percent: float, percent: np.ndarray) -> np.ndarray:
    """Three connectors a spliced circuit, and waste.

    Section: common practice.
    Inputs: spliced_circuits [circuits], shares [%]. Result: [each].

    >>> wire_connectors(np.array([0, 4, 10]), 10.0, 100.0).tolist()
    [0.0, 14.0, 33.0]
    """
    return whole_above(3.0 * spliced_circuits * (1.0 + waste_percent / percent))


@rule("aluminum_connectors")
def aluminum_connectors(listed_aluminum: np.ndarray) -> np.ndarray:
    """Three connectors for each moved circuit of aluminum.

    Section: 110.14.
    Inputs: listed_aluminum [circuits]. Result: [each].
    """
    return 3 * listed_aluminum


@rule("oxide_inhibitors")
def oxide_inhibitors(material: Choice, listed_aluminum: np.ndarray) -> np.ndarray:
    """Oxide inhibitor where the feeder or a moved circuit is aluminum.

    Section: 110.14.
    Inputs: material, listed_aluminum [circuits]. Result: [each].
    """
    return np.where(material.is_("aluminum") | (listed_aluminum > 0), 1.0, 0.0)


@rule("moved_nipples")
def moved_nipples(
    moved_circuits: np.ndarray, moved_in_raceway: np.ndarray, panel_place: Choice
) -> np.ndarray:
    """A nipple of their own for circuits that move to a panel beside the main one.

    Section: common practice.
    Inputs: moved_circuits [circuits], moved_in_raceway [yes or no], panel_place. Result: [each].
    """
    own = (moved_circuits > 0) & ~moved_in_raceway & panel_place.is_("same wall")
    return np.where(own, 1.0, 0.0)


@rule("disconnects_small")
def disconnects_small(
    is_building: np.ndarray, feeder_breaker_a: np.ndarray, disconnect_small: np.ndarray
) -> np.ndarray:
    """A small disconnect at another building.

    Section: 225.31.
    Inputs: is_building [0 or 1], ratings [A]. Result: [each].
    """
    return np.where((is_building == 1) & (feeder_breaker_a <= disconnect_small), 1.0, 0.0)


@rule("disconnects_large")
def disconnects_large(
    is_building: np.ndarray, feeder_breaker_a: np.ndarray, disconnect_small: np.ndarray
) -> np.ndarray:
    """A large disconnect at another building.

    Section: 225.31.
    Inputs: is_building [0 or 1], ratings [A]. Result: [each].
    """
    return np.where((is_building == 1) & (feeder_breaker_a > disconnect_small), 1.0, 0.0)


@rule("rods")
def rods(is_building: np.ndarray, electrode: Choice, rods_driven: float) -> np.ndarray:
    """Rods at another building.

    Section: 250.32, 250.53.
    Inputs: is_building [0 or 1], electrode, rods_driven [each]. Result: [each].
    """
    return np.where((is_building == 1) & electrode.is_("rods"), rods_driven, 0.0)


@rule("electrode_clamps")
def electrode_clamps(is_building: np.ndarray, electrode: Choice) -> np.ndarray:
    """A clamp at another building whose electrode is there already.

    Section: 250.32, 250.70.
    Inputs: is_building [0 or 1], electrode. Result: [each].
    """
    return np.where((is_building == 1) & ~electrode.is_("rods"), 1.0, 0.0)


@rule("intersystem_terminals")
def intersystem_terminals(is_building: np.ndarray) -> np.ndarray:
    """An intersystem bonding terminal at another building.

    Section: 250.94.
    Inputs: is_building [0 or 1]. Result: [each].
    """
    return is_building


@rule("bushings")
def bushings(is_raceway: np.ndarray, feeder_mils: np.ndarray, bushing_size: np.ndarray) -> np.ndarray:
    """An insulating bushing at each end where conductors are that large.

    Section: 300.4(G).
    Inputs: is_raceway [0 or 1], feeder_mils [cmil], bushing_size. Result: [each].
    """
    large = feeder_mils >= lookup.mils_of_size(bushing_size)
    return np.where((is_raceway == 1) & large, 2.0, 0.0)
