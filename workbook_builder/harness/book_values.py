"""What the formulas on books and local rules should give: states, means, variances, lines, values in use.

The reference's values, put at the places where the formulas stand.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pandas as pd

from ..code_tables.books import FACTORS, LABOUR_UNITS, MARKET, PRICE_BOOK, Books
from ..reference.books import book_statistics, setting_values
from ..reference.run import rules_in_use
from ..sheets.layout import (
    LINE_PRICES,
    LINE_ROWS,
    LINE_STATISTICS,
    LINES_MISSING,
    LOCAL_RULES,
    OUT_OF_ORDER,
    PARAMETER_COLUMNS,
    SETTINGS,
    BookPlace,
    Layout,
    letter,
)
from ..sheets.model import CompiledSheet

STOP = "STOP"
"""The state of a line that is out of order; the workbook says after it what is wrong."""

LINES = {"Takeoff": "takeoff_lines", "Labour": "work_lines"}
"""The reference's statistics of the lines whose quantities stand on these sheets."""

Cells = dict[str, object]


def book_values(
    books: Books,
    sheets: Sequence[CompiledSheet],
    layout: Layout,
    *,
    line_rows: Mapping[str, Sequence[int]] | None = None,
) -> dict[str, Cells]:
    """The value of every formula on the books, by sheet and cell; `STOP` stands for each state that begins so.

    line_rows: the sheet row of each line of each book; without it the lines
    stand one below the other from the first row.
    """
    statistics = book_statistics(books)
    values: dict[str, Cells] = {}
    for name, place in layout.books.items():
        found = statistics[name]
        rows = line_rows[name] if line_rows else range(place.first_row, place.first_row + len(found))
        values[place.sheet] = _book(found, place, rows)
    state = layout.settings.letter_of("state")
    states = statistics[SETTINGS.lower()].set_index("key")["state"]
    used, numbers = layout.settings.letter_of("used"), setting_values(books)
    values[SETTINGS] = {f"{state}{row}": states[name] for name, row in layout.setting_rows.items()}
    values[SETTINGS] |= {
        f"{used}{row}": numbers.get(name, books.settings[name].value) for name, row in layout.setting_rows.items()
    }
    values[LINE_PRICES] = {}
    for sheet in sheets:
        if sheet.name in LINE_ROWS:
            lines = statistics[LINES[sheet.name]]
            values[LINE_PRICES] |= _lines(lines, sheet)
            row = LINE_ROWS[sheet.name] + LINE_STATISTICS.index("place")
            values[LINE_PRICES][f"{LINES_MISSING}{row}"] = int((lines["place"] == 0).sum())
    return values | {LINE_PRICES: values[LINE_PRICES] | _out_of_order(statistics)} if values[LINE_PRICES] else values


def rule_values(overrides: Mapping[str, float | str], layout: Layout) -> dict[str, Cells]:
    """The value in use of every parameter in every edition, and the state of those that are overridden.

    overrides: those that can be used. The state of a row without one is left out.
    """
    cells: Cells = {}
    for name, used in rules_in_use(overrides).items():
        row = layout.parameter_rows[name]
        cells |= {f"{_rule_column(f'in_use_{edition}')}{row}": value for edition, value in used.items()}
        if name in overrides:
            cells[f"{_rule_column('state')}{row}"] = "OK"
    return {LOCAL_RULES: cells}


def _rule_column(name: str) -> str:
    return letter(1 + PARAMETER_COLUMNS.index(name))


def _out_of_order(statistics: Mapping[str, pd.DataFrame]) -> Cells:
    """Rows out of order and lines without a row: of all books and settings, and without the first two books."""

    def amiss(*names: str) -> int:
        return sum(int((statistics[name]["state"] == STOP).sum()) for name in names)

    down = LINE_STATISTICS.index("place")
    missing = {sheet: int((statistics[lines]["place"] == 0).sum()) for sheet, lines in LINES.items()}
    later = missing["Labour"] + amiss(FACTORS, MARKET, SETTINGS.lower())
    return {
        f"{OUT_OF_ORDER}{LINE_ROWS['Takeoff'] + down}": missing["Takeoff"] + amiss(PRICE_BOOK, LABOUR_UNITS) + later,
        f"{OUT_OF_ORDER}{LINE_ROWS['Labour'] + down}": later,
    }


def _book(statistics: pd.DataFrame, place: BookPlace, rows: Sequence[int]) -> Cells:
    """State, mean and variance of every row; a row without a line has none, 0 and 0."""
    blank = {"state": "", "mean": 0.0, "variance": 0.0}
    lines = dict(zip(rows, statistics.to_dict("records"), strict=True))
    return {
        f"{place.letter_of(column)}{row}": lines.get(row, blank)[column]
        for row in range(place.first_row, place.last_row + 1)
        for column in blank
    }


def _lines(statistics: pd.DataFrame, sheet: CompiledSheet) -> Cells:
    """The four cells of every line of a sheet, in the column of its quantity."""
    return {
        f"{sheet.letter_of(name)}{LINE_ROWS[sheet.name] + down}": line[statistic]
        for name, line in statistics.to_dict("index").items()
        for down, statistic in enumerate(LINE_STATISTICS)
    }
