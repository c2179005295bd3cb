"""What every way must meet, and the way that keeps the present panel."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import (  # noqa: F401  their states have the words
    loads_cooking_demand,
    loads_service,
)
from workbook_builder.reference.choice import BLANK, Choice
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6
from workbook_builder.reference.stops import STOP, first_stop, stop_words
from workbook_builder.reference.texts import begins_with, first_text, is_blank

REPLACED = "the present panel is to be replaced, not extended"
DATA_STATES = stop_words("load_method_state", "cooking_state", "edition_state")
DATA_STOPS = tuple(f"No: {word.removeprefix(STOP)}." for word in DATA_STATES)


@rule("house_state", words=("OK", f"STOP: {REPLACED}"))
def house_state(panel_condition: Choice) -> np.ndarray:
    """A corroded or unlisted panel is not extended.

    Section: 110.3(B), 110.12(B).
    Inputs: panel_condition. Result: place in the words.
    """
    return np.where(panel_condition.is_("corroded or unlisted"), 1, 0)


@rule("load_stop", words=DATA_STATES)
def load_stop(
    load_method_state: np.ndarray, cooking_state: np.ndarray, edition_state: np.ndarray
) -> np.ndarray:
    """A load that is not permitted, not in the tables or not read judges no way.

    Section: own rule.
    Inputs: states [place in their words]. Result: place in the words, blank for none.
    """
    return first_stop(
        DATA_STATES,
        load_method_state=load_method_state,
        cooking_state=cooking_state,
        edition_state=edition_state,
    )


@rule("data_stop", words=DATA_STOPS)
def data_stop(load_stop: Choice) -> np.ndarray:
    """The same as the reason of a way.

    Section: own rule.
    Inputs: load_stop. Result: place in the words, blank for none.
    """
    return load_stop.codes


@rule("new_spaces")
def new_spaces(
    planned_spaces: np.ndarray, source_spaces: np.ndarray, generator_inlet_a: np.ndarray
) -> np.ndarray:
    """Spaces of all breakers that come, wherever they are placed.

    Section: own rule.
    Inputs: spaces [spaces], generator_inlet_a [A]. Result: [spaces].
    """
    return planned_spaces + source_spaces + np.where(np.greater(generator_inlet_a, 0), 2, 0)


@rule("spare_wanted")
def spare_wanted(growth_percent: np.ndarray, percent: np.ndarray, new_spaces: np.ndarray) -> np.ndarray:
    """Spare spaces that must remain: the growth wanted of the new ones, whole.

    Section: own rule.
    Inputs: growth_percent [%], new_spaces [spaces]. Result: [spaces].

    >>> spare_wanted(np.array([25.0, 20.0, 0.0]), 100, np.array([6, 5, 4])).tolist()
    [2.0, 1.0, 0.0]
    """
    return np.ceil(round6(growth_percent / percent * new_spaces))


@rule("source_stop", words=("no", "yes"))
def source_stop(main_bus_check: Choice, added_bus_check: Choice, inlet_state: np.ndarray) -> np.ndarray:
    """A bus or the inlet stops the sources beside an added panel.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: checks, inlet_state [place in its words]. Result: place in the words.
    """
    a_bus = main_bus_check.is_("STOP") | added_bus_check.is_("STOP")
    return (a_bus | (inlet_state == 1)).astype(np.int8)


@rule("existing_source_stop", words=("no", "yes"))
def existing_source_stop(existing_bus_check: Choice, inlet_state: np.ndarray) -> np.ndarray:
    """The main bus or the inlet stops the sources where no panel is added.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: existing_bus_check, inlet_state [place in its words]. Result: place in the words.
    """
    return (existing_bus_check.is_("STOP") | (inlet_state == 1)).astype(np.int8)


@rule("two_pole_spaces_new")
def two_pole_spaces_new(new_spaces: np.ndarray, add_1pole: np.ndarray) -> np.ndarray:
    """New spaces that a two-circuit breaker cannot give.

    Section: 408.54.
    Inputs: new_spaces [spaces], add_1pole [circuits]. Result: [spaces].
    """
    return new_spaces - add_1pole


@rule("existing_spaces_spare_a")
@rule("added_panel_spare_a")
def service_spare_of_way(service_spare_a: np.ndarray) -> np.ndarray:
    """These ways leave the service as it is.

    Section: 230.42.
    Inputs: service_spare_a [A]. Result: [A].
    """
    return service_spare_a


@rule("existing_spaces_spare_spaces")
def existing_spaces_spare_spaces(
    *,
    spaces_free: np.ndarray,
    spaces_freed: np.ndarray,
    two_circuit_spaces: np.ndarray,
    new_spaces: np.ndarray,
) -> np.ndarray:
    """Free and freed spaces, and one more circuit in each two-circuit space, less the new ones.

    Section: 408.54.
    Inputs: spaces [spaces]. Result: [spaces]; negative where they are too few.
    """
    return spaces_free + spaces_freed + two_circuit_spaces - new_spaces


@rule("replace_stop", words=(*DATA_STOPS, f"No: {REPLACED}."))
def replace_stop(data_stop: Choice, house_state: np.ndarray) -> np.ndarray:
    """What the load, else a panel that is to be replaced, says to every way that keeps the panel.

    Section: own rule.
    Inputs: data_stop [text], house_state [place in its words]. Result: place in the words, blank
    for none.
    """
    replaced = np.where(np.not_equal(house_state, 0), len(DATA_STOPS), BLANK)
    return np.where(is_blank(data_stop), replaced, data_stop.codes)


@rule("full_spaces_short")
def full_spaces_short(
    *,
    two_pole_spaces_new: np.ndarray,
    spaces_free: np.ndarray,
    spaces_freed: np.ndarray,
    two_circuit_spaces: np.ndarray,
) -> np.ndarray:
    """Full spaces that are too few for the new breakers.

    Section: own rule.
    Inputs: spaces [spaces]. Result: [spaces].
    Limits: two one-pole circuits on one two-circuit breaker leave a full space free.
    """
    full = spaces_free + spaces_freed + two_circuit_spaces
    return np.maximum(two_pole_spaces_new - full, 0)


@rule("existing_place_stop")
def existing_place_stop(
    *, replace_stop: Choice, panel_place: Choice, existing_spaces_spare_a: np.ndarray
) -> Choice:
    """Panel, place or service that stop the way without a new panel.

    Section: own rule.
    Inputs: replace_stop [text], panel_place, existing_spaces_spare_a [A]. Result: [text], blank
    for none.
    """
    return first_text(
        (~is_blank(replace_stop), "{}", replace_stop),
        (panel_place.is_("other building"), "No: the loads stand in another building."),
        service_short(existing_spaces_spare_a),
    )


def service_short(spare_a: np.ndarray, ending: str = "") -> tuple:
    """The case that the service is short, by the whole amperes."""
    return (np.less(spare_a, 0), f"No: the service is short by {{}} A{ending}.", np.ceil(-spare_a))


def spaces_short(spare_spaces: np.ndarray, spare_wanted: np.ndarray) -> tuple:
    """The case that too few spaces remain, by the spaces that lack."""
    sentence = "No: spaces are short by {} for the growth wanted."
    return (np.less(spare_spaces, spare_wanted), sentence, spare_wanted - spare_spaces)


def remaining(spare_a: np.ndarray, spare_spaces: np.ndarray, start: str = "Yes", *more: object) -> tuple:
    """The case that is left: the way works, and what remains; `more` stands in the start."""
    left = np.ones(np.shape(spare_a), dtype=bool)
    return (left, start + ": {} A and {} spaces remain.", *more, np.floor(spare_a), spare_spaces)


@rule("existing_room_stop")
def existing_room_stop(
    *,
    full_spaces_short: np.ndarray,
    existing_spaces_spare_spaces: np.ndarray,
    spare_wanted: np.ndarray,
    existing_source_stop: np.ndarray,
) -> Choice:
    """Spaces or sources that stop the way without a new panel.

    Section: own rule.
    Inputs: spaces [spaces], existing_source_stop [yes or no]. Result: [text], blank for none.
    """
    return first_text(
        (full_spaces_short > 0, "No: the breakers need {} more full spaces.", full_spaces_short),
        spaces_short(existing_spaces_spare_spaces, spare_wanted),
        (existing_source_stop, "No: the main bus or the inlet stops the sources."),
    )


@rule("existing_spaces_reason")
def existing_spaces_reason(
    *,
    existing_place_stop: Choice,
    existing_room_stop: Choice,
    existing_spaces_spare_a: np.ndarray,
    existing_spaces_spare_spaces: np.ndarray,
) -> Choice:
    """Whether the present spaces do, and what remains.

    Section: own rule.
    Inputs: stops [text], existing_spaces_spare_a [A], existing_spaces_spare_spaces [spaces].
    Result: [text].

    >>> none = Choice.of(("No",), [""])
    >>> existing_spaces_reason(existing_place_stop=none, existing_room_stop=none,
    ...     existing_spaces_spare_a=np.array([41.7]), existing_spaces_spare_spaces=np.array([3])).words
    ('Yes: 41 A and 3 spaces remain.',)
    """
    return first_text(
        (~is_blank(existing_place_stop), "{}", existing_place_stop),
        (~is_blank(existing_room_stop), "{}", existing_room_stop),
        remaining(existing_spaces_spare_a, existing_spaces_spare_spaces),
    )


@rule("existing_spaces_feasible", words=("no", "yes"), reason="existing_spaces_reason")
@rule("added_panel_feasible", words=("no", "yes"), reason="added_panel_reason")
@rule("load_control_feasible", words=("no", "yes"), reason="load_control_reason")
@rule("larger_service_feasible", words=("no", "yes"), reason="larger_service_reason")
def feasible(reason: Choice) -> np.ndarray:
    """A way works where its reason begins with Yes.

    Section: own rule.
    Inputs: reason [text]. Result: place in the words.
    """
    return begins_with(reason, "Yes").astype(np.int8)


@rule("control_in_main", words=("no", "yes"))
def control_in_main(
    *,
    replace_stop: Choice,
    panel_place: Choice,
    full_spaces_short: np.ndarray,
    existing_spaces_spare_spaces: np.ndarray,
    spare_wanted: np.ndarray,
    existing_source_stop: np.ndarray,
) -> np.ndarray:
    """Load control needs no added panel where only the service would be short.

    Section: own rule.
    Inputs: replace_stop [text], panel_place, spaces [spaces], existing_source_stop [yes or no].
    Result: place in the words.
    """
    here = is_blank(replace_stop) & ~panel_place.is_("other building")
    room = (full_spaces_short == 0) & (existing_spaces_spare_spaces >= spare_wanted)
    return (here & room & ~existing_source_stop).astype(np.int8)
