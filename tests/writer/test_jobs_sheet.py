"""Jobs: entries as given, drop-downs and limits, the row state."""

from __future__ import annotations

import pytest
from openpyxl.worksheet.datavalidation import DataValidation

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import Field
from workbook_builder.sheets.model import FIRST_ROW, MARK_ROW, RULE_ROW, SECTION_ROW
from workbook_builder.writer.entry_help import (
    LONGEST_ERROR,
    LONGEST_PROMPT,
    LONGEST_TITLE,
    error_words,
    prompt,
)
from workbook_builder.writer.entry_sheets import END_WORDS

from .conftest import JOBS, ROWS, Written

FIELDS = load().job_fields


def _validations(written: Written) -> dict[str, DataValidation]:
    found = {}
    for rule in written.formulas["Jobs"].data_validations.dataValidation:
        for area in str(rule.sqref).split():
            found[area.partition(":")[0].rstrip("0123456789")] = rule
    return found


def test_columns_are_the_fields_of_the_contract_in_order(written: Written) -> None:
    marks = [cell.value for cell in written.formulas["Jobs"][MARK_ROW]]

    assert marks == ["row_state", *(field.name for field in FIELDS)]


def test_entries_stand_where_they_were_given(written: Written) -> None:
    page, letters = written.formulas["Jobs"], written.layout.job_letters
    first = {name: page[f"{letters[name]}{FIRST_ROW}"] for name in written.jobs.columns}

    assert first["job_no"].value == "J-001"
    assert first["moved_wire"].value == "12"
    assert first["moved_wire"].number_format == "@"
    assert first["egc_wanted"].value == "1/0"
    assert first["floor_area_ft2"].value == 2001.5
    assert first["visit_date"].value.isoformat() == "2026-02-03T00:00:00"
    assert first["option_wanted"].value is None
    assert page[f"{letters['site']}{FIRST_ROW + 1}"].value == "=not a formula"
    assert page[f"{letters['site']}{FIRST_ROW + 1}"].data_type == "s"


def test_row_state_is_looked_up_by_place(written: Written) -> None:
    page = written.formulas["Jobs"]
    last = written.layout.job_letters[FIELDS[-1].name]

    assert page[f"A{FIRST_ROW}"].value.startswith(f'=IF(COUNTA($B10:${last}10)=0, "", ')
    assert "INDEX(Inputs!$C$10:$C$14, ROW()-9)" in page[f"A{FIRST_ROW}"].value
    assert written.values["Jobs"][f"A{FIRST_ROW}"].value == "ready"
    assert written.values["Jobs"][f"A{FIRST_ROW + JOBS}"].value in (None, "")


def test_grid_ends_with_a_line_in_words(written: Written) -> None:
    page, end = written.formulas["Jobs"], FIRST_ROW + ROWS

    assert page.cell(end, 2).value == END_WORDS
    assert page.max_row == end
    assert len({cell.fill.fgColor.rgb for cell in page[end]}) == 1


def test_headers_say_meaning_expectation_and_default(written: Written) -> None:
    page, letters = written.formulas["Jobs"], written.layout.job_letters

    assert page[f"{letters['line_v']}{SECTION_ROW}"].value == "One of 240, 208. Blank takes 240 V."
    assert page[f"{letters['service_a']}{SECTION_ROW}"].value.startswith("Required. One of 60, 100")
    for field in FIELDS:
        assert page[f"{letters[field.name]}{RULE_ROW}"].value == field.meaning


def test_nothing_is_locked_in_jobs_but_sorting_needs_no_lock(written: Written) -> None:
    page = written.formulas["Jobs"]

    assert not page.protection.sheet
    assert page.freeze_panes == f"C{FIRST_ROW}"


@pytest.mark.parametrize("field", FIELDS, ids=lambda field: field.name)
def test_validation_of_each_field(written: Written, field: Field) -> None:
    rule = _validations(written)[written.layout.job_letters[field.name]]
    rows = f"{FIRST_ROW}:{written.layout.job_letters[field.name]}{written.layout.last_row}"

    assert str(rule.sqref).endswith(rows)
    assert rule.errorStyle in (None, "stop")
    if field.choices:
        assert rule.type == "list"
        assert rule.formula1 == written.layout.choices(field.name)
    elif field.kind == "number":
        assert rule.type == ("whole" if field.whole else "decimal")
        assert float(rule.formula1) == field.minimum
        assert field.maximum is None or float(rule.formula2) == field.maximum
    elif field.kind == "date":
        assert rule.type == "date"


@pytest.mark.parametrize("field", FIELDS, ids=lambda field: field.name)
def test_words_of_each_field_fit_their_box(written: Written, field: Field) -> None:
    rule = _validations(written)[written.layout.job_letters[field.name]]

    assert 0 < len(rule.prompt) <= LONGEST_PROMPT
    assert 0 < len(rule.promptTitle) <= LONGEST_TITLE
    assert 0 < len(rule.error) <= LONGEST_ERROR
    assert rule.prompt == prompt(field)
    assert rule.error == error_words(field)
    assert field.meaning in rule.prompt
    assert not field.unit or f"In {field.unit}." in rule.prompt


def test_every_field_has_a_title_of_its_own() -> None:
    titles = [field.title for field in FIELDS]

    assert len(set(titles)) == len(titles)
    assert not [title for title in titles if title != title[:1].upper() + title[1:] or len(title) > 36]
