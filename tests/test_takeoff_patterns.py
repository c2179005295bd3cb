"""Every line of a list of patterns of the trade has its quantity, or a reason why not.

Source of the patterns: common practice, no source (kept in tests/published/takeoff_patterns.csv).
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import pandas as pd
import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.data import shipped
from workbook_builder.reader.csv_jobs import read_circuits, read_jobs
from workbook_builder.reference.run import calculate_all

PATTERNS = list(csv.DictReader((Path(__file__).parent / "published" / "takeoff_patterns.csv").open(encoding="utf-8")))
BY_LOCAL_RULE = {"branch_1pole"}
"""Quantities that only a local rule makes more than 0."""


@cache
def _samples() -> pd.DataFrame:
    jobs = read_jobs(shipped("samples", "jobs.csv"))
    return calculate_all(jobs, read_circuits(shipped("samples", "circuits.csv"), jobs=jobs))[0]


@pytest.mark.parametrize("row", PATTERNS, ids=lambda row: f"{row['pattern'][:18]}-{row['item'][:28]}")
def test_a_line_of_the_patterns_has_its_rule_and_a_sample_job_or_a_reason(row: dict[str, str]) -> None:
    names = row["lines"].split()

    assert bool(names) != bool(row["left_out_because"])
    assert [name for name in names if name not in load().rules] == []
    found = _samples()
    shown = [name for name in names if name in BY_LOCAL_RULE or name.endswith(("_state", "correction"))
             or pd.to_numeric(found[name]).gt(0).any()]  # fmt: skip
    assert shown or not names


def test_every_quantity_of_material_stands_in_a_pattern_or_among_the_forgotten() -> None:
    """What no pattern has is one of the small parts people forget, which are ours to add, or typed by the job."""
    of_patterns = {name for row in PATTERNS for name in row["lines"].split()}
    ours = {line.name for line in load().takeoff_lines} - of_patterns

    assert ours == {
        "hold_down_kits", "interlock_kits", "handle_ties", "aluminum_connectors", "straps", "phase_tapes",
        "electrode_clamps", "service_inhibitors", "extra_materials", "circuit_small_ft", "circuit_medium_ft", "circuit_large_ft",
        "vehicle_sets", "heat_pump_sets",
    }  # fmt: skip
