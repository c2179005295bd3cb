"""States by their words: what they are, and where they begin with STOP, CHECK or another word."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from workbook_builder.reference.registry import registered


def words_of(state: str) -> tuple[str, ...]:
    """The words of a state that other rules copy. Its module must be loaded."""
    return registered()[state].words


def beginning(start: str, names: Sequence[str], states: Sequence[np.ndarray]) -> Iterator[np.ndarray]:
    """For each of some states, where its word begins so. Their modules must be loaded.

    names: the rules; states: each as places in its own words.
    """
    for name, codes in zip(names, states, strict=True):
        yield np.array([word.startswith(start) for word in words_of(name)])[codes]
