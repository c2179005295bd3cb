"""Checks of the place of an added panel."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule

ONLY_EXISTING = "CHECK: low headroom is permitted only at the panel of an existing dwelling"
TOO_LOW = "STOP: the working space is too low"


def _of_added(in_added: np.ndarray, *faults: np.ndarray) -> np.ndarray:
    """Position of the first fault of an added panel; 0 where there is none, or no such panel."""
    return np.where(np.equal(in_added, 0), 0, first_true(faults))


@rule("point_room", words=("OK", "STOP: no overcurrent device in this room"))
def point_room(in_added: np.ndarray, room: Choice) -> np.ndarray:
    """Rooms in which no overcurrent device may hang.

    Section: 240.24(D), (E), (F).
    Inputs: in_added [0 or 1], room. Result: place in the words.
    """
    return _of_added(in_added, room.is_("bathroom", "clothes closet", "stairs"))


@rule(
    "point_width",
    words=("OK", "CHECK: clear width not measured", "STOP: the working space is too narrow"),
)
def point_width(
    *,
    in_added: np.ndarray,
    clear_width_in: np.ndarray,
    working_width: np.ndarray,
    panel_width_in: np.ndarray,
) -> np.ndarray:
    """The working space is as wide as the rule says and as the panel is.

    Section: 110.26(A)(2).
    Inputs: in_added [0 or 1], widths [in]. Result: place in the words.
    """
    narrow = (clear_width_in < working_width) | (clear_width_in < panel_width_in)
    return _of_added(in_added, np.isnan(clear_width_in), narrow)


@rule(
    "point_depth",
    words=("OK", "CHECK: clear depth not measured", "STOP: the working space is too shallow"),
)
def point_depth(in_added: np.ndarray, clear_depth_in: np.ndarray, working_depth: np.ndarray) -> np.ndarray:
    """The working space is deep enough.

    Section: 110.26(A)(1).
    Inputs: in_added [0 or 1], depths [in]. Result: place in the words.
    """
    return _of_added(in_added, np.isnan(clear_depth_in), clear_depth_in < working_depth)


@rule("headroom_exception_state", words=("OK", ONLY_EXISTING, TOO_LOW))
def headroom_exception_state(
    is_building: np.ndarray, feeder_breaker_a: np.ndarray, low_headroom_limit: np.ndarray
) -> np.ndarray:
    """What low headroom would mean over the added panel, whether it is low or not.

    Section: 110.26(A)(3).
    Inputs: is_building [0 or 1], ratings [A]. Result: place in the words; never OK.
    Limits: the rating of the added panel is that of its breaker; without one there is no exception.
    """
    exception = np.equal(is_building, 0) & (feeder_breaker_a <= low_headroom_limit)
    return np.where(exception, 1, 2)


@rule("point_height", words=("OK", "CHECK: clear height not measured", ONLY_EXISTING, TOO_LOW))
def point_height(
    *,
    in_added: np.ndarray,
    clear_height_in: np.ndarray,
    working_height: np.ndarray,
    headroom_exception_state: Choice,
) -> np.ndarray:
    """The working space is high enough, or low over a panel of the exception.

    Section: 110.26(A)(3).
    Inputs: in_added [0 or 1], heights [in], headroom_exception_state [text]. Result: place in the
    words.
    """
    low = clear_height_in < working_height
    permitted = low & headroom_exception_state.is_(ONLY_EXISTING)
    return _of_added(in_added, np.isnan(clear_height_in), permitted, low)


@rule(
    "point_handle",
    words=(
        "OK",
        "CHECK: height of the highest handle not known",
        "STOP: a handle is over the permitted height",
    ),
)
def point_handle(
    in_added: np.ndarray, top_breaker_height_in: np.ndarray, handle_height: np.ndarray
) -> np.ndarray:
    """The highest handle is within reach.

    Section: 240.24(A).
    Inputs: in_added [0 or 1], heights [in]. Result: place in the words.
    """
    return _of_added(in_added, np.isnan(top_breaker_height_in), top_breaker_height_in > handle_height)
