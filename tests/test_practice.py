"""What a practitioner expects of a check: a house, what is done, OK, CHECK or STOP, and the section that says so.

The cases of `worked/checks.csv` are written by hand from the sections that they
name. Each is one change to a plain house that gets an added panel beside the
main one; circuits are given as panel, space, poles, volt-amperes, action.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import pandas as pd
import pytest

from workbook_builder.reference.run import calculate_all

PLAIN = {
    "house_age": "middle", "market": "medium", "service_a": 200.0, "main_spaces": 30.0, "main_spaces_used": 28.0,
    "floor_area_ft2": 2000.0, "option_wanted": "added panel", "move_1pole": 2.0, "terminals": "75 C",
}  # fmt: skip
CASES = tuple(
    csv.DictReader((Path(__file__).parent / "worked" / "checks.csv").open(encoding="utf-8", newline=""))
)
ENTRY_CHECKS = ("check_circuit_action",)


def _value(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def _job(place: int, row: dict[str, str]) -> dict[str, object]:
    given = dict(one.split("=") for one in row["entries"].split("; ") if one)
    words = {name for name in given if name in ("moved_wire", "egc_wanted")}
    entries = {name: text if name in words else _value(text) for name, text in given.items()}
    if row["circuits"]:
        entries["move_1pole"] = 0.0
    return PLAIN | entries | {"job_no": f"P{place}"}


def _circuits(place: int, row: dict[str, str]) -> list[dict[str, object]]:
    found = []
    for at, one in enumerate(filter(None, row["circuits"].split("; ")), start=1):
        panel, position, poles, va, action = one.split()
        found.append({
            "job_no": f"P{place}", "panel": panel, "position": float(position), "poles": float(poles),
            "breaker_a": 20.0, "load_va": float(va), "label": f"circuit {at}", "action": action,
        })  # fmt: skip
    return found


@cache
def _results() -> tuple[pd.DataFrame, pd.DataFrame]:
    jobs = pd.DataFrame([_job(place, row) for place, row in enumerate(CASES)], dtype=object)
    circuits = [one for place, row in enumerate(CASES) for one in _circuits(place, row)]
    return calculate_all(jobs, pd.DataFrame(circuits, dtype=object))


@pytest.mark.parametrize("place", range(len(CASES)), ids=[f"{row['column']}: {row['what']}" for row in CASES])
def test_a_check_says_what_a_practitioner_expects(place: int) -> None:
    row, (jobs, circuits) = CASES[place], _results()
    assert row["section"] and row["what"]
    if row["column"] in ENTRY_CHECKS:
        found = circuits[circuits["job_no"] == f"P{place}"][row["column"]].iloc[0]
    else:
        assert jobs["row_state"].iloc[place] == "ready"
        found = jobs[row["column"]].iloc[place]

    assert str(found).split(":")[0] == row["expect"], found


def practised() -> dict[str, tuple[int, list[str]]]:
    """Checks that have cases here, with how many different states they expect."""
    states: dict[str, set[str]] = {}
    for row in CASES:
        states.setdefault(row["column"], set()).add(row["expect"])
    return {name: (len(expected), []) for name, expected in states.items() if len(expected) > 1}


def test_every_check_of_the_cases_has_a_good_and_a_bad_one() -> None:
    assert practised().keys() == {row["column"] for row in CASES}
