"""Toy rows of checks that are more than a repeated state, with the word that the sentence gives."""

from __future__ import annotations

BUS = "STOP: the main bus does not take the sources"
SUMS = "CHECK: a present source or a centre-fed bus: look at the sums"
ROOM = "STOP: no overcurrent device in this room"
NARROW = "STOP: the working space is too narrow"
SHALLOW = "STOP: the working space is too shallow"
LOW = "STOP: the working space is too low"
HEADROOM = "CHECK: low headroom is permitted only at the panel of an existing dwelling"
HANDLE = "STOP: a handle is over the permitted height"
NO_KVA = "STOP: the heat pump has a nameplate and no kVA"
NAMEPLATE = "STOP: nameplate ampacity over its breaker"
MORE = "CHECK: the nameplate asks for more than entered"
HEATERS = "CHECK: 240 V heaters give about 75 percent at 208 V"
UTILITY = "CHECK: the utility must agree to the larger service"
SUPPLY_SIDE = "CHECK: a supply-side connection needs the utility and its own disconnect"
OUTDOORS = "CHECK: emergency disconnect outdoors: the old panel gets a four-wire feed, its bond comes out"
SURGE = "CHECK: a dwelling in the other building needs a surge device, not priced"
RATING = "CHECK: new breakers and panels need a rating for this fault current, or a listed series rating"
THIN = "CHECK: the way chosen leaves little of the service"
NO_RECEPTACLE = "STOP: the vehicle circuit is too large for a receptacle"
SET_POINT = "CHECK: the load-management system is listed and its set point locked"
OVERLOAD = "STOP: the load is over the service rating"
REPLACED = "STOP: the present panel is to be replaced, not extended"
TWO_CIRCUIT = "CHECK: two-circuit breakers only where the panel label lists them"
OLD = "CHECK: old insulation may not stand being moved"
INSULATION = "CHECK: cable in thermal insulation: look up its temperature limit"
ENTRY = "CHECK: each cable is secured to the cabinet, none through a nipple"
CABLE = "CHECK: a cable holds no moved circuits; they need their own way"
DIG = "CHECK: have buried utilities located before digging"
ROCK = "CHECK: rock: concrete over the raceway down to rock"
TUBING = "CHECK: buried EMT needs corrosion protection suited to the soil"
ROD = "CHECK: one rod only where 25 ohm is proven"
WIRE = "CHECK: 8 AWG to the electrode needs protection against damage"
UNPRICED = "CHECK: wiring to new equipment is not priced; enter its run or extra work"
ADDED_BUS = "STOP: the added bus does not take the sources"

Cases = list[tuple[dict, str]]


def moved(count: str, word: str) -> Cases:
    """A CHECK where such circuits move to an added panel."""
    return [
        ({"in_added": 0, count: 0}, "OK"),
        ({"in_added": 0, count: 2}, "OK"),
        ({"in_added": 1, count: 0}, "OK"),
        ({"in_added": 1, count: 1}, word),
    ]


def listed(count: str, word: str) -> Cases:
    """A CHECK where the list has such circuits, whatever the way."""
    return [({count: 0}, "OK"), ({count: 1}, word), ({count: 3}, word)]


def recorded(entry: str, stop: str, check: str, way: dict) -> Cases:
    """A STOP for no; a CHECK where readings are there and the entry is blank."""
    return [
        (way | {entry: None, "readings_given": 0}, "OK"),
        (way | {entry: "yes", "readings_given": 6}, "OK"),
        (way | {entry: "no", "readings_given": 0}, stop),
        (way | {entry: "no", "readings_given": 6}, stop),
        (way | {entry: None, "readings_given": 1}, check),
    ]


def only_added(cases: Cases) -> Cases:
    """The cases with an added panel, and OK for all of them without one."""
    without = [({"in_added": 0} | inputs, "OK") for inputs, _ in cases]
    return [({"in_added": 1} | inputs, word) for inputs, word in cases] + without


SERVICE: dict[str, Cases] = {
    "point_service_load": [
        ({"in_control": 0, "in_service": 0}, "OK"),
        ({"in_control": 0, "in_service": 0, "service_state": OVERLOAD}, OVERLOAD),
        ({"in_control": 1, "in_service": 0, "service_state": OVERLOAD}, "OK"),
        ({"in_control": 0, "in_service": 1, "service_state": OVERLOAD}, "OK"),
    ],
    "point_heat_pump": [
        ({"hp_mca_a": None, "add_heat_pump_kva": 0, "heat_pump_state": "OK"}, "OK"),
        ({"hp_mca_a": 0, "add_heat_pump_kva": 0, "heat_pump_state": "OK"}, "OK"),
        ({"hp_mca_a": 25, "add_heat_pump_kva": 4.8, "heat_pump_state": "OK"}, "OK"),
        ({"hp_mca_a": 25, "add_heat_pump_kva": 0, "heat_pump_state": NAMEPLATE}, NO_KVA),
        ({"hp_mca_a": 25, "add_heat_pump_kva": 0, "heat_pump_state": MORE}, NO_KVA),
        ({"hp_mca_a": 25, "add_heat_pump_kva": 4.8, "heat_pump_state": NAMEPLATE}, NAMEPLATE),
        ({"hp_mca_a": 26, "add_heat_pump_kva": 4.8, "heat_pump_state": MORE}, MORE),
    ],
    "point_low_voltage": [
        ({"line_v": 208}, "OK"),
        ({"line_v": 208, "heat_kw": None}, "OK"),
        *(
            case
            for heater in ("heat_kw", "heat_pump_aux_kw", "water_heater_kw", "add_heat_kw",
                           "add_heat_pump_aux_kw", "add_water_heater_kw")
            for case in (({"line_v": 208, heater: 0.1}, HEATERS), ({"line_v": 240, heater: 9}, "OK"))
        ),
    ],
    "point_panel_condition": [
        ({"in_service": 0}, "OK"),
        ({"in_service": 0, "house_state": REPLACED}, REPLACED),
        ({"in_service": 1, "house_state": REPLACED}, "OK"),
    ],
    "point_utility": [
        ({"in_service": 0, "source_place": "none"}, "OK"),
        ({"in_service": 0, "source_place": "main panel"}, "OK"),
        ({"in_service": 0, "source_place": "added panel"}, "OK"),
        ({"in_service": 0, "source_place": "supply side"}, SUPPLY_SIDE),
        ({"in_service": 1, "source_place": "supply side"}, UTILITY),
        ({"in_service": 1, "source_place": "none"}, UTILITY),
    ],
    "point_emergency_disconnect": [
        ({"in_service": 0, "emergency_disconnect": 1}, "OK"),
        ({"in_service": 1, "emergency_disconnect": 0}, "OK"),
        ({"in_service": 1, "emergency_disconnect": 1}, OUTDOORS),
    ],
    "point_surge": [
        ({"in_added": 1, "is_building": 1, "surge_feeder": 1}, SURGE),
        ({"in_added": 0, "is_building": 1, "surge_feeder": 1}, "OK"),
        ({"in_added": 1, "is_building": 0, "surge_feeder": 1}, "OK"),
        ({"in_added": 1, "is_building": 1, "surge_feeder": 0}, "OK"),
    ],
    "point_new_rating": [
        ({"fault_ka": current, "breaker_rating_ka": 10}, word)
        for current, word in ((None, "OK"), (0, "OK"), (10, "OK"), (10.1, RATING), (22, RATING))
    ],
    "point_service_margin": [
        ({"chosen_spare_a": spare, "in_service": 0, "new_service_a": 400, "service_a": 200}, word)
        for spare, word in ((None, "OK"), (-0.1, "OK"), (0, THIN), (9.9, THIN), (10, "OK"), (150, "OK"))
    ]
    + [
        ({"chosen_spare_a": spare, "in_service": 1, "new_service_a": 400, "service_a": 200}, word)
        for spare, word in ((10, THIN), (19.999999, THIN), (20, "OK"))
    ]
    + [
        ({"chosen_spare_a": None, "in_service": 1, "new_service_a": None, "service_a": 200}, "OK"),
        ({"chosen_spare_a": 7, "in_service": 0, "new_service_a": None, "service_a": 100, "thin_margin": 0.07}, "OK"),
        ({"chosen_spare_a": 0, "in_service": 0, "new_service_a": None, "service_a": 100, "thin_margin": 0}, "OK"),
    ],
    "point_ev_connection": [
        ({"ev_connection": None, "ev_circuit_least_a": None}, "OK"),
        ({"ev_connection": "receptacle", "ev_circuit_least_a": 50}, "OK"),
        ({"ev_connection": "receptacle", "ev_circuit_least_a": 50.000001}, NO_RECEPTACLE),
        ({"ev_connection": "receptacle", "ev_circuit_least_a": 60, "receptacle_largest": 60}, "OK"),
        ({"ev_connection": "hardwired", "ev_circuit_least_a": 60}, "OK"),
    ],
    "point_set_point": [({"in_control": 0}, "OK"), ({"in_control": 1}, SET_POINT)],
}  # fmt: skip

CIRCUITS: dict[str, Cases] = {
    "point_two_circuit": [
        ({"in_existing": 0, "two_circuit_breakers": 3}, "OK"),
        ({"in_existing": 1, "two_circuit_breakers": 0}, "OK"),
        ({"in_existing": 1, "two_circuit_breakers": 1}, TWO_CIRCUIT),
    ],
    "point_shared_neutral": moved(
        "listed_shared", "CHECK: circuits that share a neutral need one handle or a tie"
    ),
    "point_aluminum": moved("listed_aluminum", "CHECK: aluminum circuits need their own connectors"),
    "point_arc_fault": moved(
        "moved_arc_fault", "CHECK: circuits extended so far need arc-fault protection, priced"
    ),
    "point_splices": moved(
        "spliced_circuits",
        "CHECK: splices fill at most 75 percent of the wiring space; label conductors that pass through",
    ),
    "point_old_wiring": only_added(
        [
            ({"house_age": "older", "moved_circuits": 0}, "OK"),
            ({"house_age": "older", "moved_circuits": 1}, OLD),
            ({"house_age": "middle", "moved_circuits": 1}, "OK"),
            ({"house_age": "newer", "moved_circuits": 1}, "OK"),
        ]
    ),
    "point_extra": [
        (
            {
                "add_1pole": one, "planned_2pole": two, "vehicle_sets": vehicles, "heat_pump_sets": pump,
                "extra_hours": hours, "extra_material_usd": dollars,
            },
            word if one + two > vehicles + pump else "OK",
        )
        for one, two, vehicles, pump in (
            (0, 0, 0, 0), (1, 0, 0, 0), (0, 1, 0, 0), (2, 3, 0, 0), (0, 1, 1, 0), (0, 2, 1, 0), (0, 2, 1, 1), (1, 2, 1, 1), (0, 3, 2, 1),
        )
        for hours, dollars, word in ((0, 0, UNPRICED), (0.1, 0, "OK"), (0, 0.01, "OK"), (8, 450, "OK"))
    ],
    "point_came_from": listed(
        "listed_from_checks", "CHECK: a circuit came from a space beyond the main panel"
    ),
    "point_wires": listed("listed_wire_checks", "CHECK: a breaker is over the limit of its small conductor"),
    "point_suggested": listed(
        "listed_suggested_checks", "CHECK: a suggested space is taken or beyond the panel"
    ),
}

FEEDER: dict[str, Cases] = {
    "point_insulation": only_added(
        [
            ({"is_raceway": 0, "cable_in_insulation": "yes"}, INSULATION),
            ({"is_raceway": 0}, "OK"),
            ({"is_raceway": 1, "cable_in_insulation": "yes"}, "OK"),
        ]
    ),
    "point_cable_entry": only_added(
        [
            ({"is_raceway": 0}, ENTRY),
            ({"is_raceway": 0, "panel_place": "same wall"}, ENTRY),
            ({"is_raceway": 0, "panel_place": "same building"}, "OK"),
            ({"is_raceway": 0, "panel_place": "other building"}, "OK"),
            ({"is_raceway": 1, "panel_place": "same wall"}, "OK"),
        ]
    ),
    "point_moved_raceway": only_added(
        [
            ({"is_raceway": 0, "moved_in_raceway": "yes"}, CABLE),
            ({"is_raceway": 0, "moved_in_raceway": "no"}, "OK"),
            ({"is_raceway": 1, "moved_in_raceway": "yes"}, "OK"),
        ]
    ),
    "point_call": only_added([({"trench_ft": 0}, "OK"), ({"trench_ft": 0.5}, DIG)]),
    "point_rock": only_added(
        [
            ({"trench_ft": 10, "cover_case": "rock"}, ROCK),
            ({"trench_ft": 0, "cover_case": "rock"}, "OK"),
            ({"trench_ft": 10, "cover_case": "yard"}, "OK"),
            ({"trench_ft": 10, "cover_case": "driveway"}, "OK"),
        ]
    ),
    "point_buried_tubing": only_added(
        [
            ({"trench_ft": 10, "wiring": "EMT"}, TUBING),
            ({"trench_ft": 0, "wiring": "EMT"}, "OK"),
            ({"trench_ft": 10, "wiring": "RMC"}, "OK"),
            ({"trench_ft": 10, "wiring": "PVC 40"}, "OK"),
        ]
    ),
    "point_rods": [
        ({"rods_driven": 1, "in_service": 1, "in_added": 0, "is_building": 0}, ROD),
        ({"rods_driven": 1, "in_service": 0, "in_added": 1, "is_building": 1}, ROD),
        ({"rods_driven": 1, "in_service": 1, "in_added": 1, "is_building": 1}, ROD),
        ({"rods_driven": 0, "in_service": 1, "in_added": 0, "is_building": 0}, ROD),
        ({"rods_driven": 2, "in_service": 1, "in_added": 0, "is_building": 0}, "OK"),
        ({"rods_driven": 2, "in_service": 0, "in_added": 1, "is_building": 1}, "OK"),
        ({"rods_driven": 1, "in_service": 0, "in_added": 1, "is_building": 0}, "OK"),
        ({"rods_driven": 1, "in_service": 0, "in_added": 0, "is_building": 1}, "OK"),
        *(
            ({"rods_driven": 1, "in_service": 1, "in_added": 0, "is_building": 0, "electrode": other}, "OK")
            for other in ("water pipe", "concrete encased")
        ),
    ],
    "point_electrode_wire": [
        ({"in_added": 1, "in_service": 0, "gec_size": "8"}, WIRE),
        ({"in_added": 0, "in_service": 1, "service_electrode_size": "8"}, WIRE),
        ({"in_added": 1, "in_service": 1, "gec_size": "6", "service_electrode_size": "8"}, WIRE),
        ({"in_added": 1, "in_service": 0, "gec_size": "6"}, "OK"),
        ({"in_added": 1, "in_service": 0, "gec_size": None}, "OK"),
        ({"in_added": 1, "in_service": 0, "service_electrode_size": "8"}, "OK"),
        ({"in_added": 0, "in_service": 1, "gec_size": "8"}, "OK"),
        ({"in_added": 0, "in_service": 1, "service_electrode_size": "4"}, "OK"),
        ({"in_added": 0, "in_service": 0, "gec_size": "8", "service_electrode_size": "8"}, "OK"),
        ({"in_added": 1, "in_service": 0, "gec_size": "6", "electrode_protected": "6"}, WIRE),
    ],
}

SOURCES: dict[str, Cases] = {
    "bus_check_used": [
        ({"in_added": 0}, "OK"),
        ({"in_added": 0, "main_bus_check": "STOP"}, "OK"),
        ({"in_added": 0, "main_bus_check": "CHECK", "existing_bus_check": "STOP"}, "STOP"),
        ({"in_added": 1, "existing_bus_check": "STOP"}, "OK"),
        ({"in_added": 1, "main_bus_check": "CHECK", "existing_bus_check": "STOP"}, "CHECK"),
        ({"in_added": 1, "main_bus_check": "STOP"}, "STOP"),
    ],
    "point_main_bus": [
        ({"in_service": 0, "bus_check_used": "OK"}, "OK"),
        ({"in_service": 0, "bus_check_used": "CHECK"}, SUMS),
        ({"in_service": 0, "bus_check_used": "STOP"}, BUS),
        ({"in_service": 1, "bus_check_used": "CHECK"}, "OK"),
        ({"in_service": 1, "bus_check_used": "STOP"}, "OK"),
    ],
    "point_added_bus": only_added(
        [({"added_bus_check": "OK"}, "OK"), ({"added_bus_check": "STOP"}, ADDED_BUS)]
    ),
}

PLACE: dict[str, Cases] = {
    "point_room": only_added(
        [({"room": room}, ROOM) for room in ("bathroom", "clothes closet", "stairs")]
        + [
            ({"room": room}, "OK")
            for room in ("garage", "basement", "utility room", "hallway", "kitchen", "outdoors")
        ]
    ),
    "point_width": only_added(
        [
            ({"clear_width_in": None}, "CHECK: clear width not measured"),
            ({"clear_width_in": 29.9}, NARROW),
            ({"clear_width_in": 30}, "OK"),
            ({"clear_width_in": 31.9, "panel_width_in": 32}, NARROW),
            ({"clear_width_in": 32, "panel_width_in": 32}, "OK"),
        ]
    ),
    "point_depth": only_added(
        [
            ({"clear_depth_in": None}, "CHECK: clear depth not measured"),
            ({"clear_depth_in": 35.9}, SHALLOW),
            ({"clear_depth_in": 36}, "OK"),
        ]
    ),
    "headroom_exception_state": [
        ({"is_building": 0, "feeder_breaker_a": 60}, HEADROOM),
        ({"is_building": 0, "feeder_breaker_a": 200}, HEADROOM),
        ({"is_building": 0, "feeder_breaker_a": 225}, LOW),
        ({"is_building": 0, "feeder_breaker_a": None}, LOW),
        ({"is_building": 1, "feeder_breaker_a": 60}, LOW),
    ],
    "point_height": only_added(
        [
            ({"clear_height_in": None, "headroom_exception_state": LOW}, "CHECK: clear height not measured"),
            ({"clear_height_in": 78, "headroom_exception_state": LOW}, "OK"),
            ({"clear_height_in": 78, "headroom_exception_state": HEADROOM}, "OK"),
            ({"clear_height_in": 77.9, "headroom_exception_state": LOW}, LOW),
            ({"clear_height_in": 77.9, "headroom_exception_state": HEADROOM}, HEADROOM),
        ]
    ),
    "point_handle": only_added(
        [
            ({"top_breaker_height_in": None}, "CHECK: height of the highest handle not known"),
            ({"top_breaker_height_in": 79}, "OK"),
            ({"top_breaker_height_in": 79.1}, HANDLE),
        ]
    ),
}

RECORD: dict[str, Cases] = {
    "point_dead_test": recorded(
        "dead_test_done",
        "STOP: nobody works before absence of voltage is proved",
        "CHECK: record that absence of voltage was proved",
        {},
    ),
    "point_neutral_apart": only_added(
        recorded(
            "neutral_isolated",
            "STOP: neutral and ground are joined in the added panel",
            "CHECK: record that neutral and ground are apart",
            {},
        )
    ),
    "point_torque": only_added(
        recorded(
            "torque_logged",
            "STOP: terminations not torqued",
            "CHECK: record the torque of the terminations",
            {},
        )
    ),
    "point_readings": [
        ({"reading_result": "OK"}, "OK"),
        ({"reading_result": "not taken"}, "OK"),
        ({"reading_result": "CHECK"}, "CHECK: a reading is off, see Readings"),
        ({"reading_result": "STOP"}, "STOP: a reading is off, see Readings"),
    ],
}

CASES: dict[str, Cases] = {**SERVICE, **CIRCUITS, **FEEDER, **SOURCES, **PLACE, **RECORD}
