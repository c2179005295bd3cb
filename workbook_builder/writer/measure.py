"""How much room a text takes, so that nothing is cut and nothing shows `####`.

Widths are those of Arial and of the free fonts with its metrics, in
thousandths of the font size. Column widths are in characters as spreadsheets
count them: seven pixels each, 96 pixels an inch.
"""

from __future__ import annotations

import math
from functools import lru_cache

_ASCII = (
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
    1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
    333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
    556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
)  # fmt: skip
_OTHER = 1000
_BOLD = 1.08
_POINTS = 5.25
"""Points of one character of column width."""
_SPARE = 1
"""Characters of a column left free, so that neighbours do not touch."""

_LINE = 1.28
_PADDING = 4
LONGEST_ROW = 409
"""Tallest row a spreadsheet has, in points."""


def points(text: str, *, size: float, bold: bool = False) -> float:
    """Length of a text on one line, in points."""
    return _thousandths(text) * size / 1000 * (_BOLD if bold else 1)


@lru_cache(maxsize=16_384)
def _thousandths(text: str) -> int:
    """Length of a text in thousandths of its size; words come again and again."""
    return sum(_ASCII[ord(sign) - 32] if 32 <= ord(sign) < 127 else _OTHER for sign in text)


def width_for(text: str, *, size: float, bold: bool = False) -> float:
    """Column width that holds a text on one line."""
    return math.ceil(points(text, size=size, bold=bold) / _POINTS + 1)


def lines(text: str, *, width: float, size: float, bold: bool = False) -> int:
    """How many lines a text takes when it is wrapped in a column."""
    room = (width - _SPARE) * _POINTS
    count = 0
    for paragraph in text.split("\n"):
        count += 1
        used = 0.0
        for word in paragraph.split(" "):
            long = points(word + " ", size=size, bold=bold)
            if used and used + long > room:
                count += 1
                used = 0.0
            count += int(long // room)
            used += long % room if long > room else long
    return count


def height_for(count: int, *, size: float) -> float:
    """Row height that shows that many lines."""
    return min(LONGEST_ROW, round(count * size * _LINE + _PADDING, 2))


def split(text: str, *, width: float, size: float) -> list[str]:
    """A text cut into lines that each fit a column."""
    found: list[str] = []
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if line and points(longer, size=size) > (width - _SPARE) * _POINTS:
            found.append(line)
            longer = word
        line = longer
    return [*found, line]


def narrowest(text: str, *, most_lines: int, size: float, least: float, bold: bool = False) -> float:
    """Smallest column width, from `least` up, that shows a text in so many lines."""
    width = least
    while lines(text, width=width, size=size, bold=bold) > most_lines:
        width += 1
    return width
