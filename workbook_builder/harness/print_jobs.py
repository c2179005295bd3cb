"""Prints one page of a workbook for many jobs into one PDF, with LibreOffice."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from os import PathLike, fspath
from pathlib import Path

from ..reader.book_jobs import read_book
from ..reader.faults import one_line, shown
from ..reference.run import calculate_all
from ..sheets.estimate_page import ESTIMATE
from ..sheets.job_sheet_page import JOB_SHEET
from ..sheets.model import CIRCUIT_GRID, JOB_GRID, JOB_NUMBER, ROW_STATE
from ..sheets.quotation_page import QUOTATION
from ..writer.on_disk import replace_file
from .engines import EngineFailed, EngineMissing, libreoffice, seconds_for
from .engines.strip import strip_cached
from .page_copies import copy_pages
from .verify import books_of, by_place

PAGES_EACH = {JOB_SHEET: 2, ESTIMATE: 2, QUOTATION: 1}
"""The pages that can be printed, and on how many sheets of paper each."""

READY = "ready"
MOST_JOBS = 300
"""So many jobs go into one PDF; a page of each is held in memory."""
_FORMULAS_A_COPY = 1_000
_NUMBERS_SHOWN = 12
_PAGE_OF_PDF = re.compile(rb"/Type\s*/Page\b")


class CannotPrint(Exception):
    """A request to print that cannot be carried out, in one line."""


@dataclass(frozen=True)
class Printed:
    """What was printed: the file, the jobs in their order, pages; left_out: (job number, its state)."""

    path: Path
    page: str
    jobs: tuple[str, ...]
    pages: int
    left_out: tuple[tuple[str, str], ...]

    @property
    def pages_expected(self) -> int:
        """Pages that these jobs have, as the workbook is built."""
        return len(self.jobs) * PAGES_EACH[self.page]


def print_jobs(
    path: str | PathLike[str],
    out: str | PathLike[str],
    *,
    page: str = JOB_SHEET,
    numbers: Sequence[str] | None = None,
    progress: Callable[[str], object] | None = None,
) -> Printed:
    """Write the PDF `out`: `page` of the workbook for the jobs `numbers`, or for all that are ready.

    The workbook is only read. A job that is not ready is left out and told.
    Raises CannotPrint for a page or job that is not there and where no job is
    ready, BadInput for a file that is not safe to open or not one of ours,
    EngineMissing without LibreOffice, EngineFailed where it fails, OSError.
    """
    tell = progress or (lambda _: None)
    page = {name.casefold(): name for name in PAGES_EACH}.get(page.casefold(), page)
    if page not in PAGES_EACH:
        raise CannotPrint(f"--page: found {shown(page)}, must be one of: {', '.join(PAGES_EACH)}")
    if libreoffice.version() is None:
        raise EngineMissing(engine=libreoffice.NAME, remedy=libreoffice.REMEDY)
    file = fspath(path)
    tell("reading the entries")
    chosen, left_out = _chosen(file, _states(path), numbers)
    lines: list[str] = []
    with tempfile.TemporaryDirectory(prefix="print-") as name:
        folder = Path(name).resolve()
        stripped = strip_cached(path, folder / "stripped.xlsx")
        if page not in stripped.sheets:
            raise CannotPrint(f"{file}: it has no sheet {page!r}")
        copies = folder / "pages.xlsx"
        copy_pages(folder / "stripped.xlsx", copies, page=page, jobs=chosen, pages_each=PAGES_EACH[page])
        tell(f"libreoffice: calculating and printing {len(chosen)} jobs")
        pdf = libreoffice.convert(
            copies,
            suffix="pdf",
            export="pdf:calc_pdf_Export",
            file=file,
            folder=folder,
            timeout=seconds_for(stripped.formula_count + _FORMULAS_A_COPY * len(chosen)),
            stderr_lines=lines,
        ).read_bytes()
    pages = len(_PAGE_OF_PDF.findall(pdf))
    if not pages:
        raise EngineFailed(engine=libreoffice.NAME, file=file, reason="it printed no page", lines=lines)
    return Printed(replace_file(out, pdf), page, tuple(chosen), pages, tuple(left_out))


def _states(path: str | PathLike[str]) -> dict[str, str]:
    """The state of each row that is not blank, by its job number, as the reference finds it."""
    book = read_book(path)
    raw = by_place(book)
    jobs, _ = calculate_all(
        raw[JOB_GRID], raw[CIRCUIT_GRID], overrides=book.overrides, books=books_of(book)
    )
    used = raw[JOB_GRID].notna().any(axis=1).to_numpy()
    states: dict[str, str] = {}
    for number, state in zip(jobs[JOB_NUMBER][used], jobs[ROW_STATE][used], strict=True):
        states.setdefault(str(number), str(state))
    return states


def _chosen(
    file: str, states: dict[str, str], numbers: Sequence[str] | None
) -> tuple[list[str], list[tuple[str, str]]]:
    """Jobs to print, and the ones left out with their states. Raises CannotPrint."""
    wanted = list(states)
    if numbers is not None:
        known = {number.casefold(): number for number in states}
        unknown = [one for one in numbers if one.strip().casefold() not in known]
        if unknown:
            there = [number for number in states if number]
            listed = ", ".join(there[:_NUMBERS_SHOWN]) + (", ..." if len(there) > _NUMBERS_SHOWN else "")
            raise CannotPrint(
                one_line(f"{file}, Jobs, job_no: found no {', '.join(map(shown, unknown))}; "
                         f"must be one of its job numbers: {listed or 'it has none'}")
            )  # fmt: skip
        wanted = list(dict.fromkeys(known[one.strip().casefold()] for one in numbers))
    ready = [number for number in wanted if states[number] == READY]
    left_out = [(number, states[number]) for number in wanted if states[number] != READY]
    if not ready:
        said = "; ".join(f"{number or 'no number'}: {state}" for number, state in left_out[:3])
        raise CannotPrint(one_line(f"{file}: no job to print is ready; {said or 'there are no jobs'}"))
    if len(ready) > MOST_JOBS:
        many = f"{file}: found {len(ready)} jobs to print, must be at most {MOST_JOBS}"
        raise CannotPrint(f"{many}; name some with --jobs")
    return ready, left_out
