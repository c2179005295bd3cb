"""One forking command line for all tests of hostile files."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from workbook_builder.reader.faults import one_line

from .runner import MEGABYTES, SECONDS, Runner

collect_ignore_glob = ["test_*.py"] if sys.platform == "win32" else []
"""Limits of memory and time, pipes and permissions are looked at as other systems have them."""


@pytest.fixture(scope="session")
def runner() -> Iterator[Runner]:
    with Runner() as one:
        yield one


@pytest.fixture
def refused(runner: Runner) -> Callable[..., str]:
    """The one line with which verify refuses a file, soon and in little memory."""

    def line(path: Path, *arguments: str) -> str:
        ended = runner(*(arguments or ("verify",)), path)
        assert ended.code == 2, ended
        assert ended.out == ""
        assert ended.err.count("\n") == 1, ended.err
        assert len(ended.err) < 1000
        assert ended.err.startswith((one_line(path.name), one_line(str(path)))), ended.err
        assert ": found " in ended.err
        assert ended.seconds < SECONDS, ended
        assert ended.megabytes < MEGABYTES, ended
        return ended.err.rstrip("\n")

    return line
