"""Workbook and reference agree on generated jobs, on the edges of every rule, and on faulty entries."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from workbook_builder.harness.engines import available
from workbook_builder.harness.verify import recalculated_frame, verify

from .books import write_book
from .job_frames import random_circuits, random_jobs


def _differences(path: Path, engine: str) -> list[str]:
    report = verify(path, engines=[engine])
    comparison = report.engines[0].comparison
    assert comparison.cells > 10 * comparison.columns
    return [str(one) for one in comparison.differences][:20]


ENGINE_PARAMS = [
    "ironcalc",
    pytest.param("libreoffice", marks=pytest.mark.libreoffice),
    pytest.param("gnumeric", marks=pytest.mark.gnumeric),
]


@pytest.mark.parametrize(
    ("engine", "seed"),
    [
        *(("ironcalc", seed) for seed in (6, 1, 2, 7, 8)),
        *(pytest.param("libreoffice", seed, marks=pytest.mark.libreoffice) for seed in (1, 8)),
        *(pytest.param("gnumeric", seed, marks=pytest.mark.gnumeric) for seed in (2, 7)),
    ],
)
def test_generated_jobs_agree(engine: str, seed: int, tmp_path: Path) -> None:
    """400 jobs a seed, half of the optional entries given, an eighth of the rows with a fault.

    Of the seeds that another engine has, IronCalc gets the first 150 of the same jobs.
    """
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")
    count = 150 if engine == "ironcalc" and seed != 6 else 400
    write_book(tmp_path / "book.xlsx", random_jobs(400, seed=seed, faulty=0.125).head(count))

    assert _differences(tmp_path / "book.xlsx", engine) == []


@pytest.mark.parametrize("seed", [3, 9])
def test_generated_jobs_agree_in_formulas(seed: int, tmp_path: Path) -> None:
    if available("formulas") is None:
        pytest.skip("formulas is not installed")
    write_book(tmp_path / "book.xlsx", random_jobs(25, seed=seed, faulty=0.25))

    assert _differences(tmp_path / "book.xlsx", "formulas") == []


def test_most_generated_jobs_are_ready_and_some_are_not() -> None:
    """The frames above test results, not only refusals."""
    from workbook_builder.reference.run import calculate

    states = calculate(random_jobs(400, seed=1, faulty=0.125))["row_state"]

    assert 0.8 < (states == "ready").mean() < 0.95


def test_local_rules_reach_both_entries(tmp_path: Path) -> None:
    """A parameter overridden in the workbook changes both sides alike."""
    jobs = random_jobs(60, seed=4)
    overrides = {"appliance_rate": 1.0, "power_factor": 0.9, "feeder_minimum": 100.0, "rod_largest": "4"}
    write_book(tmp_path / "book.xlsx", jobs, overrides=overrides)
    write_book(tmp_path / "plain.xlsx", jobs)

    report = verify(tmp_path / "book.xlsx", engines=["ironcalc"])

    assert report.overrides == overrides
    assert report.engines[0].comparison.differences == ()
    changed = recalculated_frame(tmp_path / "book.xlsx", engine="ironcalc")
    plain = recalculated_frame(tmp_path / "plain.xlsx", engine="ironcalc")
    for name in ("appliance_rate_used", "voltage_drop_percent", "feeder_needed_a", "electrode_largest"):
        assert (changed[name] != plain[name]).any(), name


def test_a_blank_row_between_jobs_changes_nothing(tmp_path: Path) -> None:
    jobs = random_jobs(10, seed=5)
    spread = pd.concat([jobs[:5], pd.DataFrame([dict.fromkeys(jobs.columns)], dtype=object), jobs[5:]])
    write_book(tmp_path / "book.xlsx", spread.reset_index(drop=True))

    assert _differences(tmp_path / "book.xlsx", "ironcalc") == []


@pytest.mark.parametrize("engine", ENGINE_PARAMS)
def test_generated_circuits_agree(engine: str, tmp_path: Path) -> None:
    """60 jobs with some 240 circuits, an eighth of either with a fault."""
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")
    jobs = random_jobs(60, seed=21, faulty=0.125)
    write_book(tmp_path / "book.xlsx", jobs, circuits=random_circuits(jobs, seed=22, faulty=0.125))

    assert _differences(tmp_path / "book.xlsx", engine) == []
