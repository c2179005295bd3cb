"""Mean, variance and state of the lines of the books, against the published distribution.

A beta distribution between low and high with the shapes alpha = 1 + 4 (likely -
low) / (high - low) and beta = 1 + 4 (high - likely) / (high - low),
https://search.r-project.org/CRAN/refmans/mc2d/html/pert.html; its variance is
alpha beta / ((alpha + beta)^2 (alpha + beta + 1)) (high - low)^2,
https://docs.rs/u-numflow/0.4.0/u_numflow/distributions/struct.Pert.html.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook_builder.code_tables.books import BOOKS, BookLine, Books
from workbook_builder.code_tables.load import load
from workbook_builder.reference.books import Book, book_statistics
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.run import calculate

from .jobs import plain_job, results_of
from .prices import books_with

NAN = float("nan")
OURS = load().books
LINES = [(book, line) for book in BOOKS for line in OURS.lines[book]]
HALF_STEP = 0.5000001e-6


def shapes(low: Fraction, likely: Fraction, high: Fraction) -> tuple[Fraction, Fraction]:
    return 1 + 4 * (likely - low) / (high - low), 1 + 4 * (high - likely) / (high - low)


def published(low: float, likely: float, high: float) -> tuple[Fraction, Fraction]:
    """Mean and variance in exact arithmetic."""
    low, likely, high = (Fraction(repr(point)) for point in (low, likely, high))
    if low == high:
        return low, Fraction(0)
    alpha, beta = shapes(low, likely, high)
    both = alpha + beta
    mean = low + (high - low) * alpha / both
    return mean, alpha * beta / (both**2 * (both + 1)) * (high - low) ** 2


def one_line(low: float, likely: float, high: float, key: str = "toy") -> Book:
    return Book.of([BookLine(key, "Toy", "each", low, likely, high, False, "", "made up")])


def check(low: float, likely: float, high: float) -> None:
    """Mean to its last decimal; the variance is calculated from that mean."""
    book, (mean, variance) = one_line(low, likely, high), published(low, likely, high)

    assert book.states == ("OK",)
    assert book.mean[1] == pytest.approx(float(mean), abs=HALF_STEP)
    assert book.variance[1] == pytest.approx(float(variance), abs=2e-6 + 1e-6 * (high - low))


@pytest.mark.parametrize(("book", "line"), LINES, ids=[f"{book}:{line.key}" for book, line in LINES])
def test_lines_of_the_package_have_the_published_mean_and_variance(book: str, line: BookLine) -> None:
    check(line.low, line.likely, line.high)


@pytest.mark.parametrize(("book", "line"), LINES, ids=[f"{book}:{line.key}" for book, line in LINES])
def test_variances_keep_twelve_decimals(book: str, line: BookLine) -> None:
    """By decimal arithmetic from the mean at six; a float of thousands holds no twelfth."""
    low, likely, high = (Decimal(repr(point)) for point in (line.low, line.likely, line.high))
    mean = ((low + 4 * likely + high) / 6).quantize(Decimal("1e-6"), ROUND_HALF_UP)
    variance = float(((mean - low) * (high - mean) / 7).quantize(Decimal("1e-12"), ROUND_HALF_UP))

    assert Book.of([line]).mean[1] == float(mean)
    assert Book.of([line]).variance[1] == pytest.approx(variance, rel=1e-14, abs=0)


POINTS = st.lists(st.integers(0, 10**7).map(lambda cents: cents / 100), min_size=3, max_size=3).map(sorted)


@given(points=POINTS)
def test_any_line_has_the_published_mean_and_variance(points: list[float]) -> None:
    check(*points)


@pytest.mark.parametrize("points", [(25, 120, 300), (0.6, 1, 1.75), (26, 30.38, 34.37), (0, 0, 3), (1, 4, 4)])
def test_draws_from_the_distribution_have_that_mean_and_variance(points: tuple[float, float, float]) -> None:
    """A million draws: the mean within five of its standard errors, the variance within one percent."""
    low, _, high = points
    alpha, beta = (float(shape) for shape in shapes(*map(Fraction, map(repr, points))))
    drawn = low + (high - low) * np.random.default_rng(7).beta(alpha, beta, 10**6)
    book = one_line(*points)

    assert book.mean[1] == pytest.approx(drawn.mean(), abs=5 * drawn.std() / 1000)
    assert book.variance[1] == pytest.approx(drawn.var(), rel=0.01)


@pytest.mark.parametrize(
    "points",
    [(NAN, 1, 2), (1, NAN, 2), (1, 2, NAN), (-1, 1, 2), (2, 1, 3), (1, 3, 2), (1, 2, float("inf"))],
)
def test_a_line_out_of_order_stops_and_has_no_mean(points: tuple[float, float, float]) -> None:
    book = one_line(*points)

    assert (book.states, book.bad()) == (("STOP",), 1)
    assert (book.likely[1], book.mean[1], book.variance[1]) == (0, 0, 0)


def test_a_spare_row_is_neither_right_nor_wrong() -> None:
    """A row without a name; with numbers it is one that somebody forgot to name."""
    assert (one_line(NAN, NAN, NAN, key="").states, one_line(NAN, NAN, NAN, key="").bad()) == (("",), 0)
    assert one_line(1, 2, 3, key="").states == ("STOP",)
    assert one_line(NAN, NAN, NAN).states == ("STOP",)


def test_lines_are_found_whatever_the_case_of_letters_and_the_first_counts() -> None:
    line = BookLine("Bolt", "Bolt", "each", 1.0, 1.0, 1.0, False, "", "made up")
    book = Book.of([replace(line, key=""), line, replace(line, key="BOLT"), replace(line, key="Nut")])
    asked = Choice(("bolt", "nut", "screw"), np.array([0, 1, 2, -1]))

    assert book.place_of(asked).tolist() == [2, 4, 0, 0]


def test_statistics_have_every_row_of_every_book_and_every_line() -> None:
    found, tables = book_statistics(OURS), load()
    fixed = [line for line in tables.takeoff_lines if not line.by_size]

    for book in BOOKS:
        assert found[book]["key"].tolist() == list(OURS.keys(book))
        assert list(found[book]) == ["key", "state", "mean", "variance"]
        assert set(found[book]["state"]) == {"OK"}
    assert found["settings"]["key"].tolist() == list(OURS.settings)
    assert set(found["settings"]["state"]) == {"OK"}
    assert found["takeoff_lines"].index.tolist() == [line.name for line in fixed]
    assert found["takeoff_lines"]["key"].tolist() == [line.item for line in fixed]
    assert found["work_lines"].index.tolist() == [task.name for task in tables.work_lines]
    assert list(found["work_lines"]) == ["key", "place", "likely", "mean", "variance"]
    place = OURS.keys("price_book").index("permit") + 1
    assert found["takeoff_lines"].loc["permits"].tolist() == ["permit", place, 120, 134.166667, 2586.210320158730]


@pytest.mark.parametrize(
    ("name", "value", "state"),
    [("tax_percent", 0, "OK"), ("tax_percent", NAN, "STOP"), ("tax_percent", -1, "STOP"), ("company_name", "", "OK"),
     ("tax_percent", "7", "STOP"), ("tax_percent", "", "STOP"), ("tax_percent", True, "STOP"),
     ("tax_percent", float("inf"), "STOP"), ("profit_percent", 90, "OK"), ("profit_percent", 95, "STOP"),
     ("length_ft", 0, "STOP")],
)  # fmt: skip
def test_state_of_a_setting(name: str, value: float | str, state: str) -> None:
    states = book_statistics(books_with(settings={name: value}))["settings"].set_index("key")["state"]

    assert states.pop(name) == state
    assert set(states) == {"OK"}


def with_line(book: str, key: str, **points: float) -> Books:
    lines = {
        name: tuple(replace(line, **points) if (name, line.key) == (book, key) else line for line in OURS.lines[name])
        for name in BOOKS
    }
    return Books(lines, OURS.settings)


@pytest.mark.parametrize(
    ("book", "key"),
    [("price_book", "permit"), ("labour_units", "L01"), ("factors", "copper"), ("market", "small")],
)
@pytest.mark.parametrize("points", [{"likely": NAN}, {"low": -1.0}, {"high": 0.0}])
def test_a_line_out_of_order_stops_every_job(book: str, key: str, points: dict[str, float]) -> None:
    row = calculate(plain_job(), books=with_line(book, key, **points)).iloc[0]

    assert row["books_bad"] == 1
    assert row["price_state"] == "STOP: a line of the price books or a setting is out of order"


def test_spare_rows_and_own_lines_of_the_price_book() -> None:
    """Places count them; a size that the company added has a price."""
    blank = BookLine("", "", "", NAN, NAN, NAN, False, "", "")
    own = BookLine("panel indoor|150", "Panel, 150 A bus", "each", 100.0, 150.0, 200.0, False, "2026", "our supplier")
    lines = OURS.lines | {"price_book": (*OURS.lines["price_book"], blank, own, blank)}
    job = plain_job(main_spaces_used=20, add_1pole=1, added_bus_wanted_a=150)
    before, after = calculate(job).iloc[0], calculate(job, books=Books(lines, OURS.settings)).iloc[0]

    assert (before["added_panels_place"], after["added_panels_place"]) == (0, len(OURS.lines["price_book"]) + 2)
    assert (before["added_missing"], after["added_missing"]) == (1, 0)
    assert (after["added_panels_usd"], after["added_panels_mean_usd"], after["books_bad"]) == (150, 150, 0)


def test_settings_behave_like_parameters() -> None:
    changed = calculate(plain_job(), overrides={"overhead_percent": 0.0, "tax_percent": 0.0}).iloc[0]

    assert changed["price_scale"] == pytest.approx(1.10 / 0.90, abs=1e-6)
    assert changed["material_scale"] == 1.07
    assert results_of()["price_scale"] == pytest.approx(1.35 * 1.10 / 0.90, abs=1e-6)
    with pytest.raises(ValueError, match="no parameters: luck_percent"):
        calculate(plain_job(), overrides={"luck_percent": 1.0})


def test_a_setting_given_by_hand_is_held_to_the_same_limits() -> None:
    """One in order mends a book whose own is not; one out of order stops."""
    broken = books_with(settings={"tax_percent": NAN})
    mended = calculate(plain_job(), books=broken, overrides={"tax_percent": 7.0}).iloc[0]
    stopped = calculate(plain_job(), overrides={"length_ft": 0.0}).iloc[0]

    assert (mended["books_bad"], stopped["books_bad"]) == (0, 1)
    assert mended["price_likely_usd"] == results_of()["price_likely_usd"] > 0
    assert np.isnan(stopped["price_likely_usd"])


def test_copper_flags_of_the_book_are_the_lines_that_the_rules_multiply() -> None:
    """Conductors, cable and bare conductors of copper, and no other line."""
    flagged = {line.key for line in OURS.lines["price_book"] if line.copper}
    by_name = {
        key for key in OURS.keys("price_book") if "copper|" in key and key.split("|")[0].split()[-1] == "copper"
    }

    assert flagged == by_name
