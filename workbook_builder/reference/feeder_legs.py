"""Voltage drop of each leg of the feeder to its neutral."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule


def _sine(power_factor: np.ndarray) -> np.ndarray:
    return np.sqrt(1.0 - np.square(power_factor))


@rule("neutral_resistance")
def neutral_resistance(impedance_key: Choice, neutral_size: np.ndarray) -> np.ndarray:
    """Alternating-current resistance of the neutral.

    Section: Chapter 9 Table 9.
    Inputs: impedance_key, neutral_size. Result: [ohm/kft]; blank without a size.
    """
    return lookup.by_column("ac_resistance", impedance_key, neutral_size)


@rule("neutral_reactance")
def neutral_reactance(impedance_key: Choice, neutral_size: np.ndarray) -> np.ndarray:
    """Reactance of the neutral.

    Section: Chapter 9 Table 9.
    Inputs: impedance_key, neutral_size. Result: [ohm/kft]; blank without a size.
    """
    return lookup.by_column("ac_reactance", impedance_key, neutral_size)


@rule("hot_impedance", resistance="feeder_resistance", reactance="feeder_reactance")
@rule("neutral_impedance", resistance="neutral_resistance", reactance="neutral_reactance")
def effective_impedance(
    resistance: np.ndarray, reactance: np.ndarray, power_factor: np.ndarray
) -> np.ndarray:
    """The part of the impedance whose drop is in phase with the voltage.

    Section: Chapter 9 Table 9 note 2.
    Inputs: resistance, reactance [ohm/kft], power_factor [1]. Result: [ohm/kft]; blank without a size.
    """
    return resistance * power_factor + reactance * _sine(power_factor)


@rule("leg_v")
def leg_v(line_v: np.ndarray, wye_voltage: np.ndarray, leg_voltage: np.ndarray) -> np.ndarray:
    """Half of the line voltage, but on a wye supply the voltage of its legs.

    Section: arithmetic.
    Inputs: voltages [V]. Result: [V].
    """
    return np.where(line_v == wye_voltage, leg_voltage, line_v / 2.0)


@rule("leg_a_a", load="leg_a_va")
@rule("leg_b_a", load="leg_b_va")
def leg_a(load: np.ndarray, leg_v: np.ndarray) -> np.ndarray:
    """Current of a leg by its load.

    Section: arithmetic.
    Inputs: load [VA], leg_v [V]. Result: [A].
    """
    return load / leg_v


@rule("neutral_cross_a", turn=1.0)
@rule("neutral_cross_b", turn=-1.0)
def neutral_cross(
    *,
    line_v: np.ndarray,
    wye_voltage: np.ndarray,
    neutral_resistance: np.ndarray,
    neutral_reactance: np.ndarray,
    power_factor: np.ndarray,
    wye_half_root: np.ndarray,
    turn: float,
) -> np.ndarray:
    """What the current of the other leg, a third of a turn away, does along this leg in the neutral.

    Section: arithmetic.
    Inputs: voltages [V], neutral_resistance, neutral_reactance [ohm/kft], power_factor,
    wye_half_root [1], turn [1 for a leg that the other one lags, -1 for one that lags the other].
    Result: [ohm/kft]; 0 unless the supply is a wye.
    """
    sine = _sine(power_factor)
    cosine_turned = -power_factor / 2.0 - turn * wye_half_root * sine
    sine_turned = -sine / 2.0 + turn * wye_half_root * power_factor
    turned = neutral_resistance * cosine_turned + neutral_reactance * sine_turned
    return np.where(line_v == wye_voltage, turned, 0.0)


@rule("drop_leg_a_percent", own="leg_a_a", other="leg_b_a", neutral_cross="neutral_cross_a")
@rule("drop_leg_b_percent", own="leg_b_a", other="leg_a_a", neutral_cross="neutral_cross_b")
def drop_leg_percent(
    *,
    own: np.ndarray,
    other: np.ndarray,
    neutral_cross: np.ndarray,
    hot_impedance: np.ndarray,
    neutral_impedance: np.ndarray,
    line_v: np.ndarray,
    wye_voltage: np.ndarray,
    leg_v: np.ndarray,
    run_ft: np.ndarray,
    feet_per_kft: np.ndarray,
    percent: np.ndarray,
) -> np.ndarray:
    """Drop on the hot conductor and on the neutral, which carries both legs, against each other or turned.

    Section: Chapter 9 Table 9 note 2.
    Inputs: currents of both legs [A], impedances [ohm/kft], voltages [V], run_ft [ft].
    Result: [%]; blank without a size.
    Limits: both legs at the power factor of the parameter.
    """
    between = np.where(line_v == wye_voltage, neutral_cross, -neutral_impedance)
    volts = (own * (hot_impedance + neutral_impedance) + other * between) * run_ft / feet_per_kft
    return volts / leg_v * percent
