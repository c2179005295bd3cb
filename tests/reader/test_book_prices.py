"""Books and settings read back: what was typed, what was changed, and what is wrong."""

from __future__ import annotations

import math
from pathlib import Path

import openpyxl
import pytest

from workbook_builder.code_tables.books import Books
from workbook_builder.code_tables.load import load
from workbook_builder.reader.book_jobs import read_book
from workbook_builder.reader.book_prices import BookPrices
from workbook_builder.reader.faults import Fault

from .files import MARK_ROW, book_file, refusal

OURS = load().books
LAST = MARK_ROW + len(OURS.lines["price_book"])
"""The last row of the price book with a line; three blank ones follow."""


def _read(tmp_path: Path, **cells: object) -> BookPrices:
    """The books with these cells changed, named as Sheet_name__D10."""
    changes: dict[str, dict[str, object]] = {}
    for place, value in cells.items():
        sheet, _, cell = place.partition("__")
        changes.setdefault(sheet.replace("_", " "), {})[cell] = value
    return read_book(book_file(tmp_path / "book.xlsx", {}, prices=changes)).prices


def _texts(faults: tuple[Fault, ...]) -> list[str]:
    return [str(fault).removeprefix("book.xlsx, ") for fault in faults]


def _setting(name: str) -> str:
    return f"Settings__D{MARK_ROW + 1 + list(OURS.settings).index(name)}"


def test_books_as_built_come_back_whole(tmp_path: Path) -> None:
    found = _read(tmp_path)

    assert found.books == OURS
    assert (found.faults, found.changes) == ((), ())
    assert found.book_rows == {
        name: len(lines) + (3 if name == "price_book" else 0) for name, lines in OURS.lines.items()
    }
    assert found.line_rows["market"] == (10, 11, 12)
    assert list(found.setting_rows) == list(OURS.settings)
    assert min(found.setting_rows.values()) == MARK_ROW + 1


def test_a_workbook_without_books_has_none(tmp_path: Path) -> None:
    assert read_book(book_file(tmp_path / "book.xlsx", {})).prices == BookPrices()


def test_some_of_the_sheets_are_not_enough(tmp_path: Path) -> None:
    path = book_file(tmp_path / "book.xlsx", {}, prices={})
    book = openpyxl.load_workbook(path)
    del book["Factors"]
    book["Settings"].delete_rows(MARK_ROW)
    book.save(path)

    assert refusal(read_book, path) == [
        "book.xlsx: found no sheet Factors, must be a workbook built here, with all its sheets; "
        "give the sheet its name back",
        "book.xlsx, Settings: found no row of field names, must be there, with name in it; "
        "copy the row from a new workbook",
    ]


def test_changed_numbers_count_and_are_told(tmp_path: Path) -> None:
    cells = {"Price_book__E10": 130, "Labour_units__D10": 0.5, "Market_rates__F12": 60, _setting("tax_percent"): 8.25}
    found = _read(tmp_path, **cells)

    assert found.faults == ()
    assert found.books.lines["price_book"][0].likely == 130
    assert found.books.lines["labour_units"][0].low == 0.5
    assert found.books.lines["market"][2].high == 60
    assert found.books.settings["tax_percent"].value == 8.25
    assert [str(change) for change in found.changes] == [
        "Price book!E10 permit, likely: 130, built with 120",
        "Labour units!D10 L01, low: 0.5, built with 0.75",
        "Market rates!F12 large, high: 60, built with 50",
        "Settings!D13 tax_percent, value: 8.25, built with 7",
    ]


def test_lines_and_columns_are_found_by_name(tmp_path: Path) -> None:
    """A column in front, two rows changed over, and a sheet whose rows begin lower."""
    path = book_file(tmp_path / "book.xlsx", {}, prices={"Factors": {"E10": 1.0, "F10": 1.2}})
    book = openpyxl.load_workbook(path)
    sheet = book["Factors"]
    first, second = ([cell.value for cell in sheet[row]] for row in (10, 11))
    for row, values in ((10, second), (11, first)):
        for at, value in enumerate(values, 1):
            sheet.cell(row, at, value)
    sheet.insert_cols(2)
    book["Settings"].insert_rows(3)
    book.save(path)

    found = read_book(path).prices

    assert found.faults == ()
    lines = {line.key: line for line in found.books.lines["factors"]}
    assert (lines["age newer"].low, lines["age newer"].likely, lines["age newer"].high) == (1, 1, 1.2)
    assert lines["age middle"] == OURS.lines["factors"][1]
    assert [str(change) for change in found.changes] == ["Factors!G11 age newer, high: 1.2, built with 1"]
    assert found.books.settings == OURS.settings
    assert found.setting_rows["company_name"] == MARK_ROW + 2


def test_added_lines_count(tmp_path: Path) -> None:
    """And the blank row above one does, since formulas know a line by its place."""
    row = LAST + 2
    added = {"A": "feeder breaker|500", "B": "2-pole", "C": "each", "D": 500, "E": 900, "F": 1500, "G": "yes"}
    found = _read(tmp_path, **{f"Price_book__{at}{row}": value for at, value in added.items()})

    assert found.faults == ()
    blank, line = found.books.lines["price_book"][-2:]
    assert blank.key == ""
    assert math.isnan(blank.low)
    assert (line.key, line.low, line.likely, line.high, line.copper) == ("feeder breaker|500", 500, 900, 1500, True)
    assert found.line_rows["price_book"][-2:] == (row - 1, row)
    assert found.book_rows["price_book"] == len(OURS.lines["price_book"]) + 3
    assert str(found.changes[0]) == f"Price book!D{row} feeder breaker|500, low: 500, built with nothing"


WRONG_NUMBERS = {
    None: "found nothing, must be a number of 0 or more; type the number",
    "about 5": "found the text 'about 5', must be a number of 0 or more; clear the cell and type the number anew",
    "5": "found the text '5', must be a number of 0 or more; clear the cell and type the number anew",
    True: "found TRUE, must be a number of 0 or more; type the number",
    "#N/A": "found the error value #N/A, must be a number of 0 or more; type the number",
    "=1/3": "found a formula without a result, must be a number of 0 or more; type the number",
}


@pytest.mark.parametrize("value", WRONG_NUMBERS)
def test_what_is_no_number_is_named_and_stays_none(tmp_path: Path, value: object) -> None:
    found = _read(tmp_path, Price_book__E12=value)

    assert _texts(found.faults) == [f"Price book!E12, row 12, likely: {WRONG_NUMBERS[value]}"]
    line = found.books.lines["price_book"][2]
    assert (line.key, line.low, line.high) == ("disposal", 10, 80)
    assert math.isnan(line.likely)


def test_a_negative_number_is_kept_and_named(tmp_path: Path) -> None:
    found = _read(tmp_path, Labour_units__D10=-0.5)

    assert _texts(found.faults) == [
        "Labour units!D10, row 10, low: found -0.5, must be a number of 0 or more; type the number"
    ]
    assert found.books.lines["labour_units"][0].low == -0.5


@pytest.mark.parametrize(("cell", "value", "column"), [("D10", 121, "likely"), ("F10", 119, "high")])
def test_numbers_that_do_not_rise_are_kept_and_named(tmp_path: Path, cell: str, value: float, column: str) -> None:
    found = _read(tmp_path, **{f"Price_book__{cell}": value})

    (fault,) = found.faults
    at = "E10" if column == "likely" else "F10"
    assert (fault.sheet, fault.cell, fault.field, fault.expected) == (
        "Price book", at, column, "low, likely and high that rise",
    )  # fmt: skip
    assert str(value) in fault.found
    assert value in (found.books.lines["price_book"][0].low, found.books.lines["price_book"][0].high)


WRONG_LINES = {
    "key lost": (
        {"Price_book__A11": None},
        ["Price book!A11, row 11, key: found nothing, must be the name of the line; "
         "type it, or clear the numbers beside it",
         "Price book, key: found no line 'label set', must be there, as in a new workbook; "
         "write its name back over its row"],
    ),
    "key twice": (
        {"Price_book__A11": "Permit"},
        ["Price book!A11, row 11, key: found 'Permit' a second time, must be each line once; delete one of them",
         "Price book, key: found no line 'label set', must be there, as in a new workbook; "
         "write its name back over its row"],
    ),
    "key unknown": (
        {"Labour_units__A11": "L2"},
        ["Labour units!A11, row 11, key: found 'L2', must be a line that a new workbook has; write it as a new workbook has it",
         "Labour units, key: found no line 'L02', must be there, as in a new workbook; "
         "write its name back over its row"],
    ),
    "key a number": (
        {"Market_rates__A10": 5},
        ["Market rates!A10, row 10, key: found 5, must be a name as text; write it as a new workbook has it",
         "Market rates, key: found no line 'small', must be there, as in a new workbook; "
         "write its name back over its row"],
    ),
    "spaces in an added key": (
        {f"Price_book__{at}{LAST + 1}": value for at, value in
         {"A": "bare copper|300 ", "D": 1, "E": 2, "F": 3}.items()},
        [f"Price book!A{LAST + 1}, row {LAST + 1}, key: found 'bare copper|300 ', "
         "must be a name without spaces at its ends; type it anew"],
    ),
    "added without a number": (
        {f"Price_book__{at}{LAST + 1}": value for at, value in {"A": "bare copper|300", "D": 1, "E": 2}.items()},
        [f"Price book!F{LAST + 1}, row {LAST + 1}, high: found nothing, must be a number of 0 or more; type the number"],
    ),
    "copper": (
        {"Price_book__G10": "maybe"},
        ["Price book!G10, row 10, copper: found 'maybe', must be yes, no or blank"],
    ),
    "below the last row": (
        {f"Price_book__A{LAST + 9}": "bare copper|300"},
        [f"Price book!A{LAST + 9}, row {LAST + 9}, key: found a line below the last row, must be above it; it is not "
         "counted: build with a longer book for more lines than there are blank rows"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("kind", WRONG_LINES)
def test_a_line_that_is_wrong_is_named(tmp_path: Path, kind: str) -> None:
    cells, words = WRONG_LINES[kind]

    assert _texts(_read(tmp_path, **cells).faults) == words


WRONG_SETTINGS = [
    ("tax_percent", None, "found nothing, must be a number of 0 or more; type the number"),
    ("tax_percent", -1, "found -1, must be a number of 0 or more; type the number"),
    ("overhead_percent", "35 %", "found the text '35 %', must be a number of 0 or more; "
     "clear the cell and type the number anew"),
    ("profit_percent", 100, "found 100, must be a number from 0 to 90; type the number"),
    ("billable_share", 0, "found 0, must be a number from 0.1 to 1; type the number"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "value", "words"), WRONG_SETTINGS)
def test_a_setting_that_is_wrong_is_named(tmp_path: Path, name: str, value: object, words: str) -> None:
    found = _read(tmp_path, **{_setting(name): value})

    cell = _setting(name).partition("__")[2]
    assert _texts(found.faults) == [f"Settings!{cell}, row {cell[1:]}, value: {words}"]
    kept = found.books.settings[name].value
    assert math.isnan(kept) if not isinstance(value, int) else kept == value


def test_texts_of_settings_may_be_blank_or_digits(tmp_path: Path) -> None:
    found = _read(tmp_path, **{_setting("company_name"): None, _setting("company_licence"): 12345})

    assert found.faults == ()
    assert found.books.settings["company_name"].value == ""
    assert found.books.settings["company_licence"].value == "12345"
    assert len(found.changes) == 2


def test_a_lost_name_of_a_setting_is_named_and_its_cell_still_counts(tmp_path: Path) -> None:
    """Formulas know the cell, so the reference must take what stands in it."""
    row = int(_setting("tax_percent").rpartition("D")[2])
    found = _read(tmp_path, **{f"Settings__A{row}": "tax", f"Settings__D{row}": 9})

    assert [(fault.field, fault.cell) for fault in found.faults] == [("name", f"A{row}"), ("name", None)]
    assert found.books.settings["tax_percent"].value == 9
    assert found.setting_rows["tax_percent"] == row


def test_settings_in_another_order_keep_their_cells(tmp_path: Path) -> None:
    rows = {name: MARK_ROW + 1 + place for place, name in enumerate(OURS.settings)}
    tax, profit = rows["tax_percent"], rows["profit_percent"]
    found = _read(tmp_path, **{
        f"Settings__A{tax}": "profit_percent", f"Settings__D{tax}": 10, f"Settings__H{tax}": 10,
        f"Settings__A{profit}": "tax_percent", f"Settings__D{profit}": 7, f"Settings__H{profit}": 7,
    })  # fmt: skip

    assert (found.faults, found.changes) == ((), ())
    assert (found.setting_rows["tax_percent"], found.setting_rows["profit_percent"]) == (profit, tax)
    assert isinstance(found.books, Books)


def test_faults_of_the_books_are_faults_of_the_workbook(tmp_path: Path) -> None:
    path = book_file(tmp_path / "book.xlsx", {}, prices={"Price book": {"D10": "x"}})

    assert [fault.cell for fault in read_book(path).faults] == ["D10"]
