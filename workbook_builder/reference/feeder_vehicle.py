"""The circuit of each new vehicle unit: rating, breaker, conductors, connection."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import BLANK, Choice
from workbook_builder.reference.feeder_conductor import feeder_size, size_by_small_conductor
from workbook_builder.reference.registry import rule

CONNECTIONS = ("receptacle", "hardwired")


@rule("ev_circuit_least_a")
def ev_circuit_least_a(
    new_ev_va: np.ndarray, add_ev_a: np.ndarray, continuous_rate: np.ndarray
) -> np.ndarray:
    """A vehicle supply is a continuous load, so its circuit is rated for more than its current.

    Section: 625.41, 625.42.
    Inputs: new_ev_va [VA], add_ev_a [A], continuous_rate [1]. Result: [A]; blank where no vehicle
    supply is planned.

    Example: 48 A of 125 percent.
    >>> float(ev_circuit_least_a(new_ev_va=11520, add_ev_a=48, continuous_rate=0.25))
    60.0
    """
    return np.where(np.equal(new_ev_va, 0), np.nan, add_ev_a * np.add(1.0, continuous_rate))


@rule("ev_breaker_a")
def ev_breaker_a(ev_circuit_least_a: np.ndarray) -> np.ndarray:
    """The next standard rating at or above the least rating of the circuit.

    Section: 240.6(A), 625.41.
    Inputs: ev_circuit_least_a [A]. Result: [A]; blank without a circuit and over the table.

    >>> [float(ev_breaker_a(amperes)) for amperes in (50.0, 50.1, np.nan)]
    [50.0, 60.0, nan]
    """
    row = lookup.first_row_from("standard_rating", "rating_a", ev_circuit_least_a)
    return lookup.at_position("standard_rating", "rating_a", row)


@rule("ev_small_index")
def ev_small_index(ev_breaker_a: np.ndarray) -> np.ndarray:
    """Smallest copper size that the breaker may protect.

    Section: 240.4(D).
    Inputs: ev_breaker_a [A]. Result: position of the size; blank without a breaker.

    >>> [float(ev_small_index(np.array([amperes]))[0]) for amperes in (20.0, 35.0)]
    [2.0, 4.0]
    """
    size = size_by_small_conductor(Choice.of(lookup.METALS, "copper"), ev_breaker_a)
    return np.where(np.isnan(ev_breaker_a), np.nan, size)


def _position(column_c: np.ndarray, ev_circuit_least_a: np.ndarray, ev_small_index: np.ndarray) -> np.ndarray:
    """Position of the smallest copper size that carries the circuit and that its breaker may protect."""
    by_load = lookup.size_from(Choice.of(lookup.METALS, "copper"), column_c, ev_circuit_least_a)
    return np.fmax(by_load, ev_small_index)


@rule("ev_size_raceway")
def ev_size_raceway(
    *, terminal_marked: np.ndarray, ev_circuit_least_a: np.ndarray, ev_small_index: np.ndarray
) -> np.ndarray:
    """Smallest copper size in the column of marked terminals.

    Section: 210.19(A), 110.14(C), 240.4(D); Table 310.15(B)(16) (2017), Table 310.16 (2020 and later).
    Inputs: terminal_marked [C], ev_circuit_least_a [A], ev_small_index. Result: position of the size,
    0 for blank.
    Limits: neither heat nor a drop of voltage over the run is judged.

    Example: a 60 A circuit at 75 C is 6 AWG (Table 310.16).
    >>> place = ev_size_raceway(
    ...     terminal_marked=np.array([75.0]), ev_circuit_least_a=np.array([60.0]), ev_small_index=np.array([1.0]))
    >>> lookup.sizes()[int(place[0]) - 1]
    '6'
    """
    size = _position(terminal_marked, ev_circuit_least_a, ev_small_index)
    return np.where(np.isnan(ev_small_index), 0, feeder_size(size)).astype(np.int64)


@rule("ev_cable_index")
def ev_cable_index(
    *, terminal_unmarked: np.ndarray, ev_circuit_least_a: np.ndarray, ev_small_index: np.ndarray
) -> np.ndarray:
    """Smallest copper size in the column of NM-B cable, whether the cable is made so large or not.

    Section: 210.19(A), 334.80, 240.4(D); tables as for the raceway.
    Inputs: terminal_unmarked [C], ev_circuit_least_a [A], ev_small_index. Result: position of the
    size; blank without a breaker.

    Example: a 60 A circuit at 60 C is 4 AWG, for 6 AWG carries 55 A (Table 310.16).
    >>> place = ev_cable_index(
    ...     terminal_unmarked=np.array([60.0]), ev_circuit_least_a=np.array([60.0]), ev_small_index=np.array([1.0]))
    >>> lookup.sizes()[int(place[0]) - 1]
    '4'
    """
    size = _position(terminal_unmarked, ev_circuit_least_a, ev_small_index)
    return np.where(np.isnan(ev_small_index), np.nan, size)


@rule("ev_size_cable")
def ev_size_cable(ev_cable_index: np.ndarray, nm_largest: np.ndarray) -> np.ndarray:
    """The size of NM-B cable, as far as the cable is made.

    Section: 334.104.
    Inputs: ev_cable_index, nm_largest [position of a size]. Result: position of the size, 0 for blank.
    """
    made = np.less_equal(ev_cable_index, nm_largest)
    return np.where(made, np.nan_to_num(ev_cable_index), 0).astype(np.int64)


@rule("ev_connection", words=CONNECTIONS)
def ev_connection(
    *,
    new_ev_va: np.ndarray,
    add_ev_connection: Choice,
    ev_circuit_least_a: np.ndarray,
    receptacle_largest: np.ndarray,
) -> np.ndarray:
    """The connection given, else a receptacle where the circuit may have one.

    Section: 625.44, 625.54.
    Inputs: new_ev_va [VA], add_ev_connection, currents [A]. Result: place in the words, blank where
    no vehicle supply is planned.
    """
    places = {word: place for place, word in enumerate(CONNECTIONS)}
    given = add_ev_connection.pick(places, missing=BLANK)
    by_size = np.where(np.less_equal(ev_circuit_least_a, receptacle_largest), 0, 1)
    found = np.where(given == BLANK, by_size, given)
    return np.where(np.equal(new_ev_va, 0), BLANK, found).astype(np.int8)
