"""Cooking units by the demand table and its notes 1 to 3."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import whole_below

NOW = {"range_counted_kw": "now_range_counted_kw", "add_range_kw": 0.0}


def _units(
    range_counted_kw: np.ndarray,
    oven_count: np.ndarray,
    oven_each_kw: np.ndarray,
    cooktop_kw: np.ndarray,
    add_range_kw: np.ndarray,
) -> Iterator[tuple[np.ndarray | float, np.ndarray]]:
    """Number and rating of the cooking units, kind by kind."""
    yield 1.0, np.asarray(range_counted_kw)
    yield oven_count, np.asarray(oven_each_kw)
    yield 1.0, np.asarray(cooktop_kw)
    yield 1.0, np.asarray(add_range_kw)


@rule("now_range_counted_kw", dropped=False)
@rule("range_counted_kw", dropped="drop_range")
def range_counted_kw(range_kw: np.ndarray, dropped: np.ndarray) -> np.ndarray:
    """The present range counts unless it is dropped.

    Section: Table 220.55; Table 120.55 (2026).
    Inputs: range_kw [kW], dropped [yes or no]. Result: [kW].
    """
    return np.where(dropped, 0.0, range_kw)


@rule("now_cooking_nameplate_va", **NOW)
@rule("cooking_nameplate_va")
def cooking_nameplate_va(
    *,
    range_counted_kw: np.ndarray,
    oven_count: np.ndarray,
    oven_each_kw: np.ndarray,
    cooktop_kw: np.ndarray,
    add_range_kw: np.ndarray,
    va_per_kw: np.ndarray,
) -> np.ndarray:
    """All cooking units at their ratings.

    Section: 220.82(B)(3), Table 220.55; Table 120.55 (2026).
    Inputs: ratings [kW], oven_count [units]. Result: [VA].

    >>> float(cooking_nameplate_va(range_counted_kw=12, oven_count=2, oven_each_kw=4,
    ...       cooktop_kw=0, add_range_kw=0, va_per_kw=1000))
    20000.0
    """
    units = _units(range_counted_kw, oven_count, oven_each_kw, cooktop_kw, add_range_kw)
    return sum(count * rating for count, rating in units) * va_per_kw


@rule("now_cooking_units", **NOW)
@rule("cooking_units")
def cooking_units(
    *,
    range_counted_kw: np.ndarray,
    oven_count: np.ndarray,
    oven_each_kw: np.ndarray,
    cooktop_kw: np.ndarray,
    add_range_kw: np.ndarray,
    cooking_floor: np.ndarray,
) -> np.ndarray:
    """Units rated over the floor of the table.

    Section: Table 220.55; Table 120.55 (2026).
    Inputs: ratings, cooking_floor [kW], oven_count [units]. Result: [units].
    """
    units = _units(range_counted_kw, oven_count, oven_each_kw, cooktop_kw, add_range_kw)
    return sum(np.where(rating > cooking_floor, count, 0.0) for count, rating in units)


@rule("now_cooking_small_va", **NOW)
@rule("cooking_small_va")
def cooking_small_va(
    *,
    range_counted_kw: np.ndarray,
    oven_count: np.ndarray,
    oven_each_kw: np.ndarray,
    cooktop_kw: np.ndarray,
    add_range_kw: np.ndarray,
    cooking_floor: np.ndarray,
    va_per_kw: np.ndarray,
) -> np.ndarray:
    """Units up to the floor of the table stay whole, outside it.

    Section: Table 220.55; Table 120.55 (2026).
    Inputs: ratings, cooking_floor [kW], oven_count [units]. Result: [VA].
    """
    units = _units(range_counted_kw, oven_count, oven_each_kw, cooktop_kw, add_range_kw)
    small = sum(np.where(rating <= cooking_floor, count * rating, 0.0) for count, rating in units)
    return small * va_per_kw


def _in_a(rating: np.ndarray, floor: np.ndarray, a_limit: np.ndarray) -> np.ndarray:
    return (rating > floor) & (rating < a_limit)


def _in_b(rating: np.ndarray, a_limit: np.ndarray, b_limit: np.ndarray) -> np.ndarray:
    return (rating >= a_limit) & (rating <= b_limit)


@rule("now_cooking_a_units", **NOW)
@rule("cooking_a_units")
def cooking_a_units(
    *,
    range_counted_kw: np.ndarray,
    oven_count: np.ndarray,
    oven_each_kw: np.ndarray,
    cooktop_kw: np.ndarray,
    add_range_kw: np.ndarray,
    cooking_floor: np.ndarray,
    cooking_a_limit: np.ndarray,
) -> np.ndarray:
    """Units of column A: over the floor and under the limit of that column.

    Section: Table 220.55; Table 120.55 (2026).
    Inputs: ratings, limits [kW], oven_count [units]. Result: [units].
    """
    units = _units(range_counted_kw, oven_count, oven_each_kw, cooktop_kw, add_range_kw)
    return sum(
        np.where(_in_a(rating, cooking_floor, cooking_a_limit), count, 0.0)
        for count, rating in units
    )


@rule("now_cooking_a_kw", **NOW)
@rule("cooking_a_kw")
def cooking_a_kw(
    *,
    range_counted_kw: np.ndarray,
    oven_count: np.ndarray,
    oven_each_kw: np.ndarray,
    cooktop_kw: np.ndarray,
    add_range_kw: np.ndarray,
    cooking_floor: np.ndarray,
    cooking_a_limit: np.ndarray,
) -> np.ndarray:
    """Rating of the units of column A.

    Section: Table 220.55; Table 120.55 (2026).
    Inputs: ratings, limits [kW], oven_count [units]. Result: [kW].
    """
    units = _units(range_counted_kw, oven_count, oven_each_kw, cooktop_kw, add_range_kw)
    return sum(
        np.where(_in_a(rating, cooking_floor, cooking_a_limit), count * rating, 0.0)
        for count, rating in units
    )


@rule("now_cooking_b_units", **NOW)
@rule("cooking_b_units")
def cooking_b_units(
    *,
    range_counted_kw: np.ndarray,
    oven_count: np.ndarray,
    oven_each_kw: np.ndarray,
    cooktop_kw: np.ndarray,
    add_range_kw: np.ndarray,
    cooking_a_limit: np.ndarray,
    cooking_b_limit: np.ndarray,
) -> np.ndarray:
    """Units of column B: from the limit of column A up to and with its own.

    Section: Table 220.55 note 3; Table 120.55 note 3 (2026).
    Inputs: ratings, limits [kW], oven_count [units]. Result: [units].
    """
    units = _units(range_counted_kw, oven_count, oven_each_kw, cooktop_kw, add_range_kw)
    return sum(
        np.where(_in_b(rating, cooking_a_limit, cooking_b_limit), count, 0.0)
        for count, rating in units
    )


@rule("now_cooking_b_kw", **NOW)
@rule("cooking_b_kw")
def cooking_b_kw(
    *,
    range_counted_kw: np.ndarray,
    oven_count: np.ndarray,
    oven_each_kw: np.ndarray,
    cooktop_kw: np.ndarray,
    add_range_kw: np.ndarray,
    cooking_a_limit: np.ndarray,
    cooking_b_limit: np.ndarray,
) -> np.ndarray:
    """Rating of the units of column B.

    Section: Table 220.55 note 3; Table 120.55 note 3 (2026).
    Inputs: ratings, limits [kW], oven_count [units]. Result: [kW].
    """
    units = _units(range_counted_kw, oven_count, oven_each_kw, cooktop_kw, add_range_kw)
    return sum(
        np.where(_in_b(rating, cooking_a_limit, cooking_b_limit), count * rating, 0.0)
        for count, rating in units
    )


@rule(
    "now_cooking_over_units",
    cooking_units="now_cooking_units",
    cooking_a_units="now_cooking_a_units",
    cooking_b_units="now_cooking_b_units",
)
@rule("cooking_over_units")
def cooking_over_units(
    cooking_units: np.ndarray, cooking_a_units: np.ndarray, cooking_b_units: np.ndarray
) -> np.ndarray:
    """Units too large for columns A and B.

    Section: Table 220.55 note 3; Table 120.55 note 3 (2026).
    Inputs: units [units]. Result: [units].
    """
    return cooking_units - cooking_a_units - cooking_b_units


@rule("now_cooking_raised_kw", over_kw="cooking_floor", **NOW)
@rule("cooking_raised_kw", over_kw="cooking_floor")
@rule("now_cooking_over_raised_kw", over_kw="cooking_b_limit", **NOW)
@rule("cooking_over_raised_kw", over_kw="cooking_b_limit")
def cooking_raised_kw(
    *,
    range_counted_kw: np.ndarray,
    oven_count: np.ndarray,
    oven_each_kw: np.ndarray,
    cooktop_kw: np.ndarray,
    add_range_kw: np.ndarray,
    over_kw: np.ndarray,
    cooking_c_limit: np.ndarray,
) -> np.ndarray:
    """For the average of note 2 a unit counts at least with the limit of column C.

    Section: Table 220.55 notes 1 and 2; Table 120.55 notes 1 and 2 (2026).
    Inputs: ratings, over_kw, cooking_c_limit [kW], oven_count [units]. Result: [kW].
    Limits: only units rated more than over_kw.

    >>> float(cooking_raised_kw(range_counted_kw=14, oven_count=2, oven_each_kw=5, cooktop_kw=1,
    ...       add_range_kw=0, over_kw=1.75, cooking_c_limit=12))
    38.0
    """
    units = _units(range_counted_kw, oven_count, oven_each_kw, cooktop_kw, add_range_kw)
    return sum(
        np.where(rating > over_kw, count * np.maximum(rating, cooking_c_limit), 0.0)
        for count, rating in units
    )


def percent_of_column(column: str, units: np.ndarray) -> np.ndarray:
    """Percentage [%] of column A or B for so many units; the last row for more than it holds."""
    return _row(f"column_{column}", units)


def _row(column: str, units: np.ndarray) -> np.ndarray:
    last = len(lookup.numbers("cooking_demand", column))
    position = np.clip(np.asarray(units), 1, last).astype(np.int64)
    return lookup.at_position("cooking_demand", column, position)


@rule("now_cooking_c_kw", units="now_cooking_units", raised_kw="now_cooking_raised_kw")
@rule("cooking_c_kw", units="cooking_units", raised_kw="cooking_raised_kw")
@rule("now_cooking_over_kw", units="now_cooking_over_units", raised_kw="now_cooking_over_raised_kw")
@rule("cooking_over_kw", units="cooking_over_units", raised_kw="cooking_over_raised_kw")
def column_c_kw(
    *,
    units: np.ndarray,
    raised_kw: np.ndarray,
    cooking_c_limit: np.ndarray,
    cooking_step_rate: np.ndarray,
    cooking_major_fraction: np.ndarray,
) -> np.ndarray:
    """Column C for the units, raised for each kW, or major part of one, of their average over its limit.

    Section: Table 220.55 notes 1 and 2; Table 120.55 notes 1 and 2 (2026).
    Inputs: units [units], raised_kw, cooking_c_limit, cooking_major_fraction [kW],
    cooking_step_rate [1/kW]. Result: [kW].
    Limits: units to 27 kW; the last row for more units than the table holds.

    Example: one range of 12 kW (Annex D1(a)), one of 14 kW, and ten of 14 kW:
    https://sciemce.com/qa/g0CLQ1jC7Xm5 and
    https://www.ecmweb.com/national-electrical-code/quizzes/article/55331465/code-quiz-electric-ranges-demand-load-requirement
    >>> notes = dict(cooking_c_limit=12, cooking_step_rate=0.05, cooking_major_fraction=0.5)
    >>> float(column_c_kw(units=1, raised_kw=12, **notes))
    8.0
    >>> float(column_c_kw(units=1, raised_kw=14, **notes).round(6))
    8.8
    >>> float(column_c_kw(units=10, raised_kw=140, **notes).round(6))
    27.5
    """
    average = np.divide(raised_kw, np.maximum(units, 1))
    steps = whole_below(average - cooking_c_limit + cooking_major_fraction)
    raised = _row("column_c", units) * (1.0 + cooking_step_rate * steps)
    return np.where(np.greater(units, 0), raised, 0.0)


@rule(
    "now_cooking_ab_kw",
    a_units="now_cooking_a_units",
    a_kw="now_cooking_a_kw",
    b_units="now_cooking_b_units",
    b_kw="now_cooking_b_kw",
    over_kw="now_cooking_over_kw",
)
@rule(
    "cooking_ab_kw",
    a_units="cooking_a_units",
    a_kw="cooking_a_kw",
    b_units="cooking_b_units",
    b_kw="cooking_b_kw",
    over_kw="cooking_over_kw",
)
def cooking_ab_kw(
    *,
    a_units: np.ndarray,
    a_kw: np.ndarray,
    b_units: np.ndarray,
    b_kw: np.ndarray,
    over_kw: np.ndarray,
    percent: np.ndarray,
) -> np.ndarray:
    """Smaller units by their percentages in columns A and B, the larger ones by column C.

    Section: Table 220.55 note 3; Table 120.55 note 3 (2026).
    Inputs: units [units], ratings [kW]. Result: [kW].
    """
    a_part = a_kw * percent_of_column("a", a_units) / percent
    b_part = b_kw * percent_of_column("b", b_units) / percent
    return a_part + b_part + over_kw


@rule(
    "now_cooking_demand_va",
    cooking_c_kw="now_cooking_c_kw",
    cooking_ab_kw="now_cooking_ab_kw",
    cooking_small_va="now_cooking_small_va",
)
@rule("cooking_demand_va")
def cooking_demand_va(
    *,
    cooking_c_kw: np.ndarray,
    cooking_ab_kw: np.ndarray,
    cooking_small_va: np.ndarray,
    va_per_kw: np.ndarray,
) -> np.ndarray:
    """The smaller of the two ways through the table, and the small units beside it.

    Section: Table 220.55; Table 120.55 (2026).
    Inputs: cooking_c_kw, cooking_ab_kw [kW], cooking_small_va [VA]. Result: [VA].

    Example: Annex D1(a), 12 kW range.
    >>> float(cooking_demand_va(cooking_c_kw=8, cooking_ab_kw=8, cooking_small_va=0,
    ...                         va_per_kw=1000))
    8000.0
    """
    return np.minimum(cooking_c_kw, cooking_ab_kw) * va_per_kw + cooking_small_va


@rule(
    "cooking_state",
    words=(
        "OK",
        "STOP: more cooking units than the demand table holds",
        "STOP: a cooking unit is over the demand table",
    ),
)
def cooking_state(
    *,
    range_kw: np.ndarray,
    oven_each_kw: np.ndarray,
    cooktop_kw: np.ndarray,
    add_range_kw: np.ndarray,
    cooking_units: np.ndarray,
    now_cooking_units: np.ndarray,
    cooking_limit: np.ndarray,
) -> np.ndarray:
    """Stops where a unit, or the number of units, is outside the table.

    Section: Table 220.55; Table 120.55 (2026).
    Inputs: ratings, cooking_limit [kW], units [units]. Result: place in the words.
    """
    ratings = (range_kw, oven_each_kw, cooktop_kw, add_range_kw)
    large = np.logical_or.reduce([rating > cooking_limit for rating in ratings])
    rows = len(lookup.numbers("cooking_demand", "units"))
    many = (cooking_units > rows) | (now_cooking_units > rows)
    return np.where(large, 2, np.where(many, 1, 0))
