"""Helper columns: parts of a rule that stand by themselves. Toy numbers, worked by hand."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from workbook_builder.reference.run import calculate

from .jobs import PLAIN, plain_job, results_of


def test_faults_of_a_row_are_counted_and_the_first_is_named() -> None:
    """Blank entries are missing, not invalid; entries come before checks."""
    jobs = pd.DataFrame(
        [
            PLAIN,
            PLAIN | {"job_no": "J2", "market": None, "service_a": None},
            PLAIN | {"job_no": "J3", "market": "", "wall": "paper", "oven_kw": 3, "oven_count": 0},
            PLAIN | {"job_no": "J4", "oven_kw": 3, "oven_count": 0},
            PLAIN | {"job_no": None, "wall": "paper"},
        ]
    )
    results = calculate(jobs)

    assert results["entries_invalid"].tolist() == pytest.approx([0, 0, 2, 1, np.nan], nan_ok=True)
    assert results["entries_missing"].tolist() == pytest.approx([0, 2, 1, 0, np.nan], nan_ok=True)
    assert results["first_invalid"].tolist() == [
        "",
        "",
        "wall must be one of open framing, drywall, plaster, masonry",
        "oven_count must be 1 or more where oven_kw is more than 0",
        "",
    ]


@pytest.mark.parametrize(
    ("entries", "breaker", "exposed"),
    [
        ({}, 20, 10),
        ({"moved_wire": "8", "moved_breaker_a": 50, "exposed_ft": 3}, 40, 10),
        ({"run_ft": 20.3, "trench_ft": 0.2}, 20, 20.1),
        ({"run_ft": 20, "trench_ft": 30}, 20, 0),
        ({"moved_wire": "6", "run_ft": "far"}, 0, 0),
        ({"market": None}, 20, 10),
    ],
)
def test_defaults_that_come_from_other_entries_stand_in_every_row(
    entries: dict, breaker: float, exposed: float
) -> None:
    """Also beside an entry, and in a row that is not ready."""
    row = calculate(plain_job(**entries)).iloc[0]

    assert (row["moved_wire_breaker_a"], row["run_exposed_ft"]) == (breaker, exposed)


def test_parts_of_the_spaces() -> None:
    row = results_of(
        heat_kw=5, drop_heat="yes", ac_kva=0, drop_ac="yes", range_kw=8, drop_range="yes", dryer_kw=5,
        drop_dryer="yes", add_ev_a=16, add_ev_count=2, add_range_kw=9, add_2pole=3,
    )  # fmt: skip

    assert (row["dropped_hvac"], row["dropped_appliances"], row["planned_equipment"]) == (1, 2, 3)


def test_parts_of_the_cooking_load() -> None:
    """A cooktop of 1.5 kW stays out of the table; the dropped range is out of the house to come."""
    row = results_of(range_kw=9, drop_range="yes", oven_kw=8, oven_count=2, cooktop_kw=1.5, add_range_kw=7)

    assert (row["now_cooking_table_kw"], row["cooking_table_kw"]) == (17, 15)
    assert row["cooking_largest_kw"] == 9


@pytest.mark.parametrize(
    ("entries", "inside", "pool"),
    [({}, 0, 9900), ({}, 1, 14900), ({"add_ac_kva": 1}, 1, 9900)],
)
def test_pool_without_vehicle_supply(entries: dict, inside: int, pool: float) -> None:
    """220.83(A): the 9900 VA of the plain job, with cooling of 5 kVA inside by the other reading."""
    jobs = plain_job(ac_kva=5, add_ev_a=32, **entries)

    assert calculate(jobs, overrides={"hvac_in_pool_83a": inside})["existing_no_ev_pool_va"][0] == pool


def test_parts_of_the_neutral() -> None:
    """220.61: from 500 VA in the group; the pump by its voltage, beside the group."""
    row = results_of(
        dishwasher_kw=1, disposal_kw=0.4, spa_kva=2, add_spa_kva=0.5, other_fixed_kva=2, other_fixed_count=4,
        other_fixed_neutral_kva=0.3, well_pump_kva=1, well_pump_v=120,
    )  # fmt: skip

    assert (row["neutral_group_va"], row["pump_neutral_va"]) == (1000 + 2000 + 500 + 300, 1000)
    assert results_of(well_pump_kva=1)["pump_neutral_va"] == 0


@pytest.mark.parametrize(
    ("entries", "beside", "state", "differ"),
    [
        ({}, "no", "OK", "no"),
        ({"existing_source": "yes"}, "no", "OK", "no"),
        (
            {
                "load_method": "metered peak",
                "metered_peak_kw": 1,
                "existing_source": "yes",
                "metered_days": 90,
            },
            "yes",
            "STOP: a short record is not permitted beside a source",
            "no",
        ),
        ({"ac_kva": 9, "service_a": 60}, "no", "OK", "yes"),
    ],
)
def test_parts_of_the_method_state(entries: dict, beside: str, state: str, differ: str) -> None:
    row = results_of(**entries)

    assert [row["metered_beside_source"], row["metered_state"], row["readings_differ"]] == [
        beside,
        state,
        differ,
    ]


@pytest.mark.parametrize(
    ("kw", "by_c", "by_ab"), [(0, 8, 0), (3.4, 8, 2.72), (8.75, 8, 7), (8.8, 8, 8), (14, 8.8, 8.8)]
)
def test_parts_of_the_feeder_range(kw: float, by_c: float, by_ab: float) -> None:
    """Table 220.55 for one unit; shown also where the main panel serves the range."""
    row = results_of(add_range_kw=kw, planned_in="main panel")

    assert (row["feeder_range_c_kw"], row["feeder_range_ab_kw"]) == pytest.approx((by_c, by_ab))


def test_new_heating_is_shown_wherever_it_is_served() -> None:
    entries = {
        "add_heat_kw": 1,
        "add_heat_pump_kva": 4,
        "add_heat_pump_aux_kw": 5,
        "planned_in": "main panel",
    }

    assert results_of(**entries)["feeder_heating_va"] == 10000
    assert results_of(**entries | {"aux_with_compressor": "no"})["feeder_heating_va"] == 6000


def test_each_part_of_the_breaker_state_speaks_for_itself() -> None:
    row = results_of(
        service_a=60, move_kva=20, feeder_breaker_wanted_a=70, branch_limit_a=50, added_bus_wanted_a=60,
        panel_place="other building",
    )  # fmt: skip
    dwelling = "CHECK: a dwelling in the other building needs 100 A"

    assert row["breaker_rating_state"] == "STOP: the breaker is under the load"
    assert row["breaker_limit_state"] == "STOP: the breaker is over the service rating"
    assert row["breaker_bus_state"] == "STOP: the breaker is over the bus of the added panel"
    assert row["breaker_place_state"] == dwelling
    assert results_of(move_kva=20)["breaker_place_state"] == "OK"
    assert row["breaker_state"] == row["breaker_rating_state"]


def test_parts_of_the_breaker_state_are_silent_without_a_breaker() -> None:
    row = results_of(move_kva=500, panel_place="other building", added_bus_wanted_a=60)

    assert row["breaker_rating_state"] == "STOP: no standard rating carries the load"
    assert [row["breaker_limit_state"], row["breaker_bus_state"], row["breaker_place_state"]] == ["OK"] * 3


@pytest.mark.parametrize(
    ("wiring", "index", "kind", "burial", "terminal", "insulation"),
    [
        ("PVC 40", 1, "raceway", "nonmetallic", "aluminum 60", "aluminum 90"),
        ("RMC", 4, "raceway", "metal conduit", "aluminum 60", "aluminum 90"),
        ("FMC", 6, "raceway", "", "aluminum 60", "aluminum 90"),
        ("SER cable", 9, "cable", "", "aluminum 60", "aluminum 75"),
    ],
)
def test_keys_of_the_wiring_method(
    wiring: str, index: int, kind: str, burial: str, terminal: str, insulation: str
) -> None:
    row = results_of(wiring=wiring, material="aluminum")

    assert row[
        ["wiring_index", "wiring_kind", "burial_column", "terminal_key", "insulation_key"]
    ].tolist() == [
        index,
        kind,
        burial,
        terminal,
        insulation,
    ]


def test_size_for_the_voltage_drop_is_shown_where_it_does_not_govern() -> None:
    """50 A over 200 ft may have 0.36 ohm/kft: 4 AWG. Without load no size meets a limit of 0."""
    loaded = results_of(move_kva=12, run_ft=200)
    idle = results_of(move_kva=0)

    assert (loaded["size_for_drop"], loaded["size_by_drop"]) == (6, 1)
    assert (idle["drop_z_limit"], idle["size_for_drop"], idle["size_by_drop"]) == (0, 21, 1)


@pytest.mark.parametrize(
    ("entries", "wet", "state"),
    [
        ({"wiring": "NM-B cable"}, "no", "OK"),
        ({"wiring": "NM-B cable", "room": "outdoors"}, "yes", "STOP: NM-B cable is for dry places indoors"),
        ({"wiring": "FMC", "wet_location": "yes"}, "yes", "CHECK: only where listed for wet places"),
        ({"wiring": "EMT", "wet_location": "yes"}, "yes", "OK"),
        ({"wiring": "NM-B cable", "panel_place": "other building"}, "yes",
         "STOP: NM-B cable is for dry places indoors"),
        ({"wiring": "NM-B cable", "panel_place": "same building"}, "no", "OK"),
    ],
)  # fmt: skip
def test_wet_places(entries: dict, wet: str, state: str) -> None:
    row = results_of(**entries)

    assert (row["run_wet"], row["wiring_wet_state"]) == (wet, state)


def test_parts_of_grounding_and_neutral() -> None:
    """Chapter 9 Tables 8 and 9: 100 A in another building, 1 AWG: 83,690 cmil; 8 AWG ground 16,510.

    The neutral of 100 A is 1 AWG at 60 C and 3 AWG (115 A) at 90 C. Table 250.66: 6 AWG.
    """
    row = results_of(move_kva=24, panel_place="other building", electrode="concrete encased")

    assert (row["feeder_size"], row["feeder_mils"], row["egc_mils_needed"]) == ("1", 83690, 16510)
    assert (row["neutral_by_terminals"], row["neutral_by_correction"]) == (9, 7)
    assert (row["gec_table_size"], row["electrode_largest"], row["gec_size"]) == ("6", "4", "6")
    assert (row["feeder_resistance"], row["feeder_reactance"]) == (0.15, 0.046)


def test_parts_are_blank_without_a_size() -> None:
    row = results_of(move_kva=500, panel_place="other building", electrode="water pipe")
    numbers = ["feeder_mils", "egc_mils_needed", "feeder_resistance", "feeder_reactance", "egc_position",
               "raceway_bore_in"]  # fmt: skip

    assert row[numbers].isna().all()
    assert (row["gec_table_size"], row["electrode_largest"]) == ("", "")


def test_each_part_of_the_working_space_speaks_for_itself() -> None:
    row = results_of(
        room="stairs", clear_width_in=20, clear_depth_in=30, clear_height_in=70, top_breaker_height_in=80,
        service_a=400, move_kva=60,
    )  # fmt: skip

    assert row[["room_state", "width_state", "depth_state", "height_state", "handle_state"]].tolist() == [
        "STOP: no overcurrent device in this room",
        "STOP: the working space is too narrow",
        "STOP: the working space is too shallow",
        "STOP: the working space is too low",
        "STOP: the highest handle is too high",
    ]
    assert (row["headroom_low"], row["headroom_state"]) == (
        "yes",
        "CHECK: low headroom, only by the exception for existing dwellings",
    )


def test_working_space_that_is_not_measured_is_not_low() -> None:
    row = results_of()

    assert (row["headroom_low"], row["height_state"]) == ("no", "OK")
    assert row["headroom_state"] == "CHECK: working space not measured"


def test_parts_of_the_raceway() -> None:
    """THHN: 12 AWG 0.0133 in2, bare 12 AWG 0.006; 8 AWG is position 4; 1-1/4 in. PVC 40 1.360.

    With the moved circuit the area is over the 0.3326 in2 of 1 in.
    """
    row = results_of(move_kva=24, terminals="75 C", insulated_egc="no", moved_in_raceway="yes", move_1pole=1)

    assert (row["egc_position"], row["moved_egc_position"], row["moved_egc_size"]) == (4, 2, "12")
    assert (row["moved_wire_in2"], row["moved_egc_in2"]) == (0.0133, 0.006)
    assert (row["raceway_size"], row["raceway_bore_in"]) == ("1-1/4", 1.36)
    assert (row["moved_terminal_a"], row["moved_limit_a"]) == (25, 20)
    assert row["moved_ampacity_state"] == "OK"


@pytest.mark.parametrize(
    ("entries", "limit"),
    [
        ({}, np.nan),
        ({"move_1pole": 1}, 20),
        ({"move_2pole": 1, "moved_wire": "10"}, 30),
        ({"move_1pole": 1, "moved_wire": "8"}, np.nan),
    ],
)
@pytest.mark.parametrize("inside", ["yes", "no"])
def test_limit_of_moved_conductors_holds_for_small_ones(entries: dict, limit: float, inside: str) -> None:
    """240.4(D) ends at 10 AWG; it asks for no raceway."""
    found = results_of(move_kva=5, moved_in_raceway=inside, **entries)["moved_limit_a"]

    assert found == pytest.approx(limit, nan_ok=True)
