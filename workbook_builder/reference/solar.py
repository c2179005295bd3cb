"""Solar: the array for the yearly use, and what the panel takes of it."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6


@rule("use_kwh")
def use_kwh(
    *,
    annual_kwh: np.ndarray,
    ev_miles: np.ndarray,
    ev_kwh_per_mile: np.ndarray,
    heat_pump_kwh: np.ndarray,
) -> np.ndarray:
    """Yearly use with the vehicle and the heat pump to come.

    Section: arithmetic.
    Inputs: uses [kWh], ev_miles [mi], ev_kwh_per_mile [kWh/mi]. Result: [kWh]; blank without bills.
    """
    return annual_kwh + ev_miles * ev_kwh_per_mile + heat_pump_kwh


@rule("wanted_kwh")
def wanted_kwh(use_kwh: np.ndarray, offset_percent: np.ndarray, percent: np.ndarray) -> np.ndarray:
    """The share of the use that the array is to cover.

    Section: arithmetic.
    Inputs: use_kwh [kWh], offset_percent [%]. Result: [kWh].
    """
    return use_kwh * offset_percent / percent


@rule("array_kw")
def array_kw(wanted_kwh: np.ndarray, yield_kwh_per_kw: np.ndarray) -> np.ndarray:
    """The array that yields so much in a year.

    Section: arithmetic.
    Inputs: wanted_kwh [kWh], yield_kwh_per_kw [kWh/kW]. Result: [kW].
    """
    return wanted_kwh / yield_kwh_per_kw


@rule("module_count")
def module_count(array_kw: np.ndarray, va_per_kw: np.ndarray, module_w: np.ndarray) -> np.ndarray:
    """Whole modules that make at least this array.

    Section: arithmetic.
    Inputs: array_kw [kW], module_w [W]. Result: [modules]; blank without an array.

    >>> module_count(np.array([8.0, 8.000001, np.nan]), 1000, 400).tolist()
    [20.0, 21.0, nan]
    """
    return np.ceil(round6(array_kw * va_per_kw / module_w))


@rule("array_built_kw")
def array_built_kw(module_count: np.ndarray, module_w: np.ndarray, va_per_kw: np.ndarray) -> np.ndarray:
    """The array of whole modules.

    Section: arithmetic.
    Inputs: module_count [modules], module_w [W]. Result: [kW].
    """
    return module_count * module_w / va_per_kw


@rule("array_yield_kwh")
def array_yield_kwh(array_built_kw: np.ndarray, yield_kwh_per_kw: np.ndarray) -> np.ndarray:
    """What this array yields in a year.

    Section: arithmetic.
    Inputs: array_built_kw [kW], yield_kwh_per_kw [kWh/kW]. Result: [kWh].
    """
    return array_built_kw * yield_kwh_per_kw


@rule("inverter_a")
def inverter_a(
    *, array_built_kw: np.ndarray, va_per_kw: np.ndarray, array_ratio: np.ndarray, line_v: np.ndarray
) -> np.ndarray:
    """Output current of an inverter that is smaller than its array by the usual ratio.

    Section: 690.8(A)(3) (2017), 690.8(A)(1) (2020 and later).
    Inputs: array_built_kw [kW], array_ratio [1], line_v [V]. Result: [A].
    """
    return array_built_kw * va_per_kw / array_ratio / line_v


@rule("solar_output_a")
def solar_output_a(inverter_a: np.ndarray, storage_output_a: np.ndarray) -> np.ndarray:
    """Inverter output of the array wanted, with storage.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: currents [A]. Result: [A]; blank without an array.
    """
    return inverter_a + storage_output_a


@rule("panel_array_kw")
def panel_array_kw(
    *,
    max_source_output_a: np.ndarray,
    storage_output_a: np.ndarray,
    line_v: np.ndarray,
    array_ratio: np.ndarray,
    va_per_kw: np.ndarray,
) -> np.ndarray:
    """The array that the main bus takes at its far end beside storage.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: currents [A], line_v [V], array_ratio [1]. Result: [kW].

    Example: 32 A at 240 V are 7.68 kW of inverter,
    https://go.mail-archive.com/re-wrenches@lists.re-wrenches.org/msg21261.html
    >>> float(round6(panel_array_kw(max_source_output_a=32, storage_output_a=0, line_v=240,
    ...                             array_ratio=1.0, va_per_kw=1000)))
    7.68
    """
    room = np.maximum(np.subtract(max_source_output_a, storage_output_a), 0.0)
    return room * line_v * array_ratio / va_per_kw


@rule("solar_counted_a")
def solar_counted_a(solar_output_a: np.ndarray, source_limit_a: np.ndarray) -> np.ndarray:
    """The output of the array, held down by a power control system where one is set.

    Section: 705.12 (2017), 705.12, 705.13 (2020 and later).
    Inputs: currents [A]. Result: [A]; blank without an array.
    """
    return np.where(np.isnan(source_limit_a), solar_output_a, np.minimum(solar_output_a, source_limit_a))


@rule(
    "solar_state",
    words=(
        "OK",
        "CHECK: the array wanted is more than the bus takes there",
        "CHECK: the inverter entered is smaller than the array wants",
    ),
)
def solar_state(
    *,
    solar_counted_a: np.ndarray,
    place_output_a: np.ndarray,
    pv_output_a: np.ndarray,
    inverter_a: np.ndarray,
) -> np.ndarray:
    """The array wanted, held down where that is set, fits the bus at its place and the inverter entered.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: currents [A]. Result: place in the words; OK without an array.
    """
    small = (pv_output_a > 0) & (pv_output_a < inverter_a)
    large = ~np.isnan(inverter_a) & (solar_counted_a > place_output_a)
    return first_true((large, small))
