"""Cooking units, sorted for the columns of the demand table."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from workbook_builder.reference.registry import rule

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


@rule(
    "now_cooking_table_kw",
    cooking_nameplate_va="now_cooking_nameplate_va",
    cooking_small_va="now_cooking_small_va",
)
@rule("cooking_table_kw")
def cooking_table_kw(
    cooking_nameplate_va: np.ndarray, cooking_small_va: np.ndarray, va_per_kw: np.ndarray
) -> np.ndarray:
    """Rating of the units that the table holds.

    Section: Table 220.55; Table 120.55 (2026).
    Inputs: loads [VA]. Result: [kW].
    """
    return np.divide(cooking_nameplate_va - cooking_small_va, va_per_kw)


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
    return sum(np.where(_in_a(rating, cooking_floor, cooking_a_limit), count, 0.0) for count, rating in units)


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
        np.where(_in_b(rating, cooking_a_limit, cooking_b_limit), count, 0.0) for count, rating in units
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
