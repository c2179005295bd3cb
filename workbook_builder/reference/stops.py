"""The first STOP among some states, in the words of these states."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import BLANK
from workbook_builder.reference.registry import registered

STOP = "STOP: "


def stop_words(*states: str) -> tuple[str, ...]:
    """The words of these states that stop, each once. Their modules must be loaded."""
    words = (word for state in states for word in registered()[state].words)
    return tuple(dict.fromkeys(word for word in words if word.startswith(STOP)))


def first_stop(words: tuple[str, ...], **states: np.ndarray) -> np.ndarray:
    """Place in the words of the first state that stops; blank for none.

    states: each as places in its own words.
    """
    found: np.ndarray = np.array(BLANK)
    for name, codes in states.items():
        own = [words.index(word) if word in words else BLANK for word in registered()[name].words]
        found = np.where(found == BLANK, np.array(own)[codes], found)
    return found
