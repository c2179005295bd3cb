"""What a list of jobs may hold, and what is said about what it may not."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from workbook_builder.reader.csv_jobs import read_jobs
from workbook_builder.reader.faults import BadInput

from .files import FIELDS, GOOD, csv_file, jobs_file, refusal


def test_a_good_file_gives_numbers_words_dates_and_blanks(tmp_path: Path) -> None:
    """Every field is a column; what the file has not is None."""
    path = jobs_file(
        tmp_path / "jobs.csv",
        {"visit_date": "2024-05-31", "site": "Élan house", "moved_wire": "10", "code_edition": "2020"},
        {"ambient_c": "-5.5"},
    )

    frame = read_jobs(path)

    assert list(frame.columns) == FIELDS
    assert list(frame.index) == [2, 3]
    first, second = frame.to_dict("records")
    assert first["job_no"] == "J-1"
    assert first["site"] == "Élan house"
    assert first["visit_date"] == date(2024, 5, 31)
    assert first["moved_wire"] == "10"
    assert (first["code_edition"], type(first["service_a"])) == (2020.0, float)
    assert first["ambient_c"] is None
    assert second["ambient_c"] == -5.5
    assert second["visit_date"] is None
    assert first["line_v"] is None


def test_columns_stand_in_any_order(tmp_path: Path) -> None:
    """A column is known by its name alone."""
    forward = read_jobs(csv_file(tmp_path / "a.csv", [GOOD]))
    backward = read_jobs(csv_file(tmp_path / "b.csv", [dict(reversed(GOOD.items()))]))

    assert forward.equals(backward)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_byte_order_marks_and_line_ends_make_no_difference(
    tmp_path: Path, encoding: str, line_end: str
) -> None:
    """Files come from many programs."""
    text = jobs_file(tmp_path / "a.csv", {}, {}).read_text(encoding="utf-8")
    path = tmp_path / "b.csv"
    path.write_bytes(text.replace("\n", line_end).encode(encoding))

    assert read_jobs(path).equals(read_jobs(tmp_path / "a.csv"))


def test_outer_spaces_are_dropped_and_words_take_the_spelling_of_the_list(tmp_path: Path) -> None:
    """The two stated rules of normalising."""
    entries = {"wiring": " pvc 40\u00a0", "floor_area_ft2": " 1500 ", "job_no": " J 1 "}
    path = jobs_file(tmp_path / "jobs.csv", entries)

    frame = read_jobs(path)

    assert list(frame.loc[2, ["wiring", "floor_area_ft2", "job_no"]]) == ["PVC 40", 1500.0, "J 1"]


def test_blank_rows_are_skipped_and_rows_keep_their_line(tmp_path: Path) -> None:
    """A person finds the row by the line number of an editor."""
    path = jobs_file(tmp_path / "jobs.csv", {"site": "one, two"}, {})
    header, first, second = path.read_text(encoding="utf-8").splitlines()
    blank = "," * header.count(",")
    path.write_text("\n".join([header, "", first, blank, " ", second]), encoding="utf-8")

    assert list(read_jobs(path).index) == [3, 6]


BAD_NUMBERS = {
    "abc": "'abc', must be a number from 100 to 20000 ft2; write the number in digits, such as 12.5",
    "1500 ft2": "'1500 ft2', must be a number from 100 to 20000 ft2; write 1500 alone, without unit or sign",
    "140 m2": "'140 m2', must be a number from 100 to 20000 ft2; write the number alone, in ft2",
    "1500,5": "'1500,5', must be a number from 100 to 20000 ft2; write 1500.5, with a decimal point",
    "1,234": "'1,234', must be a number from 100 to 20000 ft2; write 1234, without a comma",
    "1.234,5": "'1.234,5', must be a number from 100 to 20000 ft2; write 1234.5, with a decimal point",
    "1 234": "'1 234', must be a number from 100 to 20000 ft2; take the space out: write 1234",
    "1\u00a0234": "'1\\xa0234', must be a number from 100 to 20000 ft2; "
    "take the space (a non-breaking one) out: write 1234",
    "1.5E+03": "'1.5E+03', must be a number from 100 to 20000 ft2; "
    "write all digits (1500); a spreadsheet may have dropped some",
    "1.5e300": "'1.5e300', must be a number from 100 to 20000 ft2; "
    "write all digits; a spreadsheet may have dropped some",
    "nan": "'nan', must be a number from 100 to 20000 ft2; leave the cell blank where no value is known",
    "-inf": "'-inf', must be a number from 100 to 20000 ft2; leave the cell blank where no value is known",
    "TRUE": "'TRUE', must be a number from 100 to 20000 ft2; "
    "write a number, or leave the cell blank; true and false are no numbers",
    "#N/A": "'#N/A', must be a number from 100 to 20000 ft2; this is an error value of a spreadsheet: "
    "repair the cell it comes from, or leave the cell blank",
    "=30*50": "'=30*50', must be a number from 100 to 20000 ft2; "
    "write the result; a formula is not worked out here",
    "+1500": "'+1500', must be a number from 100 to 20000 ft2; write 1500 without the sign",
    "\u22125": "'\u22125', must be a number from 100 to 20000 ft2; write -5 with a plain hyphen",
    "1_500": "'1_500', must be a number from 100 to 20000 ft2; write the number in digits, such as 12.5",
    "\u0661\u0665\u0660\u0660": "'\u0661\u0665\u0660\u0660', must be a number from 100 to 20000 ft2; "
    "write the number in digits, such as 12.5",
    "1" * 310: "'" + "1" * 60 + "...', must be at most 200 characters; shorten it; it has 310 characters",
    "5": "5, must be a number from 100 to 20000 ft2",
    "-200": "-200, must be a number from 100 to 20000 ft2",
    "20000.5": "20000.5, must be a number from 100 to 20000 ft2",
    "": "nothing, must be a number from 100 to 20000 ft2; fill it in",
}  # fmt: skip


@pytest.mark.parametrize("entry", BAD_NUMBERS)
def test_a_number_that_is_none_is_refused_with_what_to_write(tmp_path: Path, entry: str) -> None:
    """Nothing is guessed; one message a cell."""
    path = jobs_file(tmp_path / "jobs.csv", {"floor_area_ft2": entry}, {})

    assert refusal(read_jobs, path) == [f"jobs.csv, row 2, floor_area_ft2: found {BAD_NUMBERS[entry]}"]


BAD_ENTRIES = {
    ("main_spaces", "20.5"): "20.5, must be a whole number from 2 to 84",
    ("metered_days", "365.5"): "365.5, must be a whole number from 30 to 800 d",
    ("code_edition", "2022"): "2022, must be one of 2017, 2020, 2023, 2026",
    ("code_edition", "NEC"): "'NEC', must be one of 2017, 2020, 2023, 2026; "
    "write the number in digits, such as 12.5",
    ("house_age", "oldr"): "'oldr', must be one of older, middle, newer; did you mean older?",
    ("house_age", ""): "nothing, must be one of older, middle, newer; fill it in",
    ("wall", "brick"): "'brick', must be one of open framing, drywall, plaster, masonry",
    ("wall", "open  framing"): "'open  framing', must be one of open framing, drywall, plaster, masonry; "
    "did you mean open framing?",
    ("visit_date", "5/31/2024"): "'5/31/2024', must be a date as YYYY-MM-DD; write it like 2024-05-31",
    ("visit_date", "20240531"): "'20240531', must be a date as YYYY-MM-DD; write it like 2024-05-31",
    ("visit_date", "2024-02-30"): "'2024-02-30', must be a date as YYYY-MM-DD; "
    "there is no such day; check month and day",
    ("visit_date", "1824-02-03"): "'1824-02-03', must be a date from 1900-01-01 on; check the year",
    ("site", "#REF!"): "'#REF!', must be text; this is an error value of a spreadsheet: "
    "repair the cell it comes from, or leave the cell blank",
    ("site", "x" * 201): "'" + "x" * 60 + "...', must be at most 200 characters; "
    "shorten it; it has 201 characters",
    ("site", "two\nlines"): "'two\\x0alines', must be text on one line without control or invisible "
    "characters; delete the character U+000A and type the entry anew",
    ("site", "a\x1b[31mb"): "'a\\x1b[31mb', must be text on one line without control or invisible "
    "characters; delete the character U+001B and type the entry anew",
    ("site", "a\u202eb"): "'a\\u202eb', must be text on one line without control or invisible "
    "characters; delete the character U+202E and type the entry anew",
    ("job_no", "J" * 21): "'" + "J" * 21 + "', must be text of 1 to 20 characters",
}  # fmt: skip


@pytest.mark.parametrize(("field", "entry"), BAD_ENTRIES)
def test_an_entry_that_does_not_fit_is_refused_with_what_does(
    tmp_path: Path, field: str, entry: str
) -> None:
    """Words, whole numbers, dates and text: one message a cell."""
    path = jobs_file(tmp_path / "jobs.csv", {}, {field: entry})

    assert refusal(read_jobs, path) == [f"jobs.csv, row 3, {field}: found {BAD_ENTRIES[field, entry]}"]


@pytest.mark.parametrize("entry", ["=1+1", "+1", "-1", "@sum", "\tx", "\rx", " =cmd|x"])
@pytest.mark.parametrize("field", ["site", "job_no", "estimator"])
def test_text_that_looks_like_a_formula_is_refused(tmp_path: Path, field: str, entry: str) -> None:
    """It would be run by whoever opens a file made from it."""
    lines = refusal(read_jobs, jobs_file(tmp_path / "jobs.csv", {field: entry}))

    assert len(lines) == 1
    assert lines[0].startswith(f"jobs.csv, row 2, {field}: found ")
    assert lines[0].endswith(
        ", must be text that does not look like a formula; "
        "begin it with a letter or a digit instead of = + - @ or a tab"
    )


def test_a_job_number_that_stands_twice_names_the_other_row(tmp_path: Path) -> None:
    """Capitals make no difference between job numbers."""
    lines = refusal(read_jobs, jobs_file(tmp_path / "jobs.csv", {"job_no": "A7"}, {}, {"job_no": "a7"}))

    assert lines == [
        "jobs.csv, row 2, job_no: found 'A7', as in row 4, "
        "must be different in every row (letters' case aside)",
        "jobs.csv, row 4, job_no: found 'a7', as in row 2, "
        "must be different in every row (letters' case aside)",
    ]


def test_entries_that_do_not_go_together_are_refused(tmp_path: Path) -> None:
    """A rule between two fields is reported at the field that must give way."""
    lines = refusal(read_jobs, jobs_file(tmp_path / "jobs.csv", {"main_spaces_used": "21"}))

    assert lines == ["jobs.csv, row 2, main_spaces_used: found 21, must be at most main_spaces"]


def test_all_faults_come_at_once_by_row_and_field(tmp_path: Path) -> None:
    """Nothing is returned while one is left."""
    path = jobs_file(
        tmp_path / "jobs.csv",
        {"floor_area_ft2": "big", "house_age": "", "site": "=x"},
        {},
        {"run_ft": "0", "job_no": "J-1", "wiring": "pipe"},
    )
    with pytest.raises(BadInput) as caught:
        read_jobs(path)

    assert [(fault.row, fault.field) for fault in caught.value.faults] == [
        (2, "job_no"), (2, "site"), (2, "house_age"), (2, "floor_area_ft2"),
        (4, "job_no"), (4, "wiring"), (4, "run_ft"),
    ]  # fmt: skip


def test_a_required_column_that_is_not_there_is_told_once(tmp_path: Path) -> None:
    """Not once a row."""
    rows = [{name: text for name, text in GOOD.items() if name != "market"} | {"job_no": no} for no in "ab"]

    assert refusal(read_jobs, csv_file(tmp_path / "jobs.csv", rows)) == [
        "jobs.csv, row 1, market: found no such column, must be there, since it is required; "
        "add a column market"
    ]


def test_a_header_alone_is_no_list_of_jobs(tmp_path: Path) -> None:
    """The blank template is not built from."""
    path = tmp_path / "jobs.csv"
    path.write_text(",".join(FIELDS) + "\n,,\n\n")

    assert refusal(read_jobs, path) == [
        "jobs.csv: found no row under the header, must be a list of one job or more; add a row for each job"
    ]
