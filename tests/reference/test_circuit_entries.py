"""Rows of the circuit list: entries, job, state and faults. The rules are the workbook's own."""

from __future__ import annotations

import pandas as pd
import pytest

from workbook_builder.reference.faults import Fault
from workbook_builder.reference.run import calculate, calculate_all, faults_circuits

from .circuits import CIRCUIT, MOVED, circuits_of, listed
from .jobs import PLAIN, plain_job

NO_JOB = "job_no must be the number of a job that is ready"
TOO_LOW = "position must leave room for the second pole: at most two under the highest space number for 2 poles"
STAYS_IN_MAIN = "panel must be added where action is move"


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ({}, "ready"),
        ({"job_no": "j1"}, "ready"),
        ({"panel": "ADDED", "action": "New"}, "ready"),
        ({"wire": 12, "position": 84}, "ready"),
        ({"position": 82, "poles": 2}, "ready"),
        ({"job_no": "J9"}, f"error: {NO_JOB}"),
        ({"position": 83, "poles": 2}, f"error: {TOO_LOW}"),
        ({"action": "move"}, f"error: {STAYS_IN_MAIN}"),
        ({"poles": 3}, "error: poles must be one of 1, 2"),
        ({"position": 1.5}, "error: position must be a whole number from 1 to 84"),
        (
            {"breaker_a": "big", "job_no": "J9"},
            "error: breaker_a must be a number from 15 to 200 A (and 1 more)",
        ),
        ({"panel": None}, "missing: panel"),
        ({"breaker_a": None, "label": "", "action": None}, "missing: breaker_a (and 2 more)"),
        ({"panel": None, "priority": "low"}, "error: priority must be one of normal, essential, alarm"),
        ({"panel": None, "action": "move"}, "missing: panel"),
        ({"poles": None, "position": 84}, "missing: poles"),
        ({"job_no": None}, ""),
    ],
)
def test_state_of_a_row(entries: dict, state: str) -> None:
    """Entries before checks, errors before blanks; a check of a wrong or blank entry says nothing."""
    _, circuits = calculate_all(plain_job(), circuits_of(entries))

    assert circuits["circuit_state"].tolist() == [state]


@pytest.mark.parametrize(
    ("position", "job_no", "check"), [(40, "J1", "ok"), (41, "J1", "invalid"), (41, "J9", "invalid")]
)
def test_a_local_rule_says_how_many_spaces_a_panel_has(position: int, job_no: str, check: str) -> None:
    """Of 42 spaces the last two-pole circuit stands in 40 and 42, whatever its job."""
    circuits = circuits_of({"position": position, "poles": 2, "job_no": job_no}, {"position": 42})
    found = calculate_all(plain_job(), circuits, overrides={"panel_positions": 42})[1]

    assert found["check_circuit_poles"].tolist() == [check, "ok"]


def test_faults_of_a_row_are_counted() -> None:
    row = calculate_all(plain_job(), circuits_of({"poles": 3, "job_no": "J9", "label": None}))[1].iloc[0]

    assert (row["circuit_invalid"], row["circuit_missing"]) == (2, 1)
    assert row["circuit_first_invalid"] == "poles must be one of 1, 2"
    assert (row["check_circuit_job"], row["check_circuit_poles"]) == ("invalid", "ok")
    assert (row["poles"], row["label"], row["breaker_a"]) == ("invalid", "missing", 20)


def test_a_circuit_belongs_to_the_ready_job_of_its_number() -> None:
    """Blank rows of the list of jobs are counted; jobs with a number twice are not ready."""
    jobs = pd.DataFrame(
        [
            {},
            PLAIN | {"job_no": "A"},
            PLAIN | {"job_no": "B", "market": None},
            PLAIN | {"job_no": "C"},
            PLAIN | {"job_no": "c"},
            PLAIN | {"job_no": 77},
        ]
    )
    circuits = circuits_of(*({"job_no": number} for number in ("a", "B", "C", "77", 77, "D", "")))
    found = calculate_all(jobs, circuits)[1]["circuit_job_row"]

    assert found.isna().tolist() == [False] * 6 + [True]
    assert found.tolist()[:6] == [2, 0, 0, 6, 6, 0]


def test_texts_of_circuits_are_texts() -> None:
    """A number typed as a mark is the mark of that spelling."""
    _, circuits = listed(
        {"label": 12, "multiwire_group": 1}, {"multiwire_group": "1"}, {"multiwire_group": 2.5}
    )

    assert circuits["label"].tolist()[0] == "12"
    assert circuits["group_key"].tolist() == ["1|1", "1|1", "1|2.5"]


def test_row_that_is_not_ready_has_entries_and_checks_only_and_counts_nowhere() -> None:
    jobs, circuits = calculate_all(
        plain_job(),
        circuits_of(MOVED | {"position": 1}, MOVED | {"position": 1, "load_va": -1, "multiwire_group": "a"}),
    )
    row = circuits.iloc[1]
    calculated = row["circuit_stays":"suggested_state"]

    assert all(cell == "" or cell != cell for cell in calculated)
    assert (row["circuit_job_row"], row["load_va"], row["position"]) == (1, "invalid", 1)
    assert (jobs.loc[0, "listed_moves"], circuits.loc[0, "same_space"]) == (1, 0)


def test_without_circuits_nothing_is_listed() -> None:
    jobs, circuits = calculate_all(plain_job(move_1pole=3, move_2pole=1))
    row = jobs.iloc[0]

    assert len(circuits) == 0
    assert {row[name] for name in jobs if name.startswith("listed_")} == {0}
    assert (row["suggested_moves"], row["spaces_freed"]) == (0, 0)
    assert (row["list_state"], row["move_1pole_used"], row["move_2pole_used"]) == ("OK", 3, 1)
    pd.testing.assert_frame_equal(jobs, calculate(plain_job(move_1pole=3, move_2pole=1)))


def test_column_that_is_no_circuit_field_is_refused() -> None:
    with pytest.raises(ValueError, match="no circuit fields: colour"):
        calculate_all(plain_job(), circuits_of({"colour": "red"}))


def test_results_keep_the_index_of_the_circuits() -> None:
    circuits = circuits_of({}, {}).set_axis([7, 3])

    assert calculate_all(plain_job(), circuits)[1].index.tolist() == [7, 3]


def test_every_fault_of_a_circuit_is_told() -> None:
    """Rows and fields in order; a row with any entry misses its job number."""
    circuits = pd.DataFrame(
        [
            CIRCUIT | {"position": 84, "poles": 2, "wire": "13"},
            {},
            {"label": "Well"} | dict.fromkeys(("panel", "poles", "breaker_a", "action")),
            CIRCUIT | {"job_no": "J9", "action": "move"},
        ]
    )
    found = faults_circuits(circuits, plain_job())

    assert [(one.row, one.field, one.kind) for one in found] == [
        (0, "position", "error"),
        (0, "wire", "error"),
        (2, "job_no", "missing"),
        (2, "panel", "missing"),
        (2, "poles", "missing"),
        (2, "breaker_a", "missing"),
        (2, "action", "missing"),
        (3, "job_no", "error"),
        (3, "panel", "error"),
    ]
    assert found[0].expected == "at most two under the highest space number for 2 poles"
    assert found[-1] == Fault(3, "panel", "main", "added where action is move", "error")
    assert faults_circuits(circuits_of({}), plain_job()) == []
