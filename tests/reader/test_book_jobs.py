"""What is read back from a workbook, and what is said about what cannot be used."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import openpyxl
import pytest

from workbook_builder.reader.book_jobs import read_book

from .files import FIELDS, MARK_ROW, book_file, changed_zip, good_entries, refusal


def words(path: Path) -> list[str]:
    return [str(fault) for fault in read_book(path).faults]


def test_a_good_workbook_gives_its_jobs_by_sheet_row(tmp_path: Path) -> None:
    """Numbers, words and dates as they stand, blanks as None, blank rows left out."""
    path = book_file(
        tmp_path / "book.xlsx",
        {
            10: good_entries(visit_date=datetime(2024, 5, 31), ambient_c=-5.5, site=" Élan\nhouse "),
            12: good_entries(job_no="J-2", moved_wire="10"),
        },
    )

    found = read_book(path)

    assert found.faults == ()
    assert (found.version, found.rows, found.mark_row) == ("0.1.0", 10, 9)
    assert list(found.jobs.columns) == FIELDS
    assert list(found.jobs.index) == [10, 12]
    first, second = found.jobs.to_dict("records")
    assert first["visit_date"] == date(2024, 5, 31)
    assert (first["ambient_c"], first["service_a"]) == (-5.5, 100.0)
    assert first["site"] == " Élan\nhouse "
    assert (second["moved_wire"], second["visit_date"], second["line_v"]) == ("10", None, None)


def test_rows_and_columns_may_have_moved(tmp_path: Path) -> None:
    """The row of names finds every column; rows above it do not matter."""
    straight = read_book(book_file(tmp_path / "a.xlsx", {10: good_entries(run_ft=40)}))
    moved = read_book(
        book_file(
            tmp_path / "b.xlsx", {14: good_entries(run_ft=40)},
            columns=("my notes", *reversed(FIELDS), "row_state"), mark_row=12, end_row=23,
        )
    )  # fmt: skip

    assert moved.faults == ()
    assert (moved.mark_row, moved.rows) == (12, 10)
    assert moved.jobs.reset_index(drop=True).equals(straight.jobs.reset_index(drop=True))


def test_a_workbook_without_jobs_is_read(tmp_path: Path) -> None:
    found = read_book(book_file(tmp_path / "book.xlsx", {}))

    assert (len(found.jobs), found.rows, found.faults) == (0, 10, ())


def test_a_start_sheet_that_names_no_builder_gives_no_version(tmp_path: Path) -> None:
    assert read_book(book_file(tmp_path / "book.xlsx", {}, start="Welcome")).version is None


def test_a_workbook_without_its_start_sheet_gives_no_version(tmp_path: Path) -> None:
    path = book_file(tmp_path / "book.xlsx", {10: good_entries()})
    changed_zip(path, replace={"xl/workbook.xml": (b'name="Start"', b'name="Notes"')})

    assert (read_book(path).version, read_book(path).faults) == (None, ())


WRONG = {
    ("floor_area_ft2", "1500"): (
        "the text '1500', must be a number from 100 to 20000 ft2; "
        "clear the cell and type it anew, not as text"
    ),
    ("floor_area_ft2", "1,5"): (
        "the text '1,5', must be a number from 100 to 20000 ft2; write 1.5, with a decimal point"
    ),
    ("floor_area_ft2", "1\u00a0500"): (
        "the text '1\\xa0500', must be a number from 100 to 20000 ft2; "
        "take the space (a non-breaking one) out: write 1500"
    ),
    ("floor_area_ft2", " "): (
        "the text ' ', must be a number from 100 to 20000 ft2; clear the cell and type it anew, not as text"
    ),
    ("floor_area_ft2", True): (
        "TRUE, must be a number from 100 to 20000 ft2; type the value, or clear the cell"
    ),
    ("floor_area_ft2", "#N/A"): (
        "the error value #N/A, must be a number from 100 to 20000 ft2; type the value, or clear the cell"
    ),
    ("floor_area_ft2", "=30*50"): (
        "a formula without a result, must be a number from 100 to 20000 ft2; type the value"
    ),
    ("floor_area_ft2", 50.0): "50, must be a number from 100 to 20000 ft2",
    ("floor_area_ft2", None): "nothing, must be a number from 100 to 20000 ft2; fill it in",
    ("service_a", "100 A"): (
        "the text '100 A', must be one of 60, 100, 125, 150, 200, 225, 300, 320, 400; "
        "write 100 alone, without unit or sign"
    ),
    ("visit_date", "5/31/2024"): "the text '5/31/2024', must be a date; write it like 2024-05-31",
    ("site", False): "FALSE, must be text; type the value, or clear the cell",
    ("site", "#REF!"): "the error value #REF!, must be text; type the value, or clear the cell",
    ("wall", "drywal"): (
        "'drywal', must be one of open framing, drywall, plaster, masonry; did you mean drywall?"
    ),
    ("wall", 5.0): "5, must be one of open framing, drywall, plaster, masonry",
    ("main_spaces_used", 21.0): "21, must be at most main_spaces",
    ("job_no", None): "nothing, must be text of 1 to 20 characters; fill it in",
}


@pytest.mark.parametrize(("field", "value"), WRONG)
def test_a_wrong_cell_is_named_and_spoils_nothing_else(tmp_path: Path, field: str, value: object) -> None:
    """One fault, at the cell's address; the value stays as it is and the other row is fine."""
    path = book_file(
        tmp_path / "book.xlsx",
        {10: good_entries(job_no="J-9"), 12: good_entries(**{field: value})},
    )
    at = openpyxl.utils.get_column_letter(FIELDS.index(field) + 2)

    found = read_book(path)

    assert [str(fault) for fault in found.faults] == [
        f"book.xlsx, Jobs!{at}12, row 12, {field}: found {WRONG[field, value]}"
    ]
    kept = None if value == "=30*50" else value
    assert found.jobs.loc[12, field] == kept
    assert found.jobs.loc[10, "floor_area_ft2"] == 1500.0


def test_the_result_of_a_formula_counts_as_typed(tmp_path: Path) -> None:
    """An estimator may add up in the cell; the program that saved it left the sum there."""
    path = book_file(tmp_path / "book.xlsx", {10: good_entries(floor_area_ft2="=30*50")})
    result = (b"<f>30*50</f><v />", b"<f>30*50</f><v>1500</v>")
    changed_zip(path, replace={"xl/worksheets/sheet2.xml": result})

    found = read_book(path)

    assert (found.jobs.loc[10, "floor_area_ft2"], found.faults) == (1500.0, ())


def test_numbers_that_stand_where_words_do_are_left_to_the_rules(tmp_path: Path) -> None:
    """Spreadsheets make numbers of `12` and `101`; a job number or a size may be one."""
    found = read_book(book_file(tmp_path / "book.xlsx", {10: good_entries(job_no=101, moved_wire=12)}))

    assert found.faults == ()
    assert list(found.jobs.loc[10, ["job_no", "moved_wire"]]) == [101.0, 12.0]


def test_all_faults_come_by_row_and_field(tmp_path: Path) -> None:
    """Those of kind and those of range together, none twice."""
    path = book_file(
        tmp_path / "book.xlsx",
        {
            11: good_entries(run_ft=0, wiring="pipe", floor_area_ft2="big"),
            10: good_entries(market=None, job_no="J-2", main_spaces=True),
        },
    )

    assert [(fault.row, fault.field) for fault in read_book(path).faults] == [
        (10, "market"), (10, "main_spaces"), (11, "floor_area_ft2"), (11, "wiring"), (11, "run_ft"),
    ]  # fmt: skip


def test_dates_count_from_1904_where_the_workbook_says_so(tmp_path: Path) -> None:
    path = book_file(tmp_path / "book.xlsx", {10: good_entries(visit_date=0)})
    changed_zip(path, replace={"xl/workbook.xml": (b"<workbookPr />", b'<workbookPr date1904="1"/>')})
    sheet = "xl/worksheets/sheet2.xml"
    changed_zip(path, replace={sheet: (b'<v>0</v>', b"<v>44711</v>")})

    assert read_book(path).jobs.loc[10, "visit_date"] == date(2026, 5, 31)


def test_jobs_below_the_end_of_the_rows_are_named(tmp_path: Path) -> None:
    path = book_file(tmp_path / "book.xlsx", {10: good_entries(), 22: good_entries(job_no="J-2")})

    assert words(path) == [
        "book.xlsx, Jobs!B22, row 22, job_no: found a job below the end of the rows, must be above that row; "
        "it is not counted: move it up, or insert rows above the end"
    ]
    assert list(read_book(path).jobs.index) == [10]


def test_a_lost_end_of_rows_is_named_and_all_jobs_are_read(tmp_path: Path) -> None:
    jobs = {10: good_entries(), 22: good_entries(job_no="J-2")}
    path = book_file(tmp_path / "book.xlsx", jobs, end_row=None)

    assert words(path) == [
        "book.xlsx, Jobs: found no row that begins with 'end of rows', must be there, under the last job; "
        "carry the jobs into a new workbook"
    ]
    assert list(read_book(path).jobs.index) == [10, 22]
    assert read_book(path).rows == 13


def test_a_lost_column_that_is_not_required_is_named(tmp_path: Path) -> None:
    """Its entries cannot be told from those of other columns, so they are blank."""
    columns = ["lost" if name == "wiring" else name for name in FIELDS]
    path = book_file(tmp_path / "book.xlsx", {10: good_entries(lost="EMT")}, columns=columns)

    assert words(path) == [
        "book.xlsx, Jobs, wiring: found no column of that name, must be in the row of field names; "
        "write the name back over its column; it counts as blank until then"
    ]
    assert read_book(path).jobs.loc[10, "wiring"] is None


def test_a_lost_required_column_is_refused(tmp_path: Path) -> None:
    columns = ["lost" if name in ("market", "main_spaces") else name for name in FIELDS]

    assert refusal(read_book, book_file(tmp_path / "book.xlsx", {}, columns=columns)) == [
        f"book.xlsx, Jobs, row 9, {name}: found no column of that name, must be there, since it is required; "
        "write the name back over its column"
        for name in ("market", "main_spaces")
    ]


def test_a_column_that_stands_twice_is_refused(tmp_path: Path) -> None:
    path = book_file(tmp_path / "book.xlsx", {}, columns=["site", *FIELDS])

    assert refusal(read_book, path) == [
        "book.xlsx, Jobs!C9, row 9, site: found the field name a second time, must be there once; "
        "delete the copied column"
    ]


def test_a_lost_row_of_names_is_refused(tmp_path: Path) -> None:
    path = book_file(tmp_path / "book.xlsx", {}, columns=[f"x{name}" for name in FIELDS], end_row=None)

    assert refusal(read_book, path) == [
        "book.xlsx, Jobs: found no row of field names, must be there, with job_no in it; "
        "copy the row from a new workbook"
    ]


def test_every_lost_sheet_is_named(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    openpyxl.Workbook().save(path)

    assert refusal(read_book, path) == [
        f"book.xlsx: found no sheet {name}, must be a workbook built here, with all its sheets; "
        "give the sheet its name back"
        for name in ("Jobs", "Local rules")
    ]


def test_names_that_stand_in_two_rows_are_read_from_the_lower(tmp_path: Path) -> None:
    """Titles above the row of names may be spelled alike."""
    path = book_file(tmp_path / "book.xlsx", {10: good_entries()})
    book = openpyxl.load_workbook(path)
    for place, name in enumerate(FIELDS, 2):
        book["Jobs"].cell(4, place, name)
    book.save(path)

    assert read_book(path).mark_row == MARK_ROW
