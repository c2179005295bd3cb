"""Results go to a file whole or not at all, and run nothing when opened."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook_builder.reader.write_csv import guarded, write_results

FRAME = pd.DataFrame(
    {
        "job_no": ["J-1", "J, 2"],
        "total_load_va": [24000.0, np.nan],
        "drop": [-1.25, 0.1],
        "stops": np.array([0, 2]),
        "day": [date(2024, 5, 31), None],
        "job_status": ["OK", None],
    }
)


def test_csv_has_plain_numbers_and_empty_cells_for_blanks(tmp_path: Path) -> None:
    write_results(FRAME, tmp_path / "results.csv")

    assert (tmp_path / "results.csv").read_bytes() == (
        b"job_no,total_load_va,drop,stops,day,job_status\n"
        b"J-1,24000,-1.25,0,2024-05-31,OK\n"
        b'"J, 2",,0.1,2,,\n'
    )


def test_json_has_a_record_a_row(tmp_path: Path) -> None:
    write_results(FRAME, tmp_path / "results.JSON")

    assert json.loads((tmp_path / "results.JSON").read_text(encoding="utf-8")) == [
        {"job_no": "J-1", "total_load_va": 24000, "drop": -1.25, "stops": 0, "day": "2024-05-31",
         "job_status": "OK"},
        {"job_no": "J, 2", "total_load_va": None, "drop": 0.1, "stops": 2, "day": None,
         "job_status": None},
    ]  # fmt: skip


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n", "＝"])
def test_text_that_would_run_gets_an_apostrophe(tmp_path: Path, start: str) -> None:
    """In names as well as in values; JSON keeps the text, since nothing runs it."""
    frame = pd.DataFrame({start + "name": [start + "1+1"]})
    write_results(frame, tmp_path / "r.csv")
    write_results(frame, tmp_path / "r.json")
    cells = (tmp_path / "r.csv").read_bytes().decode("utf-8-sig")

    assert cells.replace('"', "") == f"'{start}name\n'{start}1+1\n"
    assert json.loads((tmp_path / "r.json").read_text(encoding="utf-8")) == [{start + "name": start + "1+1"}]


@given(st.text())
def test_no_text_begins_like_a_formula_once_guarded(text: str) -> None:
    """And nothing but the apostrophe is added."""
    safe = guarded(text)

    assert not safe.startswith(("=", "+", "-", "@", "\t", "\r"))
    assert safe in (text, "'" + text)


def test_numbers_of_any_kind_are_plain(tmp_path: Path) -> None:
    """A column that mixes kinds holds them as they were made."""
    values = [np.float64(2.5), np.int64(3), np.float32(0.5), 7.0, pd.NA, pd.NaT, np.nan]
    write_results(pd.DataFrame({"a": pd.Series(values, dtype=object)}), tmp_path / "r.csv")

    assert (tmp_path / "r.csv").read_text() == 'a\n2.5\n3\n0.5\n7\n""\n""\n""\n'


def test_letters_beyond_ascii_come_with_a_byte_order_mark(tmp_path: Path) -> None:
    write_results(pd.DataFrame({"site": ["Élan"]}), tmp_path / "r.csv")

    assert (tmp_path / "r.csv").read_bytes() == "\ufeffsite\nÉlan\n".encode()


def test_a_file_that_is_there_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "r.csv").write_text("old and much longer than the new one\n" * 9)
    write_results(pd.DataFrame({"a": [1.0]}), tmp_path / "r.csv")

    assert (tmp_path / "r.csv").read_text() == "a\n1\n"
    assert [path.name for path in tmp_path.iterdir()] == ["r.csv"]


@pytest.mark.parametrize(
    ("frame", "name", "words"),
    [
        (pd.DataFrame({"a": [1.0]}), "r.xlsx", "r.xlsx: results are written as .csv or .json"),
        (pd.DataFrame({"a": [1.0, np.inf]}), "r.csv", "r.csv, a: the number is not finite"),
        (pd.DataFrame({"a": [[1]]}), "r.json", "r.json, a: list is neither number, text nor date"),
    ],
)
def test_a_refusal_leaves_what_was_there(
    tmp_path: Path, frame: pd.DataFrame, name: str, words: str
) -> None:
    (tmp_path / name).write_text("before")
    with pytest.raises(ValueError) as caught:
        write_results(frame, tmp_path / name)

    assert str(caught.value) == words
    assert {path.name: path.read_text() for path in tmp_path.iterdir()} == {name: "before"}


def test_a_failure_while_writing_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise OSError("disk full")

    (tmp_path / "r.csv").write_text("before")
    monkeypatch.setattr("os.fsync", fails)
    with pytest.raises(OSError, match="disk full"):
        write_results(FRAME, tmp_path / "r.csv")

    assert {path.name: path.read_text() for path in tmp_path.iterdir()} == {"r.csv": "before"}
