"""Load of the added panel, on its feeder and its neutral."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice
from workbook_builder.reference.loads_cooking_demand import column_c_kw, percent_of_column
from workbook_builder.reference.loads_methods import stepped
from workbook_builder.reference.registry import rule


@rule("moved_va")
def moved_va(
    *,
    move_kva: np.ndarray,
    va_per_kva: np.ndarray,
    listed_moves: np.ndarray,
    listed_move_va: np.ndarray,
    moved_1pole_total: np.ndarray,
    move_1pole_used: np.ndarray,
    move_2pole_used: np.ndarray,
    move_1pole_load: np.ndarray,
    move_2pole_load: np.ndarray,
) -> np.ndarray:
    """Load of the moved circuits: given, else listed, with a load for each circuit moved beyond these.

    Section: 220.40; 120.40 (2026).
    Inputs: move_kva [kVA], circuits [circuits], loads of one [VA]. Result: [VA].
    Limits: no demand factor; without a given load, one load for each circuit (common practice).

    >>> float(moved_va(move_kva=np.nan, va_per_kva=1000, listed_moves=0, listed_move_va=0,
    ...                moved_1pole_total=3, move_1pole_used=2, move_2pole_used=1,
    ...                move_1pole_load=1500, move_2pole_load=4500))
    9000.0
    """
    extra = move_1pole_load * (moved_1pole_total - move_1pole_used)
    given = np.multiply(move_kva, va_per_kva) + extra
    estimated = move_1pole_load * moved_1pole_total + move_2pole_load * move_2pole_used
    listed = np.where(np.greater(listed_moves, 0), listed_move_va + extra, estimated)
    return np.where(np.isnan(move_kva), listed, given)


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


@rule("feeder_range_c_kw")
def feeder_range_c_kw(
    *,
    add_range_kw: np.ndarray,
    cooking_c_limit: np.ndarray,
    cooking_step_rate: np.ndarray,
    cooking_major_fraction: np.ndarray,
) -> np.ndarray:
    """The new range alone by column C, raised for each kW over its limit.

    Section: Table 220.55 note 1; Table 120.55 note 1 (2026).
    Inputs: add_range_kw, cooking_c_limit, cooking_major_fraction [kW], cooking_step_rate [1/kW].
    Result: [kW].

    Example: one range of 14 kW, https://sciemce.com/qa/g0CLQ1jC7Xm5
    >>> float(feeder_range_c_kw(add_range_kw=14, cooking_c_limit=12, cooking_step_rate=0.05,
    ...                         cooking_major_fraction=0.5).round(6))
    8.8
    """
    return column_c_kw(
        units=np.float64(1.0),
        raised_kw=np.maximum(add_range_kw, cooking_c_limit),
        cooking_c_limit=cooking_c_limit,
        cooking_step_rate=cooking_step_rate,
        cooking_major_fraction=cooking_major_fraction,
    )


@rule("feeder_range_ab_kw")
def feeder_range_ab_kw(
    *,
    add_range_kw: np.ndarray,
    cooking_a_limit: np.ndarray,
    cooking_b_limit: np.ndarray,
    percent: np.ndarray,
    feeder_range_c_kw: np.ndarray,
) -> np.ndarray:
    """The new range alone by column A or B; by column C where it is too large for them.

    Section: Table 220.55 note 3; Table 120.55 note 3 (2026).
    Inputs: ratings and limits [kW]. Result: [kW].
    """
    one = np.int64(1)
    in_a = add_range_kw < cooking_a_limit
    share = np.where(in_a, percent_of_column("a", one), percent_of_column("b", one))
    return np.where(add_range_kw > cooking_b_limit, feeder_range_c_kw, add_range_kw * share / percent)


@rule("feeder_range_va")
def feeder_range_va(
    *,
    planned_in: Choice,
    add_range_kw: np.ndarray,
    cooking_floor: np.ndarray,
    feeder_range_c_kw: np.ndarray,
    feeder_range_ab_kw: np.ndarray,
    va_per_kw: np.ndarray,
) -> np.ndarray:
    """The new range alone by the demand table, where the added panel serves it.

    Section: Table 220.55; Table 120.55 (2026).
    Inputs: ratings [kW], cooking_floor [kW]. Result: [VA].
    Limits: a unit up to the floor of the table stays whole.
    """
    by_table = np.minimum(feeder_range_c_kw, feeder_range_ab_kw)
    demand = np.where(add_range_kw <= cooking_floor, add_range_kw, by_table)
    return np.where(planned_in.is_("main panel"), 0.0, demand * va_per_kw)


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


@rule("feeder_heating_va")
def feeder_heating_va(
    *,
    add_heat_kw: np.ndarray,
    add_heat_pump_kva: np.ndarray,
    add_heat_pump_aux_kw: np.ndarray,
    aux_with_compressor: np.ndarray,
    va_per_kw: np.ndarray,
    va_per_kva: np.ndarray,
) -> np.ndarray:
    """New heating: resistance heat, and the heat pump with its supplement where they run together.

    Section: 220.60; 120.60 (2026).
    Inputs: ratings [kW, kVA], aux_with_compressor [yes or no]. Result: [VA].
    """
    pump = add_heat_pump_kva * va_per_kva
    supplement = add_heat_pump_aux_kw * va_per_kw
    together = np.where(aux_with_compressor, pump + supplement, np.maximum(pump, supplement))
    return add_heat_kw * va_per_kw + together


@rule("feeder_hvac_va")
def feeder_hvac_va(
    *,
    planned_in: Choice,
    feeder_heating_va: np.ndarray,
    add_ac_kva: np.ndarray,
    add_heat_pump_kva: np.ndarray,
    va_per_kva: np.ndarray,
) -> np.ndarray:
    """The larger of new heating and new cooling, where the added panel serves them.

    Section: 220.60; 120.60 (2026).
    Inputs: feeder_heating_va [VA], ratings [kVA]. Result: [VA].
    """
    cooling = (add_ac_kva + add_heat_pump_kva) * va_per_kva
    return np.where(planned_in.is_("main panel"), 0.0, np.maximum(feeder_heating_va, cooling))


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
