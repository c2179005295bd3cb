"""Names of templates that stand for the books: {setting}, {book.column}, {line.statistic:first:last}."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..code_tables.books import FACTORS, KEYS, MARKET
from ..code_tables.load import CodeTables
from .layout import BOOK_COLUMNS, LINE_PRICES, LINE_ROWS, LINE_STATISTICS, Layout, quoted
from .units import ANY, PLAIN, TEXT, Unit, power, product, unit

LINE = "line"
"""What a name of the cells on Line prices begins with."""

OUT_OF_ORDER = "out_of_order"
"""The count of lines and settings that are out of order."""

TEXT_UNIT = "text"
"""The unit of a setting that is no number."""

_NUMBERS = ("low", "likely", "high", "mean")
_UNITS = {FACTORS: PLAIN, MARKET: unit("USD/h")}
"""Units of books with one unit; the other two have another one in every row."""

LINE_UNITS = {"Takeoff": unit("USD"), "Labour": unit("h")}
"""What a quantity of these sheets becomes when it is multiplied by the mean of its line."""


class BookNames:
    """Cells and units of the names that stand for the books.

    order has the column names of every sheet from left to right, places the
    (sheet, letter) of every column of the grid of jobs.
    """

    def __init__(
        self,
        layout: Layout,
        order: Mapping[str, Sequence[str]],
        places: Mapping[str, tuple[str, str]],
    ) -> None:
        self.layout, self.order, self.places = layout, order, places
        self.lines = lines_with_cells(layout.code)

    def has(self, name: str) -> bool:
        """Whether a name is one of these, spelled well or not."""
        head = name.partition(".")[0]
        known = name in self.layout.code.books.settings or name == OUT_OF_ORDER
        return known or head == LINE or head in self.layout.books

    def cell(self, name: str) -> str | None:
        """The cell or range of a name; None where it is not known."""
        if name in self.layout.code.books.settings:
            return self.layout.setting_cell(name)
        if name == OUT_OF_ORDER:
            return self.layout.out_of_order_cell()
        head, _, rest = name.partition(".")
        if head in self.layout.books:
            column = _column(head, rest)
            return self.layout.books[head].column(column) if column else None
        return None if self.why_not(name) else self._line_cells(rest)

    def why_not(self, name: str) -> str:
        """What is wrong with a name, in words; blank where nothing is."""
        head, _, rest = name.partition(".")
        if name in (*self.layout.code.books.settings, OUT_OF_ORDER) or _column(head, rest):
            return ""
        if head in self.layout.books:
            return f"{head} has no column {rest!r}"
        if head != LINE:
            return f"{name} is no setting"
        statistic, *ends = rest.split(":")
        if statistic not in LINE_STATISTICS:
            return f"a line has no {statistic!r}, only {', '.join(LINE_STATISTICS)}"
        if len(ends) not in (1, 2):
            return "a line is named as {line.mean:name} or {line.mean:first:last}"
        without = [end for end in ends if end not in self.lines or end not in self.places]
        if without:
            return f"{without[0]} has no price or labour unit of its own"
        if len({self.places[end][0] for end in ends}) > 1:
            return f"{ends[0]} and {ends[1]} stand on two sheets"
        within = self.between(ends[0], ends[-1])
        if not within:
            return f"{ends[-1]} stands left of {ends[0]}"
        without = [one for one in within if one not in self.lines]
        return f"{without[0]} stands between and has no price or labour unit of its own" if without else ""

    def between(self, first: str, last: str) -> Sequence[str]:
        """The columns from one to another of a sheet; none where they stand the other way round."""
        order = self.order[self.places[first][0]]
        return order[order.index(first) : order.index(last) + 1]

    def unit(self, name: str) -> Unit:
        """The unit of a name; that of a line is an amount for one of its quantity."""
        settings = self.layout.code.books.settings
        if name in settings:
            words = settings[name].unit
            return TEXT if words == TEXT_UNIT else unit(words)
        if name == OUT_OF_ORDER:
            return PLAIN
        head, _, rest = name.partition(".")
        if head == LINE:
            return ANY if self.why_not(name) else self._line_unit(*rest.split(":"))
        column = _column(head, rest)
        if column == "variance":
            return power(_UNITS.get(head, ANY), 2)
        return _UNITS.get(head, ANY) if column in _NUMBERS else TEXT

    def _line_cells(self, rest: str) -> str:
        statistic, *ends = rest.split(":")
        sheet = self.places[ends[0]][0]
        row = LINE_ROWS[sheet] + LINE_STATISTICS.index(statistic)
        cells = [f"${self.places[end][1]}${row}" for end in ends]
        return f"{quoted(LINE_PRICES)}!{':'.join(cells)}"

    def _line_unit(self, statistic: str, *ends: str) -> Unit:
        if statistic == LINE_STATISTICS[0]:
            return TEXT
        rules = self.layout.code.rules
        units = {unit(rules[one].unit) for one in self.between(ends[0], ends[-1])}
        if len(units) > 1:
            return ANY
        each = product(LINE_UNITS[self.places[ends[0]][0]], units.pop(), -1)
        return power(each, 2) if statistic == "variance" else each


def lines_with_cells(code: CodeTables) -> frozenset[str]:
    """Quantities that always take the same line: their four cells stand on Line prices."""
    fixed = (line.name for line in code.takeoff_lines if not line.by_size)
    return frozenset((*fixed, *(line.name for line in code.work_lines)))


def _column(book: str, name: str) -> str | None:
    """The column of a book by its name, or by the name that its key has in the file."""
    if book not in KEYS:
        return None
    found = "key" if name == KEYS[book] else name
    return found if found in BOOK_COLUMNS else None
