"""Where the circuits of the added panel stand so that its legs balance."""

from __future__ import annotations

import numpy as np
import pandas as pd

from workbook_builder.reference.by_job import count_in_group, rank_among, same_text
from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.texts import first_text, is_blank


@rule("to_place", words=("no", "yes"))
def to_place(panel: Choice, circuit_stays: np.ndarray, move_suggested: np.ndarray) -> np.ndarray:
    """Circuits of the added panel and those suggested for it are placed in it.

    Section: own rule.
    Inputs: panel, circuit_stays, move_suggested [yes or no]. Result: place in the words.
    """
    return ((panel.is_("added") & circuit_stays) | move_suggested).astype(np.int8)


@rule("group_first")
def group_first(
    *,
    to_place: np.ndarray,
    group_key: Choice,
    row_number: np.ndarray,
    poles: np.ndarray,
    group_members: np.ndarray,
    group_here: np.ndarray,
) -> np.ndarray:
    """The first row of a pair, of which a one-pole circuit is placed.

    Section: own rule.
    Inputs: to_place [yes or no], group_key [text], row_number [row], poles [poles], counts [circuits].
    Result: [row]; 0 for all but a pair in one panel.
    """
    first = pd.Series(row_number).groupby(same_text(group_key)[0]).transform("min").to_numpy()
    pair = (group_members == 2) & (group_here == 2) & (poles == 1)
    return np.where(to_place & ~is_blank(group_key) & pair, first, 0.0)


def _shared(to_place: np.ndarray, poles: np.ndarray, group_first: np.ndarray) -> np.ndarray:
    return to_place & (poles == 1) & (group_first > 0)


def _single(to_place: np.ndarray, poles: np.ndarray, group_first: np.ndarray) -> np.ndarray:
    return to_place & (poles == 1) & (group_first == 0)


@rule("shared_before")
def shared_before(
    *, to_place: np.ndarray, poles: np.ndarray, group_first: np.ndarray, circuit_job_row: np.ndarray
) -> np.ndarray:
    """One-pole circuits with a shared neutral are placed group by group, in the order of rows.

    Section: own rule.
    Inputs: to_place [yes or no], poles [poles], rows [row]. Result: [circuits before it]; blank
    for the others.
    """
    return rank_among(_shared(to_place, poles, group_first), circuit_job_row, group_first) - 1.0


@rule("single_before")
def single_before(
    *,
    to_place: np.ndarray,
    poles: np.ndarray,
    group_first: np.ndarray,
    circuit_job_row: np.ndarray,
    circuit_va: np.ndarray,
) -> np.ndarray:
    """The other one-pole circuits follow, the largest load first, on a tie the earlier row.

    Section: own rule.
    Inputs: to_place [yes or no], poles [poles], rows [row], circuit_va [VA].
    Result: [circuits before it]; blank for the others.
    """
    among_singles = rank_among(_single(to_place, poles, group_first), circuit_job_row, -circuit_va)
    shared = count_in_group(_shared(to_place, poles, group_first), circuit_job_row)
    return shared + among_singles - 1.0


@rule("place_order")
def place_order(
    *,
    to_place: np.ndarray,
    poles: np.ndarray,
    circuit_job_row: np.ndarray,
    shared_before: np.ndarray,
    single_before: np.ndarray,
) -> np.ndarray:
    """Two-pole circuits by row; one-pole circuits with a shared neutral before single ones.

    Section: own rule.
    Inputs: to_place [yes or no], poles [poles], circuit_job_row [row], circuits before it [circuits].
    Result: [place in the order]; blank where it is not placed.
    """
    two_pole = rank_among(to_place & (poles == 2), circuit_job_row)
    one_pole = 1.0 + np.where(np.isnan(shared_before), single_before, shared_before)
    return np.where(poles == 2, two_pole, one_pole)


@rule("two_pole_rows")
def two_pole_rows(to_place: np.ndarray, poles: np.ndarray, circuit_job_row: np.ndarray) -> np.ndarray:
    """Two two-pole circuits side by side take two rows of the panel; a single one takes them, too.

    Section: own rule.
    Inputs: to_place [yes or no], poles [poles], circuit_job_row [row]. Result: [panel rows]; blank
    where it is not placed.
    """
    circuits = count_in_group(to_place & (poles == 2), circuit_job_row)
    return np.where(to_place, 2.0 * np.ceil(circuits / 2.0), np.nan)


@rule("suggested_position")
def suggested_position(poles: np.ndarray, place_order: np.ndarray, two_pole_rows: np.ndarray) -> np.ndarray:
    """Two-pole circuits on top, side by side; below them single poles on legs A, B, B, A, and so on.

    Section: common practice.
    Inputs: poles [poles], place_order [place], two_pole_rows [panel rows]. Result: [space]; blank
    where it is not placed.
    Limits: positions that are entered are not looked at.

    Example: five one-pole circuits below one two-pole circuit.
    >>> suggested_position(np.ones(5), np.arange(1.0, 6.0), np.full(5, 2.0)).tolist()
    [5.0, 7.0, 8.0, 6.0, 9.0]
    """
    before = place_order - 1.0
    pair, side = np.floor(before / 2.0), before % 2.0
    block, rest = np.floor(before / 4.0), before % 4.0
    on_leg_a, on_the_left = (rest == 0) | (rest == 3), rest < 2
    row = two_pole_rows + 2.0 * block + np.where(on_leg_a, 1.0, 2.0)
    one_pole = 2.0 * row - np.where(on_the_left, 1.0, 0.0)
    return np.where(poles == 2, 4.0 * pair + 1.0 + side, one_pole)


@rule("suggested_key")
def suggested_key(
    *, suggested_position: np.ndarray, panel: Choice, position: np.ndarray, circuit_job_row: np.ndarray
) -> Choice:
    """The space suggested for the first pole, where none is entered in the added panel.

    Section: own rule.
    Inputs: suggested_position, position [space], panel, circuit_job_row [row]. Result: text, blank
    without a suggestion.
    """
    stands = panel.is_("added") & ~np.isnan(position)
    asked = ~np.isnan(suggested_position) & ~stands
    return first_text((asked, "{}|added|{}", circuit_job_row, suggested_position))


@rule("suggested_second_key")
def suggested_second_key(
    *, suggested_key: Choice, poles: np.ndarray, circuit_job_row: np.ndarray, suggested_position: np.ndarray
) -> Choice:
    """The space suggested for the second pole, two positions on.

    Section: own rule.
    Inputs: suggested_key [text], poles [poles], circuit_job_row [row], suggested_position [space].
    Result: text, blank for one pole.
    """
    asked = ~is_blank(suggested_key) & (poles == 2)
    return first_text((asked, "{}|added|{}", circuit_job_row, suggested_position + 2.0))


@rule("suggested_taken")
def suggested_taken(
    *,
    suggested_key: Choice,
    suggested_second_key: Choice,
    space_key: Choice,
    second_space_key: Choice,
) -> np.ndarray:
    """Listed circuits that stand in the spaces suggested for this one.

    Section: own rule.
    Inputs: keys [text]. Result: [circuits]; 0 without a suggestion.

    >>> none = Choice.of((), ["", ""])
    >>> suggested_taken(suggested_key=Choice.of(("1|added|1",), ["1|added|1", ""]),
    ...                 suggested_second_key=Choice.of(("1|added|3",), ["1|added|3", ""]),
    ...                 space_key=Choice.of(("1|added|3",), ["", "1|added|3"]),
    ...                 second_space_key=none).tolist()
    [1, 0]
    """
    first, second, *listed = same_text(suggested_key, suggested_second_key, space_key, second_space_key)
    taken = np.concatenate(listed)
    asked = max(np.max(first, initial=0), np.max(second, initial=0))
    times = np.bincount(taken[taken >= 0], minlength=asked + 1)
    return sum(np.where(key >= 0, times[key], 0) for key in (first, second))


@rule(
    "suggested_state",
    words=(
        "OK",
        "CHECK: the suggested space is beyond the added panel",
        "CHECK: a listed circuit stands in the suggested space",
    ),
)
def suggested_state(
    *,
    suggested_key: Choice,
    suggested_position: np.ndarray,
    poles: np.ndarray,
    added_spaces_chosen: np.ndarray,
    suggested_taken: np.ndarray,
) -> np.ndarray:
    """The space suggested is there and free of circuits that have a place.

    Section: own rule.
    Inputs: suggested_key [text], suggested_position [space], poles [poles], added_spaces_chosen of its
    job [spaces], suggested_taken [circuits]. Result: place in the words.
    """
    last = suggested_position + np.where(poles == 2, 2.0, 0.0)
    state = first_true((added_spaces_chosen < last, suggested_taken > 0))
    return np.where(is_blank(suggested_key), 0, state)
