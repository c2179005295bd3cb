"""P10, mean and P90 of whole jobs against draws of every line, 200,000 times.

Every line of material and work and every shared factor is drawn from the beta
distribution between its low and its high whose shapes are 1 + 4 (likely - low)
/ (high - low) and 1 + 4 (high - likely) / (high - low), as published for the
package mc2d, https://search.r-project.org/CRAN/refmans/mc2d/html/pert.html.
Lines are drawn apart; the wage, the factors of difficulty and copper once for
all lines that they touch. The reference draws nothing: it adds variances and
takes a logarithmic normal. The cap of the difficulty stands in every draw here;
the reference caps the mean factor alone, which sample Q-102 is held to as well.

Read from the results are the quantities, the names of the lines of the price
book and the way. The arithmetic of the price is this file's own.
"""

from __future__ import annotations

import zlib
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from workbook_builder.code_tables.books import BookLine
from workbook_builder.code_tables.load import load
from workbook_builder.reader.csv_jobs import read_circuits, read_jobs
from workbook_builder.reference.run import calculate_all

SAMPLES = Path(__file__).parent.parent / "samples"
DRAWS = 200_000
SEED = 20250
WITHIN = 0.02
WAYS = ("existing spaces", "added panel", "load control", "larger service")
TOUCHES = {
    "none": (),
    "panel": ("age", "condition"),
    "wall": ("age", "wall"),
    "run": ("access",),
    "route": ("age", "wall", "access"),
}
BOOKS = load().books
LINES = {name: {line.key: line for line in lines} for name, lines in BOOKS.lines.items()}
SETTINGS = {name: one.value for name, one in BOOKS.settings.items()}


@cache
def _drawn(use: str, line: BookLine) -> np.ndarray:
    """A line drawn for one use; one that two quantities take is drawn for each."""
    width = line.high - line.low
    if width == 0:
        return np.full(DRAWS, line.low)
    draw = np.random.default_rng([SEED, zlib.crc32(f"{use}:{line.key}".encode())])
    return line.low + width * draw.beta(
        1 + 4 * (line.likely - line.low) / width, 1 + 4 * (line.high - line.likely) / width, DRAWS
    )


def _packages(job: pd.Series) -> set[str]:
    """What the way chosen is made of."""
    beside = "existing" if job["control_in_main"] == "yes" else "added"
    there = {"added"} if job["panel_place"] == "other building" else set()
    return {
        "existing spaces": {"common", "existing"},
        "added panel": {"common", "added"},
        "load control": {"common", "control", beside},
        "larger service": {"common", "service"} | there,
    }[job["option_chosen"]]


def _material(job: pd.Series, packages: set[str]) -> np.ndarray:
    """The permit aside."""
    copper = _drawn("shared", LINES["factors"]["copper"])
    total = np.zeros(DRAWS)
    for line in load().takeoff_lines:
        quantity = job[line.name]
        if line.package not in packages or line.name == "permits" or quantity == 0:
            continue
        item = LINES["price_book"][job[f"{line.name}_item"] if line.by_size else line.item]
        total += quantity * _drawn(line.name, item) * (copper if item.copper else 1)
    return total


def _hours(job: pd.Series, packages: set[str]) -> np.ndarray:
    condition = "crowded" if job["panel_condition"] == "crowded" else "sound"
    words = {"age": job["house_age"], "condition": condition, "wall": job["wall"], "access": job["access"]}
    factors = {name: _drawn("shared", LINES["factors"][f"{name} {word}"]) for name, word in words.items()}
    total = np.zeros(DRAWS)
    for difficulty, touching in TOUCHES.items():
        hours = np.zeros(DRAWS)
        for task in load().work_lines:
            if task.package in packages and task.difficulty == difficulty and job[task.name] != 0:
                hours += job[task.name] * _drawn(task.name, LINES["labour_units"][task.unit_id])
        harder = np.ones(DRAWS)
        for name in touching:
            harder = harder * factors[name]
        total += hours * np.minimum(harder, SETTINGS["difficulty_cap"])
    return total


def _prices(job: pd.Series) -> np.ndarray:
    """Price of the way chosen, drawn."""
    packages = _packages(job)
    share = {name: value / 100 for name, value in SETTINGS.items() if name.endswith("_percent")}
    bought = _material(job, packages) * (1 + share["consumables_percent"]) * (1 + share["tax_percent"])
    wage = _drawn("shared", LINES["market"][job["market"]])
    worked = _hours(job, packages) * wage * SETTINGS["wage_burden"] / SETTINGS["billable_share"]
    direct = bought + worked + _drawn("permits", LINES["price_book"]["permit"])
    concealed = SETTINGS[f"contingency_{job['house_age']}"] / 100
    return direct * (1 + share["overhead_percent"]) * (1 + concealed) / (1 - share["profit_percent"])


@cache
def _samples(way: str) -> pd.DataFrame:
    jobs = read_jobs(SAMPLES / "jobs.csv")
    circuits = read_circuits(SAMPLES / "circuits.csv", jobs=jobs)
    return calculate_all(jobs.assign(option_wanted=way), circuits)[0].set_index("job_no", drop=False)


NUMBERS = tuple(pd.read_csv(SAMPLES / "jobs.csv", dtype=str)["job_no"])


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("number", NUMBERS)
def test_range_of_a_sample_job(number: str, way: str) -> None:
    job = _samples(way).loc[number]
    drawn = _prices(job)
    low, high = np.quantile(drawn, (0.1, 0.9))

    assert job["option_chosen"] == way
    assert job["price_low_usd"] == pytest.approx(low, rel=WITHIN)
    assert job["price_high_usd"] == pytest.approx(high, rel=WITHIN)
    assert job["price_likely_usd"] == pytest.approx(drawn.mean(), rel=WITHIN / 2)


def test_draws_have_the_shares_below_that_the_range_says() -> None:
    """One in ten under the lower price, one in ten over the upper one, over all samples."""
    under, over = (
        np.mean([np.mean(side(job)) for way in WAYS for _, job in _samples(way).iterrows()])
        for side in (
            lambda job: _prices(job) < job["price_low_usd"],
            lambda job: _prices(job) > job["price_high_usd"],
        )
    )

    assert under == pytest.approx(0.1, abs=0.01)
    assert over == pytest.approx(0.1, abs=0.01)
