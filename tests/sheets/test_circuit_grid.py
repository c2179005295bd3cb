"""Templates of circuits read their job, templates of jobs read all circuits, and nothing else crosses."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.sheets.compile import compile_book, input_rules
from workbook_builder.sheets.layout import CIRCUIT_CHECK, CIRCUITS, Layout
from workbook_builder.sheets.model import CIRCUIT_GRID, Column, CompiledSheet, DeclarationError, Sheet

from .toy_circuits import TOY_CHECK, TOY_SHEETS

LAYOUT = Layout(load(), rows=100, circuit_rows=300)


@cache
def _compiled(**formulas: str) -> dict[str, CompiledSheet]:
    """The toy sheets by name, some formulas changed or added to where their rule stands."""
    rules, sheets = load().rules, []
    for sheet in TOY_SHEETS:
        there = {column.name for column in sheet.columns}
        columns = [replace(c, formula=formulas.get(c.name, c.formula)) for c in sheet.columns]
        columns += [
            Column(name, formula)
            for name, formula in formulas.items()
            if name not in there and name in rules and rules[name].sheet == sheet.name
        ]
        sheets.append(replace(sheet, columns=tuple(columns)))
    return {sheet.name: sheet for sheet in compile_book(sheets, LAYOUT, complete=False)}


def _cell(sheet: str, name: str, formula: str) -> str:
    """What the column becomes in row 10."""
    compiled = _compiled(**{name: formula})[sheet]
    return next(column for column in compiled.columns if column.name == name).at(10)


def _at(name: str, sheet: str = CIRCUIT_CHECK) -> str:
    return _compiled()[sheet].letter_of(name)


def test_columns_of_circuits_begin_with_job_number_and_state() -> None:
    names = [column.name for column in _compiled()[CIRCUIT_CHECK].columns]

    assert names[:3] == ["job_no", "circuit_state", "panel"]
    assert [_at("job_no"), _at("circuit_state")] == ["B", "C"]


def test_raw_means_the_input_column_of_the_own_grid() -> None:
    assert _cell(CIRCUIT_CHECK, "panel", "[raw.panel]") == "=INDEX(Circuits!$C$9:$C$310, $A10+1)"
    assert _cell(CIRCUIT_CHECK, "position", "COUNTA({raw.job_no})") == "=COUNTA(Circuits!$B$9:$B$310)"
    assert "INDEX(Jobs!$B$9:$B$110, $A10+1)" in _compiled()["Inputs"].columns[0].at(10)


def test_a_plain_name_is_the_circuit_itself() -> None:
    assert _cell(CIRCUIT_CHECK, "circuit_va", "[load_va]") == f'=IF($C10="ready", ${_at("load_va")}10, "")'


def test_a_name_of_the_job_is_looked_up_by_the_row_of_the_job() -> None:
    found = _cell(CIRCUIT_CHECK, "panel_spaces", "[job.main_spaces]")
    at, row = _at("main_spaces", "Inputs"), _at("circuit_job_row")

    assert found == f'=IF($C10="ready", INDEX(Inputs!${at}$10:${at}$109, ${row}10), "")'


def test_a_whole_column_of_the_own_sheet_needs_no_sheet_name() -> None:
    key = _at("space_key")
    found = _cell(CIRCUIT_CHECK, "same_space", "COUNTIF({all.space_key}, [space_key])")

    assert found == f'=IF($C10="ready", COUNTIF(${key}$10:${key}$309, ${key}10), "")'


def test_a_job_reads_whole_columns_of_circuits() -> None:
    va, row = _at("circuit_va"), _at("circuit_job_row")
    found = _cell("Spaces", "listed_move_va", "SUMIFS({all.circuit_va}, {all.circuit_job_row}, [row_number])")

    assert found == (
        f"=IF($C10=\"ready\", ROUND(SUMIFS('Circuit check'!${va}$10:${va}$309, "
        f"'Circuit check'!${row}$10:${row}$309, $A10), 6), \"\")"
    )


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("{all.job_no}", "$B$10:$B$309"),
        ("{all.circuit.job_no}", "$B$10:$B$309"),
        ("{all.job.job_no}", "Inputs!$B$10:$B$109"),
        ("{all.row_state}", "Inputs!$C$10:$C$109"),
        ("{all.row_number}", "$A$10:$A$309"),
        ("{all.job.row_number}", "Inputs!$A$10:$A$109"),
    ],
)
def test_the_shared_names_say_which_grid(name: str, expected: str) -> None:
    assert f"COUNTA({expected})" in _cell(CIRCUIT_CHECK, "circuit_job_row", f"COUNTA({name})")


def test_a_value_that_depends_on_the_edition_takes_that_of_the_job() -> None:
    code = load()
    name = next(name for name, one in code.parameters.items() if one.varies and one.unit == "")
    edition, row = _at("edition_index", "Inputs"), _at("circuit_job_row")

    found = _cell(CIRCUIT_CHECK, "group_here", f"{{{name}}}*1")
    assert f", 1, INDEX(Inputs!${edition}$10:${edition}$109, ${row}10))" in found


@pytest.mark.parametrize(
    ("name", "formula", "words"),
    [
        ("circuit_va", "[main_spaces]*1", "Circuit check.circuit_va: [main_spaces] stands on the grid of jobs; "
         "write [job.main_spaces] or {all.main_spaces}"),
        ("listed_moves", "[poles]", "Spaces.listed_moves: [poles] stands on the grid of circuits; write {all.poles}"),
        ("listed_moves", "[job.main_spaces]", "Spaces.listed_moves: [job.main_spaces] is for the grid of circuits; "
         "write [main_spaces]"),
        ("circuit_va", "[job.main_spases]", "Circuit check.circuit_va: unknown name [job.main_spases]"),
        ("circuit_va", "[job.poles]", "Circuit check.circuit_va: unknown name [job.poles]"),
        ("circuit_va", "SUM({all.nothing})", "Circuit check.circuit_va: unknown name {all.nothing}"),
        ("circuit_va", "SUM({all.circuit.main_spaces})", "unknown name {all.circuit.main_spaces}"),
        ("circuit_stays", 'IF([panel]="sub", "no", "yes")', "'sub' is no choice of panel"),
        ("circuit_stays", 'IF([job.wall]="paper", "no", "yes")', "'paper' is no choice of wall"),
        ("listed_moves", 'SUMPRODUCT(({all.action}="sell")*1)', "'sell' is no choice of action"),
        ("circuit_va", "[load_va]+[breaker_a]", "Circuit check.circuit_va: + puts A V beside A"),
        ("circuit_va", "[load_va]+[job.run_ft]", "Circuit check.circuit_va: + puts A V beside ft"),
        ("listed_move_va", "SUM({all.breaker_a})", "Spaces.listed_move_va: gives A, the rule says A V"),
        ("listed_move_va", "SUMIFS({all.breaker_a}, {all.poles}, 1)", "gives A, the rule says A V"),
        ("listed_moves", "COUNTIFS({all.breaker_a}, [row_number])", "COUNTIFS puts A beside 1"),
    ],
)  # fmt: skip
def test_a_fault_is_named(name: str, formula: str, words: str) -> None:
    with pytest.raises(DeclarationError) as caught:
        _compiled(**{name: formula})

    assert words in str(caught.value)


def test_raw_entries_are_read_only_where_they_are_checked() -> None:
    with pytest.raises(DeclarationError, match=r"unknown name \[raw\.poles\]"):
        _compiled(listed_moves="[raw.poles]")


def test_the_state_column_of_the_input_sheet_is_no_entry() -> None:
    with pytest.raises(DeclarationError, match=r"unknown name \[raw\.circuit_state\]"):
        _compiled(panel="[raw.circuit_state]")


@pytest.mark.parametrize(
    "formulas",
    [
        {"space_key": "COUNTIF({all.space_key}, 1)&\"\""},
        {"listed_moves": "SUM({all.panel_spaces})", "panel_spaces": "[job.listed_moves]"},
        {"circuit_job_row": "[job.main_spaces]"},
        {"check_circuit_job": "[circuit_state]"},
    ],
    ids=["itself in all rows", "job and circuits", "the row of the job by itself", "state"],
)
def test_circles_across_the_grids_are_found(formulas: dict[str, str]) -> None:
    with pytest.raises(DeclarationError, match="circle: "):
        _compiled(**formulas)


def test_a_name_may_not_stand_on_both_grids() -> None:
    counts = TOY_SHEETS[2]
    twice = replace(counts, columns=(*counts.columns, Column("circuit_va", "{move_1pole_load}")))

    with pytest.raises(DeclarationError, match=r"Spaces\.circuit_va: the name stands on Circuit check too"):
        compile_book((*TOY_SHEETS[:2], twice), LAYOUT, complete=False)


def test_the_job_number_may_stand_on_both_but_once_on_each() -> None:
    twice = replace(TOY_CHECK, columns=(*TOY_CHECK.columns, TOY_CHECK.columns[0]))

    with pytest.raises(DeclarationError, match=r"Circuit check\.job_no: the name stands on Circuit check too"):
        compile_book((TOY_SHEETS[0], twice), LAYOUT, complete=False)


def test_a_further_sheet_of_circuits_repeats_job_number_and_state() -> None:
    more = Sheet("More", "More", "More of circuits.", (Column("group_here", "[poles]"),), CIRCUIT_GRID)
    compiled = compile_book((*TOY_SHEETS, more), LAYOUT, complete=False)[-1]

    assert [(column.name, column.at(12)) for column in compiled.columns] == [
        ("job_no", "='Circuit check'!$B12"),
        ("circuit_state", "='Circuit check'!$C12"),
        ("group_here", f"=IF($C12=\"ready\", 'Circuit check'!${_at('poles')}12, \"\")"),
    ]
    assert compiled.grid == CIRCUIT_GRID


def test_a_sheet_of_circuits_needs_the_entries() -> None:
    more = Sheet("More", "More", "More of circuits.", (Column("group_here", "{pi_lode}"),), CIRCUIT_GRID)

    with pytest.raises(DeclarationError, match=r"More: no Circuit check\.circuit_state to repeat"):
        compile_book((TOY_SHEETS[0], more), LAYOUT, complete=False)


def test_only_rules_of_the_sheets_given_must_have_a_column() -> None:
    with pytest.raises(DeclarationError) as caught:
        compile_book(TOY_SHEETS, LAYOUT)

    assert "Circuit check.move_order: the rule has no column" in str(caught.value).splitlines()
    assert not [line for line in str(caught.value).splitlines() if not line.startswith(("Circuit check", "Spaces"))]


def test_rules_of_entries_keep_the_words_of_each_list() -> None:
    rules = input_rules(load().circuit_fields, sheet=CIRCUIT_CHECK)

    assert rules["panel"].sentence == "panel must be one of main, added"
    assert {rule.sheet for rule in rules.values()} == {CIRCUIT_CHECK}
    assert {rule.band for rule in rules.values()} == {"Entries"}


def test_layout_knows_both_input_grids() -> None:
    place = LAYOUT.grids[CIRCUIT_GRID]

    assert (place.sheet, place.rows, place.last_row, place.end_row) == (CIRCUITS, 300, 309, 310)
    assert list(place.letters.items())[:3] == [("circuit_state", "A"), ("job_no", "B"), ("panel", "C")]
    assert [LAYOUT.rows_of(grid) for grid in LAYOUT.grids] == [100, 300]
    assert LAYOUT.choices("panel").startswith("Lists!")
    assert len(set(LAYOUT.list_letters.values()) | set(LAYOUT.edition_letters.values())) == len(
        LAYOUT.list_letters
    ) + len(LAYOUT.edition_letters)
