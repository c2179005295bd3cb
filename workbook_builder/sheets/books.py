"""Formulas on the books themselves: state, mean and variance of each row, and the cells of each line.

Like the directory these are no grid: the writer writes them and verify
compares them, cell by cell.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from ..code_tables.books import FACTORS, LABOUR_UNITS, LIMITS, MARKET, PRICE_BOOK, Setting
from .layout import (
    LINE_PRICES,
    LINE_ROWS,
    LINE_STATISTICS,
    LINES_MISSING,
    OUT_OF_ORDER,
    SETTINGS,
    BookPlace,
    Layout,
)
from .model import CompiledSheet
from .names_books import TEXT_UNIT

OK = "OK"
NO_NUMBER = "STOP: a number is missing or negative"
NOT_RISING = "STOP: low, likely and high do not rise"
NO_NAME = "STOP: the line has no name"
NO_VALUE = "STOP: the number is missing"

Cells = dict[str, str]


def book_formulas(sheets: Sequence[CompiledSheet], layout: Layout) -> dict[str, Cells]:
    """Every such formula, by sheet and cell, no leading `=`."""
    found = {place.sheet: _book(place) for place in layout.books.values()}
    found[SETTINGS] = _settings(layout)
    found[LINE_PRICES] = _lines(sheets, layout)
    return found


def _book(place: BookPlace) -> Cells:
    """State, mean and variance of every row: the beta distribution of three points."""
    at = {name: f"${place.letter_of(name)}" for name in place.columns}
    cells: Cells = {}
    for row in range(place.first_row, place.last_row + 1):
        key, low, likely, high, state, mean = (
            f"{at[name]}{row}" for name in ("key", "low", "likely", "high", "state", "mean")
        )
        three = f"{low}:{high}"
        cells |= {
            _plain(state): (
                f'IF(AND({key}="", COUNTA({three})=0), "", IF(COUNTIF({three}, ">=0")<3, "{NO_NUMBER}", '
                f"IF(AND({low}<={likely}, {likely}<={high}), "
                f'IF({key}="", "{NO_NAME}", "{OK}"), "{NOT_RISING}")))'
            ),
            _plain(mean): f'IF({state}="{OK}", ROUND(({low}+4*{likely}+{high})/6, 6), 0)',
            _plain(f"{at['variance']}{row}"): (
                f'IF({state}="{OK}", ROUND(({mean}-{low})*({high}-{mean})/7, 12), 0)'
            ),
        }
    return cells


def _settings(layout: Layout) -> Cells:
    """State and value in use of every setting; a text is never out of order."""
    place = layout.settings
    value, state, used = (place.letter_of(name) for name in ("value", "state", "used"))
    cells: Cells = {}
    for name, row in layout.setting_rows.items():
        setting = layout.code.books.settings[name]
        cells[f"{state}{row}"] = _setting_state(setting, f"${value}{row}")
        cells[f"{used}{row}"] = _setting_used(setting, f"${value}{row}", f"${state}{row}")
    return cells


def _setting_used(setting: Setting, value: str, state: str) -> str:
    """The value, and where it is out of order the least it may be, so that nothing is divided by nothing."""
    if setting.unit == TEXT_UNIT:
        return f'IF({value}="", "", {value})'
    low, _ = LIMITS.get(setting.name, (0, math.inf))
    return f'IF({state}="{OK}", {value}, {low})'


def _setting_state(setting: Setting, value: str) -> str:
    """MIN and MAX pass over text, so that a text never equals what they give."""
    if setting.unit == TEXT_UNIT:
        return f'"{OK}"'
    low, high = LIMITS.get(setting.name, (0, math.inf))
    words = f"STOP: the number must be {low} or more"
    within = f"MAX({value}, {low})"
    if high != math.inf:
        words = f"STOP: the number must be from {low} to {high}"
        within = f"MIN({within}, {high})"
    test = f'IFERROR(IF({within}={value}, "{OK}", "{words}"), "{words}")'
    return f'IF(ISBLANK({value}), "{NO_VALUE}", {test})'


def _lines(sheets: Sequence[CompiledSheet], layout: Layout) -> Cells:
    """For each line its key, its place in its book and what stands there, in the column of its quantity."""
    letters = {sheet.name: {column.name: column.letter for column in sheet.columns} for sheet in sheets}
    cells: Cells = {}
    for sheet, name, book, key in _line_keys(layout):
        at = letters[sheet][name]
        first = LINE_ROWS[sheet]
        place = layout.books[book]
        row = f"{at}${first + LINE_STATISTICS.index('place')}"
        state, likely, mean, variance = (
            f"INDEX({place.column(column)}, {row})" for column in ("state", "likely", "mean", "variance")
        )
        formulas = {
            "key": f'"{key}"',
            "place": f"IFERROR(MATCH({at}${first}, {place.column('key')}, 0), 0)",
            "likely": f'IF({row}=0, 0, IF({state}="{OK}", {likely}, 0))',
            "mean": f"IF({row}=0, 0, {mean})",
            "variance": f"IF({row}=0, 0, {variance})",
        }
        cells |= {f"{at}{first + down}": formulas[each] for down, each in enumerate(LINE_STATISTICS)}
    for sheet, first in LINE_ROWS.items():
        row = first + LINE_STATISTICS.index("place")
        ends = [letters[sheet][name] for on, name, _, _ in _line_keys(layout) if on == sheet]
        keys, places = (f"${ends[0]}${at}:${ends[-1]}${at}" for at in (first, row))
        cells[f"{LINES_MISSING}{row}"] = f'SUMPRODUCT(({keys}<>"")*({places}=0))'
    return cells | _out_of_order(layout)


def _out_of_order(layout: Layout) -> Cells:
    """Lines that no book has and rows whose state is not OK: of the two books, and of the others with them."""
    down = LINE_STATISTICS.index("place")
    first, second = (start + down for start in LINE_ROWS.values())

    def bad(name: str) -> str:
        states = (layout.settings if name == SETTINGS else layout.books[name]).column("state")
        used = f'({states}<>"")' if name == PRICE_BOOK else "1"
        return f'SUMPRODUCT(({states}<>"{OK}")*{used})'

    return {
        f"{OUT_OF_ORDER}{first}": f"{LINES_MISSING}{first}+{OUT_OF_ORDER}{second}+{bad(PRICE_BOOK)}+{bad(LABOUR_UNITS)}",
        f"{OUT_OF_ORDER}{second}": f"{LINES_MISSING}{second}+{bad(FACTORS)}+{bad(MARKET)}+{bad(SETTINGS)}",
    }


def _line_keys(layout: Layout) -> Iterator[tuple[str, str, str, str]]:
    """(sheet of the quantity, its name, book, key) of every line that does not depend on a size."""
    for line in layout.code.takeoff_lines:
        if not line.by_size:
            yield "Takeoff", line.name, PRICE_BOOK, line.item
    for task in layout.code.work_lines:
        yield "Labour", task.name, LABOUR_UNITS, task.unit_id


def _plain(cell: str) -> str:
    return cell.replace("$", "")
