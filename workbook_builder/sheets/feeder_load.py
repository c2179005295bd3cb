"""Load of the added panel and the breaker of its feeder."""

from __future__ import annotations

from .model import Column


def planned_here(formula: str) -> str:
    """0 where the planned loads stay on the main panel."""
    return f'IF([planned_in]="main panel", 0, {formula})'


def first_of(*states: str, otherwise: str) -> str:
    """The first state that is not OK."""
    formula = otherwise
    for state in reversed(states):
        formula = f'IF([{state}]<>"OK", [{state}], {formula})'
    return formula


RATINGS = "{standard_rating.rating_a}"

FEEDER_LOADS = (
    Column(
        "moved_va",
        'IF([move_kva]<>"", [move_kva]*{va_per_kva}, IF([listed_moves]>0, [listed_move_va], '
        "{move_1pole_load}*[move_1pole_used]+{move_2pole_load}*[move_2pole_used]))"
        "+{move_1pole_load}*([moved_1pole_total]-[move_1pole_used])",
    ),
    Column(
        "moved_neutral_va",
        'IF([move_kva]="", [moved_va], IF([move_neutral_kva]="", [moved_va], '
        "[moved_va]-([move_kva]-[move_neutral_kva])*{va_per_kva}))",
    ),
    Column(
        "feeder_range_c_kw",
        "INDEX({cooking_demand.column_c}, 1)*(1+{cooking_step_rate}*INT(ROUND(MAX([add_range_kw], "
        "{cooking_c_limit})-{cooking_c_limit}+{cooking_major_fraction}, 6)))",
    ),
    Column(
        "feeder_range_ab_kw",
        "IF([add_range_kw]>{cooking_b_limit}, [feeder_range_c_kw], [add_range_kw]*IF([add_range_kw]"
        "<{cooking_a_limit}, INDEX({cooking_demand.column_a}, 1), INDEX({cooking_demand.column_b}, 1))"
        "/{percent})",
    ),
    Column(
        "feeder_range_va",
        planned_here(
            "IF([add_range_kw]<={cooking_floor}, [add_range_kw], "
            "MIN([feeder_range_c_kw], [feeder_range_ab_kw]))*{va_per_kw}"
        ),
    ),
    Column(
        "feeder_dryer_va",
        planned_here("IF([add_dryer_kw]=0, 0, MAX([add_dryer_kw]*{va_per_kw}, {dryer_minimum}))"),
    ),
    Column(
        "feeder_heating_va",
        '[add_heat_kw]*{va_per_kw}+IF([aux_with_compressor]="yes", [add_heat_pump_kva]*{va_per_kva}'
        "+[add_heat_pump_aux_kw]*{va_per_kw}, "
        "MAX([add_heat_pump_kva]*{va_per_kva}, [add_heat_pump_aux_kw]*{va_per_kw}))",
    ),
    Column(
        "feeder_hvac_va",
        planned_here("MAX([feeder_heating_va], ([add_ac_kva]+[add_heat_pump_kva])*{va_per_kva})"),
    ),
    Column(
        "feeder_motor_va",
        planned_here("{motor_rate}*MAX([add_heat_pump_kva], [add_ac_kva])*{va_per_kva}"),
    ),
    Column("feeder_other_va", planned_here("[new_water_heater_va]+[new_spa_va]+[other_load_va]")),
    Column("feeder_ev_va", planned_here("[new_ev_va]")),
    Column(
        "feeder_plain_va",
        "[moved_va]+[feeder_range_va]+[feeder_dryer_va]+[feeder_hvac_va]+[feeder_motor_va]"
        "+[feeder_other_va]+[feeder_ev_va]",
    ),
    Column("feeder_continuous_va", "[move_continuous_kva]*{va_per_kva}+[feeder_ev_va]"),
    Column("feeder_plain_a", "[feeder_plain_va]/[line_v]"),
    Column("feeder_load_a", "([feeder_plain_va]+{continuous_rate}*[feeder_continuous_va])/[line_v]"),
    Column(
        "feeder_needed_a",
        f'IF(MAX([feeder_load_a], {{feeder_minimum}})>MAX({RATINGS}), "", '
        f'INDEX({RATINGS}, COUNTIF({RATINGS}, "<"&MAX([feeder_load_a], {{feeder_minimum}}))+1))',
    ),
    Column(
        "feeder_breaker_a",
        "IF([feeder_breaker_wanted_a]>0, [feeder_breaker_wanted_a], [feeder_needed_a])",
    ),
    Column(
        "breaker_below_a",
        f'IF([feeder_breaker_a]="", "", IF(COUNTIF({RATINGS}, "<"&[feeder_breaker_a])=0, 0, '
        f'INDEX({RATINGS}, COUNTIF({RATINGS}, "<"&[feeder_breaker_a]))))',
    ),
)

BREAKER_STATES = (
    Column(
        "breaker_rating_state",
        'IF([feeder_breaker_a]="", "STOP: no standard rating carries the load", '
        f'IF(COUNTIF({RATINGS}, [feeder_breaker_a])=0, "STOP: the breaker is no standard rating", '
        'IF([feeder_breaker_a]<[feeder_load_a], "STOP: the breaker is under the load", "OK")))',
    ),
    Column(
        "breaker_limit_state",
        'IF([feeder_breaker_a]="", "OK", '
        'IF([feeder_breaker_a]>[service_a], "STOP: the breaker is over the service rating", '
        "IF(AND([branch_limit_a]>0, [feeder_breaker_a]>[branch_limit_a]), "
        '"STOP: the breaker is over the branch limit of the main panel", "OK")))',
    ),
    Column(
        "breaker_bus_state",
        'IF([feeder_breaker_a]="", "OK", '
        "IF(AND([added_bus_wanted_a]>0, [added_bus_wanted_a]<[feeder_breaker_a]), "
        '"STOP: the breaker is over the bus of the added panel", "OK"))',
    ),
    Column(
        "breaker_place_state",
        'IF(OR([feeder_breaker_a]="", [panel_place]<>"other building"), "OK", '
        "IF([feeder_breaker_a]<{building_minimum}, "
        '"STOP: another building needs a larger disconnect", '
        "IF([feeder_breaker_a]<{dwelling_minimum}, "
        '"CHECK: a dwelling in the other building needs 100 A", "OK")))',
    ),
    Column(
        "breaker_state",
        first_of(
            "breaker_rating_state",
            "breaker_limit_state",
            "breaker_bus_state",
            "breaker_place_state",
            otherwise="IF([feeder_breaker_a]<{feeder_minimum}, "
            '"CHECK: the breaker is under the smallest the company installs", "OK")',
        ),
    ),
)
