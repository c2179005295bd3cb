"""A book or a setting that is out of order: no way has a price, and the rest of the workbook still speaks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from workbook_builder.code_tables.books import BOOKS, LIMITS, Books
from workbook_builder.code_tables.load import load
from workbook_builder.reference.books import setting_values
from workbook_builder.reference.run import calculate

from .jobs import feasible_jobs, plain_job
from .prices import books_with

NAN = float("nan")
OURS = load().books
STOPPED = "STOP: a line of the price books or a setting is out of order"
NUMBERS = [name for name, one in OURS.settings.items() if one.unit != "text"]
RATES = ("rate_likely_usd", "rate_mean_usd", "sell_rate_usd", "permit_mean_usd")
PRICES = [
    *(f"{one}_package_usd" for one in ("common", "existing", "added", "control", "service")),
    *(f"{one}_price_usd" for one in ("existing_spaces", "added_panel", "load_control", "larger_service")),
    "material_usd", "labour_hours", "price_likely_usd", "price_modes_usd", "price_low_usd", "price_high_usd",
    "price_cv", "price_sigma", "direct_mean_usd", "material_var", "labour_var", "copper_var", "other_var",
    "mean_copper_usd", "mean_other_usd",
    *(f"{side}_{line}_usd" for side in ("likely", "mean") for line in
      ("consumables", "tax", "labour", "permit", "direct", "overhead", "contingency", "profit")),
    "mean_material_usd",
]  # fmt: skip
"""Every amount of the Price sheet but the rates, with what the way chosen takes."""


def renamed(book: str, key: str, new: str) -> Books:
    """The books of the package, one key of them written anew."""
    lines = {
        name: tuple(
            replace(line, key=new) if (name, line.key) == (book, key) else line for line in OURS.lines[name]
        )
        for name in BOOKS
    }
    return Books(lines, OURS.settings)


def without(book: str, key: str) -> Books:
    lines = {
        name: tuple(line for line in OURS.lines[name] if (name, line.key) != (book, key)) for name in BOOKS
    }
    return Books(lines, OURS.settings)


CASES: dict[str, Callable[[], Books]] = {
    "setting missing": lambda: books_with(settings={"tax_percent": NAN}),
    "setting a text": lambda: books_with(settings={"wage_burden": "a lot"}),
    "setting under its least": lambda: books_with(settings={"length_ft": 0}),
    "setting over its most": lambda: books_with(settings={"profit_percent": 100}),
    "price without likely": lambda: books_with({"price_book": {"permit": (25, NAN, 300)}}),
    "price that falls": lambda: books_with({"price_book": {"feeder breaker|400": (9, 5, 1)}}),
    "wage negative": lambda: books_with({"market": {"large": (-1, 5, 9)}}),
    "price key renamed": lambda: renamed("price_book", "ground rod", "rod"),
    "price line gone": lambda: without("price_book", "permit"),
    "labour key renamed": lambda: renamed("labour_units", "L01", "L01x"),
    "labour line gone": lambda: without("labour_units", "L12"),
}


@pytest.fixture(scope="module")
def jobs() -> pd.DataFrame:
    """Jobs of every way, wanted and not; the plain one among them."""
    return pd.concat([plain_job(job_no="P1"), feasible_jobs(80, seed=23)], ignore_index=True)


@pytest.fixture(scope="module")
def good(jobs: pd.DataFrame) -> pd.DataFrame:
    found = calculate(jobs)
    assert (found["books_bad"].dropna() == 0).all()
    assert found["price_likely_usd"].notna().sum() > 20
    assert len(set(found["option_chosen"])) > 2
    return found


@pytest.mark.parametrize("case", CASES)
def test_every_price_is_blank_and_the_state_stops(jobs: pd.DataFrame, good: pd.DataFrame, case: str) -> None:
    found = calculate(jobs, books=CASES[case]())
    ready = found["row_state"] == "ready"

    assert (found.loc[ready, "books_bad"] > 0).all()
    assert found[PRICES].isna().all(axis=None)
    assert set(found.loc[ready, "price_state"]) == set(found.loc[ready, "point_price"]) == {STOPPED}
    assert set(found.loc[ready, "job_status"]) == {"STOP"}
    assert (found.loc[ready, list(RATES)] >= 0).all(axis=None)
    assert not np.isinf(found.select_dtypes(float)).any(axis=None)


@pytest.mark.parametrize("case", CASES)
def test_the_ways_are_still_judged_in_words(jobs: pd.DataFrame, good: pd.DataFrame, case: str) -> None:
    """Each way's reason stays; the first that works is chosen, as if each cost the same."""
    found = calculate(jobs, books=CASES[case]())
    ready = found[found["row_state"] == "ready"]
    ways = ("existing spaces", "added panel", "load control", "larger service")
    for way in ways:
        start, none = way.replace(" ", "_"), OURS.settings["unpriced_usd"].value
        works = ready[f"{start}_feasible"] == "yes"
        assert found[f"{start}_reason"].equals(good[f"{start}_reason"])
        assert (ready[f"{start}_rank_usd"] == np.where(works, none, 2 * none)).all()
    for _, row in ready.iterrows():
        first = next((way for way in ways if row[f"{way.replace(' ', '_')}_feasible"] == "yes"), "none")
        assert row["option_rank"] == first
        assert row["option_state"] != "CHECK: a cheaper way works"
        assert row["option_reason"].endswith(row["chosen_reason"] or "see the four reasons.")


@pytest.mark.parametrize("name", NUMBERS)
def test_a_setting_out_of_order_works_as_the_least_that_it_may_be(
    jobs: pd.DataFrame, good: pd.DataFrame, name: str
) -> None:
    """And so no quantity is lost or endless: the quantities are those of that least number."""
    least = LIMITS.get(name, (0, None))[0]
    quantities = [
        one.name for one in load().rules.values() if one.sheet in ("Takeoff", "Line costs", "Labour")
    ]
    quantities = [one for one in quantities if one not in ("material_usd", "labour_hours")]
    wanted = jobs.head(40).assign(option_wanted=good.head(40)["option_chosen"].tolist())
    same = calculate(wanted, books=books_with(settings={name: least}))
    assert set(same["books_bad"].dropna()) == {0}
    found = calculate(wanted, books=books_with(settings={name: NAN}))

    assert set(found["books_bad"].dropna()) == {1}
    pd.testing.assert_frame_equal(found[quantities], same[quantities])
    for value in (NAN, "12", "", -1.0, float("inf"), True):
        assert setting_values(books_with(settings={name: value}))[name] == least


def lines_that_take(book: str, key: str) -> int:
    """Of the Takeoff and the Labour, with this fixed key."""
    if book == "labour_units":
        return [task.unit_id for task in load().work_lines].count(key)
    return [line.item for line in load().takeoff_lines if not line.by_size].count(key)


UNITS = [task.unit_id for task in load().work_lines]
SHARED_UNIT = max(UNITS, key=UNITS.count)


@pytest.mark.parametrize(
    ("book", "key"),
    [("price_book", "permit"), ("price_book", "ground rod"), ("price_book", "surge device")]
    + [("labour_units", "L01"), ("labour_units", SHARED_UNIT)],
)
def test_each_line_without_its_key_counts(book: str, key: str) -> None:
    """A renamed line of the book is in order itself; one in other letters is found."""
    taken = lines_that_take(book, key)
    changes = [renamed(book, key, new) for new in ("toy", key.upper(), key.lower())]
    bad = [calculate(plain_job(), books=one).iloc[0]["books_bad"] for one in (without(book, key), *changes)]

    assert taken > 0
    assert bad == [taken, taken, 0, 0]


def test_some_keys_are_taken_by_several_lines() -> None:
    assert lines_that_take("labour_units", SHARED_UNIT) > 1
    assert lines_that_take("price_book", "surge device") > 1


def test_all_that_is_out_of_order_adds_up() -> None:
    """Two settings, a price, a factor, a wage, a line without a key; a price without a name counts twice."""
    lines = {"price_book": {"permit": NAN}, "factors": {"copper": -1.0}, "market": {"small": (3, 2, 1)}}
    broken = books_with(lines, settings={"tax_percent": NAN, "half_day_ft": 0})
    units = tuple(line for line in broken.lines["labour_units"] if line.key != "L01")
    nameless = tuple(
        replace(line, key="") if line.key == "surge device" else line for line in broken.lines["price_book"]
    )
    before = calculate(
        plain_job(), books=Books(broken.lines | {"labour_units": units}, broken.settings)
    ).iloc[0]
    changed = broken.lines | {"labour_units": units, "price_book": nameless}
    after = calculate(plain_job(), books=Books(changed, broken.settings)).iloc[0]

    assert before["books_bad"] == 2 + 3 + lines_that_take("labour_units", "L01")
    assert after["books_bad"] == before["books_bad"] + 1 + lines_that_take("price_book", "surge device")


def test_a_size_that_the_book_lacks_is_no_book_out_of_order() -> None:
    job = plain_job(main_spaces_used=20, option_wanted="added panel")
    key = calculate(job).iloc[0]["added_panels_item"]
    row = calculate(job, books=without("price_book", key)).iloc[0]

    assert (row["books_bad"], row["price_state"]) == (0, "STOP: the price book lacks a size of this way")
    assert row["existing_spaces_price_usd"] > 0
    assert row["labour_hours"] > 0


def test_finished_jobs_are_not_held_to_an_estimate_that_is_not_there() -> None:
    row = calculate(
        plain_job(actual_hours=20, actual_material_usd=500), books=books_with(settings={"tax_percent": NAN})
    ).iloc[0]
    blank = [
        "hours_over",
        "hours_ratio",
        "material_over_usd",
        "material_ratio",
        "cost_over_usd",
        "suggested_factor",
    ]

    assert row[blank].isna().all()
    assert (row["counted_hours"], row["booked_hours"], row["band_jobs"]) == (0, 0, 0)
    assert row["suggestion"] == "No finished job yet."
