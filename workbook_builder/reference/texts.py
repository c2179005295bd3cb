"""Sentences of a column: few distinct ones, each built once from the numbers that stand in it."""

from __future__ import annotations

import numpy as np
import pandas as pd

from workbook_builder.reference.choice import BLANK, Choice

Case = tuple[object, ...]  # (where it holds, words with {} for each value, the values)


def whole_text(value: float) -> str:
    """A number as a whole number without decimals or separators; blank where there is none.

    >>> whole_text(1200.0), whole_text(-3.0), whole_text(6.5), whole_text(float("nan"))
    ('1200', '-3', '7', '')
    """
    return "" if np.isnan(value) else str(int(np.floor(value + 0.5)))


def number_words(values: np.ndarray) -> Choice:
    """Numbers as text: whole ones without decimals, others with those they have; blank for none.

    >>> numbers = number_words(np.array([125.0, np.nan, 62.5]))
    >>> [(*numbers.words, "")[code] for code in numbers.codes]
    ['125', '', '62.5']
    """
    codes, found = pd.factorize(np.atleast_1d(values))
    return Choice(tuple(f"{value:.15g}" for value in found.tolist()), codes)


def decimals(values: np.ndarray, places: int) -> Choice:
    """Numbers as text with so many decimals, as they are rounded already; blank for none.

    >>> decimals(np.array([1.1, 0.25]), 2).words
    ('1.10', '0.25')
    """
    codes, found = pd.factorize(np.atleast_1d(values))
    return Choice(tuple(f"{value:.{places}f}" for value in found.tolist()), codes)


def joined(*parts: str | Choice) -> Choice:
    """The parts one behind the other, without blanks between; blank where one of them is.

    >>> rating = number_words(np.array([60.0, np.nan]))
    >>> said = joined("feeder breaker|", rating)
    >>> said.words, said.codes.tolist()
    (('feeder breaker|60',), [0, -1])
    """
    words: tuple[str, ...] = ("",)
    codes: np.ndarray = np.array(0, dtype=np.int64)
    blank: np.ndarray = np.array(False)
    for part in parts:
        if isinstance(part, str):
            words = tuple(start + part for start in words)
            continue
        blank = blank | (part.codes < 0)
        codes = codes * len(part.words) + part.codes
        words = tuple(start + end for start in words for end in part.words)
    return Choice(words, np.where(blank, BLANK, codes))


def is_blank(text: Choice) -> np.ndarray:
    """True where there is no text."""
    return text.codes == BLANK


def begins_with(text: Choice, start: str) -> np.ndarray:
    """True where the text begins with these letters; a blank does not.

    >>> begins_with(Choice.of(("Yes: 3.", "No: 4."), ["No: 4.", "Yes: 3.", ""]), "Yes").tolist()
    [False, True, False]
    """
    row = [word.startswith(start) for word in text.words]
    return np.array([*row, False, False])[text.codes]


def first_text(*cases: Case) -> Choice:
    """The sentence of the first case that holds, row by row; blank where none does.

    A case is the rows where it holds, the sentence with {} for each value, and
    the values: numbers, written whole, or other texts.

    >>> said = first_text((np.array([True, False]), "No: {} short.", np.array([3.0, 9.0])),
    ...                   (np.array([True, True]), "Yes: {} and {}.", np.array([1, 2]), np.array([5, 6])))
    >>> [said.words[code] for code in said.codes]
    ['No: 3 short.', 'Yes: 2 and 6.']
    """
    parts = (part for where, _, *values in cases for part in (where, *map(_plain, values)))
    rows = int(np.prod(np.broadcast_shapes(*map(np.shape, parts))))
    codes = np.full(rows, BLANK, dtype=np.int32)
    unsaid = np.ones(rows, dtype=bool)
    words: list[str] = []
    for where, sentence, *values in cases:
        here = np.flatnonzero(unsaid & where)
        if len(here) == 0:
            continue
        unsaid[here] = False
        places, said = _sentences(sentence, values, here, rows)
        spoken = np.array([BLANK if one == "" else len(words) + place for place, one in enumerate(said)])
        codes[here] = spoken[places]
        words += said
    return Choice(tuple(words), codes)


def _plain(value: np.ndarray | Choice) -> np.ndarray:
    return value.codes if isinstance(value, Choice) else value


def _spelling(value: np.ndarray | Choice, found: np.ndarray) -> list[str]:
    if isinstance(value, Choice):
        spelled = (*value.words, "", "")
        return [spelled[code] for code in found]
    return [whole_text(float(one)) for one in found]


def _sentences(
    sentence: str, values: list[np.ndarray | Choice], here: np.ndarray, rows: int
) -> tuple[np.ndarray, list[str]]:
    """The distinct sentences of some rows, and which of them each row has."""
    places = np.zeros(len(here), dtype=np.int64)
    parts: list[list[str]] = []
    sizes: list[int] = []
    for value in values:
        column = np.broadcast_to(_plain(value), rows)[here]
        own, found = pd.factorize(column, use_na_sentinel=False)
        parts.append(_spelling(value, found))
        sizes.append(len(found))
        places = places * len(found) + own
    joint, distinct = pd.factorize(places)
    said = []
    for place in distinct.tolist():
        chosen = []
        for part, size in zip(reversed(parts), reversed(sizes), strict=True):
            place, own = divmod(place, size)
            chosen.append(part[own])
        said.append(sentence.format(*reversed(chosen)))
    return joint, said
