"""The way with an added panel, and what stops its design."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import (  # noqa: F401  their states have the words
    feeder_breaker,
    feeder_conductor,
    feeder_ground,
    feeder_other,
    feeder_wiring,
    raceway,
    raceway_moved,
    sources,
    spaces,
    spaces_added,
    working_space,
)
from workbook_builder.reference.choice import BLANK, Choice
from workbook_builder.reference.options_spaces import remaining, service_short, spaces_short
from workbook_builder.reference.registry import rule
from workbook_builder.reference.stops import STOP, first_stop, stop_words
from workbook_builder.reference.texts import first_text, is_blank

BREAKER_STOPS = stop_words("spaces_state", "breaker_state", "conductor_state")
RUN_STOPS = stop_words("wiring_state", "egc_state", "raceway_state")
PANEL_STOPS = stop_words("moved_state", "three_wire_state", "added_panel_state")
PLACE_STOPS = stop_words("feeder_source_state", "working_space_state")


@rule("added_panel_spare_spaces")
def added_panel_spare_spaces(
    *,
    added_spaces_chosen: np.ndarray,
    added_circuit_spaces: np.ndarray,
    spaces_free: np.ndarray,
    spaces_freed: np.ndarray,
    moved_1pole_total: np.ndarray,
    move_2pole_used: np.ndarray,
    incoming_spaces: np.ndarray,
) -> np.ndarray:
    """Spaces left in the added panel and in the main panel.

    Section: 408.54.
    Inputs: spaces [spaces], circuits [circuits]. Result: [spaces]; blank without an added panel.
    Limits: the main panel counts as 0 where it is short; the added panel may be negative.
    """
    in_main = spaces_free + spaces_freed + moved_1pole_total + 2 * move_2pole_used - incoming_spaces
    return added_spaces_chosen - added_circuit_spaces + np.maximum(in_main, 0)


@rule("design_stop_breaker", words=BREAKER_STOPS)
def design_stop_breaker(
    spaces_state: np.ndarray, breaker_state: np.ndarray, conductor_state: np.ndarray
) -> np.ndarray:
    """The first stop of spaces, breaker and conductors.

    Section: own rule.
    Inputs: states [place in their words]. Result: place in the words, blank for none.
    """
    return first_stop(
        BREAKER_STOPS,
        spaces_state=spaces_state,
        breaker_state=breaker_state,
        conductor_state=conductor_state,
    )


@rule("design_stop_run", words=RUN_STOPS)
def design_stop_run(wiring_state: np.ndarray, egc_state: np.ndarray, raceway_state: np.ndarray) -> np.ndarray:
    """The first stop of wiring method, grounding conductor and raceway.

    Section: own rule.
    Inputs: states [place in their words]. Result: place in the words, blank for none.
    """
    return first_stop(RUN_STOPS, wiring_state=wiring_state, egc_state=egc_state, raceway_state=raceway_state)


@rule("design_stop_panel", words=PANEL_STOPS)
def design_stop_panel(
    moved_state: np.ndarray, three_wire_state: np.ndarray, added_panel_state: np.ndarray
) -> np.ndarray:
    """The first stop of moved circuits and of the added panel.

    Section: own rule.
    Inputs: states [place in their words]. Result: place in the words, blank for none.
    """
    return first_stop(
        PANEL_STOPS,
        moved_state=moved_state,
        three_wire_state=three_wire_state,
        added_panel_state=added_panel_state,
    )


@rule("design_stop_place", words=PLACE_STOPS)
def design_stop_place(feeder_source_state: np.ndarray, working_space_state: np.ndarray) -> np.ndarray:
    """The first stop of sources behind the feeder and of the working space.

    Section: own rule.
    Inputs: states [place in their words]. Result: place in the words, blank for none.
    """
    return first_stop(
        PLACE_STOPS, feeder_source_state=feeder_source_state, working_space_state=working_space_state
    )


@rule(
    "added_design_stop",
    words=tuple(word.removeprefix(STOP) for word in (*BREAKER_STOPS, *RUN_STOPS, *PANEL_STOPS, *PLACE_STOPS)),
)
def added_design_stop(
    *,
    design_stop_breaker: Choice,
    design_stop_run: Choice,
    design_stop_panel: Choice,
    design_stop_place: Choice,
) -> np.ndarray:
    """The first stop of the whole design, without the word for it.

    Section: own rule.
    Inputs: stops [text]. Result: place in the words, blank for none.
    """
    found: np.ndarray = np.array(BLANK)
    before = 0
    for stop in (design_stop_breaker, design_stop_run, design_stop_panel, design_stop_place):
        own = np.where(is_blank(stop), BLANK, stop.codes.astype(np.int64) + before)
        found = np.where(found == BLANK, own, found)
        before += len(stop.words)
    return found


@rule("added_ways_stop")
def added_ways_stop(
    *,
    replace_stop: Choice,
    added_design_stop: Choice,
    added_panel_spare_spaces: np.ndarray,
    spare_wanted: np.ndarray,
    source_stop: np.ndarray,
) -> Choice:
    """What stops an added panel, the load aside.

    Section: own rule.
    Inputs: stops [text], spaces [spaces], source_stop [yes or no]. Result: [text], blank for none.
    """
    return first_text(
        (~is_blank(replace_stop), "{}", replace_stop),
        (~is_blank(added_design_stop), "No: {}.", added_design_stop),
        spaces_short(added_panel_spare_spaces, spare_wanted),
        (source_stop, "No: a bus or the inlet stops the sources."),
    )


@rule("added_panel_reason")
def added_panel_reason(
    *, added_panel_spare_a: np.ndarray, added_ways_stop: Choice, added_panel_spare_spaces: np.ndarray
) -> Choice:
    """Whether an added panel does, and what remains.

    Section: own rule.
    Inputs: added_panel_spare_a [A], added_ways_stop [text], added_panel_spare_spaces [spaces].
    Result: [text].

    >>> added_panel_reason(added_panel_spare_a=np.array([-0.2]), added_ways_stop=Choice.of((), [""]),
    ...                    added_panel_spare_spaces=np.array([4])).words
    ('No: the service is short by 1 A.',)
    """
    return first_text(
        service_short(added_panel_spare_a),
        (~is_blank(added_ways_stop), "{}", added_ways_stop),
        remaining(added_panel_spare_a, added_panel_spare_spaces),
    )
