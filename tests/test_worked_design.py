"""Loads, feeder, ways, takeoff and circuits worked out again from the second readings of the tables."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache

import pytest

from tests.mutation.jobs import hand_frame, job_frame

from .worked import design, tables
from .worked.alone import taken_from_the_program
from .worked.design import worked_circuit, worked_design, worked_lists
from .worked.price import is_blank, number

FRAMES = (hand_frame, job_frame)
NOTHING = ("", "no", "OK")


def _worked() -> Iterator[tuple[str, object, object, object]]:
    """Column, value as worked, result, and where it stands."""
    for frame in FRAMES:
        found = frame().results
        jobs = [row for row in found["jobs"].to_dict("records") if row["row_state"] == "ready"]
        for job in jobs:
            yield from ((name, value, job[name], job["job_no"]) for name, value in worked_design(job).items())
        for job, values in worked_lists(jobs):
            yield from ((name, value, job[name], job["job_no"]) for name, value in values.items())
        numbered = {job["job_no"]: job for job in jobs}
        for circuit in found["circuits"].to_dict("records"):
            if circuit["circuit_state"] == "ready":
                extended = number(numbered[circuit["job_no"]], "moved_ext_ft")
                place = f"{circuit['job_no']}, {circuit['label']}"
                for name, value in worked_circuit(circuit, extended).items():
                    yield name, value, circuit[name], place


@cache
def worked_columns() -> dict[str, tuple[int, list[str]]]:
    """Each column that is worked: how often it is anything, and where it differs from the result."""
    found: dict[str, tuple[int, list[str]]] = {}
    for name, value, result, place in _worked():
        many, differ = found.get(name, (0, []))
        if not _same(value, result):
            differ.append(f"{place}: {result!r}, worked {value}")
        found[name] = many + (value not in NOTHING and value != 0), differ
    return found


def _same(value: object, result: object) -> bool:
    if isinstance(value, str):
        return is_blank(result) if value == "" else result == value
    return not is_blank(result) and math.isclose(value, result, rel_tol=2e-9, abs_tol=2e-6)


@pytest.mark.parametrize("name", sorted(worked_columns()))
def test_a_column_is_as_worked_by_hand_in_every_job(name: str) -> None:
    many, differ = worked_columns()[name]

    assert differ == []
    assert many > 0, "no job has any of it"


def test_what_works_it_out_takes_nothing_from_the_program() -> None:
    assert [taken_from_the_program(module) for module in (design, tables)] == [[], []]
