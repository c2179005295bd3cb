"""Changed values of the code tables and parameters: each must be found, and each must reach some job.

A value is changed in the shared tables, in process and one at a time. What may
find it: the second reading of its table, an invariant, a golden case. Whether
it reaches a job is asked of the results of the frames. `table_books` changes the
same values in a built workbook.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from itertools import product
from types import ModuleType

import pandas as pd
import pytest

from tests.code_tables import test_invariants, test_parameter_invariants, test_word_invariants
from tests.code_tables.readings import OPEN, panels_not_sold, parameter_differences, table_differences
from tests.golden_cases import cases
from workbook_builder.code_tables.load import load
from workbook_builder.reference import lookup
from workbook_builder.reference.run import calculate, calculate_all

from .frames import Frame
from .jobs import hand_frame, table_frame

PARAMETERS, EVERY = "parameters", "every edition"
OWN = {"panel_bus"}
"""Tables without a second reading."""
_CACHES = [one for one in vars(lookup).values() if hasattr(one, "cache_clear") and one is not load]
_NO_RESULT = (ValueError, KeyError, IndexError)
"""What the reference may raise over a table that is not in order."""


@dataclass(frozen=True)
class Value:
    """One value: of a table by row and column, or of a parameter (table "parameters") by name and edition.

    A parameter stands once more with all its editions, as if they were read wrongly alike.
    """

    table: str
    row: int
    key: str
    column: str
    old: float | str
    less: bool = False
    put: float | None = None

    @property
    def new(self) -> float | str:
        """Another value of the same kind: a number a tenth larger or less, the neighbouring size, another word.

        put: this number instead.
        """
        if self.put is not None:
            return self.put
        if isinstance(self.old, float):
            return self.old * (0.9 if self.less else 1.1) if self.old else 1.0
        if self.old in lookup.sizes():
            at = lookup.sizes().index(self.old)
            return lookup.sizes()[at - 1 if at else 1]
        if self.old in lookup.trade_sizes():
            at = lookup.trade_sizes().index(self.old)
            return lookup.trade_sizes()[at - 1 if at else 1]
        return f"{self.old} changed"

    @property
    def names(self) -> tuple[str, str, str]:
        return self.table, self.key, self.column

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
            yield Value(PARAMETERS, place, name, str(edition), value)
        yield Value(PARAMETERS, place, name, EVERY, next(iter(parameter.values.values())))


def otherwise(value: Value) -> Iterator[Value]:
    """A number changed in other ways: made less; the others of its column, as if a row had slipped; of other editions."""
    if not isinstance(value.old, float):
        return
    yield replace(value, less=True)
    for other in _beside(value):
        yield replace(value, put=other)


def _beside(value: Value) -> list[float]:
    """The other numbers of the column or of the editions, the nearest first."""
    if value.table == PARAMETERS:
        found = list(load().parameters[value.key].values.values())
    else:
        table = load().tables[value.table]
        column = table.column(value.column)
        found = [column[at] for at in sorted(range(len(column)), key=lambda at: abs(at - value.row))]
    return [one for one in dict.fromkeys(found) if isinstance(one, float) and one != value.old]


@contextmanager
def changed(value: Value) -> Iterator[None]:
    """The shared tables with this value changed."""
    code = load()
    if value.table == PARAMETERS:
        held, key = code.parameters, value.key
        editions = held[key].values if value.column == EVERY else (int(value.column),)
        new = replace(held[key], values=dict(held[key].values) | dict.fromkeys(editions, value.new))
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
    with changed(value):
        if not _readings_agree(value):
            return "second reading"
        if not _invariants_hold(value):
            return "invariant"
        return "" if _golden_holds() else "golden case"


def _readings_agree(value: Value) -> bool:
    """What the tests of the second readings ask of this table or parameter."""
    if value.table == PARAMETERS:
        return not parameter_differences(value.key)
    if value.table == "panel_size":
        return not panels_not_sold()
    if value.table in OWN:
        return True
    return table_differences(value.table) == (OPEN if value.table == "wiring_method" else {})


def _invariants_hold(value: Value) -> bool:
    modules: Sequence[ModuleType] = (test_invariants, test_word_invariants)
    if value.table == PARAMETERS:
        modules = (test_parameter_invariants,)
    return all(
        _holds(test) for module in modules for name, test in vars(module).items() if name.startswith("test_")
    )


def _holds(test: Callable) -> bool:
    """A test of the module with each of its parameters."""
    marks = [mark for mark in getattr(test, "pytestmark", ()) if mark.name == "parametrize"]
    try:
        for given in product(*map(_arguments, marks)):
            test(**{name: one for part in given for name, one in part.items()})
    except (AssertionError, ValueError, TypeError, StopIteration, KeyError, IndexError):
        return False
    return True


def _arguments(mark: pytest.Mark) -> list[dict[str, object]]:
    """The arguments of each case of a parametrize."""
    names, values = mark.args
    if isinstance(names, str):
        return [{names: value} for value in values]
    return [dict(zip(names, row, strict=True)) for row in values]


def _golden_holds() -> bool:
    found = cases()
    jobs = pd.DataFrame([{"job_no": f"G{at}", **case.job} for at, case in enumerate(found)], dtype=object)
    try:
        results = calculate(jobs)
    except _NO_RESULT:
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
            except _NO_RESULT:
                return True
            if not all(one.equals(other) for one, other in zip(found, plain[frame.name], strict=True)):
                return True
    return False


def results(frame: Frame) -> list[pd.DataFrame]:
    """The results of jobs and circuits of a frame."""
    return list(calculate_all(frame.entries["jobs"], frame.entries["circuits"]))


def report_tables(tell: Callable[[str], object], *, one_in: int = 1, processes: int = 1) -> int:
    """Prints what finds the changed values in the shared tables and in a workbook; 1 where one is not found."""
    from .table_books import report_books

    tried = list(values())[::one_in]
    found: Counter[tuple[str, str]] = Counter()
    lost = []
    for number, value in enumerate(tried):
        by = caught_by(value)
        found[by or "nothing", PARAMETERS if value.table == PARAMETERS else "tables"] += 1
        if not by:
            lost.append(value)
        if number % 100 == 0:
            tell(f"shared tables, {number} values")
    print("in the shared tables and parameters:")
    for (by, where), count in found.most_common():
        print(f"{count:>5} of {where} found by {by}")
    for value in lost:
        print(f"nothing finds: {value}")
    print(f"{1 - len(lost) / len(tried):.2%} of {len(tried)} changed values are found, wanted 100%")
    missed = report_books(tried, tell, whole=one_in == 1, processes=processes)
    return 1 if lost or missed else 0
