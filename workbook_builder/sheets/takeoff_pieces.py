"""Pieces of formula that the quantities of material and work share."""

from __future__ import annotations

THREE, FOUR, EIGHT = "(2+1)", "2*2", "2*2*2"
"""Numbers that a quantity has by the nature of the thing, such as the conductors of a feeder."""

WASTE = "(1+{waste_percent}/{percent})"

TRADE_SIZES = "{raceway_diameter.trade_size}"


def flag(test: str) -> str:
    """1 where a test holds, else 0."""
    return f"IF({test}, 1, 0)"


def up(formula: str) -> str:
    """A number up to the next whole one."""
    return f"ROUNDUP(ROUND({formula}, 6), 0)"


def mils_of(size: str) -> str:
    """Circular mils of a size."""
    return f"INDEX({{bare_conductor.circular_mils}}, MATCH({size}, {{bare_conductor.size}}, 0))"


def trade_place(size: str) -> str:
    """Where a trade size stands among the trade sizes."""
    return f"MATCH({size}, {TRADE_SIZES}, 0)"
