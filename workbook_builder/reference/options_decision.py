"""Which way is chosen: the allowances, the cheapest that works, the reason."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import BLANK, Choice, first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.texts import first_text, is_blank

WAYS = ("existing spaces", "added panel", "load control", "larger service")
"""In the order of preference where allowances are equal."""


@rule("existing_spaces_allowance_usd", allowance="allowance_existing_spaces")
@rule("added_panel_allowance_usd", allowance="allowance_added_panel")
@rule("larger_service_allowance_usd", allowance="allowance_larger_service")
def allowance_usd(allowance: np.ndarray) -> np.ndarray:
    """One provisional figure for a way, not a price.

    Section: own rule.
    Inputs: allowance [USD]. Result: [USD].
    """
    return allowance


@rule("load_control_allowance_usd")
def load_control_allowance_usd(
    *,
    allowance_load_control: np.ndarray,
    allowance_added_panel: np.ndarray,
    control_in_main: np.ndarray,
) -> np.ndarray:
    """Load control, with an added panel where the present one does not do.

    Section: own rule.
    Inputs: allowances [USD], control_in_main [yes or no]. Result: [USD].
    """
    return allowance_load_control + np.where(control_in_main, 0.0, allowance_added_panel)


def _over_feasible(allowances: tuple[np.ndarray, ...], works: tuple[np.ndarray, ...]) -> np.ndarray:
    """Allowances, a row a way; infinite for a way that does not work."""
    shape = np.broadcast_shapes(*(np.shape(one) for one in (*allowances, *works)))
    pairs = zip(allowances, works, strict=True)
    return np.array([np.broadcast_to(np.where(does, cost, np.inf), shape) for cost, does in pairs])


@rule("lowest_allowance_usd")
def lowest_allowance_usd(
    *,
    existing_spaces_allowance_usd: np.ndarray,
    added_panel_allowance_usd: np.ndarray,
    load_control_allowance_usd: np.ndarray,
    larger_service_allowance_usd: np.ndarray,
    existing_spaces_feasible: np.ndarray,
    added_panel_feasible: np.ndarray,
    load_control_feasible: np.ndarray,
    larger_service_feasible: np.ndarray,
) -> np.ndarray:
    """The lowest allowance of the ways that work; the highest of all where none does.

    Section: own rule.
    Inputs: allowances [USD], feasible [yes or no]. Result: [USD].
    """
    allowances = (
        existing_spaces_allowance_usd,
        added_panel_allowance_usd,
        load_control_allowance_usd,
        larger_service_allowance_usd,
    )
    works = (existing_spaces_feasible, added_panel_feasible, load_control_feasible, larger_service_feasible)
    lowest = _over_feasible(allowances, works).min(axis=0)
    highest = np.maximum.reduce(np.broadcast_arrays(*allowances))
    return np.where(np.isinf(lowest), highest, lowest)


@rule("option_rank", words=("none", *WAYS))
def option_rank(
    *,
    existing_spaces_allowance_usd: np.ndarray,
    added_panel_allowance_usd: np.ndarray,
    load_control_allowance_usd: np.ndarray,
    larger_service_allowance_usd: np.ndarray,
    existing_spaces_feasible: np.ndarray,
    added_panel_feasible: np.ndarray,
    load_control_feasible: np.ndarray,
    larger_service_feasible: np.ndarray,
) -> np.ndarray:
    """The way with the lowest allowance of those that work, the first of them on a tie.

    Section: own rule.
    Inputs: allowances [USD], feasible [yes or no]. Result: place in the words.
    """
    allowances = (
        existing_spaces_allowance_usd,
        added_panel_allowance_usd,
        load_control_allowance_usd,
        larger_service_allowance_usd,
    )
    works = (existing_spaces_feasible, added_panel_feasible, load_control_feasible, larger_service_feasible)
    any_works = works[0] | works[1] | works[2] | works[3]
    return np.where(any_works, _over_feasible(allowances, works).argmin(axis=0) + 1, 0)


def _place_of(way: Choice) -> np.ndarray:
    """Place of a way among the ways; blank for none."""
    places = {word: place for place, word in enumerate(WAYS)}
    return way.pick(places, missing=BLANK).astype(np.int64)


@rule("option_chosen", words=WAYS)
def option_chosen(option_wanted: Choice, option_rank: Choice) -> np.ndarray:
    """The way wished for, else the cheapest that works.

    Section: own rule.
    Inputs: option_wanted, option_rank. Result: place in the words, blank where no way works.
    """
    wanted = _place_of(option_wanted)
    return np.where(wanted == BLANK, _place_of(option_rank), wanted)


@rule("chosen_feasible", words=("no", "yes"))
def chosen_feasible(
    *,
    option_chosen: Choice,
    existing_spaces_feasible: np.ndarray,
    added_panel_feasible: np.ndarray,
    load_control_feasible: np.ndarray,
    larger_service_feasible: np.ndarray,
) -> np.ndarray:
    """Whether the way chosen works.

    Section: own rule.
    Inputs: option_chosen, feasible [yes or no]. Result: place in the words, blank without a way.
    """
    works = (existing_spaces_feasible, added_panel_feasible, load_control_feasible, larger_service_feasible)
    found = np.full(option_chosen.codes.shape, BLANK)
    for way, does in zip(WAYS, works, strict=True):
        found = np.where(option_chosen.is_(way), does, found)
    return found


@rule("chosen_allowance_usd")
def chosen_allowance_usd(
    *,
    option_chosen: Choice,
    existing_spaces_allowance_usd: np.ndarray,
    added_panel_allowance_usd: np.ndarray,
    load_control_allowance_usd: np.ndarray,
    larger_service_allowance_usd: np.ndarray,
) -> np.ndarray:
    """The allowance of the way chosen.

    Section: own rule.
    Inputs: option_chosen, allowances [USD]. Result: [USD], blank without a way.
    """
    allowances = (
        existing_spaces_allowance_usd,
        added_panel_allowance_usd,
        load_control_allowance_usd,
        larger_service_allowance_usd,
    )
    found = np.full(option_chosen.codes.shape, np.nan)
    for way, allowance in zip(WAYS, allowances, strict=True):
        found = np.where(option_chosen.is_(way), allowance, found)
    return found


@rule(
    "option_state",
    words=(
        "OK",
        "STOP: no way works as entered",
        "STOP: the way wanted does not work",
        "CHECK: a cheaper way works",
    ),
)
def option_state(
    *,
    option_chosen: Choice,
    option_wanted: Choice,
    chosen_feasible: np.ndarray,
    chosen_allowance_usd: np.ndarray,
    lowest_allowance_usd: np.ndarray,
) -> np.ndarray:
    """Whether a way is chosen, works, and none that works is cheaper.

    Section: own rule.
    Inputs: ways, chosen_feasible [yes or no], allowances [USD]. Result: place in the words.
    """
    given = ~is_blank(option_wanted)
    dearer = chosen_allowance_usd > lowest_allowance_usd
    return first_true((is_blank(option_chosen), given & ~chosen_feasible, given & dearer))


@rule("chosen_reason")
def chosen_reason(
    *,
    option_chosen: Choice,
    existing_spaces_reason: Choice,
    added_panel_reason: Choice,
    load_control_reason: Choice,
    larger_service_reason: Choice,
) -> Choice:
    """The reason of the way chosen.

    Section: own rule.
    Inputs: option_chosen, reasons [text]. Result: [text], blank without a way.
    """
    reasons = (existing_spaces_reason, added_panel_reason, load_control_reason, larger_service_reason)
    cases = ((option_chosen.is_(way), "{}", why) for way, why in zip(WAYS, reasons, strict=True))
    return first_text(*cases)


@rule("option_reason")
def option_reason(option_chosen: Choice, option_wanted: Choice, chosen_reason: Choice) -> Choice:
    """One sentence on why this way.

    Section: own rule.
    Inputs: ways, chosen_reason [text]. Result: [text].
    """
    given = ~is_blank(option_wanted)
    return first_text(
        (is_blank(option_chosen), "No way works as entered; see the four reasons."),
        (given, "Wanted by the job. {}", chosen_reason),
        (~given, "The least costly way that works. {}", chosen_reason),
    )
