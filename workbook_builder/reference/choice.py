"""A column of words, held as small whole numbers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

BLANK = -1
INVALID = -2


@dataclass(frozen=True, eq=False)
class Choice:
    """Words of a column: codes are places in `words`; -1 is blank, -2 no such word."""

    words: tuple[str, ...]
    codes: np.ndarray

    @classmethod
    def of(cls, words: Sequence[str], entries: Iterable[str] | str) -> Choice:
        """The column of these entries, each one of the words or blank.

        >>> Choice.of(("copper", "aluminum"), ["aluminum", ""]).codes.tolist()
        [1, -1]
        """
        entries = [entries] if isinstance(entries, str) else list(entries)
        places = [BLANK if entry == "" else tuple(words).index(entry) for entry in entries]
        return cls(tuple(words), np.array(places, dtype=np.int8))

    def is_(self, *words: str) -> np.ndarray:
        """True where the entry is one of these words. KeyError for a word not in the list."""
        unknown = [word for word in words if word not in self.words]
        if unknown:
            raise KeyError(f"{unknown} not in {self.words}")
        found = self.codes == self.words.index(words[0])
        for word in words[1:]:
            found = found | (self.codes == self.words.index(word))
        return found

    def pick(self, values: Mapping[str, float], missing: float = np.nan) -> np.ndarray:
        """The value of each word; `missing` for a blank and for a word without value."""
        row = [values.get(word, missing) for word in self.words]
        return np.array([*row, missing, missing])[self.codes]

    def take(self, rows: slice | np.ndarray) -> Choice:
        """The same column for some of the rows."""
        return Choice(self.words, self.codes[rows])


def spell(words: Sequence[str], codes: np.ndarray) -> np.ndarray:
    """Codes as words: blank as the empty text, an unknown word as `invalid`."""
    spelling = np.array([*words, "invalid", ""], dtype=object)
    return spelling[codes]


def first_true(faults: tuple[np.ndarray, ...]) -> np.ndarray:
    """Position of the first condition that holds; 0 where none does.

    >>> first_true((np.array([False, False]), np.array([True, False]))).tolist()
    [2, 0]
    """
    state = np.zeros(np.broadcast(*faults).shape, dtype=np.int8)
    for place in range(len(faults), 0, -1):
        state = np.where(faults[place - 1], np.int8(place), state)
    return state
