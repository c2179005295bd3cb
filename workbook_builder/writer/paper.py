"""How wide grids go on paper: the scale at which their columns fill the pages they need."""

from __future__ import annotations

from collections.abc import Sequence

LETTER = (792.0, 612.0)
"""Long and short side of letter paper, in points."""

SIDE_MARGIN = 0.3
"""Left and right margin of the grids, in inches."""

SMALLEST, LARGEST = 58, 75
"""Print scales of grids, in percent: their values are set in 10 points."""

_SPARE = 0.985
"""Share of a page that is filled: spreadsheets round columns each in its own way."""

_DIGIT, _PADDING = 5.56, 0.72
"""Points of a digit in print, wider than on the screen, and what a file adds to a column, in digits."""


def column_points(width: float) -> float:
    """Points in print of a column whose width is given in characters."""
    return (width + _PADDING) * _DIGIT


def room(scale: int, *, side: float = LETTER[0], margin: float = SIDE_MARGIN) -> float:
    """Points of columns that one page takes at a print scale in percent."""
    return (side - 2 * 72 * margin) / (scale / 100) * _SPARE


def pages_across(widths: Sequence[float], *, repeated: Sequence[int], scale: int) -> int:
    """Pages side by side at this scale, where some columns (from 0) are repeated on every page.

    widths are in characters. A column that is wider than a page counts as one page.
    """
    again = {at: column_points(widths[at]) for at in repeated}
    space, used, count = room(scale), 0.0, 1
    for at, width in enumerate(widths):
        long = column_points(width)
        if used and used + long > space:
            count += 1
            used = sum(points for place, points in again.items() if place < at)
        used += long
    return count


def scale_to_fill(widths: Sequence[float], *, repeated: Sequence[int] = ()) -> int:
    """The largest print scale that needs no more pages across than the smallest one."""
    fewest = pages_across(widths, repeated=repeated, scale=SMALLEST)
    return max(
        scale for scale in range(SMALLEST, LARGEST + 1)
        if pages_across(widths, repeated=repeated, scale=scale) == fewest
    )  # fmt: skip
