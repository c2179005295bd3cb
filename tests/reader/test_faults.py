"""A fault in one line, and the order in which faults are told."""

from __future__ import annotations

import pickle

import pytest

from workbook_builder.reader.faults import BadInput, Fault, in_order, shown


def test_a_fault_of_a_workbook_names_file_cell_row_and_field() -> None:
    fault = Fault("book.xlsx", "Jobs", 12, "run_ft", "F12", "'x'", "a number", "type one")

    assert str(fault) == "book.xlsx, Jobs!F12, row 12, run_ft: found 'x', must be a number; type one"


def test_a_fault_of_a_sheet_names_the_sheet() -> None:
    fault = Fault("book.xlsx", "Jobs", None, None, None, "no names", "there")

    assert str(fault) == "book.xlsx, Jobs: found no names, must be there"


def test_bad_input_prints_a_line_a_fault() -> None:
    faults = [Fault("a.csv", None, row, None, None, "x", "y") for row in (1, 2)]

    assert str(BadInput(faults)) == "a.csv, row 1: found x, must be y\na.csv, row 2: found x, must be y"


def test_order_is_file_then_row_then_field() -> None:
    """Fields go in the order of the list, not of the alphabet."""
    given = [(3, "a"), (2, "a"), (2, "z"), (2, None), (None, None), (None, "a")]
    faults = [Fault("f", None, row, name, None, "", "") for row, name in given]

    assert [(fault.row, fault.field) for fault in in_order(faults, ["z", "a"])] == [
        (None, None), (None, "a"), (2, None), (2, "z"), (2, "a"), (3, "a"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (None, "nothing"), ("", "nothing"), (True, "TRUE"), (12.0, "12"), (12.5, "12.5"),
        (1e20, "1e+20"), ("a", "'a'"), ("a\r\nb\u2028\U000e0001", "'a\\x0d\\x0ab\\u2028\\U000e0001'"),
        ("x" * 61, "'" + "x" * 60 + "...'"),
    ],
)  # fmt: skip
def test_an_entry_is_shown_on_one_line(value: object, words: str) -> None:
    assert shown(value) == words


def test_a_refusal_comes_whole_out_of_another_process() -> None:
    refusal = BadInput([Fault("jobs.csv", None, 7, "range_kw", None, "'x'", "a number")])
    again = pickle.loads(pickle.dumps(refusal))

    assert (again.faults, str(again)) == (refusal.faults, str(refusal))
