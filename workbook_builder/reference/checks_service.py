"""Checks of load and service that no other rule makes."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6


@rule(
    "point_low_voltage",
    words=("OK", "CHECK: 240 V heaters give about 75 percent at 208 V"),
    heaters=(
        "heat_kw",
        "heat_pump_aux_kw",
        "water_heater_kw",
        "add_heat_kw",
        "add_heat_pump_aux_kw",
        "add_water_heater_kw",
    ),
)
def point_low_voltage(
    line_v: np.ndarray, wye_voltage: np.ndarray, heaters: tuple[np.ndarray, ...]
) -> np.ndarray:
    """Resistance heaters at 208 V: the square of 208 over 240 is about 75 percent.

    Section: common practice.
    Inputs: voltages [V], heaters [kW]. Result: place in the words.
    """
    any_heater = np.any(np.greater(np.broadcast_arrays(*heaters), 0), axis=0)
    return np.where(np.equal(line_v, wye_voltage) & any_heater, 1, 0)


@rule(
    "point_utility",
    words=(
        "OK",
        "CHECK: the utility must agree to the larger service",
        "CHECK: a supply-side connection needs the utility and its own disconnect",
    ),
)
def point_utility(in_service: np.ndarray, source_place: Choice) -> np.ndarray:
    """Work that needs the utility: a larger service, a source before the service disconnect.

    Section: 705.12(A) (2017), 705.11 (2020 and later).
    Inputs: in_service [0 or 1], source_place. Result: place in the words.
    """
    return first_true((np.equal(in_service, 1), source_place.is_("supply side")))


@rule(
    "point_emergency_disconnect",
    words=(
        "OK",
        "CHECK: emergency disconnect outdoors: the old panel gets a four-wire feed, its bond comes out",
    ),
)
def point_emergency_disconnect(in_service: np.ndarray, emergency_disconnect: np.ndarray) -> np.ndarray:
    """A new service has its disconnect outdoors, so the old panel is no longer service equipment.

    Section: none (2017), 230.85 (2020, 2023), 230.70 (2026).
    Inputs: in_service [0 or 1], emergency_disconnect [each]. Result: place in the words.
    """
    return np.where(np.equal(in_service, 1) & np.equal(emergency_disconnect, 1), 1, 0)


@rule(
    "point_surge",
    words=("OK", "CHECK: a dwelling in the other building needs a surge device, not priced"),
)
def point_surge(in_added: np.ndarray, is_building: np.ndarray, surge_feeder: np.ndarray) -> np.ndarray:
    """A feeder to a dwelling in another building has a surge device; others are priced with one.

    Section: 225.42.
    Inputs: in_added, is_building [0 or 1], surge_feeder [each]. Result: place in the words.
    """
    wanted = np.equal(in_added, 1) & np.equal(is_building, 1) & np.equal(surge_feeder, 1)
    return np.where(wanted, 1, 0)


@rule(
    "point_service_margin",
    words=("OK", "CHECK: the way chosen leaves little of the service"),
)
def point_service_margin(
    *,
    chosen_spare_a: np.ndarray,
    thin_margin: np.ndarray,
    in_service: np.ndarray,
    new_service_a: np.ndarray,
    service_a: np.ndarray,
) -> np.ndarray:
    """A way that works but leaves a small part of the rating says so.

    Section: own rule.
    Inputs: chosen_spare_a, ratings [A], thin_margin [1], in_service [0 or 1]. Result: place in the
    words.
    Limits: a way that leaves less than nothing is a STOP elsewhere.
    """
    rating = np.where(np.equal(in_service, 1), new_service_a, service_a)
    thin = (chosen_spare_a >= 0) & (chosen_spare_a < round6(thin_margin * rating))
    return np.where(thin, 1, 0)


@rule(
    "point_ev_connection",
    words=("OK", "STOP: the vehicle circuit is too large for a receptacle"),
)
def point_ev_connection(
    ev_connection: Choice, ev_circuit_least_a: np.ndarray, receptacle_largest: np.ndarray
) -> np.ndarray:
    """A receptacle given for a vehicle unit is within the largest circuit of one.

    Section: 625.44, 625.54.
    Inputs: ev_connection, currents [A]. Result: place in the words.
    """
    large = np.greater(ev_circuit_least_a, receptacle_largest)
    return np.where(ev_connection.is_("receptacle") & large, 1, 0)


@rule(
    "point_set_point",
    words=("OK", "CHECK: the load-management system is listed and its set point locked"),
)
def point_set_point(in_control: np.ndarray) -> np.ndarray:
    """Load control counts only by a listed system with a fixed set point.

    Section: 625.42.
    Inputs: in_control [0 or 1]. Result: place in the words.
    """
    return np.where(np.equal(in_control, 1), 1, 0)


@rule(
    "point_new_rating",
    words=(
        "OK",
        "CHECK: new breakers and panels need a rating for this fault current, or a listed series rating",
    ),
)
def point_new_rating(fault_ka: np.ndarray, breaker_rating_ka: np.ndarray) -> np.ndarray:
    """Ordinary new breakers may not interrupt the fault current of the house.

    Section: 110.9, 240.86.
    Inputs: fault_ka, breaker_rating_ka [kA]. Result: place in the words; nothing is said where the
    fault current is blank.
    """
    return np.greater(fault_ka, breaker_rating_ka).astype(np.int8)
