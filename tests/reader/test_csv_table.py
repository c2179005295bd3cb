"""Files that cannot be read as a table of fields, each broken in one way."""

from __future__ import annotations

from pathlib import Path

import pytest

from workbook_builder.reader import csv_table
from workbook_builder.reader.csv_jobs import read_jobs

from .files import GOOD, csv_file, jobs_file, refusal

HEADER = ",".join(GOOD)
ROW = ",".join(GOOD.values())
ROW2 = ROW.replace("J-1", "J-2")

BROKEN = {
    "empty": (b"", "jobs.csv: found an empty file, must be a table of field names and values, "
              "separated by commas; begin it with a row of field names"),
    "only line ends": (b"\n\n", "jobs.csv: found no text, must be a table of field names and values, "
                       "separated by commas; begin it with a row of field names"),
    "another encoding": (f"{HEADER},site\n{ROW},a\n{ROW},\xc9lan\n".encode("latin-1"),
                         "jobs.csv, row 3: found the byte 0xC9, must be text in UTF-8; "
                         "save it as CSV UTF-8 (comma delimited)"),
    "another encoding after a mark": (b"\xef\xbb\xbf" + f"{HEADER}\nJ\xe9\n".encode("latin-1"),
                                      "jobs.csv, row 2: found the byte 0xE9, must be text in UTF-8; "
                                      "save it as CSV UTF-8 (comma delimited)"),
    "utf-16": (f"{HEADER}\n{ROW}\n".encode("utf-16"),
               "jobs.csv: found text in UTF-16, must be text in UTF-8; "
               "save it as CSV UTF-8 (comma delimited)"),
    "nul byte": (f"{HEADER}\n{ROW}\n\0\n".encode(),
                 "jobs.csv, row 3: found a NUL byte, must be text in UTF-8; the file is damaged or "
                 "no text; save it as CSV UTF-8 (comma delimited)"),
    "workbook": (b"PK\x03\x04 and so on",
                 "jobs.csv: found a workbook or archive, must be a table of field names and values, "
                 "separated by commas; open it and save it as CSV UTF-8 (comma delimited)"),
    "semicolons": (f"{HEADER}\n{ROW}\n".replace(",", ";").encode(),
                   "jobs.csv, row 1: found columns separated by semicolons, must be separated by commas; "
                   "save it as CSV UTF-8 (comma delimited) with a comma as the list separator, "
                   "and decimal points"),
    "separator line": (f"sep=;\n{HEADER}\n".encode(),
                       "jobs.csv, row 1: found columns separated by semicolons, must be separated by "
                       "commas; save it as CSV UTF-8 (comma delimited) with a comma as the list separator, "
                       "and decimal points"),
    "tabs": (f"{HEADER}\n{ROW}\n".replace(",", "\t").encode(),
             "jobs.csv, row 1: found columns separated by tabs, must be separated by commas; "
             "save it as CSV UTF-8 (comma delimited) with a comma as the list separator, "
             "and decimal points"),
    "too many cells": (f"{HEADER}\n{ROW},5\n".encode(),
                       "jobs.csv, row 2: found 8 cells, must be 7 cells, as in the header; "
                       "a comma inside a text needs quotation marks round the text"),
    "too few cells": (f"{HEADER}\n{ROW}\nJ-2,older\n".encode(),
                      "jobs.csv, row 3: found 2 cells, must be 7 cells, as in the header; "
                      "put a comma for each blank cell"),
    "open quotation mark": (f"{HEADER}\n{ROW}\n\"J-2,older,small,100,20,18,1500\n".encode(),
                            "jobs.csv, row 3: found a quotation mark out of place or without its pair "
                            "(unexpected end of data), must be text without quotation marks, or wholly "
                            "inside a pair of them; double each quotation mark inside such a text; "
                            "rows from here on were not read"),
    "open quotation mark in the header": (f"\"{HEADER}\n{ROW}\n".encode(),
                            "jobs.csv, row 1: found a quotation mark out of place or without its pair "
                            "(unexpected end of data), must be text without quotation marks, or wholly "
                            "inside a pair of them; double each quotation mark inside such a text; "
                            "rows from here on were not read"),
    "unknown field": (f"{HEADER},Wirng\n{ROW},EMT\n".encode(),
                      "jobs.csv, row 1: found the column name 'Wirng', must be a field name; "
                      "did you mean wiring?"),
    "title for a field": (f"{HEADER},Code edition\n{ROW},2020\n".encode(),
                          "jobs.csv, row 1: found the column name 'Code edition', must be a field name; "
                          "did you mean code_edition?"),
    "strange field": (f"{HEADER},qqq\n{ROW},2020\n".encode(),
                      "jobs.csv, row 1: found the column name 'qqq', must be a field name; "
                      "delete the column, or see the blank template"),
    "no name": (f"{HEADER},,site\n{ROW},x,\n".encode(),
                "jobs.csv, row 1: found no name over column 8, which has values, must be a field name; "
                "name the column or delete its values"),
    "no name over the last column": (f"{HEADER},site,,\n{ROW},a,,\n{ROW2},a,x,\n".encode(),
                "jobs.csv, row 1: found no name over column 9, which has values, must be a field name; "
                "name the column or delete its values"),
    "field twice": (f"{HEADER},market\n{ROW},small\n".encode(),
                    "jobs.csv, row 1, market: found the column 2 times, must be there once; "
                    "delete the columns that do not count"),
}  # fmt: skip


@pytest.mark.parametrize("kind", BROKEN)
def test_a_broken_file_is_refused_in_words(tmp_path: Path, kind: str) -> None:
    """File, row, what was found, what is expected and what to do."""
    data, words = BROKEN[kind]
    path = tmp_path / "jobs.csv"
    path.write_bytes(data)

    assert refusal(read_jobs, path) == [words]


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "jobs.csv"

    assert refusal(read_jobs, path) == [f"{path}: found no such file, must be a CSV file; check the path"]


def test_a_folder_is_refused(tmp_path: Path) -> None:
    assert refusal(read_jobs, tmp_path) == [
        f"{tmp_path}: found a folder, must be a CSV file; give the path of the file in it"
    ]


def test_a_path_that_no_file_can_have_is_refused() -> None:
    (line,) = refusal(read_jobs, "jobs\0.csv")

    assert "no readable file" in line


def test_a_file_that_is_too_large_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is not even read to its end."""
    monkeypatch.setattr(csv_table, "LARGEST_FILE", 1000)
    path = tmp_path / "jobs.csv"
    path.write_bytes(b"x" * 1001)

    assert refusal(read_jobs, path) == [
        "jobs.csv: found over 1,000 bytes, must be a table of field names and values, "
        "separated by commas; split it into several files"
    ]


def test_faults_of_header_and_rows_come_together(tmp_path: Path) -> None:
    """A wrong column does not hide a wrong cell."""
    path = csv_file(tmp_path / "jobs.csv", [GOOD | {"wirng": "EMT", "run_ft": "1,5"}])

    assert [line.split(":")[0] for line in refusal(read_jobs, path)] == [
        "jobs.csv, row 1", "jobs.csv, row 2, run_ft",
    ]  # fmt: skip


def test_columns_at_the_right_with_neither_name_nor_value_are_dropped(tmp_path: Path) -> None:
    """Spreadsheets leave them behind where something was deleted."""
    path = tmp_path / "jobs.csv"
    path.write_text(f"{HEADER},, \n{ROW},,\n")

    assert read_jobs(path).equals(read_jobs(csv_file(tmp_path / "plain.csv", [GOOD])))


def test_blank_cells_beyond_the_header_are_dropped(tmp_path: Path) -> None:
    path = tmp_path / "jobs.csv"
    path.write_text(f"{HEADER}\n{ROW},,\n")

    assert read_jobs(path).equals(read_jobs(csv_file(tmp_path / "plain.csv", [GOOD])))


def test_line_ends_inside_quotation_marks_count_as_lines(tmp_path: Path) -> None:
    """The fault of the second job is reported on the line where that job begins."""
    path = jobs_file(tmp_path / "jobs.csv", {"site": "one\ntwo"}, {"market": "huge"})

    assert [line.split(":")[0] for line in refusal(read_jobs, path)] == [
        "jobs.csv, row 2, site", "jobs.csv, row 4, market",
    ]  # fmt: skip
