"""Jobs made by hand for what the generated ones seldom meet: values that tie, loads beyond every table, readings
on their limits, circuits that share neutrals."""

from __future__ import annotations

Row = dict[str, object]

PLAIN: Row = {
    "house_age": "middle", "market": "medium", "service_a": 200.0, "main_spaces": 30.0, "main_spaces_used": 28.0,
    "floor_area_ft2": 2000.0,
}  # fmt: skip

_READINGS: Row = {"l1_l2_v": 240.0, "l1_n_v": 120.0, "l2_n_v": 120.0, "l1_g_v": 120.0, "l2_g_v": 120.0, "n_g_v": 0.0}


def reach_jobs() -> list[Row]:
    """Each with its job number."""
    found = [*_small(), *_loads(), *_cooking(), *_feeders(), *_sources(), *_readings(), *_places(), *_vehicles(), *_margins(),
             *_new_circuits()]  # fmt: skip
    return [PLAIN | row | {"job_no": f"R{place}"} for place, row in enumerate(found, start=1)]


def _small() -> list[Row]:
    """Amounts over nothing and not over one, where a rule asks whether there is any."""
    house = dict.fromkeys((
        "dryer_kw", "heat_kw", "ac_kva", "heat_pump_kva", "heat_pump_aux_kw", "oven_kw", "cooktop_kw", "range_kw",
        "water_heater_kw", "well_pump_kva", "spa_kva", "other_fixed_kva", "ev_a",
    ), 0.5)  # fmt: skip
    planned = dict.fromkeys((
        "add_ev_a", "add_dryer_kw", "add_range_kw", "add_heat_kw", "add_ac_kva", "add_heat_pump_kva",
        "add_heat_pump_aux_kw", "add_water_heater_kw", "add_spa_kva", "add_other_kva",
    ), 0.5)  # fmt: skip
    drops = dict.fromkeys(
        ("drop_heat", "drop_ac", "drop_heat_pump", "drop_range", "drop_dryer", "drop_water_heater"), "yes"
    )
    sources = {"pv_output_a": 0.5, "storage_output_a": 0.5, "generator_inlet_a": 0.5, "interlock": "yes"}
    found = [{name: 0.5} for name in (*planned, *house)]
    found[0]["moved_ext_ft"], found[1]["moved_ext_ft"] = 6.0, 6.001
    for place, spaces in ((8, 2.0), (9, 4.0), (10, 6.0), (11, 8.0)):
        found[place]["added_spaces_wanted"] = spaces
    found += [{name: 0.5, drop: "yes"} for name, drop in zip(
        ("heat_kw", "ac_kva", "heat_pump_kva", "range_kw", "dryer_kw", "water_heater_kw"), drops, strict=True
    )]  # fmt: skip
    found += [
        house, planned, house | planned, house | drops, house | drops | planned, {"floor_area_ft2": 100.0, "move_kva": 0.1},
        {"move_kva": 0.1, "run_ft": 1.0, "drop_governs": "yes"}, {"feeder_breaker_wanted_a": 1.0, "branch_limit_a": 1.0},
        {"run_ft": 1.0, "raceway_in": 12.0}, {"run_ft": 1.0, "panel_place": "other building", "trench_ft": 0.5},
        {"run_ft": 2.0, "panel_place": "other building", "trench_ft": 1.0, "exposed_ft": 0.5, "temp_change_f": 1.0},
        {"trench_ft": 0.5, "run_ft": 30.0, "trench_by": "machine"}, {"wiring": "SER cable", "run_ft": 1.0},
        {"added_spaces_wanted": 1.0}, {"added_bus_wanted_a": 1.0}, {"move_1pole": 1.0, "move_2pole": 1.0},
    ]  # fmt: skip
    found += [sources | {"source_at": at, "inlet_at": inlet} for at, inlet in (
        ("main panel far end", "main panel"), ("added panel far end", "added panel"), ("supply side", "main panel"),
    )]  # fmt: skip
    found += [
        sources | {"source_at": "main panel elsewhere", "main_breakers_sum_a": 190.0, "generator_inlet_a": inlet}
        for inlet in (0.0, 1.0)
    ]
    tiny = {"feeder_breaker_wanted_a": 15.0, "move_kva": 1.0}
    found += [tiny | row for row in (
        {}, {"trench_ft": 10.0, "run_ft": 20.0}, {"panel_place": "other building", "trench_ft": 10.0, "run_ft": 20.0},
        {"wiring": "NM-B cable"}, {"wiring": "MC cable", "run_ft": 20.0, "trench_ft": 0.5}, {"wiring": "EMT"},
        {"main_breakers_sum_a": 0.0, "source_at": "main panel elsewhere", "pv_output_a": 0.5},
        {"main_breakers_sum_a": 1.0, "source_at": "main panel elsewhere", "pv_output_a": 0.5, "add_1pole": 1.0},
        {"hp_mocp_a": 1.0, "add_heat_pump_kva": 0.1}, {"ambient_c": 75.0}, {"electrode": "water pipe", "panel_place": "other building"},
        {"service_a": 60.0, "option_wanted": "larger service"},
    )]  # fmt: skip
    found += [{"add_1pole": 1.0, "code_edition": edition, "add_ev_a": 1.0} for edition in (2017.0, 2020.0)]
    return found


def _loads() -> list[Row]:
    small = {"dishwasher_kw": 1.2, "disposal_kw": 0.9, "water_heater_kw": 4.5}
    return [
        small | {"microwave_kw": 0.4, "spa_kva": 0.4, "well_pump_kva": 0.4},
        small | {"microwave_kw": 0.5, "spa_kva": 0.5, "add_spa_kva": 0.5},
        small | {"water_heater_kw": 0.4, "spa_kva": 0.5, "microwave_kw": 1.5},
        {"water_heater_kw": 0.4, "add_water_heater_kw": 0.4, "spa_kva": 6.0, "add_spa_kva": 0.4},
        small | {"other_fixed_kva": 2.0, "other_fixed_count": 5.0},
        small | {"other_fixed_kva": 2.0, "other_fixed_count": 4.0},
        small | {"other_fixed_kva": 2.0, "other_fixed_count": 2.0, "other_fixed_neutral_kva": 0.0},
        {"heat_pump_kva": 6.0, "heat_pump_aux_kw": 1.0, "aux_with_compressor": "no", "heat_zones": 1.0},
        {"heat_pump_kva": 6.0, "load_method": "dwelling optional", "aux_with_compressor": "no"},
        {"heat_pump_kva": 6.0, "heat_pump_aux_kw": 0.0, "ac_kva": 3.0, "code_edition": 2017.0},
        {"load_method": "metered peak", "metered_peak_kw": 9.0, "metered_days": 365.0, "metered_season_kva": 4.0},
    ]


def _cooking() -> list[Row]:
    many = {"oven_kw": 100.0, "oven_count": 25.0}
    return [
        {"cooktop_kw": 1.75}, {"cooktop_kw": 1.75, "range_kw": 8.0, "code_edition": 2017.0},
        {"cooktop_kw": 1.75, "oven_kw": 3.5, "load_method": "dwelling standard"}, {"cooktop_kw": 3.5, "range_kw": 3.5},
        {"range_kw": 1.5, "drop_range": "yes", "add_range_kw": 12.0}, {"range_kw": 3.0, "drop_range": "yes", "oven_kw": 3.0},
        {"range_kw": 6.0, "drop_range": "yes", "cooktop_kw": 5.0}, {"range_kw": 2.0, "drop_range": "yes", "add_range_kw": 3.0},
        many, many | {"oven_count": 24.0}, many | {"oven_count": 26.0}, many | {"oven_count": 30.0, "range_kw": 12.0},
        many | {"add_range_kw": 10.0}, many | {"range_kw": 10.0, "drop_range": "yes"}, many | {"range_kw": 10.0},
        {"oven_kw": 90.0, "oven_count": 30.0}, {"oven_kw": 180.0, "oven_count": 30.0}, {"oven_kw": 390.0, "oven_count": 26.0},
        {"oven_kw": 60.0, "oven_count": 27.0}, {"add_range_kw": 3.0}, {"add_range_kw": 3.5}, {"add_range_kw": 8.75}, {"add_range_kw": 10.4},
    ]  # fmt: skip


def _feeders() -> list[Row]:
    """Loads over the largest breaker, at it, and conductors that drop, correction and wishes enlarge."""
    return [
        {"move_kva": 2000.0}, {"move_kva": 2000.0, "option_wanted": "added panel"}, {"move_kva": 2000.0, "panel_place": "other building", "trench_ft": 20.0},
        {"move_kva": 1440.0}, {"move_kva": 1440.0, "line_v": 208.0}, {"move_kva": 192.0}, {"move_kva": 191.9}, {"move_kva": 192.001},
        {"move_kva": 192.0, "material": "aluminum"}, {"move_kva": 185.0, "panel_place": "other building", "trench_ft": 9.0},
        {"move_kva": 2000.0, "source_at": "added panel far end", "pv_output_a": 32.0},
        {"move_kva": 2000.0, "generator_inlet_a": 30.0, "clear_height_in": 70.0, "main_breakers_sum_a": 300.0},
        {"move_kva": 2000.0, "wiring": "SER cable"}, {"move_kva": 14.4, "wiring": "NM-B cable"},
        {"move_kva": 14.4, "ambient_c": 85.0}, {"move_kva": 14.4, "ambient_c": 60.0, "insulation": "THW"},
        {"move_kva": 0.0, "move_1pole": 0.0}, {"move_kva": 0.0, "drop_governs": "yes", "run_ft": 100.0},
        {"feeder_breaker_wanted_a": 20.0, "move_kva": 3.84, "drop_governs": "yes", "run_ft": 450.0, "drop_limit_percent": 3.0,
         "code_edition": 2020.0, "move_2pole": 1.0, "main_spaces_used": 20.0},
        {"feeder_breaker_wanted_a": 15.0, "move_kva": 2.0}, {"feeder_breaker_wanted_a": 400.0, "move_kva": 900.0},
        {"feeder_breaker_wanted_a": 350.0, "move_kva": 24.0}, {"feeder_breaker_wanted_a": 400.0, "move_kva": 24.0, "egc_wanted": "1"},
        {"hp_mca_a": 30.0, "hp_mocp_a": 0.0, "add_heat_pump_kva": 5.0}, {"hp_mca_a": 0.0, "hp_mocp_a": 50.0, "add_heat_pump_kva": 5.0},
        {"hp_mca_a": 60.0, "hp_mocp_a": 60.0, "add_heat_pump_kva": 5.0}, {"hp_mca_a": 61.0, "hp_mocp_a": 60.0},
        {"hp_mocp_a": 60.0}, {"hp_mca_a": 60.0}, {"hp_mca_a": 50.0, "hp_mocp_a": 45.0, "add_heat_pump_kva": 9.0},
        {"move_kva": 30.0, "move_neutral_kva": 5.0}, {"move_neutral_kva": 0.0, "move_kva": 30.0, "move_1pole": 9.0},
        {"moved_in_raceway": "yes", "move_1pole": 4.0, "moved_breaker_a": 60.0, "moved_wire": "8", "move_kva": 24.0},
        {"moved_in_raceway": "yes", "move_1pole": 1.0, "move_2pole": 0.0, "main_spaces_used": 20.0},
        {"wiring": "SER cable", "moved_in_raceway": "no", "move_1pole": 3.0},
        *({"wiring": wiring, "feeder_breaker_wanted_a": amperes, "move_kva": amperes / 5, "run_ft": 30.0, "raceway_in": 360.0}
          for wiring in ("EMT", "PVC 40") for amperes in (30.0, 50.0, 60.0, 80.0, 125.0, 200.0)),
    ]  # fmt: skip


def _sources() -> list[Row]:
    main = {"source_at": "main panel far end", "pv_output_a": 32.0}
    return [
        main, main | {"main_bus_a": 200.0, "main_breakers_sum_a": 160.0, "source_at": "main panel elsewhere"},
        {"source_at": "main panel elsewhere", "pv_output_a": 32.0, "main_breakers_sum_a": 120.0, "main_bus_a": 160.0, "service_a": 150.0},
        {"source_at": "main panel elsewhere", "pv_output_a": 32.0, "main_breakers_sum_a": 100.0, "main_bus_a": 140.0, "service_a": 125.0},
        {"source_at": "main panel elsewhere", "pv_output_a": 32.0, "main_breakers_sum_a": 101.0, "main_bus_a": 140.0, "service_a": 125.0},
        {"source_at": "main panel elsewhere", "pv_output_a": 32.0, "main_breakers_sum_a": 150.0, "main_bus_a": 225.0},
        {"source_at": "supply side", "pv_output_a": 200.0}, {"source_at": "supply side", "pv_output_a": 160.0, "storage_output_a": 40.0},
        {"source_at": "supply side", "pv_output_a": 200.0, "storage_output_a": 1.0},
        {"source_at": "added panel far end", "pv_output_a": 80.0, "source_limit_a": 30.0},
        {"source_at": "added panel elsewhere", "pv_output_a": 48.0, "feeder_breaker_wanted_a": 60.0, "added_bus_wanted_a": 125.0},
        {"source_at": "added panel elsewhere", "pv_output_a": 52.0, "feeder_breaker_wanted_a": 60.0, "move_kva": 10.0},
        main | {"generator_inlet_a": 30.0, "inlet_at": "main panel", "main_breakers_sum_a": 100.0, "interlock": "yes"},
        main | {"planned_in": "main panel", "add_ev_a": 32.0, "main_breakers_sum_a": 100.0},
        main | {"pv_output_a": 48.0, "hp_mocp_a": 60.0, "add_heat_pump_kva": 4.0}, main | {"pv_output_a": 48.001},
        *(main | {"pv_output_a": 200.0, "storage_output_a": storage} for storage in (200.0, 199.0, 180.0, 181.0, 100.0)),
        {"source_at": "main panel elsewhere", "pv_output_a": 32.0, "main_breakers_sum_a": 100.0, "main_bus_a": 200.0},
        {"source_at": "main panel elsewhere", "pv_output_a": 32.0, "main_breakers_sum_a": 101.0, "main_bus_a": 200.0},
        *({"source_at": "added panel elsewhere", "pv_output_a": amperes, "feeder_breaker_wanted_a": 60.0, "terminals": marks}
          for amperes, marks in ((44.0, None), (44.001, None), (52.0, "75 C"), (52.001, "75 C"))),
        main | {"annual_kwh": 9000.0}, main | {"annual_kwh": 9000.0, "pv_output_a": 200.0}, {"annual_kwh": 100.0},
    ]  # fmt: skip


def _readings() -> list[Row]:
    """On the limits: 5 percent of 240 V and of 120 V, three volts between legs, two from neutral to ground."""
    found: list[Row] = [_READINGS]
    for name in ("l1_n_v", "l2_n_v", "l1_g_v", "l2_g_v"):
        found += [_READINGS | {name: value} for value in (114.0, 126.0, 113.9, 126.1, 10.0, 9.9, 123.0, 123.1, 122.5)]
    for name, values in (
        ("l1_l2_v", (228.0, 252.0, 227.9, 252.1, 237.0, 243.0, 236.9, 243.1)),
        ("n_g_v", (2.0, 2.1, 2.5, 3.0, 10.0)),
    ):
        found += [_READINGS | {name: value} for value in values]
    found += [
        _READINGS | {"l1_n_v": 121.5, "l2_n_v": 121.5}, _READINGS | {"l1_n_v": 122.0, "l2_n_v": 121.0, "l1_l2_v": 240.0},
        _READINGS | {"l1_n_v": 150.0, "l2_n_v": 90.0}, _READINGS | {"l1_n_v": 150.0, "l2_n_v": 93.0},
        _READINGS | {"l1_n_v": 150.0, "l2_n_v": 92.5, "l1_l2_v": None}, _READINGS | {"l1_n_v": 117.5, "l1_g_v": 120.0},
        _READINGS | {"line_v": 208.0, "l1_l2_v": 208.0}, _READINGS | {"line_v": 208.0, "l1_l2_v": 240.0},
        _READINGS | {"line_v": 208.0, "l1_l2_v": 208.0, "l1_n_v": 150.0, "l2_n_v": 60.0},
        {"l1_n_v": 120.0}, {"l1_n_v": 150.0, "l2_n_v": 90.0}, {"l1_n_v": 120.0, "l1_g_v": 0.0}, {"l1_g_v": 120.0},
    ]  # fmt: skip
    return found


def _places() -> list[Row]:
    return [
        {"option_wanted": "existing spaces"}, {"option_wanted": "larger service", "material": "aluminum"},
        {"service_a": 400.0, "option_wanted": "larger service"}, {"panel_condition": "corroded or unlisted", "option_wanted": "added panel"},
        {"service_a": 400.0, "panel_condition": "corroded or unlisted", "move_kva": 90.0},
        {"clear_height_in": 78.0, "panel_width_in": 14.5}, {"panel_width_in": 20.0}, {"clear_height_in": 70.0},
        {"option_wanted": "load control", "add_ev_a": 48.0, "ev_limit_a": 12.0}, {"option_wanted": "existing spaces", "main_spaces_used": 2.0},
        {"wiring": "SER cable", "move_1pole": 3.0, "option_wanted": "added panel"}, {"electrode": "concrete encased", "service_a": 100.0},
        {"actual_hours": 20.0, "actual_material_usd": 1900.0}, {"actual_hours": 0.0}, {"actual_material_usd": 0.0},
        {"actual_hours": 30.0, "actual_material_usd": 2900.0, "wall": "plaster"}, {"actual_hours": 25.0, "house_age": "newer"},
        {"actual_hours": None, "house_age": "older"}, *({"actual_hours": 9.0 + hours} for hours in range(5)),
    ]  # fmt: skip


def _vehicles() -> list[Row]:
    """Circuits of vehicle units on the edges of breakers, sizes and receptacles; what decides the set point."""
    near = {"main_spaces_used": 26.0}
    units = (12.0, 12.001, 16.0, 16.001, 20.0, 24.0, 24.001, 28.0, 32.0, 32.001, 36.0, 40.0, 40.001, 44.0, 44.001, 48.0, 48.001, 52.0, 64.0, 80.0)
    return [
        *({"add_ev_a": amperes} for amperes in units),
        *({"add_ev_a": amperes, "code_edition": 2026.0} for amperes in (40.001, 48.0, 48.001)),
        *({"add_ev_a": amperes, "add_ev_connection": how, "add_ev_count": 2.0, "code_edition": edition}
          for amperes in (16.0, 40.0, 40.001, 48.0, 80.0) for how in ("receptacle", "hardwired") for edition in (2023.0, 2026.0)),
        {"add_ev_connection": "receptacle"}, {"add_ev_connection": "hardwired", "ev_a": 32.0},
        {"add_ev_a": 48.0, "add_ev_count": 0.0, "add_ev_connection": "receptacle", "ev_limit_a": 20.0},
        *(near | {"service_a": 60.0, "floor_area_ft2": 1800.0, "add_ev_a": amperes, "ev_a": now, "add_ev_count": count}
          for amperes, now, count in ((18.0, 0.0, 1.0), (18.001, 0.0, 1.0), (17.999, 0.0, 1.0), (4.0, 10.0, 2.0), (4.0, 10.001, 2.0), (9.0, 0.0, 2.0))),
        *(near | {"add_ev_a": 48.0, "ev_limit_a": limit} for limit in (0.0, 47.0, 48.0, 60.0)),
        near | {"add_ev_a": 16.1, "add_ev_count": 3.0}, near | {"add_ev_a": 48.0, "water_heater_kw": 100.0},
    ]  # fmt: skip


def _new_circuits() -> list[Row]:
    """Heat pumps on the edges of ratings and sizes; runs by the foot; extra work; conductors that may jam."""
    pump = {"add_heat_pump_kva": 7.2}
    rigid = {
        "wiring": "RMC", "insulation": "XHHW-2", "insulated_egc": "no", "terminals": "75 C", "run_ft": 20.0,
        "feeder_breaker_wanted_a": 200.0, "move_kva": 40.0, "service_a": 400.0, "main_bus_a": 400.0, "branch_limit_a": 400.0,
    }  # fmt: skip
    runs = {"add_ev_run_ft": 30.0, "add_heat_pump_run_ft": 40.0}
    return [
        *(pump | {"hp_mca_a": least, "hp_mocp_a": most} for least, most in (
            (None, 14.9), (0.0, 15.0), (0.001, 15.001), (15.0, 19.999), (15.001, 20.0), (20.0, 25.0), (20.001, 47.0), (25.0, 45.0),
            (25.001, 60.0), (30.0, 60.001), (30.001, 61.0), (50.0, 60.0), (95.0, 110.0), (95.001, 125.0), (100.0, 200.0), (195.0, 200.0),
        )),
        {"hp_mca_a": 30.0, "hp_mocp_a": 40.0}, pump | {"hp_mca_a": 44.0}, pump | {"hp_mocp_a": 30.0, "terminals": "75 C"},
        *(pump | runs | {"add_ev_a": amperes, "add_ev_count": count, "hp_mocp_a": most} for amperes, count, most in (
            (24.0, 1.0, 30.0), (24.001, 1.0, 35.0), (48.0, 2.0, 60.0), (48.001, 1.0, 70.0), (0.0, 1.0, 30.0), (16.0, 0.0, None), (64.0, 2.0, 25.0),
        )),
        runs, {"add_ev_a": 32.0, "add_ev_run_ft": 0.0}, {"add_ev_a": 32.0, "add_ev_run_ft": 0.5}, pump | {"add_heat_pump_run_ft": 0.0},
        pump | {"add_heat_pump_run_ft": 0.5, "hp_mocp_a": 30.0}, {"add_heat_pump_run_ft": 20.0}, {"add_ev_run_ft": 20.0},
        *({"add_1pole": one, "add_2pole": two, "add_ev_a": amperes, "add_ev_run_ft": 10.0} for one, two, amperes in (
            (1.0, 0.0, 32.0), (0.0, 1.0, 32.0), (0.0, 0.0, 32.0), (1.0, 0.0, 0.0))),
        {"add_1pole": 1.0, "extra_hours": 2.5}, {"add_1pole": 1.0, "extra_material_usd": 80.0}, {"extra_hours": 3.0, "extra_material_usd": 120.5},
        {"add_1pole": 2.0, "extra_hours": 0.25, "extra_material_usd": 0.25, "extra_work": "outlets in the garage"},
        rigid, rigid | {"neutral": "calculated"}, rigid | {"raceway_in": 24.0}, rigid | {"wiring": "EMT", "insulation": "THHN/THWN-2"},
        rigid | {"feeder_breaker_wanted_a": 60.0, "move_kva": 12.0}, rigid | {"feeder_breaker_wanted_a": 100.0, "move_kva": 20.0},
    ]  # fmt: skip


def _margins() -> list[Row]:
    """What the way chosen leaves: none, at the margin and beside it; the service wanted; circuits to move, none named."""
    full = {"main_spaces_used": 30.0, "option_wanted": "added panel"}
    larger = {"option_wanted": "larger service"}
    vehicle = {"add_ev_a": 48.0, "main_spaces_used": 26.0, "option_wanted": "load control"}
    return [
        *({"add_other_kva": kva} for kva in (91.4, 91.5, 91.50001, 94.0, 97.5, 97.50001)),
        *(larger | {"add_other_kva": kva} for kva in (102.7, 102.75, 102.75001, 104.0, 105.25, 108.0, 109.5, 109.50001)),
        *({"option_wanted": way, "add_other_kva": 96.0} for way in ("existing spaces", "added panel", "load control")),
        *(vehicle | {"ev_limit_a": limit, "add_other_kva": 60.0} for limit in (6.0, 31.0, 41.999, 42.0, 42.001, 50.0, 50.001)),
        *(larger | {"new_service_wanted_a": wanted} for wanted in (150.0, 200.0, 225.0, 300.0, 320.0, 400.0)),
        *(larger | {"service_a": 100.0, "new_service_wanted_a": wanted} for wanted in (100.0, 125.0, 150.0)),
        larger | {"service_a": 400.0, "new_service_wanted_a": 400.0}, larger | {"service_a": 400.0, "new_service_wanted_a": 100.0},
        larger | {"pv_output_a": 40.0, "new_service_wanted_a": 225.0}, larger | {"add_other_kva": 120.0, "new_service_wanted_a": 225.0},
        {"panel_place": "other building", "feeder_breaker_wanted_a": 65.0, "new_service_wanted_a": 200.0},
        {"panel_place": "other building", "feeder_breaker_wanted_a": 65.0, "new_service_wanted_a": 225.0},
        larger | {"main_spaces": 84.0, "main_spaces_used": 41.0, "add_1pole": 1.0, "new_service_wanted_a": 200.0},
        larger | {"add_range_kw": 28.0, "new_service_wanted_a": 200.0},
        full, full | {"move_1pole": 1.0}, full | {"move_1pole": 2.0}, full | {"move_2pole": 1.0, "add_ev_a": 16.0, "planned_in": "main panel"},
        full | {"move_1pole": 1.0, "add_ev_a": 16.0, "planned_in": "main panel"}, full | {"main_spaces": 6.0, "main_spaces_used": 6.0, "move_1pole": 7.0},
        {"option_wanted": "added panel", "feeder_breaker_wanted_a": 125.0, "added_bus_wanted_a": 100.0},
        {"option_wanted": "added panel", "feeder_breaker_wanted_a": 125.0, "move_kva": 24.0, "wiring": "NM-B cable"},
        {"option_wanted": "added panel", "move_kva": 22.8, "wiring": "NM-B cable"},
        {"option_wanted": "existing spaces", "main_spaces_used": 30.0, "add_1pole": 1.0, "two_circuit_spaces": 3.0},
        *({"main_spaces_used": 30.0, "add_2pole": 1.0, "two_circuit_spaces": spaces, "growth_percent": 0.0} for spaces in (0.0, 1.0, 2.0, 3.0)),
    ]  # fmt: skip


def reach_circuits() -> list[Row]:
    """Shared neutrals in pairs and in threes, moved from one panel to the other, beside circuits of their own."""
    found: list[Row] = []
    for job, (members, poles, places) in enumerate(_GROUPS, start=1):
        for at, (mark, action) in enumerate(members):
            found.append({
                "job_no": f"R{job}", "panel": "added" if action in ("move", "new") else "main", "poles": poles[at],
                "breaker_a": 20.0, "label": f"Circuit {at}", "action": action, "multiwire_group": mark,
                "position": places[at], "load_va": 1000.0 + at, "from_position": 29.0 + at,
            })  # fmt: skip
    return found


_GROUPS = (
    ((("a", "move"), ("a", "move"), ("b", "move"), ("b", "move"), (None, "move")), (1, 1, 1, 1, 2), (None,) * 5),
    (((None, "move"), ("a", "move"), ("b", "move"), ("a", "move"), ("b", "move")), (2, 1, 1, 1, 1), (None,) * 5),
    ((("a", "move"), ("a", "move"), ("a", "move"), (None, "move")), (1, 1, 1, 2), (None,) * 4),
    ((("a", "move"), ("a", "new"), (None, "new"), (None, "move")), (1, 1, 1, 2), (None, 1.0, 3.0, None)),
    ((("a", "keep"), ("a", "move"), ("b", "move"), ("b", "move")), (1, 1, 1, 1), (1.0, None, None, None)),
    ((("a", "move"), ("a", "move"), ("a", "move"), ("a", "move")), (1, 1, 1, 1), (1.0, 3.0, None, None)),
    ((("a", "keep"), ("a", "keep"), ("b", "keep"), ("b", "remove")), (1, 1, 1, 1), (1.0, 3.0, 2.0, 6.0)),
    ((("a", "move"), ("a", "move"), ("b", "move"), ("b", "move"), ("c", "move"), ("c", "move"), (None, "move")),
     (1, 1, 1, 1, 1, 1, 1), (None,) * 7),
    ((("a", "move"), ("a", "move"), (None, "move")), (1, 1, 2), (None,) * 3),
    (((None, "move"), (None, "move"), (None, "move")), (2, 1, 2), (None,) * 3),
    (((None, "move"), (None, "new"), (None, "move"), (None, "move")), (2, 1, 2, 1), (None, 1.0, None, None)),
    (((None, "move"), (None, "new"), (None, "new"), (None, "move"), (None, "move")), (2, 2, 2, 1, 1), (None, 1.0, 4.0, None, None)),
)  # fmt: skip
"""For each job: (mark, action) of its circuits, their poles, their positions."""
