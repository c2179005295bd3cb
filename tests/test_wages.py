"""Wages and the selling rate against published figures; every row of published/wages.csv has its source."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.reference.run import calculate

from .reference.jobs import plain_job
from .reference.prices import books_with

NATION = "United States"
SELLING = "selling rate at the national mean wage"
MARKETS = {line.key: line for line in load().books.lines["market"]}
SETTINGS = {name: one.value for name, one in load().books.settings.items()}


def _rows() -> list[dict[str, str]]:
    path = Path(__file__).parent / "published" / "wages.csv"
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _published(name: str, stat: str, year: str | None = None) -> float:
    (found,) = [
        row for row in _rows() if (row["name"], row["stat"]) == (name, stat) and year in (None, row["data_year"])
    ]
    return float(found["value"])


def test_every_figure_has_a_source() -> None:
    assert all(row["source"] for row in _rows())


def test_a_middle_market_is_the_nation() -> None:
    """Likely the median, high the mean of May 2025."""
    medium = MARKETS["medium"]

    assert medium.likely == _published(NATION, "median", "2025")
    assert medium.high == _published(NATION, "mean", "2025")


def test_a_large_market_lies_within_the_states_with_the_highest_medians() -> None:
    states = [
        float(row["value"])
        for row in _rows()
        if row["stat"] == "median" and row["data_year"] == "2024" and row["name"] != NATION
    ]
    large = MARKETS["large"]

    assert len(states) == 10
    assert min(states) <= large.likely <= max(states)
    assert large.low >= min(states)


def test_a_small_market_lies_where_low_wage_states_do() -> None:
    """By the median of the year of its figures; the shares are published with two decimals."""
    small, median = MARKETS["small"], _published(NATION, "median", "2024")
    shares = [round(wage / median, 2) for wage in (small.low, small.likely, small.high)]
    low, high = (_published("small or rural market", f"{end} over national median") for end in ("low", "high"))

    assert shares[0] == low
    assert low < shares[1] < high
    assert shares[2] == high
    assert low <= small.likely / _published(NATION, "median", "2025") <= high


def test_markets_rise_with_their_size() -> None:
    wages = [MARKETS[name].likely for name in ("small", "medium", "large")]

    assert wages == sorted(set(wages))


def test_settings_are_those_of_the_published_rate() -> None:
    assert SETTINGS["wage_burden"] == _published("total compensation over wage, construction", "mean")
    assert SETTINGS["billable_share"] == _published("billable share of paid hours", "likely")
    assert SETTINGS["overhead_percent"] == _published("overhead on direct cost", "likely")
    assert SETTINGS["profit_percent"] == _published("net profit on selling price", "likely")


def test_the_selling_rate_at_the_national_mean_wage() -> None:
    """About 101 USD/h is published as wage x 1.43 / 0.72 x 1.35 x 1.10.

    Ours differs in two ways, both stated in the settings: profit is a share of
    the price, so it divides by 1 - 0.10 where the published rate multiplies by
    1.10, which is 1 % more; and contingency comes on top. Without contingency
    the two are 101 x 1 / (0.90 x 1.10) = 102.4; in a house after 1990 (5 %) it is
    107.5, and in one before 1960 (20 %) 122.9: within the published range of 75
    to 160.
    """
    wage = _published(NATION, "mean", "2025")
    market = {"market": {"medium": wage}}
    job = plain_job(market="medium", house_age="newer")
    plain, concealed, old = (
        calculate(job.assign(house_age=age), books=books_with(market, settings=settings))["sell_rate_usd"].iloc[0]
        for age, settings in (("newer", {"contingency_newer": 0}), ("newer", {}), ("older", {}))
    )
    published = wage * 1.43 / 0.72 * 1.35 * 1.10

    assert published == pytest.approx(_published(SELLING, "about"), abs=0.5)
    assert plain == pytest.approx(published / (0.90 * 1.10), abs=0.01)
    assert concealed == pytest.approx(plain * 1.05, abs=0.01)
    assert old == pytest.approx(plain * 1.20, abs=0.01)
    assert _published(SELLING, "low") <= plain < concealed < old <= _published(SELLING, "high")
