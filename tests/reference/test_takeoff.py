"""Quantities of material and work. The rules are the workbook's own; the numbers are worked by hand."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.reference.run import calculate, calculate_all

from .circuits import ADDED, MOVED, listed
from .jobs import plain_job, random_jobs, results_of

SHARED = MOVED | {"multiwire_group": "a", "position": 1}
OTHER = {"panel_place": "other building", "run_ft": 75, "trench_ft": 75, "main_spaces_used": 20, "move_2pole": 1}


@pytest.mark.parametrize(
    ("entries", "expected"),
    [
        ({"raceway_in": 24}, {"is_raceway": 1, "is_nipple": 1, "raceway_ft": 2, "straps": 0, "bodies_small": 0}),
        ({"raceway_in": 24.1}, {"is_nipple": 0, "raceway_ft": 2.008333, "straps": 4}),
        ({"wiring": "SER cable"}, {"is_raceway": 0, "is_nipple": 0, "raceway_ft": 0, "conductor_ft": 0, "pull_ft": 0}),
        ({"run_ft": 10, "exposed_ft": 20.1}, {"straps": 7, "pull_ft": 40, "conductor_ft": 17.6, "phase_ft": 35.2}),
        (OTHER, {"raceway_ft": 87, "riser_lengths": 2, "raceway_lengths": 9, "conductor_ft": 102.3, "duct_seals": 2}),
        (OTHER | {"wiring": "EMT"}, {"raceway_ft": 87, "riser_lengths": 0, "raceway_lengths": 10}),
        (OTHER | {"trench_ft": 101}, {"trencher_days": 2, "work_trench_machine": 101, "work_trench_hand": 0}),
        (OTHER | {"trench_by": "hand"}, {"trencher_days": 0, "work_trench_machine": 0, "work_trench_hand": 75}),
        (OTHER | {"electrode": "water pipe"}, {"rods": 0, "electrode_clamps": 1, "work_rods": 0}),
        ({"electrode": "water pipe"}, {"rods": 0, "electrode_clamps": 0, "service_rods": 0, "service_clamps": 1}),
    ],
)  # fmt: skip
def test_lengths_and_fittings_of_the_run(entries: dict, expected: dict) -> None:
    row = results_of(**entries)

    assert row[list(expected)].tolist() == list(expected.values())


@pytest.mark.parametrize(
    ("entries", "expected"),
    [
        ({"panel_place": "same building"}, {"elbows_small": 2, "bodies_small": 1, "sealants": 1, "work_holes_wood": 1}),
        ({"panel_place": "same building", "wall": "masonry"}, {"work_holes_wood": 0, "work_holes_masonry": 1}),
        (OTHER, {"elbows_small": 4, "bodies_small": 1, "sealants": 2, "work_holes_wood": 2, "work_visits": 2}),
        ({}, {"elbows_small": 0, "bodies_small": 0, "sealants": 0, "work_visits": 1, "work_inspection": 1}),
        ({"panel_place": "same building", "access": "easy"}, {"wall_repairs": 0, "work_inspection": 1}),
        ({"panel_place": "same building"}, {"wall_repairs": 1, "work_inspection": 2}),
        ({"panel_place": "same building", "access": "hard", "wall": "plaster"}, {"wall_repairs": 2}),
        ({"panel_place": "same building", "access": "hard", "wall": "open framing"}, {"wall_repairs": 0}),
        ({"panel_place": "same building", "wiring": "SER cable", "run_ft": 33},
         {"staples": 13, "nail_plates": 9, "large_connectors": 2, "nm_connectors": 0, "work_fish": 2, "work_ser": 33}),
        ({"panel_place": "same building", "wiring": "NM-B cable", "run_ft": 33, "wall": "open framing"},
         {"staples": 13, "nail_plates": 0, "large_connectors": 0, "nm_connectors": 2, "work_fish": 0, "work_nm": 33}),
    ],
)  # fmt: skip
def test_what_the_place_and_the_walls_ask_for(entries: dict, expected: dict) -> None:
    row = results_of(**entries)

    assert row[list(expected)].tolist() == list(expected.values())


@pytest.mark.parametrize(
    ("entries", "expected"),
    [
        ({"add_1pole": 3}, {"branch_arc_fault": 3, "branch_1pole": 0, "work_protected": 3}),
        ({"add_2pole": 2}, {"branch_2pole": 2, "work_land_2pole": 2}),
        ({"add_ev_a": 40, "add_ev_count": 2}, {"ev_ground_fault": 2, "branch_ground_fault": 2, "branch_2pole": 0}),
        ({"add_ev_a": 40.1}, {"ev_ground_fault": 0, "branch_ground_fault": 0, "branch_2pole": 1}),
        ({"add_ev_a": 40, "add_ev_connection": "hardwired"}, {"ev_ground_fault": 0, "branch_ground_fault": 0, "branch_2pole": 1}),
        ({"add_ev_a": 48, "add_ev_connection": "receptacle"}, {"ev_ground_fault": 1, "branch_2pole": 0}),
        ({"add_ev_a": 48, "code_edition": 2026}, {"ev_ground_fault": 1, "branch_2pole": 0}),
        ({"add_ev_count": 2, "add_ev_connection": "receptacle"}, {"ev_ground_fault": 0, "branch_ground_fault": 0}),
        ({"add_ev_a": 48}, {"large_equipment": 0, "branch_2pole": 1}),
        ({"add_ev_a": 48.1}, {"large_equipment": 1, "branch_2pole_large": 1, "branch_2pole": 0, "work_land_2pole": 1}),
        ({"add_heat_pump_kva": 4}, {"outdoor_ground_fault": 1, "branch_ground_fault": 1, "branch_2pole": 0}),
        ({"add_heat_pump_kva": 4, "hp_mocp_a": 50}, {"outdoor_ground_fault": 1}),
        ({"add_heat_pump_kva": 4, "hp_mocp_a": 60}, {"outdoor_ground_fault": 0, "branch_2pole": 1}),
        ({"add_heat_pump_kva": 4, "hp_mocp_a": 61}, {"large_equipment": 1, "branch_2pole": 0, "branch_2pole_large": 1}),
        ({"add_dryer_kw": 5, "code_edition": 2017}, {"branch_ground_fault": 0, "branch_2pole": 1}),
        ({"add_dryer_kw": 5, "code_edition": 2020}, {"branch_ground_fault": 1, "branch_2pole": 0}),
        ({"add_range_kw": 8, "code_edition": 2020}, {"branch_ground_fault": 0, "branch_2pole": 1}),
        ({"add_range_kw": 8, "code_edition": 2023}, {"branch_ground_fault": 1, "branch_2pole": 0}),
        ({"add_spa_kva": 8, "code_edition": 2017}, {"branch_ground_fault": 1}),
        ({"add_ev_run_ft": 30, "add_heat_pump_run_ft": 20}, {"ev_runs_ft": 0, "hp_run_ft": 0, "vehicle_sets": 0, "heat_pump_sets": 0}),
        ({"add_ev_a": 24, "add_ev_run_ft": 30}, {"ev_priced_a": 30, "circuit_small_ft": 33, "circuit_medium_ft": 0}),
        ({"add_ev_a": 24.1, "add_ev_run_ft": 30}, {"ev_priced_a": 35, "circuit_small_ft": 0, "circuit_medium_ft": 33}),
        ({"add_ev_a": 48, "add_ev_run_ft": 30}, {"ev_priced_a": 60, "circuit_medium_ft": 33, "circuit_large_ft": 0}),
        ({"add_ev_a": 48.1, "add_ev_run_ft": 30}, {"ev_priced_a": 70, "circuit_medium_ft": 0, "circuit_large_ft": 33}),
        ({"add_ev_a": 48, "add_ev_count": 0, "add_ev_run_ft": 30}, {"ev_runs_ft": 0, "vehicle_sets": 0, "work_circuit_end": 0}),
        ({"add_ev_a": 48, "add_ev_count": 3, "add_ev_run_ft": 0}, {"ev_runs_ft": 0, "vehicle_sets": 0, "work_circuit_run": 0}),
        ({"add_ev_a": 48, "add_ev_count": 3}, {"ev_runs_ft": 0, "vehicle_sets": 0, "work_circuit_run": 0}),
        ({"add_heat_pump_kva": 4}, {"hp_run_ft": 0, "hp_priced_a": 60, "heat_pump_sets": 0, "work_circuit_end": 0}),
        ({"add_heat_pump_kva": 4, "hp_mocp_a": 34, "add_heat_pump_run_ft": 10}, {"hp_priced_a": 30, "circuit_small_ft": 11}),
        ({"add_heat_pump_kva": 4, "hp_mocp_a": 14, "add_heat_pump_run_ft": 10}, {"hp_priced_a": 60, "circuit_medium_ft": 11}),
        ({"add_heat_pump_kva": 9, "hp_mocp_a": 70, "add_heat_pump_run_ft": 10}, {"hp_priced_a": 70, "circuit_large_ft": 11}),
        ({"pv_output_a": 48.1}, {"large_sources": 1, "branch_2pole_large": 1, "branch_2pole": 0}),
        ({"pv_output_a": 30, "storage_output_a": 49}, {"large_sources": 1, "branch_2pole": 1, "hold_down_kits": 1}),
        ({"pv_output_a": 49, "source_at": "supply side"}, {"large_sources": 0, "planned_2pole": 0, "branch_2pole": 0}),
        ({"generator_inlet_a": 70, "source_at": "supply side"}, {"large_sources": 1, "branch_2pole_large": 1}),
        ({"generator_inlet_a": 30}, {"branch_2pole": 1, "interlock_kits": 0, "hold_down_kits": 1}),
        ({"generator_inlet_a": 30, "interlock": "yes"}, {"interlock_kits": 1}),
        ({"interlock": "yes"}, {"interlock_kits": 0, "hold_down_kits": 0}),
    ],
)  # fmt: skip
def test_breakers_to_come(entries: dict, expected: dict) -> None:
    """In a house with a panel of 42 spaces."""
    row = results_of(**{"main_spaces": 42, "main_spaces_used": 20} | entries)

    assert row[list(expected)].tolist() == list(expected.values())


def test_a_circuit_whose_breaker_is_not_known_is_priced_whatever_the_classes_are() -> None:
    """10 ft and a tenth; a local rule of 100 A for large breakers leaves it a middling one."""
    job = plain_job(add_heat_pump_kva=4, add_heat_pump_run_ft=10)
    row = calculate_all(job, None, overrides={"branch_large": 100.0})[0].iloc[0]

    assert (row["hp_priced_a"], row["circuit_small_ft"], row["circuit_medium_ft"], row["circuit_large_ft"]) == (100, 0, 11, 0)


def test_two_circuit_breakers_are_as_many_as_spaces_lack() -> None:
    """28 of 30 used: two free, so of five new circuits three go with old ones, no more than the label permits."""
    rows = calculate(
        pd.concat([plain_job(job_no=f"J{spaces}", two_circuit_spaces=spaces, add_1pole=5) for spaces in (0, 2, 3, 9)])
    )

    assert rows["two_circuit_breakers"].tolist() == [0, 2, 3, 3]
    assert rows["work_swap_pairs"].tolist() == [0, 1, 2, 2]


def test_moved_circuits_get_breakers_splices_and_protection() -> None:
    """Three of one pole and one of two; an extension over six feet needs arc-fault protection to 20 A."""
    plain = results_of(main_spaces_used=30, move_1pole=3, move_2pole=1, moved_ext_ft=6)
    longer = results_of(main_spaces_used=30, move_1pole=3, move_2pole=1, moved_ext_ft=6.1)
    larger = results_of(main_spaces_used=30, move_1pole=3, move_2pole=1, moved_ext_ft=6.1, moved_breaker_a=25)

    assert (plain["moved_circuits"], plain["spliced_circuits"], plain["moved_arc_fault"]) == (4, 4, 0)
    assert (plain["moved_1pole_breakers"], plain["moved_2pole_breakers"], plain["moved_protected"]) == (3, 1, 0)
    assert plain["wire_connectors"] == 14
    assert plain["moved_wire_ft"] == pytest.approx((3 * 3 + 4) * (6 + 4) * 1.1)
    assert (longer["moved_arc_fault"], longer["moved_1pole_breakers"], longer["moved_protected"]) == (3, 0, 3)
    assert longer["work_trouble"] == pytest.approx(0.45)
    assert larger["moved_arc_fault"] == 0


def test_wire_of_8_awg_has_its_own_work() -> None:
    small, large = (results_of(main_spaces_used=30, move_2pole=2, moved_wire=wire) for wire in ("10", "8"))

    assert (small["work_move_2pole"], small["work_move_2pole_large"]) == (2, 0)
    assert (large["work_move_2pole"], large["work_move_2pole_large"]) == (0, 2)
    assert (large["work_pull_moved"], small["work_pull_moved"]) == (0, small["moved_wire_ft"])
    assert large["work_pull_8_6"] - small["work_pull_8_6"] == pytest.approx(large["moved_wire_ft"])


def test_circuit_list_says_what_reaches_is_shared_or_is_aluminum() -> None:
    """Two share a neutral, one reaches and one of two poles does, one is aluminum; what is kept counts nowhere."""
    row, _ = listed(
        SHARED,
        SHARED | {"position": 4},
        MOVED | {"cable_reaches": "yes"},
        MOVED | {"poles": 2, "cable_reaches": "yes"},
        MOVED | {"condition": "aluminum", "cable_reaches": "no"},
        {"cable_reaches": "yes", "condition": "aluminum"},
        ADDED | {"cable_reaches": "yes"},
        main_spaces=42, main_spaces_used=20,
    )  # fmt: skip

    names = ["listed_shared", "listed_reaches_1pole", "listed_reaches_2pole", "listed_aluminum"]
    assert row[names].tolist() == [2, 1, 1, 1]
    assert (row["moved_circuits"], row["spliced_circuits"], row["handle_ties"]) == (5, 3, 1)
    assert (row["aluminum_connectors"], row["oxide_inhibitors"]) == (3, 1)
    assert row[["work_move_1pole", "work_move_shared", "work_move_2pole", "work_reroute"]].tolist() == [1, 1, 0, 2]
    assert row["moved_wire_ft"] == pytest.approx(3 * 3 * 4 * 1.1)


def test_filler_plates_close_what_is_opened_and_not_used_again() -> None:
    """Two spaces come in with the feeder; five circuits leave a full panel, so three plates, none in a roomy one."""
    full = results_of(main_spaces_used=30, move_1pole=5)
    roomy = results_of(main_spaces_used=20, move_1pole=1)

    assert (full["filler_plates"], roomy["filler_plates"]) == (3, 0)


@pytest.mark.parametrize(("edition", "feeder", "service", "disconnect"), [(2017, 0, 0, 0), (2020, 0, 1, 1), (2023, 1, 1, 1)])
def test_editions_ask_for_more(edition: int, feeder: int, service: int, disconnect: int) -> None:
    row = results_of(code_edition=edition)

    assert (row["surge_devices"], row["service_surge"], row["work_surge"]) == (feeder, service, feeder)
    assert (row["emergency_disconnects"], row["service_ground_bars"], row["work_service_bond"]) == (disconnect,) * 3
    assert row["service_conductor_ft"] == pytest.approx((3 * 26 + disconnect * 4 * 10) * 1.1)


def test_circuits_of_the_service_beyond_those_included() -> None:
    counts = [results_of(main_spaces=42, main_spaces_used=used)["work_land_more"] for used in (20, 24, 25, 42)]

    assert counts == [0, 0, 1, 18]


CLASSES = {
    "raceway": ["work_pvc_small", "work_pvc_medium", "work_pvc_large", "work_emt_small", "work_emt_medium",
                "work_emt_large", "work_metal", "work_flexible"],
    "pull": ["work_pull_8_6", "work_pull_4_2", "work_pull_1", "work_pull_large"],
    "cable": ["work_nm", "work_ser", "work_mc"],
    "terminations": ["work_terminate_small", "work_terminate_large"],
}  # fmt: skip


@pytest.fixture(scope="module")
def many() -> pd.DataFrame:
    results = calculate(random_jobs(3000, seed=5).assign(move_1pole=0, move_2pole=0, main_spaces=42, main_spaces_used=20))
    return results[results["row_state"] == "ready"]


@pytest.mark.parametrize("kind", CLASSES)
def test_work_stands_in_one_class_and_all_classes_are_met(many: pd.DataFrame, kind: str) -> None:
    quantities = many[CLASSES[kind]]

    assert (quantities > 0).any().all()
    assert ((quantities > 0).sum(axis=1) <= 1).all()


def test_the_whole_run_is_worked(many: pd.DataFrame) -> None:
    raceway = (many["is_raceway"] == 1) & (many["is_nipple"] == 0) & (many["raceway_size"] != "")
    cable = many["is_raceway"] == 0
    sized = many["feeder_size"] != ""

    assert (many[CLASSES["raceway"]].sum(axis=1) == np.where(raceway, many["raceway_ft"], 0)).all()
    assert (many[CLASSES["cable"]].sum(axis=1) == np.where(cable, many["run_ft"], 0)).all()
    moved_8 = np.where(many["moved_wire"] == "8", many["moved_wire_ft"], 0)
    assert np.allclose(many[CLASSES["pull"]].sum(axis=1), many["pull_ft"] + moved_8)
    ends = np.where(many["is_building"] == 1, 16, 8)
    assert (many[CLASSES["terminations"]].sum(axis=1) == np.where(sized, ends, 0)).all()


def test_no_quantity_is_negative_or_blank(many: pd.DataFrame) -> None:
    tables = load()
    quantities = many[[line.name for line in (*tables.takeoff_lines, *tables.work_lines)]]

    assert (quantities >= 0).all(axis=None)
