"""Conductors of the feeder, its voltage drop and the place of the added panel.

Sizes are positions in the ampacity table; the conductor, resistance and
impedance tables list the same sizes in the same order.
"""

from __future__ import annotations

from .feeder_legs import LEG_DROP, SINE
from .feeder_load import BREAKER_STATES, FEEDER_LOADS, first_of
from .model import Column, Sheet
from .vehicle_circuit import HEAT_PUMP_CIRCUIT, VEHICLE_CIRCUIT

SIZES = "{ampacity.size}"
MILS = "{bare_conductor.circular_mils}"


def position(size: str) -> str:
    """Where a size stands among the sizes."""
    return f"MATCH([{size}], {SIZES}, 0)"


def smallest(key: str, *tests: str) -> str:
    """Position of the smallest size that passes every test in one ampacity column."""
    passes = "*".join(f"({{ampacity}}{test})" for test in tests)
    return f"SUMPRODUCT((1-{passes})*({{ampacity.header}}=[{key}]))+1"


NONE = f"ROWS({SIZES})+1"

METHOD = (
    Column("wiring_index", "MATCH([wiring], {wiring_method.wiring}, 0)"),
    Column("wiring_kind", "INDEX({wiring_method.kind}, [wiring_index])"),
    Column(
        "burial_column",
        'IF(INDEX({wiring_method.cover}, [wiring_index])="", "", '
        "INDEX({wiring_method.cover}, [wiring_index]))",
    ),
    Column(
        "terminal_c",
        'MIN(IF(OR([terminals]="75 C", IF([feeder_breaker_a]="", 0, [feeder_breaker_a])>{terminal_limit}), '
        "{terminal_marked}, {terminal_unmarked}), INDEX({wiring_method.terminal_cap_c}, [wiring_index]))",
    ),
    Column(
        "insulation_c",
        "IF(INDEX({wiring_method.insulation_c}, [wiring_index])>0, "
        "INDEX({wiring_method.insulation_c}, [wiring_index]), "
        "INDEX({insulation.temperature_c}, MATCH([insulation], {insulation.insulation}, 0)))",
    ),
    Column("terminal_key", '[material]&" "&[terminal_c]'),
    Column("insulation_key", '[material]&" "&[insulation_c]'),
    Column(
        "ambient_factor",
        'INDEX({ambient_factor}, COUNTIF({ambient_factor.upper_c}, "<"&[ambient_c])+1, '
        'MATCH([insulation_c]&"", {ambient_factor.header}, 0))+0',
    ),
    Column(
        "adjustment_factor",
        'IF(OR([wiring_kind]="cable", [raceway_in]<={nipple_length}), 1, INDEX({count_factor.factor}, '
        "MATCH([current_carrying_conductors], {count_factor.conductors_from}, 1)))",
    ),
    Column("correction", "[ambient_factor]*[adjustment_factor]"),
)

UNGROUNDED = (
    Column("size_by_terminals", smallest("terminal_key", ">=[feeder_load_a]", ">0")),
    Column(
        "size_by_correction",
        f"IF([correction]=0, {NONE}, "
        + smallest("insulation_key", ">=ROUND([feeder_plain_a]/[correction], 6)", ">0")
        + ")",
    ),
    Column(
        "overcurrent_floor_a",
        'IF([feeder_breaker_a]="", "", MIN([feeder_breaker_a], [feeder_load_a]))',
    ),
    Column(
        "size_oc_terminals",
        f'IF([feeder_breaker_a]="", {NONE}, '
        + smallest("terminal_key", ">[breaker_below_a]", ">=[overcurrent_floor_a]")
        + ")",
    ),
    Column(
        "size_oc_corrected",
        f'IF(OR([feeder_breaker_a]="", [correction]=0), {NONE}, '
        + smallest(
            "insulation_key",
            ">ROUND([breaker_below_a]/[correction], 6)",
            ">=ROUND([overcurrent_floor_a]/[correction], 6)",
        )
        + ")",
    ),
    Column("size_by_overcurrent", "MAX([size_oc_terminals], [size_oc_corrected])"),
    Column(
        "size_by_small_conductor",
        'IF([feeder_breaker_a]="", 1, '
        "SUMPRODUCT(({small_conductor}<[feeder_breaker_a])*({small_conductor.header}=[material]))+1)",
    ),
    Column(
        "size_minimum",
        "MAX([size_by_terminals], [size_by_correction], [size_by_overcurrent], [size_by_small_conductor])",
    ),
    Column(
        "size_uncorrected",
        "MAX([size_by_terminals], [size_oc_terminals], [size_by_small_conductor])",
    ),
    Column(
        "drop_z_limit",
        "IF([feeder_plain_a]=0, 0, [drop_limit_percent]/{percent}*[line_v]*{feet_per_kft}"
        "/(2*[feeder_plain_a]*[run_ft]))",
    ),
    Column("impedance_key", '[material]&" "&INDEX({wiring_method.impedance}, [wiring_index])'),
    Column(
        "size_for_drop",
        f"SUMPRODUCT((1-({{ac_resistance}}*{{power_factor}}+{{ac_reactance}}*{SINE}<=[drop_z_limit])"
        "*({ac_resistance}>0))*({ac_resistance.header}=[impedance_key]))+1",
    ),
    Column(
        "size_by_drop",
        'IF(OR([drop_governs]="no", [feeder_plain_a]=0), 1, [size_for_drop])',
    ),
    Column("size_chosen", "MAX([size_minimum], [size_by_drop])"),
)

FEEDER_SIZES = (
    Column(
        "feeder_size",
        f'IF([size_chosen]>ROWS({SIZES}), "", INDEX({SIZES}, [size_chosen]))',
    ),
    Column(
        "size_governed_by",
        'IF([size_by_terminals]=[size_chosen], "terminals", '
        'IF([size_by_correction]=[size_chosen], "correction", '
        'IF([size_by_overcurrent]=[size_chosen], "overcurrent", '
        'IF([size_by_small_conductor]=[size_chosen], "small conductor", "voltage drop"))))',
    ),
    Column(
        "feeder_ampacity_a",
        'IF([feeder_size]="", "", MIN(INDEX({ampacity}, [size_chosen], '
        "MATCH([terminal_key], {ampacity.header}, 0)), [correction]*INDEX({ampacity}, [size_chosen], "
        "MATCH([insulation_key], {ampacity.header}, 0))))",
    ),
    Column(
        "conductor_state",
        'IF([feeder_size]="", "STOP: no single conductor of the table passes", '
        f'IF(AND([wiring]="NM-B cable", [size_chosen]>MATCH({{nm_largest}}, {SIZES}, 0)), '
        '"STOP: larger than NM-B cable is made", "OK"))',
    ),
    Column("run_wet", 'IF(OR([wet_location]="yes", [room]="outdoors", [panel_place]="other building"), "yes", "no")'),
    Column(
        "wiring_wet_state",
        'IF([run_wet]="no", "OK", '
        'IF([wiring]="NM-B cable", "STOP: NM-B cable is for dry places indoors", '
        'IF(OR([wiring]="MC cable", [wiring]="FMC"), "CHECK: only where listed for wet places", "OK")))',
    ),
    Column(
        "wiring_state",
        'IF(AND([trench_ft]>0, [burial_column]=""), '
        '"STOP: this wiring method is not for burial", [wiring_wet_state])',
    ),
)

GROUNDED = (
    Column(
        "feeder_neutral_va",
        "[moved_neutral_va]+IF([line_v]={wye_voltage}, 1, {neutral_rate})*([feeder_range_va]"
        '+[feeder_dryer_va])+IF([planned_in]="added panel", [new_spa_va]+[other_load_va], 0)',
    ),
    Column(
        "feeder_neutral_a",
        "IF([line_v]={wye_voltage}, [feeder_neutral_va], "
        "MIN([feeder_neutral_va], {neutral_whole}*[line_v])"
        "+{neutral_rate}*MAX([feeder_neutral_va]-{neutral_whole}*[line_v], 0))/[line_v]",
    ),
    Column(
        "egc_table_size",
        'IF([feeder_breaker_a]="", "", IF([feeder_breaker_a]>MAX({equipment_ground.rating_a}), "", '
        'INDEX({equipment_ground}, COUNTIF({equipment_ground.rating_a}, "<"&[feeder_breaker_a])+1, '
        "MATCH([material], {equipment_ground.header}, 0))))",
    ),
    Column("feeder_mils", f'IF([feeder_size]="", "", INDEX({MILS}, [size_chosen]))'),
    Column(
        "egc_increase",
        f'IF([feeder_size]="", "", [feeder_mils]/INDEX({MILS}, '
        "IF({egc_base_uncorrected}=1, [size_uncorrected], [size_minimum])))",
    ),
    Column(
        "egc_mils_needed",
        'IF(OR([egc_table_size]="", [feeder_size]=""), "", '
        f"INDEX({MILS}, {position('egc_table_size')})*[egc_increase])",
    ),
    Column(
        "egc_needed",
        f'IF([egc_mils_needed]="", "", INDEX({SIZES}, MIN([size_chosen], '
        f'COUNTIF({MILS}, "<"&[egc_mils_needed])+1)))',
    ),
    Column(
        "egc_size",
        'IF([egc_needed]="", "", IF([egc_wanted]="", [egc_needed], [egc_wanted]))',
    ),
    Column(
        "egc_state",
        f'IF([egc_needed]="", "OK", IF({position("egc_size")}<{position("egc_needed")}, '
        '"STOP: the grounding conductor wanted is too small", "OK"))',
    ),
    Column("neutral_by_terminals", smallest("terminal_key", ">=[feeder_neutral_a]", ">0")),
    Column(
        "neutral_by_correction",
        f"IF([correction]=0, {NONE}, "
        + smallest("insulation_key", ">=ROUND([feeder_neutral_a]/[correction], 6)", ">0")
        + ")",
    ),
    Column(
        "neutral_size",
        'IF([feeder_size]="", "", IF([neutral]="full", [feeder_size], '
        f"INDEX({SIZES}, MIN([size_chosen], MAX([neutral_by_terminals], [neutral_by_correction], "
        f'IF([egc_table_size]="", 0, {position("egc_table_size")}))))))',
    ),
    Column(
        "gec_table_size",
        'IF(OR([panel_place]<>"other building", [feeder_size]=""), "", '
        'INDEX({electrode_conductor.copper}, IF([material]="copper", '
        'COUNTIF({electrode_conductor.copper over}, "<"&[feeder_mils]), '
        'COUNTIF({electrode_conductor.aluminum over}, "<"&[feeder_mils]))))',
    ),
    Column(
        "electrode_largest",
        'IF([electrode]="rods", {rod_largest}, IF([electrode]="concrete encased", {concrete_largest}, ""))',
    ),
    Column(
        "gec_size",
        'IF([gec_table_size]="", "", IF([electrode_largest]="", [gec_table_size], '
        f"INDEX({SIZES}, MIN({position('gec_table_size')}, {position('electrode_largest')}))))",
    ),
)

DROP = (
    Column(
        "feeder_resistance",
        'IF([feeder_size]="", "", INDEX({ac_resistance}, [size_chosen], '
        "MATCH([impedance_key], {ac_resistance.header}, 0)))",
    ),
    Column(
        "feeder_reactance",
        'IF([feeder_size]="", "", INDEX({ac_reactance}, [size_chosen], '
        "MATCH([impedance_key], {ac_reactance.header}, 0)))",
    ),
    Column(
        "voltage_drop_percent",
        'IF([feeder_size]="", "", 2*[feeder_plain_a]*[run_ft]/{feet_per_kft}'
        f"*([feeder_resistance]*{{power_factor}}+[feeder_reactance]*{SINE})/[line_v]*{{percent}})",
    ),
    Column(
        "drop_table8_percent",
        'IF([feeder_size]="", "", 2*[feeder_plain_a]*[run_ft]/{feet_per_kft}*IF([material]="copper", '
        "INDEX({bare_conductor.copper}, [size_chosen]), INDEX({bare_conductor.aluminum}, [size_chosen]))"
        "/[line_v]*{percent})",
    ),
    Column(
        "drop_state",
        'IF([voltage_drop_percent]="", "OK", IF([voltage_drop_percent]>[drop_limit_percent], '
        '"CHECK: the voltage drop is over the target", "OK"))',
    ),
)

PLACE = (
    Column(
        "room_state",
        'IF(OR([room]="bathroom", [room]="clothes closet", [room]="stairs"), '
        '"STOP: no overcurrent device in this room", "OK")',
    ),
    Column(
        "width_state",
        'IF([clear_width_in]="", "OK", IF([clear_width_in]<MAX({working_width}, [panel_width_in]), '
        '"STOP: the working space is too narrow", "OK"))',
    ),
    Column(
        "depth_state",
        'IF([clear_depth_in]="", "OK", IF([clear_depth_in]<{working_depth}, '
        '"STOP: the working space is too shallow", "OK"))',
    ),
    Column(
        "headroom_low",
        'IF([clear_height_in]="", "no", IF([clear_height_in]<{working_height}, "yes", "no"))',
    ),
    Column(
        "height_state",
        'IF(AND([headroom_low]="yes", OR([panel_place]="other building", '
        'IF([feeder_breaker_a]="", 0, [feeder_breaker_a])>{low_headroom_limit})), "STOP: the working space is too low", "OK")',
    ),
    Column(
        "handle_state",
        'IF([top_breaker_height_in]="", "OK", IF([top_breaker_height_in]>{handle_height}, '
        '"STOP: the highest handle is too high", "OK"))',
    ),
    Column(
        "headroom_state",
        'IF([headroom_low]="yes", "CHECK: low headroom, only by the exception for existing dwellings", '
        'IF(OR([clear_width_in]="", [clear_depth_in]="", [clear_height_in]=""), '
        '"CHECK: working space not measured", "OK"))',
    ),
    Column(
        "working_space_state",
        first_of(
            "room_state", "width_state", "depth_state", "height_state", "handle_state",
            otherwise="[headroom_state]",
        ),
    ),
)  # fmt: skip

OTHER_ENTRIES = (
    Column(
        "fault_state",
        'IF(OR([fault_ka]="", [panel_kaic]=""), "CHECK: fault current not compared with the rating", '
        "IF([fault_ka]>[panel_kaic], "
        '"STOP: the fault current is over the rating of panel and breakers", "OK"))',
    ),
    Column(
        "three_wire_state",
        'IF(AND([moved_three_wire]="yes", [moved_1pole_total]+[move_2pole_used]>0), '
        '"STOP: a three-wire range or dryer circuit stays at the service or is rewired", "OK")',
    ),
    Column(
        "feeds_state",
        'IF(AND([panel_place]="other building", [other_building_feeds]>0), '
        '"CHECK: the other building has a feed already", "OK")',
    ),
    Column("heat_pump_most_a", "[add_heat_pump_kva]*{va_per_kva}/[line_v]*(1+{motor_rate})"),
    Column(
        "heat_pump_state",
        'IF([hp_mca_a]="", "OK", IF(IF([hp_mocp_a]="", [hp_mca_a], [hp_mocp_a])<[hp_mca_a], '
        '"STOP: nameplate ampacity over its breaker", '
        "IF([hp_mca_a]>[heat_pump_most_a], "
        '"CHECK: the nameplate asks for more than entered", "OK")))',
    ),
    Column(
        "service_conductor_size",
        'IF([new_service_a]="", "", IFERROR(INDEX({dwelling_conductor}, '
        'COUNTIF({dwelling_conductor.rating_a}, "<"&[new_service_a])+1, '
        'MATCH([material], {dwelling_conductor.header}, 0)), ""))',
    ),
)

FEEDER = Sheet(
    name="Feeder",
    title="Feeder of the added panel",
    note="The load of the added panel, its breaker, and the conductors that carry it.",
    columns=(
        *FEEDER_LOADS,
        *BREAKER_STATES,
        *METHOD,
        *UNGROUNDED,
        *FEEDER_SIZES,
        *GROUNDED,
        *DROP,
        *PLACE,
        *OTHER_ENTRIES,
        *LEG_DROP,
        *VEHICLE_CIRCUIT,
        *HEAT_PUMP_CIRCUIT,
    ),
)
