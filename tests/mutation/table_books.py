"""Changed values in a built workbook: the comparison with the reference shows those that reach a job, verify names all.

The value is changed in the cell where the table or the published parameter
stands; the engine calculates the whole workbook anew and every result is
compared with the reference, whose tables are as they were.
"""

from __future__ import annotations

import re
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import cache
from pathlib import Path

import ironcalc
import numpy as np
import pandas as pd

from tests.books import write_book
from tests.damage.every_cell import named_by_verify
from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import EDITIONS
from workbook_builder.harness.book_values import rule_values
from workbook_builder.harness.compare import agree
from workbook_builder.harness.engines.cells import position
from workbook_builder.reference.run import calculate_all
from workbook_builder.sheets.compile import compile_book
from workbook_builder.sheets.layout import LOCAL_RULES, PARAMETER_COLUMNS, Layout
from workbook_builder.sheets.model import CIRCUIT_GRID, FIRST_ROW, JOB_GRID
from workbook_builder.sheets.order import SHEETS

from .equal import VALUES, lines, reasons, stale
from .frames import Frame
from .jobs import hand_frame, job_frame, table_frame
from .run import forking
from .tables import _NO_RESULT, EVERY, PARAMETERS, Value, changed, otherwise, results

Cell = tuple[str, int, int]
"""Sheet, row and column, counted from 1."""

Job = tuple[str, int]
"""A frame and a row of it, counted from 0."""

IN_USE = f"value in use of {LOCAL_RULES}"

USUAL = "2023"
"""The edition of jobs that name none."""


def cells_of(value: Value, layout: Layout) -> list[Cell]:
    """Where a value stands in the workbook; of a parameter in every edition four cells."""
    if value.table == PARAMETERS:
        editions = EDITIONS if value.column == EVERY else (value.column,)
        places = [PARAMETER_COLUMNS.index(f"published_{edition}") + 1 for edition in editions]
        return [(LOCAL_RULES, layout.parameter_rows[value.key], at) for at in places]
    place = layout.tables[value.table]
    at = layout.code.tables[value.table].header.index(value.column) + 1
    return [(place.sheet, place.first_row + value.row, at)]


@cache
def _alike() -> frozenset[str]:
    """Parameters that are the same in every edition: their formulas read the value in use of the first one."""
    return frozenset(name for name, one in load().parameters.items() if len(set(one.values.values())) == 1)


class TableBook:
    """A whole workbook of a few jobs in the engine, and what the reference says of them."""

    def __init__(self, jobs: pd.DataFrame, circuits: pd.DataFrame) -> None:
        entries = {JOB_GRID: jobs.reset_index(drop=True), CIRCUIT_GRID: circuits.reset_index(drop=True)}
        self._expected = dict(zip(entries, calculate_all(*entries.values()), strict=True))
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "tables.xlsx"
            write_book(path, jobs, rows=len(jobs), circuits=circuits, circuit_rows=max(1, len(circuits)))
            self._model = ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")
        self._at = {one["name"]: at for at, one in enumerate(self._model.get_worksheets_properties())}
        self._layout = Layout(load(), rows=len(jobs), circuit_rows=max(1, len(circuits)))
        self._sheets = compile_book(SHEETS, self._layout)
        self._rules = {
            (position(cell), name): value
            for name, cells in rule_values({}, self._layout).items()
            for cell, value in cells.items()
        }
        self._model.evaluate()

    def differs(self, value: Value | None = None) -> str:
        """The first result that differs with the value changed, by column and job; blank where none does."""
        if value is None:
            return next(self._differences(), "")
        cells = cells_of(value, self._layout)
        for sheet, row, column in cells:
            held = self._model.get_cell_value(self._at[sheet], row, column)
            assert agree(held, value.old), f"{value}: {held!r} stands in {sheet}, row {row}, column {column}"
            self._put(sheet, row, column, value.new)
        self._model.evaluate()
        found = next(self._differences(), "")
        for sheet, row, column in cells:
            self._put(sheet, row, column, value.old)
        return found

    def restored(self) -> str:
        """As `differs`, after all values have their old place again."""
        self._model.evaluate()
        return next(self._differences(), "")

    def _put(self, sheet: str, row: int, column: int, value: float | str) -> None:
        if isinstance(value, float):
            self._model.update_cell_with_number(self._at[sheet], row, column, value)
        else:
            self._model.update_cell_with_text(self._at[sheet], row, column, value)

    def _differences(self) -> Iterator[str]:
        for sheet in self._sheets:
            expected = self._expected[sheet.grid]
            for at, column in enumerate(sheet.columns, start=2):
                for row, wanted in enumerate(expected[column.name]):
                    found = self._model.get_cell_value(self._at[sheet.name], FIRST_ROW + row, at)
                    if not agree(found, wanted):
                        yield f"{column.name}, row {FIRST_ROW + row}: {found!r}, expected {wanted!r}"
        for ((row, at), sheet), wanted in self._rules.items():
            found = self._model.get_cell_value(self._at[sheet], row, at)
            if not agree(found, wanted):
                yield f"{IN_USE} in row {row}, column {at}: {found!r}, expected {wanted!r}"


def reached(value: Value) -> set[Job] | None:
    """The jobs of the first frame in which some have another result with the changed value; None without a result."""
    rows: set[Job] = set()
    plain_of = {name: _plain(name) for name in _names(value)}
    with changed(value):
        for name, plain in plain_of.items():
            try:
                jobs, circuits = results(_frame(name))
            except _NO_RESULT:
                return None
            entries = _frame(name).entries
            rows |= {(name, row) for row in _rows(jobs, plain[0])}
            numbers = {entries[CIRCUIT_GRID]["job_no"][row] for row in _rows(circuits, plain[1])}
            rows |= {
                (name, row) for row, one in enumerate(entries[JOB_GRID]["job_no"]) if one and one in numbers
            }
            if rows:
                break
    return rows


def _names(value: Value) -> tuple[str, ...]:
    """The frames to try a value on: those of the edition, where it is of one that the jobs rarely have.

    None for a single edition of a parameter that is the same in all, which decides only its value in use.
    """
    if value.table == PARAMETERS and value.column != EVERY and value.key in _alike():
        return ()
    if value.table == PARAMETERS and value.column not in (USUAL, EVERY):
        return (f"by hand, {value.column}", f"jobs, {value.column}")
    return "by hand", "jobs", "tables"


@cache
def _frame(name: str) -> Frame:
    kind, _, edition = name.partition(", ")
    frame = {"by hand": hand_frame, "tables": table_frame, "jobs": job_frame}[kind]()
    if not edition:
        return frame
    return replace(frame, name=name, jobs=frame.jobs.assign(code_edition=float(edition)))


@cache
def _plain(name: str) -> list[pd.DataFrame]:
    return results(_frame(name))


@cache
def _of_all_jobs() -> frozenset[str]:
    """Columns that a job has from other jobs: what reads a whole column of jobs, and what reads that."""
    jobs = {
        column.name: column.formula for sheet in SHEETS if sheet.grid == JOB_GRID for column in sheet.columns
    }
    found = {
        name for name, formula in jobs.items() if set(re.findall(r"{all\.(\w+)}", formula)) & jobs.keys()
    }
    while True:
        more = {
            name for name, formula in jobs.items() if set(re.findall(r"\[(\w+)]", formula)) & found
        } - found
        if not more:
            return frozenset(found)
        found |= more


def _rows(one: pd.DataFrame, other: pd.DataFrame) -> Iterator[int]:
    """Rows in which two frames of results differ."""
    found = np.zeros(len(one), dtype=bool)
    for name in one.columns.difference(_of_all_jobs()):
        left, right = one[name], other[name]
        if not left.equals(right):
            found |= ~((left == right) | (left.isna() & right.isna())).to_numpy(dtype=bool)
    return map(int, np.flatnonzero(found))


def chosen_jobs(reaches: Sequence[set[Job]]) -> list[Job]:
    """A few jobs of which each set that is not empty has one: always the job that most of the rest have."""
    rest = [one for one in reaches if one]
    chosen = []
    while rest:
        counts = Counter(job for one in rest for job in one)
        best = min(counts, key=lambda job: (-counts[job], job))
        chosen.append(best)
        rest = [one for one in rest if best not in one]
    return chosen


def book_of(chosen: Sequence[Job]) -> TableBook:
    """The workbook of these jobs and their circuits, numbered anew so that each number stands once."""
    jobs, circuits = [], []
    for place, (name, row) in enumerate(chosen, start=1):
        frame = _frame(name)
        number = frame.jobs["job_no"].iloc[row]
        jobs.append(frame.jobs.iloc[[row]].assign(job_no=f"V{place}"))
        circuits.append(frame.circuits[frame.circuits["job_no"] == number].assign(job_no=f"V{place}"))
    return TableBook(pd.concat(jobs, ignore_index=True), pd.concat(circuits, ignore_index=True))


def reaching(value: Value) -> tuple[Value, set[Job] | None]:
    """The value changed so that it reaches some job, if that can be, and the jobs."""
    jobs = reached(value)
    if jobs == set() and _names(value):
        for other in otherwise(value):
            found = reached(other)
            if found != set():
                return other, found
    return value, jobs


def try_in_book(
    tried: Sequence[Value], tell: Callable[[str], object] = lambda _: None, *, processes: int = 1
) -> dict[Value, str]:
    """The first difference that each value shows in the workbook of a few jobs, blank where it shows none.

    A number that reaches no job is changed otherwise, too.
    """
    for name in ("by hand", "jobs", "tables"):
        _plain(name)
    tell("looking for the jobs that are reached")
    if processes == 1:
        found = list(map(reaching, tried))
    else:
        with ProcessPoolExecutor(processes, mp_context=forking()) as pool:
            found = list(pool.map(reaching, tried, chunksize=4))
    book = book_of(chosen_jobs([jobs for _, jobs in found if jobs]))
    amiss = book.differs()
    assert not amiss, f"the workbook differs with nothing changed: {amiss}"
    shown = {}
    for number, (value, _) in enumerate(found):
        shown[value] = book.differs(value)
        if number % 100 == 0:
            tell(f"workbook, {number} values")
    amiss = book.restored()
    assert not amiss, f"the workbook differs after all values were put back: {amiss}"
    return shown


def not_named(tried: Sequence[Value]) -> list[Value]:
    """Values whose cells verify does not name when every cell of the tables and rules is changed."""
    named, layout = named_by_verify()
    return [value for value in tried if not named.issuperset(cells_of(value, layout))]


def report_books(
    tried: Sequence[Value], tell: Callable[[str], object], *, whole: bool = True, processes: int = 1
) -> int:
    """Prints what finds the values changed in a workbook; how many are not found by what must find them."""
    shown, unnamed, given = try_in_book(tried, tell, processes=processes), not_named(tried), lines(VALUES)
    seen = [value for value, words in shown.items() if words]
    unseen = [value for value, words in shown.items() if not words]
    by_use = [value for value in seen if shown[value].startswith(IN_USE)]
    equal = reasons(unseen, given)
    missed = [value for value in unseen if value not in equal]
    faults = stale(given, alive=unseen, told_apart=seen, whole=whole)
    print("in the workbook:")
    print(f"{len(seen):>5} found by the comparison with the reference, {len(by_use)} of them as a value in use only")
    print(f"{len(equal):>5} equal in effect, since no job can reach them")
    for value, line in equal.items():
        print(f"equal in effect: {value}: {line.reason}")
    for value in missed:
        print(f"the comparison does not find: {value}")
    for value in unnamed:
        print(f"verify does not name: {value}")
    for fault in faults:
        print(fault)
    share = len(seen) / max(1, len(seen) + len(missed))
    print(f"{share:.2%} of {len(seen) + len(missed)} that are not equal in effect are found, wanted 100%")
    print(f"{len(tried) - len(unnamed)} of {len(tried)} are named by verify")
    return len(missed) + len(unnamed) + len(faults)
