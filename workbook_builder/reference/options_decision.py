"""Which way is chosen: the ranks, the cheapest that works, the reason."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import BLANK, Choice, first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.texts import first_text, is_blank

WAYS = ("existing spaces", "added panel", "load control", "larger service")
"""In the order of preference where ranks are equal."""


@rule("existing_spaces_rank_usd", price="existing_spaces_price_usd", works="existing_spaces_feasible")
@rule("added_panel_rank_usd", price="added_panel_price_usd", works="added_panel_feasible")
@rule("load_control_rank_usd", price="load_control_price_usd", works="load_control_feasible")
@rule("larger_service_rank_usd", price="larger_service_price_usd", works="larger_service_feasible")
def rank_usd(price: np.ndarray, works: np.ndarray, unpriced_usd: float) -> np.ndarray:
    """What a way is ranked by: its price; behind all prices where it has none, last where it fails.

    Section: own rule.
    Inputs: price, unpriced_usd [USD], works [yes or no]. Result: [USD].

    >>> rank_usd(np.array([900.0, np.nan, 900.0]), np.array([True, True, False]), 1e6).tolist()
    [900.0, 1000000.0, 2000000.0]
    """
    priced = np.where(np.isnan(price), unpriced_usd, price)
    return np.where(works, priced, 2.0 * unpriced_usd)


@rule("lowest_rank_usd")
def lowest_rank_usd(
    existing_spaces_rank_usd: np.ndarray,
    added_panel_rank_usd: np.ndarray,
    load_control_rank_usd: np.ndarray,
    larger_service_rank_usd: np.ndarray,
) -> np.ndarray:
    """The lowest of the four ranks.

    Section: own rule.
    Inputs: ranks [USD]. Result: [USD].
    """
    ranks = (existing_spaces_rank_usd, added_panel_rank_usd, load_control_rank_usd, larger_service_rank_usd)
    return np.minimum.reduce(np.broadcast_arrays(*ranks))


@rule("option_rank", words=("none", *WAYS))
def option_rank(
    *,
    existing_spaces_rank_usd: np.ndarray,
    added_panel_rank_usd: np.ndarray,
    load_control_rank_usd: np.ndarray,
    larger_service_rank_usd: np.ndarray,
    existing_spaces_feasible: np.ndarray,
    added_panel_feasible: np.ndarray,
    load_control_feasible: np.ndarray,
    larger_service_feasible: np.ndarray,
    lowest_rank_usd: np.ndarray,
) -> np.ndarray:
    """The way with the lowest rank, the first of them on a tie; none where no way works.

    Section: own rule.
    Inputs: ranks [USD], feasible [yes or no]. Result: place in the words.
    """
    ranks = (existing_spaces_rank_usd, added_panel_rank_usd, load_control_rank_usd, larger_service_rank_usd)
    works = existing_spaces_feasible | added_panel_feasible | load_control_feasible | larger_service_feasible
    return np.where(works, first_true(tuple(rank == lowest_rank_usd for rank in ranks)), 0)


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


@rule("chosen_rank_usd")
def chosen_rank_usd(
    *,
    option_chosen: Choice,
    existing_spaces_rank_usd: np.ndarray,
    added_panel_rank_usd: np.ndarray,
    load_control_rank_usd: np.ndarray,
    larger_service_rank_usd: np.ndarray,
) -> np.ndarray:
    """The rank of the way chosen.

    Section: own rule.
    Inputs: option_chosen, ranks [USD]. Result: [USD], blank without a way.
    """
    ranks = (existing_spaces_rank_usd, added_panel_rank_usd, load_control_rank_usd, larger_service_rank_usd)
    found = np.full(option_chosen.codes.shape, np.nan)
    for way, rank in zip(WAYS, ranks, strict=True):
        found = np.where(option_chosen.is_(way), rank, found)
    return found


@rule("chosen_spare_a")
def chosen_spare_a(
    *,
    option_chosen: Choice,
    existing_spaces_spare_a: np.ndarray,
    added_panel_spare_a: np.ndarray,
    load_control_spare_a: np.ndarray,
    larger_service_spare_a: np.ndarray,
) -> np.ndarray:
    """What the way chosen leaves of the service.

    Section: own rule.
    Inputs: option_chosen, currents [A]. Result: [A], blank without a way and where that way has none.
    """
    spare = (existing_spaces_spare_a, added_panel_spare_a, load_control_spare_a, larger_service_spare_a)
    found = np.full(option_chosen.codes.shape, np.nan)
    for way, left in zip(WAYS, spare, strict=True):
        found = np.where(option_chosen.is_(way), left, found)
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
    chosen_rank_usd: np.ndarray,
    lowest_rank_usd: np.ndarray,
) -> np.ndarray:
    """Whether a way is chosen, works, and none that works is cheaper.

    Section: own rule.
    Inputs: ways, chosen_feasible [yes or no], ranks [USD]. Result: place in the words.
    """
    given = ~is_blank(option_wanted)
    dearer = chosen_rank_usd > lowest_rank_usd
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
def option_reason(
    *,
    option_chosen: Choice,
    option_wanted: Choice,
    chosen_reason: Choice,
    lowest_rank_usd: np.ndarray,
    unpriced_usd: float,
) -> Choice:
    """One sentence on why this way.

    Section: own rule.
    Inputs: ways, chosen_reason [text], lowest_rank_usd, unpriced_usd [USD]. Result: [text].
    """
    given = ~is_blank(option_wanted)
    priced = lowest_rank_usd < unpriced_usd
    return first_text(
        (is_blank(option_chosen), "No way works as entered; see the four reasons."),
        (given, "Wanted by the job. {}", chosen_reason),
        (priced, "The least costly way that works. {}", chosen_reason),
        (~priced, "No way has a price; the first that works. {}", chosen_reason),
    )
