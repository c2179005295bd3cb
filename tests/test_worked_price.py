"""Whole jobs worked out again in decimal arithmetic: every line, hour, sum, price and range of several hundred jobs.

`tests/worked` takes a job's quantities, sizes and words, the prices and hours of
the trade's lists and the shipped settings, and works as an estimator does on
paper. It shares no code with the reference or the formulas.
"""

from __future__ import annotations

from decimal import Decimal
from functools import cache

import pytest

from tests.mutation.jobs import hand_frame, job_frame
from workbook_builder.reference.run import calculate_all

from .worked import books, price
from .worked.alone import taken_from_the_program
from .worked.books import CENT, items, settings, shipped, tasks
from .worked.price import worked

WITHIN = Decimal("0.000002")
"""Two roundings at six decimals."""
OF_THE_SPREAD = {"price_low_usd", "price_high_usd"}
"""Prices that hang on price_sigma, of which the workbook keeps six decimals as of price_cv: 1.3 x 1e-6 of the price."""


@cache
def _jobs() -> list[dict[str, object]]:
    """The jobs that are ready; and those made by hand once more where new circuits take plain breakers."""
    hand, rest = hand_frame(), job_frame()
    plain = calculate_all(hand.entries["jobs"], hand.entries["circuits"], overrides={"arc_fault_new": 0.0})[0]
    rows = [
        row for one in (hand.results["jobs"], rest.results["jobs"], plain) for row in one.to_dict("records")
    ]
    return [row for row in rows if row["row_state"] == "ready" and not row["books_bad"]]


@cache
def worked_columns() -> dict[str, tuple[int, list[str]]]:
    """Each column that is worked: in how many jobs it is more than 0, and where it differs from the result."""
    found: dict[str, tuple[int, list[str]]] = {}
    for job in _jobs():
        for name, value in worked(job).items():
            many, differ = found.get(name, (0, []))
            result = price.number(job, name)
            part, least = (Decimal("1.5e-6"), CENT) if name in OF_THE_SPREAD else (Decimal("2e-9"), WITHIN)
            within = least + abs(value) * part
            if abs(result - value) > within or job[name] == "":
                differ.append(f"{job['job_no']}: {job[name]!r}, worked {value}")
            found[name] = many + (value > 0), differ
    return found


@pytest.mark.parametrize("name", sorted(worked_columns()))
def test_a_column_is_as_worked_by_hand_in_every_job(name: str) -> None:
    many, differ = worked_columns()[name]

    assert differ == []
    assert many > 0, "no job has any of it"


def test_every_way_and_every_kind_of_work_is_among_the_jobs() -> None:
    ways = {str(job["option_chosen"]) for job in _jobs()}

    assert {"existing spaces", "added panel", "load control", "larger service"} <= ways
    assert len(_jobs()) > 700


def test_shipped_prices_and_hours_are_those_of_the_trade_lists() -> None:
    """Of every line that is in the lists; otherwise a slip in the books would stand in every estimate."""
    from workbook_builder.code_tables.load import load

    prices = {line.name: line.item for line in load().takeoff_lines if not line.by_size}
    units = {line.name: line.unit_id for line in load().work_lines}
    shown = {task.quantity: shipped("price_book")[prices[task.quantity]] for task in items()}
    shown |= {task.quantity: shipped("labour_units")[units[task.quantity]] for task in tasks()}
    ours = {task.quantity: task.line for task in (*items(), *tasks())}

    points = {name: (line.low, line.likely, line.high) for name, line in shown.items()}
    assert points == {name: (line.low, line.likely, line.high) for name, line in ours.items()}
    assert ours.keys() == prices.keys() | units.keys()


def test_the_quotation_adds_up() -> None:
    """Direct cost, overhead, contingency and profit are the price, and profit is its share of the price."""
    share = settings()["profit_percent"] / 100
    for job in _jobs():
        found = worked(job)
        if "price_likely_usd" in found:
            parts = ("direct", "overhead", "contingency", "profit")
            assert sum(found[f"mean_{part}_usd"] for part in parts) == found["price_likely_usd"]
            assert abs(found["mean_profit_usd"] - share * found["price_likely_usd"]) < 5 * CENT, (
                "it takes up all rounding"
            )


def test_what_works_it_out_takes_nothing_from_the_program() -> None:
    assert [taken_from_the_program(module) for module in (books, price)] == [[], []]
