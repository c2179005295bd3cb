"""Loads of lighting, small appliances, laundry, fastened appliances and dryers."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.registry import rule


@rule("lighting_va")
def lighting_va(floor_area_ft2: np.ndarray, unit_load: np.ndarray) -> np.ndarray:
    """General lighting is the floor area times the unit load.

    Section: 220.12 (2017), 220.14(J) (2020), 220.41 (2023), 120.41 (2026, 2 VA/ft2).
    Inputs: floor_area_ft2 [ft2], unit_load [VA/ft2]. Result: [VA].

    Example: Annex D1(a), https://flylib.com/books/en/2.419.1/example_no_d1_a_one_family_dwelling.html
    >>> float(lighting_va(1500, 3))
    4500.0
    """
    return np.multiply(floor_area_ft2, unit_load)


@rule("small_appliance_va", circuits="small_appliance_circuits", load_of_one="small_appliance_load")
@rule("laundry_va", circuits="laundry_circuits", load_of_one="laundry_load")
def circuits_va(circuits: np.ndarray, load_of_one: np.ndarray) -> np.ndarray:
    """Small-appliance and laundry circuits count with the load of one each.

    Section: 220.52(A) and (B); 120.52 (2026).
    Inputs: circuits [circuits], load_of_one [VA]. Result: [VA].

    Example: Annex D1(a), two small-appliance circuits.
    >>> float(circuits_va(2, 1500))
    3000.0
    """
    return np.multiply(circuits, load_of_one)


@rule("lighting_group_va")
def lighting_group_va(
    lighting_va: np.ndarray, small_appliance_va: np.ndarray, laundry_va: np.ndarray
) -> np.ndarray:
    """Lighting, small-appliance and laundry load stand together.

    Section: 220.52; 120.52 (2026).
    Inputs: loads [VA]. Result: [VA].

    Example: Annex D1(a).
    >>> lighting_group_va(4500, 3000, 1500)
    9000
    """
    return lighting_va + small_appliance_va + laundry_va


@rule("lighting_demand_va")
def lighting_demand_va(
    *,
    lighting_group_va: np.ndarray,
    lighting_first: np.ndarray,
    lighting_second: np.ndarray,
    lighting_second_rate: np.ndarray,
    lighting_third_rate: np.ndarray,
) -> np.ndarray:
    """The group counts whole up to a first step, then with a falling share.

    Section: Table 220.42 (2017, 2020), Table 220.45 (2023), Table 120.45 (2026).
    Inputs: lighting_group_va, lighting_first, lighting_second [VA], rates [1]. Result: [VA].

    Example: Annex D1(a), and a course sheet of 2800 ft2 (12,900 VA).
    >>> steps = dict(lighting_first=3000, lighting_second=120000,
    ...              lighting_second_rate=0.35, lighting_third_rate=0.25)
    >>> float(lighting_demand_va(lighting_group_va=9000, **steps))
    5100.0
    >>> float(lighting_demand_va(lighting_group_va=12900, **steps))
    6465.0
    """
    second = np.clip(lighting_group_va, lighting_first, lighting_second) - lighting_first
    third = np.maximum(lighting_group_va - lighting_second, 0)
    whole = np.minimum(lighting_group_va, lighting_first)
    return whole + lighting_second_rate * second + lighting_third_rate * third


@rule("now_water_heater_va", rating="water_heater_kw", va_per_unit="va_per_kw")
@rule("new_water_heater_va", rating="add_water_heater_kw", va_per_unit="va_per_kw")
@rule("dishwasher_va", rating="dishwasher_kw", va_per_unit="va_per_kw")
@rule("disposal_va", rating="disposal_kw", va_per_unit="va_per_kw")
@rule("microwave_va", rating="microwave_kw", va_per_unit="va_per_kw")
@rule("well_pump_va", rating="well_pump_kva", va_per_unit="va_per_kva")
@rule("spa_va", rating="spa_kva", va_per_unit="va_per_kva")
@rule("new_spa_va", rating="add_spa_kva", va_per_unit="va_per_kva")
@rule("other_fixed_va", rating="other_fixed_kva", va_per_unit="va_per_kva")
@rule("now_dryer_nameplate_va", rating="dryer_kw", va_per_unit="va_per_kw")
@rule("now_heat_va", rating="heat_kw", va_per_unit="va_per_kw")
@rule("now_cooling_only_va", rating="ac_kva", va_per_unit="va_per_kva")
@rule("now_heat_pump_va", rating="heat_pump_kva", va_per_unit="va_per_kva")
@rule("now_supplement_va", rating="heat_pump_aux_kw", va_per_unit="va_per_kw")
@rule("other_load_va", rating="add_other_kva", va_per_unit="va_per_kva")
def nameplate_va(rating: np.ndarray, va_per_unit: np.ndarray) -> np.ndarray:
    """A rating in kilowatts or kilovolt-amperes as volt-amperes.

    Section: 220.5; 120.5 (2026).
    Inputs: rating [kW or kVA], va_per_unit [VA/kW or VA/kVA]. Result: [VA].
    Limits: power factor 1, by parameter.

    Example: Annex D2(a), water heater.
    >>> float(nameplate_va(2.5, 1000))
    2500.0
    """
    return np.multiply(rating, va_per_unit)


@rule(
    "water_heater_va",
    rating="water_heater_kw",
    dropped="drop_water_heater",
    new_rating=0.0,
    va_per_unit="va_per_kw",
)
@rule(
    "dryer_nameplate_va",
    rating="dryer_kw",
    dropped="drop_dryer",
    new_rating="add_dryer_kw",
    va_per_unit="va_per_kw",
)
@rule(
    "heat_va",
    rating="heat_kw",
    dropped="drop_heat",
    new_rating="add_heat_kw",
    va_per_unit="va_per_kw",
)
@rule(
    "cooling_only_va",
    rating="ac_kva",
    dropped="drop_ac",
    new_rating="add_ac_kva",
    va_per_unit="va_per_kva",
)
@rule(
    "heat_pump_va",
    rating="heat_pump_kva",
    dropped="drop_heat_pump",
    new_rating="add_heat_pump_kva",
    va_per_unit="va_per_kva",
)
@rule(
    "supplement_va",
    rating="heat_pump_aux_kw",
    dropped="drop_heat_pump",
    new_rating="add_heat_pump_aux_kw",
    va_per_unit="va_per_kw",
)
def kept_and_new_va(
    rating: np.ndarray, dropped: np.ndarray, new_rating: np.ndarray, va_per_unit: np.ndarray
) -> np.ndarray:
    """The present load where it is kept, and the new one, as volt-amperes.

    Section: 220.14(A); 120.14(A) (2026).
    Inputs: rating, new_rating [kW or kVA], dropped [yes or no]. Result: [VA].

    >>> float(kept_and_new_va(4.5, True, 5.5, 1000))
    5500.0
    """
    return (np.where(dropped, 0.0, rating) + new_rating) * va_per_unit


@rule("other_fixed_each_va", total="other_fixed_va", count="other_fixed_count")
@rule("oven_each_kw", total="oven_kw", count="oven_count")
def each(total: np.ndarray, count: np.ndarray) -> np.ndarray:
    """The rating of one unit is the total over the count.

    Section: 220.53 (appliances), Table 220.55 (ovens); 120.53, Table 120.55 (2026).
    Inputs: total [VA or kW], count [units]. Result: [VA or kW]; 0 where the total is 0.

    >>> float(each(9.0, 2.0)), float(each(0.0, 0.0))
    (4.5, 0.0)
    """
    return np.where(total == 0, 0.0, total / np.maximum(count, 1))


@rule("appliance_minimum_va")
def appliance_minimum_va(appliance_minimum: np.ndarray) -> np.ndarray:
    """Smallest appliance that counts in the group of fastened appliances.

    Section: 220.53: none in 2017, 500 VA (1/4 hp or 500 W) from 2020; 120.53 (2026).
    Inputs: appliance_minimum [VA]. Result: [VA].
    Limits: a small motor of 1/4 hp or more counts where it is entered with at least 0.5 kW.
    """
    return np.asarray(appliance_minimum, dtype=np.float64)


@rule("now_appliances_va", water_heater_va="now_water_heater_va", new_water_heater_va=0.0, new_spa_va=0.0)
@rule("appliances_va")
def appliances_va(
    *,
    water_heater_va: np.ndarray,
    new_water_heater_va: np.ndarray,
    dishwasher_va: np.ndarray,
    disposal_va: np.ndarray,
    microwave_va: np.ndarray,
    well_pump_va: np.ndarray,
    spa_va: np.ndarray,
    new_spa_va: np.ndarray,
    other_fixed_va: np.ndarray,
) -> np.ndarray:
    """All appliances fastened in place, at nameplate.

    Section: 220.53; 120.53 (2026).
    Inputs: loads [VA]. Result: [VA].
    Limits: no cooking, dryer, heating, cooling or vehicle supply.
    """
    kitchen = dishwasher_va + disposal_va + microwave_va
    water = water_heater_va + new_water_heater_va + well_pump_va + spa_va + new_spa_va
    return kitchen + water + other_fixed_va


@rule(
    "now_appliance_group_va",
    water_heater_va="now_water_heater_va",
    new_water_heater_va=0.0,
    new_spa_va=0.0,
)
@rule("appliance_group_va")
def appliance_group_va(
    *,
    appliance_minimum_va: np.ndarray,
    water_heater_va: np.ndarray,
    new_water_heater_va: np.ndarray,
    dishwasher_va: np.ndarray,
    disposal_va: np.ndarray,
    microwave_va: np.ndarray,
    well_pump_va: np.ndarray,
    spa_va: np.ndarray,
    new_spa_va: np.ndarray,
    other_fixed_va: np.ndarray,
    other_fixed_each_va: np.ndarray,
) -> np.ndarray:
    """Appliances at or above the smallest that counts; the others are judged by one of them.

    Section: 220.53: all in 2017, those of 500 VA and more from 2020; 120.53 (2026).
    Inputs: loads, appliance_minimum_va [VA]. Result: [VA].
    """
    single = (
        water_heater_va,
        new_water_heater_va,
        dishwasher_va,
        disposal_va,
        microwave_va,
        well_pump_va,
        spa_va,
        new_spa_va,
    )
    counted = np.where(other_fixed_each_va >= appliance_minimum_va, other_fixed_va, 0.0)
    for load in single:
        counted = counted + np.where(load >= appliance_minimum_va, load, 0.0)
    return counted


@rule(
    "now_appliance_group_units",
    water_heater_va="now_water_heater_va",
    new_water_heater_va=0.0,
    new_spa_va=0.0,
)
@rule("appliance_group_units")
def appliance_group_units(
    *,
    appliance_minimum_va: np.ndarray,
    water_heater_va: np.ndarray,
    new_water_heater_va: np.ndarray,
    dishwasher_va: np.ndarray,
    disposal_va: np.ndarray,
    microwave_va: np.ndarray,
    well_pump_va: np.ndarray,
    spa_va: np.ndarray,
    new_spa_va: np.ndarray,
    other_fixed_va: np.ndarray,
    other_fixed_each_va: np.ndarray,
    other_fixed_count: np.ndarray,
) -> np.ndarray:
    """How many appliances the group holds.

    Section: 220.53; 120.53 (2026).
    Inputs: loads, appliance_minimum_va [VA], other_fixed_count [units]. Result: [units].
    """
    single = (
        water_heater_va,
        new_water_heater_va,
        dishwasher_va,
        disposal_va,
        microwave_va,
        well_pump_va,
        spa_va,
        new_spa_va,
    )
    others = (other_fixed_va > 0) & (other_fixed_each_va >= appliance_minimum_va)
    units = np.where(others, other_fixed_count, 0.0)
    for load in single:
        units = units + ((load > 0) & (load >= appliance_minimum_va))
    return units


@rule("now_appliance_rate_used", units="now_appliance_group_units")
@rule("appliance_rate_used", units="appliance_group_units")
def appliance_rate_used(
    units: np.ndarray, appliance_count: np.ndarray, appliance_rate: np.ndarray
) -> np.ndarray:
    """The group is reduced from so many appliances on.

    Section: 220.53; 120.53 (2026).
    Inputs: units, appliance_count [units], appliance_rate [1]. Result: [1].

    >>> float(appliance_rate_used(3, 4, 0.75)), float(appliance_rate_used(4, 4, 0.75))
    (1.0, 0.75)
    """
    return np.where(np.greater_equal(units, appliance_count), appliance_rate, 1.0)


@rule(
    "now_appliance_demand_va",
    appliances_va="now_appliances_va",
    group_va="now_appliance_group_va",
    rate_used="now_appliance_rate_used",
)
@rule("appliance_demand_va", group_va="appliance_group_va", rate_used="appliance_rate_used")
def appliance_demand_va(appliances_va: np.ndarray, group_va: np.ndarray, rate_used: np.ndarray) -> np.ndarray:
    """The group at its rate, the smaller appliances whole.

    Section: 220.53; 120.53 (2026).
    Inputs: appliances_va, group_va [VA], rate_used [1]. Result: [VA].

    Example: four appliances of a public cost page: 1200, 1032, 960 and 1127 VA.
    >>> float(appliance_demand_va(4319.0, 4319.0, 0.75))
    3239.25
    """
    return group_va * rate_used + (appliances_va - group_va)


@rule("now_dryer_demand_va", dropped=False, new_dryer_kw=0.0)
@rule("dryer_demand_va", dropped="drop_dryer", new_dryer_kw="add_dryer_kw")
def dryer_demand_va(
    *,
    dryer_kw: np.ndarray,
    dropped: np.ndarray,
    new_dryer_kw: np.ndarray,
    va_per_kw: np.ndarray,
    dryer_minimum: np.ndarray,
) -> np.ndarray:
    """Each dryer that is there counts with its nameplate, at least with the smallest dryer load.

    Section: 220.54; 120.54 (2026).
    Inputs: ratings [kW], dropped [yes or no], dryer_minimum [VA]. Result: [VA].
    Limits: up to four dryers, taken whole.

    Example: Annex D1(a), 5.5 kW.
    >>> float(dryer_demand_va(dryer_kw=5.5, dropped=False, new_dryer_kw=0, va_per_kw=1000,
    ...                       dryer_minimum=5000))
    5500.0
    """
    kept = np.where(dropped, 0.0, dryer_kw)
    total = 0.0
    for rating in (kept, new_dryer_kw):
        load = np.maximum(np.multiply(rating, va_per_kw), dryer_minimum)
        total = total + np.where(np.greater(rating, 0), load, 0.0)
    return total
