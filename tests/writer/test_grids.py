"""The calculated grids: header rows, formulas, last results, protection."""

from __future__ import annotations

import pytest

from workbook_builder.sheets.compile import message
from workbook_builder.sheets.layout import INPUTS
from workbook_builder.sheets.model import (
    BAND_ROW,
    FIRST_ROW,
    MARK_ROW,
    NAME_ROW,
    ROLE_ROW,
    ROLES,
    RULE_ROW,
    SECTION_ROW,
    UNIT_ROW,
)
from workbook_builder.writer.matrix import is_matrix
from workbook_builder.writer.measure import lines, points
from workbook_builder.writer.styles import UNIT_WORDS, result_format

from .conftest import JOBS, Written

PADDING = 0.71
"""What a file adds to the width of a column."""


def test_mark_row_names_every_column(written: Written) -> None:
    for sheet in written.sheets:
        marks = [cell.value for cell in written.formulas[sheet.name][MARK_ROW]]

        assert marks == ["row_number", *(column.name for column in sheet.columns)]


def test_header_rows_say_title_unit_role_rule_and_section(written: Written) -> None:
    for sheet in written.sheets:
        page = written.formulas[sheet.name]
        for column in sheet.columns:
            rule = column.rule
            of_field = column.field is not None

            assert page[f"{column.letter}{NAME_ROW}"].value == rule.title
            assert (page[f"{column.letter}{UNIT_ROW}"].value or "") == UNIT_WORDS.get(rule.unit, rule.unit)
            assert page[f"{column.letter}{ROLE_ROW}"].value in ROLES
            assert page[f"{column.letter}{SECTION_ROW}"].value == rule.sections[2023]
            if is_matrix(sheet):
                continue
            assert page[f"{column.letter}{RULE_ROW}"].value == (
                message(column.field) if of_field else rule.sentence
            )


def test_band_stands_once_over_its_columns(written: Written) -> None:
    page = written.formulas["Loads"]
    bands = [cell.value for cell in page[BAND_ROW] if cell.value]

    assert bands[0] == "Job"
    assert len(bands) == len(dict.fromkeys(bands))
    assert all(cell.fill.fgColor.rgb == "FF1F3864" for cell in page[BAND_ROW])


def test_circuits_have_bands_and_words_of_their_own(written: Written) -> None:
    page = written.formulas["Circuit check"]

    assert [page[f"{at}{BAND_ROW}"].value for at in "ABCD"] == ["Circuit", None, None, "Entries"]
    assert page[f"A{RULE_ROW}"].value == "Place of the circuit in the list of Circuits."


def test_every_row_has_the_compiled_formula(written: Written) -> None:
    for sheet in written.sheets:
        page = written.formulas[sheet.name]
        rows = written.layout.rows_of(sheet.grid)
        for row in range(FIRST_ROW, FIRST_ROW + rows):
            assert page.cell(row, 1).value == row - FIRST_ROW + 1
            for column in sheet.columns:
                assert page[f"{column.letter}{row}"].value == column.at(row)
        assert page.max_row == FIRST_ROW + rows - 1


def test_last_results_are_those_of_the_frame(written: Written) -> None:
    page = written.values["Loads"]
    loads = next(sheet for sheet in written.sheets if sheet.name == "Loads")
    letters = {column.name: column.letter for column in loads.columns}

    assert page[f"{letters['lighting_va']}{FIRST_ROW}"].value == 1234.5
    assert page[f"{letters['service_state']}{FIRST_ROW}"].value == "CHECK: a person must look"
    assert page[f"{letters['job_no']}{FIRST_ROW + 2}"].value == "J-003"
    assert page[f"{letters['lighting_va']}{FIRST_ROW + JOBS}"].value in (None, "")


def test_sizes_stay_text_in_last_results(written: Written) -> None:
    letter = next(column.letter for column in written.sheets[0].columns if column.name == "moved_wire")

    assert written.values[INPUTS][f"{letter}{FIRST_ROW}"].value == "12"


def test_grids_are_protected_and_frozen_below_the_mark_row(written: Written) -> None:
    for sheet in written.sheets:
        page = written.formulas[sheet.name]

        assert page.freeze_panes == f"{'E' if sheet.name == 'Checks' else 'D'}{FIRST_ROW}"
        assert page.protection.sheet
        assert page.protection.password is None
        assert not page.protection.selectLockedCells
        assert not page.protection.formatColumns


@pytest.mark.parametrize("name", ["Jobs", "Circuits", "Inputs", "Circuit check", "Loads", "Feeder", "Raceway", "Spaces"])
def test_no_header_is_cut(written: Written, name: str) -> None:
    """Measured with the widths of the font: wrapped lines fit the row, single lines the column."""
    page = written.formulas[name]
    widths = {
        number: run.width - PADDING
        for run in page.column_dimensions.values()
        for number in range(run.min, run.max + 1)
    }
    for cell in page[MARK_ROW]:
        width = widths[cell.column]
        for row, size, bold in (
            (NAME_ROW, 9, True), (UNIT_ROW, 8, False), (ROLE_ROW, 8, False), (RULE_ROW, 8, False),
            (SECTION_ROW, 8, False), (MARK_ROW, 8, False),
        ):  # fmt: skip
            text = str(page.cell(row, cell.column).value or "")
            high = page.row_dimensions[row].height
            assert lines(text, width=width, size=size, bold=bold) * size * 1.2 <= high, (row, text)
        title = str(page.cell(NAME_ROW, cell.column).value or "")
        assert all(points(word, size=9, bold=True) <= width * 5.25 for word in title.split()), title
    assert page.row_dimensions[RULE_ROW].height <= 97
    assert page.row_dimensions[MARK_ROW].height <= 26


def test_rule_row_is_read_as_messages(written: Written) -> None:
    """row_state picks its words from row 7 of Inputs, so they stand there to the letter."""
    page = written.formulas[INPUTS]
    for column in written.sheets[0].columns:
        if column.name.startswith("check_"):
            assert page[f"{column.letter}{RULE_ROW}"].value == column.rule.sentence


@pytest.mark.parametrize(
    ("kind", "unit", "expected"),
    [
        ("number", "VA", '#,##0" VA"'),
        ("number", "A", '0.0" A"'),
        ("number", "%", '0.00" %"'),
        ("number", "in2", '0.0000" in2"'),
        ("number", "1", "0.000"),
        ("count", "", "0"),
        ("count", "C", '0" C"'),
        ("size", "", "General"),
    ],
)
def test_numbers_keep_their_unit(kind: str, unit: str, expected: str) -> None:
    assert result_format(kind, unit) == expected
