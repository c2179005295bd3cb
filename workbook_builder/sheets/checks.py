"""Every point that is looked at in a job, one state each, and what they come to."""

from __future__ import annotations

from .checks_pieces import all_of, any_of, finding, findings, panel_finding, panel_same, recorded, same, with_panel
from .model import Column, Sheet

ADDED = "[in_added]=1"
SERVICE = "[in_service]=1"
MATRIX_FIRST = "point_edition"
POINTS = f"[{MATRIX_FIRST}:point_readings]"
"""The checks stand beside one another, in the order in which they are read."""

HEATERS = (
    "heat_kw", "heat_pump_aux_kw", "water_heater_kw",
    "add_heat_kw", "add_heat_pump_aux_kw", "add_water_heater_kw",
)  # fmt: skip
NO_ROOMS = ("bathroom", "clothes closet", "stairs")


def first_of(word: str) -> str:
    """The first of the checks that begins with a word."""
    return f'INDEX({POINTS}, 1, MATCH("{word}*", {POINTS}, 0))'


PARTS = (
    Column("bus_check_used", f"IF({ADDED}, [main_bus_check], [existing_bus_check])"),
    Column(
        "headroom_exception_state",
        findings(
            (
                all_of(
                    "[is_building]=0", '[feeder_breaker_a]<>""', "[feeder_breaker_a]<={low_headroom_limit}"
                ),
                "CHECK: low headroom is permitted only at the panel of an existing dwelling",
            ),
            otherwise='"STOP: the working space is too low"',
        ),
    ),
)

LOAD_AND_SERVICE = (
    same("point_edition", "edition_state"),
    same("point_load_method", "load_method_state"),
    same("point_cooking", "cooking_state"),
    Column("point_service_load", f'IF(OR([in_control]=1, {SERVICE}), "OK", [service_state])'),
    finding(
        "point_service_margin",
        (
            f'IF([chosen_spare_a]="", 0, ([chosen_spare_a]>=0)'
            f"*([chosen_spare_a]<ROUND({{thin_margin}}*IF({SERVICE}, [new_service_a], [service_a]), 6)))>0",
            "CHECK: the way chosen leaves little of the service",
        ),
    ),
    Column(
        "point_heat_pump",
        findings(
            (
                all_of('[hp_mca_a]<>""', "[hp_mca_a]<>0", "[add_heat_pump_kva]=0"),
                "STOP: the heat pump has a nameplate and no kVA",
            ),
            otherwise="[heat_pump_state]",
        ),
    ),
    finding(
        "point_low_voltage",
        (
            all_of("[line_v]={wye_voltage}", any_of(*(f"[{name}]>0" for name in HEATERS))),
            "CHECK: 240 V heaters give about 75 percent at 208 V",
        ),
    ),
    Column("point_panel_condition", f'IF({SERVICE}, "OK", [house_state])'),
    same("point_fault_current", "fault_state"),
    finding(
        "point_new_rating",
        (
            'IF([fault_ka]="", 0, [fault_ka])>{breaker_rating_ka}',
            "CHECK: new breakers and panels need a rating for this fault current, or a listed series rating",
        ),
    ),
    finding(
        "point_utility",
        (SERVICE, "CHECK: the utility must agree to the larger service"),
        (
            '[source_place]="supply side"',
            "CHECK: a supply-side connection needs the utility and its own disconnect",
        ),
    ),
    finding(
        "point_emergency_disconnect",
        (
            all_of(SERVICE, "{emergency_disconnect}=1"),
            "CHECK: emergency disconnect outdoors: the old panel gets a four-wire feed, its bond comes out",
        ),
    ),
    finding(
        "point_surge",
        (
            all_of(ADDED, "[is_building]=1", "{surge_feeder}=1"),
            "CHECK: a dwelling in the other building needs a surge device, not priced",
        ),
    ),
    finding("point_ev_connection", (
        'IF([ev_connection]="receptacle", [ev_circuit_least_a], 0)>{receptacle_largest}',
        "STOP: the vehicle circuit is too large for a receptacle",
    )),  # fmt: skip
    same("point_option", "option_state"),
    finding(
        "point_set_point",
        ("[in_control]=1", "CHECK: the load-management system is listed and its set point locked"),
    ),
)

SPACES_AND_CIRCUITS = (
    panel_same("point_spaces", "spaces_state"),
    finding(
        "point_two_circuit",
        (
            all_of("[in_existing]=1", "[two_circuit_breakers]>0"),
            "CHECK: two-circuit breakers only where the panel label lists them",
        ),
    ),
    panel_same("point_added_panel", "added_panel_state"),
    panel_same("point_legs", "leg_state"),
    same("point_list", "list_state"),
    panel_finding(
        "point_shared_neutral",
        ("[listed_shared]>0", "CHECK: circuits that share a neutral need one handle or a tie"),
    ),
    panel_same("point_three_wire", "three_wire_state"),
    panel_finding(
        "point_old_wiring",
        (
            all_of('[house_age]="older"', "[moved_circuits]>0"),
            "CHECK: old insulation may not stand being moved",
        ),
    ),
    panel_finding(
        "point_aluminum",
        ("[listed_aluminum]>0", "CHECK: aluminum circuits need their own connectors"),
    ),
    panel_finding(
        "point_arc_fault",
        ("[moved_arc_fault]>0", "CHECK: circuits extended so far need arc-fault protection, priced"),
    ),
    panel_finding(
        "point_splices",
        (
            "[spliced_circuits]>0",
            "CHECK: splices fill at most 75 percent of the wiring space; label conductors that pass through",
        ),
    ),
    finding(
        "point_came_from",
        ("[listed_from_checks]>0", "CHECK: a circuit came from a space beyond the main panel"),
    ),
    finding(
        "point_wires",
        ("[listed_wire_checks]>0", "CHECK: a breaker is over the limit of its small conductor"),
    ),
    finding(
        "point_suggested",
        ("[listed_suggested_checks]>0", "CHECK: a suggested space is taken or beyond the panel"),
    ),
)

FEEDER_AND_RUN = (
    panel_same("point_breaker", "breaker_state"),
    panel_same("point_conductor", "conductor_state"),
    panel_same("point_wiring", "wiring_state"),
    panel_finding(
        "point_insulation",
        (
            all_of("[is_raceway]=0", '[cable_in_insulation]="yes"'),
            "CHECK: cable in thermal insulation: look up its temperature limit",
        ),
    ),
    panel_finding(
        "point_cable_entry",
        (
            all_of("[is_raceway]=0", '[panel_place]="same wall"'),
            "CHECK: each cable is secured to the cabinet, none through a nipple",
        ),
    ),
    panel_same("point_ground", "egc_state"),
    panel_same("point_drop", "drop_state"),
    panel_same("point_raceway", "raceway_state"),
    panel_same("point_moved_conductors", "moved_state"),
    panel_finding(
        "point_moved_raceway",
        (
            all_of("[is_raceway]=0", '[moved_in_raceway]="yes"'),
            "CHECK: a cable holds no moved circuits; they need their own way",
        ),
    ),
)

UNDERGROUND = (
    panel_finding(
        "point_call",
        ("[trench_ft]>0", "CHECK: have buried utilities located before digging"),
    ),
    panel_finding(
        "point_rock",
        (
            all_of("[trench_ft]>0", '[cover_case]="rock"'),
            "CHECK: rock: concrete over the raceway down to rock",
        ),
    ),
    panel_finding(
        "point_buried_tubing",
        (
            all_of("[trench_ft]>0", '[wiring]="EMT"'),
            "CHECK: buried EMT needs corrosion protection suited to the soil",
        ),
    ),
    panel_same("point_disconnect", "breaker_place_state"),
    panel_same("point_feeds", "feeds_state"),
    finding(
        "point_rods",
        (
            all_of(
                "{rods_driven}<2",
                '[electrode]="rods"',
                any_of(SERVICE, all_of(ADDED, "[is_building]=1")),
            ),
            "CHECK: one rod only where 25 ohm is proven",
        ),
    ),
    finding(
        "point_electrode_wire",
        (
            any_of(
                all_of(ADDED, "[gec_size]={electrode_protected}"),
                all_of(SERVICE, "[service_electrode_size]={electrode_protected}"),
            ),
            "CHECK: 8 AWG to the electrode needs protection against damage",
        ),
    ),
)

FROM_SOURCES = (
    Column(
        "point_main_bus",
        f'IF({SERVICE}, "OK", '
        + findings(
            ('[bus_check_used]="STOP"', "STOP: the main bus does not take the sources"),
            (
                '[bus_check_used]="CHECK"',
                "CHECK: a present source or a centre-fed bus: look at the sums",
            ),
        )
        + ")",
    ),
    panel_finding(
        "point_added_bus",
        ('[added_bus_check]="STOP"', "STOP: the added bus does not take the sources"),
    ),
    panel_same("point_source_feeder", "feeder_source_state"),
    same("point_solar", "solar_state"),
    same("point_inlet", "inlet_state"),
)

PLACE = (
    panel_finding(
        "point_room",
        (any_of(*(f'[room]="{room}"' for room in NO_ROOMS)), "STOP: no overcurrent device in this room"),
    ),
    panel_finding(
        "point_width",
        ('[clear_width_in]=""', "CHECK: clear width not measured"),
        (
            any_of("[clear_width_in]<{working_width}", "[clear_width_in]<[panel_width_in]"),
            "STOP: the working space is too narrow",
        ),
    ),
    panel_finding(
        "point_depth",
        ('[clear_depth_in]=""', "CHECK: clear depth not measured"),
        ("[clear_depth_in]<{working_depth}", "STOP: the working space is too shallow"),
    ),
    Column(
        "point_height",
        with_panel(
            findings(
                ('[clear_height_in]=""', "CHECK: clear height not measured"),
                ("[clear_height_in]>={working_height}", "OK"),
                otherwise="[headroom_exception_state]",
            )
        ),
    ),
    panel_finding(
        "point_handle",
        ('[top_breaker_height_in]=""', "CHECK: height of the highest handle not known"),
        ("[top_breaker_height_in]>{handle_height}", "STOP: a handle is over the permitted height"),
    ),
)

PRICE_AND_RECORD = (
    same("point_price", "price_state"),
    finding(
        "point_extra",
        (
            all_of(
                "[add_1pole]+[planned_2pole]>[vehicle_sets]+[heat_pump_sets]",
                "[extra_hours]=0",
                "[extra_material_usd]=0",
            ),
            "CHECK: wiring to new equipment is not priced; enter its run or extra work",
        ),
    ),
    finding(
        "point_dead_test",
        *recorded(
            "dead_test_done",
            "nobody works before absence of voltage is proved",
            "record that absence of voltage was proved",
        ),
    ),
    panel_finding(
        "point_neutral_apart",
        *recorded(
            "neutral_isolated",
            "neutral and ground are joined in the added panel",
            "record that neutral and ground are apart",
        ),
    ),
    panel_finding(
        "point_torque",
        *recorded("torque_logged", "terminations not torqued", "record the torque of the terminations"),
    ),
    finding(
        "point_readings",
        *(
            (f'[reading_result]="{word}"', f"{word}: a reading is off, see Readings")
            for word in ("STOP", "CHECK")
        ),
    ),
)

RESULT = (
    Column("job_status", 'IF([stops]>0, "STOP", IF([checks_open]>0, "CHECK", "OK"))'),
    Column(
        "first_finding",
        f'IF([stops]>0, {first_of("STOP")}, IF([checks_open]>0, {first_of("CHECK")}, "Nothing open."))',
    ),
    Column("stops", f'COUNTIF({POINTS}, "STOP*")'),
    Column("checks_open", f'COUNTIF({POINTS}, "CHECK*")'),
)

CHECKS = Sheet(
    name="Checks",
    title="Checks of the job",
    note="Every point in the order of the work: settle each STOP, look at each CHECK. A cell shows the first word "
    "of its message: widen the column to read on, or pick the job on Job sheet.",
    columns=(
        *RESULT, *LOAD_AND_SERVICE, *SPACES_AND_CIRCUITS, *FEEDER_AND_RUN, *UNDERGROUND,
        *FROM_SOURCES, *PLACE, *PRICE_AND_RECORD, *PARTS,
    ),
)  # fmt: skip
