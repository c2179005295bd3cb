"""Ungrounded conductors of the feeder: every test a size must pass, and the smallest that does."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.feeder_wiring import over_correction
from workbook_builder.reference.registry import rule

GOVERNORS = ("terminals", "correction", "overcurrent", "small conductor", "voltage drop")


@rule("size_by_terminals")
def size_by_terminals(material: Choice, terminal_c: np.ndarray, feeder_load_a: np.ndarray) -> np.ndarray:
    """Smallest size whose terminal-column ampacity carries the load with continuous load at 125 percent.

    Section: 110.14(C)(1), 215.2(A)(1).
    Inputs: material, terminal_c [C], feeder_load_a [A]. Result: position of the size.

    Example: 250 A on 75 C terminals: 250 kcmil,
    https://ecmweb.com/national-electrical-code/qa/article/20898688/stumped-by-the-code-rules-for-sizing-feeder-conductors
    >>> lookup.sizes()[size_by_terminals(Choice.of(lookup.METALS, "copper"), 75.0, 250.0)[0] - 1]
    '250'
    """
    return lookup.size_from(material, terminal_c, feeder_load_a)


@rule("size_by_correction")
def size_by_correction(
    *,
    material: Choice,
    insulation_c: np.ndarray,
    feeder_plain_a: np.ndarray,
    correction: np.ndarray,
) -> np.ndarray:
    """Smallest size whose corrected ampacity carries the load without the addition.

    Section: 310.15, 215.2(A)(1).
    Inputs: material, insulation_c [C], feeder_plain_a [A], correction [1].
    Result: position of the size; one past the end where none passes.
    """
    needed = over_correction(feeder_plain_a, correction)
    return lookup.size_from(material, insulation_c, needed)


@rule("overcurrent_floor_a")
def overcurrent_floor_a(feeder_breaker_a: np.ndarray, feeder_load_a: np.ndarray) -> np.ndarray:
    """Least ampacity behind the breaker, where the next size up is permitted.

    Section: 240.4(B).
    Inputs: feeder_breaker_a, feeder_load_a [A]. Result: [A]; blank without a breaker.
    """
    return np.minimum(feeder_breaker_a, feeder_load_a)


@rule("size_oc_terminals", column_c="terminal_c", correction=1.0)
@rule("size_oc_corrected", column_c="insulation_c")
def size_by_overcurrent_in(
    *,
    material: Choice,
    column_c: np.ndarray,
    breaker_below_a: np.ndarray,
    overcurrent_floor_a: np.ndarray,
    correction: np.ndarray,
) -> np.ndarray:
    """Smallest size that the breaker protects, next standard size up permitted, in one column.

    Section: 240.4(B), 310.15.
    Inputs: material, column_c [C], breaker_below_a, overcurrent_floor_a [A], correction [1].
    Result: position of the size; one past the end where none passes.
    Limits: an ampacity over the standard rating below the breaker; to 800 A.
    """
    over = lookup.size_over(material, column_c, over_correction(breaker_below_a, correction))
    least = lookup.size_from(material, column_c, over_correction(overcurrent_floor_a, correction))
    return np.maximum(over, least)


@rule("size_by_overcurrent")
def size_by_overcurrent(size_oc_terminals: np.ndarray, size_oc_corrected: np.ndarray) -> np.ndarray:
    """Both columns must be protected by the breaker.

    Section: 240.4(B).
    Inputs: positions of sizes. Result: position of the size.
    """
    return np.maximum(size_oc_terminals, size_oc_corrected)


@rule("size_by_small_conductor")
def size_by_small_conductor(material: Choice, feeder_breaker_a: np.ndarray) -> np.ndarray:
    """Small conductors have their own largest breaker.

    Section: 240.4(D).
    Inputs: material, feeder_breaker_a [A]. Result: position of the size; 1 without a breaker.

    Example: 20 A on copper: 12 AWG (240.4(D)(5)).
    >>> copper = Choice.of(lookup.METALS, "copper")
    >>> lookup.sizes()[size_by_small_conductor(copper, np.array([20.0]))[0] - 1]
    '12'
    """
    breaker = np.where(np.isnan(feeder_breaker_a), -1.0, feeder_breaker_a)
    counts = {}
    for metal in lookup.METALS:
        limits = lookup.numbers("small_conductor", metal)
        printed = np.sort(limits[~np.isnan(limits)])
        blank = len(limits) - len(printed)
        counts[metal] = np.searchsorted(printed, breaker, side="left") + blank
    passed = np.where(material.is_("aluminum"), counts["aluminum"], counts["copper"])
    return np.where(np.isnan(feeder_breaker_a), 0, passed) + 1


@rule("size_minimum")
def size_minimum(
    size_by_terminals: np.ndarray,
    size_by_correction: np.ndarray,
    size_by_overcurrent: np.ndarray,
    size_by_small_conductor: np.ndarray,
) -> np.ndarray:
    """Smallest size with sufficient ampacity: it passes every test.

    Section: 215.2(A)(1), 240.4.
    Inputs: positions of sizes. Result: position of the size.
    """
    by_load = np.maximum(size_by_terminals, size_by_correction)
    return np.maximum(by_load, np.maximum(size_by_overcurrent, size_by_small_conductor))


@rule("size_uncorrected")
def size_uncorrected(
    size_by_terminals: np.ndarray,
    size_oc_terminals: np.ndarray,
    size_by_small_conductor: np.ndarray,
) -> np.ndarray:
    """Smallest size that passes the tests without ambient and count corrections.

    Section: 250.122(B) (2017: any increase counts).
    Inputs: positions of sizes. Result: position of the size.
    """
    return np.maximum(np.maximum(size_by_terminals, size_oc_terminals), size_by_small_conductor)


@rule("size_chosen")
def size_chosen(size_minimum: np.ndarray, size_by_drop: np.ndarray) -> np.ndarray:
    """The size with sufficient ampacity, or a larger one for the voltage drop.

    Section: 215.2(A)(1).
    Inputs: positions of sizes. Result: position of the size.
    """
    return np.maximum(size_minimum, size_by_drop)


@rule("feeder_size")
def feeder_size(size_chosen: np.ndarray) -> np.ndarray:
    """The size at the position chosen; blank past the end of the table.

    Section: 215.2(A)(1), Table 310.15(B)(16) (2017), Table 310.16 (2020 and later).
    Inputs: position of the size. Result: position of the size, 0 for blank.
    """
    return np.where(size_chosen > len(lookup.sizes()), 0, size_chosen)


@rule("size_governed_by", words=GOVERNORS)
def size_governed_by(
    *,
    size_chosen: np.ndarray,
    size_by_terminals: np.ndarray,
    size_by_correction: np.ndarray,
    size_by_overcurrent: np.ndarray,
    size_by_small_conductor: np.ndarray,
    size_by_drop: np.ndarray,
) -> np.ndarray:
    """The first test that asks for the size chosen.

    Section: 215.2, 240.4.
    Inputs: positions of sizes. Result: place in the words.
    """
    tests = (
        size_by_terminals,
        size_by_correction,
        size_by_overcurrent,
        size_by_small_conductor,
        size_by_drop,
    )
    return first_true(tuple(size_chosen == size for size in tests)) - np.int8(1)


@rule("feeder_ampacity_a")
def feeder_ampacity_a(
    *,
    material: Choice,
    feeder_size: np.ndarray,
    terminal_c: np.ndarray,
    insulation_c: np.ndarray,
    correction: np.ndarray,
) -> np.ndarray:
    """The lesser of the terminal column and the corrected insulation column.

    Section: 310.15, 110.14(C).
    Inputs: material, feeder_size, columns [C], correction [1]. Result: [A].

    Example: 10 AWG at 120 F,
    https://stallcupeducation.learnworlds.com/blog/applying-correction-factors-article
    >>> copper = Choice.of(lookup.METALS, "copper")
    >>> float(feeder_ampacity_a(material=copper, feeder_size=np.array([3]), terminal_c=75.0,
    ...       insulation_c=90.0, correction=0.82)[0].round(6))
    32.8
    """
    at_terminals = lookup.ampacity(material, terminal_c, feeder_size)
    corrected = lookup.ampacity(material, insulation_c, feeder_size) * correction
    return np.minimum(at_terminals, corrected)


@rule(
    "conductor_state",
    words=(
        "OK",
        "STOP: no single conductor of the table passes",
        "STOP: larger than NM-B cable is made",
    ),
)
def conductor_state(feeder_size: np.ndarray, wiring: Choice, nm_largest: np.ndarray) -> np.ndarray:
    """Stops where no size passes, or where the cable is not made so large.

    Section: Table 310.15(B)(16) (2017), Table 310.16 (2020 and later), 334.104.
    Inputs: feeder_size, nm_largest, wiring. Result: place in the words.
    """
    return first_true((feeder_size == 0, wiring.is_("NM-B cable") & (feeder_size > nm_largest)))
