"""The added panel: its circuits, its bus and its size."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6


@rule("added_circuit_spaces")
def added_circuit_spaces(
    *,
    moved_1pole_total: np.ndarray,
    move_2pole_used: np.ndarray,
    planned_spaces: np.ndarray,
    planned_in: Choice,
    source_spaces: np.ndarray,
    source_at: Choice,
    generator_inlet_a: np.ndarray,
    inlet_at: Choice,
) -> np.ndarray:
    """Moved circuits and all else that is placed in the added panel stand in it.

    Section: 408.54.
    Inputs: circuits [circuits], spaces [spaces], places, inlet breaker [A]. Result: [spaces].
    """
    planned = np.where(planned_in.is_("added panel"), planned_spaces, 0)
    at_added = source_at.is_("added panel far end", "added panel elsewhere")
    source = np.where(at_added, source_spaces, 0)
    inlet = np.where((generator_inlet_a > 0) & inlet_at.is_("added panel"), 2, 0)
    return moved_1pole_total + 2 * move_2pole_used + planned + source + inlet


@rule("added_spaces_needed")
def added_spaces_needed(
    *,
    added_circuit_spaces: np.ndarray,
    growth_percent: np.ndarray,
    percent: np.ndarray,
    spare_wanted: np.ndarray,
) -> np.ndarray:
    """Its circuits with their growth, or with the growth of all new ones; up to an even number.

    Section: own rule.
    Inputs: added_circuit_spaces, spare_wanted [spaces], growth_percent [%]. Result: [spaces].

    >>> added_spaces_needed(added_circuit_spaces=np.array([8, 9, 10]), growth_percent=25, percent=100,
    ...                     spare_wanted=np.array([2, 3, 5])).tolist()
    [10.0, 12.0, 16.0]
    """
    grown = round6(added_circuit_spaces * (1.0 + np.divide(growth_percent, percent)))
    return 2.0 * np.ceil(np.maximum(grown, added_circuit_spaces + spare_wanted) / 2.0)


@rule("added_bus_least_a")
def added_bus_least_a(
    *,
    feeder_breaker_a: np.ndarray,
    source_place: Choice,
    source_rated_a: np.ndarray,
    added_bus_factor: np.ndarray,
) -> np.ndarray:
    """The bus that carries the feeder breaker, and with a source on it the sum over the factor of its place.

    Section: 408.36, 705.12.
    Inputs: currents [A], source_place, added_bus_factor [1]. Result: [A]; blank without a breaker.

    Example: 100 A and 40 A at the far end are 140 A over 1.2.
    >>> place = Choice.of(("none", "supply side", "main panel", "added panel"), ["added panel"])
    >>> round6(added_bus_least_a(feeder_breaker_a=np.array([100.0]), source_place=place,
    ...                          source_rated_a=40.0, added_bus_factor=1.2)).tolist()
    [116.666667]
    """
    with_source = np.maximum(feeder_breaker_a, (feeder_breaker_a + source_rated_a) / added_bus_factor)
    return np.where(source_place.is_("added panel"), with_source, feeder_breaker_a)


@rule("added_bus_index")
def added_bus_index(
    *,
    added_bus_wanted_a: np.ndarray,
    feeder_breaker_a: np.ndarray,
    added_spaces_needed: np.ndarray,
    added_bus_least_a: np.ndarray,
) -> np.ndarray:
    """The bus wished for, else the smallest that breaker, spaces and the sources on it permit.

    Section: 408.36, 705.12.
    Inputs: currents [A], added_spaces_needed [spaces].
    Result: position of the bus, of the next one of the list for a wish between two; one past the
    end where none serves, blank without wish and breaker.
    Limits: a wished bus is not stepped up for breaker, spaces or sources.
    """
    buses, largest = (lookup.numbers("panel_bus", name) for name in ("bus_a", "largest_spaces"))
    small = np.zeros(np.shape(added_bus_least_a))
    for bus, spaces in zip(buses, largest, strict=True):
        small = small + ((bus < added_bus_least_a) | (spaces < added_spaces_needed))
    picked = np.where(np.isnan(feeder_breaker_a), np.nan, 1.0 + small)
    wished = 1.0 + lookup.rows_under("panel_bus", "bus_a", added_bus_wanted_a)
    return np.where(np.greater(added_bus_wanted_a, 0), wished, picked)


def _place(position: np.ndarray) -> np.ndarray:
    """A position as a whole number, 0 for blank."""
    return np.nan_to_num(position).astype(np.int64)


@rule("added_bus_chosen_a")
def added_bus_chosen_a(added_bus_wanted_a: np.ndarray, added_bus_index: np.ndarray) -> np.ndarray:
    """The bus wished for, else the smallest that serves.

    Section: 408.36.
    Inputs: added_bus_wanted_a [A], added_bus_index. Result: [A]; blank where none serves.
    """
    listed = lookup.at_position("panel_bus", "bus_a", _place(added_bus_index))
    return np.where(np.greater(added_bus_wanted_a, 0), added_bus_wanted_a, listed)


def _panels() -> np.ndarray:
    """Spaces of the panels of the list, by position of the bus and place; a row of blanks at each end."""
    columns = [lookup.numbers("panel_size", f"{bus:g}") for bus in lookup.numbers("panel_bus", "bus_a")]
    blank = np.full(len(columns[0]), np.nan)
    return np.array([blank, *columns, blank])


@rule("added_size_index")
def added_size_index(added_spaces_needed: np.ndarray, added_bus_index: np.ndarray) -> np.ndarray:
    """Place of the smallest panel of that bus with the spaces needed.

    Section: 408.54.
    Inputs: added_spaces_needed [spaces], added_bus_index. Result: place in the list; blank
    without a bus.
    """
    panels = _panels()
    bus = np.clip(_place(added_bus_index), 0, len(panels) - 1)
    small = sum((spaces[bus] < added_spaces_needed).astype(np.int64) for spaces in panels.T)
    known = (bus > 0) & (bus < len(panels) - 1)
    return np.where(known, 1.0 + small, np.nan)


@rule("added_spaces_listed")
def added_spaces_listed(added_bus_index: np.ndarray, added_size_index: np.ndarray) -> np.ndarray:
    """Spaces of the smallest panel of that bus with the spaces needed.

    Section: 408.54.
    Inputs: added_bus_index, added_size_index. Result: [spaces]; blank where there is no such panel.
    """
    panels = _panels()
    bus = np.clip(_place(added_bus_index), 0, len(panels) - 1)
    size = _place(added_size_index)
    inside = np.clip(size, 1, panels.shape[1])
    return np.where(inside == size, panels[bus, inside - 1], np.nan)


@rule("added_spaces_chosen")
def added_spaces_chosen(added_spaces_wanted: np.ndarray, added_spaces_listed: np.ndarray) -> np.ndarray:
    """The spaces wished for, else those of the panel of the list.

    Section: 408.54.
    Inputs: added_spaces_wanted, added_spaces_listed [spaces]. Result: [spaces].
    Limits: a wish below the need is kept and stopped or checked, never raised silently.
    """
    return np.where(np.greater(added_spaces_wanted, 0), added_spaces_wanted, added_spaces_listed)


GROWTH = (
    "OK",
    "CHECK: the added panel leaves less growth than wanted",
    "CHECK: no panel of the list has that many spaces on that bus",
)


@rule("added_growth_state", words=GROWTH)
def added_growth_state(
    added_spaces_chosen: np.ndarray, added_spaces_needed: np.ndarray, added_bus_index: np.ndarray
) -> np.ndarray:
    """The added panel leaves the growth wanted and is made.

    Section: 408.36, 408.54.
    Inputs: spaces [spaces], added_bus_index. Result: place in the words.
    Limits: a bus over those of the list is not judged by its spaces.
    """
    little = added_spaces_chosen < added_spaces_needed
    largest = lookup.at_position("panel_bus", "largest_spaces", _place(added_bus_index))
    return first_true((little, added_spaces_chosen > largest))


@rule(
    "added_panel_state",
    words=(
        "OK",
        "STOP: no panel of the list is large enough",
        "STOP: the added panel has fewer spaces than circuits",
        *GROWTH[1:],
    ),
)
def added_panel_state(
    *,
    added_spaces_chosen: np.ndarray,
    added_bus_chosen_a: np.ndarray,
    added_circuit_spaces: np.ndarray,
    added_growth_state: Choice,
) -> np.ndarray:
    """The added panel exists, holds its circuits, leaves the growth wanted and is made.

    Section: 408.36, 408.54.
    Inputs: spaces [spaces], added_bus_chosen_a [A], added_growth_state. Result: place in the words.
    """
    none = np.isnan(added_spaces_chosen) | np.isnan(added_bus_chosen_a)
    full = added_spaces_chosen < added_circuit_spaces
    growth = np.where(added_growth_state.codes > 0, added_growth_state.codes + 2, 0)
    return np.where(none, 1, np.where(full, 2, growth))
