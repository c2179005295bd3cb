"""What must hold of prices between two jobs or two sets of books, over thousands of generated jobs."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import numpy as np
import pandas as pd
import pytest

from workbook_builder.code_tables.books import BookLine, Books
from workbook_builder.code_tables.load import load
from workbook_builder.reference.run import calculate

from .job_frames import random_jobs
from .reference.prices import books_with

COUNT = 3000
CENT = 0.01
SLACK = CENT / 2
WAYS = ("existing spaces", "added panel", "load control", "larger service")
PRICES = [f"{way.replace(' ', '_')}_price_usd" for way in WAYS]
LINES = ("material", "consumables", "tax", "labour", "permit", "overhead", "contingency", "profit")
MOVED_TOP = {"move_1pole": 40, "move_2pole": 20}


@pytest.fixture(scope="module")
def jobs() -> pd.DataFrame:
    """Every way is wished for by a quarter of the jobs."""
    frame = random_jobs(COUNT, seed=17)
    return frame.assign(option_wanted=[WAYS[place % len(WAYS)] for place in range(COUNT)])


@pytest.fixture(scope="module")
def results(jobs: pd.DataFrame) -> pd.DataFrame:
    return calculate(jobs)


@pytest.fixture(scope="module")
def priced(results: pd.DataFrame) -> pd.DataFrame:
    there = results[results["price_likely_usd"].notna()]
    assert len(there) > COUNT / 2
    assert set(there["option_chosen"]) == set(WAYS)
    return there


def _never_lower(before: pd.Series, after: pd.Series, least: float = COUNT / 4) -> None:
    both = before.notna() & after.notna()

    assert both.sum() > least
    assert (after[both] >= before[both] - SLACK).all()


@pytest.mark.parametrize(
    ("field", "harder"),
    [
        ("house_age", ("newer", "middle", "older")),
        ("market", ("small", "medium", "large")),
        ("access", ("easy", "normal", "hard")),
        ("panel_condition", ("sound", "crowded")),
        ("trench_by", ("machine", "hand")),
    ],
)
def test_harder_or_dearer_never_lowers_the_price_of_any_way(
    jobs: pd.DataFrame, field: str, harder: tuple[str, ...]
) -> None:
    """All else equal; a trench by hand has no trencher to pay, so there it is the hours that count."""
    columns = ["added_hours_mean"] if field == "trench_by" else PRICES
    steps = [calculate(jobs.assign(**{field: word})) for word in harder]
    for before, after in pairwise(steps):
        for name in columns:
            _never_lower(before[name], after[name])


@pytest.mark.parametrize("move_kva", [None, 12.0])
@pytest.mark.parametrize("field", MOVED_TOP)
def test_more_moved_circuits_never_lower_the_price_of_an_added_panel(
    jobs: pd.DataFrame, field: str, move_kva: float | None
) -> None:
    """Where the load does not fall with it and the terminals stay in one column.

    A circuit that the job names instead of one that the workbook adds may carry
    less, and from 100 A on a column with smaller conductors may hold. A raceway
    that is too small at its largest trade size has no price in either.
    """
    frame = jobs.assign(move_kva=move_kva, move_neutral_kva=None, move_continuous_kva=None)
    more = frame.assign(**{field: [min(MOVED_TOP[field], (count or 0) + 3) for count in frame[field]]})
    before, after = calculate(frame), calculate(more)
    same = (
        (after["moved_circuits"] > before["moved_circuits"])
        & (after["feeder_load_a"] >= before["feeder_load_a"])
        & (after["terminal_c"] == before["terminal_c"])
        & ((after["raceway_size"] != "") | (after["is_raceway"] == 0))
    )

    _never_lower(before["added_panel_price_usd"][same], after["added_panel_price_usd"][same])


def test_the_range_stands_around_the_price(priced: pd.DataFrame) -> None:
    assert (priced["price_low_usd"] <= priced["price_likely_usd"]).all()
    assert (priced["price_likely_usd"] <= priced["price_high_usd"]).all()
    assert (priced["price_low_usd"] > 0).all()


def test_the_lines_add_up_to_the_price(priced: pd.DataFrame) -> None:
    """To the cent; and the profit, which takes up the rounding, is the share of the price it should be."""
    lines = priced[[f"mean_{line}_usd" for line in LINES]]
    share = load().books.settings["profit_percent"].value / 100

    assert (lines.sum(axis=1).round(2) == priced["price_likely_usd"].round(2)).all()
    assert (lines >= 0).all(axis=None)
    assert ((lines * 100 - (lines * 100).round()).abs() < 1e-6).all(axis=None)
    assert ((lines["mean_profit_usd"] - share * priced["price_likely_usd"]).abs() < 0.05).all()


def test_the_likely_lines_add_up_to_their_sum(priced: pd.DataFrame) -> None:
    lines = priced[[f"likely_{line}_usd" for line in LINES if line != "material"]].assign(
        material=priced["material_usd"]
    )

    assert (lines.sum(axis=1).round(2) == priced["price_modes_usd"].round(2)).all()


def test_the_price_is_the_one_of_the_way_chosen(priced: pd.DataFrame) -> None:
    for way, price in zip(WAYS, PRICES, strict=True):
        chosen = priced[priced["option_chosen"] == way]
        assert (chosen["price_likely_usd"] == chosen[price]).all()


def _points(change: object, book: str) -> Mapping[str, tuple[float, float, float]]:
    return {line.key: change(line) for line in load().books.lines[book]}


def _changed(change: object, *books: str) -> Books:
    return books_with({book: _points(change, book) for book in books})


def _likely_only(line: BookLine) -> tuple[float, float, float]:
    return (line.likely,) * 3


def _doubled(line: BookLine) -> tuple[float, float, float]:
    return (2 * line.low, 2 * line.likely, 2 * line.high)


def test_books_without_ranges_give_the_likely_price_and_no_range(jobs: pd.DataFrame) -> None:
    """The two ways of adding up, by lines and by packages, meet; each rounds eight lines to the cent."""
    found = calculate(jobs, books=_changed(_likely_only, "price_book", "labour_units", "factors", "market"))
    found = found[found["price_likely_usd"].notna()]

    assert len(found) > COUNT / 2
    assert (found["price_low_usd"] == found["price_likely_usd"]).all()
    assert (found["price_high_usd"] == found["price_likely_usd"]).all()
    assert ((found["price_modes_usd"] - found["price_likely_usd"]).abs() < 0.5).all()
    assert np.allclose(found["labour_mean_h"], found["labour_hours"], rtol=0, atol=1e-4)


def test_prices_and_wages_twice_as_high_are_twice_the_price(jobs: pd.DataFrame, results: pd.DataFrame) -> None:
    """But for the mean of a line, which is rounded at six decimals before thousands of feet multiply it."""
    twice = calculate(jobs, books=_changed(_doubled, "price_book", "market"))

    for price in PRICES:
        both = results[price].notna()
        assert np.allclose(twice[price][both], 2 * results[price][both], rtol=1e-6, atol=0.05)
    ratio = twice["price_high_usd"] / twice["price_likely_usd"]
    assert np.allclose(ratio.dropna(), (results["price_high_usd"] / results["price_likely_usd"]).dropna(), atol=1e-4)


def test_dearer_copper_raises_what_has_copper_and_nothing_else(jobs: pd.DataFrame, results: pd.DataFrame) -> None:
    dearer = calculate(jobs, books=books_with({"factors": {"copper": (1.8, 2.0, 2.4)}}))
    there = results["added_package_usd"].notna()
    copper = (results["added_copper_mean_usd"] > 0) & there

    assert (dearer["existing_spaces_price_usd"] == results["existing_spaces_price_usd"]).all()
    assert copper.any() and (there & ~copper).any()
    assert (dearer["added_panel_price_usd"][copper] > results["added_panel_price_usd"][copper]).all()
    assert (
        dearer["added_panel_price_usd"][there & ~copper] == results["added_panel_price_usd"][there & ~copper]
    ).all()


def test_a_line_that_no_way_takes_changes_nothing(jobs: pd.DataFrame, results: pd.DataFrame) -> None:
    """A breaker larger than any feeder of the jobs."""
    unused = calculate(jobs, books=books_with({"price_book": {"feeder breaker|400": 9999.0}}))
    others = results["feeder_breaker_a"] != 400

    assert (unused["added_panel_price_usd"].fillna(-1) == results["added_panel_price_usd"].fillna(-1))[others].all()
