"""Every result of a workbook as an engine recalculates it, proved against the reference and written to a file."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from os import PathLike
from pathlib import Path

import pandas as pd

from ..code_tables.load import load
from ..reader.book_jobs import read_book
from ..reader.entries import day
from ..reader.write_csv import plain, write_results
from ..sheets.model import CIRCUIT_GRID, CIRCUIT_STATE, JOB_GRID, JOB_NUMBER, ROW_STATE
from ..writer.on_disk import replace_file
from .engines import CellError, EngineFailed, available
from .verify import Report, by_place, verify

_STATES = {JOB_GRID: ROW_STATE, CIRCUIT_GRID: CIRCUIT_STATE}


@dataclass(frozen=True)
class Results:
    """What an engine made of a workbook: the rows that hold an entry, by grid, and the report of verify.

    A row that is not ready has its state, which says why, and what was typed;
    the other results are blank. has_circuits: whether there is a list of them.
    """

    engine: str
    frames: dict[str, pd.DataFrame]
    has_circuits: bool
    report: Report


def results_of(
    path: str | PathLike[str], *, engine: str, progress: Callable[[str], object] | None = None
) -> Results:
    """Recalculates a workbook. Raises as verify does, and BadInput or EngineFailed where there are no results."""
    found: dict[str, dict[str, pd.DataFrame]] = {}
    report = verify(path, engines=[engine], progress=progress, found_by=found)
    book = read_book(path)
    if engine not in found:
        raise EngineFailed(engine=engine, file=path, reason="; ".join(report.failed) or "no results")
    frames = {}
    for grid, typed in by_place(book).items():
        frame, state = found[engine][grid].reindex(range(len(typed))), _STATES[grid]
        frame = frame[typed.notna().any(axis=1).to_numpy()].copy()
        if frame.empty:
            frame = frame.iloc[:0]
        for name in {field.name for field in load().job_fields if field.kind == "date"} & set(frame.columns):
            frame[name] = [day(float(one), False) if isinstance(one, int) else one for one in frame[name]]
        first = (book.mark_row if grid == JOB_GRID else book.circuit_mark_row) + 1
        frame[state] = [
            f"missing: job_no in row {first + place}" if one in (None, "") else one
            for place, one in frame[state].items()
        ]
        frames[grid] = frame[answers_first(frame.columns, state)]
    version = available(engine) or ""
    return Results(f"{engine} {version}".strip(), frames, book.circuit_rows > 0, report)


def answers_first(columns: Sequence[str], state: str = ROW_STATE) -> list[str]:
    """The row's name and state and the results of the contract, before the entries and the steps between."""
    names = list(columns)
    answers = [JOB_NUMBER, "site", "label", state, *(field for _, field, _, _ in load().result_fields)]
    first = [name for name in dict.fromkeys(answers) if name in names]
    return first + [name for name in names if name not in first]


def circuits_path(path: Path) -> Path:
    """Where the results of circuits stand beside those of jobs.

    >>> circuits_path(Path("out/results.csv")).name
    'results-circuits.csv'
    """
    return path.with_name(f"{path.stem}-circuits{path.suffix}")


def write(results: Results, path: Path) -> list[Path]:
    """Writes a CSV file for the jobs and one for the circuits, or one JSON file. Returns what was written."""
    if path.suffix.lower() == ".json":
        replace_file(path, _json(results))
        return [path]
    write_results(results.frames[JOB_GRID], path)
    if not results.has_circuits:
        return [path]
    write_results(results.frames[CIRCUIT_GRID], circuits_path(path))
    return [path, circuits_path(path)]


def _json(results: Results) -> bytes:
    """Numbers as numbers, texts as texts, blank as null, an error value as {"error": "#DIV/0!"}."""
    report = results.report
    differences = [one for engine in report.engines for one in engine.comparison.differences]
    text = json.dumps(
        {
            "workbook": Path(report.file).name,
            "engine": results.engine,
            "clean": report.clean,
            "findings": [*report.input_faults, *map(str, report.formula_faults), *map(str, differences)],
            **{grid: _records(frame) for grid, frame in results.frames.items()},
        },
        ensure_ascii=False, allow_nan=False, indent=1,
    )  # fmt: skip
    return (text + "\n").encode()


def _records(frame: pd.DataFrame) -> list[dict[str, object]]:
    names = list(frame.columns)
    return [
        {name: _exact(value, name) for name, value in zip(names, row, strict=True)}
        for row in frame.itertuples(index=False, name=None)
    ]


def _exact(value: object, name: str) -> object:
    if isinstance(value, CellError):
        return {"error": str(value)}
    return None if value == "" else plain(value, name)
