"""How much work each package of a way is, what makes it harder, and the hours of the way chosen."""

from __future__ import annotations

from .feeder_size import SIZES
from .labour_hours import CHOSEN, DIFFICULTY, HOURS, PACKAGE_HOURS
from .model import Column, Sheet
from .takeoff_pieces import EIGHT, flag, trade_place, up

PVC = 'OR([wiring]="PVC 40", [wiring]="PVC 80")'
EMT = '[wiring]="EMT"'
SMALL = trade_place("{raceway_small}")
TO_SMALL = f"[raceway_index]<={SMALL}"
BETWEEN = f"[raceway_index]>{SMALL}, [is_large_raceway]=0"
OVER_LARGE = "[is_large_raceway]=1"

MOVED_2POLE = "MAX([move_2pole_used]-[listed_reaches_2pole], 0)"


def at_size(amount: str, *tests: str) -> str:
    """An amount where the feeder has a size and tests of its position hold."""
    together = tests[0] if len(tests) == 1 else f"AND({', '.join(tests)})"
    return f'IF([feeder_size]="", 0, IF({together}, {amount}, 0))'


def than(sign: str, size: str) -> str:
    """The size of the feeder against another; sizes stand in the order of their circular mils."""
    return f"[size_chosen]{sign}MATCH({{{size}}}, {SIZES}, 0)"


def raceway(*tests: str) -> str:
    """Length of raceway where it is no nipple, has a trade size, and tests hold."""
    together = tests[0] if len(tests) == 1 else f"AND({', '.join(tests)})"
    return f'IF(OR([is_nipple]=1, [raceway_size]=""), 0, IF({together}, [raceway_ft], 0))'


def terminations(sign: str) -> str:
    """Two ends of four conductors, twice where a disconnect stands between."""
    return at_size(f"{EIGHT}*(1+[is_building])", than(sign, "termination_large"))


def cable(wiring: str) -> str:
    """Length of the run where it is one kind of cable."""
    return f'IF([wiring]="{wiring}", [run_ft], 0)'


EVERY_WAY = (
    Column("work_survey", "1"),
    Column("work_packet", "1"),
    Column("work_permit", "1"),
    Column("work_visits", "1+[is_building]"),
    Column("work_deenergize", "1"),
    Column("work_directory", "1"),
    Column("work_readings", "1"),
    Column("work_inspection", "1+" + flag("OR([trench_ft]>0, [wall_repairs]>0)")),
    Column("work_cleanup", "1"),
    Column("work_circuit_run", "[ev_runs_ft]+[hp_run_ft]"),
    Column("work_circuit_end", "[vehicle_sets]+[heat_pump_sets]"),
    Column("work_extra", "[extra_hours]"),
    Column("work_land_1pole", "[branch_1pole]"),
    Column("work_land_2pole", "[branch_2pole]+[branch_2pole_large]"),
    Column("work_protected", "[branch_arc_fault]+[branch_ground_fault]"),
    Column("work_swap_pairs", up("[two_circuit_breakers]/2")),
)
"""The last one is the work of the way in existing spaces."""

PANEL = (
    Column("work_ground_bar", "1"),
    Column("work_surge", "[surge_devices]"),
    Column("work_terminate_small", terminations("<")),
    Column("work_terminate_large", terminations(">=")),
    Column("work_trench_hand", 'IF([trench_by]="hand", [trench_ft], 0)'),
    Column("work_trench_machine", 'IF([trench_by]="machine", [trench_ft], 0)'),
    Column("work_backfill", "[trench_ft]"),
    Column("work_rods", "[rods]"),
    Column("work_electrode_run", "[electrode_ft]"),
    Column("work_intersystem", "[intersystem_terminals]"),
    Column("work_trace", "[moved_circuits]"),
    Column("work_feeder_breaker", "1"),
    Column("work_clear_pair", flag("[circuits_to_move]>0")),
    Column(
        "work_move_1pole",
        "MAX([moved_1pole_total]-[listed_shared]-[listed_reaches_1pole], 0)",
    ),
    Column("work_move_2pole", f'IF([moved_wire]="8", 0, {MOVED_2POLE})'),
    Column("work_move_2pole_large", f'IF([moved_wire]="8", {MOVED_2POLE}, 0)'),
    Column("work_move_shared", "[handle_ties]"),
    Column("work_reroute", "[listed_reaches_1pole]+[listed_reaches_2pole]"),
    Column("work_moved_protected", "[moved_arc_fault]"),
    Column("work_trouble", "{trouble_share}*[moved_arc_fault]"),
    Column("work_mount", "1"),
    Column(
        "work_mount_extra",
        flag(
            'OR(IF([added_spaces_chosen]="", 0, [added_spaces_chosen])>={large_panel_spaces}, '
            'IF([added_bus_chosen_a]="", 0, [added_bus_chosen_a])>={large_panel_bus})'
        ),
    ),
    Column("work_nipples", "[moved_nipples]+[is_nipple]"),
    Column("work_holes_wood", 'IF([wall]="masonry", 0, [is_inside]+2*[is_building])'),
    Column("work_holes_masonry", 'IF([wall]="masonry", [is_inside]+2*[is_building], 0)'),
)

RUN = (
    Column("work_pvc_small", raceway(PVC, TO_SMALL)),
    Column("work_pvc_medium", raceway(PVC, BETWEEN)),
    Column("work_pvc_large", raceway(PVC, OVER_LARGE)),
    Column("work_emt_small", raceway(EMT, TO_SMALL)),
    Column("work_emt_medium", raceway(EMT, BETWEEN)),
    Column("work_emt_large", raceway(EMT, OVER_LARGE)),
    Column("work_metal", raceway('OR([wiring]="RMC", [wiring]="IMC")')),
    Column("work_flexible", raceway('OR([wiring]="FMC", [wiring]="LFNC")')),
    Column("work_fittings", "[elbows_small]+[elbows_large]+[bodies_small]+[bodies_large]"),
    Column("work_pull_moved", 'IF([moved_wire]="8", 0, [moved_wire_ft])'),
    Column(
        "work_pull_8_6",
        at_size("[pull_ft]", than("<=", "pull_8_6_to")) + '+IF([moved_wire]="8", [moved_wire_ft], 0)',
    ),
    Column("work_pull_4_2", at_size("[pull_ft]", than(">", "pull_8_6_to"), than("<=", "pull_4_2_to"))),
    Column("work_pull_1", at_size("[pull_ft]", than(">", "pull_4_2_to"), than("<=", "pull_1_to"))),
    Column("work_pull_large", at_size("[pull_ft]", than(">", "pull_1_to"))),
    Column("work_nm", cable("NM-B cable")),
    Column("work_ser", cable("SER cable")),
    Column("work_mc", cable("MC cable")),
    Column(
        "work_fish",
        'IF(AND([is_raceway]=0, [is_inside]=1, [wall]<>"open framing"), {fish_drops}, 0)',
    ),
)

OTHER_WAYS = (
    Column("work_control", "[control_devices]"),
    Column("work_meter", "1"),
    Column("work_standby", "1"),
    Column("work_service_visit", "1"),
    Column("work_service_rods", "[service_rods]"),
    Column("work_service_electrode", "[service_electrode_ft]"),
    Column("work_service_intersystem", "[service_intersystem]"),
    Column("work_service_surge", "[service_surge]"),
    Column("work_service_inspection", "1"),
    Column("work_service_bond", "[service_ground_bars]"),
    Column("work_replace_panel", "1"),
    Column("work_service_trace", "[main_spaces_used]"),
    Column("work_land_more", "MAX([main_spaces_used]-{relanded_circuits}, 0)"),
)

LABOUR = Sheet(
    name="Labour",
    title="Work of each package",
    note="How much of every task each package takes, the factors of difficulty, and the hours by the labour units.",
    columns=(
        *EVERY_WAY,
        *PANEL,
        *RUN,
        *OTHER_WAYS,
        *DIFFICULTY,
        *HOURS,
        *PACKAGE_HOURS,
        *CHOSEN,
    ),
)
