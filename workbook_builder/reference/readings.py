"""Voltages measured at the added panel against those of its supply."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.findings import beginning
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6

NOT_TAKEN = "not taken"
OUTSIDE = "CHECK: outside the service range"
READINGS = (
    "l1_l2_reading",
    "l1_n_reading",
    "l2_n_reading",
    "l1_g_reading",
    "l2_g_reading",
    "n_g_reading",
    "lost_neutral_reading",
    "ground_reading",
)
RESULTS = ("OK", "STOP", "CHECK", NOT_TAKEN)
SWITCH_OFF = "Switch off, do not leave energized; find the fault before anything else."
ADVICE_UNLESS_STOP = (
    "Nothing to do.",
    "Take the reading again under load; find the cause before leaving.",
    "Take and record every reading when the panel is energized.",
)
ADVICE = (*ADVICE_UNLESS_STOP, SWITCH_OFF)


@rule("line_low_v", nominal_v="line_v")
@rule("leg_low_v", nominal_v="leg_voltage")
def lowest_v(nominal_v: np.ndarray, service_range: np.ndarray, percent: np.ndarray) -> np.ndarray:
    """The lowest voltage within the service range.

    Section: ANSI C84.1.
    Inputs: nominal_v [V], shares [%]. Result: [V].

    Example: 5 percent under 240, 208 and 120 V, ANSI C84.1 range A
    >>> lowest_v(np.array([240.0, 208.0, 120.0]), 5, 100).round(6).tolist()
    [228.0, 197.6, 114.0]
    """
    return nominal_v * (1.0 - np.divide(service_range, percent))


@rule("line_high_v", nominal_v="line_v")
@rule("leg_high_v", nominal_v="leg_voltage")
def highest_v(nominal_v: np.ndarray, service_range: np.ndarray, percent: np.ndarray) -> np.ndarray:
    """The highest voltage within the service range.

    Section: ANSI C84.1.
    Inputs: nominal_v [V], shares [%]. Result: [V].

    Example: 5 percent over 240, 208 and 120 V, ANSI C84.1 range A
    >>> highest_v(np.array([240.0, 208.0, 120.0]), 5, 100).round(6).tolist()
    [252.0, 218.4, 126.0]
    """
    return nominal_v * (1.0 + np.divide(service_range, percent))


@rule(
    "readings_given",
    voltages=("l1_l2_v", "l1_n_v", "l2_n_v", "l1_g_v", "l2_g_v", "n_g_v"),
)
def readings_given(voltages: tuple[np.ndarray, ...]) -> np.ndarray:
    """How many of the voltages are written down.

    Section: own rule.
    Inputs: voltages [V]. Result: [readings].
    """
    return np.count_nonzero(~np.isnan(np.broadcast_arrays(*voltages)), axis=0)


def _outside(voltage: np.ndarray, low_v: np.ndarray, high_v: np.ndarray) -> np.ndarray:
    return (voltage < low_v) | (voltage > high_v)


@rule(
    "l1_l2_reading",
    words=("OK", NOT_TAKEN, "STOP: both hots stand on one leg, or a line is dead", OUTSIDE),
)
def l1_l2_reading(
    *, l1_l2_v: np.ndarray, dead_below: np.ndarray, line_low_v: np.ndarray, line_high_v: np.ndarray
) -> np.ndarray:
    """Nothing between the lines is a fault, too little or too much a question.

    Section: ANSI C84.1.
    Inputs: voltages [V]. Result: place in the words.
    """
    return first_true((np.isnan(l1_l2_v), l1_l2_v < dead_below, _outside(l1_l2_v, line_low_v, line_high_v)))


@rule("l1_n_reading", words=("OK", NOT_TAKEN, "STOP: dead", OUTSIDE), leg_v="l1_n_v")
@rule("l2_n_reading", words=("OK", NOT_TAKEN, "STOP: dead", OUTSIDE), leg_v="l2_n_v")
@rule("l1_g_reading", words=("OK", NOT_TAKEN, "STOP: dead", OUTSIDE), leg_v="l1_g_v")
@rule("l2_g_reading", words=("OK", NOT_TAKEN, "STOP: dead", OUTSIDE), leg_v="l2_g_v")
def leg_reading(
    *, leg_v: np.ndarray, dead_below: np.ndarray, leg_low_v: np.ndarray, leg_high_v: np.ndarray
) -> np.ndarray:
    """A line without voltage to neutral or ground is a fault, too little or too much a question.

    Section: ANSI C84.1.
    Inputs: voltages [V]. Result: place in the words.
    """
    return first_true((np.isnan(leg_v), leg_v < dead_below, _outside(leg_v, leg_low_v, leg_high_v)))


@rule(
    "n_g_reading",
    words=("OK", NOT_TAKEN, "CHECK: high: look for a loose neutral or a load on the ground"),
)
def n_g_reading(n_g_v: np.ndarray, neutral_ground_most: np.ndarray) -> np.ndarray:
    """Neutral and ground differ only by the drop on the neutral.

    Section: common practice.
    Inputs: voltages [V]. Result: place in the words.
    """
    return first_true((np.isnan(n_g_v), n_g_v > neutral_ground_most))


def _apart(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """How far two voltages are apart, without sign; blank where one of them is."""
    return np.abs(round6(one - other))


@rule("legs_apart_v")
def legs_apart_v(l1_n_v: np.ndarray, l2_n_v: np.ndarray) -> np.ndarray:
    """How far the voltages of the two lines to neutral are apart.

    Section: common practice.
    Inputs: voltages [V]. Result: [V]; blank where one of them is.
    """
    return _apart(l1_n_v, l2_n_v)


@rule("legs_sum_holds", words=("no", "yes"))
def legs_sum_holds(
    *,
    l1_n_v: np.ndarray,
    l2_n_v: np.ndarray,
    l1_l2_v: np.ndarray,
    line_v: np.ndarray,
    wye_voltage: np.ndarray,
    legs_apart_most: np.ndarray,
) -> np.ndarray:
    """The voltages of the two lines to neutral make up the one between the lines.

    Section: common practice.
    Inputs: voltages [V]. Result: place in the words; no where a line to neutral is not measured.
    Limits: the legs of a wye never do.
    """
    between = np.where(np.isnan(l1_l2_v), line_v, l1_l2_v)
    add_up = _apart(l1_n_v + l2_n_v, between) <= legs_apart_most
    return (add_up & np.not_equal(line_v, wye_voltage)).astype(np.int8)


@rule(
    "lost_neutral_reading",
    words=(
        "OK",
        "STOP: lost neutral: one leg high, the other low",
        "CHECK: the legs differ; look for a loose connection",
    ),
)
def lost_neutral_reading(
    legs_apart_v: np.ndarray, legs_sum_holds: np.ndarray, legs_apart_most: np.ndarray
) -> np.ndarray:
    """Without neutral the legs share the voltage between the lines by their loads.

    Section: common practice.
    Inputs: voltages [V], legs_sum_holds [yes or no]. Result: place in the words; OK where a line to
    neutral is not measured.
    Limits: one dead line adds up, too, where the other has its voltage to both neutral and that line.
    """
    differ = legs_apart_v > legs_apart_most
    return first_true((differ & legs_sum_holds, differ))


@rule(
    "ground_reading",
    words=("OK", "CHECK: line to ground differs from line to neutral: look at the ground path"),
)
def ground_reading(l1_n_v: np.ndarray, l1_g_v: np.ndarray, legs_apart_most: np.ndarray) -> np.ndarray:
    """A line has the same voltage to ground as to neutral.

    Section: common practice.
    Inputs: voltages [V]. Result: place in the words; OK where one of them is not taken.
    """
    return np.where(_apart(l1_n_v, l1_g_v) > legs_apart_most, 1, 0)


@rule("reading_result", words=RESULTS, states=READINGS)
def reading_result(states: tuple[np.ndarray, ...]) -> np.ndarray:
    """The worst of the readings; one that was not taken only where none is wrong.

    Section: own rule.
    Inputs: states [place in their words]. Result: place in the words.
    """
    return first_true(tuple(_any_beginning(start, states) for start in RESULTS[1:]))


def _any_beginning(start: str, states: tuple[np.ndarray, ...]) -> np.ndarray:
    return np.any(np.broadcast_arrays(*beginning(start, READINGS, states)), axis=0)


@rule("advice_unless_stop", words=ADVICE_UNLESS_STOP)
def advice_unless_stop(reading_result: Choice) -> np.ndarray:
    """What to do about the readings where none of them stops.

    Section: common practice.
    Inputs: reading_result. Result: place in the words; that of OK where one stops.
    """
    return first_true((reading_result.is_("CHECK"), reading_result.is_(NOT_TAKEN)))


@rule("reading_advice", words=ADVICE)
def reading_advice(reading_result: Choice, advice_unless_stop: Choice) -> np.ndarray:
    """What to do about the readings.

    Section: common practice.
    Inputs: reading_result, advice_unless_stop [text]. Result: place in the words.
    """
    return np.where(reading_result.is_("STOP"), ADVICE.index(SWITCH_OFF), advice_unless_stop.codes)
