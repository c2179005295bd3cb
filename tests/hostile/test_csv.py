"""Lists that are no lists: the same standard as for workbooks."""

from __future__ import annotations

import gzip
import random
from collections.abc import Callable
from pathlib import Path

import pytest

from ..reader.files import CIRCUIT, FIELDS, GOOD, csv_file, jobs_file
from .runner import MEGABYTES, SECONDS, Runner

HEADER, ROW = ",".join(GOOD), ",".join(GOOD.values())
CHANCE = random.Random(7)

KINDS: dict[str, tuple[Callable[[], bytes], str]] = {
    "empty": (lambda: b"", "jobs.csv: found an empty file"),
    "a mark and nothing": (lambda: b"\xef\xbb\xbf", "jobs.csv: found no text"),
    "zeros": (lambda: bytes(5_000_000), "jobs.csv, row 1: found a NUL byte"),
    "a zero at the end": (lambda: f"{HEADER}\n{ROW}\n".encode() * 20_000 + b"\0", "jobs.csv, row 40001: found a NUL"),
    "random": (lambda: b"a" + CHANCE.randbytes(3_000_000), "jobs.csv, row "),
    "random without zeros": (lambda: b"a" + CHANCE.randbytes(3_000_000).replace(b"\0", b""), "jobs.csv, row "),
    "gzip": (lambda: gzip.compress(HEADER.encode(), mtime=0), "jobs.csv, row 1: found "),
    "workbook": (lambda: b"PK\3\4" + bytes(99), "jobs.csv: found a workbook or archive"),
    "old workbook": (lambda: b"\xd0\xcf\x11\xe0" + bytes(99), "jobs.csv: found a workbook or archive"),
    "UTF-16": (lambda: f"{HEADER}\n{ROW}\n".encode("utf-16"), "jobs.csv: found text in UTF-16"),
    "UTF-16 without a mark": (lambda: f"{HEADER}\n{ROW}\n".encode("utf-16-le"), "jobs.csv, row 1: found a NUL byte"),
    "UTF-32": (lambda: f"{HEADER}\n{ROW}\n".encode("utf-32"), "jobs.csv: found text in UTF-16"),
    "UTF-7": (lambda: b"+AG8-,+AGI-\n", "jobs.csv, row 1: found the column name '+AG8-'"),
    "a page of the west": (lambda: f"{HEADER}\n{ROW}\n\xc9".encode("cp1252"), "jobs.csv, row 3: found the byte 0xC9"),
    "a page of the east": (lambda: f"{HEADER}\n{ROW},\u65e5\u672c\n".encode("shift_jis"), "jobs.csv, row 2: found the byte"),
    "large computers": (lambda: f"{HEADER}\n{ROW}\n".encode("cp037"), "jobs.csv, row "),
    "half a letter": (lambda: f"{HEADER}\n{ROW}\n\u20ac".encode()[:-1], "jobs.csv, row 3: found the byte 0xE2"),
    "half a pair": (lambda: f"{HEADER}\n".encode() + b"\xed\xa0\x80", "jobs.csv, row 2: found the byte 0xED"),
    "ten million empty lines": (lambda: b"\n" * 10_000_000, "jobs.csv, row 30001: found over 30,000 empty"),
    "a header and empty lines": (lambda: f"{HEADER}\n".encode() + b"\r\n" * 4_000_000, "jobs.csv, row 30002: found over 30,000 empty"),
    "lines of the old kind": (lambda: b"\r" * 9_000_000, "jobs.csv, row 30001: found over 30,000 empty"),
    "lines of blanks": (lambda: b" \n" * 4_900_000, "jobs.csv, row 30001: found over 30,000 empty"),
    "too large": (lambda: b"x" * 30_000_000, "jobs.csv, row 1: found a line of over 200,000"),
    "one entry": (lambda: f"{HEADER}\n\"".encode() + b"x" * 9_000_000, "jobs.csv, row 2: found a line of 9,000,001 char"),
    "one entry in many lines": (
        lambda: f"{HEADER}\n\"".encode() + b"xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx\n" * 20_000,
        "jobs.csv, row 2: found an entry of over 131,072 characters",
    ),
    "one line of commas": (lambda: b"," * 9_000_000, "jobs.csv, row 1: found a line of 9,000,000 characters"),
    "one line of names": (lambda: b"a," * 4_900_000, "jobs.csv, row 1: found a line of 9,800,000 characters"),
    "many columns": (lambda: b"a," * 90_000 + b"b", "jobs.csv, row 1: found 90,001 columns, must be a table of at most"),
    "many columns in a row": (
        lambda: f"{HEADER}\n".encode() + b"a," * 90_000 + b"b\n", "jobs.csv, row 2: found 90001 cells, must be 7 cells"
    ),
    "quotation marks": (lambda: f"{HEADER}\n".encode() + b'"' * 100_001, "jobs.csv, row 2: found a quotation mark out of"),
    "a line across": (lambda: f"{HEADER}\n{ROW},\u2028\n".encode(), "jobs.csv, row 2: found 8 cells"),
}  # fmt: skip


def run_on(runner: Runner, path: Path, *more: str | Path) -> list[str]:
    """The lines with which estimate refuses a list; nothing is written."""
    out = path.with_name("out.csv")
    ended = runner("estimate", path, *more, "--out", out)
    assert ended.code == 2, ended
    assert ended.seconds < SECONDS, ended
    assert ended.megabytes < MEGABYTES, ended
    assert not out.exists()
    lines = ended.err.splitlines()
    assert all(": found " in line and len(line) < 1000 for line in lines), ended.err[:2000]
    return lines


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_no_list(tmp_path: Path, runner: Runner, kind: str) -> None:
    made, words = KINDS[kind]
    path = tmp_path / "jobs.csv"
    path.write_bytes(made())
    lines = run_on(runner, path)

    assert lines[0].startswith(words)
    assert len(lines) == 1 or kind == "UTF-7"


@pytest.mark.parametrize("kind", ["zeros", "ten million empty lines", "one line of commas", "random"])
def test_what_is_no_list_of_circuits(tmp_path: Path, runner: Runner, kind: str) -> None:
    jobs = jobs_file(tmp_path / "good.csv", {})
    (tmp_path / "jobs.csv").write_bytes(KINDS[kind][0]())
    (line,) = run_on(runner, jobs, "--circuits", tmp_path / "jobs.csv")

    assert line.startswith(KINDS[kind][1])


FULL = {
    "every entry wrong": lambda: [dict.fromkeys(FIELDS, "zz zz") | {"job_no": f"J-{n}"} for n in range(5000)],
    "every choice wrong": lambda: [GOOD | {"job_no": f"J-{n}", "market": "smal"} for n in range(20_000)],
    "every number the same": lambda: [GOOD | {"job_no": "J"} for _ in range(20_000)],
    "every row too short": lambda: [{"job_no": f"J-{n}"} for n in range(29_000)],
    "every entry full": lambda: [dict.fromkeys(FIELDS, f"{n % 10_000:05}") for n in range(10_000)],
}  # fmt: skip


@pytest.mark.parametrize("kind", FULL)
def test_faults_without_end_are_told_up_to_a_number(tmp_path: Path, runner: Runner, kind: str) -> None:
    rows = FULL[kind]()
    path = csv_file(tmp_path / "jobs.csv", rows)
    lines = run_on(runner, path)

    assert len(lines) <= 1100
    assert any("found over 1,000 faults, must be none" in line for line in lines) or "too" in kind


def test_faults_of_circuits_are_told_up_to_a_number(tmp_path: Path, runner: Runner) -> None:
    jobs = jobs_file(tmp_path / "good.csv", {})
    rows = [CIRCUIT | {"job_no": f"x{n}", "panel": "mian", "poles": "9"} for n in range(20_000)]
    lines = run_on(runner, jobs, "--circuits", csv_file(tmp_path / "jobs.csv", rows))

    assert 1000 < len(lines) < 1100


def test_a_folder_and_a_missing_list(tmp_path: Path, runner: Runner) -> None:
    assert "found a folder, must be a CSV file" in run_on(runner, tmp_path)[0]
    assert "found no such file, must be a CSV file" in run_on(runner, tmp_path / "jobs.csv")[0]
