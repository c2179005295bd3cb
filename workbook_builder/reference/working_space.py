"""The working space in front of the added panel."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule


@rule("room_state", words=("OK", "STOP: no overcurrent device in this room"))
def room_state(room: Choice) -> np.ndarray:
    """Rooms in which no overcurrent device may hang.

    Section: 240.24(D), (E), (F).
    Inputs: room. Result: place in the words.
    """
    return np.where(room.is_("bathroom", "clothes closet", "stairs"), 1, 0)


@rule("width_state", words=("OK", "STOP: the working space is too narrow"))
def width_state(
    clear_width_in: np.ndarray, working_width: np.ndarray, panel_width_in: np.ndarray
) -> np.ndarray:
    """The working space is as wide as the rule says and as the panel is.

    Section: 110.26(A)(2).
    Inputs: widths [in]. Result: place in the words.
    Limits: a width that is not measured fails nothing here.
    """
    return np.where((clear_width_in < working_width) | (clear_width_in < panel_width_in), 1, 0)


@rule("depth_state", words=("OK", "STOP: the working space is too shallow"))
def depth_state(clear_depth_in: np.ndarray, working_depth: np.ndarray) -> np.ndarray:
    """The working space is deep enough.

    Section: 110.26(A)(1).
    Inputs: depths [in]. Result: place in the words.
    """
    return np.where(clear_depth_in < working_depth, 1, 0)


@rule("headroom_low", words=("no", "yes"))
def headroom_low(clear_height_in: np.ndarray, working_height: np.ndarray) -> np.ndarray:
    """The measured headroom is under that of the rule.

    Section: 110.26(A)(3).
    Inputs: heights [in]. Result: place in the words.
    """
    return (clear_height_in < working_height).astype(np.int8)


@rule("height_state", words=("OK", "STOP: the working space is too low"))
def height_state(
    *,
    headroom_low: np.ndarray,
    panel_place: Choice,
    feeder_breaker_a: np.ndarray,
    low_headroom_limit: np.ndarray,
) -> np.ndarray:
    """Low headroom stops in another building and over the panel of the exception.

    Section: 110.26(A)(3).
    Inputs: headroom_low [yes or no], panel_place, ratings [A]. Result: place in the words.
    Limits: the rating of the added panel is that of its breaker; none is not over the limit.
    """
    no_exception = panel_place.is_("other building") | (feeder_breaker_a > low_headroom_limit)
    return np.where(headroom_low & no_exception, 1, 0)


@rule("handle_state", words=("OK", "STOP: the highest handle is too high"))
def handle_state(top_breaker_height_in: np.ndarray, handle_height: np.ndarray) -> np.ndarray:
    """The highest handle is within reach.

    Section: 240.24(A), 404.8(A).
    Inputs: heights [in]. Result: place in the words.
    """
    return np.where(top_breaker_height_in > handle_height, 1, 0)


@rule(
    "headroom_state",
    words=(
        "OK",
        "CHECK: low headroom, only by the exception for existing dwellings",
        "CHECK: working space not measured",
    ),
)
def headroom_state(
    *,
    headroom_low: np.ndarray,
    clear_width_in: np.ndarray,
    clear_depth_in: np.ndarray,
    clear_height_in: np.ndarray,
) -> np.ndarray:
    """What is left to look at: low headroom by exception, lengths that are not measured.

    Section: 110.26(A)(3).
    Inputs: headroom_low [yes or no], lengths [in]. Result: place in the words.
    """
    unmeasured = np.isnan(clear_width_in) | np.isnan(clear_depth_in) | np.isnan(clear_height_in)
    return first_true((headroom_low, unmeasured))


@rule(
    "working_space_state",
    words=(
        "OK",
        "STOP: no overcurrent device in this room",
        "STOP: the working space is too narrow",
        "STOP: the working space is too shallow",
        "STOP: the working space is too low",
        "STOP: the highest handle is too high",
        "CHECK: low headroom, only by the exception for existing dwellings",
        "CHECK: working space not measured",
    ),
)
def working_space_state(
    *,
    room_state: Choice,
    width_state: Choice,
    depth_state: Choice,
    height_state: Choice,
    handle_state: Choice,
    headroom_state: Choice,
) -> np.ndarray:
    """The first thing that is wrong with the place of the added panel.

    Section: 110.26(A), 240.24.
    Inputs: states [text]. Result: place in the words.
    """
    stops = (room_state, width_state, depth_state, height_state, handle_state)
    checks = (headroom_state.codes == 1, headroom_state.codes == 2)
    return first_true((*(state.codes == 1 for state in stops), *checks))
