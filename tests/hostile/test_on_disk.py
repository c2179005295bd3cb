"""Whatever happens while a file is written, there is the old one or the whole new one."""

from __future__ import annotations

import errno
import json
import os
import random
import resource
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import pandas as pd
import pytest

from workbook_builder import cli
from workbook_builder.reader.book_jobs import read_book
from workbook_builder.reader.write_csv import write_results
from workbook_builder.writer.on_disk import UNFINISHED, replace_file

from ..reader.files import jobs_file
from .books import small_book
from .runner import ROOT, Runner
from .zips import write_zip

SIZES = (3_000_000, 1_000_000)

WRITER = """
import sys
from workbook_builder.writer.on_disk import replace_file
print("ready", flush=True)
while True:
    for letter, size in ((b"a", {0}), (b"b", {1})):
        replace_file(sys.argv[1], letter * size)
""".format(*SIZES)


def started(*arguments: str | Path) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, *map(str, arguments)], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, cwd=ROOT
    )


def left_over(folder: Path, name: str) -> list[Path]:
    """What a killed program left; its name says of which file it is and that it is not finished."""
    others = [path for path in folder.iterdir() if path.name != name]
    assert all(path.name.startswith(name + UNFINISHED) for path in others)
    return others


@pytest.mark.parametrize("seed", range(40))
def test_killed_at_any_moment(tmp_path: Path, seed: int) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(b"b" * SIZES[1])
    process = started("-c", WRITER, path)
    assert process.stdout.readline() == "ready\n"
    time.sleep(random.Random(seed).uniform(0, 0.05))
    process.kill()
    process.wait()
    process.stdout.close()
    found = path.read_bytes()

    assert found in (b"a" * SIZES[0], b"b" * SIZES[1])
    assert len(left_over(tmp_path, "book.xlsx")) <= 1


@pytest.mark.parametrize("seed", range(6))
def test_the_whole_program_killed_at_any_moment(tmp_path: Path, seed: int) -> None:
    jobs = jobs_file(tmp_path / "jobs.csv", *[{}] * 20)
    (tmp_path / "out").mkdir()
    out = tmp_path / "out" / "results.json"
    out.write_text("old")
    process = started("-m", "workbook_builder", "estimate", jobs, "--out", out)
    time.sleep(random.Random(seed).uniform(0.3, 2.0))
    process.kill()
    process.wait()
    process.stdout.close()

    assert out.read_text() == "old" or len(json.loads(out.read_text())) == 20
    assert len(left_over(out.parent, "results.json")) <= 1


@pytest.mark.parametrize("seed", range(4))
def test_carrying_killed_at_any_moment(tmp_path: Path, seed: int) -> None:
    """The old workbook is as it was, and the new one is the one before or whole."""
    old, out = tmp_path / "old.xlsx", tmp_path / "out" / "new.xlsx"
    write_zip(old, small_book())
    out.parent.mkdir()
    out.write_bytes(b"before")
    was = old.read_bytes()
    process = started("-m", "workbook_builder", "carry", old, "--out", out)
    time.sleep(random.Random(seed).uniform(1.0, 8.0))
    process.kill()
    process.wait()
    process.stdout.close()

    assert old.read_bytes() == was
    assert out.read_bytes() == b"before" or read_book(out).jobs["job_no"].tolist() == ["J-1"]
    assert len(left_over(out.parent, "new.xlsx")) <= 1


@pytest.mark.parametrize("name", ["replace", "fsync", "chmod"])
@pytest.mark.parametrize("fault", [OSError(errno.ENOSPC, "No space left on device"), KeyboardInterrupt(), MemoryError()])
def test_a_step_that_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, fault: BaseException
) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(b"old")

    def fail(*_: object) -> None:
        raise fault

    monkeypatch.setattr(os, name, fail)
    with pytest.raises(type(fault)) as caught:
        replace_file(path, b"new")

    if isinstance(fault, OSError):
        assert (caught.value.errno, caught.value.filename) == (errno.ENOSPC, str(path))
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def limited() -> None:
    """No file may grow beyond 20,000 bytes: what is written beyond fails as on a full disk."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))


@pytest.mark.parametrize("command", ["estimate", "build", "verify"])
def test_a_disk_that_is_full(tmp_path: Path, command: str) -> None:
    """The message names the file that was asked for, and nothing is left beside it."""
    jobs = jobs_file(tmp_path / "jobs.csv", *[{}] * 30)
    (tmp_path / "out").mkdir()
    out = tmp_path / "out" / {"estimate": "r.csv", "build": "b.xlsx", "verify": "r.json"}[command]
    out.write_text("old")
    arguments: list[str | Path] = {
        "estimate": ["estimate", jobs, "--columns", "all", "--out", out],
        "build": ["build", "--jobs", jobs, "--out", out],
        "verify": ["verify", jobs, "--json", out],
    }[command]
    if command == "verify":
        code = (
            "import sys\nfrom workbook_builder.harness import verify\nfrom workbook_builder.cli import run\n"
            "report = verify.Report('b', 1, 1, 0, 0, 0, ['x' * 30_000])\n"
            "verify.verify = lambda *_, **__: report\nsys.exit(run(sys.argv[1:]))"
        )
        start = ["-c", code]
    else:
        start = ["-m", "workbook_builder"]
    ended = subprocess.run(
        [sys.executable, *start, *map(str, arguments)], capture_output=True, text=True, cwd=ROOT, preexec_fn=limited
    )

    assert ended.returncode == cli.BAD_INPUT, ended
    assert ended.stderr == f"{out}: File too large\n"
    assert out.read_text() == "old"
    assert list(out.parent.iterdir()) == [out]


def test_the_report_of_verify_is_whole(tmp_path: Path, runner: Runner) -> None:
    book = write_zip(tmp_path / "book.xlsx", small_book())
    report = tmp_path / "report.json"
    report.write_text("old")
    report.chmod(0o640)

    assert runner("verify", book, "--engine", "ironcalc", "--json", report).code == cli.FINDINGS
    assert json.loads(report.read_text())["clean"] is False
    assert stat.S_IMODE(report.stat().st_mode) == 0o640
    assert sorted(path.name for path in tmp_path.iterdir()) == ["book.xlsx", "report.json"]


def test_no_report_of_a_refused_workbook(tmp_path: Path, runner: Runner) -> None:
    (tmp_path / "book.xlsx").write_bytes(b"PK")
    report = tmp_path / "report.json"
    report.write_text("old")

    assert runner("verify", tmp_path / "book.xlsx", "--json", report).code == cli.BAD_INPUT
    assert report.read_text() == "old"


@pytest.mark.parametrize("mode", [0o600, 0o644, 0o660, 0o444])
def test_permissions_stay(tmp_path: Path, mode: int) -> None:
    path = tmp_path / "results.csv"
    path.write_text("old")
    path.chmod(mode)
    write_results(pd.DataFrame({"a": [1]}), path)

    assert path.read_text() == "a\n1\n"
    assert stat.S_IMODE(path.stat().st_mode) == mode


def test_a_new_file_has_the_usual_permissions(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        replace_file(tmp_path / "book.xlsx", b"new")
    finally:
        os.umask(before)

    assert stat.S_IMODE((tmp_path / "book.xlsx").stat().st_mode) == 0o640


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "real" / "book.xlsx").write_bytes(b"old")
    (tmp_path / "link.xlsx").symlink_to("real/book.xlsx")
    replace_file(tmp_path / "link.xlsx", b"new")

    assert (tmp_path / "link.xlsx").is_symlink()
    assert (tmp_path / "real" / "book.xlsx").read_bytes() == b"new"


def test_what_is_no_file_is_written_to_and_not_replaced(tmp_path: Path) -> None:
    """A pipe stays a pipe, and so would the place for what nobody wants."""
    pipe = tmp_path / "report.json"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    try:
        replace_file(pipe, b"new")
        assert os.read(reader, 10) == b"new"
    finally:
        os.close(reader)

    assert stat.S_ISFIFO(pipe.stat().st_mode)


@pytest.mark.parametrize("name", ["x" * 250, "\u00e9" * 120])
def test_a_name_as_long_as_can_be(tmp_path: Path, name: str) -> None:
    replace_file(tmp_path / name, b"new")

    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_a_folder_is_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "book.xlsx").mkdir()
    with pytest.raises(OSError) as caught:
        replace_file(tmp_path / "book.xlsx", b"new")

    assert caught.value.filename == str(tmp_path / "book.xlsx")
    assert [path.name for path in tmp_path.iterdir()] == ["book.xlsx"]
