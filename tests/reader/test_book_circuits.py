"""Circuits are read from their sheet like jobs from theirs; older workbooks have none."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from workbook_builder.reader.book_jobs import read_book

from .files import CIRCUIT_FIELDS, book_file, good_circuit, good_entries, refusal

JOBS = {10: good_entries(), 11: good_entries(job_no="J-2")}


def words(path: Path) -> list[str]:
    return [str(fault) for fault in read_book(path).faults]


def test_circuits_come_by_sheet_row_with_their_values(tmp_path: Path) -> None:
    circuits = {
        10: good_circuit(position=4, multiwire_group="K", label=5),
        13: good_circuit(job_no="j-2", wire=12, protection="afci"),
    }
    found = read_book(book_file(tmp_path / "book.xlsx", JOBS, circuits=circuits))

    assert found.faults == ()
    assert (found.circuit_rows, found.circuit_mark_row, found.rows) == (20, 9, 10)
    assert list(found.circuits.columns) == CIRCUIT_FIELDS
    assert list(found.circuits.index) == [10, 13]
    first, second = found.circuits.to_dict("records")
    assert (first["position"], first["poles"], first["multiwire_group"]) == (4.0, 1.0, "K")
    assert (second["job_no"], second["position"]) == ("j-2", None)


def test_a_workbook_from_before_there_were_circuits_has_none(tmp_path: Path) -> None:
    found = read_book(book_file(tmp_path / "book.xlsx", JOBS))

    assert found.faults == ()
    assert found.circuits.empty
    assert list(found.circuits.columns) == CIRCUIT_FIELDS
    assert (found.circuit_rows, found.circuit_mark_row) == (0, 0)


def test_an_empty_list_is_fine(tmp_path: Path) -> None:
    found = read_book(book_file(tmp_path / "book.xlsx", JOBS, circuits={}))

    assert (found.faults, len(found.circuits), found.circuit_rows) == ((), 0, 20)


def test_a_job_number_that_became_a_number_is_still_that_job(tmp_path: Path) -> None:
    path = book_file(tmp_path / "book.xlsx", {10: good_entries(job_no=101)}, circuits={10: good_circuit(job_no=101)})

    assert read_book(path).faults == ()


WRONG = {
    ("job_no", "J-22"): "'J-22', must be the number of a job in the list of jobs; did you mean J-2?",
    ("job_no", None): "nothing, must be text of 1 to 20 characters; fill it in",
    ("panel", "adde"): "'adde', must be one of main, added; did you mean added?",
    ("panel", None): "nothing, must be one of main, added; fill it in",
    ("position", "4"): (
        "the text '4', must be a whole number from 1 to 84; clear the cell and type it anew, not as text"
    ),
    ("position", 85.0): "85, must be a whole number from 1 to 84",
    ("position", 1.5): "1.5, must be a whole number from 1 to 84",
    ("poles", 3.0): "3, must be one of 1, 2",
    ("breaker_a", "=10+5"): "a formula without a result, must be a number from 15 to 200 A; type the value",
    ("label", "#REF!"): "the error value #REF!, must be text; type the value, or clear the cell",
    ("action", True): "TRUE, must be one of keep, move, new, remove; type the value, or clear the cell",
    ("load_va", -1.0): "-1, must be a number of 0 or more VA",
}


@pytest.mark.parametrize(("field", "value"), WRONG)
def test_a_wrong_cell_is_named_and_spoils_nothing_else(tmp_path: Path, field: str, value: object) -> None:
    """One fault, at the cell's address, whatever the other checks would say of it."""
    circuits = {10: good_circuit(), 12: good_circuit(**{field: value})}
    at = openpyxl.utils.get_column_letter(CIRCUIT_FIELDS.index(field) + 2)

    found = read_book(book_file(tmp_path / "book.xlsx", JOBS, circuits=circuits))

    assert [str(fault) for fault in found.faults] == [
        f"book.xlsx, Circuits!{at}12, row 12, {field}: found {WRONG[field, value]}"
    ]
    assert found.circuits.loc[10, "label"] == "Kitchen"


BROKEN = {
    "no room for the second pole": (
        {"poles": 2, "position": 83},
        "Circuits!D11, row 11, position: found 83, must be at most two under the highest space number for 2 poles",
    ),
    "moved within the panel": (
        {"action": "move", "panel": "main"},
        "Circuits!C11, row 11, panel: found 'main', must be added where action is move",
    ),
}


@pytest.mark.parametrize("kind", BROKEN)
def test_a_broken_check_between_entries_is_named(tmp_path: Path, kind: str) -> None:
    changes, said = BROKEN[kind]
    path = book_file(tmp_path / "book.xlsx", JOBS, circuits={10: good_circuit(), 11: good_circuit(**changes)})

    assert words(path) == [f"book.xlsx, {said}"]


def test_circuits_of_a_job_that_is_not_ready_are_named_after_the_job(tmp_path: Path) -> None:
    jobs = {10: good_entries(market=None), 11: good_entries(job_no="J-2")}
    path = book_file(tmp_path / "book.xlsx", jobs, circuits={10: good_circuit()})

    assert words(path) == [
        "book.xlsx, Jobs!J10, row 10, market: found nothing, must be one of small, medium, large; fill it in",
        "book.xlsx, Circuits!B10, row 10, job_no: found 'J-1', must be the number of a job that is ready",
    ]


def test_circuits_below_the_end_of_the_rows_are_named(tmp_path: Path) -> None:
    path = book_file(tmp_path / "book.xlsx", JOBS, circuits={10: good_circuit(), 32: good_circuit()})

    assert words(path) == [
        "book.xlsx, Circuits!B32, row 32, job_no: found a circuit below the end of the rows, "
        "must be above that row; it is not counted: move it up, or insert rows above the end"
    ]
    assert list(read_book(path).circuits.index) == [10]


def test_a_lost_end_of_rows_is_named(tmp_path: Path) -> None:
    path = book_file(tmp_path / "book.xlsx", JOBS, circuits={10: good_circuit()}, circuit_end=None)

    assert words(path) == [
        "book.xlsx, Circuits: found no row that begins with 'end of rows', must be there, "
        "under the last circuit; carry the circuits into a new workbook"
    ]


def test_columns_may_have_moved_and_lost_ones_are_named(tmp_path: Path) -> None:
    columns = ["lost" if name == "wire" else name for name in reversed(CIRCUIT_FIELDS)]
    circuits = {10: good_circuit(lost="12")}
    path = book_file(tmp_path / "book.xlsx", JOBS, circuits=circuits, circuit_columns=columns)

    assert words(path) == [
        "book.xlsx, Circuits, wire: found no column of that name, must be in the row of field names; "
        "write the name back over its column; it counts as blank until then"
    ]
    assert read_book(path).circuits.loc[10, ["label", "wire"]].tolist() == ["Kitchen", None]


def test_a_lost_required_column_is_refused_with_what_else_is_lost(tmp_path: Path) -> None:
    columns = ["lost" if name == "panel" else name for name in CIRCUIT_FIELDS]
    path = book_file(tmp_path / "book.xlsx", JOBS, circuits={}, circuit_columns=columns)
    book = openpyxl.load_workbook(path)
    del book["Local rules"]
    book.save(path)

    assert refusal(read_book, path) == [
        "book.xlsx, Circuits, row 9, panel: found no column of that name, must be there, since it is required; "
        "write the name back over its column",
        "book.xlsx: found no sheet Local rules, must be a workbook built here, with all its sheets; "
        "give the sheet its name back",
    ]
