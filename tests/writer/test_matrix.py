"""Checks reads at a glance: a word in each narrow cell, titles upright, nothing lost."""

from __future__ import annotations

import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.sheets.model import BAND_ROW, FIRST_ROW, MARK_ROW, NAME_ROW, RULE_ROW, SECTION_ROW
from workbook_builder.writer.column_widths import said
from workbook_builder.writer.measure import lines, points

from .conftest import JOBS, ROWS, Written
from .test_grids import PADDING

CHECKS = [rule for rule in load().rules.values() if rule.sheet == "Checks"]
SIGNS = [rule.name for rule in CHECKS if rule.kind == "state"]
PARTS = ("bus_check_used", "headroom_exception_state")
WORDS = ("OK", "CHECK", "STOP")


def _letters(written: Written) -> dict[str, str]:
    return {cell.value: cell.column_letter for cell in written.formulas["Checks"][MARK_ROW]}


def _widths(written: Written) -> dict[str, float]:
    page = written.formulas["Checks"]
    by_number = {
        number: run.width - PADDING
        for run in page.column_dimensions.values() for number in range(run.min, run.max + 1)
    }  # fmt: skip
    return {cell.value: by_number[cell.column] for cell in page[MARK_ROW]}


def test_what_a_job_comes_to_stands_before_its_checks(written: Written) -> None:
    names = [cell.value for cell in written.formulas["Checks"][MARK_ROW]]

    assert names[:7] == [
        "row_number",
        "job_no",
        "row_state",
        "job_status",
        "first_finding",
        "stops",
        "checks_open",
    ]
    assert names[7:-2] == SIGNS
    assert tuple(names[-2:]) == PARTS
    assert written.formulas["Checks"].freeze_panes == f"E{FIRST_ROW}"


def test_a_sign_column_is_narrow_and_its_words_stand_upright(written: Written) -> None:
    page, letters, widths = written.formulas["Checks"], _letters(written), _widths(written)
    assert len(SIGNS) > 50
    for name in SIGNS:
        assert widths[name] <= 7.1
        for row in (NAME_ROW, SECTION_ROW, MARK_ROW):
            assert page[f"{letters[name]}{row}"].alignment.textRotation == 90
        cell = page[f"{letters[name]}{FIRST_ROW}"]
        assert (cell.alignment.wrapText, cell.alignment.vertical) == (True, "top")
        assert not cell.alignment.shrinkToFit


@pytest.mark.parametrize("word", WORDS)
def test_the_first_word_fits_and_stands_alone(written: Written, word: str) -> None:
    """The cell wraps in a row of one line: the word fits, the next word of any message goes to a second line."""
    page, letters, widths = written.formulas["Checks"], _letters(written), _widths(written)
    size = page[f"{letters[SIGNS[0]]}{FIRST_ROW}"].font.size
    room = min(widths[name] for name in SIGNS) * 5.25
    texts = [text for rule in CHECKS for text in said(rule) if text.startswith(f"{word}:")]

    assert points(word, size=size) < room
    for text in texts:
        first_two = " ".join(text.split()[:2])
        assert points(first_two, size=size) > room, text
    for row in range(FIRST_ROW, FIRST_ROW + ROWS):
        assert page.row_dimensions[row].height < 2 * size * 1.1


def test_upright_words_are_not_cut(written: Written) -> None:
    page, letters, widths = written.formulas["Checks"], _letters(written), _widths(written)
    for name in SIGNS:
        for row, size, bold in ((NAME_ROW, 9, True), (SECTION_ROW, 7, False), (MARK_ROW, 7, False)):
            across = int(widths[name] * 5.25 // (size * 1.2))
            text = page[f"{letters[name]}{row}"].value
            high = page.row_dimensions[row].height
            assert max(points(word, size=size, bold=bold) for word in text.split()) <= high, text
            assert lines(text, width=high / 5.25, size=size, bold=bold) <= across, text


def test_the_whole_message_stays_in_the_cell(written: Written) -> None:
    page, letters = written.values["Checks"], _letters(written)
    for name in SIGNS:
        values = [page[f"{letters[name]}{row}"].value for row in range(FIRST_ROW, FIRST_ROW + JOBS)]
        assert values == ["CHECK: a person must look"] * JOBS


def test_the_header_leaves_room_for_rows(written: Written) -> None:
    """The frozen rows take less than half of a screen of 1000 points."""
    page = written.formulas["Checks"]

    assert sum(page.row_dimensions[row].height or 15 for row in range(1, FIRST_ROW)) < 400


def test_the_rule_of_a_column_is_a_step_away(written: Written) -> None:
    page, letters = written.formulas["Checks"], _letters(written)
    for name in [name for name in letters if name != "row_number"]:
        cell = page[f"{letters[name]}{RULE_ROW}"]
        target = cell.hyperlink.location.partition("!")

        assert cell.value == "rule"
        assert target[0] == "Rules"
        assert written.formulas["Rules"][target[2]].value == name


def test_signs_and_status_are_coloured_and_say_the_word_too(written: Written) -> None:
    page, letters = written.formulas["Checks"], _letters(written)
    coloured = {str(area.sqref).rstrip("0123456789").partition(":")[0].rstrip("0123456789"): area.rules
                for area in page.conditional_formatting}  # fmt: skip

    for name in (*SIGNS, "job_status"):
        assert {rule.text for rule in coloured[letters[name]]} >= set(WORDS)
    for name in PARTS:
        assert letters[name] not in coloured


def test_parts_are_marked_as_not_counted(written: Written) -> None:
    page, letters = written.formulas["Checks"], _letters(written)

    assert page[f"{letters[PARTS[0]]}{BAND_ROW}"].value == "Parts, not counted"
    for name in PARTS:
        cell = page[f"{letters[name]}{FIRST_ROW}"]
        assert cell.font.italic
        assert cell.font.color.rgb == "FF5F6368"


def test_the_legend_stands_over_the_matrix(written: Written) -> None:
    page = written.formulas["Checks"]
    texts = [cell.value for cell in page[1] if cell.value]

    assert [text for text in texts if text in WORDS] == list(WORDS)
    assert any("not ready" in text for text in texts)
    assert all(word in page.oddHeader.right.text for word in WORDS)


def test_first_finding_has_room_for_the_longest_message(written: Written) -> None:
    page, letters, widths = written.formulas["Checks"], _letters(written), _widths(written)
    size = page[f"{letters['first_finding']}{FIRST_ROW}"].font.size
    longest = max(points(text, size=size) for rule in CHECKS if rule.kind == "state" for text in said(rule))

    assert longest <= widths["first_finding"] * 5.25
