"""The feeder breaker and its states."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule


@rule("feeder_needed_a")
def feeder_needed_a(feeder_load_a: np.ndarray, feeder_minimum: np.ndarray) -> np.ndarray:
    """The next standard rating at or above the load and the smallest breaker installed.

    Section: 240.6(A), 215.3.
    Inputs: feeder_load_a, feeder_minimum [A]. Result: [A]; blank over the table.

    Example: Annex D1(b), 104 A: 110 A.
    >>> float(feeder_needed_a(104, 60)), float(feeder_needed_a(801, 60))
    (110.0, nan)
    """
    least = np.maximum(feeder_load_a, feeder_minimum)
    row = lookup.first_row_from("standard_rating", "rating_a", least)
    return lookup.at_position("standard_rating", "rating_a", row)


@rule("feeder_breaker_a")
def feeder_breaker_a(feeder_breaker_wanted_a: np.ndarray, feeder_needed_a: np.ndarray) -> np.ndarray:
    """The breaker wished for, else the one needed.

    Section: 215.3.
    Inputs: feeder_breaker_wanted_a, feeder_needed_a [A]. Result: [A].
    Limits: a wish below the need is kept and stopped, never raised silently.
    """
    return np.where(np.greater(feeder_breaker_wanted_a, 0), feeder_breaker_wanted_a, feeder_needed_a)


@rule("breaker_below_a")
def breaker_below_a(feeder_breaker_a: np.ndarray) -> np.ndarray:
    """The largest standard rating under the breaker.

    Section: 240.6(A).
    Inputs: feeder_breaker_a [A]. Result: [A]; 0 under the smallest, blank without a breaker.

    >>> float(breaker_below_a(110)), float(breaker_below_a(15))
    (100.0, 0.0)
    """
    row = lookup.rows_under("standard_rating", "rating_a", feeder_breaker_a)
    below = np.where(row == 0, 0.0, lookup.at_position("standard_rating", "rating_a", row))
    return np.where(np.isnan(feeder_breaker_a), np.nan, below)


@rule(
    "breaker_rating_state",
    words=(
        "OK",
        "STOP: no standard rating carries the load",
        "STOP: the breaker is no standard rating",
        "STOP: the breaker is under the load",
    ),
)
def breaker_rating_state(feeder_breaker_a: np.ndarray, feeder_load_a: np.ndarray) -> np.ndarray:
    """The breaker is a standard rating that carries the load.

    Section: 215.3, 240.6(A).
    Inputs: feeder_breaker_a, feeder_load_a [A]. Result: place in the words.
    """
    row = lookup.first_row_from("standard_rating", "rating_a", feeder_breaker_a)
    standard = lookup.at_position("standard_rating", "rating_a", row) == feeder_breaker_a
    return first_true((np.isnan(feeder_breaker_a), ~standard, feeder_breaker_a < feeder_load_a))


@rule(
    "breaker_limit_state",
    words=(
        "OK",
        "STOP: the breaker is over the service rating",
        "STOP: the breaker is over the branch limit of the main panel",
    ),
)
def breaker_limit_state(
    feeder_breaker_a: np.ndarray, service_a: np.ndarray, branch_limit_a: np.ndarray
) -> np.ndarray:
    """The breaker is within the service and within what the main panel takes.

    Section: 215.3, 408.36, 110.3(B).
    Inputs: ratings [A]. Result: place in the words.
    Limits: a branch limit of 0 sets no limit.
    """
    over_branch = (branch_limit_a > 0) & (feeder_breaker_a > branch_limit_a)
    return first_true((feeder_breaker_a > service_a, over_branch))


@rule("breaker_bus_state", words=("OK", "STOP: the breaker is over the bus of the added panel"))
def breaker_bus_state(feeder_breaker_a: np.ndarray, added_bus_wanted_a: np.ndarray) -> np.ndarray:
    """The breaker protects the bus of the added panel.

    Section: 408.36.
    Inputs: ratings [A]. Result: place in the words.
    Limits: a wished bus of 0 is picked from the breaker, so it sets no limit.
    """
    return np.where((added_bus_wanted_a > 0) & (added_bus_wanted_a < feeder_breaker_a), 1, 0)


@rule(
    "breaker_place_state",
    words=(
        "OK",
        "STOP: another building needs a larger disconnect",
        "CHECK: a dwelling in the other building needs 100 A",
    ),
)
def breaker_place_state(
    *,
    feeder_breaker_a: np.ndarray,
    panel_place: Choice,
    building_minimum: np.ndarray,
    dwelling_minimum: np.ndarray,
) -> np.ndarray:
    """The disconnect of another building has a smallest rating, a larger one where it is a dwelling.

    Section: 225.39(C), (D).
    Inputs: ratings [A], panel_place. Result: place in the words.
    Limits: what the other building is used for is not asked, so a dwelling is a CHECK.
    """
    there = panel_place.is_("other building")
    small = tuple(there & (feeder_breaker_a < least) for least in (building_minimum, dwelling_minimum))
    return first_true(small)


@rule(
    "breaker_state",
    words=(
        "OK",
        "STOP: no standard rating carries the load",
        "STOP: the breaker is no standard rating",
        "STOP: the breaker is under the load",
        "STOP: the breaker is over the service rating",
        "STOP: the breaker is over the branch limit of the main panel",
        "STOP: the breaker is over the bus of the added panel",
        "STOP: another building needs a larger disconnect",
        "CHECK: a dwelling in the other building needs 100 A",
        "CHECK: the breaker is under the smallest the company installs",
    ),
)
def breaker_state(
    *,
    breaker_rating_state: Choice,
    breaker_limit_state: Choice,
    breaker_bus_state: Choice,
    breaker_place_state: Choice,
    feeder_breaker_a: np.ndarray,
    feeder_minimum: np.ndarray,
) -> np.ndarray:
    """The first thing that is wrong with the feeder breaker.

    Section: 215.3, 408.36, 225.39.
    Inputs: states [text], ratings [A]. Result: place in the words.
    """
    faults = (
        *(breaker_rating_state.codes == place for place in (1, 2, 3)),
        *(breaker_limit_state.codes == place for place in (1, 2)),
        breaker_bus_state.codes == 1,
        *(breaker_place_state.codes == place for place in (1, 2)),
        feeder_breaker_a < feeder_minimum,
    )
    return first_true(faults)
