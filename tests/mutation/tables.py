"""Changed values of the code tables and parameters: each must be found, and each must reach some job.

A value is changed in the shared tables, in process and one at a time. What may
find it: the second reading of its table, an invariant, a golden case. Whether
it reaches a job is asked of the results of the frames.
"""

from __future__ import annotations

import csv
import math
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cache
from itertools import product
from pathlib import Path

import pandas as pd

from tests.code_tables import test_invariants
from tests.golden_cases import cases
from workbook_builder.code_tables.load import load
from workbook_builder.reference import lookup
from workbook_builder.reference.run import calculate, calculate_all

from .frames import Frame
from .jobs import hand_frame, table_frame

SECOND = Path(__file__).parent.parent / "second_reading"
_CACHES = [one for one in vars(lookup).values() if hasattr(one, "cache_clear") and one is not load]


@dataclass(frozen=True)
class Value:
    """One value: of a table by row and column, or of a parameter (table "parameters") by name and edition."""

    table: str
    row: int
    key: str
    column: str
    old: float | str

    @property
    def new(self) -> float | str:
        """Another value of the same kind: a number a tenth larger, the neighbouring size, another word."""
        if isinstance(self.old, float):
            return self.old * 1.1 if self.old else 1.0
        if self.old in lookup.sizes():
            at = lookup.sizes().index(self.old)
            return lookup.sizes()[at - 1 if at else 1]
        if self.old in lookup.trade_sizes():
            at = lookup.trade_sizes().index(self.old)
            return lookup.trade_sizes()[at - 1 if at else 1]
        return f"{self.old} changed"

    def __str__(self) -> str:
        return f"{self.table}, {self.key}, {self.column}: {self.old} -> {self.new}"


def values() -> Iterator[Value]:
    """Every value that is printed in a table, keys left out, and every parameter in every edition."""
    for name, table in load().tables.items():
        for place, row in enumerate(table.rows):
            for column, value in zip(table.header[1:], row[1:], strict=True):
                if value is not None and value != "":
                    yield Value(name, place, str(row[0]), column, value)
    for place, (name, parameter) in enumerate(load().parameters.items()):
        for edition, value in parameter.values.items():
            yield Value("parameters", place, name, str(edition), value)


@contextmanager
def changed(value: Value) -> Iterator[None]:
    """The shared tables with this value changed."""
    code = load()
    if value.table == "parameters":
        held, key = code.parameters, value.key
        new = replace(held[key], values=dict(held[key].values) | {int(value.column): value.new})
    else:
        held, key = code.tables, value.table
        table, at = held[key], held[key].header.index(value.column)
        rows = list(table.rows)
        row = list(rows[value.row])
        row[at] = value.new
        rows[value.row] = tuple(row)
        new = replace(table, rows=tuple(rows))
    real = held[key]
    held[key] = new
    _forget()
    try:
        yield
    finally:
        held[key] = real
        _forget()


def _forget() -> None:
    for one in _CACHES:
        one.cache_clear()


def caught_by(value: Value) -> str:
    """What finds a changed value; blank where nothing does."""
    if _read_again(value):
        return "second reading"
    with changed(value):
        if value.table != "parameters" and not _invariants_hold():
            return "invariant"
        return "" if _golden_holds() else "golden case"


def _read_again(value: Value) -> bool:
    """Whether the second reading has this value."""
    second = _second(value.table).get(value.key, {})
    return value.column in second and _text(second[value.column]) == _text(value.old)


@cache
def _second(table: str) -> dict[str, dict[str, str]]:
    path = SECOND / f"{table}.csv"
    if not path.exists():
        return {}
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    key = next(iter(rows[0]))
    return {_text(row[key]): row for row in rows} | {row[key]: row for row in rows}


def _text(value: float | str) -> str:
    try:
        return f"{float(value):.8g}"
    except ValueError:
        return str(value)


def _invariants_hold() -> bool:
    return all(_holds(test) for name, test in vars(test_invariants).items() if name.startswith("test_"))


def _holds(test: Callable) -> bool:
    """A test of the module with each of its parameters."""
    marks = [mark for mark in getattr(test, "pytestmark", ()) if mark.name == "parametrize"]
    names = [mark.args[0] for mark in marks]
    try:
        for given in product(*(mark.args[1] for mark in marks)):
            test(**dict(zip(names, given, strict=True)))
    except (AssertionError, ValueError, TypeError, StopIteration, KeyError, IndexError):
        return False
    return True


def _golden_holds() -> bool:
    found = cases()
    jobs = pd.DataFrame([{"job_no": f"G{at}", **case.job} for at, case in enumerate(found)], dtype=object)
    try:
        results = calculate(jobs)
    except (ValueError, KeyError, IndexError):
        return False
    for at, case in enumerate(found):
        for name, (expected, within) in case.expect.items():
            value = results[name].iloc[at]
            if isinstance(expected, str):
                if value != expected:
                    return False
            elif not (isinstance(value, float) and math.isclose(value, expected, rel_tol=0, abs_tol=within)):
                return False
    return True


def reaches(value: Value, plain: dict[str, list[pd.DataFrame]]) -> bool:
    """Whether some result of some job differs with the changed value."""
    with changed(value):
        for frame in (hand_frame(), table_frame()):
            try:
                found = results(frame)
            except (ValueError, KeyError, IndexError):
                return True
            if not all(one.equals(other) for one, other in zip(found, plain[frame.name], strict=True)):
                return True
    return False


def results(frame: Frame) -> list[pd.DataFrame]:
    """The results of jobs and circuits of a frame."""
    return list(calculate_all(frame.entries["jobs"], frame.entries["circuits"]))


def report_tables(tell: Callable[[str], object]) -> int:
    """Prints what finds the changed values and which reach no job; 1 where one is not found."""
    plain = {frame.name: results(frame) for frame in (hand_frame(), table_frame())}
    found: Counter[str] = Counter()
    lost, idle = [], []
    for number, value in enumerate(values()):
        by = caught_by(value)
        found[by or "nothing"] += 1
        if not by:
            lost.append(value)
        if not reaches(value, plain):
            idle.append(value)
        if number % 100 == 0:
            tell(f"{number} values")
    for by, count in found.most_common():
        print(f"{count:>5} found by {by}")
    for value in lost:
        print(f"nothing finds: {value}")
    for value in idle:
        print(f"reaches no job: {value}")
    total = found.total()
    print(f"{1 - len(lost) / total:.2%} of {total} values are found, wanted 100%; {len(idle)} reach no job")
    return 1 if lost else 0
