"""Long lists are refused as short ones are: by row and field, nothing written, nothing lost."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from workbook_builder.cli import BAD_INPUT, FINE, run
from workbook_builder.estimate.run import estimate
from workbook_builder.estimate.where import here
from workbook_builder.reader import sources
from workbook_builder.reader.csv_jobs import read_jobs
from workbook_builder.reader.faults import BadInput

from .files import csv_file, jobs_like, parquet_file

SIZE = 4


@pytest.fixture
def long_lists(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every CSV file counts as long."""
    monkeypatch.setattr(sources, "is_short", lambda path: False)


def _refused(jobs: Path, circuits: Path | None = None) -> list[str]:
    """The lines with which a list is refused; an old file stays, and nothing is left beside it."""
    folder = jobs.parent / "results"
    folder.mkdir()
    out = folder / "out.csv"
    out.write_text("old")
    with pytest.raises(BadInput) as caught:
        estimate(jobs, out, circuits=circuits, where=here(1), size=SIZE)
    assert out.read_text() == "old"
    assert [path.name for path in folder.iterdir()] == ["out.csv"]
    return str(caught.value).splitlines()


HEADER = "job_no,house_age,market,service_a,main_spaces,main_spaces_used,floor_area_ft2"
ROWS = [f"J{number},middle,medium,200,30,30,2000" for number in range(11)]


def _with(place: int, *lines: str) -> bytes:
    return "\n".join([HEADER, *ROWS[:place], *lines, *ROWS[place:], ""]).encode()


BAD: dict[str, bytes] = {
    "not a number": _with(6, "K,middle,medium,200,30,30,two"),
    "out of range": _with(6, "K,middle,medium,200,30,30,99"),
    "no such word": _with(6, "K,midle,medium,200,30,30,2000"),
    "check between entries": _with(6, "K,middle,medium,200,30,31,2000"),
    "no job number": _with(6, ",middle,medium,200,30,30,2000"),
    "required entry blank": _with(6, "K,,medium,200,30,30,2000"),
    "too few cells": _with(6, "K,middle"),
    "too many cells": _with(6, "K,middle,medium,200,30,30,2000,7"),
    "formula": _with(6, "=1+1,middle,medium,200,30,30,2000"),
    "line end in an entry": _with(6, '"K\nL",middle,medium,200,30,30,2000'),
    "the same number far apart": _with(11, "j0,middle,medium,200,30,30,2000"),
    "the same number side by side": _with(1, "J0,middle,medium,200,30,30,2000"),
    "several": _with(6, "K,midle,medium,x,30,31,2000", "J3,middle,medium,200,30,30,9"),
    "unknown column": _with(6).replace(b"floor_area_ft2", b"floor_aera_ft2"),
    "no required column": b"\n".join(line.rpartition(b",")[0] for line in _with(6).splitlines()),
    "a column twice": _with(6).replace(b"main_spaces_used", b"main_spaces"),
    "header alone": HEADER.encode(),
    "nothing": b"",
    "semicolons": _with(3).replace(b",", b";"),
    "not UTF-8": _with(6, "K,middle,medium,200,30,30,2000") + b"\xe9,middle\n",
    "a NUL byte": _with(6, "K\0,middle,medium,200,30,30,2000"),
    "UTF-16": _with(6).decode().encode("utf-16"),
    "a workbook": b"PK\x03\x04" + bytes(50),
}


@pytest.mark.parametrize("kind", BAD)
def test_a_long_list_is_refused_in_the_words_of_a_short_one(kind: str, tmp_path: Path, long_lists: None) -> None:
    jobs = tmp_path / "jobs.csv"
    jobs.write_bytes(BAD[kind])
    with pytest.raises(BadInput) as caught:
        read_jobs(jobs)

    assert _refused(jobs) == str(caught.value).splitlines()


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_lines_blank_rows_and_marks_are_read_as_in_a_short_list(ends: str, tmp_path: Path, long_lists: None) -> None:
    """Byte-order mark, quotation marks, blank lines, blanks round an entry, columns without a name."""
    lines = [HEADER + ",site,,", *(row + ',"a, ""b""",,' for row in ROWS)]
    lines[3:3] = ["", " , ,,,,,,,,", lines[3].replace("J2", " K2 ")]
    jobs = tmp_path / "jobs.csv"
    jobs.write_bytes(b"\xef\xbb\xbf" + (ends.join(lines)).encode())
    out = tmp_path / "out.csv"
    done = estimate(jobs, out, where=here(1), size=SIZE)

    found = pd.read_csv(out)
    assert done.jobs == 12
    assert (
        found["job_no"].tolist()
        == read_jobs(jobs)["job_no"].tolist()
        == ["J0", "J1", "K2", *(f"J{n}" for n in range(2, 11))]
    )
    assert set(found["site"]) == {'a, "b"'}


def test_more_faults_than_can_be_told(tmp_path: Path, long_lists: None) -> None:
    jobs = csv_file(tmp_path / "jobs.csv", jobs_like(1500).assign(market="smal"))
    lines = _refused(jobs)

    assert len(lines) == 21
    assert lines[0].startswith("jobs.csv, row 2, market: found 'smal'")
    assert lines[-1] == (
        "jobs.csv: found faults in 1,500 rows or more, must be none; mend these first; the first 20 are listed"
    )


PARQUET: dict[str, tuple[dict[str, object], str]] = {
    "text for numbers": ({"floor_area_ft2": "2000"}, "floor_area_ft2: found a column of type"),
    "truth for numbers": ({"main_spaces": True}, "main_spaces: found a column of type bool, must be numbers"),
    "numbers for dates": ({"visit_date": 45000.0}, "visit_date: found a column of type double, must be dates"),
    "unknown column": ({"sitte": "x"}, "found the column name 'sitte', must be a field name; did you mean site?"),
}


@pytest.mark.parametrize("kind", PARQUET)
def test_a_parquet_file_with_columns_that_do_not_fit(kind: str, tmp_path: Path) -> None:
    pytest.importorskip("pyarrow")
    columns, words = PARQUET[kind]
    (line,) = _refused(parquet_file(tmp_path / "jobs.parquet", jobs_like(9).assign(**columns)))

    assert line.startswith("jobs.parquet")
    assert words in line


CELLS: dict[str, tuple[dict[str, object], str]] = {
    "no such word": (
        {"market": "smal"},
        "row 7, market: found 'smal', must be one of small, medium, large; did you mean small?",
    ),
    "out of range": ({"floor_area_ft2": 99.0}, "row 7, floor_area_ft2: found 99, must be"),
    "not whole": ({"main_spaces_used": 12.5}, "row 7, main_spaces_used: found 12.5, must be"),
    "blank": ({"service_a": None}, "row 7, service_a: found nothing, must be"),
    "formula": ({"site": "=1+1"}, "row 7, site: found '=1+1', must be text that does not look like a formula"),
    "control character": ({"site": "a\x07b"}, "row 7, site: found 'a\\x07b', must be text on one line"),
    "early date": (
        {"visit_date": date(1066, 10, 14)},
        "row 7, visit_date: found 1066-10-14, must be a date from 1900",
    ),
    "the same number": ({"job_no": "j1"}, "row 7, job_no: found 'j1', as in row 2, must be"),
    "check between entries": ({"main_spaces_used": 31.0}, "row 7, main_spaces_used: found 31, must be"),
}


@pytest.mark.parametrize("kind", CELLS)
def test_a_parquet_file_with_a_cell_that_cannot_be_used(kind: str, tmp_path: Path) -> None:
    """Row 1 is the first one."""
    pytest.importorskip("pyarrow")
    change, words = CELLS[kind]
    lines = _refused(parquet_file(tmp_path / "jobs.parquet", jobs_like(9, {6: change})))

    assert any(words in line for line in lines), lines
    assert len(lines) == (2 if kind == "the same number" else 1)


def test_parquet_as_people_write_it(tmp_path: Path) -> None:
    """Whole and short numbers, dictionaries, dates, other capitals, null columns and blank rows."""
    pytest.importorskip("pyarrow")
    jobs = jobs_like(6)
    plain = estimate_frame(jobs, tmp_path / "plain")
    other = jobs.assign(
        main_spaces=jobs["main_spaces"].astype("int16"), floor_area_ft2=jobs["floor_area_ft2"].astype("float32"),
        market=pd.Categorical(["Medium"] * 6), visit_date=date(2026, 3, 1), site=None,
    )  # fmt: skip
    other = pd.concat([other[:3], pd.DataFrame([{}]), other[3:]])
    found = estimate_frame(other.astype({"main_spaces": "Int16"}), tmp_path / "other")

    pd.testing.assert_frame_equal(found, plain)


def test_job_numbers_that_are_whole_numbers(tmp_path: Path) -> None:
    pytest.importorskip("pyarrow")
    found = estimate_frame(jobs_like(6).assign(job_no=range(100, 106)), tmp_path / "jobs")

    assert found["job_no"].tolist() == [str(number) for number in range(100, 106)]


def estimate_frame(jobs: pd.DataFrame, stem: Path) -> pd.DataFrame:
    out = stem.with_name(f"{stem.name}-results.parquet")
    estimate(parquet_file(stem.with_suffix(".parquet"), jobs), out, where=here(1), size=SIZE)
    return pd.read_parquet(out)


def test_a_number_that_would_lose_digits_is_refused(tmp_path: Path) -> None:
    """Also where another process reads it."""
    pytest.importorskip("pyarrow")
    jobs = jobs_like(9).assign(annual_kwh=[2**60 + 1] * 9)
    path = parquet_file(tmp_path / "jobs.parquet", jobs)
    for workers in (1, 2):
        with pytest.raises(BadInput) as caught:
            estimate(path, tmp_path / "out.csv", where=here(workers), size=SIZE)

        assert str(caught.value).startswith("jobs.parquet, annual_kwh: found a number of more digits than can be kept")
    assert [one.name for one in tmp_path.iterdir()] == ["jobs.parquet"]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "found no readable file"),
        (b"PAR1" + bytes(90), "found no readable file"),
        (b"job_no\n", "found no readable"),
    ],
)
def test_what_is_no_parquet_file(content: bytes, words: str, tmp_path: Path) -> None:
    pytest.importorskip("pyarrow")
    (tmp_path / "jobs.parquet").write_bytes(content)
    (line,) = _refused(tmp_path / "jobs.parquet")

    assert line.startswith(f"jobs.parquet: {words}")


def test_a_damaged_parquet_file(tmp_path: Path) -> None:
    """What is read before the damage is not written."""
    pytest.importorskip("pyarrow")
    path = parquet_file(tmp_path / "jobs.parquet", jobs_like(300))
    content = bytearray(path.read_bytes())
    content[200:900] = bytes(700)
    path.write_bytes(content)
    (line,) = _refused(path)

    assert "found no readable file" in line


CIRCUIT = {"job_no": "J1", "panel": "main", "poles": 1.0, "breaker_a": 20.0, "label": "Bath", "action": "keep"}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"job_no": "J99"}, "row 3, job_no: found 'J99', must be the number of a job in the list of jobs"),
        ({"poles": 3.0}, "row 3, poles: found 3, must be"),
        ({"action": "move"}, "row 3, "),
        ({"label": "=x"}, "row 3, label: found '=x'"),
    ],
)
def test_faults_of_circuits_of_a_long_list(
    change: dict[str, object], words: str, tmp_path: Path, long_lists: None
) -> None:
    jobs = csv_file(tmp_path / "jobs.csv", jobs_like(9))
    rows = pd.DataFrame([CIRCUIT, CIRCUIT | change, CIRCUIT | {"job_no": "J8"}])
    (line,) = _refused(jobs, csv_file(tmp_path / "circuits.csv", rows))

    assert line.startswith(f"circuits.csv, {words}")


def test_without_the_extra_the_message_names_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    jobs = csv_file(tmp_path / "jobs.csv", jobs_like(3))
    for name in ("pyarrow", "pyarrow.parquet", "distributed"):
        monkeypatch.setitem(__import__("sys").modules, name, None)
    for arguments, missing in (
        ([str(jobs), "--out", str(tmp_path / "out.parquet")], "a Parquet file needs pyarrow"),
        ([str(tmp_path / "x.parquet"), "--out", str(tmp_path / "out.csv")], "a Parquet file needs pyarrow"),
        ([str(jobs), "--out", str(tmp_path / "out.csv"), "--cluster", "local"], "--cluster needs distributed"),
    ):
        assert run(["estimate", *arguments]) == BAD_INPUT
        expected = f"{missing}, which is not installed: pip install 'workbook_builder[scale]'\n"
        assert capsys.readouterr().err == expected
    assert [path.name for path in tmp_path.iterdir()] == ["jobs.csv"]
    assert run(["estimate", str(jobs), "--out", str(tmp_path / "out.csv")]) == FINE


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--out", "out.xlsx"], "must end in .csv, .json, .parquet"),
        (["--out", "out.csv", "--workers", "0"], "at least 1"),
    ],
)
def test_a_request_that_makes_no_sense(
    arguments: list[str], words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["estimate", str(tmp_path / "jobs.csv"), *arguments]) == BAD_INPUT
    assert words in capsys.readouterr().err
