"""How wide grids go on paper: the scale at which their columns fill the pages they need."""

from __future__ import annotations

import math
from collections.abc import Sequence

LETTER = (792.0, 612.0)
"""Long and short side of letter paper, in points."""

SIDE_MARGIN, TOP_MARGIN, BOTTOM_MARGIN = 0.3, 0.6, 0.55
"""Margins of the grids, in inches."""

SMALLEST, LARGEST = 55, 75
"""Print scales of grids, in percent: their values are set in 10 points."""

_SPARE = 0.985
"""Share of a page that is filled: spreadsheets round columns each in its own way."""

_DIGIT = 5.56
"""Points of a digit in print, wider than on the screen, where it has seven pixels; a column has five more."""


def column_points(width: float) -> float:
    """Points in print of a column whose width is given in characters."""
    return (math.floor(width * 7 + 0.5) + 5) / 7 * _DIGIT


def room(scale: int) -> float:
    """Points of columns that one page takes at a print scale in percent."""
    return (LETTER[0] - 2 * 72 * SIDE_MARGIN) / (scale / 100) * _SPARE


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


def pages_down(*, header: float, rows: float, scale: int) -> int:
    """Pages below one another at this scale; header stands on each, both are in points."""
    space = (LETTER[1] - 72 * (TOP_MARGIN + BOTTOM_MARGIN)) / (scale / 100) * _SPARE - header
    return max(1, math.ceil(rows / space)) if space > 0 else 1


def scale_to_fill(
    widths: Sequence[float], *, repeated: Sequence[int] = (), header: float = 0, rows: float = 0
) -> int:
    """The largest print scale that needs no more pages than any other one allowed."""
    pages = {
        scale: pages_across(widths, repeated=repeated, scale=scale)
        * pages_down(header=header, rows=rows, scale=scale)
        for scale in range(SMALLEST, LARGEST + 1)
    }
    return max(scale for scale, count in pages.items() if count == min(pages.values()))
