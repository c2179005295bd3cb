"""Demand of the cooking units by the columns of the table."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import whole_below


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


@rule("cooking_largest_kw")
def cooking_largest_kw(
    range_kw: np.ndarray, oven_each_kw: np.ndarray, cooktop_kw: np.ndarray, add_range_kw: np.ndarray
) -> np.ndarray:
    """The largest cooking unit, present or planned.

    Section: Table 220.55; Table 120.55 (2026).
    Inputs: ratings [kW]. Result: [kW].
    """
    return np.maximum(np.maximum(range_kw, oven_each_kw), np.maximum(cooktop_kw, add_range_kw))


@rule(
    "cooking_state",
    words=(
        "OK",
        "STOP: a cooking unit is over the demand table",
        "STOP: more cooking units than the demand table holds",
    ),
)
def cooking_state(
    cooking_largest_kw: np.ndarray,
    cooking_limit: np.ndarray,
    cooking_units: np.ndarray,
    now_cooking_units: np.ndarray,
) -> np.ndarray:
    """Stops where a unit, or the number of units, is outside the table.

    Section: Table 220.55; Table 120.55 (2026).
    Inputs: cooking_largest_kw, cooking_limit [kW], units [units]. Result: place in the words.
    """
    rows = len(lookup.numbers("cooking_demand", "units"))
    many = (cooking_units > rows) | (now_cooking_units > rows)
    return first_true((cooking_largest_kw > cooking_limit, many))
