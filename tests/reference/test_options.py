"""The four ways and their reasons. The rules are the workbook's own; toy numbers."""

from __future__ import annotations

import re

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook_builder.code_tables.load import load
from workbook_builder.reference.run import calculate, plan

from .jobs import feasible_jobs, plain_job, quoted_words, random_jobs, results_of

SEEDS = st.integers(min_value=0, max_value=10**6)
WAYS = ("existing_spaces", "added_panel", "load_control", "larger_service")
REPLACED = "No: the present panel is to be replaced, not extended."
RULES = load().rules


NOT_PERMITTED = "No: a short record is not permitted beside a source."
OVER_THE_TABLE = "No: a cooking unit is over the demand table."
NO_SERVICE = "No: no service up to 400 A carries load and sources."
SHORT_RECORD = {
    "load_method": "metered peak", "existing_source": "yes", "metered_peak_kw": 9, "metered_days": 364,
}  # fmt: skip


def reason(way: str, **entries: object) -> str:
    return results_of(**entries)[f"{way}_reason"]


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        ({}, "Yes: 163 A and 2 spaces remain."),
        ({"panel_condition": "crowded"}, "Yes: 163 A and 2 spaces remain."),
        ({"panel_condition": "corroded or unlisted", "panel_place": "other building"}, REPLACED),
        ({"panel_place": "other building"}, "No: the loads stand in another building."),
        ({"add_other_kva": 100.25}, "No: the service is short by 4 A."),
        ({"main_spaces_used": 29, "add_2pole": 1}, "No: the breakers need 1 more full spaces."),
        ({"main_spaces_used": 30, "add_1pole": 2}, "No: spaces are short by 3 for the growth wanted."),
        ({"add_1pole": 2}, "No: spaces are short by 1 for the growth wanted."),
        ({"add_1pole": 2, "growth_percent": 0}, "Yes: 163 A and 0 spaces remain."),
        ({"add_1pole": 2, "two_circuit_spaces": 1}, "Yes: 163 A and 1 spaces remain."),
        ({"main_spaces_used": 30, "add_2pole": 1, "two_circuit_spaces": 1}, "No: the breakers need 1 more full spaces."),
        ({"main_spaces_used": 30, "add_2pole": 1, "two_circuit_spaces": 3}, "Yes: 163 A and 1 spaces remain."),
        ({"main_spaces_used": 20, "pv_output_a": 33}, "No: the main bus or the inlet stops the sources."),
        ({"main_spaces_used": 20, "pv_output_a": 32}, "Yes: 163 A and 8 spaces remain."),
        ({"main_spaces_used": 20, "pv_output_a": 32, "source_at": "added panel elsewhere", "added_bus_wanted_a": 60},
         "Yes: 163 A and 8 spaces remain."),
        ({**SHORT_RECORD, "panel_condition": "corroded or unlisted"}, NOT_PERMITTED),
        ({"add_range_kw": 27.1, "panel_place": "other building"}, OVER_THE_TABLE),
        ({"main_spaces_used": 20, "generator_inlet_a": 30}, "No: the main bus or the inlet stops the sources."),
    ],
)  # fmt: skip
def test_reasons_of_existing_spaces(entries: dict, said: str) -> None:
    """1800 ft2: 5400 + 3000 + 1500 VA, 8000 whole and 40 % of 1900: 8760 VA, 36.5 A of 200 A.

    With 100 250 VA more, 40 % of 102 150: 48 860 VA, 203.6 A.
    """
    assert reason("existing_spaces", **entries) == said


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        ({"panel_condition": "corroded or unlisted"}, REPLACED),
        ({"panel_condition": "corroded or unlisted", "add_other_kva": 100.25, "planned_in": "main panel"},
         "No: the service is short by 4 A."),
        ({"feeder_breaker_wanted_a": 65}, "No: the breaker is no standard rating."),
        ({"move_1pole": 31, "feeder_breaker_wanted_a": 65},
         "No: more circuits would have to move than the main panel holds."),
        ({"add_1pole": 8, "added_spaces_wanted": 7}, "No: the added panel has fewer spaces than circuits."),
        ({"add_1pole": 8, "added_spaces_wanted": 8}, "No: spaces are short by 2 for the growth wanted."),
        ({"add_1pole": 8, "added_spaces_wanted": 10}, "Yes: 163 A and 2 spaces remain."),
        ({"generator_inlet_a": 30}, "No: a bus or the inlet stops the sources."),
        ({"moved_three_wire": "yes", "move_2pole": 1, "room": "bathroom"},
         "No: a three-wire range or dryer circuit stays at the service or is rewired."),
        ({"room": "bathroom"}, "No: no overcurrent device in this room."),
        ({"pv_output_a": 48.1, "source_at": "added panel far end", "feeder_at": "far end", "main_bus_a": 400,
          "terminals": "75 C", "added_bus_wanted_a": 100}, "No: a bus or the inlet stops the sources."),
        ({"pv_output_a": 48.1, "source_at": "added panel far end", "feeder_at": "far end", "main_bus_a": 400,
          "terminals": "75 C"}, "Yes: 163 A and 10 spaces remain."),
        ({"pv_output_a": 32, "source_at": "added panel far end"}, "No: a bus or the inlet stops the sources."),
        (SHORT_RECORD, NOT_PERMITTED),
        ({"add_range_kw": 27.1, "feeder_breaker_wanted_a": 65}, OVER_THE_TABLE),
    ],
)  # fmt: skip
def test_reasons_of_an_added_panel(entries: dict, said: str) -> None:
    assert reason("added_panel", **entries) == said


EV = {"add_ev_a": 48, "add_other_kva": 75, "planned_in": "added panel"}
"""8000 + 0.4 x (1900 + 75 000) = 38 760 VA without the vehicle: 161.5 A, 38.5 A spare of 200 A."""


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        ({}, "No: no vehicle supply is planned."),
        ({**EV, "main_spaces_used": 26}, "Yes, at a set point of 30 A: 1 A and 2 spaces remain."),
        ({**EV, "main_spaces_used": 26, "ev_limit_a": 20.9}, "Yes, at a set point of 20 A: 12 A and 2 spaces remain."),
        ({**EV, "main_spaces_used": 26, "ev_limit_a": 32}, "No: the service is short by 2 A even so."),
        ({**EV, "add_ev_count": 6}, "No: the set point leaves less than 6 A to each vehicle."),
        ({**EV, "add_ev_count": 5, "main_spaces_used": 16}, "Yes, at a set point of 30 A: 1 A and 4 spaces remain."),
        ({"add_ev_a": 48, "panel_condition": "corroded or unlisted"}, REPLACED),
        ({"add_ev_a": 16, "main_spaces_used": 20, "add_range_kw": 27.1}, OVER_THE_TABLE),
    ],
)  # fmt: skip
def test_reasons_of_load_control(entries: dict, said: str) -> None:
    """38.5 A over 1.25 are 30.8 A: 30 A, and 200 - 161.5 - 37.5 = 1 A remains."""
    assert reason("load_control", **entries) == said


def test_load_control_takes_an_added_panel_where_spaces_are_short() -> None:
    near = results_of(add_ev_a=16, main_spaces_used=26)
    short = results_of(add_ev_a=16, main_spaces_used=30)

    for row, control_in_main, package in ((near, "yes", "existing"), (short, "no", "added")):
        taken = row[["common_package_usd", "control_package_usd", f"{package}_package_usd"]].sum()
        assert row["control_in_main"] == control_in_main
        assert row["load_control_price_usd"] == pytest.approx(taken, abs=0.006)
    assert short["load_control_spare_spaces"] == short["added_panel_spare_spaces"]


@pytest.mark.parametrize(
    ("entries", "control"),
    [
        ({}, "yes"),
        ({"panel_place": "other building"}, "no"),
        ({"panel_condition": "corroded or unlisted"}, "no"),
        ({"add_range_kw": 27.1}, "no"),
        ({"main_spaces_used": 29}, "no"),
        ({"main_spaces_used": 27}, "yes"),
        ({"main_spaces_used": 28}, "no"),
        ({"main_spaces_used": 27, "two_circuit_spaces": 1, "growth_percent": 100}, "yes"),
        ({"main_spaces_used": 27, "growth_percent": 51}, "no"),
        ({"main_spaces_used": 20, "pv_output_a": 32}, "yes"),
        ({"main_spaces_used": 20, "pv_output_a": 32, "source_at": "added panel far end"}, "yes"),
        ({"main_spaces_used": 20, "pv_output_a": 32.1}, "no"),
        ({"generator_inlet_a": 30, "main_spaces_used": 20}, "no"),
    ],
)
def test_load_control_in_the_present_panel(entries: dict, control: str) -> None:
    """Two spaces for a vehicle supply, and with a quarter of growth one that is spare."""
    row = results_of(**{"add_ev_a": 16, "main_spaces_used": 26} | entries)

    assert row["control_in_main"] == control


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        ({}, "Yes, 225 A: 183 A and 14 spaces remain."),
        ({"service_a": 60}, "Yes, 100 A: 58 A and 14 spaces remain."),
        ({"service_a": 320}, "Yes, 400 A: 358 A and 14 spaces remain."),
        ({"service_a": 400}, NO_SERVICE),
        ({"main_spaces": 84, "main_spaces_used": 41, "add_1pole": 1}, "No: spaces are short by 1 for the growth wanted."),
        ({"main_spaces": 84, "main_spaces_used": 41, "add_1pole": 1, "growth_percent": 0},
         "Yes, 225 A: 183 A and 0 spaces remain."),
        ({"pv_output_a": 36}, "Yes, 225 A: 183 A and 12 spaces remain."),
        ({"pv_output_a": 36.1}, "Yes, 300 A: 258 A and 12 spaces remain."),
        ({"pv_output_a": 64, "source_at": "main panel elsewhere"}, "Yes, 400 A: 358 A and 12 spaces remain."),
        ({"pv_output_a": 64.1}, NO_SERVICE),
        ({"pv_output_a": 64.1, "source_limit_a": 36}, "Yes, 225 A: 183 A and 12 spaces remain."),
        ({"pv_output_a": 36.1, "source_at": "added panel far end"}, "Yes, 300 A: 258 A and 12 spaces remain."),
        ({"pv_output_a": 200, "storage_output_a": 26, "source_at": "supply side"},
         "Yes, 300 A: 258 A and 14 spaces remain."),
        ({**SHORT_RECORD, "service_a": 400}, NOT_PERMITTED),
        ({"add_range_kw": 27.1, "panel_place": "other building", "feeder_breaker_wanted_a": 65}, OVER_THE_TABLE),
        ({"generator_inlet_a": 30}, "No: an inlet needs a listed interlock or transfer equipment."),
        ({"panel_condition": "corroded or unlisted"}, "Yes, 225 A: 183 A and 14 spaces remain."),
    ],
)  # fmt: skip
def test_reasons_of_a_larger_service(entries: dict, said: str) -> None:
    """220.82 under its first step: 9900 VA, 41.25 A; sources of 36 A are 45 A, a fifth of 225 A."""
    assert reason("larger_service", **entries) == said


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        ({}, "Yes, 225 A and the added panel: 183 A and 24 spaces remain."),
        ({"main_spaces": 42, "main_spaces_used": 40}, "Yes, 225 A and the added panel: 183 A and 12 spaces remain."),
        ({"add_1pole": 4}, "Yes, 225 A and the added panel: 183 A and 20 spaces remain."),
        ({"main_spaces": 54, "main_spaces_used": 52, "add_1pole": 4}, "No: spaces are short by 5 for the growth wanted."),
        ({"feeder_breaker_wanted_a": 65}, "No: the breaker is no standard rating."),
        ({"feeder_breaker_wanted_a": 65, "service_a": 400}, NO_SERVICE),
        ({"move_1pole": 31, "main_spaces_used": 30}, "No: more circuits would have to move than the main panel holds."),
        ({"pv_output_a": 36, "source_at": "added panel elsewhere", "added_bus_wanted_a": 100, "terminals": "75 C"},
         "No: the added bus is too small for the sources."),
        ({"pv_output_a": 36, "source_at": "added panel elsewhere", "added_bus_wanted_a": 100, "terminals": "75 C",
          "generator_inlet_a": 30}, "No: an inlet needs a listed interlock or transfer equipment."),
        ({"pv_output_a": 36, "source_at": "added panel elsewhere", "terminals": "75 C"},
         "Yes, 225 A and the added panel: 183 A and 22 spaces remain."),
    ],
)  # fmt: skip
def test_a_larger_service_keeps_the_panel_of_another_building(entries: dict, said: str) -> None:
    """A panel of 12 spaces there; the new main panel has 42, 12 more than the present one with 30."""
    assert reason("larger_service", panel_place="other building", **entries) == said


def test_without_an_added_panel_another_building_has_no_spare_spaces() -> None:
    row = results_of(panel_place="other building", move_kva=500)

    assert row[["added_panel_spare_spaces", "larger_service_spare_spaces"]].isna().all()
    assert row["larger_service_reason"].startswith("No: ")


@pytest.mark.parametrize(
    ("entries", "needed", "rating"),
    [
        ({"service_a": 100}, 0, 125),
        ({"service_a": 100, "pv_output_a": 16}, 100, 125),
        ({"service_a": 100, "pv_output_a": 32}, 200, 200),
        ({"service_a": 100, "pv_output_a": 40}, 250, 300),
        ({"service_a": 100, "pv_output_a": 40, "source_limit_a": 20}, 125, 125),
        ({"service_a": 100, "pv_output_a": 40, "source_at": "added panel elsewhere"}, 250, 300),
        ({"service_a": 100, "pv_output_a": 130, "source_at": "supply side"}, 130, 150),
        ({"service_a": 300, "pv_output_a": 51.2}, 320, 320),
        ({"service_a": 300, "pv_output_a": 70}, 437.5, np.nan),
    ],
)
def test_larger_service_takes_the_sources_at_the_far_end_of_its_bus(
    entries: dict, needed: float, rating: float
) -> None:
    """A 200 A bus behind 200 A takes a 40 A breaker, 32 A of output (page of the 120 percent rule); by its
    arithmetic 40 A of output need 1.25 x 40 / 0.2 = 250 A."""
    row = results_of(**entries)

    assert row["new_service_source_a"] == pytest.approx(needed)
    assert row["new_service_a"] == pytest.approx(rating, nan_ok=True)


def test_a_bus_rate_that_adds_nothing_takes_no_source_at_any_service() -> None:
    solar, none = (
        calculate(plain_job(pv_output_a=output), overrides={"bus_far_end_rate": 1.0}).iloc[0]
        for output in (1, 0)
    )

    assert (solar["new_service_source_a"], none["new_service_source_a"]) == (800, 0)
    assert np.isnan(solar["new_service_a"])
    assert none["new_service_a"] == 225


SMALL = "No: the service wanted is too small; {} A is needed."


@pytest.mark.parametrize(
    ("entries", "wanted", "said"),
    [
        ({}, 200, SMALL.format(225)),
        ({}, 225, "Yes, 225 A: 183 A and 14 spaces remain."),
        ({}, 320, "Yes, 320 A: 278 A and 14 spaces remain."),
        ({}, 400, "Yes, 400 A: 358 A and 14 spaces remain."),
        ({"service_a": 100}, 100, SMALL.format(125)),
        ({"service_a": 60}, 100, "Yes, 100 A: 58 A and 14 spaces remain."),
        ({"pv_output_a": 36.1}, 225, SMALL.format(300)),
        ({"pv_output_a": 36.1}, 300, "Yes, 300 A: 258 A and 12 spaces remain."),
        ({"service_a": 400}, 400, NO_SERVICE),
        ({"panel_place": "other building", "feeder_breaker_wanted_a": 65}, 200, SMALL.format(225)),
        ({"main_spaces": 84, "main_spaces_used": 41, "add_1pole": 1}, 200, SMALL.format(225)),
        ({"add_range_kw": 27.1}, 200, OVER_THE_TABLE),
    ],
)
def test_a_larger_service_of_the_rating_wanted(entries: dict, wanted: int, said: str) -> None:
    """As wanted where it carries load and sources, over the present one; else nothing is made larger silently."""
    assert reason("larger_service", new_service_wanted_a=wanted, **entries) == said
    wish = results_of(new_service_wanted_a=wanted, **entries)["larger_wish_stop"]
    assert (wish == said) is said.startswith("No: the service wanted")


def test_the_position_of_a_larger_service_is_that_in_the_ratings_offered() -> None:
    """60, 100, 125, 150, 200, 225, 300, 320, 400: counted by hand; past the end the tenth."""
    found = [
        results_of(service_a=service, new_service_wanted_a=wanted)["new_service_index"]
        for service, wanted in ((60, None), (100, None), (100, 150), (200, 225), (320, None), (400, None), (400, 100))
    ]

    assert found == [2, 3, 4, 6, 9, 10, 10]


@pytest.mark.parametrize(("largest", "rating"), [(400, 225), (225, 225), (224, np.nan)])
def test_no_service_over_the_largest_is_offered(largest: float, rating: float) -> None:
    row = calculate(plain_job(), overrides={"largest_service": largest}).iloc[0]

    assert row["new_service_a"] == pytest.approx(rating, nan_ok=True)


@pytest.mark.parametrize(
    ("service", "rating", "copper", "aluminum"),
    [(100, 125, "2", "1/0"), (125, 150, "1", "2/0"), (150, 200, "2/0", "4/0"), (200, 225, "3/0", "250"),
     (225, 300, "250", "350"), (300, 320, "350", "500"), (320, 400, "400", "600"), (60, 100, "4", "2"),
     (400, np.nan, "", "")],
)  # fmt: skip
def test_conductors_of_the_larger_service(service: int, rating: float, copper: str, aluminum: str) -> None:
    """83 percent of the rating in the 75 C column, as Table 310.12 prints it; 320 A takes the row of 350 A."""
    rows = [results_of(service_a=service, material=metal) for metal in ("copper", "aluminum")]

    np.testing.assert_array_equal([row["new_service_a"] for row in rows], [rating, rating])
    assert [row["service_conductor_size"] for row in rows] == [copper, aluminum]


def quoted(rules: tuple[str, ...]) -> list[re.Pattern]:
    """The sentences in quotation marks of some rules, with any number where a letter stands for one."""
    texts = {text for name in rules for text in re.findall(r'"([^"]+\.)"', RULES[name].sentence)}
    return [re.compile(re.sub(r"\b[NMSRK]\b", r"-?\\d+", re.escape(text))) for text in texts]


@pytest.mark.parametrize(
    ("way", "rules"),
    [
        ("existing_spaces", ("existing_spaces_reason", "existing_place_stop", "existing_room_stop")),
        ("added_panel", ("added_panel_reason", "added_ways_stop")),
        ("load_control", ("load_control_reason", "load_control_stop", "set_point_stop", "added_ways_stop")),
        ("larger_service", ("larger_service_reason", "larger_size_stop", "larger_wish_stop", "larger_source_stop")),
    ],
)
def test_reasons_are_the_sentences_of_their_rules(way: str, rules: tuple[str, ...]) -> None:
    """Letter for letter; a stop of the design stands between No and the full stop."""
    results = calculate(pd.concat([random_jobs(3000, seed=11), feasible_jobs(1000, seed=12)]))
    said = set(results[f"{way}_reason"]) - {""}
    stops = {f"No: {words}." for words in plan().words["added_design_stop"]} | set(plan().words["data_stop"])
    patterns = quoted((*rules, "replace_stop"))

    assert len(said) > 10
    assert [text for text in said - stops if not any(one.fullmatch(text) for one in patterns)] == []


def test_stops_of_the_load_are_those_of_its_states() -> None:
    """The first one in the order of the rule; nothing is judged without it."""
    states = re.findall(r"\w+_state", RULES["load_stop"].sentence)
    words = [word for state in states for word in quoted_words(state) if word.startswith("STOP: ")]

    assert len(states) == 3
    assert list(plan().words["data_stop"]) == [f"No: {word.removeprefix('STOP: ')}." for word in words]

    row = results_of(**SHORT_RECORD, add_range_kw=27.1)
    assert row["data_stop"] == row["replace_stop"] == NOT_PERMITTED
    assert set(row[[f"{way}_feasible" for way in WAYS]]) == {"no"}
    assert row["option_state"] == "STOP: no way works as entered"

    assert results_of()["data_stop"] == results_of()["replace_stop"] == ""


def test_stops_of_the_design_are_those_of_its_states() -> None:
    parts = re.findall(r"design_stop_\w+", RULES["added_design_stop"].sentence)
    states = [state for part in parts for state in re.findall(r"\w+_state", RULES[part].sentence)]
    words = [word for state in states for word in quoted_words(state)]
    quotes = [word.removeprefix("STOP: ") for word in words if word.startswith("STOP")]

    assert len(states) == 11
    assert set(plan().words["added_design_stop"]) == set(quotes)


@given(seed=SEEDS)
@settings(max_examples=8, deadline=None)
def test_feasible_says_yes_and_leaves_what_is_wanted(seed: int) -> None:
    results = calculate(feasible_jobs(200, seed))
    results = results[results["row_state"] == "ready"]
    for way in WAYS:
        yes = results[f"{way}_feasible"] == "yes"
        works = results[yes]

        assert (results[f"{way}_reason"].str.startswith("Yes") == yes).all()
        assert (works[f"{way}_spare_a"] >= 0).all()
        assert (works[f"{way}_spare_spaces"] >= works["spare_wanted"]).all()


@pytest.mark.parametrize(
    ("field", "more"), [("floor_area_ft2", 700.0), ("move_kva", 6.0), ("add_other_kva", 5.0)]
)
@given(seed=SEEDS)
@settings(max_examples=8, deadline=None)
def test_more_load_never_makes_an_added_panel_feasible(field: str, more: float, seed: int) -> None:
    """Without sources, inlet and planned loads in the main panel.

    A larger feeder takes a larger bus and with it a larger panel, which could take a source, or leave
    the spaces wanted for breakers in the main panel, where the smaller one does not.
    """
    jobs = feasible_jobs(200, seed).assign(
        pv_output_a=0.0,
        storage_output_a=0.0,
        generator_inlet_a=0.0,
        planned_in="added panel",
        drop_governs="no",
    )
    jobs[field] = jobs[field].fillna(0.0)
    before = calculate(jobs)
    after = calculate(jobs.assign(**{field: jobs[field] + more}))
    ready = (before["row_state"] == "ready") & (after["row_state"] == "ready")

    assert (before["added_panel_feasible"] == "yes").any()
    assert not (
        ready & (before["added_panel_feasible"] == "no") & (after["added_panel_feasible"] == "yes")
    ).any()
