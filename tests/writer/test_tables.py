"""Tables, parameters and lists stand where the layout says, as the data files have them."""

from __future__ import annotations

import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import EDITIONS
from workbook_builder.sheets.layout import LIST_FIRST_ROW, LIST_HEADER_ROW, PARAMETER_COLUMNS, letter
from workbook_builder.sheets.model import FIRST_ROW, MARK_ROW
from workbook_builder.writer.values import plain

from .conftest import OVERRIDES, REASONS, Written

CODE = load()


@pytest.mark.parametrize("name", CODE.tables)
def test_table_cells_are_those_of_the_data_file(written: Written, name: str) -> None:
    table, place = CODE.tables[name], written.layout.tables[name]
    page = written.formulas[place.sheet]

    assert page[f"A{place.title_row}"].value == table.title
    for column, at in place.letters.items():
        header = page[f"{at}{place.header_row}"]
        assert (header.value, header.data_type) == (column, "s")
        cells = [page[f"{at}{row}"].value for row in range(place.first_row, place.last_row + 1)]
        assert cells == list(table.column(column))
    status = [page[f"{place.status_letter}{row}"].value for row in range(place.first_row, place.last_row + 1)]
    assert status == list(table.status)


@pytest.mark.parametrize("name", CODE.tables)
def test_section_claim_source_and_note_stand_by_each_table(written: Written, name: str) -> None:
    table, place = CODE.tables[name], written.layout.tables[name]
    page = written.formulas[place.sheet]
    rows = page.iter_rows(min_row=place.title_row, max_row=place.last_row + 2, values_only=True)
    rows = list(rows)
    words = " ".join(str(value) for row in rows for value in row if value is not None)
    aside = " ".join(row[-1] for row in rows if row[-1])

    for edition in EDITIONS:
        claim = table.editions[edition]
        assert f"{claim.section}: {claim.status}" in words
    assert all(source in words for source in table.source)
    assert table.note in aside


@pytest.mark.parametrize("name", CODE.parameters)
def test_parameter_row(written: Written, name: str) -> None:
    parameter, row = CODE.parameters[name], written.layout.parameter_rows[name]
    page, values = written.formulas["Local rules"], written.values["Local rules"]
    at = {column: letter(place + 1) for place, column in enumerate(PARAMETER_COLUMNS)}

    assert page[f"A{row}"].value == name
    assert page[f"{at['override']}{row}"].value == OVERRIDES.get(name)
    assert page[f"{at['reason']}{row}"].value == REASONS.get(name)
    for edition in EDITIONS:
        published, in_use = at[f"published_{edition}"], at[f"in_use_{edition}"]
        assert page[f"{published}{row}"].value == parameter.values[edition]
        assert page[f"{in_use}{row}"].value == f'=IF($J{row}="OK", $H{row}, {published}{row})'
        assert values[f"{in_use}{row}"].value == OVERRIDES.get(name, parameter.values[edition])


def test_only_override_and_reason_are_unlocked(written: Written) -> None:
    page = written.formulas["Local rules"]
    unlocked = {
        cell.column_letter
        for row in page.iter_rows(min_row=FIRST_ROW, max_row=FIRST_ROW + len(CODE.parameters) - 1)
        for cell in row
        if not cell.protection.locked
    }

    assert unlocked == {"H", "I"}
    assert page.protection.sheet
    assert [cell.value for cell in page[MARK_ROW]] == list(PARAMETER_COLUMNS)


def test_unknown_override_is_refused(tmp_path, written: Written) -> None:
    from workbook_builder.writer.workbook import write_workbook

    with pytest.raises(ValueError, match="no such parameter to override: no_such_rule"):
        write_workbook(
            tmp_path / "book.xlsx", layout=written.layout, sheets=written.sheets, jobs=written.jobs,
            results=None, built_on="2026-03-01", overrides={"no_such_rule": 1},
        )  # fmt: skip
    assert list(tmp_path.iterdir()) == []


def test_choice_lists(written: Written) -> None:
    page = written.formulas["Lists"]
    for field in CODE.job_fields:
        if field.choices:
            at = written.layout.list_letters[field.name]
            cells = [page[f"{at}{LIST_FIRST_ROW + place}"].value for place in range(len(field.choices))]
            assert page[f"{at}{LIST_HEADER_ROW}"].value == field.name
            assert cells == list(field.choices)


def test_edition_list(written: Written) -> None:
    page, letters = written.formulas["Lists"], written.layout.edition_letters
    found = [
        tuple(page[f"{letters[name]}{LIST_FIRST_ROW + place}"].value for name in ("edition", "assumed", "unread"))
        for place in range(len(EDITIONS))
    ]

    assert found == [(e, len(CODE.assumed(e)), len(CODE.unread(e))) for e in EDITIONS]


def test_provenance_has_every_value_and_every_source(written: Written) -> None:
    page = written.formulas["Provenance"]
    names = [row[0] for row in page.iter_rows(min_row=5, values_only=True)]
    texts = {value for row in page.iter_rows(values_only=True) for value in row}

    for name in CODE.parameters:
        assert names.count(name) == 1
    for name, table in CODE.tables.items():
        assert names.count(name) == len(table.rows)
    rows = {row[:2]: row for row in page.iter_rows(min_row=5, values_only=True)}
    for book, given in CODE.books.lines.items():
        assert names.count(book) == len(given)
        for line in given:
            row = rows[book, line.key]
            assert row[2:4] == (line.words, f"low: {plain(line.low)}; likely: {plain(line.likely)}; high: {plain(line.high)}")
            assert line.source in row[-1]
            assert line.date in row[-1]
    for setting in CODE.books.settings.values():
        assert rows["settings", setting.name][3] == plain(setting.value)
        assert rows["settings", setting.name][-1] == setting.source
    for source in CODE.sources.values():
        assert {source.title, *source.address.split()} <= texts
    assert page.auto_filter.ref


def test_rules_lists_every_column_with_its_formula(written: Written) -> None:
    page = written.formulas["Rules"]
    rows = {row[1]: row for row in page.iter_rows(min_row=5, values_only=True)}
    titles = {str(cell.value): cell.column - 1 for cell in page[4] if cell.value}

    for sheet in written.sheets:
        for column in sheet.columns:
            row = rows[column.name]
            assert row[titles["rule in words"]] == column.rule.sentence
            for edition in EDITIONS:
                assert column.rule.sections[edition] in row[titles["section"]]
    assert rows["lighting_va"][titles["formula of the first row"]] == '=IF($C10="ready", 1234.5, "")'
    formulas = [row[titles["formula of the first row"]] for row in page.iter_rows(min_row=5)]
    assert all(cell.data_type == "s" for cell in formulas if cell.value)


def test_each_line_of_rules_leads_to_its_column(written: Written) -> None:
    page = written.formulas["Rules"]
    at = next(cell.column for cell in page[4] if cell.value == "go to")
    for row in range(5, page.max_row + 1):
        target = written.formulas[page.cell(row, 1).value]
        cell = page.cell(row, at).hyperlink.location.partition("!")[2]

        assert target[f"{cell.rstrip('0123456789')}{MARK_ROW}"].value == page.cell(row, 2).value


@pytest.mark.parametrize("table", CODE.tables)
def test_claims_are_told_by_edition_where_they_differ(written: Written, table: str) -> None:
    """Every edition's word and section can be found in the one cell of a value."""
    page = written.formulas["Provenance"]
    at = next(cell.column - 1 for cell in page[4] if cell.value == "claim and section")
    claims = {row[at] for row in page.iter_rows(min_row=5, values_only=True) if row[0] == table}

    (words,) = claims
    for claim in CODE.tables[table].editions.values():
        assert f"{claim.status}, {claim.section}" in words
