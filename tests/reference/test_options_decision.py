"""Which way is chosen, and what it is ranked by. The rules are the workbook's own; toy prices."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook_builder.code_tables.load import load
from workbook_builder.reference.run import calculate

from .jobs import feasible_jobs, plain_job, results_of
from .prices import books_with

SEEDS = st.integers(min_value=0, max_value=10**6)
WAYS = ("existing_spaces", "added_panel", "load_control", "larger_service")
REPLACED = "No: the present panel is to be replaced, not extended."


@pytest.mark.parametrize(
    ("entries", "chosen", "state", "said"),
    [
        ({}, "existing spaces", "OK", "The least costly way that works. Yes: 163 A and 2 spaces remain."),
        ({"option_wanted": "larger service"}, "larger service", "CHECK: a cheaper way works",
         "Wanted by the job. Yes, 225 A: 183 A and 14 spaces remain."),
        ({"option_wanted": "added panel"}, "added panel", "CHECK: a cheaper way works",
         "Wanted by the job. Yes: 163 A and 12 spaces remain."),
        ({"option_wanted": "existing spaces"}, "existing spaces", "OK",
         "Wanted by the job. Yes: 163 A and 2 spaces remain."),
        ({"option_wanted": "load control"}, "load control", "STOP: the way wanted does not work",
         "Wanted by the job. No: no vehicle supply is planned."),
        ({"panel_condition": "corroded or unlisted"}, "larger service", "OK",
         "The least costly way that works. Yes, 225 A: 183 A and 14 spaces remain."),
        ({"panel_condition": "corroded or unlisted", "service_a": 400}, "", "STOP: no way works as entered",
         "No way works as entered; see the four reasons."),
        ({"panel_condition": "corroded or unlisted", "service_a": 400, "option_wanted": "added panel"},
         "added panel", "STOP: the way wanted does not work", f"Wanted by the job. {REPLACED}"),
    ],
)  # fmt: skip
def test_the_way_chosen(entries: dict, chosen: str, state: str, said: str) -> None:
    """The smallest panel of the list has 12 spaces; the feeder breaker takes the two of the main panel."""
    row = results_of(**entries)

    assert (row["option_chosen"], row["option_state"], row["option_reason"]) == (chosen, state, said)


@pytest.mark.parametrize(
    ("entries", "spare"),
    [
        ({}, 163.5),
        ({"option_wanted": "added panel"}, 163.5),
        ({"option_wanted": "larger service"}, 183.75),
        ({"option_wanted": "load control"}, np.nan),
        ({"option_wanted": "larger service", "service_a": 400}, np.nan),
        ({"panel_condition": "corroded or unlisted", "service_a": 400}, np.nan),
        ({"option_wanted": "load control", "add_ev_a": 16, "main_spaces_used": 26}, 143.5),
        ({"option_wanted": "existing spaces", "add_other_kva": 100.25}, -43.0 / 12),
    ],
)
def test_spare_amperes_of_the_way_chosen(entries: dict, spare: float) -> None:
    """8760 VA of 220.83, 36.5 A; 9900 VA of 220.82, 41.25 A of 225 A; 16 A under control are 20 A; 48 860 VA is
    203.58 A. Blank without a way, without vehicle supply to control and without a larger rating."""
    row = results_of(**entries)

    assert row["chosen_spare_a"] == pytest.approx(spare, abs=1e-6, nan_ok=True)


@pytest.mark.parametrize(
    ("kva", "wanted", "margin"),
    [
        (90, None, "OK"),
        (93.3, None, "CHECK: the way chosen leaves little of the service"),
        (102.5, "larger service", "OK"),
        (104.5, "larger service", "CHECK: the way chosen leaves little of the service"),
        (90, "larger service", "OK"),
    ],
)
def test_margin_of_the_way_chosen(kva: float, wanted: str | None, margin: str) -> None:
    """220.83: 8000 + 40 % of (1900 + 93 300) is 46 080 VA, 192 A, so 8 A are under 5 % of 200 A. 220.82: 10 000 +
    40 % of (104 500 - 100) is 51 760 VA, 215.67 A, so 9.33 A are under 5 % of 225 A."""
    row = results_of(add_other_kva=kva, option_wanted=wanted)

    assert row["point_service_margin"] == margin


def test_equal_prices_take_the_first_way() -> None:
    """Nothing costs anything, but for a line that only some ways take."""
    job = plain_job(add_ev_a=16, main_spaces_used=26)
    full = plain_job(add_ev_a=16, main_spaces_used=30)
    backboard = books_with({"price_book": {"backboard": 1.0}}, rest=0.0)

    assert calculate(job, books=books_with(rest=0.0))["option_rank"].tolist() == ["existing spaces"]
    assert calculate(full, books=books_with(rest=0.0))["option_rank"].tolist() == ["added panel"]
    assert calculate(full, books=backboard)["option_rank"].tolist() == ["larger service"]


def test_a_wish_as_cheap_as_the_cheapest_is_no_check() -> None:
    wish = plain_job(option_wanted="larger service")
    same, dearer = (
        calculate(wish, books=books_with({"price_book": {"mast set": cost}}, rest=0.0)).iloc[0]
        for cost in (0.0, 1.0)
    )

    assert (same["option_rank"], same["chosen_rank_usd"], same["option_state"]) == ("existing spaces", 0, "OK")
    assert dearer["chosen_rank_usd"] == dearer["larger_service_price_usd"] > 1
    assert dearer["option_state"] == "CHECK: a cheaper way works"


def test_a_way_without_a_price_ranks_behind_all_prices_and_before_none() -> None:
    """A panel for which the book has no line: wanted buses need not be made."""
    row = results_of(main_spaces_used=30, add_1pole=2, added_bus_wanted_a=150, panel_condition="sound")
    unpriced = load().books.settings["unpriced_usd"].value

    assert (row["added_panel_feasible"], row["added_missing"]) == ("yes", 1)
    assert np.isnan(row["added_panel_price_usd"])
    assert (row["added_panel_rank_usd"], row["load_control_rank_usd"]) == (unpriced, 2 * unpriced)
    assert row["option_rank"] == "larger service"


def test_no_way_has_no_rank() -> None:
    row = results_of(panel_condition="corroded or unlisted", service_a=400)

    assert np.isnan(row["chosen_rank_usd"])
    assert np.isnan(row[["material_usd", "labour_hours", "price_likely_usd", "price_low_usd"]].astype(float)).all()


@given(seed=SEEDS)
@settings(max_examples=8, deadline=None)
def test_the_way_chosen_is_never_dearer_than_another_that_works(seed: int) -> None:
    """With any labour units."""
    draw = np.random.default_rng(seed)
    units = {key: float(draw.integers(0, 6)) for key in load().books.keys("labour_units")}
    jobs = feasible_jobs(200, seed).assign(option_wanted=None)
    results = calculate(jobs, books=books_with({"labour_units": units}, settings={"unpriced_usd": 1e9}))
    results = results[results["row_state"] == "ready"]
    chosen = results["option_chosen"].str.replace(" ", "_")
    works = results[[f"{way}_feasible" for way in WAYS]].eq("yes").to_numpy()
    costs = results[[f"{way}_price_usd" for way in WAYS]].to_numpy()

    assert (works.any(axis=1) == (chosen != "")).all()
    for row in np.flatnonzero(works.any(axis=1)):
        place = WAYS.index(chosen.iloc[row])
        assert works[row, place]
        assert costs[row, place] == np.nanmin(costs[row, works[row]]) == results["lowest_rank_usd"].iloc[row]
