"""The samples cover what the contract offers, and the shipped workbook is the one they make."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.harness.verify import verify
from workbook_builder.reader.csv_jobs import read_jobs
from workbook_builder.reference.run import calculate

ROOT = Path(__file__).parent.parent
FIELDS = {field.name: field for field in load().job_fields}


def _rows(name: str) -> list[dict[str, str]]:
    with (ROOT / "samples" / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _jobs() -> list[dict[str, str]]:
    return _rows("jobs.csv")


@pytest.mark.parametrize("field", ["panel_place", "wiring", "load_method", "code_edition", "house_age", "market", "cover_case", "electrode"])
def test_samples_cover_every_choice(field: str) -> None:
    declared = FIELDS[field]
    choices = {str(int(one)) if declared.numeric else one for one in declared.choices}
    default = declared.default
    used = {job[field] or (str(int(default)) if declared.numeric else default) for job in _jobs()}

    assert used == choices


def test_there_are_at_least_twelve_samples() -> None:
    assert len(_jobs()) >= 12


def test_sample_circuits_fit_their_jobs() -> None:
    """What stands in the main panel before the work fills the spaces used; the moves are those of the job."""
    listed: dict[str, list[dict[str, str]]] = {}
    for circuit in _rows("circuits.csv"):
        listed.setdefault(circuit["job_no"], []).append(circuit)
    jobs = {job["job_no"]: job for job in _jobs()}

    assert len(listed) >= 2
    for number, circuits in listed.items():
        before = [one for one in circuits if one["action"] != "new"]
        spaces = [
            int(one["from_position"] or one["position"]) + 2 * pole
            for one in before
            for pole in range(int(one["poles"]))
        ]
        assert len(set(spaces)) == len(spaces) == int(jobs[number]["main_spaces_used"])
        assert max(spaces) <= int(jobs[number]["main_spaces"])
        moves = [one["poles"] for one in circuits if one["action"] == "move"]
        assert moves.count("1") == int(jobs[number]["move_1pole"] or 0)
        assert moves.count("2") == int(jobs[number]["move_2pole"] or 0)


def test_sample_circuits_have_each_case_that_matters() -> None:
    circuits = _rows("circuits.csv")

    assert {"keep", "move", "new"} <= {one["action"] for one in circuits}
    assert {"three wire", "cloth", "ungrounded"} <= {one["condition"] for one in circuits}
    assert {"alarm", "essential"} <= {one["priority"] for one in circuits}
    assert len([one for one in circuits if one["multiwire_group"]]) == 2


def test_the_shipped_workbook_is_clean() -> None:
    report = verify(ROOT / "samples" / "panel-capacity.xlsx", engines=["ironcalc"])

    assert report.jobs == len(_jobs())
    assert report.clean


def test_templates_have_every_field_of_the_contract() -> None:
    for name, fields in (("jobs", load().job_fields), ("circuits", load().circuit_fields)):
        header = (ROOT / "templates" / f"{name}.csv").read_text(encoding="utf-8").strip().split(",")
        assert header == [field.name for field in fields]


@pytest.mark.parametrize("way", FIELDS["option_wanted"].choices)
def test_each_way_is_chosen_in_two_samples(way: str) -> None:
    """Once as the least costly that works, unforced, at the least."""
    results = calculate(read_jobs(ROOT / "samples" / "jobs.csv"))
    chosen = results[(results["option_chosen"] == way) & ~results["option_state"].str.startswith("STOP")]

    assert len(chosen) >= 2
    assert (chosen["option_wanted"] == "").any()
