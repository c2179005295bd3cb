"""Checks of the buses that take sources."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule


@rule("bus_check_used", words=("OK", "CHECK", "STOP"))
def bus_check_used(in_added: np.ndarray, main_bus_check: Choice, existing_bus_check: Choice) -> np.ndarray:
    """The check of the main bus that counts: with a feeder on it, or without one.

    Section: own rule.
    Inputs: in_added [0 or 1], checks. Result: place in the words.
    """
    added = np.equal(in_added, 1)
    check = added & main_bus_check.is_("CHECK")
    stop = np.where(added, main_bus_check.is_("STOP"), existing_bus_check.is_("STOP"))
    return first_true((check, stop))


@rule(
    "point_main_bus",
    words=(
        "OK",
        "STOP: the main bus does not take the sources",
        "CHECK: a present source or a centre-fed bus: look at the sums",
    ),
)
def point_main_bus(in_service: np.ndarray, bus_check_used: Choice) -> np.ndarray:
    """The main bus takes the sources; a larger service has a new bus.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: in_service [0 or 1], bus_check_used. Result: place in the words.
    """
    keeps = np.not_equal(in_service, 1)
    return first_true((keeps & bus_check_used.is_("STOP"), keeps & bus_check_used.is_("CHECK")))


@rule("point_added_bus", words=("OK", "STOP: the added bus does not take the sources"))
def point_added_bus(in_added: np.ndarray, added_bus_check: Choice) -> np.ndarray:
    """The bus of the added panel takes the sources on it.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: in_added [0 or 1], added_bus_check. Result: place in the words.
    """
    return np.where(np.not_equal(in_added, 0) & added_bus_check.is_("STOP"), 1, 0)
