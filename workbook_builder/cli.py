"""The command line. It parses, calls and prints; it holds no rule.

Exit codes: 0 fine, 1 findings, 2 bad input.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from . import __version__
from .cli_books import add_commands, engines_of
from .exits import BAD_INPUT, FINDINGS, FINE, SHOWN, Usage

if TYPE_CHECKING:
    import pandas as pd

SPARE_ROWS, FEWEST_ROWS, MOST_ROWS = 50, 100, 10000
SPARE_CIRCUITS, FEWEST_CIRCUITS, MOST_CIRCUITS = 100, 200, 5000
"""A row of circuits looks at all the others, so time grows with the square of them."""


def run(arguments: Sequence[str] | None = None) -> int:
    """Parse the arguments, do the work, print, and return the exit code."""
    options = _parser().parse_args(arguments)
    from .code_tables.books import BookError
    from .harness.engines import EngineFailed, EngineMissing, NotAWorkbook
    from .harness.print_jobs import CannotPrint
    from .reader.arrow import ExtraMissing
    from .reader.faults import BadInput

    try:
        return options.work(options)
    except (BadInput, BookError, CannotPrint, NotAWorkbook, EngineMissing, ExtraMissing, Usage) as fault:
        print(fault, file=sys.stderr)
        return BAD_INPUT
    except EngineFailed as fault:
        print(fault, file=sys.stderr)
        return FINDINGS
    except OSError as fault:
        print(f"{fault.filename or 'file'}: {fault.strerror or fault}", file=sys.stderr)
        return BAD_INPUT
    except BrokenPipeError:
        return FINE


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="workbook_builder",
        description="Write and check the workbook in which adding capacity to a full panel is decided.",
        epilog="An estimating aid, not a design approval. Local amendments and the inspector decide.",
    )
    parser.add_argument("--version", action="version", version=f"workbook_builder {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    build = commands.add_parser("build", help="write a workbook from a list of jobs")
    build.add_argument("--jobs", type=Path, help="jobs.csv; without it the sample jobs are taken")
    build.add_argument("--circuits", type=Path, help="circuits.csv; without --jobs the sample circuits are taken")
    build.add_argument("--rows", type=int, help="rows of the grid of jobs (default: jobs plus 50, at least 100)")
    build.add_argument(
        "--circuit-rows", type=int, help="rows of the list of circuits (default: circuits plus 100, at least 200)"
    )
    _add_prices(build)
    build.add_argument("--out", type=Path, required=True, help="workbook to write, .xlsx")
    build.set_defaults(work=_build)

    verify = commands.add_parser("verify", help="recalculate a workbook and compare it with the reference")
    verify.add_argument("book", type=Path)
    verify.add_argument(
        "--engine",
        default="any",
        help="formulas, ironcalc, libreoffice, gnumeric, all that are installed, or any (the fastest; default)",
    )
    verify.add_argument("--json", type=Path, help="write the report to this file too")
    verify.set_defaults(work=_verify)

    printed = commands.add_parser("print", help="one page of many jobs into one PDF, with LibreOffice")
    printed.add_argument("book", type=Path)
    printed.add_argument(
        "--jobs", nargs="+", metavar="JOB_NO", help="job numbers, in the order to print; default: all"
    )
    printed.add_argument(
        "--page", default="Job sheet", help="'Job sheet' (two pages a job; default), Estimate or Quotation"
    )
    printed.add_argument("--out", type=Path, required=True, help="file to write, .pdf")
    printed.set_defaults(work=_print)

    estimate = commands.add_parser("estimate", help="results of a list of jobs, without a workbook")
    estimate.add_argument("jobs", type=Path, help="list of jobs, .csv or .parquet, of any length")
    estimate.add_argument("--circuits", type=Path, help="circuits of these jobs, .csv or .parquet")
    _add_prices(estimate)
    estimate.add_argument("--out", type=Path, required=True, help="results to write, .csv, .json or .parquet")
    estimate.add_argument(
        "--columns",
        choices=("answers", "all"),
        default="answers",
        help="answers: the job and its results (default); all: every calculated column and every entry as used",
    )
    estimate.add_argument("--workers", type=int, help="processes that calculate (default: one a core, at most 8)")
    estimate.add_argument(
        "--cluster", metavar="ADDRESS", help="Dask workers to calculate on: tcp://HOST:PORT of a scheduler, or local"
    )
    estimate.set_defaults(work=_estimate)
    add_commands(commands)
    return parser


def _add_prices(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--prices",
        type=Path,
        metavar="DIR",
        help="folder with your own price_book.csv, labour_units.csv, factors.csv, market.csv and settings.csv; "
        "what it lacks, or all without it, is taken from templates/prices",
    )


def _build(options: argparse.Namespace) -> int:
    from .code_tables.books import load_books
    from .code_tables.load import load
    from .harness.book_values import book_values
    from .progress import Progress
    from .reference.run import calculate_all
    from .sheets.compile import compile_book
    from .sheets.layout import Layout
    from .sheets.order import SHEETS
    from .writer.workbook import write_workbook

    if options.out.suffix.lower() != ".xlsx":
        raise Usage(f"{options.out}: the workbook's name must end in .xlsx")
    books = load_books(options.prices)
    with Progress() as progress:
        jobs, circuits = _lists(options.jobs, options.circuits, progress)
        rows = _rows("rows", options.rows, len(jobs), "jobs", (SPARE_ROWS, FEWEST_ROWS, MOST_ROWS))
        circuit_rows = _rows(
            "circuit-rows", options.circuit_rows, len(circuits), "circuits",
            (SPARE_CIRCUITS, FEWEST_CIRCUITS, MOST_CIRCUITS),
        )  # fmt: skip
        progress("calculating the reference")
        results, circuit_results = calculate_all(jobs, circuits, books=books)
        layout = Layout(load().with_books(books), rows=rows, circuit_rows=circuit_rows)
        progress("compiling the formulas")
        sheets = compile_book(SHEETS, layout)
        summary = write_workbook(
            options.out,
            layout=layout,
            sheets=sheets,
            jobs=jobs,
            results=results,
            circuits=circuits,
            circuit_results=circuit_results,
            book_results=book_values(books, sheets, layout),
            built_on=date.today().isoformat(),
            progress=progress,
        )
    print(f"{options.out}: {summary}")
    return FINE


def _rows(option: str, wanted: int | None, given: int, noun: str, bounds: tuple[int, int, int]) -> int:
    """Rows of a grid: as many as asked for, or some spare ones and no less than a least number."""
    spare, fewest, most = bounds
    rows = max(given + spare, fewest) if wanted is None else wanted
    if not max(given, 1) <= rows <= most:
        raise Usage(f"--{option} {rows}: {given} {noun} need at least as many rows, and at most {most}")
    return rows


def _lists(
    jobs: Path | None, circuits: Path | None, progress: Callable[[str], object]
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Jobs and circuits of two files; the samples without the first, no circuits with it alone."""
    import pandas as pd

    from .code_tables.load import load
    from .data import shipped
    from .reader.csv_jobs import read_circuits, read_jobs

    if jobs is None and circuits is None:
        circuits = shipped("samples", "circuits.csv")
    progress("reading the jobs")
    listed = read_jobs(jobs or shipped("samples", "jobs.csv"))
    if circuits is None:
        return listed, pd.DataFrame(columns=[field.name for field in load().circuit_fields], dtype=object)
    progress("reading the circuits")
    return listed, read_circuits(circuits, jobs=listed)


def _verify(options: argparse.Namespace) -> int:
    from .harness.report import as_text
    from .harness.verify import verify
    from .progress import Progress
    from .writer.on_disk import replace_file

    engines, skipped = engines_of(options.engine)
    with Progress() as progress:
        report = verify(options.book, engines=engines, skipped=skipped, progress=progress)
    print(as_text(report, shown=SHOWN))
    if options.json:
        text = json.dumps(asdict(report) | {"clean": report.clean}, indent=1, default=str)
        replace_file(options.json, (text + "\n").encode())
    return FINE if report.clean else FINDINGS


def _print(options: argparse.Namespace) -> int:
    from .harness.print_jobs import print_jobs
    from .progress import Progress
    from .reader.faults import one_line

    if options.out.suffix.lower() != ".pdf":
        raise Usage(f"{options.out}: the name of the file to write must end in .pdf")
    with Progress() as progress:
        done = print_jobs(
            options.book, options.out, page=options.page, numbers=options.jobs, progress=progress
        )
    for number, state in done.left_out:
        print(one_line(f"{options.book}, {number or 'a row without a job number'}: not printed, {state}"))
    if done.pages != done.pages_expected:
        found = f"CHECK: {done.pages} pages, must be {done.pages_expected}"
        print(f"{options.out}: {found}; look at the column widths on {done.page}")
    print(f"{options.out}: {done.page} of {len(done.jobs)} jobs, {done.pages} pages")
    return FINE if not done.left_out and done.pages == done.pages_expected else FINDINGS


def _estimate(options: argparse.Namespace) -> int:
    from .code_tables.books import load_books
    from .estimate.cluster import on_cluster
    from .estimate.run import estimate
    from .estimate.where import Lost, here, workers_of
    from .progress import Progress
    from .reader.result_files import FORMS

    if options.out.suffix.lower() not in FORMS:
        raise Usage(f"{options.out}: the name of the results must end in {', '.join(FORMS)}")
    if options.workers is not None and options.workers < 1:
        raise Usage(f"--workers {options.workers}: at least 1")
    workers = workers_of(options.workers)
    try:
        with Progress() as progress:
            done = estimate(
                options.jobs,
                options.out,
                circuits=options.circuits,
                books=load_books(options.prices),
                columns=options.columns,
                where=on_cluster(options.cluster, workers) if options.cluster else here(workers),
                progress=progress,
            )
    except Lost as fault:
        print(fault, file=sys.stderr)
        return FINDINGS
    listed = f" with {done.circuits} circuits" if done.circuits else ""
    print(f"{options.out}: {done.jobs} jobs{listed}, {done.columns} columns")
    return FINE
