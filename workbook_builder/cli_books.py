"""The commands that read a workbook and write or print something else: results, explain, carry."""

from __future__ import annotations

import argparse
import shutil
from pathlib import Path

from .exits import FINDINGS, FINE, SHOWN, Usage

ENGINE_WORDS = "formulas, ironcalc, libreoffice, gnumeric, or any (the fastest that is installed; default)"


def add_commands(commands: argparse._SubParsersAction) -> None:
    """Adds these commands to the command line."""
    results = commands.add_parser("results", help="recalculate a workbook and write every result to a file")
    results.add_argument("book", type=Path)
    results.add_argument("--out", type=Path, required=True, help="results to write, .csv or .json")
    results.add_argument("--engine", default="any", help=ENGINE_WORDS)
    results.set_defaults(work=_results)

    explain = commands.add_parser("explain", help="why a job has its results: rules, sections, numbers, formulas")
    explain.add_argument("book", type=Path)
    explain.add_argument("job", metavar="JOB_NO")
    explain.add_argument("field", metavar="FIELD", nargs="?", help="one result; without it the main answers")
    explain.set_defaults(work=_explain)

    carry = commands.add_parser("carry", help="carry the entries of an old workbook into a new one")
    carry.add_argument("book", type=Path, metavar="old.xlsx")
    carry.add_argument("--out", type=Path, required=True, help="new workbook to write, .xlsx")
    carry.add_argument("--rows", type=int, help="rows of the grid of jobs (default: as in the old workbook)")
    carry.add_argument("--circuit-rows", type=int, help="rows of the list of circuits (default: likewise)")
    carry.add_argument("--json", type=Path, help="write what became of every value to this file")
    carry.set_defaults(work=_carry)


def engines_of(wanted: str) -> tuple[list[str], list[str]]:
    """Engines to use and engines that are not there. Raises Usage where none is."""
    from .harness.verify import chosen_engines

    try:
        engines, skipped = chosen_engines(wanted)
    except ValueError as fault:
        raise Usage(str(fault)) from None
    if not engines:
        raise Usage("no recalculation engine is installed: pip install 'workbook_builder[engines]'")
    return engines, skipped


def _results(options: argparse.Namespace) -> int:
    from .harness.report import as_text
    from .harness.results import results_of, write
    from .progress import Progress

    if options.out.suffix.lower() not in (".csv", ".json"):
        raise Usage(f"{options.out}: results are written as .csv or .json")
    if options.engine == "all":
        raise Usage("--engine all: results come from one engine; name it, or leave the option out")
    engines, _ = engines_of(options.engine)
    with Progress() as progress:
        results = results_of(options.book, engine=engines[0], progress=progress)
        written = write(results, options.out)
    counts = [f"{len(frame)} {grid}, {len(frame.columns)} columns" for grid, frame in results.frames.items()]
    print(f"{', '.join(map(str, written))}: {'; '.join(counts if results.has_circuits else counts[:1])}")
    if results.report.clean:
        print(f"recalculated by {results.engine}, equal to the reference")
        return FINE
    print(as_text(results.report, shown=SHOWN))
    return FINDINGS


def _explain(options: argparse.Namespace) -> int:
    from .harness.explain import Explained
    from .harness.explain_text import as_text
    from .harness.verify import chosen_engines
    from .progress import Progress

    engines, _ = chosen_engines("any")
    with Progress() as progress:
        job = Explained(options.book, options.job, engine=next(iter(engines), None), field=options.field, progress=progress)
    print(as_text(job, options.field, width=shutil.get_terminal_size(fallback=(100, 24)).columns))
    return FINE if job.clean else FINDINGS


def _carry(options: argparse.Namespace) -> int:
    from .harness.carry import carry, same_file
    from .harness.carry_report import as_json, as_text
    from .progress import Progress
    from .writer.on_disk import replace_file

    if options.out.suffix.lower() != ".xlsx":
        raise Usage(f"{options.out}: the workbook's name must end in .xlsx")
    if options.json and any(same_file(options.json, one) for one in (options.book, options.out)):
        raise Usage(f"{options.json}: a workbook has that name; give the report another one")
    with Progress() as progress:
        carried = carry(
            options.book, options.out, rows=options.rows, circuit_rows=options.circuit_rows, progress=progress
        )
    print(f"{options.out}: {carried.summary}")
    print(as_text(carried, shown=SHOWN))
    if options.json:
        replace_file(options.json, as_json(carried))
    return FINE if carried.clean else FINDINGS
