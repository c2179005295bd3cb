"""Books for tests: those of the package with some lines and settings changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from workbook_builder.code_tables.books import BOOKS, BookLine, Books
from workbook_builder.code_tables.load import load

Points = float | tuple[float, float, float]


def _with_points(line: BookLine, points: Points) -> BookLine:
    low, likely, high = points if isinstance(points, tuple) else (points,) * 3
    return replace(line, low=low, likely=likely, high=high)


def books_with(
    lines: Mapping[str, Mapping[str, Points]] | None = None,
    *,
    settings: Mapping[str, float] | None = None,
    rest: Points | None = None,
) -> Books:
    """The books of the package with these lines, by book and key, and settings changed.

    A line is three points, or one number for all three. rest: every other
    price and labour unit.
    """
    ours, changed = load().books, {}
    for book in BOOKS:
        wanted = dict((lines or {}).get(book, {}))
        assert set(wanted) <= set(ours.keys(book)), book
        others = rest if book in ("price_book", "labour_units") else None
        changed[book] = tuple(
            line if (points := wanted.get(line.key, others)) is None else _with_points(line, points)
            for line in ours.lines[book]
        )
    values = {
        name: replace(one, value=(settings or {}).get(name, one.value)) for name, one in ours.settings.items()
    }
    return Books(changed, values)
