"""What makes work harder: age of the house, condition of the panel, wall, access."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.books import Book
from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6
from workbook_builder.reference.texts import joined

OVER_THE_CAP = "CHECK: difficulty is over the cap; offer this work by the hour"
CONDITIONS = ("condition sound", "condition crowded")


@rule("age_place")
def age_place(factors: Book, house_age: Choice) -> np.ndarray:
    """The line of the factors for the age of the house.

    Section: own rule.
    Inputs: factors, house_age. Result: place in the factors.
    """
    return factors.place_of(joined("age ", house_age))


@rule("condition_place")
def condition_place(factors: Book, panel_condition: Choice) -> np.ndarray:
    """The line of the factors for the condition of the main panel, sound unless it is crowded.

    Section: own rule.
    Inputs: factors, panel_condition. Result: place in the factors.
    """
    return factors.place_of(Choice(CONDITIONS, panel_condition.is_("crowded").astype(np.int64)))


@rule("wall_place")
def wall_place(factors: Book, wall: Choice) -> np.ndarray:
    """The line of the factors for the wall.

    Section: own rule.
    Inputs: factors, wall. Result: place in the factors.
    """
    return factors.place_of(joined("wall ", wall))


@rule("access_place")
def access_place(factors: Book, access: Choice) -> np.ndarray:
    """The line of the factors for the access to the run.

    Section: own rule.
    Inputs: factors, access. Result: place in the factors.
    """
    return factors.place_of(joined("access ", access))


@rule("age_likely", place="age_place")
@rule("condition_likely", place="condition_place")
@rule("wall_likely", place="wall_place")
@rule("access_likely", place="access_place")
def factor_likely(factors: Book, place: np.ndarray) -> np.ndarray:
    """A factor of difficulty, likely.

    Section: own rule.
    Inputs: place in the factors. Result: [1].
    """
    return factors.likely[place]


@rule("age_mean", place="age_place")
@rule("condition_mean", place="condition_place")
@rule("wall_mean", place="wall_place")
@rule("access_mean", place="access_place")
def factor_mean(factors: Book, place: np.ndarray) -> np.ndarray:
    """A factor of difficulty, mean.

    Section: own rule.
    Inputs: place in the factors. Result: [1].
    """
    return factors.mean[place]


@rule("age_rel", place="age_place")
@rule("condition_rel", place="condition_place")
@rule("wall_rel", place="wall_place")
@rule("access_rel", place="access_place")
def factor_relative_var(factors: Book, place: np.ndarray) -> np.ndarray:
    """Variance of a factor of difficulty over the square of its mean.

    Section: own rule.
    Inputs: place in the factors. Result: [1]; 0 where the mean is 0.
    """
    mean = factors.mean[place]
    return np.where(mean == 0, 0.0, factors.variance[place] / np.square(mean))


@rule("panel_factor_likely", touching=("age_likely", "condition_likely"))
@rule("wall_factor_likely", touching=("age_likely", "wall_likely"))
@rule("run_factor_likely", touching=("access_likely",))
@rule("route_factor_likely", touching=("age_likely", "wall_likely", "access_likely"))
@rule("panel_factor_mean", touching=("age_mean", "condition_mean"))
@rule("wall_factor_mean", touching=("age_mean", "wall_mean"))
@rule("run_factor_mean", touching=("access_mean",))
@rule("route_factor_mean", touching=("age_mean", "wall_mean", "access_mean"))
def difficulty_factor(difficulty_cap: float, touching: tuple[np.ndarray, ...]) -> np.ndarray:
    """What multiplies the hours of work of one difficulty.

    Section: own rule.
    Inputs: difficulty_cap, the factors that touch the work [1]. Result: [1].

    >>> difficulty_factor(2.2, (np.array([1.1, 1.5]), np.array([1.5, 1.5]))).round(6).tolist()
    [1.65, 2.2]
    """
    product = touching[0]
    for factor in touching[1:]:
        product = product * factor
    return np.minimum(difficulty_cap, product)


@rule("difficulty_state", words=("OK", OVER_THE_CAP))
def difficulty_state(
    *,
    difficulty_cap: float,
    age_mean: np.ndarray,
    condition_mean: np.ndarray,
    wall_mean: np.ndarray,
    access_mean: np.ndarray,
) -> np.ndarray:
    """Work that is harder than the cap is not priced right.

    Section: own rule.
    Inputs: factors [1]. Result: place in the words.
    Limits: looks at every difficulty, whatever the way chosen touches.
    """
    panel, wall = age_mean * condition_mean, age_mean * wall_mean
    products = (panel, wall, access_mean, wall * access_mean)
    over = [round6(product) > difficulty_cap for product in products]
    return first_true((np.logical_or.reduce(np.broadcast_arrays(*over)),))
