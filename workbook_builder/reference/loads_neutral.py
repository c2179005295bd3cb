"""Load between lines and neutral of the service."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.loads_methods import stepped
from workbook_builder.reference.registry import rule


@rule("neutral_group_va")
def neutral_group_va(
    *,
    dishwasher_va: np.ndarray,
    disposal_va: np.ndarray,
    microwave_va: np.ndarray,
    spa_va: np.ndarray,
    new_spa_va: np.ndarray,
    other_fixed_each_va: np.ndarray,
    other_fixed_neutral_kva: np.ndarray,
    va_per_kva: np.ndarray,
    appliance_minimum_va: np.ndarray,
) -> np.ndarray:
    """Appliances of the group that load the neutral, the pump aside.

    Section: 220.61(A), 220.53; 120.61(A), 120.53 (2026).
    Inputs: loads, appliance_minimum_va [VA], other_fixed_neutral_kva [kVA]. Result: [VA].
    Limits: water heaters are 240 V only; spas are often four-wire, so they count.
    """
    others = other_fixed_neutral_kva * va_per_kva
    total = np.where(other_fixed_each_va >= appliance_minimum_va, others, 0.0)
    for load in (dishwasher_va, disposal_va, microwave_va, spa_va, new_spa_va):
        total = total + np.where(load >= appliance_minimum_va, load, 0.0)
    return total


@rule("pump_neutral_va")
def pump_neutral_va(well_pump_va: np.ndarray, well_pump_v: np.ndarray) -> np.ndarray:
    """The pump loads the neutral where it runs at 120 V.

    Section: 220.61(A); 120.61(A) (2026).
    Inputs: well_pump_va [VA], well_pump_v [V]. Result: [VA].
    """
    return np.where(np.equal(well_pump_v, 120), well_pump_va, 0.0)


@rule("appliance_neutral_va")
def appliance_neutral_va(
    *,
    dishwasher_va: np.ndarray,
    disposal_va: np.ndarray,
    microwave_va: np.ndarray,
    pump_neutral_va: np.ndarray,
    spa_va: np.ndarray,
    new_spa_va: np.ndarray,
    other_fixed_each_va: np.ndarray,
    other_fixed_neutral_kva: np.ndarray,
    va_per_kva: np.ndarray,
    appliance_minimum_va: np.ndarray,
    appliance_rate_used: np.ndarray,
) -> np.ndarray:
    """Fastened appliances that load the neutral, each at the rate of its group.

    Section: 220.61(A); 120.61(A) (2026).
    Inputs: loads, appliance_minimum_va [VA], appliance_rate_used [1]. Result: [VA].
    """
    reduced = np.where(other_fixed_each_va >= appliance_minimum_va, appliance_rate_used, 1.0)
    total = other_fixed_neutral_kva * va_per_kva * reduced
    singles = (dishwasher_va, disposal_va, microwave_va, pump_neutral_va, spa_va, new_spa_va)
    for load in singles:
        total = total + load * np.where(load >= appliance_minimum_va, appliance_rate_used, 1.0)
    return total


@rule("neutral_base_va")
def neutral_base_va(
    *,
    lighting_demand_va: np.ndarray,
    appliance_neutral_va: np.ndarray,
    other_load_va: np.ndarray,
    cooking_demand_va: np.ndarray,
    dryer_demand_va: np.ndarray,
    pump_neutral_va: np.ndarray,
    line_v: np.ndarray,
    wye_voltage: np.ndarray,
    neutral_rate: np.ndarray,
    motor_rate: np.ndarray,
) -> np.ndarray:
    """Load between lines and neutral, cooking and dryers at 70 percent.

    Section: 220.61(A), (B); 120.61(A), (B) (2026).
    Inputs: loads [VA], voltages [V], rates [1]. Result: [VA].
    Limits: no reduction on a 208Y/120 three-wire supply.

    Example: Annex D1(a): 14,550 VA.
    >>> float(neutral_base_va(lighting_demand_va=5100, appliance_neutral_va=0, other_load_va=0,
    ...       cooking_demand_va=8000, dryer_demand_va=5500, pump_neutral_va=0,
    ...       line_v=240, wye_voltage=208, neutral_rate=0.7, motor_rate=0.25))
    14550.0
    """
    rate = np.where(np.equal(line_v, wye_voltage), 1.0, neutral_rate)
    motor = motor_rate * pump_neutral_va
    heat_appliances = rate * (cooking_demand_va + dryer_demand_va)
    return lighting_demand_va + appliance_neutral_va + other_load_va + heat_appliances + motor


@rule("service_neutral_va")
def service_neutral_va(
    *,
    neutral_base_va: np.ndarray,
    neutral_whole: np.ndarray,
    neutral_rate: np.ndarray,
    line_v: np.ndarray,
    wye_voltage: np.ndarray,
) -> np.ndarray:
    """Neutral load whole up to 200 A, the part over it at 70 percent.

    Section: 220.61(B), (C); 120.61(B), (C) (2026).
    Inputs: neutral_base_va [VA], neutral_whole [A], line_v [V], neutral_rate [1]. Result: [VA].
    Limits: no reduction on a 208Y/120 three-wire supply.
    """
    reduced = stepped(neutral_base_va, neutral_whole * line_v, neutral_rate)
    return np.where(np.equal(line_v, wye_voltage), neutral_base_va, reduced)
