"""Checks and readings of whole jobs: what was typed reaches them, and their results are those of the columns."""

from __future__ import annotations

import numpy as np
import pytest

from workbook_builder.reference.checks_result import POINTS
from workbook_builder.reference.run import calculate

from .circuits import ADDED, listed
from .jobs import random_jobs, results_of

ADDED_PANEL = {"option_wanted": "added panel"}
SOUND = {"l1_l2_v": 240, "l1_n_v": 120, "l2_n_v": 120, "l1_g_v": 120, "l2_g_v": 120, "n_g_v": 0}


def open_points(**entries: object) -> dict[str, str]:
    """The checks that a job with these entries has beyond the same job without them."""
    row, plain = results_of(**ADDED_PANEL, **entries), results_of(**ADDED_PANEL)
    return {name: row[name] for name in POINTS if row[name] != plain[name]}


def test_records_count_from_the_first_reading() -> None:
    """A blank entry is not a no."""
    assert open_points(**SOUND) == {
        "point_dead_test": "CHECK: record that absence of voltage was proved",
        "point_neutral_apart": "CHECK: record that neutral and ground are apart",
        "point_torque": "CHECK: record the torque of the terminations",
    }


@pytest.mark.parametrize("readings", [{}, SOUND])
def test_records_of_yes_and_no(readings: dict) -> None:
    records = ("dead_test_done", "neutral_isolated", "torque_logged")

    assert open_points(**dict.fromkeys(records, "yes"), **readings) == {}
    assert open_points(**dict.fromkeys(records, "no"), **readings) == {
        "point_dead_test": "STOP: nobody works before absence of voltage is proved",
        "point_neutral_apart": "STOP: neutral and ground are joined in the added panel",
        "point_torque": "STOP: terminations not torqued",
    }


def test_lost_neutral_stops_the_job() -> None:
    """90 V and 150 V with 240 V between: common practice, no source."""
    row = results_of(dead_test_done="yes", **SOUND | {"l1_n_v": 90, "l2_n_v": 150})

    assert (row["legs_apart_v"], row["legs_sum_holds"]) == (60, "yes")
    assert row["lost_neutral_reading"] == "STOP: lost neutral: one leg high, the other low"
    assert row["first_finding"] == "STOP: a reading is off, see Readings"
    assert (row["stops"], row["job_status"]) == (1, "STOP")


def test_checks_of_listed_circuits() -> None:
    """A breaker of 30 A on 14 AWG, and one that came from a space that the panel does not have."""
    wire = {"wire": "14", "breaker_a": 30}
    beyond = {"panel": "added", "action": "move", "from_position": 40}
    row, circuits = listed(wire, wire, beyond, ADDED, main_spaces=30)
    counts = ("listed_from_checks", "listed_wire_checks", "listed_suggested_checks")
    by_state = [
        circuits[state].str.startswith("CHECK").sum()
        for state in ("from_state", "wire_state", "suggested_state")
    ]

    assert [row[name] for name in counts] == by_state
    assert by_state[:2] == [1, 2]
    assert row["point_came_from"].startswith("CHECK")
    assert row["point_wires"].startswith("CHECK")


def test_result_is_that_of_the_checks() -> None:
    """Random jobs, each judged by a plain loop over its printed checks."""
    jobs = calculate(random_jobs(300, seed=3))
    ready = jobs[jobs["row_state"] == "ready"]

    assert len(ready) > 100
    for _, row in ready.iterrows():
        found = [row[name] for name in POINTS]
        stops = [word for word in found if word.startswith("STOP")]
        checks = [word for word in found if word.startswith("CHECK")]
        assert (row["stops"], row["checks_open"]) == (len(stops), len(checks))
        assert row["job_status"] == ("STOP" if stops else "CHECK" if checks else "OK")
        assert row["first_finding"] == (stops + checks + ["Nothing open."])[0]


def test_row_that_is_not_ready_has_no_checks() -> None:
    jobs = random_jobs(3, seed=5)
    jobs.loc[1, "service_a"] = np.nan
    row = calculate(jobs).iloc[1]

    assert {row[name] for name in (*POINTS, "job_status", "first_finding", "reading_result")} == {""}
    assert np.isnan(row["stops"])
