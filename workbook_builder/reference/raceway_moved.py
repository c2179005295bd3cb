"""Moved circuits that share the raceway of the feeder."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.raceway import grounding_area_in2, insulated_area_in2, unless_cable
from workbook_builder.reference.registry import rule

COPPER = Choice(lookup.METALS, np.array(0))


@rule("moved_inside")
def moved_inside(
    *,
    wiring: Choice,
    moved_in_raceway: np.ndarray,
    moved_1pole_total: np.ndarray,
    move_2pole_used: np.ndarray,
) -> np.ndarray:
    """Moved circuits that share the raceway with the feeder.

    Section: 310.15.
    Inputs: wiring, circuits [circuits]. Result: [circuits]; blank for a cable.
    """
    return unless_cable(wiring, np.where(moved_in_raceway, moved_1pole_total + move_2pole_used, 0.0))


@rule("moved_egc_position", "moved_egc_size")
def moved_egc_size(moved_wire: Choice, moved_breaker_a: np.ndarray) -> np.ndarray:
    """Copper grounding size of a moved circuit, never larger than its conductors.

    Section: Table 250.122.
    Inputs: moved_wire, moved_breaker_a [A]. Result: position of the size.
    """
    size = lookup.grounding_size(COPPER, moved_breaker_a)
    return np.minimum(size, lookup.position_of(moved_wire))


@rule("moved_wire_in2")
def moved_wire_in2(insulation: Choice, moved_wire: Choice) -> np.ndarray:
    """Area of one moved conductor.

    Section: Chapter 9 Table 5.
    Inputs: insulation, moved_wire. Result: [in2].
    """
    return insulated_area_in2(insulation, lookup.position_of(moved_wire))


@rule("moved_egc_in2")
def moved_egc_in2(insulation: Choice, insulated_egc: np.ndarray, moved_egc_size: np.ndarray) -> np.ndarray:
    """Area of the grounding conductor of one moved circuit, insulated or bare.

    Section: Chapter 9 Tables 5 and 8.
    Inputs: insulation, insulated_egc [yes or no], moved_egc_size. Result: [in2].
    """
    return grounding_area_in2(insulation, insulated_egc, moved_egc_size)


@rule("moved_area_in2")
def moved_area_in2(
    *,
    wiring: Choice,
    moved_in_raceway: np.ndarray,
    moved_1pole_total: np.ndarray,
    move_2pole_used: np.ndarray,
    moved_wire_in2: np.ndarray,
    moved_egc_in2: np.ndarray,
) -> np.ndarray:
    """Area of the conductors of the moved circuits, a grounding conductor for each circuit.

    Section: Chapter 9 Tables 5 and 8.
    Inputs: wiring, circuits [circuits], areas [in2]. Result: [in2]; blank for a cable.
    """
    wires = (2.0 * moved_1pole_total + 3.0 * move_2pole_used) * moved_wire_in2
    grounds = (moved_1pole_total + move_2pole_used) * moved_egc_in2
    return unless_cable(wiring, np.where(moved_in_raceway, wires + grounds, 0.0))


@rule("moved_terminal_a")
def moved_terminal_a(
    *,
    moved_wire: Choice,
    terminals: Choice,
    terminal_marked: np.ndarray,
    terminal_unmarked: np.ndarray,
) -> np.ndarray:
    """Ampacity of the moved conductors in the column of their terminals.

    Section: 110.14(C)(1).
    Inputs: moved_wire, terminals, columns [C]. Result: [A].
    """
    column = np.where(terminals.is_("75 C"), terminal_marked, terminal_unmarked)
    return lookup.ampacity(COPPER, column, lookup.position_of(moved_wire))


@rule("moved_wire_ampacity_a")
def moved_wire_ampacity_a(
    *,
    moved_inside: np.ndarray,
    moved_wire: Choice,
    moved_terminal_a: np.ndarray,
    insulation: Choice,
    correction: np.ndarray,
) -> np.ndarray:
    """Ampacity of the moved conductors: the lesser of terminals and corrected insulation.

    Section: 310.15, 110.14(C).
    Inputs: moved_inside [circuits], sizes, moved_terminal_a [A], correction [1]. Result: [A];
    blank for a cable and where no moved circuit shares the raceway.

    Example: 12 AWG, ten to twenty conductors: 15 A,
    http://www.jlconline.com/wiring-and-cable/q-a--3-4-inch-conduit-capacity.aspx
    >>> float(moved_wire_ampacity_a(moved_inside=np.array([4.0]), moved_terminal_a=20.0,
    ...       moved_wire=Choice.of(("14", "12", "10", "8"), "12"),
    ...       insulation=Choice.of(lookup.words("insulation", "insulation"), "THHN/THWN-2"),
    ...       correction=0.5)[0])
    15.0
    """
    insulation_c = lookup.number_of("insulation", "temperature_c", insulation)
    corrected = lookup.ampacity(COPPER, insulation_c, lookup.position_of(moved_wire)) * correction
    return np.where(moved_inside > 0, np.minimum(moved_terminal_a, corrected), np.nan)


@rule("moved_limit_a")
def moved_limit_a(moved_1pole_total: np.ndarray, move_2pole_used: np.ndarray, moved_wire: Choice) -> np.ndarray:
    """Largest breaker of the moved conductors where they are small ones, in a raceway or not.

    Section: 240.4(D).
    Inputs: circuits [circuits], moved_wire. Result: [A]; blank where there is no limit and where
    no circuit moves.
    """
    limit = lookup.at_position("small_conductor", "copper", lookup.position_of(moved_wire))
    return np.where(moved_1pole_total + move_2pole_used == 0, np.nan, limit)


@rule(
    "moved_ampacity_state",
    words=("OK", "STOP: the moved conductors carry less than their breaker"),
)
def moved_ampacity_state(moved_wire_ampacity_a: np.ndarray, moved_breaker_a: np.ndarray) -> np.ndarray:
    """Stops where the moved conductors carry less than their breaker.

    Section: 310.15.
    Inputs: moved_wire_ampacity_a, moved_breaker_a [A]. Result: place in the words.
    Limits: no next size up for branch circuits.
    """
    return np.where(moved_wire_ampacity_a < moved_breaker_a, 1, 0)


@rule(
    "moved_state",
    words=(
        "OK",
        "STOP: the moved conductors carry less than their breaker",
        "STOP: the breaker is too large for the moved conductors",
    ),
)
def moved_state(
    moved_ampacity_state: Choice, moved_limit_a: np.ndarray, moved_breaker_a: np.ndarray
) -> np.ndarray:
    """Stops where the breaker does not protect the moved conductors.

    Section: 240.4(D), 310.15.
    Inputs: moved_ampacity_state [text], ratings [A]. Result: place in the words.
    """
    return first_true((moved_ampacity_state.codes == 1, moved_limit_a < moved_breaker_a))
