"""Voltage drop of the feeder, and the working space in front of the added panel."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.feeder_load import first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6


@rule("drop_z_limit")
def drop_z_limit(
    *,
    drop_limit_percent: np.ndarray,
    percent: np.ndarray,
    line_v: np.ndarray,
    feet_per_kft: np.ndarray,
    feeder_plain_a: np.ndarray,
    run_ft: np.ndarray,
) -> np.ndarray:
    """Largest impedance that keeps the voltage drop within its target.

    Section: 215.2 note.
    Inputs: drop_limit_percent [%], line_v [V], feeder_plain_a [A], run_ft [ft].
    Result: [ohm/kft]; 0 without load.

    Example: 1 ohm/kft brings 12 V on 60 A over 100 ft, 5 percent of 240 V (arithmetic).
    >>> float(drop_z_limit(drop_limit_percent=5, percent=100, line_v=240, feet_per_kft=1000,
    ...                    feeder_plain_a=60, run_ft=100))
    1.0
    """
    volts = drop_limit_percent / percent * line_v
    length = np.where(np.equal(feeder_plain_a, 0), 1.0, 2.0 * np.multiply(feeder_plain_a, run_ft))
    return np.where(np.equal(feeder_plain_a, 0), 0.0, volts * feet_per_kft / length)


@rule("impedance_key", words=lookup.impedance_columns())
def impedance_key(material: Choice, wiring: Choice) -> np.ndarray:
    """Column of the impedance table: metal of the conductor and of the conduit.

    Section: Chapter 9 Table 9.
    Inputs: material, wiring. Result: place in the words.
    """
    columns = lookup.impedance_columns()
    place = np.full(np.broadcast(material.codes, wiring.codes).shape, -1, dtype=np.int64)
    for number, column in enumerate(columns):
        metal, conduit = column.split(" ")
        here = material.is_(metal) & lookup.has_word("wiring_method", "impedance", conduit, wiring)
        place = np.where(here, number, place)
    return place


@rule("size_by_drop")
def size_by_drop(
    *,
    drop_governs: np.ndarray,
    feeder_plain_a: np.ndarray,
    impedance_key: Choice,
    power_factor: np.ndarray,
    drop_z_limit: np.ndarray,
) -> np.ndarray:
    """Smallest size whose effective impedance keeps the voltage drop, where it governs.

    Section: Chapter 9 Table 9 note 2, 215.2 note.
    Inputs: drop_governs [yes or no], feeder_plain_a [A], power_factor [1], drop_z_limit [ohm/kft].
    Result: position of the size; one past the end where none passes.
    Limits: impedance is rounded at six decimals before it meets the limit.
    """
    position = np.ones(np.shape(drop_z_limit), dtype=np.int64)
    asked = np.broadcast_to(drop_governs & (feeder_plain_a != 0), position.shape)
    factors = np.broadcast_to(power_factor, position.shape)
    for factor in np.unique(factors[asked]):
        block = round6(lookup.impedance_block(float(factor))[:, 1:-1])
        lowest = np.minimum.accumulate(np.where(np.isnan(block), np.inf, block), axis=1)
        for column, values in enumerate(lowest):
            here = asked & (factors == factor) & (impedance_key.codes == column)
            position[here] = np.searchsorted(-values, -drop_z_limit[here], side="left") + 1
    return position


def _drop_percent(
    impedance: np.ndarray,
    feeder_plain_a: np.ndarray,
    run_ft: np.ndarray,
    feet_per_kft: np.ndarray,
    line_v: np.ndarray,
    percent: np.ndarray,
) -> np.ndarray:
    return 2.0 * feeder_plain_a * run_ft / feet_per_kft * impedance / line_v * percent


@rule("voltage_drop_percent")
def voltage_drop_percent(
    *,
    feeder_size: np.ndarray,
    impedance_key: Choice,
    power_factor: np.ndarray,
    feeder_plain_a: np.ndarray,
    run_ft: np.ndarray,
    feet_per_kft: np.ndarray,
    line_v: np.ndarray,
    percent: np.ndarray,
) -> np.ndarray:
    """Voltage drop by effective impedance, at the load without the addition.

    Section: Chapter 9 Table 9 note 2, 215.2 note.
    Inputs: feeder_size, power_factor [1], feeder_plain_a [A], run_ft [ft], line_v [V].
    Result: [%]; blank without a size.
    Limits: single phase, out and back; 75 C conductors.
    """
    ohms = lookup.impedance(power_factor, impedance_key.codes, feeder_size)
    return _drop_percent(ohms, feeder_plain_a, run_ft, feet_per_kft, line_v, percent)


@rule("drop_table8_percent")
def drop_table8_percent(
    *,
    feeder_size: np.ndarray,
    material: Choice,
    feeder_plain_a: np.ndarray,
    run_ft: np.ndarray,
    feet_per_kft: np.ndarray,
    line_v: np.ndarray,
    percent: np.ndarray,
) -> np.ndarray:
    """Voltage drop by direct-current resistance, for comparison.

    Section: Chapter 9 Table 8.
    Inputs: feeder_size, material, feeder_plain_a [A], run_ft [ft], line_v [V]. Result: [%].

    Example: 1 AWG aluminum, 80 A over 150 ft (2.53 percent by Table 8),
    https://diy.stackexchange.com/questions/273760/what-size-feeder-wire-for-100-amp-load-center-150-feet-away-from-the-service-pan
    >>> aluminum = Choice.of(lookup.METALS, "aluminum")
    >>> float(drop_table8_percent(feeder_size=np.array(9), material=aluminum, feeder_plain_a=80,
    ...       run_ft=150, feet_per_kft=1000, line_v=240, percent=100)[0].round(2))
    2.53
    """
    ohms = lookup.by_metal("bare_conductor", material, feeder_size)
    return _drop_percent(ohms, feeder_plain_a, run_ft, feet_per_kft, line_v, percent)


@rule("drop_state", words=("OK", "CHECK: the voltage drop is over the target"))
def drop_state(voltage_drop_percent: np.ndarray, drop_limit_percent: np.ndarray) -> np.ndarray:
    """A voltage drop over the target is worth a look; the code sets no limit for this feeder.

    Section: 215.2 note.
    Inputs: voltage_drop_percent, drop_limit_percent [%]. Result: place in the words.
    """
    return np.where(voltage_drop_percent > drop_limit_percent, 1, 0)


@rule(
    "working_space_state",
    words=(
        "OK",
        "STOP: no overcurrent device in this room",
        "STOP: the working space is too narrow",
        "STOP: the working space is too shallow",
        "STOP: the working space is too low",
        "STOP: the highest handle is too high",
        "CHECK: low headroom, only by the exception for existing dwellings",
        "CHECK: working space not measured",
    ),
)
def working_space_state(
    *,
    room: Choice,
    clear_width_in: np.ndarray,
    clear_depth_in: np.ndarray,
    clear_height_in: np.ndarray,
    panel_width_in: np.ndarray,
    top_breaker_height_in: np.ndarray,
    panel_place: Choice,
    service_a: np.ndarray,
    working_width: np.ndarray,
    working_depth: np.ndarray,
    working_height: np.ndarray,
    handle_height: np.ndarray,
    low_headroom_service: np.ndarray,
) -> np.ndarray:
    """The first thing that is wrong with the place of the added panel.

    Section: 110.26(A), 240.24.
    Inputs: room, panel_place, clear space and heights [in], service_a [A].
    Result: place in the words.
    Limits: a length that is not measured fails no test of its own.
    """
    low = clear_height_in < working_height
    no_exception = panel_place.is_("other building") | (service_a > low_headroom_service)
    unmeasured = np.isnan(clear_width_in) | np.isnan(clear_depth_in) | np.isnan(clear_height_in)
    faults = (
        room.is_("bathroom", "clothes closet", "stairs"),
        (clear_width_in < working_width) | (clear_width_in < panel_width_in),
        clear_depth_in < working_depth,
        low & no_exception,
        top_breaker_height_in > handle_height,
        low,
        unmeasured,
    )
    return first_true(faults)
