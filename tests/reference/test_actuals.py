"""Finished jobs against their estimates, and the correction they suggest. Toy numbers."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from workbook_builder.reference import run
from workbook_builder.reference.run import calculate

from .jobs import plain_job, results_of

AGES = ("older", "middle", "newer")


def finished(ratios: list[float | None], house_age: str = "middle", start: int = 0) -> pd.DataFrame:
    """A plain job each, booked at that share of its estimated hours; None is not finished."""
    hours = results_of(house_age=house_age)["labour_hours"]
    return pd.concat(
        [
            plain_job(
                job_no=f"J{start + place}", house_age=house_age, actual_hours=None if ratio is None else hours * ratio
            )
            for place, ratio in enumerate(ratios)
        ],
        ignore_index=True,
    )


def test_one_job_over_its_estimate() -> None:
    plain = results_of()
    row = results_of(actual_hours=plain["labour_hours"] + 2, actual_material_usd=300)
    estimated = plain[["material_usd", "likely_consumables_usd", "likely_tax_usd"]].sum()

    assert row["hours_over"] == pytest.approx(2)
    assert row["hours_ratio"] == pytest.approx(1 + 2 / plain["labour_hours"], abs=1e-6)
    assert row["material_over_usd"] == pytest.approx(300 - estimated)
    assert row["material_ratio"] == pytest.approx(300 / estimated, abs=1e-6)
    assert row["cost_over_usd"] == pytest.approx(2 * row["rate_likely_usd"] + 300 - estimated, abs=1e-4)


def test_a_job_that_is_not_finished_compares_nothing() -> None:
    row = results_of(actual_material_usd=300)

    assert np.isnan(row[["hours_over", "hours_ratio", "cost_over_usd", "suggested_factor"]].astype(float)).all()
    assert (row["counted_hours"], row["booked_hours"], row["band_jobs"]) == (0, 0, 0)
    assert row["suggestion"] == "No finished job yet."


def test_four_jobs_suggest_nothing_and_five_do() -> None:
    few = calculate(finished([1.2] * 4 + [None]))
    enough = calculate(finished([1.0, 1.1, 1.2, 1.3, 1.4, None]))

    assert set(few["suggestion"]) == {"4 of 5 finished jobs: no suggestion yet."}
    assert few["suggested_factor"].isna().all()
    assert set(enough["band_jobs"]) == {5}
    assert enough["suggested_factor"].tolist() == pytest.approx([1.2] * 6, abs=1e-6)
    assert set(enough["suggestion"]) == {
        "5 finished jobs: labour times 1.20 would have been right; nothing is changed by itself."
    }


def test_houses_of_each_age_stand_for_themselves() -> None:
    """Rows that are not ready count nowhere, and have no suggestion."""
    jobs = pd.concat(
        [finished([1 + place / 10] * 5, age, start=10 * place) for place, age in enumerate(AGES)], ignore_index=True
    ).sample(frac=1.0, random_state=3, ignore_index=True)
    wrong = jobs.iloc[[0]].assign(job_no="X", service_a=1.0, actual_hours=500.0)
    found = calculate(pd.concat([jobs, wrong], ignore_index=True))

    for place, age in enumerate(AGES):
        ready = found[(found["house_age"] == age) & (found["row_state"] == "ready")]
        assert ready["suggested_factor"].tolist() == pytest.approx([1 + place / 10] * 5, abs=1e-6)
    assert found["suggestion"].iloc[-1] == ""
    assert np.isnan(found["band_jobs"].iloc[-1])


def test_jobs_of_all_blocks_count_together(monkeypatch: pytest.MonkeyPatch) -> None:
    jobs = finished([1.3, None, 1.3, 1.3, None, 1.3, 1.3])
    whole = calculate(jobs)
    monkeypatch.setattr(run, "BLOCK", 2)

    pd.testing.assert_frame_equal(calculate(jobs), whole)
    assert set(whole["band_jobs"]) == {5}


def test_no_ready_job_at_all() -> None:
    found = calculate(plain_job(service_a=1.0))

    assert found["suggestion"].tolist() == [""]
    assert found["band_jobs"].isna().all()


def test_the_least_number_of_jobs_is_a_setting() -> None:
    found = calculate(finished([1.5]), overrides={"finished_jobs_least": 1})

    assert found["suggestion"].iloc[0].startswith("1 finished jobs: labour times 1.50 ")
