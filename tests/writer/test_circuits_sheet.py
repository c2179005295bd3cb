"""Circuits: the second grid to type in, like Jobs but with a list of the job numbers."""

from __future__ import annotations

from workbook_builder.code_tables.load import load
from workbook_builder.sheets.model import (
    BAND_ROW,
    CIRCUIT_GRID,
    FIRST_ROW,
    MARK_ROW,
    RULE_ROW,
    SECTION_ROW,
)
from workbook_builder.writer.entry_help import LONGEST_ERROR, LONGEST_PROMPT, LONGEST_TITLE
from workbook_builder.writer.entry_sheets import END_WORDS

from .conftest import CIRCUIT_ROWS, CIRCUITS, ROWS, Written

FIELDS = load().circuit_fields


def test_columns_are_the_fields_of_the_contract_in_order(written: Written) -> None:
    page = written.formulas["Circuits"]

    assert [cell.value for cell in page[MARK_ROW]] == ["circuit_state", *(field.name for field in FIELDS)]
    assert [cell.value for cell in page[BAND_ROW] if cell.value] == ["State", "Entries"]
    for at, field in enumerate(FIELDS, start=2):
        assert page.cell(RULE_ROW, at).value == field.meaning


def test_entries_stand_where_they_were_given(written: Written) -> None:
    page, letters = written.formulas["Circuits"], written.layout.grids[CIRCUIT_GRID].letters
    first = {name: page[f"{letters[name]}{FIRST_ROW}"] for name in letters}

    assert [first[name].value for name in ("job_no", "position", "label")] == ["J-002", 1, "Check valve pump"]
    assert (first["wire"].value, first["wire"].number_format) == ("12", "@")
    assert first["multiwire_group"].value is None
    assert page[f"{letters['position']}{SECTION_ROW}"].value == "A whole number from 1 to 84. May stay blank."


def test_state_is_looked_up_by_place_and_says_what_is_missing(written: Written) -> None:
    page = written.formulas["Circuits"]
    last = written.layout.grids[CIRCUIT_GRID].letters[FIELDS[-1].name]
    formula = page[f"A{FIRST_ROW}"].value

    assert formula.startswith(f'=IF(COUNTA($B10:${last}10)=0, "", ')
    assert "INDEX('Circuit check'!$C$10:$C$13, ROW()-9)" in formula
    assert '"missing: job_no"' in formula
    assert written.values["Circuits"][f"A{FIRST_ROW}"].value == "ready"
    assert written.values["Circuits"][f"A{FIRST_ROW + CIRCUITS}"].value in (None, "")


def test_grid_is_open_and_ends_with_a_line_in_words(written: Written) -> None:
    page, end = written.formulas["Circuits"], FIRST_ROW + CIRCUIT_ROWS

    assert page.cell(end, 2).value == END_WORDS
    assert page.max_row == end
    assert not page.protection.sheet
    assert page.freeze_panes == f"C{FIRST_ROW}"


def test_every_field_has_its_validation_over_all_rows(written: Written) -> None:
    place = written.layout.grids[CIRCUIT_GRID]
    found = {str(rule.sqref): rule for rule in written.formulas["Circuits"].data_validations.dataValidation}

    assert len(found) == len(FIELDS)
    for field in FIELDS:
        at = place.letters[field.name]
        rule = found[f"{at}{FIRST_ROW}:{at}{place.last_row}"]
        assert 0 < len(rule.prompt) <= LONGEST_PROMPT
        assert 0 < len(rule.promptTitle) <= LONGEST_TITLE
        assert 0 < len(rule.error) <= LONGEST_ERROR
        if field.choices:
            assert (rule.type, rule.formula1) == ("list", written.layout.choices(field.name))
        elif field.kind == "number":
            assert float(rule.formula1) == field.minimum


def test_job_numbers_are_offered_and_an_unknown_one_only_warns(written: Written) -> None:
    rules = written.formulas["Circuits"].data_validations.dataValidation
    rule = next(rule for rule in rules if str(rule.sqref).startswith("B10:"))

    assert (rule.type, rule.formula1) == ("list", f"Jobs!$B$10:$B${FIRST_ROW + ROWS - 1}")
    assert rule.errorStyle == "warning"


def test_lists_have_the_words_of_both_grids(written: Written) -> None:
    page = written.formulas["Lists"]
    columns = {cell.value: cell.column for cell in page[3] if cell.value}

    assert [page.cell(row, columns["action"]).value for row in range(4, 8)] == ["keep", "move", "new", "remove"]
    assert page.cell(4, columns["wall"]).value == "open framing"
