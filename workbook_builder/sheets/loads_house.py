"""Lighting, appliances and dryers of the house, as it is and with planned loads."""

from __future__ import annotations

from .model import Column


def group(total: str, members: tuple[str, ...]) -> Column:
    """Sum of the appliances that are large enough to count in the group."""
    parts = [f"([{name}]>=[appliance_minimum_va])*[{name}]" for name in members]
    parts.append("([other_fixed_each_va]>=[appliance_minimum_va])*[other_fixed_va]")
    return Column(total, "+".join(parts))


def units(name: str, first: str, last: str, more: str = "") -> Column:
    """Number of appliances of the group that are there."""
    return Column(
        name,
        f'COUNTIFS([{first}:{last}], ">="&[appliance_minimum_va], [{first}:{last}], ">0"){more}'
        "+IF([other_fixed_each_va]>=[appliance_minimum_va], IF([other_fixed_va]>0, [other_fixed_count], 0), 0)",
    )


SHARED = ("dishwasher_va", "disposal_va", "microwave_va", "well_pump_va", "spa_va")

HOUSE_LOADS = (
    Column("lighting_va", "[floor_area_ft2]*{unit_load}"),
    Column("small_appliance_va", "[small_appliance_circuits]*{small_appliance_load}"),
    Column("laundry_va", "[laundry_circuits]*{laundry_load}"),
    Column("lighting_group_va", "[lighting_va]+[small_appliance_va]+[laundry_va]"),
    Column(
        "lighting_demand_va",
        "MIN([lighting_group_va], {lighting_first})"
        "+{lighting_second_rate}*MAX(MIN([lighting_group_va], {lighting_second})-{lighting_first}, 0)"
        "+{lighting_third_rate}*MAX([lighting_group_va]-{lighting_second}, 0)",
    ),
    Column("now_water_heater_va", "[water_heater_kw]*{va_per_kw}"),
    Column("water_heater_va", 'IF([drop_water_heater]="yes", 0, [water_heater_kw]*{va_per_kw})'),
    Column("new_water_heater_va", "[add_water_heater_kw]*{va_per_kw}"),
    Column("dishwasher_va", "[dishwasher_kw]*{va_per_kw}"),
    Column("disposal_va", "[disposal_kw]*{va_per_kw}"),
    Column("microwave_va", "[microwave_kw]*{va_per_kw}"),
    Column("well_pump_va", "[well_pump_kva]*{va_per_kva}"),
    Column("spa_va", "[spa_kva]*{va_per_kva}"),
    Column("new_spa_va", "[add_spa_kva]*{va_per_kva}"),
    Column("other_fixed_va", "[other_fixed_kva]*{va_per_kva}"),
    Column("other_fixed_each_va", "IF([other_fixed_va]=0, 0, [other_fixed_va]/[other_fixed_count])"),
    Column("appliance_minimum_va", "{appliance_minimum}"),
    Column(
        "now_appliances_va",
        "[now_water_heater_va]+[dishwasher_va]+[disposal_va]+[microwave_va]+[well_pump_va]+[spa_va]"
        "+[other_fixed_va]",
    ),
    Column(
        "appliances_va",
        "[water_heater_va]+[new_water_heater_va]+[dishwasher_va]+[disposal_va]+[microwave_va]"
        "+[well_pump_va]+[spa_va]+[new_spa_va]+[other_fixed_va]",
    ),
    group("now_appliance_group_va", ("now_water_heater_va", *SHARED)),
    group("appliance_group_va", ("water_heater_va", "new_water_heater_va", *SHARED, "new_spa_va")),
    units(
        "now_appliance_group_units",
        "dishwasher_va",
        "spa_va",
        "+([now_water_heater_va]>0)*([now_water_heater_va]>=[appliance_minimum_va])",
    ),
    units("appliance_group_units", "water_heater_va", "new_spa_va"),
    Column(
        "now_appliance_rate_used",
        "IF([now_appliance_group_units]>={appliance_count}, {appliance_rate}, 1)",
    ),
    Column("appliance_rate_used", "IF([appliance_group_units]>={appliance_count}, {appliance_rate}, 1)"),
    Column(
        "now_appliance_demand_va",
        "[now_appliance_group_va]*[now_appliance_rate_used]+[now_appliances_va]-[now_appliance_group_va]",
    ),
    Column(
        "appliance_demand_va",
        "[appliance_group_va]*[appliance_rate_used]+[appliances_va]-[appliance_group_va]",
    ),
    Column("now_dryer_nameplate_va", "[dryer_kw]*{va_per_kw}"),
    Column("dryer_nameplate_va", '(IF([drop_dryer]="yes", 0, [dryer_kw])+[add_dryer_kw])*{va_per_kw}'),
    Column("now_dryer_demand_va", "IF([dryer_kw]>0, MAX([now_dryer_nameplate_va], {dryer_minimum}), 0)"),
    Column(
        "dryer_demand_va",
        'IF([drop_dryer]="yes", 0, [now_dryer_demand_va])'
        "+IF([add_dryer_kw]>0, MAX([add_dryer_kw]*{va_per_kw}, {dryer_minimum}), 0)",
    ),
)
