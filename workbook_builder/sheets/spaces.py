"""Spaces of the main panel: what is free, what comes in, what must leave."""

from __future__ import annotations

from .model import Column, Sheet

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
        Column("circuits_to_move", "MAX([incoming_spaces]-[spaces_free]-[spaces_dropped], 0)"),
        Column("moved_1pole_total", "MAX([move_1pole], [circuits_to_move]-2*[move_2pole])"),
        Column(
            "spaces_state",
            "IF([moved_1pole_total]+2*[move_2pole]>[main_spaces_used]-[spaces_dropped], "
            '"STOP: more circuits would have to move than the main panel holds", '
            "IF([moved_1pole_total]>[move_1pole], "
            '"CHECK: more circuits must move than the job says", "OK"))',
        ),
    ),
)
