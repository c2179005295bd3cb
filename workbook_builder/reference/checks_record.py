"""Checks of what is recorded when the work is done."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule


def _recorded(done: np.ndarray, blank: np.ndarray, readings_given: np.ndarray) -> np.ndarray:
    """1 where it was not done, 2 where readings are there and this is not recorded, else 0."""
    return first_true((~done & ~blank, np.greater(readings_given, 0) & blank))


@rule(
    "point_dead_test",
    words=(
        "OK",
        "STOP: nobody works before absence of voltage is proved",
        "CHECK: record that absence of voltage was proved",
    ),
)
def point_dead_test(
    dead_test_done: np.ndarray, dead_test_done_blank: np.ndarray, readings_given: np.ndarray
) -> np.ndarray:
    """Absence of voltage is proved before work.

    Section: 110.12; NFPA 70E 120.
    Inputs: dead_test_done [yes or no], dead_test_done_blank [yes or no], readings_given
    [readings]. Result: place in the words.
    """
    return _recorded(dead_test_done, dead_test_done_blank, readings_given)


@rule(
    "point_neutral_apart",
    words=(
        "OK",
        "STOP: neutral and ground are joined in the added panel",
        "CHECK: record that neutral and ground are apart",
    ),
    done="neutral_isolated",
    blank="neutral_isolated_blank",
)
@rule(
    "point_torque",
    words=("OK", "STOP: terminations not torqued", "CHECK: record the torque of the terminations"),
    done="torque_logged",
    blank="torque_logged_blank",
)
def recorded_at_added_panel(
    *, in_added: np.ndarray, done: np.ndarray, blank: np.ndarray, readings_given: np.ndarray
) -> np.ndarray:
    """Neutral and ground are apart in an added panel; its terminations are torqued.

    Section: 250.24(A)(5), 250.142(B), 408.40 (neutral), 110.14(D) (torque).
    Inputs: in_added [0 or 1], done, blank [yes or no], readings_given [readings]. Result: place in
    the words.
    """
    return np.where(np.equal(in_added, 0), 0, _recorded(done, blank, readings_given))


@rule(
    "point_readings",
    words=("OK", "STOP: a reading is off, see Readings", "CHECK: a reading is off, see Readings"),
)
def point_readings(reading_result: Choice) -> np.ndarray:
    """The voltages measured at the added panel are as expected.

    Section: ANSI C84.1.
    Inputs: reading_result. Result: place in the words; OK where readings are not taken.
    """
    return first_true((reading_result.is_("STOP"), reading_result.is_("CHECK")))
