"""The four permitted calculations of a service load."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.registry import rule


def stepped(load: np.ndarray, first: np.ndarray, rate: np.ndarray) -> np.ndarray:
    """A load whole up to `first`, the rest at `rate` [the unit of the load].

    >>> float(stepped(29700, 10000, 0.4))
    17880.0
    """
    return np.minimum(load, first) + rate * np.maximum(load - first, 0)


@rule(
    "now_standard_base_va",
    appliance_demand_va="now_appliance_demand_va",
    dryer_demand_va="now_dryer_demand_va",
    cooking_demand_va="now_cooking_demand_va",
    ev_va="now_ev_va",
    other_load_va=0.0,
)
@rule("standard_base_va")
def standard_base_va(
    *,
    lighting_demand_va: np.ndarray,
    appliance_demand_va: np.ndarray,
    dryer_demand_va: np.ndarray,
    cooking_demand_va: np.ndarray,
    ev_va: np.ndarray,
    other_load_va: np.ndarray,
) -> np.ndarray:
    """Standard calculation without heating, cooling and motors.

    Section: 220.40; 120.40 (2026).
    Inputs: loads [VA]. Result: [VA].

    Example: Annex D1(a): 5100 lighting, 5500 dryer, 8000 range.
    >>> standard_base_va(lighting_demand_va=5100, appliance_demand_va=0, dryer_demand_va=5500,
    ...                  cooking_demand_va=8000, ev_va=0, other_load_va=0)
    18600
    """
    kitchen = appliance_demand_va + dryer_demand_va + cooking_demand_va
    return lighting_demand_va + kitchen + ev_va + other_load_va


@rule(
    "now_standard_load_va",
    standard_base_va="now_standard_base_va",
    heating_va="now_heating_va",
    heating_motor_va="now_heating_motor_va",
    cooling_va="now_cooling_va",
    cooling_motor_va="now_cooling_motor_va",
)
@rule("standard_load_va")
def standard_load_va(
    *,
    standard_base_va: np.ndarray,
    heating_va: np.ndarray,
    heating_motor_va: np.ndarray,
    cooling_va: np.ndarray,
    cooling_motor_va: np.ndarray,
    motor_rate: np.ndarray,
) -> np.ndarray:
    """Standard calculation: the larger of the heating and the cooling case, each with its motor.

    Section: 220.40, 220.60, 220.50; 120.40, 120.60, 120.50 (2026).
    Inputs: loads [VA], motor_rate [1]. Result: [VA].
    Limits: the cases are compared with their motors, not before.
    """
    heating = heating_va + motor_rate * heating_motor_va
    cooling = cooling_va + motor_rate * cooling_motor_va
    return standard_base_va + np.maximum(heating, cooling)


@rule(
    "now_general_va",
    appliances_va="now_appliances_va",
    dryer_nameplate_va="now_dryer_nameplate_va",
    cooking_nameplate_va="now_cooking_nameplate_va",
    other_load_va=0.0,
)
@rule("general_va")
def general_va(
    *,
    lighting_group_va: np.ndarray,
    appliances_va: np.ndarray,
    dryer_nameplate_va: np.ndarray,
    cooking_nameplate_va: np.ndarray,
    other_load_va: np.ndarray,
) -> np.ndarray:
    """General loads of the optional calculations, all at nameplate.

    Section: 220.82(B); 120.82(B) (2026).
    Inputs: loads [VA]. Result: [VA].

    Example: Annex D2(a),
    https://flylib.com/books/en/2.419.1/example_no_d2_a_optional_calculation_for_one_family_dwelling_heating_larger_than_air_conditioning_see_section_22082_.html
    >>> general_va(lighting_group_va=9000, appliances_va=3700, dryer_nameplate_va=5000,
    ...            cooking_nameplate_va=12000, other_load_va=0)
    29700
    """
    nameplates = appliances_va + dryer_nameplate_va + cooking_nameplate_va
    return lighting_group_va + nameplates + other_load_va


@rule(
    "now_optional_pool_va",
    general_va="now_general_va",
    ev_nameplate_va="now_ev_nameplate_va",
    share="optional_ev_in_pool",
)
@rule("optional_pool_va", share="optional_ev_in_pool")
@rule(
    "now_existing_pool_va",
    general_va="now_general_va",
    ev_nameplate_va="now_ev_nameplate_va",
    share=1.0,
)
@rule("existing_pool_va", share=1.0)
def pool_va(general_va: np.ndarray, ev_nameplate_va: np.ndarray, share: np.ndarray) -> np.ndarray:
    """General loads with vehicle supply at nameplate where it belongs to them.

    Section: 220.82(B) and 220.83; 120.82(B) and (D) (2026: vehicle supply beside the pool of
    120.82, not confirmed).
    Inputs: loads [VA], share [1 in the pool, 0 beside it]. Result: [VA].
    """
    return general_va + ev_nameplate_va * share


@rule("now_optional_general_va", optional_pool_va="now_optional_pool_va")
@rule("optional_general_va")
def optional_general_va(
    optional_pool_va: np.ndarray, optional_first: np.ndarray, optional_rate: np.ndarray
) -> np.ndarray:
    """General loads of the optional calculation: a first part whole, the rest reduced.

    Section: 220.82(B): 10 kVA; 120.82(B): 8 kVA (2026, not confirmed).
    Inputs: optional_pool_va, optional_first [VA], optional_rate [1]. Result: [VA].

    Example: Annex D2(a).
    >>> float(optional_general_va(29700, 10000, 0.4))
    17880.0
    """
    return stepped(optional_pool_va, optional_first, optional_rate)


@rule(
    "now_optional_hvac_va",
    cooling_va="now_cooling_va",
    heat_pump_va="now_heat_pump_va",
    supplement_va="now_supplement_va",
    heat_va="now_heat_va",
    heat_units="now_heat_units",
)
@rule("optional_hvac_va")
def optional_hvac_va(
    *,
    cooling_va: np.ndarray,
    heat_pump_va: np.ndarray,
    supplement_va: np.ndarray,
    heat_va: np.ndarray,
    heat_units: np.ndarray,
    aux_with_compressor: np.ndarray,
    optional_supplement_rate: np.ndarray,
    heat_zones_many: np.ndarray,
    optional_heat_rate_many: np.ndarray,
    optional_heat_rate_few: np.ndarray,
) -> np.ndarray:
    """The largest of cooling, heat pump, heat pump with supplement, and resistance heat.

    Section: 220.82(C); 120.82(C) (2026).
    Inputs: loads [VA], heat_units [units], rates [1]. Result: [VA].
    Limits: the compressor is left out of the supplement case where it is locked out.

    Example: Annex D2(a): 9 kW in five rooms against 6 A at 230 V.
    >>> float(optional_hvac_va(cooling_va=1380, heat_pump_va=0, supplement_va=0, heat_va=9000,
    ...       heat_units=5, aux_with_compressor=True, optional_supplement_rate=0.65,
    ...       heat_zones_many=4, optional_heat_rate_many=0.4, optional_heat_rate_few=0.65))
    3600.0
    """
    supplement = optional_supplement_rate * supplement_va
    supplement = supplement + np.where(aux_with_compressor, heat_pump_va, 0.0)
    many = np.greater_equal(heat_units, heat_zones_many)
    heat = heat_va * np.where(many, optional_heat_rate_many, optional_heat_rate_few)
    return np.maximum(np.maximum(cooling_va, heat_pump_va), np.maximum(supplement, heat))


@rule(
    "now_optional_load_va",
    optional_general_va="now_optional_general_va",
    optional_hvac_va="now_optional_hvac_va",
    ev_nameplate_va="now_ev_nameplate_va",
)
@rule("optional_load_va")
def optional_load_va(
    *,
    optional_general_va: np.ndarray,
    optional_hvac_va: np.ndarray,
    ev_nameplate_va: np.ndarray,
    optional_ev_in_pool: np.ndarray,
) -> np.ndarray:
    """Optional calculation of a dwelling.

    Section: 220.82; 120.82 (2026: vehicle supply whole beside the pool, not confirmed).
    Inputs: loads [VA], optional_ev_in_pool [1 in the pool, 0 beside it]. Result: [VA].

    Example: Annex D2(a).
    >>> float(optional_load_va(optional_general_va=17880, optional_hvac_va=3600,
    ...                        ev_nameplate_va=0, optional_ev_in_pool=1))
    21480.0
    """
    beside = np.where(np.equal(optional_ev_in_pool, 0), ev_nameplate_va, 0.0)
    return optional_general_va + optional_hvac_va + beside


@rule("now_existing_beside_va", existing_pool_va="now_existing_pool_va", hvac_va="now_hvac_va")
@rule("existing_beside_va")
def existing_beside_va(
    *,
    existing_pool_va: np.ndarray,
    hvac_va: np.ndarray,
    existing_first: np.ndarray,
    existing_rate: np.ndarray,
) -> np.ndarray:
    """Existing dwelling: the pool reduced, heating or cooling whole beside it.

    Section: 220.83(B); 120.83(B) (2026).
    Inputs: loads, existing_first [VA], existing_rate [1]. Result: [VA].

    >>> float(existing_beside_va(existing_pool_va=18000, hvac_va=5000, existing_first=8000,
    ...                          existing_rate=0.4))
    17000.0
    """
    return stepped(existing_pool_va, existing_first, existing_rate) + hvac_va


@rule("now_existing_inside_va", existing_pool_va="now_existing_pool_va", hvac_va="now_hvac_va")
@rule("existing_inside_va")
def existing_inside_va(
    *,
    existing_pool_va: np.ndarray,
    hvac_va: np.ndarray,
    existing_first: np.ndarray,
    existing_rate: np.ndarray,
) -> np.ndarray:
    """Existing dwelling, the other reading: heating or cooling inside the reduced load.

    Section: 220.83(A); 120.83(A) (2026).
    Inputs: loads, existing_first [VA], existing_rate [1]. Result: [VA].
    Limits: readers differ; the reading beside the pool is the larger one.

    >>> float(existing_inside_va(existing_pool_va=18000, hvac_va=5000, existing_first=8000,
    ...                          existing_rate=0.4))
    14000.0
    """
    return stepped(existing_pool_va + hvac_va, existing_first, existing_rate)


@rule(
    "now_existing_dwelling_load_va",
    beside_va="now_existing_beside_va",
    inside_va="now_existing_inside_va",
    added=False,
)
@rule(
    "existing_dwelling_load_va",
    beside_va="existing_beside_va",
    inside_va="existing_inside_va",
    added="hvac_added",
)
def existing_dwelling_load_va(
    *,
    beside_va: np.ndarray,
    inside_va: np.ndarray,
    added: np.ndarray,
    hvac_in_pool_83a: np.ndarray,
) -> np.ndarray:
    """Existing dwelling by the reading that the parameter names; always beside where added.

    Section: 220.83; 120.83 (2026).
    Inputs: loads [VA], added [yes or no], hvac_in_pool_83a [1 inside, 0 beside]. Result: [VA].
    """
    inside = np.logical_not(added) & np.equal(hvac_in_pool_83a, 1)
    return np.where(inside, inside_va, beside_va)


@rule("existing_dwelling_alt_va")
def existing_dwelling_alt_va(
    *,
    existing_beside_va: np.ndarray,
    existing_inside_va: np.ndarray,
    hvac_added: np.ndarray,
    hvac_in_pool_83a: np.ndarray,
) -> np.ndarray:
    """Existing dwelling by the reading that the parameter does not name.

    Section: 220.83(A); 120.83(A) (2026).
    Inputs: loads [VA], hvac_added [yes or no]. Result: [VA]; blank where heating or
    cooling is added, since both readings are then one.
    """
    other = np.where(np.equal(hvac_in_pool_83a, 1), existing_beside_va, existing_inside_va)
    return np.where(hvac_added, np.nan, other)


@rule("metered_season_va")
def metered_season_va(
    *,
    metered_days: np.ndarray,
    metered_full_days: np.ndarray,
    metered_covers_season: np.ndarray,
    metered_season_kva: np.ndarray,
    va_per_kva: np.ndarray,
    now_hvac_va: np.ndarray,
) -> np.ndarray:
    """A short record out of season is raised by the seasonal load.

    Section: 220.87 exception; 120.87 exception (2026).
    Inputs: metered_days, metered_full_days [d], metered_season_kva [kVA], now_hvac_va [VA].
    Result: [VA].
    Limits: the seasonal load is heating or cooling as it is, where none is given.
    """
    season = np.where(np.isnan(metered_season_kva), now_hvac_va, np.multiply(metered_season_kva, va_per_kva))
    covered = np.greater_equal(metered_days, metered_full_days) | metered_covers_season
    return np.where(covered, 0.0, season)


@rule("now_metered_load_va")
def now_metered_load_va(
    *,
    metered_peak_kw: np.ndarray,
    va_per_kw: np.ndarray,
    metered_season_va: np.ndarray,
    metered_rate: np.ndarray,
) -> np.ndarray:
    """The highest demand of the record, with the seasonal load, at 125 percent.

    Section: 220.87; 120.87 (2026).
    Inputs: metered_peak_kw [kW], metered_season_va [VA], metered_rate [1]. Result: [VA];
    blank without a record.

    >>> float(now_metered_load_va(metered_peak_kw=10, va_per_kw=1000, metered_season_va=0,
    ...                           metered_rate=1.25))
    12500.0
    """
    return metered_rate * (np.multiply(metered_peak_kw, va_per_kw) + metered_season_va)
