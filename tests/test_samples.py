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


def _jobs() -> list[dict[str, str]]:
    with (ROOT / "samples" / "jobs.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("field", ["panel_place", "wiring", "load_method", "code_edition", "house_age", "market", "cover_case", "electrode"])
def test_samples_cover_every_choice(field: str) -> None:
    declared = FIELDS[field]
    choices = {str(int(one)) if declared.numeric else one for one in declared.choices}
    default = declared.default
    used = {job[field] or (str(int(default)) if declared.numeric else default) for job in _jobs()}

    assert used == choices


def test_there_are_at_least_twelve_samples() -> None:
    assert len(_jobs()) >= 12


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
