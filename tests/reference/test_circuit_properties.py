"""What holds for any list of circuits: order, blanks and other jobs do not matter."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook_builder.code_tables.load import load
from workbook_builder.reference import run
from workbook_builder.reference.registry import registered
from workbook_builder.reference.run import calculate, calculate_all

from .circuits import random_circuits
from .jobs import by_themselves, random_jobs

SEEDS = st.integers(min_value=0, max_value=10**6)
JOBS, ROWS = 12, 90
BY_ROW = (
    "group_earlier", "move_order", "freed_before", "move_suggested", "leaves", "leaves_key", "to_place", "group_first",
    "shared_before", "single_before", "place_order", "two_pole_rows", "suggested_position",
    "suggested_key", "suggested_second_key", "suggested_taken", "suggested_state",
)  # fmt: skip
"""Results in which an earlier row goes first where nothing else decides."""

BY_ROW_OF_A_JOB = (
    "suggested_moves", "list_state", "listed_suggested_checks", "point_list", "point_suggested",
    "checks_open", "job_status", "first_finding",
)  # fmt: skip
"""One circuit with two poles may be suggested in place of two with one."""


def drawn(seed: int) -> tuple[pd.DataFrame, pd.DataFrame]:
    jobs = random_jobs(JOBS, seed).assign(main_spaces_used=30, main_spaces=30)
    return jobs, random_circuits(ROWS, JOBS, seed)


def test_random_circuits_reach_every_state_and_every_choice() -> None:
    jobs = random_jobs(40, seed=1).assign(main_spaces=30, main_spaces_used=30, moved_ext_ft=9.0)
    _, circuits = calculate_all(jobs, random_circuits(900, jobs=40, seed=1))

    assert 0.3 < (circuits["circuit_state"] == "ready").mean() < 0.95
    for name, one in load().rules.items():
        if one.sheet == "Circuit check" and one.kind in ("state", "choice"):
            assert set(registered()[name].words) <= set(circuits[name]), name


@given(seed=SEEDS)
@settings(max_examples=12, deadline=None)
def test_order_of_circuits_changes_nothing_but_ties(seed: int) -> None:
    jobs, circuits = drawn(seed)
    shuffled = circuits.sample(frac=1.0, random_state=seed % 1000)
    before, after = calculate_all(jobs, circuits), calculate_all(jobs, shuffled)

    pd.testing.assert_frame_equal(
        *(found[0].drop(columns=list(BY_ROW_OF_A_JOB)) for found in (before, after))
    )
    pd.testing.assert_frame_equal(
        before[1].drop(columns=list(BY_ROW)), after[1].loc[circuits.index].drop(columns=list(BY_ROW))
    )


@given(seed=SEEDS)
@settings(max_examples=12, deadline=None)
def test_circuits_of_one_job_change_no_other_job(seed: int) -> None:
    jobs, circuits = drawn(seed)
    own = circuits["job_no"] == "J3"
    without = circuits.astype(object).where(~own, None)
    before, after = calculate_all(jobs, circuits), calculate_all(jobs, without)
    others = jobs["job_no"] != "J3"

    pd.testing.assert_frame_equal(by_themselves(before[0][others]), by_themselves(after[0][others]))
    pd.testing.assert_frame_equal(before[1][~own], after[1][~own], check_dtype=False)


@given(seed=SEEDS)
@settings(max_examples=8, deadline=None)
def test_job_without_circuits_has_the_results_it_has_without_a_list(seed: int) -> None:
    jobs, circuits = drawn(seed)
    listed = circuits[circuits["job_no"] != "J5"]
    bare = jobs["job_no"] == "J5"

    pd.testing.assert_frame_equal(
        by_themselves(calculate_all(jobs, listed)[0][bare]), by_themselves(calculate(jobs)[bare])
    )


@given(seed=SEEDS)
@settings(max_examples=8, deadline=None)
def test_blank_rows_of_the_list_change_nothing(seed: int) -> None:
    jobs, circuits = drawn(seed)
    spread = circuits.set_index(circuits.index * 2).reindex(range(2 * len(circuits)))
    before, after = calculate_all(jobs, circuits), calculate_all(jobs, spread)
    filled = after[1].iloc[::2].reset_index(drop=True)

    pd.testing.assert_frame_equal(before[0], after[0])
    pd.testing.assert_frame_equal(
        before[1].drop(columns="group_first"), filled.drop(columns="group_first"), check_dtype=False
    )
    assert after[1].iloc[1::2].replace("", np.nan).isna().all(axis=None)


@given(seed=SEEDS)
@settings(max_examples=8, deadline=None)
def test_sums_of_the_list_are_those_of_its_ready_rows(seed: int) -> None:
    jobs, circuits = drawn(seed)
    results, rows = calculate_all(jobs, circuits)
    ready = rows[rows["circuit_state"] == "ready"]
    for name, counted in (
        ("listed_moves", ready["action"] == "move"),
        ("listed_move_va", ready["circuit_va"].where(ready["action"] == "move", 0.0)),
        ("listed_leg_a_va", ready["added_leg_a_va"]),
        ("listed_stops", ready["circuit_stop"] == "yes"),
        (
            "listed_removed",
            ready["poles"].where((ready["action"] == "remove") & (ready["panel"] == "main"), 0.0),
        ),
        ("suggested_moves", ready["move_suggested"] == "yes"),
    ):
        sums = counted.astype(float).groupby(ready["circuit_job_row"]).sum()
        expected = sums.reindex(range(1, len(jobs) + 1), fill_value=0.0).where(
            (results["row_state"] == "ready").to_numpy()
        )

        assert results[name].fillna(-1).tolist() == expected.fillna(-1).tolist(), name


@given(seed=SEEDS)
@settings(max_examples=12, deadline=None)
def test_suggestions_free_enough_spaces_and_no_more_than_the_last_one_needs(seed: int) -> None:
    jobs, circuits = drawn(seed)
    results, rows = calculate_all(jobs, circuits)
    for number, job in enumerate(results.itertuples(), start=1):
        own = rows[(rows["circuit_job_row"] == number) & (rows["may_move"] == "yes")]
        chosen = own[own["move_suggested"] == "yes"].sort_values("move_order")
        short = job.circuits_to_move - job.listed_freed
        poles = chosen["poles"].astype(float)

        assert own["move_order"].sort_values().tolist() == list(range(1, len(own) + 1))
        assert len(chosen) == len(own) or not poles.sum() < short
        assert len(chosen) == 0 or poles.iloc[:-1].sum() < short


@given(seed=SEEDS)
@settings(max_examples=12, deadline=None)
def test_no_two_circuits_are_suggested_for_one_space(seed: int) -> None:
    jobs, circuits = drawn(seed)
    rows = calculate_all(jobs, circuits)[1]
    placed = rows[rows["to_place"] == "yes"]
    second = placed[placed["poles"] == 2].assign(suggested_position=lambda one: one["suggested_position"] + 2)
    spaces = pd.concat([placed, second])[["circuit_job_row", "suggested_position"]]

    assert not spaces.duplicated().any()
    assert spaces["suggested_position"].notna().all()


def test_blocks_of_jobs_do_not_show_in_the_circuits(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ready and other jobs, with and without circuits, in blocks that end within both."""
    jobs = random_jobs(50, seed=3)
    jobs.loc[[3, 17, 18, 19, 20, 49], "service_a"] = np.nan
    circuits = random_circuits(200, 50, seed=3)
    circuits = circuits[~circuits["job_no"].isin([f"J{number}" for number in range(24, 33)])]
    whole = calculate_all(jobs, circuits)
    monkeypatch.setattr(run, "BLOCK", 4)

    for before, after in zip(whole, calculate_all(jobs, circuits), strict=True):
        pd.testing.assert_frame_equal(before, after)
