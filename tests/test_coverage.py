"""Every column, table row, entry and check is reached: nothing stands in the workbook that no job would miss.

`outside_checks.csv` says for each calculated column that no golden case expects
what checks it: `through` a result that a golden case expects, which changes
where the column is disturbed; `test`, a test that names it; `like` a column
that the same function calculates; `arithmetic`, a test that works the column
out anew without the program; `practice`, cases written from the sections; or
`none`, which is open work.
"""

from __future__ import annotations

import ast
import csv
import importlib
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from tests.golden_cases import cases
from tests.mutation.frames import Frame
from tests.mutation.jobs import books_frame, hand_frame, job_frame, table_frame
from tests.mutation.mutants import SheetFormulas
from tests.mutation.tables import Value, reaches, results, values
from tests.test_ring import FOR_TESTS_ONLY
from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import EDITIONS, Field
from workbook_builder.reference import plan as planning
from workbook_builder.reference import registry
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.run import calculate, calculate_all
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.order import SHEETS

CODE = load()
ROOT = Path(__file__).parent.parent
RULES = [column.name for sheet in SHEETS for column in sheet.columns if column.name in CODE.rules]
OPEN = 0
"""Columns without an outside check; it only ever falls."""

CHECKED = ("through", "test", "arithmetic", "practice")
"""What checks a column by itself."""

NEVER = {
    "edition_state": "no value of any edition is claimed as not read",
    "point_edition": "no value of any edition is claimed as not read",
    "point_moved_raceway": "a cable with moved circuits in it is refused with the entries",
}
"""Checks that have a state no job can reach, with the reason."""


def test_every_calculated_column_has_a_rule_a_citation_and_a_function() -> None:
    planning.plan()
    fields = {field.name for field in (*CODE.job_fields, *CODE.circuit_fields)}
    for sheet in SHEETS:
        for column in sheet.columns:
            if column.name in fields or column.name in ("row_state", "circuit_state"):
                continue
            rule = CODE.rules[column.name]
            assert rule.sentence and all(rule.sections[edition] for edition in EDITIONS), column.name
            assert column.name in registry.registered(), column.name


def _lines() -> list[dict[str, str]]:
    with (Path(__file__).parent / "outside_checks.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _golden() -> dict[str, set[str]]:
    """Results that golden cases expect, with the cases."""
    found: dict[str, set[str]] = {}
    for case in cases():
        for name in case.expect:
            found.setdefault(name, set()).add(case.name)
    return found


def test_every_column_is_expected_by_a_golden_case_or_stands_in_the_list() -> None:
    listed = [line["column"] for line in _lines()]

    assert len(listed) == len(set(listed))
    assert set(listed) & set(_golden()) == set()
    assert set(listed) | (set(_golden()) & set(RULES)) == set(RULES)


def test_fewer_columns_are_open_than_before() -> None:
    assert sum(line["kind"] == "none" for line in _lines()) <= OPEN


def test_the_kinds_of_checks_are_known() -> None:
    assert {line["kind"] for line in _lines()} <= {*CHECKED, "like", "none"}


@pytest.mark.parametrize(
    "line", [one for one in _lines() if one["kind"] == "test"], ids=lambda one: one["column"]
)
def test_a_test_that_is_named_names_the_column(line: dict[str, str]) -> None:
    """By itself or by the function that calculates it."""
    path, _, name = line["by"].partition("::")
    text = (ROOT / path).read_text(encoding="utf-8")
    if name:
        nodes = [
            node for node in ast.parse(text).body if isinstance(node, ast.FunctionDef) and node.name == name
        ]
        assert nodes, line["by"]
        first = min([nodes[0].lineno, *(one.lineno for one in nodes[0].decorator_list)])
        text = "\n".join(text.splitlines()[first - 1 : nodes[0].end_lineno])
    function = (
        registry.registered()[line["column"]].function.__name__
        if line["column"] in registry.registered()
        else ""
    )

    assert line["column"] in text or (function and function in text)


def test_a_column_that_is_worked_anew_is_among_those() -> None:
    """`by` names a function that says of each column in how many jobs it is anything, or how many states it is held to."""
    for line in _lines():
        if line["kind"] in ("arithmetic", "practice"):
            path, _, name = line["by"].partition("::")
            worked = getattr(importlib.import_module(path.removesuffix(".py").replace("/", ".")), name)()
            assert worked[line["column"]][0] > 0, line["column"]


def test_a_column_like_another_has_its_function_and_the_other_is_checked() -> None:
    kinds = {line["column"]: line["kind"] for line in _lines()}
    for line in _lines():
        if line["kind"] == "like":
            assert registry.function_of(line["column"]) is registry.function_of(line["by"]), line["column"]
            assert kinds.get(line["by"], "golden") in ("golden", *CHECKED), line["column"]


def test_a_column_checked_through_a_result_feeds_it() -> None:
    formulas = SheetFormulas(SHEETS[0], Layout(CODE, rows=5))
    reads: dict[str, set[str]] = {}
    for (_, name), sources in formulas.uses.items():
        reads.setdefault(name, set()).update(source for _, source in sources)
    for line in _lines():
        if line["kind"] == "through":
            assert line["case"] in _golden()[line["by"]], line["column"]
            assert line["column"] in set(_upstream(line["by"], reads)), line["column"]


def _upstream(name: str, reads: dict[str, set[str]]) -> Iterator[str]:
    seen, todo = {name}, [name]
    while todo:
        for source in reads.get(todo.pop(), set()) - seen:
            seen.add(source)
            todo.append(source)
            yield source


THROUGH = [line for line in _lines() if line["kind"] == "through"]


@pytest.mark.parametrize("line", THROUGH[::8], ids=lambda one: one["column"])
def test_a_disturbed_column_changes_the_result_it_is_checked_through(line: dict[str, str]) -> None:
    (case,) = (one for one in cases() if one.name == line["case"])
    expected, within = case.expect[line["by"]]
    jobs = pd.DataFrame([{"job_no": "G", **case.job}], dtype=object)
    real = registry.registered()[line["column"]]
    registry._RULES[line["column"]] = replace(real, function=_disturbed(real))
    planning.plan.cache_clear()
    try:
        found = calculate(jobs)[line["by"]].iloc[0]
    finally:
        registry._RULES[line["column"]] = real
        planning.plan.cache_clear()

    assert found != expected if isinstance(expected, str) else not abs(found - expected) <= within


def _disturbed(real: registry.Registered):
    """The function with a wrong answer: another word, no for yes, a number a tenth and one larger."""

    def disturbed(**given: object) -> object:
        found = real.function(**given)
        if isinstance(found, Choice):
            return Choice((*found.words, "No: disturbed."), np.where(found.codes < 0, len(found.words), -1))
        found = np.asarray(found)
        if found.dtype == bool:
            return ~found
        if real.words:
            return np.where(found >= len(real.words) - 1, 0, found + 1)
        return found * 1.1 + 1

    return disturbed


@cache
def _frames() -> tuple[Frame, ...]:
    return hand_frame(), job_frame(), books_frame("odd"), books_frame("broken")


CHECKS = [
    rule.name for rule in CODE.rules.values() if rule.kind == "state" or rule.name.startswith("point_")
]  # fmt: skip


@pytest.mark.parametrize("name", CHECKS)
def test_a_check_reaches_each_of_its_states(name: str) -> None:
    planning.plan()
    rule, words = CODE.rules[name], registry.registered()[name].words
    grid = "circuits" if rule.sheet == "Circuit check" else "jobs"
    found = {one for frame in _frames() for one in frame.results[grid][name]}

    unreached = [word for word in words if word not in found]

    assert words
    assert len(unreached) == (name in NEVER), unreached


TABLE_VALUES = [value for value in values() if value.table not in ("parameters", *FOR_TESTS_ONLY)]
IDLE_ROWS = {("fill_limit", "1.0"), ("fill_limit", "2.0")}
"""Rows for fewer conductors than any raceway of a feeder holds."""

ROWS = sorted({(value.table, value.key, value.row) for value in TABLE_VALUES})


def _row_reached(table: str, key: str, plain: dict[str, list[pd.DataFrame]]) -> bool:
    own = [value for value in TABLE_VALUES if (value.table, value.key) == (table, key)]
    return any(reaches(value, plain) for value in own)


@cache
def _plain() -> dict[str, list[pd.DataFrame]]:
    return {frame.name: results(frame) for frame in (hand_frame(), table_frame())}


@pytest.mark.parametrize(("table", "key"), [row[:2] for row in ROWS if row[:2] not in IDLE_ROWS][::6])
def test_a_table_row_is_reached_by_some_job(table: str, key: str) -> None:
    """One row in six here; `python -m tests.mutation --tables` tries every value of all of them."""
    assert _row_reached(table, key, _plain())


SILENT = {
    "site": "printed only", "estimator": "printed only", "visit_date": "printed only", "extra_work": "printed only",
}  # fmt: skip
"""Entries that no calculation reads."""


def _others(field: Field, value: object) -> list[object]:
    if field.choices:
        return [choice for choice in field.choices if choice != value]
    low = field.minimum or 0.0
    high = low + 50.0 if field.maximum is None else field.maximum
    found = [low, high, (low + high) / 2, low + 1, low + (high - low) / 7, None]
    return [float(int(one)) if field.whole and one is not None else one for one in found]


@cache
def _moved() -> set[str]:
    """The entries of which some job has a change that changes a calculated column, the job being ready both times.

    A few jobs first, then all of them for what those did not show.
    """
    jobs = [row for frame in (hand_frame(), job_frame()) for row in frame.jobs.to_dict("records")]
    names = [field.name for field in CODE.job_fields if field.name not in SILENT and field.name != "job_no"]
    found = _moving(names, jobs[::9])
    return found | _moving([name for name in names if name not in found], jobs)


def _moving(names: list[str], jobs: list[dict[str, object]]) -> set[str]:
    fields = {field.name: field for field in CODE.job_fields}
    rows: list[dict[str, object]] = [job | {"job_no": f"plain {at}"} for at, job in enumerate(jobs)]
    origin = [("", at) for at in range(len(jobs))]
    for name in names:
        for at, job in enumerate(jobs):
            for other in _others(fields[name], job.get(name)):
                rows.append(job | {"job_no": f"other {len(rows)}", name: other})
                origin.append((name, at))
    found = calculate(pd.DataFrame(rows, dtype=object))
    ready = (found["row_state"] == "ready").tolist()
    columns = [one for one in found.columns if one not in fields]
    matrix = found[columns].astype(object).where(found[columns].notna(), None).to_numpy()
    return {
        name for row, (name, at) in enumerate(origin)
        if name and ready[row] and ready[at] and (matrix[row] != matrix[at]).any()
    }  # fmt: skip


@pytest.mark.parametrize("name", [field.name for field in CODE.job_fields if field.name != "job_no"])
def test_an_entry_of_a_job_moves_some_result(name: str) -> None:
    assert (name in _moved()) == (name not in SILENT)


@pytest.mark.parametrize("name", [field.name for field in CODE.circuit_fields if field.name != "job_no"])
def test_an_entry_of_a_circuit_moves_some_result(name: str) -> None:
    field = next(one for one in CODE.circuit_fields if one.name == name)
    jobs, circuits = hand_frame().jobs, hand_frame().circuits
    plain = calculate_all(jobs, circuits)
    fields = [one.name for one in CODE.circuit_fields]
    words = ["other words", "m9"] if field.kind == "text" else _others(field, None)
    for other in words:
        changed = circuits.copy()
        changed[name] = other
        found = calculate_all(jobs, changed)
        same = [one.drop(columns=fields, errors="ignore").equals(two.drop(columns=fields, errors="ignore"))
                for one, two in zip(plain, found, strict=True)]  # fmt: skip
        if not all(same):
            assert name != "label"
            return

    assert name == "label"


def test_value_words() -> None:
    """What a changed value is: never the old one."""
    assert all(value.new != value.old for value in values())
    assert isinstance(next(values()), Value)
