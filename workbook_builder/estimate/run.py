"""Results of a list of jobs of any length: part by part, in order, into a file that is whole or not there."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
import pandas as pd

from ..code_tables.books import Books
from ..code_tables.load import load
from ..reader.checks import job_faults
from ..reader.faults import MOST_FAULTS, BadInput, Fault, in_order
from ..reader.parts import Source
from ..reader.result_files import results_file
from ..reader.sources import all_circuits, open_jobs
from ..reference.choice import Choice
from ..reference.columns import Column, all_columns, calculate_whole, needed_together, together_columns
from .block import Done, Work, calculate_part, marks_of
from .circuits import CircuitList
from .where import Run

PART = 2**15
"""Rows calculated at once."""
FIRST_TOLD = 20
"""So many faults are told of a list that has too many to tell them all."""
ANSWERS, ALL = "answers", "all"


@dataclass(frozen=True)
class Estimated:
    """How many jobs, circuits and columns there are."""

    jobs: int
    circuits: int
    columns: int


def columns_of(which: str) -> dict[str, str]:
    """The columns of the results, and whether each is of numbers, words or text; the answers first."""
    known = all_columns()
    answers = ["job_no", "site", "row_state", *(name for _, name, _, _ in load().result_fields)]
    names = list(dict.fromkeys(answers))
    if which == ALL:
        names += [name for name in known if name not in names]
    return {name: known[name] for name in names}


def estimate(
    jobs: Path,
    out: Path,
    *,
    circuits: Path | None = None,
    books: Books | None = None,
    columns: str = ANSWERS,
    where: AbstractContextManager[Run],
    size: int = PART,
    progress: Callable[[str], object] = lambda _: None,
) -> Estimated:
    """Writes the results of a list of jobs.

    jobs and circuits: CSV or Parquet; out: .csv, .json or .parquet. Memory
    holds some parts of `size` rows, all circuits and eight bytes a job.
    BadInput with the faults of the files, after which `out` is as it was.
    """
    progress("opening the lists")
    source = open_jobs(jobs)
    listed = None
    if circuits is not None:
        listed = CircuitList(all_circuits(circuits, source, size=size), file=circuits.name)
    kinds = columns_of(columns)
    work = Work(kinds, books, out, source.file, circuits.name if circuits else "")
    run = _Run(source, listed, work, size, progress)
    with where as calculate:
        whole = None
        if not set(kinds).isdisjoint(together_columns()):
            whole = run.whole_list(calculate)
        with results_file(out, kinds) as add:
            run.through(calculate, work, lambda done: add(done.content), whole)
    return Estimated(run.rows, 0 if listed is None else len(listed.frame), len(kinds))


@dataclass
class _Run:
    source: Source
    circuits: CircuitList | None
    work: Work
    size: int
    progress: Callable[[str], object]
    rows: int = 0
    lengths: list[int] = field(default_factory=list)

    def whole_list(self, calculate: Run) -> dict[str, Column]:
        """The columns that come from the whole list, from a first way through it."""
        kinds = all_columns()
        needed = {name: kinds[name] for name in needed_together()}
        found: list[Mapping[str, Column]] = []
        work = replace(self.work, kinds=needed, out=None)
        self.through(calculate, work, lambda done: found.append(done.columns), None)
        columns = {name: _joined([one[name] for one in found]) for name in needed}
        return calculate_whole(columns, books=self.work.books)

    def through(
        self, calculate: Run, work: Work, use: Callable[[Done], object], whole: Mapping[str, Column] | None
    ) -> None:
        """Calculates every part and uses it. BadInput at the end of a list that has faults."""
        told: list[Fault] = list(self.source.faults)
        state = {"work": work}
        lengths: list[int] = []
        marks: list[np.ndarray] = []
        faulty = 0

        def tasks() -> Iterator[tuple]:
            start = 0
            for place, part in enumerate(self.source.parts(self.size)):
                rows = self.lengths[place] if whole is not None else 0
                some = None if whole is None else {name: _part(one, start, rows) for name, one in whole.items()}
                start += rows
                own = None if self.circuits is None else self.circuits.of(_numbers(part.only("job_no").read().frame))
                yield part, own, some, state["work"]

        for done in calculate(calculate_part, tasks()):
            lengths.append(done.rows)
            marks.append(done.marks)
            faulty += done.faulty
            told += done.faults
            if len(told) > MOST_FAULTS:
                state["work"] = replace(work, told=False)
            if not told and done.rows:
                use(done)
            self.progress(f"calculating: {sum(lengths):,} jobs")
        self.lengths, self.rows = lengths, sum(lengths)
        if not self.rows and not told:
            words = ("no row under the header", "a list of one job or more", "add a row for each job")
            told.append(Fault(self.source.file, None, None, None, None, *words))
        twins = self._twins(marks)
        self._stop_on(twins, told, faulty)

    def _twins(self, marks: list[np.ndarray]) -> list[Fault]:
        """A fault for each row whose job number stands in another row, too, wherever that is."""
        values, times = np.unique(np.concatenate([*marks, np.empty(0, np.uint64)]), return_counts=True)
        double = values[times > 1]
        if not len(double):
            return []
        frames: list[pd.DataFrame] = []
        for part in self.source.parts(self.size):
            frame = part.only("job_no").read().frame
            frame = frame[[isinstance(number, str) for number in frame["job_no"]]]
            frames.append(frame[np.isin(marks_of(frame["job_no"]), double)])
            if sum(map(len, frames)) > MOST_FAULTS:
                break
        fields = {one.name for one in load().job_fields} - {"job_no"}
        return job_faults(pd.concat(frames), file=self.source.file, absent=fields)

    def _stop_on(self, twins: list[Fault], told: list[Fault], faulty: int) -> None:
        seen = {(fault.row, fault.field, fault.expected) for fault in twins}
        faults = twins + [one for one in told if (one.row, one.field, one.expected) not in seen]
        if self.circuits is not None and not self.source.faults:
            faults += self.circuits.left()
        if not faults:
            return
        order = [one.name for one in load().job_fields]
        if len(faults) <= MOST_FAULTS:
            raise BadInput(in_order(faults, order))
        words = f"faults in {max(faulty, 1):,} rows or more"
        todo = f"mend these first; the first {FIRST_TOLD} are listed"
        first = in_order(faults[:MOST_FAULTS], order)[:FIRST_TOLD]
        raise BadInput([*first, Fault(self.source.file, None, None, None, None, words, "none", todo)])


def _numbers(frame: pd.DataFrame) -> list[str]:
    return [number for number in frame["job_no"] if isinstance(number, str)]


def _part(column: Column, start: int, rows: int) -> Column:
    rows_ = slice(start, start + rows)
    return column.take(rows_) if isinstance(column, Choice) else column[rows_]


def _joined(columns: list[Column]) -> Column:
    """Parts of a column as one; words are those of the field, the same in each part."""
    if isinstance(columns[0], Choice):
        return Choice(columns[0].words, np.concatenate([one.codes for one in columns]))
    return np.concatenate(columns)
