"""The books a company edits: Price book, Labour units, Factors, Market rates."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from xlsxwriter.format import Format

from ..code_tables.books import FACTORS, LABOUR_UNITS, MARKET, POINTS, PRICE_BOOK, BookLine
from ..sheets.layout import BOOK_COLUMNS, BOOK_SHEETS, BookPlace
from ..sheets.model import FIRST_ROW, MARK_ROW
from .context import Context
from .grid_header import Heading, bands, fitted, total_points, write_headings
from .grids import colour_states
from .measure import height_for, lines, width_for
from .page import head, keep_text, number_of, print_setup, protect
from .sheet_class import PlainFormulaSheet
from .styles import ACCENT, INPUT_LINE, LINE, UNIT_WORDS
from .values import cached, write_value

BOOK_OF = {sheet: name for name, sheet in BOOK_SHEETS.items()}
"""Names of the books by their sheets."""

FROZEN_COLUMNS = 2
_RULE_LINES = 5
_SIZE = 9
MONEY = "#,##0.00"
AMOUNT = "a number of 0 or more"
BUILT = {f"built_{point}": point for point in POINTS}
"""Columns of what the numbers were when the workbook was built, and the columns of what they are."""


@dataclass(frozen=True)
class Page:
    """One book: its words, units and number formats. unit is that of a line whose file names none."""

    title: str
    note: str
    key: str
    key_words: str
    words: str
    unit: str
    number: str
    square: str
    square_unit: str


PAGES = {
    PRICE_BOOK: Page(
        "Price book",
        "Put your own prices into the yellow cells: low, likely and high. Blank yellow rows at the end take sizes "
        "that are not listed; what you change counts at once in every job.",
        "Item",
        "Name by which the sheets find the line; with a size, written as kind|size.",
        "What is bought",
        "USD", MONEY, "#,##0.0000", "USD2",
    ),
    LABOUR_UNITS: Page(
        "Labour units",
        "Put your own hours into the yellow cells: low, likely and high for one of the unit. "
        "What you change counts at once in every job.",
        "Labour unit",
        "Name by which the sheets find the line.",
        "Task",
        "h", "0.000", "0.000000", "h2",
    ),
    FACTORS: Page(
        "Factors",
        "Put your own factors into the yellow cells: low, likely and high. They multiply labour, the last one copper. "
        "What you change counts at once in every job.",
        "Factor",
        "What is seen and its answer, as on Jobs.",
        "What it stands for",
        "factor", "0.000", "0.000000", "",
    ),
    MARKET: Page(
        "Market rates",
        "Put your own wages into the yellow cells: low, likely and high, without burden. "
        "What you change counts at once in every job.",
        "Market",
        "The market of the job, as on Jobs.",
        "What it stands for",
        "USD/h", MONEY, "#,##0.0000", "USD2/h2",
    ),
}  # fmt: skip
_BANDS = {
    "key": "Line", "words": "Line", "unit": "Line",
    "low": "Your numbers", "likely": "Your numbers", "high": "Your numbers",
    "copper": "About the line", "date": "About the line", "source": "About the line",
    "state": "Calculated", "mean": "Calculated", "variance": "Calculated",
}  # fmt: skip
_BUILT_BAND = "When built"
_TITLES = {
    "unit": "Unit", "low": "Low", "likely": "Likely", "high": "High", "copper": "Copper",
    "date": "Date", "source": "Source", "state": "State", "mean": "Mean", "variance": "Variance",
    "built_low": "Low", "built_likely": "Likely", "built_high": "High",
}  # fmt: skip
_RULES = {
    "unit": "Of what one is meant.",
    "low": "The least it comes to.",
    "likely": "What it mostly comes to.",
    "high": "The most it comes to.",
    "copper": "yes: follows the copper price.",
    "date": "Year of the numbers.",
    "source": "Where the numbers come from.",
    "state": "OK, or in words what is wrong; mean and variance are then 0.",
    "mean": "(low plus 4 likely plus high) over 6.",
    "variance": "(mean less low) times (high less mean) over 7.",
    "built_low": "To see what was changed.",
    "built_likely": "To see what was changed.",
    "built_high": "To see what was changed.",
}
_WIDTHS = {"words": 40, "unit": 9, "copper": 11, "date": 8, "source": 46, "state": 40}
_CITED = ("date", "source")
"""What changes with the numbers of a line."""

_SPARE_INPUTS = ("key", "words", "unit", "copper", "date", "source")
"""What is open beside the numbers in the blank rows at the end of the price book."""
_LAST_PRINTED = "variance"
_ADDED = {
    "key": "Name of the line to add, as kind|size: the kind as in the lines above, the size as the Takeoff has it.",
    "copper": "yes where the factor copper multiplies the price, else no.",
}  # fmt: skip


def write_book(context: Context, sheet: PlainFormulaSheet, name: str) -> int:
    """One book, a line a row. Returns how many formulas the sheet has."""
    page, place = PAGES[name], context.layout.books[name]
    given = context.code.books.lines[name]
    headings = fitted([_heading(page, column, given) for column in place.columns], rule_lines=_RULE_LINES)
    widths = {heading.name: heading.width for heading in headings}
    head(context, sheet, page.title, page.note, note_at=FROZEN_COLUMNS + 2)
    write_headings(context, sheet, headings)
    looks = _Looks(context, page, {place.columns[first] for first, _ in bands(headings)})
    for row in range(place.first_row, place.last_row + 1):
        at = row - place.first_row
        if at < len(given):
            _write_line(sheet, looks, given[at], row, widths, context.built(name, given[at].key))
        else:
            _write_spare(sheet, looks, row)
    formulas = write_formulas(context, sheet, looks.of)
    _validate(sheet, place, page, len(given))
    state = place.columns.index("state")
    colour_states(context, sheet, state, state, place.first_row, place.last_row, ("OK", "STOP"))
    finish(
        context, sheet, headings,
        last_row=place.last_row, printed=(place.first_row - 1 + len(given), place.columns.index(_LAST_PRINTED)),
    )  # fmt: skip
    return formulas


def write_formulas(context: Context, sheet: PlainFormulaSheet, look_of: Any) -> int:
    """The formulas that belong on a sheet, with their last results. Returns how many."""
    formulas = context.book_formulas[sheet.name]
    for cell, formula in formulas.items():
        letters = cell.rstrip("0123456789")
        row = int(cell.removeprefix(letters))
        sheet.put_formula(
            row - 1, number_of(letters), formula, look_of(letters, row), last_result(context, sheet.name, cell)
        )
    return len(formulas)


def last_result(context: Context, sheet: str, cell: str) -> float | str:
    """What the formula in a cell gave last; 0 in a workbook without results."""
    if context.book_results is None:
        return 0
    return cached(context.book_results[sheet].get(cell))


def finish(
    context: Context,
    sheet: PlainFormulaSheet,
    headings: list[Heading],
    *,
    last_row: int,
    printed: tuple[int, int],
) -> None:
    """Frozen panes, filter, protection and print setup of a book or of the settings.

    printed: the last row (from 1) and the last column (from 0) that go on paper.
    """
    sheet.freeze_panes(FIRST_ROW - 1, FROZEN_COLUMNS)
    sheet.autofilter(MARK_ROW - 1, 0, last_row - 1, len(headings) - 1)
    sheet.set_zoom(90)
    keep_text(sheet, last_row, len(headings) - 1)
    protect(sheet)
    print_setup(
        context,
        sheet,
        last_row=printed[0],
        last_column=printed[1],
        header_rows=(3, 5),
        id_columns=FROZEN_COLUMNS,
        width_points=total_points(headings[: printed[1] + 1]),
    )


def amount_validation(title: str, meaning: str, low: float = 0, high: float | None = None) -> dict[str, Any]:
    """A cell that takes a number from low up, with its prompt."""
    if high is None:
        expected, limits = AMOUNT, {"criteria": ">=", "value": low}
        if low:
            expected = f"a number of {low} or more"
    else:
        expected, limits = f"a number from {low} to {high}", {"criteria": "between", "minimum": low, "maximum": high}
    return limits | {
        "validate": "decimal",
        "ignore_blank": True,
        "input_title": title,
        "input_message": f"{meaning} {expected[0].upper()}{expected[1:]}."[:255],
        "error_title": title,
        "error_message": f"Must be {expected}.",
        "error_type": "stop",
    }


def _heading(page: Page, column: str, given: tuple[BookLine, ...]) -> Heading:
    title = {"key": page.key, "words": page.words}.get(column) or _TITLES[column]
    rule = {"key": page.key_words, "words": "The line in words."}.get(column) or _RULES[column]
    unit, width = "", _WIDTHS.get(column, 11)
    if column in (*POINTS, *BUILT, "mean"):
        unit = page.unit
    elif column == "variance":
        unit, width = page.square_unit, 14
    elif column == "key":
        width = max(14, *(width_for(line.key, size=_SIZE) for line in given)) + 1
    return Heading(
        name=column,
        band=_BANDS.get(column, _BUILT_BAND),
        title=title,
        unit=unit,
        role=_role(column),
        rule=rule,
        section=AMOUNT[0].upper() + AMOUNT[1:] + "." if column in POINTS else "",
        width=width,
    )


def _role(column: str) -> str:
    if column in POINTS:
        return "input"
    if column == "state":
        return "state"
    return "calculated" if column in ("mean", "variance") else "table"


class _Looks:
    """The formats of one book by column; a line at the left where a band begins."""

    def __init__(self, context: Context, page: Page, firsts: set[str]) -> None:
        self._get, self._page, self._firsts = context.formats.get, page, firsts

    def of(self, letters: str, row: int = 0) -> Format:
        """The look of a formula, by the letters of its column."""
        return self.named(BOOK_COLUMNS[number_of(letters)])

    def named(self, column: str, *, open_to_type: bool = False) -> Format:
        edge = {"left": 1, "left_color": ACCENT} if column in self._firsts else {}
        if column in POINTS or open_to_type:
            style, line = "input", INPUT_LINE
        else:
            style, line = "formula" if column in ("state", "mean", "variance") else "table", LINE
        properties: dict[str, Any] = {"border": 1, "border_color": line, **edge}
        if column in (*POINTS, *BUILT, "mean", "variance"):
            properties |= {
                "align": "right",
                "num_format": self._page.square if column == "variance" else self._page.number,
            }
        else:
            properties |= {"align": "left", "font_size": _SIZE, "text_wrap": column != "key"}
            properties |= {"indent": 1} if column == "state" else {}
        if style == "input":
            properties["locked"] = False
            if column in _SPARE_INPUTS:
                properties["num_format"] = "@"
        return self._get(style, **properties)


def _write_line(
    sheet: PlainFormulaSheet,
    looks: _Looks,
    line: BookLine,
    row: int,
    widths: Mapping[str, float],
    built_line: BookLine | None,
) -> None:
    texts = {
        "key": line.key,
        "words": line.words,
        "unit": UNIT_WORDS.get(line.unit, line.unit),
        "copper": "yes" if line.copper else "",
        "date": line.date,
        "source": line.source,
    }
    values = texts | {point: getattr(line, point) for point in POINTS}
    values |= {built: getattr(built_line, point, None) for built, point in BUILT.items()}
    for column, value in values.items():
        write_value(sheet, row - 1, BOOK_COLUMNS.index(column), value, looks.named(column, open_to_type=column in _CITED))
    most = max(lines(text, width=widths[column], size=_SIZE) for column, text in texts.items() if column != "key")
    sheet.set_row(row - 1, max(12.5, height_for(most, size=_SIZE)))


def _write_spare(sheet: PlainFormulaSheet, looks: _Looks, row: int) -> None:
    for at, column in enumerate(BOOK_COLUMNS):
        look = looks.named(column, open_to_type=column in _SPARE_INPUTS)
        sheet.write_blank(row - 1, at, None, look)
    sheet.set_row(row - 1, 15)


def _validate(sheet: PlainFormulaSheet, place: BookPlace, page: Page, given: int) -> None:
    first = BOOK_COLUMNS.index(POINTS[0])
    for down, point in enumerate(POINTS):
        sheet.data_validation(
            place.first_row - 1, first + down, place.last_row - 1, first + down,
            amount_validation(
                f"{page.title}: {point}",
                f"{_RULES[point]} In {page.unit}. Low, likely and high must rise; the state says so.",
            ),
        )  # fmt: skip
    spare = place.first_row - 1 + given
    if spare >= place.last_row:
        return
    for column, words in _ADDED.items():
        at = BOOK_COLUMNS.index(column)
        kind = {"validate": "list", "source": ["yes", "no"]} if column == "copper" else {"validate": "any"}
        sheet.data_validation(spare, at, place.last_row - 1, at, kind | {
            "ignore_blank": True, "input_title": f"{page.title}: {column}", "input_message": words,
            "error_title": f"{page.title}: {column}", "error_message": words, "error_type": "stop",
        })  # fmt: skip
