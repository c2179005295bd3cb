"""Entries as used, checks between entries, the state of a row and the list of its faults."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pandas as pd
import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.reference.faults import Fault
from workbook_builder.reference.run import calculate, faults

from .jobs import PLAIN, plain_job


def used(name: str, **entries: object) -> object:
    return calculate(plain_job(**entries))[name].iloc[0]


def state(**entries: object) -> str:
    return used("row_state", **entries)


@pytest.mark.parametrize(
    ("field", "entry", "expected"),
    [
        ("market", "LARGE", "large"),
        ("insulation", "thhn/thwn-2", "THHN/THWN-2"),
        ("moved_wire", 14, "14"),
        ("moved_wire", "14", "14"),
        ("egc_wanted", "2/0", "2/0"),
        ("line_v", 208, 208.0),
        ("code_edition", 2017.0, 2017.0),
        ("range_kw", 0, 0.0),
        ("ambient_c", -40, -40.0),
        ("visit_date", 45000, 45000.0),
        ("visit_date", dt.date(2023, 3, 15), 45000.0),
        ("visit_date", dt.datetime(2023, 3, 15, 12), 45000.5),
        ("site", "Elm Street", "Elm Street"),
    ],
)
def test_valid_entry_is_used_in_the_spelling_of_the_list(field: str, entry: object, expected: object) -> None:
    """Dates are day numbers counted from 30 December 1899 (common spreadsheet practice)."""
    assert used("row_state", **{field: entry}) == "ready"
    assert used(field, **{field: entry}) == expected


@pytest.mark.parametrize(
    ("field", "entry"),
    [
        ("market", "huge"),
        ("market", True),
        ("line_v", "240"),
        ("line_v", 230),
        ("service_a", True),
        ("range_kw", "12"),
        ("range_kw", True),
        ("range_kw", -0.1),
        ("range_kw", float("inf")),
        ("main_spaces", 20.5),
        ("main_spaces", 85),
        ("ambient_c", 85.1),
        ("moved_wire", 13),
        ("moved_wire", 12.5),
        ("visit_date", "15 March"),
        ("visit_date", True),
        ("job_no", "x" * 21),
    ],
)
def test_invalid_entry_stops_the_row(field: str, entry: object) -> None:
    expected = next(one.expected for one in load().job_fields if one.name == field)

    assert used(field, **{field: entry}) == "invalid"
    assert state(**{field: entry}) == f"error: {field} must be {expected}"


@pytest.mark.parametrize("blank", [None, float("nan"), "", pd.NA])
@pytest.mark.parametrize("beside", ["small", 3])
def test_every_blank_takes_the_default(blank: object, beside: object) -> None:
    """Whatever else stands in the column."""
    jobs = pd.DataFrame([PLAIN | {"range_kw": blank, "wall": blank}, PLAIN | {"job_no": "J2"}], dtype=object)
    jobs.loc[1, ["range_kw", "wall"]] = beside

    results = calculate(jobs)

    assert results.loc[0, ["row_state", "range_kw", "wall"]].tolist() == ["ready", 0.0, "drywall"]


@pytest.mark.parametrize(
    ("field", "entries", "expected"),
    [
        ("main_bus_a", {"service_a": 150}, 150.0),
        ("oven_count", {"oven_kw": 3}, 1.0),
        ("oven_count", {}, 0.0),
        ("other_fixed_count", {"other_fixed_kva": 0.5}, 1.0),
        ("other_fixed_neutral_kva", {"other_fixed_kva": 2.5}, 2.5),
        ("ev_count", {"ev_a": 32}, 1.0),
        ("add_heat_zones", {"add_heat_kw": 4}, 1.0),
        ("moved_breaker_a", {}, 20.0),
        ("moved_breaker_a", {"moved_wire": "10"}, 30.0),
        ("raceway_in", {"run_ft": 2}, 24.0),
        ("exposed_ft", {"run_ft": 50, "trench_ft": 20}, 30.0),
        ("exposed_ft", {"run_ft": 50, "trench_ft": 60}, 0.0),
        ("oven_count", {"oven_kw": "much"}, 0.0),
        ("main_bus_a", {"service_a": None}, 0.0),
        ("raceway_in", {"run_ft": -1}, 0.0),
        ("moved_breaker_a", {"moved_wire": "6"}, 0.0),
    ],
)
def test_default_that_comes_from_another_entry(field: str, entries: dict, expected: float) -> None:
    """Nothing where the other entry is missing or invalid."""
    assert used(field, **entries) == expected


@pytest.mark.parametrize(
    "field", ["largest_motor_kva", "metered_season_kva", "move_kva", "move_neutral_kva", "fault_ka"]
)
def test_optional_number_without_default_stays_blank(field: str) -> None:
    assert np.isnan(used(field))


def test_optional_word_without_default_stays_blank() -> None:
    assert used("option_wanted") == ""


@pytest.mark.parametrize(
    ("check", "broken", "fine"),
    [
        ("check_spaces_used", {"main_spaces": 20, "main_spaces_used": 21}, {"main_spaces_used": 30}),
        ("check_two_circuit", {"two_circuit_spaces": 29}, {"two_circuit_spaces": 28}),
        (
            "check_metered",
            {"load_method": "metered peak"},
            {"load_method": "metered peak", "metered_peak_kw": 0},
        ),
        (
            "check_optional",
            {"load_method": "dwelling optional", "service_a": 60},
            {"load_method": "dwelling optional", "service_a": 100},
        ),
        ("check_oven_count", {"oven_kw": 3, "oven_count": 0}, {"oven_kw": 0, "oven_count": 0}),
        ("check_other_count", {"other_fixed_kva": 1, "other_fixed_count": 0}, {"other_fixed_kva": 1}),
        ("check_ev_count", {"ev_a": 20, "ev_count": 0}, {"ev_a": 20, "ev_count": 1}),
        (
            "check_other_neutral",
            {"other_fixed_kva": 1, "other_fixed_neutral_kva": 1.1},
            {"other_fixed_kva": 1, "other_fixed_neutral_kva": 1},
        ),
        ("check_move_neutral", {"move_neutral_kva": 0}, {"move_kva": 2, "move_neutral_kva": 2}),
        (
            "check_move_neutral",
            {"move_kva": 2, "move_neutral_kva": 2.1},
            {"move_kva": 0, "move_neutral_kva": 0},
        ),
        ("check_move_continuous", {"move_continuous_kva": 1}, {"move_continuous_kva": 0}),
        (
            "check_move_continuous",
            {"move_kva": 2, "move_continuous_kva": 3},
            {"move_kva": 2, "move_continuous_kva": 2},
        ),
        (
            "check_cable_metal",
            {"wiring": "NM-B cable", "material": "aluminum"},
            {"wiring": "SER cable", "material": "aluminum"},
        ),
        (
            "check_cable_raceway",
            {"wiring": "MC cable", "moved_in_raceway": "yes"},
            {"wiring": "FMC", "moved_in_raceway": "yes"},
        ),
    ],
)
def test_check_between_entries(check: str, broken: dict, fine: dict) -> None:
    """A broken one stops the row with its rule; at its edge it holds."""
    assert used(check, **broken) == "invalid"
    assert state(**broken) == f"error: {load().rules[check].sentence}"
    assert used(check, **fine) == "ok"


@pytest.mark.parametrize(
    ("check", "entries"),
    [
        ("check_spaces_used", {"main_spaces": None}),
        ("check_metered", {"load_method": "metered peak", "metered_peak_kw": "much"}),
        ("check_optional", {"load_method": "dwelling optional", "service_a": None}),
        ("check_optional", {"load_method": "dwelling optional", "service_a": 60, "code_edition": 1999}),
        ("check_oven_count", {"oven_kw": 3, "oven_count": -1}),
        ("check_move_neutral", {"move_kva": -1, "move_neutral_kva": 1}),
        ("check_cable_metal", {"wiring": "NM-B cable", "material": "steel"}),
        ("check_cable_raceway", {"wiring": "rope", "moved_in_raceway": "yes"}),
    ],
)
def test_check_is_ok_where_an_entry_it_compares_is_not_valid(check: str, entries: dict) -> None:
    assert used(check, **entries) == "ok"


def test_same_job_number_twice_is_invalid_in_both_rows() -> None:
    jobs = pd.DataFrame([PLAIN | {"job_no": number} for number in ("a7", "A7", "b", "", "")])

    assert calculate(jobs)["check_job_no"].tolist() == ["invalid", "invalid", "ok", "", ""]


def test_number_as_job_number_is_taken_as_text() -> None:
    jobs = pd.DataFrame([PLAIN | {"job_no": 14.0}, PLAIN | {"job_no": "14"}], dtype=object)
    results = calculate(jobs)

    assert results["job_no"].tolist() == ["14", "14"]
    assert results["check_job_no"].tolist() == ["invalid", "invalid"]


def test_row_without_job_number_is_empty() -> None:
    jobs = pd.DataFrame([PLAIN, PLAIN | {"job_no": None, "range_kw": "much"}])
    row = calculate(jobs).iloc[1]

    assert all(cell == "" or cell != cell for cell in row)


def test_missing_names_the_first_field_and_counts_the_others() -> None:
    assert state(floor_area_ft2=None) == "missing: floor_area_ft2"
    assert state(market=None, service_a="", floor_area_ft2=None) == "missing: market (and 2 more)"
    assert used("market", market=None) == "missing"


def test_error_comes_before_missing_and_counts_fields_and_checks() -> None:
    """The first in the order of fields, then of checks."""
    assert state(market=None, wall="paper") == (
        "error: wall must be one of open framing, drywall, plaster, masonry"
    )
    assert state(oven_kw=3, oven_count=0, range_kw=-1, wall="paper") == (
        "error: wall must be one of open framing, drywall, plaster, masonry (and 2 more)"
    )
    assert state(oven_kw=3, oven_count=0, wiring="NM-B cable", material="aluminum") == (
        "error: oven_count must be 1 or more where oven_kw is more than 0 (and 1 more)"
    )


def test_row_that_is_not_ready_has_entries_and_checks_only() -> None:
    row = calculate(plain_job(range_kw="much", dryer_kw=5)).iloc[0]
    blank = [row[one.name] for one in load().rules.values() if one.sheet != "Inputs" and one.name in row]

    assert all(cell == "" or cell != cell for cell in [*blank, row["edition_index"]])
    assert (row["dryer_kw"], row["range_kw"], row["check_optional"]) == (5.0, "invalid", "ok")


def test_columns_that_are_not_there_are_blank() -> None:
    """The required ones are missed, in the order of the fields."""
    results = calculate(pd.DataFrame({"job_no": ["J1"]}))

    assert results["row_state"].tolist() == ["missing: house_age (and 5 more)"]


def test_column_that_is_no_field_is_refused() -> None:
    with pytest.raises(ValueError, match="no job fields: colour"):
        calculate(plain_job(colour="red"))


def test_frame_without_rows_gives_results_without_rows() -> None:
    assert len(calculate(plain_job().iloc[:0])) == 0


def test_parameter_can_be_replaced_for_all_editions() -> None:
    jobs = pd.DataFrame([PLAIN | {"job_no": f"J{e}", "code_edition": e} for e in (2017, 2026)])

    assert calculate(jobs)["lighting_va"].tolist() == [5400.0, 3600.0]
    assert calculate(jobs, overrides={"unit_load": 1})["lighting_va"].tolist() == [1800.0, 1800.0]


def test_replaced_parameter_counts_in_the_checks() -> None:
    jobs = plain_job(load_method="dwelling optional", service_a=100)

    assert calculate(jobs, overrides={"optional_minimum": 125})["check_optional"].tolist() == ["invalid"]


def test_size_parameter_can_be_replaced_by_text_or_number() -> None:
    jobs = plain_job(panel_place="other building", feeder_breaker_wanted_a=200, branch_limit_a=0)

    for size in ("4", 4):
        assert calculate(jobs, overrides={"rod_largest": size})["gec_size"].tolist() == ["4"]


def test_unknown_parameter_or_size_is_refused() -> None:
    with pytest.raises(ValueError, match="no parameters: luck"):
        calculate(plain_job(), overrides={"luck": 1})
    with pytest.raises(ValueError, match="no conductor size"):
        calculate(plain_job(), overrides={"rod_largest": "5"})


def test_faults_name_row_field_what_was_found_and_what_is_expected() -> None:
    jobs = pd.DataFrame(
        [
            PLAIN,
            PLAIN | {"job_no": "J2", "wall": "paper", "market": None, "oven_kw": 3, "oven_count": 0},
            {name: None for name in PLAIN},
            PLAIN | {"job_no": None, "range_kw": -1},
        ]
    )

    assert faults(jobs) == [
        Fault(1, "market", None, "one of small, medium, large", "missing"),
        Fault(1, "wall", "paper", "one of open framing, drywall, plaster, masonry", "error"),
        Fault(1, "oven_count", 0, "1 or more where oven_kw is more than 0", "error"),
        Fault(3, "job_no", None, "text of 1 to 20 characters", "missing"),
        Fault(3, "range_kw", -1, "a number of 0 or more kW", "error"),
    ]
