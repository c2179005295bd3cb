"""Voltage drop of the feeder."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice
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


@rule("size_for_drop")
def size_for_drop(impedance_key: Choice, power_factor: np.ndarray, drop_z_limit: np.ndarray) -> np.ndarray:
    """Smallest size whose effective impedance keeps the voltage drop.

    Section: Chapter 9 Table 9 note 2, 215.2 note.
    Inputs: impedance_key, power_factor [1], drop_z_limit [ohm/kft]. Result: position of the
    size; one past the end where none passes.
    Limits: impedance is rounded at six decimals before it meets the limit.
    """
    position = np.ones(np.shape(drop_z_limit), dtype=np.int64)
    factors = np.broadcast_to(power_factor, position.shape)
    for factor in np.unique(factors):
        block = round6(lookup.impedance_block(float(factor)))
        lowest = np.minimum.accumulate(np.where(np.isnan(block), np.inf, block), axis=1)
        for column, values in enumerate(lowest):
            here = (factors == factor) & (impedance_key.codes == column)
            position[here] = np.searchsorted(-values, -drop_z_limit[here], side="left") + 1
    return position


@rule("size_by_drop")
def size_by_drop(
    drop_governs: np.ndarray, feeder_plain_a: np.ndarray, size_for_drop: np.ndarray
) -> np.ndarray:
    """The voltage drop asks for a size only where it governs and there is a load.

    Section: 215.2 note.
    Inputs: drop_governs [yes or no], feeder_plain_a [A], size_for_drop. Result: position of the
    size.
    """
    return np.where(drop_governs & (feeder_plain_a != 0), size_for_drop, 1)


def _drop_percent(
    impedance: np.ndarray,
    feeder_plain_a: np.ndarray,
    run_ft: np.ndarray,
    feet_per_kft: np.ndarray,
    line_v: np.ndarray,
    percent: np.ndarray,
) -> np.ndarray:
    return 2.0 * feeder_plain_a * run_ft / feet_per_kft * impedance / line_v * percent


@rule("feeder_resistance")
def feeder_resistance(impedance_key: Choice, feeder_size: np.ndarray) -> np.ndarray:
    """Alternating-current resistance of the ungrounded conductors.

    Section: Chapter 9 Table 9.
    Inputs: impedance_key, feeder_size. Result: [ohm/kft]; blank without a size.
    """
    return lookup.by_column("ac_resistance", impedance_key, feeder_size)


@rule("feeder_reactance")
def feeder_reactance(impedance_key: Choice, feeder_size: np.ndarray) -> np.ndarray:
    """Reactance of the ungrounded conductors.

    Section: Chapter 9 Table 9.
    Inputs: impedance_key, feeder_size. Result: [ohm/kft]; blank without a size.
    """
    return lookup.by_column("ac_reactance", impedance_key, feeder_size)


@rule("voltage_drop_percent")
def voltage_drop_percent(
    *,
    feeder_resistance: np.ndarray,
    feeder_reactance: np.ndarray,
    power_factor: np.ndarray,
    feeder_plain_a: np.ndarray,
    run_ft: np.ndarray,
    feet_per_kft: np.ndarray,
    line_v: np.ndarray,
    percent: np.ndarray,
) -> np.ndarray:
    """Voltage drop by effective impedance, at the load without the addition.

    Section: Chapter 9 Table 9 note 2, 215.2 note.
    Inputs: feeder_resistance, feeder_reactance [ohm/kft], power_factor [1], feeder_plain_a [A],
    run_ft [ft], line_v [V]. Result: [%]; blank without a size.
    Limits: single phase, out and back; 75 C conductors.
    """
    sine = np.sqrt(1.0 - np.square(power_factor))
    ohms = feeder_resistance * power_factor + feeder_reactance * sine
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
