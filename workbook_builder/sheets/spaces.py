"""Spaces of the main panel, of what comes in and what must leave, and the size and legs of the added panel."""

from __future__ import annotations

from .model import Column, Sheet
from .spaces_listed import CIRCUIT_LIST, LEGS

NEEDED = "[added_spaces_needed]"
BUSES = "{panel_bus.bus_a}"

ADDED_PANEL = (
    Column(
        "added_circuit_spaces",
        '[moved_1pole_total]+2*[move_2pole_used]+IF([planned_in]="added panel", [planned_spaces], 0)'
        '+IF(OR([source_at]="added panel far end", [source_at]="added panel elsewhere"), [source_spaces], 0)'
        '+IF(AND([generator_inlet_a]>0, [inlet_at]="added panel"), 2, 0)',
    ),
    Column(
        "added_spaces_needed",
        "CEILING(MAX(ROUND([added_circuit_spaces]*(1+[growth_percent]/{percent}), 6), "
        "[added_circuit_spaces]+[spare_wanted]), 2)",
    ),
    Column(
        "added_bus_least_a",
        'IF([feeder_breaker_a]="", "", IF([source_place]<>"added panel", [feeder_breaker_a], '
        "MAX([feeder_breaker_a], ([feeder_breaker_a]+[source_rated_a])/[added_bus_factor])))",
    ),
    Column(
        "added_bus_index",
        f'IF([added_bus_wanted_a]>0, COUNTIF({BUSES}, "<"&[added_bus_wanted_a])+1, '
        f'IF([feeder_breaker_a]="", "", SUMPRODUCT(1-({BUSES}>=[added_bus_least_a])'
        f"*({{panel_bus.largest_spaces}}>={NEEDED}))+1))",
    ),
    Column(
        "added_bus_chosen_a",
        'IF([added_bus_wanted_a]>0, [added_bus_wanted_a], IF([added_bus_index]="", "", '
        f'IF([added_bus_index]>ROWS({BUSES}), "", INDEX({BUSES}, [added_bus_index]))))',
    ),
    Column(
        "added_size_index",
        f'IF([added_bus_index]="", "", IF([added_bus_index]>ROWS({BUSES}), "", '
        f"SUMPRODUCT(({{panel_size}}<{NEEDED})*({{panel_size}}>0)"
        f'*({{panel_size.header}}=INDEX({BUSES}, [added_bus_index])&""))+1))',
    ),
    Column(
        "added_spaces_listed",
        'IF([added_size_index]="", "", IF([added_size_index]>ROWS({panel_size}), "", '
        "IF(INDEX({panel_size}, [added_size_index], [added_bus_index])>0, "
        'INDEX({panel_size}, [added_size_index], [added_bus_index]), "")))',
    ),
    Column(
        "added_spaces_chosen",
        "IF([added_spaces_wanted]>0, [added_spaces_wanted], [added_spaces_listed])",
    ),
    Column(
        "added_growth_state",
        f"IF([added_spaces_chosen]<{NEEDED}, "
        '"CHECK: the added panel leaves less growth than wanted", '
        'IF(IFERROR([added_spaces_chosen]-INDEX({panel_bus.largest_spaces}, [added_bus_index]), 0)>0, '
        '"CHECK: no panel of the list has that many spaces on that bus", "OK"))',
    ),
    Column(
        "added_panel_state",
        'IF(OR([added_spaces_chosen]="", [added_bus_chosen_a]=""), '
        '"STOP: no panel of the list is large enough", IF([added_spaces_chosen]<[added_circuit_spaces], '
        '"STOP: the added panel has fewer spaces than circuits", '
        "[added_growth_state]))",
    ),
)

SPACES = Sheet(
    name="Spaces",
    title="Spaces of the main panel",
    note="How many spaces the new breakers take and how many circuits must move to make room.",
    columns=(
        Column("spaces_free", "[main_spaces]-[main_spaces_used]"),
        Column(
            "dropped_hvac",
            '([heat_kw]>0)*([drop_heat]="yes")+([ac_kva]>0)*([drop_ac]="yes")'
            '+([heat_pump_kva]>0)*([drop_heat_pump]="yes")',
        ),
        Column(
            "dropped_appliances",
            '([range_kw]>0)*([drop_range]="yes")+([dryer_kw]>0)*([drop_dryer]="yes")'
            '+([water_heater_kw]>0)*([drop_water_heater]="yes")',
        ),
        Column("spaces_dropped", "2*([dropped_hvac]+[dropped_appliances])"),
        Column(
            "planned_equipment",
            "([add_ev_a]>0)*[add_ev_count]+([add_heat_pump_kva]>0)+([add_heat_pump_aux_kw]>0)"
            "+([add_heat_kw]>0)+([add_ac_kva]>0)+([add_range_kw]>0)+([add_dryer_kw]>0)"
            "+([add_water_heater_kw]>0)+([add_spa_kva]>0)",
        ),
        Column("planned_spaces", "2*[planned_equipment]+[add_1pole]+2*[add_2pole]"),
        Column(
            "source_spaces",
            'IF([source_at]="supply side", 0, IF([pv_output_a]>0, 2, 0)+IF([storage_output_a]>0, 2, 0))',
        ),
        Column(
            "incoming_spaces",
            '2+IF([planned_in]="main panel", [planned_spaces], 0)'
            '+IF(OR([source_at]="main panel far end", [source_at]="main panel elsewhere"), [source_spaces], 0)'
            '+IF(AND([generator_inlet_a]>0, [inlet_at]="main panel"), 2, 0)',
        ),
        *CIRCUIT_LIST,
        Column("circuits_to_move", "MAX([incoming_spaces]-[spaces_free]-[spaces_freed], 0)"),
        Column("moved_1pole_total", "MAX([move_1pole_used], [circuits_to_move]-2*[move_2pole_used])"),
        Column(
            "moves_state",
            'IF([moved_1pole_total]<=[move_1pole_used], "OK", IF([move_1pole_used]+[move_2pole_used]=0, '
            '"CHECK: circuits must move and the job names none", "CHECK: more circuits must move than the job says"))',
        ),
        Column(
            "spaces_state",
            "IF([moved_1pole_total]+2*[move_2pole_used]>[main_spaces_used]-[spaces_freed], "
            '"STOP: more circuits would have to move than the main panel holds", [moves_state])',
        ),
        *ADDED_PANEL,
        *LEGS,
    ),
)
