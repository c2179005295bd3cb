"""Entries of the job that no other rule judges: fault current, three-wire circuit, feeds, nameplate."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule


@rule(
    "fault_state",
    words=(
        "OK",
        "STOP: the fault current is over the rating of panel and breakers",
        "CHECK: fault current not compared with the rating",
    ),
)
def fault_state(fault_ka: np.ndarray, panel_kaic: np.ndarray) -> np.ndarray:
    """Panel and breakers withstand the fault current; a CHECK where one of them is not known.

    Section: 110.9, 110.10.
    Inputs: fault_ka, panel_kaic [kA]. Result: place in the words.
    """
    return first_true((fault_ka > panel_kaic, np.isnan(fault_ka) | np.isnan(panel_kaic)))


@rule(
    "three_wire_state",
    words=("OK", "STOP: a three-wire range or dryer circuit stays at the service or is rewired"),
)
def three_wire_state(
    moved_three_wire: np.ndarray, moved_1pole_total: np.ndarray, move_2pole_used: np.ndarray
) -> np.ndarray:
    """A range or dryer circuit grounded by its neutral may only come from the service.

    Section: 250.140.
    Inputs: moved_three_wire [yes or no], circuits [circuits]. Result: place in the words.
    """
    moves = (moved_1pole_total > 0) | (move_2pole_used > 0)
    return np.where(moved_three_wire & moves, 1, 0)


@rule("feeds_state", words=("OK", "CHECK: the other building has a feed already"))
def feeds_state(panel_place: Choice, other_building_feeds: np.ndarray) -> np.ndarray:
    """Another building is supplied by one feeder or branch circuit, exceptions aside.

    Section: 225.30.
    Inputs: panel_place, other_building_feeds [feeds]. Result: place in the words.
    """
    return np.where(panel_place.is_("other building") & (other_building_feeds > 0), 1, 0)


@rule("heat_pump_most_a")
def heat_pump_most_a(
    *,
    add_heat_pump_kva: np.ndarray,
    va_per_kva: np.ndarray,
    line_v: np.ndarray,
    motor_rate: np.ndarray,
) -> np.ndarray:
    """The largest nameplate ampacity that the heat pump entered explains.

    Section: 440.4(B).
    Inputs: add_heat_pump_kva [kVA], line_v [V], motor_rate [1]. Result: [A].
    Limits: all of the heat pump is taken as its largest motor.

    >>> float(heat_pump_most_a(add_heat_pump_kva=4.8, va_per_kva=1000, line_v=240, motor_rate=0.25))
    25.0
    """
    return np.multiply(add_heat_pump_kva, va_per_kva) / line_v * (1.0 + motor_rate)


@rule(
    "heat_pump_state",
    words=(
        "OK",
        "STOP: nameplate ampacity over its breaker",
        "CHECK: the nameplate asks for more than entered",
    ),
)
def heat_pump_state(hp_mca_a: np.ndarray, hp_mocp_a: np.ndarray, heat_pump_most_a: np.ndarray) -> np.ndarray:
    """The nameplate of the new heat pump agrees with itself and with the load entered.

    Section: 440.4(B), 440.22.
    Inputs: currents [A]. Result: place in the words; OK without a nameplate.
    """
    return first_true((hp_mca_a > hp_mocp_a, hp_mca_a > heat_pump_most_a))
