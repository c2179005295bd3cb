"""State, mean and variance of a row of a book, the state of a setting, and the cells of a line, recalculated."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
import xlsxwriter

from workbook_builder.code_tables.load import load
from workbook_builder.harness.engines import available, cell_name, recalculate
from workbook_builder.sheets.books import NO_NAME, NO_NUMBER, NO_VALUE, NOT_RISING, book_formulas
from workbook_builder.sheets.compile import compile_book
from workbook_builder.sheets.formula import FUNCTIONS
from workbook_builder.sheets.layout import LINE_PRICES, LINE_ROWS, SETTINGS, Layout
from workbook_builder.sheets.order import SHEETS

LAYOUT = Layout(load(), rows=1, circuit_rows=1)
PRICES = LAYOUT.books["price_book"]

ROWS = {
    "in order": ("a", 25, 120, 300),
    "all alike": ("b", 1, 1, 1),
    "nothing": ("c", 0, 0, 0),
    "spare": (None, None, None, None),
    "without a number": ("d", 25, None, 300),
    "text": ("e", 25, "120 USD", 300),
    "negative": ("f", -25, 120, 300),
    "does not rise": ("g", 25, 320, 300),
    "falls at once": ("h", 25, 20, 300),
    "named only": ("i", None, None, None),
    "without a name": (None, 25, 120, 300),
}
SETTING_VALUES = {
    "tax_percent": (7, "OK"),
    "overhead_percent": (0, "OK"),
    "profit_percent": (91, "STOP: the number must be from 0 to 90"),
    "billable_share": (0, "STOP: the number must be from 0.1 to 1"),
    "riser_ft": (-1, "STOP: the number must be 0 or more"),
    "length_ft": ("ten", "STOP: the number must be from 1 to 100"),
    "fish_drops": (None, NO_VALUE),
    "company_name": ("A company", "OK"),
    "company_licence": (None, "OK"),
}


@cache
def _formulas() -> dict[str, dict[str, str]]:
    return book_formulas(compile_book(SHEETS, LAYOUT), LAYOUT)


@cache
def _found() -> dict[str, dict[str, object]]:
    """Every cell of the books by sheet and name; the price book has the rows above before its own."""
    if available("ironcalc") is None:
        pytest.skip("ironcalc is not installed")
    books = {place.sheet: (place, load().books.lines[name]) for name, place in LAYOUT.books.items()}
    with TemporaryDirectory() as folder:
        path = Path(folder) / "books.xlsx"
        book = xlsxwriter.Workbook(path)
        sheets = {name: book.add_worksheet(name) for name in _formulas()}
        for name, (place, lines) in books.items():
            rows = [(line.key, line.low, line.likely, line.high) for line in lines]
            rows = (
                [*ROWS.values(), *rows][: place.last_row - place.first_row + 1] if place is PRICES else rows
            )
            for row, cells in enumerate(rows, start=place.first_row):
                for column, value in zip(("key", "low", "likely", "high"), cells, strict=True):
                    sheets[name].write(f"{place.letter_of(column)}{row}", value)
        for name, (value, _) in SETTING_VALUES.items():
            sheets[SETTINGS].write(f"{LAYOUT.settings.letter_of('value')}{LAYOUT.setting_rows[name]}", value)
        for name, cells in _formulas().items():
            for cell, formula in cells.items():
                sheets[name].write_formula(cell, f"={formula}")
        book.close()
        grids = recalculate(path, engine="ironcalc")
    return {
        name: {
            cell_name(row, column): value
            for row, cells in enumerate(grid, start=1)
            for column, value in enumerate(cells, start=1)
        }
        for name, grid in grids.items()
    }


def _of(row: str, column: str) -> object:
    at = PRICES.first_row + list(ROWS).index(row)
    return _found()[PRICES.sheet][f"{PRICES.letter_of(column)}{at}"]


def test_mean_and_variance_are_those_of_three_points() -> None:
    """Worked out by hand: (25 + 4 x 120 + 300) / 6, and (mean - 25)(300 - mean) / 7."""
    assert (_of("in order", "state"), _of("in order", "mean")) == ("OK", 134.166667)
    assert _of("in order", "variance") == pytest.approx((134.166667 - 25) * (300 - 134.166667) / 7, abs=6e-7)
    assert (_of("all alike", "mean"), _of("all alike", "variance")) == (1, 0)
    assert (_of("nothing", "state"), _of("nothing", "mean")) == ("OK", 0)


@pytest.mark.parametrize(
    ("row", "state"),
    [
        ("without a number", NO_NUMBER),
        ("text", NO_NUMBER),
        ("negative", NO_NUMBER),
        ("named only", NO_NUMBER),
        ("does not rise", NOT_RISING),
        ("falls at once", NOT_RISING),
        ("without a name", NO_NAME),
    ],
)
def test_a_row_that_is_not_in_order_says_so_and_counts_nothing(row: str, state: str) -> None:
    assert _of(row, "state") == state
    assert (_of(row, "mean"), _of(row, "variance")) == (0, 0)


def test_a_spare_row_has_no_state() -> None:
    assert _of("spare", "state") in ("", None)
    assert _of("spare", "mean") == 0


@pytest.mark.parametrize("name", SETTING_VALUES)
def test_a_setting_says_what_it_must_be(name: str) -> None:
    cell = f"{LAYOUT.settings.letter_of('state')}{LAYOUT.setting_rows[name]}"

    assert _found()[SETTINGS][cell] == SETTING_VALUES[name][1]


@pytest.mark.parametrize(
    ("sheet", "quantity", "key", "likely", "mean"),
    [
        ("Takeoff", "permits", "permit", 120, 134.166667),
        ("Takeoff", "surge_devices", "surge device", None, None),
        ("Labour", "work_survey", "L01", None, None),
    ],
)
def test_a_line_has_the_numbers_of_its_book(
    sheet: str, quantity: str, key: str, likely: float | None, mean: float | None
) -> None:
    place = next(each for each in compile_book(SHEETS, LAYOUT) if each.name == sheet)
    at, first = place.letter_of(quantity), LINE_ROWS[sheet]
    cells = [_found()[LINE_PRICES][f"{at}{first + down}"] for down in range(5)]
    book = "price_book" if sheet == "Takeoff" else "labour_units"
    line = next(line for line in load().books.lines[book] if line.key == key)

    assert [cells[0], cells[2]] == [key, line.likely if likely is None else likely]
    assert cells[1] > load().books.keys(book).index(key)
    assert cells[3] == pytest.approx(
        (line.low + 4 * line.likely + line.high) / 6 if mean is None else mean, abs=6e-7
    )
    assert cells[4] == pytest.approx((cells[3] - line.low) * (line.high - cells[3]) / 7, abs=6e-13)


def test_every_line_with_one_price_or_unit_has_five_cells() -> None:
    fixed = [line for line in load().takeoff_lines if not line.by_size]

    assert len(_formulas()[LINE_PRICES]) == 5 * (len(fixed) + len(load().work_lines)) + 4


def test_the_formulas_stay_in_the_dialect_and_can_be_read() -> None:
    texts = [formula for cells in _formulas().values() for formula in cells.values()]
    used = {name for text in texts for name in re.findall(r"([A-Z]+)\(", re.sub(r'"[^"]*"', '""', text))}

    assert used <= FUNCTIONS
    assert max(map(len, texts)) < 255
