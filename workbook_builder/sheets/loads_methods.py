"""Vehicle supply, heating and cooling, and the load by each permitted calculation."""

from __future__ import annotations

from .loads_cooking import COOKING_LOADS
from .loads_house import HOUSE_LOADS
from .model import Column, Sheet


def tiers(amount: str, first: str, rate: str) -> str:
    """The first part whole, the rest at a rate."""
    return f"MIN({amount}, {{{first}}})+{{{rate}}}*MAX({amount}-{{{first}}}, 0)"


def heating(prefix: str) -> Column:
    """Electric heat with the heat pump and its supplement, together or the larger."""
    pump, more = f"[{prefix}heat_pump_va]", f"[{prefix}supplement_va]"
    return Column(
        f"{prefix}heating_va",
        f'[{prefix}heat_va]+IF([aux_with_compressor]="yes", {pump}+{more}, MAX({pump}, {more}))',
    )


def motor(name: str, others: str) -> Column:
    """The motor given, or the largest of those named."""
    return Column(name, f'IF([largest_motor_kva]="", MAX({others}), [largest_motor_kva]*{{va_per_kva}})')


def season(prefix: str) -> tuple[Column, ...]:
    """Heating, cooling and their motors in one case."""
    p = prefix
    return (
        heating(p),
        Column(f"{p}cooling_va", f"[{p}cooling_only_va]+[{p}heat_pump_va]"),
        Column(f"{p}hvac_va", f"MAX([{p}heating_va], [{p}cooling_va])"),
        motor(f"{p}heating_motor_va", f"[{p}heat_pump_va], [well_pump_va]"),
        motor(f"{p}cooling_motor_va", f"[{p}cooling_only_va], [{p}heat_pump_va], [well_pump_va]"),
    )


def standard(prefix: str) -> Column:
    """The larger of heating and cooling, each with its own largest motor."""
    p = prefix
    return Column(
        f"{p}standard_load_va",
        f"[{p}standard_base_va]+MAX([{p}heating_va]+{{motor_rate}}*[{p}heating_motor_va], "
        f"[{p}cooling_va]+{{motor_rate}}*[{p}cooling_motor_va])",
    )


def optional(prefix: str) -> tuple[Column, ...]:
    """The optional dwelling calculation in one case."""
    p = prefix
    return (
        Column(f"{p}optional_pool_va", f"[{p}general_va]+[{p}ev_nameplate_va]*{{optional_ev_in_pool}}"),
        Column(f"{p}optional_general_va", tiers(f"[{p}optional_pool_va]", "optional_first", "optional_rate")),
        Column(
            f"{p}optional_hvac_va",
            f"MAX([{p}cooling_va], [{p}heat_pump_va], {{optional_supplement_rate}}*[{p}supplement_va]"
            f'+IF([aux_with_compressor]="yes", [{p}heat_pump_va], 0), [{p}heat_va]'
            f"*IF([{p}heat_units]>={{heat_zones_many}}, {{optional_heat_rate_many}}, {{optional_heat_rate_few}}))",
        ),
        Column(
            f"{p}optional_load_va",
            f"[{p}optional_general_va]+[{p}optional_hvac_va]"
            f"+IF({{optional_ev_in_pool}}=0, [{p}ev_nameplate_va], 0)",
        ),
    )


def existing(prefix: str) -> tuple[Column, ...]:
    """The existing-dwelling calculation in one case, by both readings."""
    p = prefix
    return (
        Column(f"{p}existing_pool_va", f"[{p}general_va]+[{p}ev_nameplate_va]"),
        Column(
            f"{p}existing_beside_va",
            tiers(f"[{p}existing_pool_va]", "existing_first", "existing_rate") + f"+[{p}hvac_va]",
        ),
        Column(
            f"{p}existing_inside_va",
            tiers(f"[{p}existing_pool_va]+[{p}hvac_va]", "existing_first", "existing_rate"),
        ),
    )


def by_method(existing_dwelling: str, dwelling_optional: str, standard: str, metered: str) -> str:
    """One of four by load_method."""
    return (
        f'IF([load_method]="existing dwelling", {existing_dwelling}, '
        f'IF([load_method]="dwelling optional", {dwelling_optional}, '
        f'IF([load_method]="dwelling standard", {standard}, {metered})))'
    )


def kept(name: str, drop: str) -> str:
    """A present load, 0 where it is dropped."""
    return f'IF([{drop}]="yes", 0, [{name}])'


EQUIPMENT = (
    Column("new_ev_va", "[add_ev_a]*[add_ev_count]*[line_v]"),
    Column("now_ev_nameplate_va", "[ev_a]*[line_v]"),
    Column("ev_nameplate_va", "[now_ev_nameplate_va]+[new_ev_va]"),
    Column("now_ev_va", "IF([ev_a]>0, MAX([ev_count]*{ev_minimum}, [now_ev_nameplate_va]), 0)"),
    Column(
        "ev_va",
        "[now_ev_va]+IF([add_ev_a]>0, [add_ev_count]*MAX({ev_minimum}, [add_ev_a]*[line_v]), 0)",
    ),
    Column("now_heat_va", "[heat_kw]*{va_per_kw}"),
    Column("heat_va", f"({kept('heat_kw', 'drop_heat')}+[add_heat_kw])*{{va_per_kw}}"),
    Column("now_heat_units", "[heat_zones]"),
    Column("heat_units", f"{kept('heat_zones', 'drop_heat')}+IF([add_heat_kw]>0, [add_heat_zones], 0)"),
    Column("now_cooling_only_va", "[ac_kva]*{va_per_kva}"),
    Column("cooling_only_va", f"({kept('ac_kva', 'drop_ac')}+[add_ac_kva])*{{va_per_kva}}"),
    Column("now_heat_pump_va", "[heat_pump_kva]*{va_per_kva}"),
    Column("heat_pump_va", f"({kept('heat_pump_kva', 'drop_heat_pump')}+[add_heat_pump_kva])*{{va_per_kva}}"),
    Column("now_supplement_va", "[heat_pump_aux_kw]*{va_per_kw}"),
    Column(
        "supplement_va",
        f"({kept('heat_pump_aux_kw', 'drop_heat_pump')}+[add_heat_pump_aux_kw])*{{va_per_kw}}",
    ),
    *season("now_"),
    *season(""),
    Column("other_load_va", "[add_other_kva]*{va_per_kva}"),
)

STANDARD = (
    Column(
        "now_standard_base_va",
        "[lighting_demand_va]+[now_appliance_demand_va]+[now_dryer_demand_va]+[now_cooking_demand_va]"
        "+[now_ev_va]",
    ),
    Column(
        "standard_base_va",
        "[lighting_demand_va]+[appliance_demand_va]+[dryer_demand_va]+[cooking_demand_va]+[ev_va]"
        "+[other_load_va]",
    ),
    standard("now_"),
    standard(""),
    Column(
        "now_general_va",
        "[lighting_group_va]+[now_appliances_va]+[now_dryer_nameplate_va]+[now_cooking_nameplate_va]",
    ),
    Column(
        "general_va",
        "[lighting_group_va]+[appliances_va]+[dryer_nameplate_va]+[cooking_nameplate_va]+[other_load_va]",
    ),
)

EXISTING = (
    Column(
        "hvac_added",
        "IF(OR([add_heat_pump_kva]>0, [add_heat_pump_aux_kw]>0, [add_heat_kw]>0, [add_ac_kva]>0), "
        '"yes", "no")',
    ),
    *existing("now_"),
    *existing(""),
    Column(
        "now_existing_dwelling_load_va",
        "IF({hvac_in_pool_83a}=1, [now_existing_inside_va], [now_existing_beside_va])",
    ),
    Column(
        "existing_dwelling_load_va",
        'IF(AND([hvac_added]="no", {hvac_in_pool_83a}=1), [existing_inside_va], [existing_beside_va])',
    ),
    Column(
        "existing_dwelling_alt_va",
        'IF([hvac_added]="yes", "", IF({hvac_in_pool_83a}=1, [existing_beside_va], [existing_inside_va]))',
    ),
)

METERED = (
    Column(
        "metered_season_va",
        'IF(OR([metered_days]>={metered_full_days}, [metered_covers_season]="yes"), 0, '
        'IF([metered_season_kva]="", [now_hvac_va], [metered_season_kva]*{va_per_kva}))',
    ),
    Column(
        "now_metered_load_va",
        'IF([metered_peak_kw]="", "", {metered_rate}*([metered_peak_kw]*{va_per_kw}+[metered_season_va]))',
    ),
    Column(
        "new_load_va",
        "[new_ev_va]+([add_heat_pump_kva]+[add_ac_kva])*{va_per_kva}"
        "+([add_heat_pump_aux_kw]+[add_heat_kw]+[add_range_kw]+[add_dryer_kw])*{va_per_kw}"
        "+[new_water_heater_va]+[new_spa_va]+[other_load_va]",
    ),
    Column("metered_load_va", 'IF([metered_peak_kw]="", "", [now_metered_load_va]+[new_load_va])'),
)

RESULTS = (
    Column(
        "existing_load_va",
        by_method(
            "[now_existing_dwelling_load_va]", "[now_optional_load_va]", "[now_standard_load_va]",
            "[now_metered_load_va]",
        ),
    ),
    Column(
        "total_load_va",
        by_method(
            "[existing_dwelling_load_va]", "[optional_load_va]", "[standard_load_va]", "[metered_load_va]"
        ),
    ),
    Column("total_load_a", "[total_load_va]/[line_v]"),
    Column("service_spare_a", "[service_a]-[total_load_a]"),
    Column(
        "optional_no_ev_va", tiers("[general_va]", "optional_first", "optional_rate") + "+[optional_hvac_va]"
    ),
    Column(
        "existing_no_ev_pool_va",
        '[general_va]+IF(AND([hvac_added]="no", {hvac_in_pool_83a}=1), [hvac_va], 0)',
    ),
    Column(
        "existing_no_ev_va",
        tiers("[existing_no_ev_pool_va]", "existing_first", "existing_rate")
        + "+[general_va]+[hvac_va]-[existing_no_ev_pool_va]",
    ),
    Column(
        "no_ev_va",
        by_method(
            "[existing_no_ev_va]", "[optional_no_ev_va]", "[standard_load_va]-[ev_va]",
            "[metered_load_va]-[new_ev_va]",
        ),
    ),
    Column(
        "ev_set_point_a",
        'IF([new_ev_va]=0, "", IF([ev_limit_a]="", '
        "MIN([ev_a]+[add_ev_a]*[add_ev_count], "
        "MAX(INT(ROUND(([service_a]-[no_ev_va]/[line_v])/{control_rate}, 6)), 0)), [ev_limit_a]))",
    ),
    Column(
        "set_point_by",
        'IF([ev_set_point_a]="", "", IF([ev_limit_a]<>"", "the job", '
        'IF([ev_set_point_a]>=ROUND([ev_a]+[add_ev_a]*[add_ev_count], 6), "rated current of the vehicle supply", '
        '"what the service leaves")))',
    ),
    Column(
        "controlled_load_a",
        'IF([new_ev_va]=0, "", [no_ev_va]/[line_v]+{control_rate}*[ev_set_point_a])',
    ),
)  # fmt: skip

NEUTRAL_EACH = ("dishwasher_va", "disposal_va", "microwave_va", "spa_va", "new_spa_va")
PUMP_ON_NEUTRAL = '[well_pump_v]&""="120"'

NEUTRAL = (
    Column(
        "neutral_group_va",
        "+".join(f"([{name}]>=[appliance_minimum_va])*[{name}]" for name in NEUTRAL_EACH)
        + "+([other_fixed_each_va]>=[appliance_minimum_va])*[other_fixed_neutral_kva]*{va_per_kva}",
    ),
    Column("pump_neutral_va", f"IF({PUMP_ON_NEUTRAL}, [well_pump_va], 0)"),
    Column(
        "appliance_neutral_va",
        "+".join(f"[{name}]" for name in NEUTRAL_EACH)
        + "+[other_fixed_neutral_kva]*{va_per_kva}-(1-[appliance_rate_used])*[neutral_group_va]"
        "+[pump_neutral_va]*IF([well_pump_va]>=[appliance_minimum_va], [appliance_rate_used], 1)",
    ),
    Column(
        "neutral_base_va",
        "[lighting_demand_va]+[appliance_neutral_va]+[other_load_va]"
        "+IF([line_v]={wye_voltage}, 1, {neutral_rate})*([cooking_demand_va]+[dryer_demand_va])"
        "+{motor_rate}*[pump_neutral_va]",
    ),
    Column(
        "service_neutral_va",
        "IF([line_v]={wye_voltage}, [neutral_base_va], MIN([neutral_base_va], {neutral_whole}*[line_v])"
        "+{neutral_rate}*MAX([neutral_base_va]-{neutral_whole}*[line_v], 0))",
    ),
)

STATES = (
    Column(
        "metered_beside_source",
        'IF(AND([load_method]="metered peak", [existing_source]="yes"), "yes", "no")',
    ),
    Column(
        "metered_state",
        'IF([metered_beside_source]="no", "OK", IF([metered_days]<{metered_full_days}, '
        '"STOP: a short record is not permitted beside a source", IF([metered_gross]="no", '
        '"CHECK: the record must show gross consumption beside a source", "OK")))',
    ),
    Column(
        "readings_differ",
        'IF([load_method]="existing dwelling", IF([existing_dwelling_alt_va]="", "no", '
        "IF(AND(MAX([existing_dwelling_load_va], [existing_dwelling_alt_va])>[service_a]*[line_v], "
        "MIN([existing_dwelling_load_va], [existing_dwelling_alt_va])<=[service_a]*[line_v]), "
        '"yes", "no")), "no")',
    ),
    Column(
        "load_method_state",
        'IF([metered_state]<>"OK", [metered_state], IF([readings_differ]="yes", '
        '"CHECK: the two readings of 220.83(A) give different verdicts", "OK"))',
    ),
    Column(
        "service_state",
        'IF([total_load_a]>[service_a], "STOP: the load is over the service rating", "OK")',
    ),
    Column(
        "edition_state",
        "IF(INDEX({editions.unread}, [edition_index])>0, "
        '"STOP: a value of this edition has not been read", '
        "IF(INDEX({editions.assumed}, [edition_index])>0, "
        '"CHECK: values of this edition are assumed unchanged, see Provenance", "OK"))',
    ),
)

LOADS = Sheet(
    name="Loads",
    title="Loads of the house",
    note="The load of the house as it is and with what is planned, by every permitted calculation.",
    columns=(
        *HOUSE_LOADS,
        *COOKING_LOADS,
        *EQUIPMENT,
        *STANDARD,
        *optional("now_"),
        *optional(""),
        *EXISTING,
        *METERED,
        *RESULTS,
        *NEUTRAL,
        *STATES,
    ),
)
