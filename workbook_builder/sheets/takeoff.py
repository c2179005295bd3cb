"""How much material each package of a way takes: what the design gives, and what every way takes."""

from __future__ import annotations

from .model import Column, Sheet
from .package_lines import no_price, way_sum
from .takeoff_panel import ADDED_PANEL
from .takeoff_pieces import FOUR, WASTE, flag, trade_place
from .takeoff_service import LARGER_SERVICE

CONTINUOUS = "(1+{continuous_rate})"


def large(current: str) -> str:
    """A test that the breaker of a continuous current is priced as a large one."""
    return f"ROUND([{current}]*{CONTINUOUS}, 6)>{{branch_large}}"


DESIGN = (
    Column("is_raceway", flag('[wiring_kind]="raceway"')),
    Column("is_building", flag('[panel_place]="other building"')),
    Column("is_inside", flag('[panel_place]="same building"')),
    Column("is_nipple", flag("AND([is_raceway]=1, [raceway_in]<={nipple_length})")),
    Column("is_finished", flag('OR([wall]="drywall", [wall]="plaster")')),
    Column("raceway_ft", "IF([is_raceway]=0, 0, [raceway_in]/12+IF([trench_ft]>0, 2*{riser_ft}, 0))"),
    Column(
        "is_large_raceway",
        'IF(OR([is_raceway]=0, [raceway_index]=""), 0, '
        f"IF([raceway_index]>{trade_place('{large_raceway}')}, 1, 0))",
    ),
    Column(
        "conductor_ft",
        f'IF(OR([is_raceway]=0, [feeder_size]=""), 0, ([raceway_ft]+2*{{make_up_ft}})*{WASTE})',
    ),
    Column("pull_ft", f'IF(OR([is_raceway]=0, [feeder_size]=""), 0, {FOUR}*[raceway_ft])'),
    Column("moved_circuits", "[moved_1pole_total]+[move_2pole_used]"),
    Column("spliced_circuits", "MAX([moved_circuits]-[listed_reaches_1pole]-[listed_reaches_2pole], 0)"),
    Column(
        "moved_arc_fault",
        'IF([moved_ext_ft]="", 0, IF(AND([moved_ext_ft]>{arc_fault_extension}, '
        "[moved_breaker_a]<={arc_fault_breaker}), [moved_1pole_total], 0))",
    ),
    Column(
        "planned_2pole",
        "([add_ev_a]>0)*[add_ev_count]+([add_heat_pump_kva]>0)+([add_heat_pump_aux_kw]>0)"
        "+([add_heat_kw]>0)+([add_ac_kva]>0)+([add_range_kw]>0)+([add_dryer_kw]>0)"
        "+([add_water_heater_kw]>0)+([add_spa_kva]>0)+[add_2pole]+[source_spaces]/2+([generator_inlet_a]>0)",
    ),
    Column(
        "ev_ground_fault",
        'IF([ev_connection]="receptacle", [add_ev_count]*{gfci_vehicle}, 0)',
    ),
    Column(
        "outdoor_ground_fault",
        '{gfci_outdoor}*(IF([add_heat_pump_kva]>0, IF([hp_mocp_a]="", 1, '
        "IF([hp_mocp_a]<={receptacle_largest}, 1, 0)), 0)+([add_ac_kva]>0))",
    ),
    Column(
        "large_equipment",
        f"IF({large('add_ev_a')}, [add_ev_count], 0)"
        '+IF(OR([add_heat_pump_kva]=0, [hp_mocp_a]=""), 0, IF([hp_mocp_a]>{branch_large}, 1, 0))',
    ),
    Column(
        "large_sources",
        f'IF([source_at]="supply side", 0, ({large("pv_output_a")})+({large("storage_output_a")}))'
        "+([generator_inlet_a]>{branch_large})",
    ),
    Column("ev_runs_ft", 'IF(OR([new_ev_va]=0, [add_ev_run_ft]=""), 0, [add_ev_count]*[add_ev_run_ft])'),
    Column("hp_run_ft", 'IF(OR([add_heat_pump_kva]=0, [add_heat_pump_run_ft]=""), 0, [add_heat_pump_run_ft])'),
    Column("ev_priced_a", 'IF([ev_breaker_a]="", {branch_large}, [ev_breaker_a])'),
    Column("hp_priced_a", 'IF([hp_breaker_a]="", {branch_large}, [hp_breaker_a])'),
)


def runs(*, over: str = "", to: str = "") -> str:
    """Feet of new circuits whose breaker is over one rating and not over another, with waste."""

    def test(amperes: str) -> str:
        tests = [*([f"[{amperes}]>{{{over}}}"] if over else []), *([f"[{amperes}]<={{{to}}}"] if to else [])]
        return tests[0] if len(tests) == 1 else f"AND({', '.join(tests)})"

    return f"(IF({test('ev_priced_a')}, [ev_runs_ft], 0)+IF({test('hp_priced_a')}, [hp_run_ft], 0))*{WASTE}"


EVERY_WAY = (
    Column("permits", "1"),
    Column("label_sets", "1"),
    Column("disposals", "1"),
    Column("circuit_small_ft", runs(to="circuit_small")),
    Column("circuit_medium_ft", runs(over="circuit_small", to="branch_large")),
    Column("circuit_large_ft", runs(over="branch_large")),
    Column("vehicle_sets", "IF([ev_runs_ft]>0, [add_ev_count], 0)"),
    Column("heat_pump_sets", flag("[hp_run_ft]>0")),
    Column("extra_materials", "[extra_material_usd]"),
    Column("branch_1pole", "[add_1pole]-[branch_arc_fault]"),
    Column("branch_arc_fault", "[add_1pole]*{arc_fault_new}"),
    Column(
        "branch_ground_fault",
        "[ev_ground_fault]+[outdoor_ground_fault]+{gfci_dryer}*([add_dryer_kw]>0)"
        "+{gfci_range}*([add_range_kw]>0)+([add_spa_kva]>0)",
    ),
    Column("branch_2pole_large", "[large_equipment]+[large_sources]"),
    Column("branch_2pole", "MAX([planned_2pole]-[branch_ground_fault]-[branch_2pole_large], 0)"),
    Column("hold_down_kits", flag('[hold_down]="yes"')),
    Column("interlock_kits", flag('AND([generator_inlet_a]>0, [interlock]="yes")')),
    Column(
        "two_circuit_breakers",
        "MIN([two_circuit_spaces], MAX([new_spaces]-[spaces_free]-[spaces_freed], 0))",
    ),
)
"""The last one is the material of the way in existing spaces."""

TAKEOFF = Sheet(
    name="Takeoff",
    title="Material of each package",
    note="How much of everything every way takes, and what existing spaces, an added panel, load control "
    "and a larger service add.",
    columns=(
        *DESIGN,
        *EVERY_WAY,
        *ADDED_PANEL,
        Column("control_devices", "1"),
        *LARGER_SERVICE,
        no_price(way_sum("material_usd", "common_material_usd", "material_usd")),
    ),
)
