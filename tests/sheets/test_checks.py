"""Checks and readings of jobs made for them, worked out by hand and recalculated by each engine."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pandas as pd
import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.harness.engines import CellError, available, recalculate
from workbook_builder.sheets.checks import CHECKS
from workbook_builder.sheets.model import FIRST_ROW, MARK_ROW
from workbook_builder.sheets.readings import READINGS

from ..books import write_book

ENGINES = [
    "ironcalc",
    pytest.param("libreoffice", marks=pytest.mark.libreoffice),
    pytest.param("gnumeric", marks=pytest.mark.gnumeric),
]
JOB = {
    "house_age": "middle", "market": "medium", "service_a": 200.0, "main_spaces": 30.0,
    "main_spaces_used": 20.0, "floor_area_ft2": 2000.0, "fault_ka": 8.0, "panel_kaic": 22.0,
}  # fmt: skip
ADDED = {
    "option_wanted": "added panel", "clear_width_in": 30.0, "clear_depth_in": 36.0,
    "clear_height_in": 78.0, "top_breaker_height_in": 79.0,
}  # fmt: skip
TAKEN = {
    "l1_l2_v": 240.0, "l1_n_v": 120.0, "l2_n_v": 120.0, "l1_g_v": 120.0, "l2_g_v": 120.0, "n_g_v": 2.0,
}  # fmt: skip
RECORD = {"neutral_isolated": "yes", "torque_logged": "yes", "dead_test_done": "yes"}
HIGH = "CHECK: outside the service range"
LOST = "STOP: lost neutral: one leg high, the other low"
DIFFER = "CHECK: the legs differ; look for a loose connection"
LOW = "CHECK: low headroom is permitted only at the panel of an existing dwelling"

CASES: dict[str, tuple[dict[str, object], dict[str, object]]] = {
    "nothing open": (
        {"option_wanted": "existing spaces"},
        {"stops": 0, "checks_open": 0, "job_status": "OK", "first_finding": "Nothing open.",
         "readings_given": 0, "reading_result": "not taken", "point_readings": "OK",
         "reading_advice": "Take and record every reading when the panel is energized."},
    ),
    "no panel, whatever its place": (
        {"option_wanted": "existing spaces", "room": "bathroom", "clear_depth_in": 1.0, "torque_logged": "no"},
        {"job_status": "OK", "point_room": "OK", "point_depth": "OK", "point_torque": "OK", "point_width": "OK"},
    ),
    "one check": (
        {"option_wanted": "existing spaces", "panel_kaic": None},
        {"stops": 0, "checks_open": 1, "job_status": "CHECK",
         "first_finding": "CHECK: fault current not compared with the rating"},
    ),
    "a stop behind a check": (
        {"option_wanted": "existing spaces", "panel_kaic": None, "dead_test_done": "no"},
        {"stops": 1, "checks_open": 1, "job_status": "STOP",
         "first_finding": "STOP: nobody works before absence of voltage is proved"},
    ),
    "a panel in its place": (
        ADDED,
        {"stops": 0, "point_width": "OK", "point_depth": "OK", "point_height": "OK", "point_handle": "OK"},
    ),
    "nothing measured": (
        {"option_wanted": "added panel"},
        {"point_width": "CHECK: clear width not measured", "point_depth": "CHECK: clear depth not measured",
         "point_height": "CHECK: clear height not measured",
         "point_handle": "CHECK: height of the highest handle not known"},
    ),
    "too small a place": (
        ADDED | {"clear_width_in": 29.9, "clear_depth_in": 35.9, "clear_height_in": 77.9,
                 "top_breaker_height_in": 79.1},
        {"point_width": "STOP: the working space is too narrow",
         "point_depth": "STOP: the working space is too shallow", "point_height": LOW,
         "point_handle": "STOP: a handle is over the permitted height",
         "first_finding": "STOP: the way wanted does not work", "job_status": "STOP"},
    ),
    "wider than its space": (
        ADDED | {"clear_width_in": 36.0, "panel_width_in": 36.1},
        {"point_width": "STOP: the working space is too narrow"},
    ),
    "low in another building": (
        ADDED | {"clear_height_in": 77.9, "panel_place": "other building", "run_ft": 60.0, "trench_ft": 50.0,
                 "cover_case": "rock", "wiring": "EMT"},
        {"point_height": "STOP: the working space is too low",
         "point_call": "CHECK: have buried utilities located before digging",
         "point_rock": "CHECK: rock: concrete over the raceway down to rock",
         "point_buried_tubing": "CHECK: buried EMT needs corrosion protection suited to the soil",
         "point_surge": "CHECK: a dwelling in the other building needs a surge device, not priced",
         "point_rods": "OK"},
    ),
    "no surge device before 2020": (
        ADDED | {"panel_place": "other building", "run_ft": 60.0, "code_edition": 2017.0},
        {"point_surge": "OK"},
    ),
    "cable in the wall": (
        ADDED | {"wiring": "SER cable", "cable_in_insulation": "yes"},
        {"point_insulation": "CHECK: cable in thermal insulation: look up its temperature limit",
         "point_cable_entry": "CHECK: each cable is secured to the cabinet, none through a nipple"},
    ),
    "raceway in the wall": (
        ADDED | {"wiring": "EMT", "cable_in_insulation": "yes"},
        {"point_insulation": "OK", "point_cable_entry": "OK"},
    ),
    "circuits that move": (
        ADDED | {"house_age": "older", "move_1pole": 4.0, "moved_ext_ft": 7.0},
        {"point_old_wiring": "CHECK: old insulation may not stand being moved",
         "point_arc_fault": "CHECK: circuits extended so far need arc-fault protection, priced",
         "point_splices": "CHECK: splices fill at most 75 percent of the wiring space; label conductors that pass through"},
    ),
    "larger service": (
        {"option_wanted": "larger service", "service_a": 100.0, "panel_condition": "corroded or unlisted",
         "pv_output_a": 60.0, "code_edition": 2020.0},
        {"point_panel_condition": "OK", "point_main_bus": "OK", "point_service_load": "OK",
         "point_utility": "CHECK: the utility must agree to the larger service",
         "point_emergency_disconnect":
             "CHECK: emergency disconnect outdoors: the old panel gets a four-wire feed, its bond comes out"},
    ),
    "larger service before 2020": (
        {"option_wanted": "larger service", "service_a": 100.0, "code_edition": 2017.0},
        {"point_emergency_disconnect": "OK"},
    ),
    "corroded": (
        {"option_wanted": "existing spaces", "panel_condition": "corroded or unlisted"},
        {"point_panel_condition": "STOP: the present panel is to be replaced, not extended"},
    ),
    "supply side": (
        {"option_wanted": "existing spaces", "pv_output_a": 32.0, "source_at": "supply side"},
        {"point_utility": "CHECK: a supply-side connection needs the utility and its own disconnect",
         "point_main_bus": "OK"},
    ),
    "too much sun": (
        {"option_wanted": "existing spaces", "pv_output_a": 60.0},
        {"bus_check_used": "STOP", "point_main_bus": "STOP: the main bus does not take the sources"},
    ),
    "a source is there": (
        ADDED | {"pv_output_a": 16.0, "existing_source": "yes"},
        {"bus_check_used": "CHECK",
         "point_main_bus": "CHECK: a present source or a centre-fed bus: look at the sums"},
    ),
    "a source is there and no panel": (
        {"option_wanted": "existing spaces", "pv_output_a": 16.0, "existing_source": "yes"},
        {"bus_check_used": "OK", "point_main_bus": "OK"},
    ),
    "heaters on a wye": (
        {"option_wanted": "existing spaces", "line_v": 208.0, "add_water_heater_kw": 4.5},
        {"point_low_voltage": "CHECK: 240 V heaters give about 75 percent at 208 V",
         "line_low_v": 197.6, "line_high_v": 218.4, "leg_low_v": 114, "leg_high_v": 126},
    ),
    "a wye without heaters": ({"line_v": 208.0}, {"point_low_voltage": "OK"}),
    "load control": (
        {"option_wanted": "load control", "add_ev_a": 48.0},
        {"point_set_point": "CHECK: the load-management system is listed and its set point locked",
         "point_service_load": "OK"},
    ),
    "two-circuit breakers": (
        {"option_wanted": "existing spaces", "main_spaces_used": 29.0, "two_circuit_spaces": 6.0,
         "add_1pole": 3.0},
        {"point_two_circuit": "CHECK: two-circuit breakers only where the panel label lists them"},
    ),
    "all readings": (
        ADDED | TAKEN | RECORD,
        {"readings_given": 6, "reading_result": "OK", "reading_advice": "Nothing to do.", "legs_apart_v": 0,
         "point_readings": "OK", "point_dead_test": "OK", "point_neutral_apart": "OK", "point_torque": "OK"},
    ),
    "readings without a record": (
        ADDED | {"n_g_v": 0.0},
        {"readings_given": 1, "n_g_reading": "OK", "reading_result": "not taken",
         "point_dead_test": "CHECK: record that absence of voltage was proved",
         "point_neutral_apart": "CHECK: record that neutral and ground are apart",
         "point_torque": "CHECK: record the torque of the terminations"},
    ),
    "a record of no": (
        ADDED | dict.fromkeys(RECORD, "no"),
        {"point_dead_test": "STOP: nobody works before absence of voltage is proved",
         "point_neutral_apart": "STOP: neutral and ground are joined in the added panel",
         "point_torque": "STOP: terminations not torqued"},
    ),
    "ends of the range": (
        TAKEN | {"l1_l2_v": 252.0, "l1_n_v": 114.0, "l1_g_v": 126.0, "l2_g_v": 114.0},
        {"l1_l2_reading": "OK", "l1_n_reading": "OK", "l1_g_reading": "OK", "l2_g_reading": "OK"},
    ),
    "beyond the range": (
        TAKEN | {"l1_l2_v": 227.9, "l1_n_v": 126.1, "l2_n_v": 113.9, "l1_g_v": 113.9, "l2_g_v": 10.0, "n_g_v": 2.1},
        {"l1_l2_reading": HIGH, "l1_n_reading": HIGH, "l2_n_reading": HIGH, "l1_g_reading": HIGH,
         "l2_g_reading": HIGH, "n_g_reading": "CHECK: high: look for a loose neutral or a load on the ground",
         "ground_reading": "CHECK: line to ground differs from line to neutral: look at the ground path"},
    ),
    "dead lines": (
        {"l1_l2_v": 9.9, "l1_n_v": 0.0, "l2_n_v": 9.9, "l1_g_v": 9.9, "l2_g_v": 0.0},
        {"l1_l2_reading": "STOP: both hots stand on one leg, or a line is dead", "l1_n_reading": "STOP: dead",
         "l2_n_reading": "STOP: dead", "l1_g_reading": "STOP: dead", "l2_g_reading": "STOP: dead",
         "n_g_reading": "not taken", "reading_result": "STOP",
         "point_readings": "STOP: a reading is off, see Readings",
         "reading_advice": "Switch off, do not leave energized; find the fault before anything else."},
    ),
    "legs three apart": (
        TAKEN | {"l1_n_v": 120.1, "l2_n_v": 117.1},
        {"legs_apart_v": 3, "lost_neutral_reading": "OK", "ground_reading": "OK", "reading_result": "OK"},
    ),
    "lost neutral": (
        TAKEN | {"l1_n_v": 150.0, "l2_n_v": 93.0},
        {"legs_apart_v": 57, "legs_sum_holds": "yes", "lost_neutral_reading": LOST, "reading_result": "STOP"},
    ),
    "lost neutral, line not taken": (
        {"l1_n_v": 125.0, "l2_n_v": 115.0},
        {"lost_neutral_reading": LOST, "readings_given": 2},
    ),
    "legs differ": (
        TAKEN | {"l1_n_v": 120.0, "l2_n_v": 116.9},
        {"legs_sum_holds": "no", "lost_neutral_reading": DIFFER, "reading_result": "CHECK",
         "point_readings": "CHECK: a reading is off, see Readings",
         "reading_advice": "Take the reading again under load; find the cause before leaving."},
    ),
    "legs of a wye differ": (
        {"line_v": 208.0, "l1_n_v": 114.0, "l2_n_v": 94.0},
        {"legs_sum_holds": "no", "lost_neutral_reading": DIFFER},
    ),
    "one leg": (
        {"l1_n_v": 120.0, "l1_g_v": 120.0},
        {"legs_apart_v": "", "legs_sum_holds": "no", "lost_neutral_reading": "OK", "ground_reading": "OK"},
    ),
    "listed": (
        ADDED,
        {"listed_from_checks": 1, "listed_wire_checks": 1,
         "point_came_from": "CHECK: a circuit came from a space beyond the main panel",
         "point_wires": "CHECK: a breaker is over the limit of its small conductor",
         "point_aluminum": "CHECK: aluminum circuits need their own connectors",
         "point_shared_neutral": "CHECK: circuits that share a neutral need one handle or a tie"},
    ),
    "suggested": (
        ADDED,
        {"listed_suggested_checks": 1, "listed_from_checks": 0,
         "point_suggested": "CHECK: a suggested space is taken or beyond the panel"},
    ),
}  # fmt: skip

MOVED = {"panel": "added", "poles": 1.0, "breaker_a": 15.0, "action": "move", "load_va": 1000.0}
CIRCUITS = (
    {"job_no": "listed", "label": "from nowhere", "from_position": 80.0},
    {"job_no": "listed", "label": "thin wire", "breaker_a": 20.0, "wire": "14"},
    {"job_no": "listed", "label": "aluminum", "condition": "aluminum"},
    {"job_no": "listed", "label": "shared", "multiwire_group": "m"},
    {"job_no": "suggested", "label": "stands in 1", "position": 1.0, "action": "new"},
    {"job_no": "suggested", "label": "wants 1", "load_va": 1500.0},
    {"job_no": "no such job", "label": "not ready", "from_position": 80.0},
)


def test_columns_stand_in_the_order_of_their_rules() -> None:
    for sheet in (CHECKS, READINGS):
        names = [name for name, rule in load().rules.items() if rule.sheet == sheet.name]
        assert [column.name for column in sheet.columns] == names


def test_only_checks_stand_between_the_first_and_the_last() -> None:
    names = [column.name for column in CHECKS.columns]
    points = [name for name in names if name.startswith("point_")]

    assert names[names.index("point_edition") : names.index("point_readings") + 1] == points
    assert {load().rules[name].kind for name in points} == {"state"}


@cache
def _found(engine: str) -> pd.DataFrame:
    """Every calculated column of the jobs, by job."""
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")
    code = load()
    numbers = {f"case {at}": name for at, name in enumerate(CASES)}
    labels = {name: number for number, name in numbers.items()}
    jobs = pd.DataFrame(
        [JOB | CASES[name][0] | {"job_no": number} for number, name in numbers.items()], dtype=object
    )
    circuits = pd.DataFrame(
        [MOVED | circuit | {"job_no": labels.get(circuit["job_no"], "?")} for circuit in CIRCUITS],
        columns=[field.name for field in code.circuit_fields],
        dtype=object,
    )
    jobs, circuits = (frame.mask(frame.isna(), None) for frame in (jobs, circuits))
    with TemporaryDirectory() as folder:
        path = Path(folder) / "book.xlsx"
        write_book(
            path,
            jobs.reindex(columns=[field.name for field in code.job_fields]).astype(object),
            circuits=circuits,
        )
        grids = recalculate(path, engine=engine, sheets=["Inputs", "Spaces", CHECKS.name, READINGS.name])
    frames = []
    for grid in grids.values():
        rows = grid[FIRST_ROW - 1 :][: len(CASES)]
        frames.append(pd.DataFrame(rows, dtype=object).iloc[:, : len(grid[MARK_ROW - 1])])
        frames[-1].columns = grid[MARK_ROW - 1]
    whole = pd.concat(frames, axis=1)
    whole = whole.loc[:, ~whole.columns.duplicated()]
    return whole.set_index(pd.Index(CASES))


@pytest.mark.parametrize("engine", ENGINES)
def test_every_job_is_ready_and_no_cell_is_an_error(engine: str) -> None:
    found = _found(engine)

    assert set(found["row_state"]) == {"ready"}
    assert not [value for name in found for value in found[name] if isinstance(value, CellError)]


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("name", CASES)
def test_a_job_made_for_it_says_so(engine: str, name: str) -> None:
    expected = CASES[name][1]

    assert _found(engine).loc[name, list(expected)].to_dict() == expected


@pytest.mark.parametrize("engine", ENGINES)
def test_counts_and_first_finding_are_those_of_the_row(engine: str) -> None:
    points = [column.name for column in CHECKS.columns if column.name.startswith("point_")]
    for _, row in _found(engine).iterrows():
        stops, checks = (
            [state for state in row[points] if state.startswith(word)] for word in ("STOP", "CHECK")
        )

        assert (row["stops"], row["checks_open"]) == (len(stops), len(checks))
        assert row["first_finding"] == [*stops, *checks, "Nothing open."][0]
