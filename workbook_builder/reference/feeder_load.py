"""Load of the added panel, its feeder breaker and the states of both."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.loads_cooking import column_c_kw, percent_of_column
from workbook_builder.reference.loads_methods import stepped
from workbook_builder.reference.registry import rule


@rule("moved_va")
def moved_va(
    *,
    move_kva: np.ndarray,
    va_per_kva: np.ndarray,
    moved_1pole_total: np.ndarray,
    move_1pole: np.ndarray,
    move_2pole: np.ndarray,
    move_1pole_load: np.ndarray,
    move_2pole_load: np.ndarray,
) -> np.ndarray:
    """Load of the moved circuits: the one given, with a load for each circuit moved beyond it.

    Section: 220.40; 120.40 (2026).
    Inputs: move_kva [kVA], circuits [circuits], loads of one [VA]. Result: [VA].
    Limits: no demand factor; without a given load, one load for each circuit (common practice).

    >>> float(moved_va(move_kva=np.nan, va_per_kva=1000, moved_1pole_total=3, move_1pole=2,
    ...                move_2pole=1, move_1pole_load=1500, move_2pole_load=4500))
    9000.0
    """
    extra = move_1pole_load * (moved_1pole_total - move_1pole)
    given = np.multiply(move_kva, va_per_kva) + extra
    estimated = move_1pole_load * moved_1pole_total + move_2pole_load * move_2pole
    return np.where(np.isnan(move_kva), estimated, given)


@rule("moved_neutral_va")
def moved_neutral_va(
    *,
    moved_va: np.ndarray,
    move_kva: np.ndarray,
    move_neutral_kva: np.ndarray,
    va_per_kva: np.ndarray,
) -> np.ndarray:
    """The part of the moved load that loads the neutral; all of it where not given.

    Section: 220.61; 120.61 (2026).
    Inputs: moved_va [VA], move_kva, move_neutral_kva [kVA]. Result: [VA].
    """
    between_lines = np.multiply(np.subtract(move_kva, move_neutral_kva), va_per_kva)
    return moved_va - np.where(np.isnan(between_lines), 0.0, between_lines)


@rule("feeder_range_va")
def feeder_range_va(
    *,
    planned_in: Choice,
    add_range_kw: np.ndarray,
    cooking_floor: np.ndarray,
    cooking_a_limit: np.ndarray,
    cooking_b_limit: np.ndarray,
    cooking_c_limit: np.ndarray,
    cooking_step_rate: np.ndarray,
    cooking_major_fraction: np.ndarray,
    percent: np.ndarray,
    va_per_kw: np.ndarray,
) -> np.ndarray:
    """The new range alone by the demand table, where the added panel serves it.

    Section: Table 220.55; Table 120.55 (2026).
    Inputs: add_range_kw and limits [kW], cooking_step_rate [1/kW]. Result: [VA].
    Limits: a unit up to the floor of the table stays whole.
    """
    by_c = column_c_kw(
        units=np.float64(1.0),
        raised_kw=np.maximum(add_range_kw, cooking_c_limit),
        cooking_c_limit=cooking_c_limit,
        cooking_step_rate=cooking_step_rate,
        cooking_major_fraction=cooking_major_fraction,
    )
    one = np.int64(1)
    share = np.where(
        add_range_kw < cooking_a_limit, percent_of_column("a", one), percent_of_column("b", one)
    )
    by_ab = np.where(add_range_kw <= cooking_b_limit, add_range_kw * share / percent, by_c)
    demand = np.where(add_range_kw <= cooking_floor, add_range_kw, np.minimum(by_c, by_ab))
    outside = planned_in.is_("main panel") | (add_range_kw == 0)
    return np.where(outside, 0.0, demand * va_per_kw)


@rule("feeder_dryer_va")
def feeder_dryer_va(
    *,
    planned_in: Choice,
    add_dryer_kw: np.ndarray,
    dryer_minimum: np.ndarray,
    va_per_kw: np.ndarray,
) -> np.ndarray:
    """The new dryer, at least the smallest dryer load, where the added panel serves it.

    Section: 220.54; 120.54 (2026).
    Inputs: add_dryer_kw [kW], dryer_minimum [VA]. Result: [VA].
    """
    outside = planned_in.is_("main panel") | (add_dryer_kw == 0)
    return np.where(outside, 0.0, np.maximum(add_dryer_kw * va_per_kw, dryer_minimum))


@rule("feeder_hvac_va")
def feeder_hvac_va(
    *,
    planned_in: Choice,
    add_heat_kw: np.ndarray,
    add_heat_pump_kva: np.ndarray,
    add_heat_pump_aux_kw: np.ndarray,
    add_ac_kva: np.ndarray,
    aux_with_compressor: np.ndarray,
    va_per_kw: np.ndarray,
    va_per_kva: np.ndarray,
) -> np.ndarray:
    """The larger of new heating and new cooling, where the added panel serves them.

    Section: 220.60; 120.60 (2026).
    Inputs: ratings [kW, kVA], aux_with_compressor [yes or no]. Result: [VA].
    """
    pump = add_heat_pump_kva * va_per_kva
    supplement = add_heat_pump_aux_kw * va_per_kw
    together = np.where(aux_with_compressor, pump + supplement, np.maximum(pump, supplement))
    heating = add_heat_kw * va_per_kw + together
    cooling = add_ac_kva * va_per_kva + pump
    return np.where(planned_in.is_("main panel"), 0.0, np.maximum(heating, cooling))


@rule("feeder_motor_va")
def feeder_motor_va(
    *,
    planned_in: Choice,
    add_heat_pump_kva: np.ndarray,
    add_ac_kva: np.ndarray,
    motor_rate: np.ndarray,
    va_per_kva: np.ndarray,
) -> np.ndarray:
    """Addition for the larger new motor, where the added panel serves it.

    Section: 220.50, 430.24; 120.50 (2026).
    Inputs: ratings [kVA], motor_rate [1]. Result: [VA].
    """
    motor = motor_rate * np.maximum(add_heat_pump_kva, add_ac_kva) * va_per_kva
    return np.where(planned_in.is_("main panel"), 0.0, motor)


@rule("feeder_other_va")
def feeder_other_va(
    *,
    planned_in: Choice,
    new_water_heater_va: np.ndarray,
    new_spa_va: np.ndarray,
    other_load_va: np.ndarray,
) -> np.ndarray:
    """New water heater, spa and other loads, where the added panel serves them.

    Section: 220.40; 120.40 (2026).
    Inputs: loads [VA]. Result: [VA].
    """
    loads = new_water_heater_va + new_spa_va + other_load_va
    return np.where(planned_in.is_("main panel"), 0.0, loads)


@rule("feeder_ev_va")
def feeder_ev_va(planned_in: Choice, new_ev_va: np.ndarray) -> np.ndarray:
    """New vehicle supply at nameplate, where the added panel serves it.

    Section: 625.41.
    Inputs: new_ev_va [VA]. Result: [VA].
    Limits: no smallest load; the addition for continuous load comes with the breaker.
    """
    return np.where(planned_in.is_("main panel"), 0.0, new_ev_va)


@rule("feeder_plain_va")
def feeder_plain_va(
    *,
    moved_va: np.ndarray,
    feeder_range_va: np.ndarray,
    feeder_dryer_va: np.ndarray,
    feeder_hvac_va: np.ndarray,
    feeder_motor_va: np.ndarray,
    feeder_other_va: np.ndarray,
    feeder_ev_va: np.ndarray,
) -> np.ndarray:
    """Load of the added panel without the addition for continuous load.

    Section: 215.2(A)(1).
    Inputs: loads [VA]. Result: [VA].
    """
    kitchen = feeder_range_va + feeder_dryer_va
    climate = feeder_hvac_va + feeder_motor_va
    return moved_va + kitchen + climate + feeder_other_va + feeder_ev_va


@rule("feeder_continuous_va")
def feeder_continuous_va(
    move_continuous_kva: np.ndarray, va_per_kva: np.ndarray, feeder_ev_va: np.ndarray
) -> np.ndarray:
    """The part of that load that runs three hours or more.

    Section: 215.2(A)(1).
    Inputs: move_continuous_kva [kVA], feeder_ev_va [VA]. Result: [VA].
    """
    return move_continuous_kva * va_per_kva + feeder_ev_va


@rule("feeder_load_a")
def feeder_load_a(
    *,
    feeder_plain_va: np.ndarray,
    feeder_continuous_va: np.ndarray,
    continuous_rate: np.ndarray,
    line_v: np.ndarray,
) -> np.ndarray:
    """Load for conductors and breaker: continuous load at 125 percent.

    Section: 215.2(A)(1), 215.3.
    Inputs: loads [VA], continuous_rate [1], line_v [V]. Result: [A].

    Example: 200 A, all continuous,
    https://ecmweb.com/national-electrical-code/qa/article/20898688/stumped-by-the-code-rules-for-sizing-feeder-conductors
    >>> float(feeder_load_a(feeder_plain_va=48000, feeder_continuous_va=48000,
    ...                     continuous_rate=0.25, line_v=240))
    250.0
    """
    return np.divide(feeder_plain_va + continuous_rate * feeder_continuous_va, line_v)


@rule("feeder_needed_a")
def feeder_needed_a(feeder_load_a: np.ndarray, feeder_minimum: np.ndarray) -> np.ndarray:
    """The next standard rating at or above the load and the smallest breaker installed.

    Section: 240.6(A), 215.3.
    Inputs: feeder_load_a, feeder_minimum [A]. Result: [A]; blank over the table.

    Example: Annex D1(b), 104 A: 110 A.
    >>> float(feeder_needed_a(104, 60)), float(feeder_needed_a(801, 60))
    (110.0, nan)
    """
    least = np.maximum(feeder_load_a, feeder_minimum)
    row = lookup.first_row_from("standard_rating", "rating_a", least)
    return lookup.at_position("standard_rating", "rating_a", row)


@rule("feeder_breaker_a")
def feeder_breaker_a(
    feeder_breaker_wanted_a: np.ndarray, feeder_needed_a: np.ndarray
) -> np.ndarray:
    """The breaker wished for, else the one needed.

    Section: 215.3.
    Inputs: feeder_breaker_wanted_a, feeder_needed_a [A]. Result: [A].
    Limits: a wish below the need is kept and stopped, never raised silently.
    """
    return np.where(np.greater(feeder_breaker_wanted_a, 0), feeder_breaker_wanted_a, feeder_needed_a)


@rule("breaker_below_a")
def breaker_below_a(feeder_breaker_a: np.ndarray) -> np.ndarray:
    """The largest standard rating under the breaker.

    Section: 240.6(A).
    Inputs: feeder_breaker_a [A]. Result: [A]; 0 under the smallest, blank without a breaker.

    >>> float(breaker_below_a(110)), float(breaker_below_a(15))
    (100.0, 0.0)
    """
    row = lookup.rows_under("standard_rating", "rating_a", feeder_breaker_a)
    below = np.where(row == 0, 0.0, lookup.at_position("standard_rating", "rating_a", row))
    return np.where(np.isnan(feeder_breaker_a), np.nan, below)


@rule(
    "breaker_state",
    words=(
        "OK",
        "STOP: no standard rating carries the load",
        "STOP: the breaker is no standard rating",
        "STOP: the breaker is under the load",
        "STOP: the breaker is over the service rating",
        "STOP: the breaker is over the branch limit of the main panel",
        "STOP: the breaker is over the bus of the added panel",
        "STOP: another building needs a larger disconnect",
        "CHECK: the breaker is under the smallest the company installs",
    ),
)
def breaker_state(
    *,
    feeder_breaker_a: np.ndarray,
    feeder_load_a: np.ndarray,
    service_a: np.ndarray,
    branch_limit_a: np.ndarray,
    added_bus_wanted_a: np.ndarray,
    panel_place: Choice,
    building_minimum: np.ndarray,
    feeder_minimum: np.ndarray,
) -> np.ndarray:
    """The first thing that is wrong with the feeder breaker.

    Section: 215.3, 408.36, 225.39.
    Inputs: ratings and load [A], panel_place. Result: place in the words.
    Limits: a branch limit or a wished bus of 0 sets no limit.
    """
    row = lookup.first_row_from("standard_rating", "rating_a", feeder_breaker_a)
    standard = lookup.at_position("standard_rating", "rating_a", row) == feeder_breaker_a
    faults = (
        np.isnan(feeder_breaker_a),
        ~standard,
        feeder_breaker_a < feeder_load_a,
        feeder_breaker_a > service_a,
        (branch_limit_a > 0) & (feeder_breaker_a > branch_limit_a),
        (added_bus_wanted_a > 0) & (added_bus_wanted_a < feeder_breaker_a),
        panel_place.is_("other building") & (feeder_breaker_a < building_minimum),
        feeder_breaker_a < feeder_minimum,
    )
    return first_true(faults)


def first_true(faults: tuple[np.ndarray, ...]) -> np.ndarray:
    """Position of the first condition that holds; 0 where none does.

    >>> first_true((np.array([False, False]), np.array([True, False]))).tolist()
    [2, 0]
    """
    state = np.zeros(np.broadcast(*faults).shape, dtype=np.int8)
    for place in range(len(faults), 0, -1):
        state = np.where(faults[place - 1], np.int8(place), state)
    return state


@rule("feeder_neutral_va")
def feeder_neutral_va(
    *,
    moved_neutral_va: np.ndarray,
    feeder_range_va: np.ndarray,
    feeder_dryer_va: np.ndarray,
    new_spa_va: np.ndarray,
    other_load_va: np.ndarray,
    planned_in: Choice,
    line_v: np.ndarray,
    wye_voltage: np.ndarray,
    neutral_rate: np.ndarray,
) -> np.ndarray:
    """Load of the added panel between lines and neutral, range and dryer at 70 percent.

    Section: 220.61; 120.61 (2026).
    Inputs: loads [VA], voltages [V], neutral_rate [1]. Result: [VA].
    Limits: no reduction on a 208Y/120 three-wire supply.
    """
    rate = np.where(np.equal(line_v, wye_voltage), 1.0, neutral_rate)
    new = np.where(planned_in.is_("added panel"), new_spa_va + other_load_va, 0.0)
    return moved_neutral_va + rate * (feeder_range_va + feeder_dryer_va) + new


@rule("feeder_neutral_a")
def feeder_neutral_a(
    *,
    feeder_neutral_va: np.ndarray,
    neutral_whole: np.ndarray,
    neutral_rate: np.ndarray,
    line_v: np.ndarray,
    wye_voltage: np.ndarray,
) -> np.ndarray:
    """Neutral current of the feeder: whole up to 200 A, the part over it at 70 percent.

    Section: 220.61(B), (C); 120.61(B), (C) (2026).
    Inputs: feeder_neutral_va [VA], neutral_whole [A], line_v [V], neutral_rate [1]. Result: [A].
    Limits: no reduction on a 208Y/120 three-wire supply.

    >>> float(feeder_neutral_a(feeder_neutral_va=72000, neutral_whole=200, neutral_rate=0.7,
    ...                        line_v=240, wye_voltage=208))
    270.0
    """
    reduced = stepped(feeder_neutral_va, np.multiply(neutral_whole, line_v), neutral_rate)
    wye = np.equal(line_v, wye_voltage)
    return np.where(wye, feeder_neutral_va, reduced) / line_v
