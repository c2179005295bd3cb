"""Two thousand broken workbooks: each is refused in one line, or read to a report; nothing else happens."""

from __future__ import annotations

import faulthandler
import signal
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from workbook_builder.harness.engines import NotAWorkbook
from workbook_builder.harness.engines.strip import strip_cached
from workbook_builder.harness.report import as_text
from workbook_builder.harness.verify import Report, Results, look, report_on
from workbook_builder.reader.faults import BadInput

from ..parsed_once import parsed_once
from .mutants import mutant, whole

SHORTENED = ("Load tables", "Wire tables", "Raceway tables", "Lists")
"""Sheets of which the broken book has the first rows only, so that their values are not as built."""
SECONDS = 10
"""After so many one file has hung."""
A_TIME = 50
COUNTS = {"bytes": 250, "flipped": 450, "cut": 350, "parts": 350, "xml": 600}
BATCHES = [(kind, first) for kind, count in COUNTS.items() for first in range(0, count, A_TIME)]


class Hung(BaseException):
    """A file took too long."""


@contextmanager
def watched() -> Iterator[None]:
    """Ends what takes too long; the whole process where even that is not heard."""

    def ring(*_: object) -> None:
        raise Hung

    before = signal.signal(signal.SIGALRM, ring)
    signal.setitimer(signal.ITIMER_REAL, SECONDS)
    faulthandler.dump_traceback_later(6 * SECONDS, exit=True)
    try:
        yield
    finally:
        faulthandler.cancel_dump_traceback_later()
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def read(path: Path, target: Path | None) -> Report:
    """What verify does with a file before an engine gets it; without a target the last steps are left out."""
    looked = look(path)
    report = report_on(path, looked)
    if target:
        if looked.book:
            Results(looked)
        strip_cached(path, target)
    return report


def test_the_book_that_is_broken_is_sound(tmp_path: Path) -> None:
    (tmp_path / "book.xlsx").write_bytes(whole())
    report = read(tmp_path / "book.xlsx", tmp_path / "stripped.xlsx")

    assert (report.jobs, report.circuits, report.input_faults) == (1, 1, [])
    assert {one.kind for one in report.formula_faults if one.sheet not in SHORTENED} == set()


@pytest.fixture(scope="module", autouse=True)
def _what_was_built(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Worked out before any file is timed; sheets that are not broken are parsed once."""
    path = tmp_path_factory.mktemp("whole") / "book.xlsx"
    path.write_bytes(whole())
    with parsed_once():
        look(path)
        look(path)
        yield


@pytest.mark.parametrize(("kind", "first"), BATCHES)
def test_a_broken_workbook_is_refused_or_reported(tmp_path: Path, kind: str, first: int) -> None:
    ends: Counter[str] = Counter()
    for number in range(first, first + A_TIME):
        path = tmp_path / f"{number}.xlsx"
        path.write_bytes(mutant(kind, number))
        try:
            with watched():
                target = tmp_path / "stripped.xlsx" if number % 5 == 0 else None
                text = as_text(read(path, target), shown=20)
        except (BadInput, NotAWorkbook) as refusal:
            lines = str(refusal).split("\n")
            assert all(line.isprintable() and str(number) in line for line in lines), (number, lines)
            assert len(lines) == 1 or all("found no sheet " in line or ", " in line.partition(":")[0] for line in lines)
            ends["refused"] += 1
        except BaseException as fault:
            raise AssertionError(f"{kind} {number}: {fault!r}") from fault
        else:
            assert text.encode()
            ends["reported"] += 1
        path.unlink()

    assert ends["refused"] + ends["reported"] == A_TIME
    if kind == "bytes":
        assert ends["reported"] == 0
