"""What the formulas on the books should give: states, means, variances and the cells of Line prices.

The reference's statistics, put at the places where the formulas stand.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from ..code_tables.books import LABOUR_UNITS, LIMITS, PRICE_BOOK, Books, Setting
from ..reference.books import book_statistics
from ..sheets.layout import LINE_PRICES, LINE_ROWS, LINE_STATISTICS, SETTINGS, Layout
from ..sheets.model import CompiledSheet

OK, STOP = "OK", "STOP"
"""States as the reference knows them; after STOP the workbook says what is wrong."""

TEXT_UNIT = "text"

Values = dict[str, dict[str, object]]


def book_values(
    books: Books,
    sheets: Sequence[CompiledSheet],
    layout: Layout,
    *,
    line_rows: Mapping[str, Sequence[int]] | None = None,
) -> Values:
    """The value of every formula on the books by sheet and cell; a state of `STOP` stands for all that begin so.

    line_rows: the sheet row of each line of each book; without it they stand
    in order from the first row.
    """
    statistics = book_statistics(books)
    values: Values = {}
    for name, place in layout.books.items():
        lines = books.lines[name]
        rows = line_rows[name] if line_rows else range(place.first_row, place.first_row + len(lines))
        of_row = dict(zip(rows, statistics[name], strict=True))
        values[place.sheet] = cells = {}
        for row in range(place.first_row, place.last_row + 1):
            one = of_row.get(row)
            for column, value in (
                ("state", one.state if one else ""),
                ("mean", one.mean if one else 0.0),
                ("variance", one.variance if one else 0.0),
            ):
                cells[f"{place.letter_of(column)}{row}"] = value
    state = layout.settings.letter_of("state")
    values[SETTINGS] = {
        f"{state}{row}": _setting_state(books.settings[name]) for name, row in layout.setting_rows.items()
    }
    values[LINE_PRICES] = dict(_line_cells(books, statistics, sheets, layout))
    return values


def _setting_state(setting: Setting) -> str:
    if setting.unit == TEXT_UNIT:
        return OK
    low, high = LIMITS.get(setting.name, (0, math.inf))
    return OK if isinstance(setting.value, float | int) and low <= setting.value <= high else STOP
