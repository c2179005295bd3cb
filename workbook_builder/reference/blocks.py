"""Computes every rule for a block of jobs and the circuits of these jobs."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import Rule
from workbook_builder.reference import inputs
from workbook_builder.reference.by_job import ByJob
from workbook_builder.reference.choice import Choice, spell
from workbook_builder.reference.inputs import Entries
from workbook_builder.reference.plan import YES_NO, Step, is_of_circuits, is_of_entries, plan
from workbook_builder.reference.registry import Registered, Source
from workbook_builder.reference.rounding import rounded


@dataclass(frozen=True)
class Jobs:
    """Entries of all jobs, which of them are ready, what holds for all, and the results to be filled.

    parameters: parameters and settings; books: what the books say, by the
    names that rules use.
    """

    entries: Entries
    ready: np.ndarray
    parameters: Mapping[str, float | np.ndarray]
    books: Mapping[str, object]
    results: Mapping[str, np.ndarray]


@dataclass(frozen=True)
class Circuits:
    """Entries of all circuits, the ready ones by job and then by row, and the results to be filled.

    rows: row of each ready circuit; job: row of its job (first row 0), never falling.
    """

    entries: Entries
    rows: np.ndarray
    job: np.ndarray
    results: Mapping[str, np.ndarray]

    @classmethod
    def of(cls, entries: Entries, *, job_row: np.ndarray, ready: np.ndarray) -> Circuits:
        """The ready rows among the entries. job_row: row of the job (first row 1)."""
        rows = np.flatnonzero(ready)
        rows = rows[np.argsort(job_row[rows], kind="stable")]
        job = job_row[rows].astype(np.int64) - 1
        return cls(entries, rows, job, open_results(entries.rows, of_circuits=True))

    def of_jobs(self, first: int, end: int) -> slice:
        """Where the circuits of these jobs stand among the ready ones."""
        start, stop = np.searchsorted(self.job, [first, end])
        return slice(int(start), int(stop))


def open_results(
    rows: int, *, of_circuits: bool, only: Collection[str] | None = None
) -> dict[str, np.ndarray]:
    """Result columns to be filled: numbers as float64, sentences as texts, the others as codes.

    All of them, or only those named. Those of circuits begin blank; those of jobs are blanked block by block.
    """
    made = plan()
    kinds = dict.fromkeys(made.words, np.int8) | dict.fromkeys(made.sentences, object)
    opened = {}
    for one in load().rules.values():
        if is_of_circuits(one) != of_circuits or is_of_entries(one):
            continue
        if only is not None and one.name not in only:
            continue
        kind = kinds.get(one.name, np.float64)
        opened[one.name] = (
            np.full(rows, made.blank_of(one.name), dtype=kind) if of_circuits else np.empty(rows, dtype=kind)
        )
    return opened


def calculate_blocks(jobs: Jobs, circuits: Circuits, *, size: int) -> None:
    """Computes the ready rows and blanks the others, so many jobs a block, a block to a thread."""
    rows = jobs.entries.rows
    blocks = [slice(start, min(start + size, rows)) for start in range(0, rows, size)]
    if len(blocks) == 1:
        _Block(jobs, circuits, blocks[0]).calculate()
        return
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        tasks = [pool.submit(lambda block: _Block(jobs, circuits, block).calculate(), one) for one in blocks]
        for task in tasks:
            task.result()


def calculate_steps(jobs: Jobs, circuits: Circuits, steps: Sequence[Step]) -> dict[str, object]:
    """Computes these rules for the ready rows, all in one block.

    Results go where there is a column for them. What no step needs any more
    is dropped; the values that are left come back by name, a row for each
    ready job.
    """
    return _Block(jobs, circuits, slice(0, jobs.entries.rows)).calculate_steps(steps)


def calculate_together(jobs: Jobs) -> None:
    """Computes the rules that look at all jobs at once, after the others, for the ready rows."""
    rows = slice(None) if jobs.ready.all() else np.flatnonzero(jobs.ready)

    def value(source: str) -> object:
        if source in jobs.entries.used:
            return plain(_part(jobs.entries.used[source], rows))
        return jobs.parameters[source] if source in jobs.parameters else jobs.results[source][rows]

    for one, found in together(value):
        jobs.results[one.name][:] = plan().blank_of(one.name)
        _write(one, found, jobs.results[one.name], rows)


def together(value: Callable[[str], object]) -> Iterator[tuple[Rule, object]]:
    """The rules that look at all jobs at once with their results, numbers rounded.

    value: finds what they need of the other rules, the entries and the settings.
    """
    values: dict[str, object] = {}
    for one, how in plan().together:
        given = {
            name: values[source] if source in values else value(source) for name, source in how.inputs.items()
        }
        with np.errstate(invalid="ignore", divide="ignore"):
            found = how.function(**given)
        values[one.name] = rounded(one.kind, found)
        yield one, values[one.name]


def _write(one: Rule, found: object, column: np.ndarray | None, rows: slice | np.ndarray) -> object:
    """Puts a result where it belongs, rounded as its kind asks, and returns it."""
    found = rounded(one.kind, found)
    if column is None:
        return found
    column[rows] = spell(found.words, found.codes) if one.name in plan().sentences else found
    return found


class _Block:
    """Some of the jobs and all their circuits: values by name, and where the results go."""

    def __init__(self, jobs: Jobs, circuits: Circuits, block: slice) -> None:
        within = jobs.ready[block]
        all_ready = bool(within.all())
        self._results = (jobs.results, circuits.results)
        self._unready = None if all_ready else block
        self._rows = block if all_ready else block.start + np.flatnonzero(within)
        self._jobs = self._job_values(jobs)
        part = circuits.of_jobs(block.start, block.stop)
        self._circuit_rows = circuits.rows[part]
        self._place = circuits.job[part] - block.start
        if not all_ready:
            self._place = np.searchsorted(self._rows, circuits.job[part])
        self._circuits = self._circuit_values(circuits.entries, circuits.job[part])
        ready = len(within) if all_ready else len(self._rows)
        self._jobs["by_job"] = ByJob(jobs=ready, place=self._place)

    def _job_values(self, jobs: Jobs) -> dict[str, object]:
        values = {name: _part(used, self._rows) for name, used in jobs.entries.used.items()}
        values |= _blanks(jobs.entries, self._rows)
        edition = inputs.edition_index(values["code_edition"]) - 1
        for name, value in jobs.parameters.items():
            values[name] = value[edition] if isinstance(value, np.ndarray) else value
        return values | dict(jobs.books)

    def _circuit_values(self, entries: Entries, job: np.ndarray) -> dict[str, object]:
        rows = self._circuit_rows
        values = {name: _part(used, rows) for name, used in entries.used.items()}
        values |= _blanks(entries, rows)
        return values | {"row_number": rows + 1.0, "circuit_job_row": job + 1.0}

    def calculate(self) -> None:
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            for one, how in plan().alone:
                self._step(one, how)

    def calculate_steps(self, steps: Sequence[Step]) -> dict[str, object]:
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            for step in steps:
                self._step(step.rule, step.how)
                for name in step.done:
                    del (self._circuits if is_of_circuits(load().rules[name]) else self._jobs)[name]
        return self._jobs

    def _step(self, one: Rule, how: Registered) -> None:
        circuit = is_of_circuits(one)
        look_up = self._for_circuit if circuit else self._for_job
        given = {name: look_up(source) for name, source in how.inputs.items()}
        self._keep(one, how, how.function(**given), circuit=circuit)

    def _for_job(self, source: Source) -> object:
        """An input of a rule of jobs; beside `by_job`, columns of circuits are known too."""
        if isinstance(source, tuple):
            return tuple(self._for_job(one) for one in source)
        if not isinstance(source, str):
            return source
        return plain(self._jobs[source] if source in self._jobs else self._circuits[source])

    def _for_circuit(self, source: Source) -> object:
        """An input of a rule of circuits: of the circuit, else of its job."""
        if not isinstance(source, str):
            return source
        if source in self._circuits:
            return plain(self._circuits[source])
        return _part(plain(self._jobs[source]), self._place)

    def _keep(self, one: Rule, how: Registered, found: object, *, circuit: bool) -> None:
        """Writes a result where it belongs and keeps it for the rules that need it."""
        column = self._results[circuit].get(one.name)
        if self._unready is not None and not circuit and column is not None:
            column[self._unready] = plan().blank_of(one.name)
        found = _write(one, found, column, self._circuit_rows if circuit else self._rows)
        if how.words == YES_NO:
            found = np.asarray(found) == 1
        elif how.words and one.kind in ("choice", "text"):
            found = Choice(how.words, np.asarray(found))
        (self._circuits if circuit else self._jobs)[one.name] = found


def plain(value: object) -> object:
    """A yes or no entry as truth, everything else as it is."""
    if isinstance(value, Choice) and set(value.words) == {"yes", "no"}:
        return value.is_("yes")
    return value


def _blanks(entries: Entries, rows: slice | np.ndarray) -> dict[str, np.ndarray]:
    """For every field, by its name with `_blank`, in which of some rows its entry is blank."""
    none = np.zeros(entries.rows, dtype=bool)[rows]
    blank = entries.blank
    return {
        f"{one.name}_blank": blank[one.name][rows] if one.name in blank else none for one in entries.fields
    }


def _part(value: object, rows: slice | np.ndarray) -> object:
    """Some rows of a column; a number that holds for all rows as it is."""
    if isinstance(value, Choice):
        return value.take(rows) if np.ndim(value.codes) else value
    return value[rows] if np.ndim(value) else value
