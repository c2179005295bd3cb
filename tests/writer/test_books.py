"""Books and settings: cells where the layout says, open where people type, states and last results."""

from __future__ import annotations

import pytest

from workbook_builder.code_tables.books import LIMITS, POINTS
from workbook_builder.code_tables.load import load
from workbook_builder.sheets.books import book_formulas
from workbook_builder.sheets.layout import (
    BOOK_COLUMNS,
    BOOK_SHEETS,
    LINE_PRICES,
    LINE_ROWS,
    SETTING_COLUMNS,
    SETTINGS,
    SPARE_PRICES,
)
from workbook_builder.sheets.model import FIRST_ROW, MARK_ROW, NAME_ROW, ROLE_ROW, RULE_ROW
from workbook_builder.writer.measure import lines, points

from .conftest import BOOK_RESULTS, Written
from .test_grids import PADDING

CODE = load()
NUMBERED = [name for name in BOOK_SHEETS if name != "price_book"]


def _cells(written: Written, sheet: str, columns: tuple[str, ...], row: int) -> dict[str, object]:
    return dict(zip(columns, (cell.value for cell in written.formulas[sheet][row]), strict=True))


@pytest.mark.parametrize("name", BOOK_SHEETS)
def test_every_line_stands_where_the_layout_says(written: Written, name: str) -> None:
    sheet, place = BOOK_SHEETS[name], written.layout.books[name]

    assert [cell.value for cell in written.formulas[sheet][MARK_ROW]] == list(BOOK_COLUMNS)
    for row, line in enumerate(CODE.books.lines[name], start=place.first_row):
        found = _cells(written, sheet, BOOK_COLUMNS, row)
        assert [found[column] for column in ("key", "words", *POINTS, "source")] == [
            line.key, line.words, line.low, line.likely, line.high, line.source,
        ]  # fmt: skip
        assert [found[f"built_{point}"] for point in POINTS] == [found[point] for point in POINTS]
        assert (found["copper"] == "yes", found["date"] or "") == (line.copper, line.date)


def test_settings_stand_where_the_layout_says(written: Written) -> None:
    assert [cell.value for cell in written.formulas[SETTINGS][MARK_ROW]] == list(SETTING_COLUMNS)
    for name, setting in CODE.books.settings.items():
        found = _cells(written, SETTINGS, SETTING_COLUMNS, written.layout.setting_rows[name])
        assert (found["name"], found["value"], found["built_value"]) == (name, setting.value, setting.value)
        assert (found["meaning"], found["source"]) == (setting.meaning, setting.source)


def test_formulas_are_those_of_the_sheets_side(written: Written) -> None:
    for sheet, formulas in book_formulas(written.sheets, written.layout).items():
        page = written.formulas[sheet]
        there = {cell.coordinate: cell.value for row in page.iter_rows() for cell in row if cell.data_type == "f"}
        assert there == {cell: f"={formula}" for cell, formula in formulas.items()}


def test_last_results_are_the_ones_given(written: Written) -> None:
    for sheet, values in BOOK_RESULTS.items():
        formulas = book_formulas(written.sheets, written.layout)[sheet]
        for cell in formulas:
            assert written.values[sheet][cell].value in (values.get(cell), "" if cell not in values else None)


def _open(written: Written, sheet: str, row: int) -> list[str]:
    columns = SETTING_COLUMNS if sheet == SETTINGS else BOOK_COLUMNS
    cells = zip(columns, written.formulas[sheet][row], strict=True)
    return [column for column, cell in cells if not cell.protection.locked]


@pytest.mark.parametrize("name", BOOK_SHEETS)
def test_only_the_numbers_and_where_they_come_from_are_open(written: Written, name: str) -> None:
    sheet = BOOK_SHEETS[name]
    page = written.formulas[sheet]

    assert page.protection.sheet
    assert page.protection.password is None
    for row in range(FIRST_ROW, FIRST_ROW + len(CODE.books.lines[name])):
        assert _open(written, sheet, row) == [*POINTS, "date", "source"]
    assert {cell.protection.locked for row in page.iter_rows(max_row=MARK_ROW) for cell in row} == {True}


def test_blank_rows_of_the_price_book_take_a_whole_line(written: Written) -> None:
    place = written.layout.books["price_book"]
    first = place.first_row + len(CODE.books.lines["price_book"])

    assert place.last_row - first + 1 == SPARE_PRICES
    for row in range(first, place.last_row + 1):
        assert _open(written, place.sheet, row) == ["key", "words", "unit", *POINTS, "copper", "date", "source"]
        found = _cells(written, place.sheet, BOOK_COLUMNS, row)
        assert {name for name, value in found.items() if value is not None} == {"state", "mean", "variance"}
    assert written.formulas[place.sheet].max_row == place.last_row


@pytest.mark.parametrize("name", NUMBERED)
def test_the_other_books_have_no_blank_rows(written: Written, name: str) -> None:
    page = written.formulas[BOOK_SHEETS[name]]

    assert page.max_row == written.layout.books[name].last_row == MARK_ROW + len(CODE.books.lines[name])


def test_only_values_of_settings_and_their_sources_are_open(written: Written) -> None:
    for row in written.layout.setting_rows.values():
        assert _open(written, SETTINGS, row) == ["value", "source"]
    assert written.formulas[SETTINGS].max_row == max(written.layout.setting_rows.values())


def test_nothing_is_open_on_line_prices(written: Written) -> None:
    page = written.formulas[LINE_PRICES]

    assert page.protection.sheet
    assert {cell.protection.locked for row in page.iter_rows() for cell in row} == {True}


def _rules(written: Written, sheet: str) -> dict[str, object]:
    return {
        cell: rule
        for rule in written.formulas[sheet].data_validations.dataValidation
        for area in str(rule.sqref).split()
        for cell in [area.partition(":")[0]]
    }


@pytest.mark.parametrize("name", BOOK_SHEETS)
def test_numbers_of_0_or_more_with_a_prompt(written: Written, name: str) -> None:
    place = written.layout.books[name]
    rules = [rule for rule in _rules(written, place.sheet).values() if rule.type == "decimal"]

    assert [str(rule.sqref) for rule in rules] == [
        f"{at}{place.first_row}:{at}{place.last_row}" for at in (place.letter_of(point) for point in POINTS)
    ]
    for rule in rules:
        assert (rule.operator, rule.formula1, rule.errorStyle or "stop") == ("greaterThanOrEqual", "0", "stop")
        assert 20 < len(rule.prompt) <= 255


def test_a_setting_takes_what_can_be_calculated_with(written: Written) -> None:
    rules = _rules(written, SETTINGS)
    for name, row in written.layout.setting_rows.items():
        rule = rules[f"{written.layout.settings.letter_of('value')}{row}"]
        assert CODE.books.settings[name].meaning.rstrip(".") in rule.prompt
        if CODE.books.settings[name].unit == "text":
            assert rule.type == "textLength"
        elif name in LIMITS:
            low, high = LIMITS[name]
            assert (rule.type, float(rule.formula1), float(rule.formula2)) == ("decimal", low, high)
        else:
            assert (rule.type, rule.operator, rule.formula1) == ("decimal", "greaterThanOrEqual", "0")


@pytest.mark.parametrize("sheet", [*BOOK_SHEETS.values(), SETTINGS])
def test_states_are_coloured_over_their_words(written: Written, sheet: str) -> None:
    (area,) = written.formulas[sheet].conditional_formatting

    assert [rule.text for rule in area.rules] == ["OK", "STOP"]


@pytest.mark.parametrize("sheet", [*BOOK_SHEETS.values(), SETTINGS])
def test_frozen_filtered_and_on_paper(written: Written, sheet: str) -> None:
    page = written.formulas[sheet]

    assert page.freeze_panes == f"C{FIRST_ROW}"
    assert page.auto_filter.ref.startswith(f"A{MARK_ROW}:")
    assert page.print_title_rows == "$3:$5"
    assert page.page_setup.orientation == "landscape"


@pytest.mark.parametrize("sheet", [*BOOK_SHEETS.values(), SETTINGS])
def test_no_header_and_no_name_is_cut(written: Written, sheet: str) -> None:
    page = written.formulas[sheet]
    widths = {
        number: run.width - PADDING
        for run in page.column_dimensions.values()
        for number in range(run.min, run.max + 1)
    }
    for cell in page[MARK_ROW]:
        width = widths[cell.column]
        for row, size, bold in ((NAME_ROW, 9, True), (RULE_ROW, 8, False)):
            text = str(page.cell(row, cell.column).value or "")
            assert lines(text, width=width, size=size, bold=bold) * size * 1.2 <= page.row_dimensions[row].height
        for row in (ROLE_ROW, MARK_ROW):
            assert points(str(page.cell(row, cell.column).value or ""), size=8) <= width * 5.25
    for row in range(FIRST_ROW, page.max_row + 1):
        assert points(str(page.cell(row, 1).value or ""), size=9) <= widths[1] * 5.25


def test_money_shows_cents(written: Written) -> None:
    page = written.formulas["Price book"]

    assert {page[f"{at}10"].number_format for at in "DEFKM"} == {"#,##0.00"}
    assert page["D10"].value == CODE.books.lines["price_book"][0].low


def test_a_line_stands_in_the_column_of_its_quantity(written: Written) -> None:
    page = written.formulas[LINE_PRICES]
    grids = {sheet.name: sheet for sheet in written.sheets}
    lines_of = {
        "Takeoff": {line.name: line.item for line in CODE.takeoff_lines if not line.by_size},
        "Labour": {line.name: line.unit_id for line in CODE.work_lines},
    }
    for sheet, first in LINE_ROWS.items():
        names = {cell.value: cell.column_letter for cell in page[first + 5] if cell.value not in (None, "column")}
        assert names == {name: grids[sheet].letter_of(name) for name in lines_of[sheet]}
        for name, key in lines_of[sheet].items():
            assert page[f"{names[name]}{first}"].value == f'="{key}"'
            assert page[f"{names[name]}{first - 1}"].value == CODE.rules[name].title


@pytest.mark.parametrize("name", ["Takeoff", "Line costs", "Labour", "Price"])
def test_quantities_that_do_not_apply_show_nothing(written: Written, name: str) -> None:
    sheet = next(sheet for sheet in written.sheets if sheet.name == name)
    for column in sheet.columns:
        number_format = written.formulas[name][f"{column.letter}{FIRST_ROW}"].number_format
        is_number = column.rule.kind in ("number", "fine", "count")
        assert number_format.endswith(";;@") is (is_number and name != "Price")
        if column.rule.unit == "USD":
            assert number_format.startswith('#,##0.00" USD"')


def test_sources_are_text_and_no_links(written: Written) -> None:
    for sheet in (*BOOK_SHEETS.values(), SETTINGS, "Provenance"):
        page = written.formulas[sheet]
        assert not [cell for row in page.iter_rows(min_row=3) for cell in row if cell.hyperlink]
    assert any("https://" in str(cell.value) for cell in written.formulas["Market rates"]["I"])
