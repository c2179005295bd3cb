"""Vehicle supply, heating, cooling and their largest motors."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.registry import rule


@rule("new_ev_va")
def new_ev_va(add_ev_a: np.ndarray, add_ev_count: np.ndarray, line_v: np.ndarray) -> np.ndarray:
    """New vehicle supply: current of one times their number times the line voltage.

    Section: 220.14(A), 220.57 (2023), 120.57 (2026).
    Inputs: add_ev_a [A], add_ev_count [units], line_v [V]. Result: [VA].

    Example: 30 A at 240 V,
    https://expertce.com/courses/electricians-guide-for-nec-2023/lessons/how-to-calculate-evse-load-requirements-per-nec-2023
    >>> new_ev_va(30, 1, 240)
    7200
    """
    return add_ev_a * add_ev_count * line_v


@rule("now_ev_nameplate_va")
def now_ev_nameplate_va(ev_a: np.ndarray, line_v: np.ndarray) -> np.ndarray:
    """Present vehicle supply, all units together, at nameplate.

    Section: 220.14(A), 220.57 (2023), 120.57 (2026).
    Inputs: ev_a [A], line_v [V]. Result: [VA].
    """
    return ev_a * line_v


@rule("ev_nameplate_va")
def ev_nameplate_va(now_ev_nameplate_va: np.ndarray, new_ev_va: np.ndarray) -> np.ndarray:
    """Present and new vehicle supply at nameplate.

    Section: 220.14(A), 220.57 (2023), 120.57 (2026).
    Inputs: loads [VA]. Result: [VA].
    """
    return now_ev_nameplate_va + new_ev_va


@rule("now_ev_va")
def now_ev_va(
    *,
    ev_a: np.ndarray,
    ev_count: np.ndarray,
    now_ev_nameplate_va: np.ndarray,
    ev_minimum: np.ndarray,
) -> np.ndarray:
    """Each present unit counts at least with the smallest load of one.

    Section: 220.14(A) (2017, 2020: nameplate), 220.57 (2023: 7200 VA), 120.57 (2026: nameplate).
    Inputs: ev_a [A], ev_count [units], now_ev_nameplate_va, ev_minimum [VA]. Result: [VA].

    Example: 5000 VA and 14,400 VA units in 2023,
    https://expertce.com/courses/electricians-guide-for-nec-2023/lessons/how-to-calculate-evse-load-requirements-per-nec-2023
    >>> float(now_ev_va(ev_a=20, ev_count=1, now_ev_nameplate_va=5000, ev_minimum=7200))
    7200.0
    >>> float(now_ev_va(ev_a=60, ev_count=1, now_ev_nameplate_va=14400, ev_minimum=7200))
    14400.0
    """
    each_va = np.divide(now_ev_nameplate_va, np.maximum(ev_count, 1))
    return np.where(np.greater(ev_a, 0), ev_count * np.maximum(ev_minimum, each_va), 0.0)


@rule("ev_va")
def ev_va(
    *,
    now_ev_va: np.ndarray,
    add_ev_a: np.ndarray,
    add_ev_count: np.ndarray,
    line_v: np.ndarray,
    ev_minimum: np.ndarray,
) -> np.ndarray:
    """Present and new vehicle supply of the standard calculation.

    Section: 220.14(A) (2017, 2020: nameplate), 220.57 (2023: 7200 VA), 120.57 (2026: nameplate).
    Inputs: now_ev_va, ev_minimum [VA], add_ev_a [A], add_ev_count [units], line_v [V]. Result: [VA].
    """
    new = add_ev_count * np.maximum(ev_minimum, add_ev_a * line_v)
    return now_ev_va + np.where(add_ev_a > 0, new, 0.0)


@rule("now_heat_units")
def now_heat_units(heat_zones: np.ndarray) -> np.ndarray:
    """Separately controlled heating units as they are.

    Section: 220.82(C); 120.82(C) (2026).
    Inputs: heat_zones [units]. Result: [units].
    """
    return heat_zones


@rule("heat_units")
def heat_units(
    *,
    heat_zones: np.ndarray,
    drop_heat: np.ndarray,
    add_heat_kw: np.ndarray,
    add_heat_zones: np.ndarray,
) -> np.ndarray:
    """Separately controlled heating units, kept and new.

    Section: 220.82(C); 120.82(C) (2026).
    Inputs: heat_zones, add_heat_zones [units], add_heat_kw [kW]. Result: [units].
    """
    return np.where(drop_heat, 0.0, heat_zones) + np.where(add_heat_kw > 0, add_heat_zones, 0.0)


@rule(
    "now_heating_va",
    heat_va="now_heat_va",
    heat_pump_va="now_heat_pump_va",
    supplement_va="now_supplement_va",
)
@rule("heating_va")
def heating_va(
    *,
    heat_va: np.ndarray,
    heat_pump_va: np.ndarray,
    supplement_va: np.ndarray,
    aux_with_compressor: np.ndarray,
) -> np.ndarray:
    """Heating: resistance heat, and the heat pump with its supplement where they run together.

    Section: 220.60; 120.60 (2026).
    Inputs: loads [VA], aux_with_compressor [yes or no]. Result: [VA].
    Limits: where they cannot run together, the larger of the two.

    Example: compressor, blower and fan 8448 VA with 15 kW heat,
    https://www.ecmag.com/magazine/articles/article-detail/codes-standards-branch-circuit-feeder-and-service-calculations-part-lvi
    >>> float(heating_va(heat_va=0, heat_pump_va=8448, supplement_va=15000,
    ...                  aux_with_compressor=True))
    23448.0
    """
    together = np.add(heat_pump_va, supplement_va)
    apart = np.maximum(heat_pump_va, supplement_va)
    return heat_va + np.where(aux_with_compressor, together, apart)


@rule("now_cooling_va", cooling_only_va="now_cooling_only_va", heat_pump_va="now_heat_pump_va")
@rule("cooling_va")
def cooling_va(cooling_only_va: np.ndarray, heat_pump_va: np.ndarray) -> np.ndarray:
    """Cooling: air conditioning and the heat pump.

    Section: 220.60; 120.60 (2026).
    Inputs: loads [VA]. Result: [VA].
    """
    return cooling_only_va + heat_pump_va


@rule("now_hvac_va", heating_va="now_heating_va", cooling_va="now_cooling_va")
@rule("hvac_va")
def hvac_va(heating_va: np.ndarray, cooling_va: np.ndarray) -> np.ndarray:
    """Heating and cooling do not run together: the larger.

    Section: 220.60; 120.60 (2026).
    Inputs: loads [VA]. Result: [VA].

    Example: Annex D2(a), 9 kW heat against 6 A at 230 V.
    >>> float(hvac_va(9000, 1380))
    9000.0
    """
    return np.maximum(heating_va, cooling_va)


@rule("now_heating_motor_va", cooling_only_va=0.0, heat_pump_va="now_heat_pump_va")
@rule("now_cooling_motor_va", cooling_only_va="now_cooling_only_va", heat_pump_va="now_heat_pump_va")
@rule("heating_motor_va", cooling_only_va=0.0)
@rule("cooling_motor_va")
def largest_motor_va(
    *,
    largest_motor_kva: np.ndarray,
    va_per_kva: np.ndarray,
    cooling_only_va: np.ndarray,
    heat_pump_va: np.ndarray,
    well_pump_va: np.ndarray,
) -> np.ndarray:
    """The largest motor of the heating or the cooling case.

    Section: 220.50, 430.24; 120.50 (2026).
    Inputs: largest_motor_kva [kVA], loads [VA]. Result: [VA].
    Limits: a given largest motor stands for both cases; air conditioning is no motor of heating.

    >>> float(largest_motor_va(largest_motor_kva=np.nan, va_per_kva=1000, cooling_only_va=3000,
    ...                        heat_pump_va=2000, well_pump_va=1000))
    3000.0
    """
    found = np.maximum(np.maximum(cooling_only_va, heat_pump_va), well_pump_va)
    return np.where(np.isnan(largest_motor_kva), found, largest_motor_kva * va_per_kva)


@rule("hvac_added", words=("no", "yes"))
def hvac_added(
    *,
    add_heat_pump_kva: np.ndarray,
    add_heat_pump_aux_kw: np.ndarray,
    add_heat_kw: np.ndarray,
    add_ac_kva: np.ndarray,
) -> np.ndarray:
    """Heating or cooling is added.

    Section: 220.83(B); 120.83(B) (2026).
    Inputs: ratings [kVA, kW]. Result: place in the words.
    """
    loads = (add_heat_pump_kva, add_heat_pump_aux_kw, add_heat_kw, add_ac_kva)
    return np.logical_or.reduce([load > 0 for load in loads]).astype(np.int8)
