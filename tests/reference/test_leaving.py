"""Circuits that leave the main panel, and what the job says of them. Common practice, no source."""

from __future__ import annotations

import pandas as pd
import pytest

from workbook_builder.reference.run import calculate_all

from .jobs import plain_job, results_of

NONE_NAMED = "CHECK: circuits must move and the job names none"
TOO_FEW = "CHECK: more circuits must move than the job says"


@pytest.mark.parametrize(
    ("spaces_used", "one_pole", "two_pole", "state"),
    [
        (28, 0, 0, "OK"),
        (29, 0, 0, NONE_NAMED),
        (30, 0, 0, NONE_NAMED),
        (30, 1, 0, TOO_FEW),
        (30, 2, 0, "OK"),
        (30, 0, 1, "OK"),
        (30, 0, 0, NONE_NAMED),
    ],
)
def test_a_full_panel_tells_none_named_from_too_few(spaces_used: int, one_pole: int, two_pole: int, state: str) -> None:
    """The two-pole feeder breaker needs two spaces of a panel of 30."""
    row = results_of(
        main_spaces=30, main_spaces_used=spaces_used, move_1pole=one_pole, move_2pole=two_pole, planned_in="added panel"
    )

    assert row["moves_state"] == state
    assert row["spaces_state"] == state


def test_circuits_that_leave_are_numbered_down_the_list_of_each_job() -> None:
    """Listed moves leave; one that stays or is taken out does not; of the rest as many as spaces are wanted."""
    jobs = pd.concat(
        [plain_job(job_no=number, main_spaces=30, main_spaces_used=30) for number in ("A", "B")], ignore_index=True
    )
    lines = [
        ("A", "main", "keep", "no"), ("B", "added", "move", "no"), ("A", "added", "move", "no"),
        ("A", "main", "remove", "no"), ("A", "added", "new", "no"), ("B", "added", "move", "no"),
        ("A", "main", "keep", "yes"), ("A", "added", "move", "no"), ("B", "main", "keep", "yes"),
    ]  # fmt: skip
    circuits = pd.DataFrame(
        [
            {"job_no": job, "panel": panel, "action": action, "cable_reaches": reaches, "poles": 1,
             "breaker_a": 20, "label": f"Circuit {place}"}
            for place, (job, panel, action, reaches) in enumerate(lines)
        ],
        dtype=object,
    )  # fmt: skip

    found = calculate_all(jobs, circuits)[1]

    assert (found["leaves"] == "yes").tolist() == [False, True, True, False, False, True, False, True, False]
    assert found["leaves_key"].tolist() == [
        "", "2|leaves|1", "1|leaves|1", "", "", "2|leaves|2", "", "1|leaves|2", "",
    ]  # fmt: skip


def test_circuits_that_are_only_suggested_leave_too() -> None:
    jobs = plain_job(job_no="A", main_spaces=30, main_spaces_used=30)
    circuits = pd.DataFrame(
        [
            {"job_no": "A", "panel": "main", "action": "keep", "cable_reaches": reaches, "poles": 1, "breaker_a": 20,
             "label": f"Circuit {place}"}
            for place, reaches in enumerate(["no", "yes", "yes", "no"])
        ],
        dtype=object,
    )  # fmt: skip

    found = calculate_all(jobs, circuits)[1]

    assert found["leaves_key"].tolist() == ["", "1|leaves|1", "1|leaves|2", ""]
