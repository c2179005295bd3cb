"""Hours and their variances to their twelfth decimal, by decimal arithmetic over the lines of work."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Context, Decimal, setcontext

import pandas as pd
import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import PACKAGES
from workbook_builder.reference.run import calculate

from .jobs import feasible_jobs, plain_job
from .prices import books_with

STEP = Decimal("1e-12")
TASKS = load().work_lines
PARTS = sorted({(task.package, task.difficulty) for task in TASKS})
THIRDS = {"age middle": (1.0, 1.1, 1.3), "wall drywall": (0.9, 1.0, 1.4), "access normal": (1.0, 1.0, 1.2)}
"""Means of 1.116667, 1.05 and 1.033333."""


@pytest.fixture(scope="module", autouse=True)
def exact() -> None:
    """Enough digits for squares of products."""
    setcontext(Context(prec=60, rounding=ROUND_HALF_UP))


@pytest.fixture(scope="module")
def results() -> pd.DataFrame:
    found = calculate(feasible_jobs(60, seed=11), books=books_with({"factors": THIRDS}))
    return found[found["row_state"] == "ready"]


def number(value: float) -> Decimal:
    return Decimal(repr(float(value)))


def at_twelve(value: Decimal) -> float:
    return float(value.quantize(STEP))


def points(key: str) -> tuple[Decimal, Decimal, Decimal]:
    """Likely, mean and variance of a labour unit."""
    line = next(one for one in load().books.lines["labour_units"] if one.key == key)
    low, likely, high = (number(point) for point in (line.low, line.likely, line.high))
    mean = ((low + 4 * likely + high) / 6).quantize(Decimal("1e-6"))
    return likely, mean, ((mean - low) * (high - mean) / 7).quantize(STEP)


def total(terms: Iterable[Decimal]) -> Decimal:
    return sum(terms, Decimal(0))


@pytest.mark.parametrize(("package", "difficulty"), PARTS)
def test_hours_before_difficulty_are_exact(results: pd.DataFrame, package: str, difficulty: str) -> None:
    """A quantity and an hour of six decimals each give a sum of twelve, which no rounding may touch."""
    tasks = [task for task in TASKS if (task.package, task.difficulty) == (package, difficulty)]
    start = f"{package}_{difficulty}"
    for _, row in results.iterrows():
        pairs = [(number(row[task.name]), *points(task.unit_id)) for task in tasks]

        assert row[f"{start}_likely_h"] == float(total(pair[0] * pair[1] for pair in pairs))
        assert row[f"{start}_mean_h"] == float(total(pair[0] * pair[2] for pair in pairs))
        variance = at_twelve(total(pair[0] ** 2 * pair[3] for pair in pairs))
        assert row[f"{start}_var_h"] == pytest.approx(variance, rel=1e-14, abs=1.01e-12)


@pytest.mark.parametrize("statistic", ["likely", "mean"])
@pytest.mark.parametrize("package", PACKAGES)
def test_hours_of_a_package_are_its_parts_times_their_factors(
    results: pd.DataFrame, package: str, statistic: str
) -> None:
    parts = [difficulty for one, difficulty in PARTS if one == package]
    for _, row in results.iterrows():
        expected = total(
            number(row[f"{package}_{part}_{statistic}_h"])
            * (1 if part == "none" else number(row[f"{part}_factor_{statistic}"]))
            for part in parts
        )

        assert row[f"{package}_hours_{statistic}"] == pytest.approx(
            at_twelve(expected), rel=1e-14, abs=1.01e-12
        )


def test_relative_variances_and_those_of_shared_factors_keep_twelve_decimals(results: pd.DataFrame) -> None:
    row = results[(results["house_age"] == "middle") & results["labour_var_h"].notna()].iloc[0]
    mean = Decimal("1.116667")
    variance = ((mean - 1) * (Decimal("1.3") - mean) / 7).quantize(STEP)
    panel, wall, run, route = (number(row[f"{kind}_touched_h"]) for kind in ("panel", "wall", "run", "route"))
    relative = {name: number(row[f"{name}_rel"]) for name in ("age", "condition", "wall", "access")}
    shared = (
        relative["age"] * (panel + wall + route) ** 2
        + relative["condition"] * panel**2
        + relative["wall"] * (wall + route) ** 2
        + relative["access"] * (run + route) ** 2
    )

    assert row["age_rel"] == at_twelve(variance / mean**2)
    assert row["shared_var_h"] == pytest.approx(at_twelve(shared), rel=1e-14, abs=1.01e-12)
    lines = total(number(row[f"lines_{kind}_var_h"]) for kind in ("none", "panel", "wall", "run", "route"))
    assert row["labour_var_h"] == pytest.approx(at_twelve(lines + number(row["shared_var_h"])), rel=1e-14)


def test_one_task_worked_by_hand() -> None:
    """A feeder breaker of 1, 1, 2 h has a mean of 1.166667 h; times 1.116667 for the age of the house."""
    factors = {key: 1.0 for key in load().books.keys("factors")} | {"age middle": (1.0, 1.1, 1.3)}
    books = books_with({"labour_units": {"L12": (1.0, 1.0, 2.0)}, "factors": factors}, rest=0.0)
    row = calculate(plain_job(main_spaces_used=20, option_wanted="added panel"), books=books).iloc[0]

    assert (row["added_panel_mean_h"], row["panel_factor_mean"]) == (1.166667, 1.116667)
    assert row["labour_mean_h"] == row["panel_touched_h"] == 1.302778538889
    assert row["labour_hours"] == 1.1
