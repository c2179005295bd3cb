"""Chosen columns for a block of a long list: only what they need is calculated, words stay codes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pandas as pd

from workbook_builder.code_tables.books import Books
from workbook_builder.code_tables.load import load
from workbook_builder.reference.blocks import Circuits, Jobs, calculate_steps, open_results, together
from workbook_builder.reference.books import book_values
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.frame import column_of_entries
from workbook_builder.reference.inputs import Entries, row_state
from workbook_builder.reference.plan import CODED, is_of_circuits, is_of_entries, plan, steps_for
from workbook_builder.reference.run import circuit_entries, job_entries, parameters_in_use

Column = np.ndarray | Choice
"""Numbers as float64 with NaN for blank, free text as objects, other words as codes."""

NUMBER, WORDS, TEXT = "number", "words", "text"


@dataclass(frozen=True)
class Calculated:
    """Columns by name, and the state of every job and circuit; no columns where a job is not ready."""

    columns: dict[str, Column]
    state: np.ndarray
    circuit_state: np.ndarray


@lru_cache(maxsize=1)
def all_columns() -> dict[str, str]:
    """Every column of jobs, rules in their order and then entries: whether numbers, words or free text."""
    kinds = {}
    for one in load().rules.values():
        if not is_of_circuits(one):
            kinds[one.name] = WORDS if one.kind in CODED else NUMBER
    for field in load().job_fields:
        number = field.kind in ("number", "date") or field.numeric
        kinds[field.name] = NUMBER if number else WORDS if field.choices else TEXT
    return kinds


def together_columns() -> tuple[str, ...]:
    """Columns that come from the whole list, so that no block alone can give them."""
    return tuple(one.name for one, _ in plan().together)


def needed_together() -> tuple[str, ...]:
    """Columns of jobs that those of the whole list come from."""
    known = all_columns()
    needs = (need for _, how in plan().together for need in how.needs)
    return tuple(name for name in dict.fromkeys(needs) if name in known and name not in together_columns())


def calculate_columns(
    raw_jobs: pd.DataFrame,
    raw_circuits: pd.DataFrame | None,
    wanted: Sequence[str],
    *,
    books: Books | None = None,
) -> Calculated:
    """The wanted columns of jobs; the same values as calculate_all, to the last bit.

    Frames and books as in calculate_all; the circuits are all those of these
    jobs. KeyError for a name that is no column of jobs or one of the whole list.
    """
    books = load().books if books is None else books
    parameters = parameters_in_use({}, books)
    entries, state = job_entries(raw_jobs, parameters)
    if raw_circuits is None:
        raw_circuits = pd.DataFrame(columns=[one.name for one in load().circuit_fields])
    listed, job_row = circuit_entries(raw_circuits, entries, state, parameters)
    circuit_state = row_state(listed)
    ready = state == "ready"
    if not ready.all():
        return Calculated({}, state, circuit_state)
    kept = [name for name in wanted if name not in plan().sentences]
    results = open_results(entries.rows, of_circuits=False, only=frozenset(kept))
    jobs = Jobs(entries, ready, parameters, book_values(books), results)
    circuits = Circuits.of(listed, job_row=job_row, ready=circuit_state == "ready")
    values = calculate_steps(jobs, circuits, steps_for(frozenset(wanted)))
    columns = {name: _column(name, entries, state, results, values) for name in wanted}
    return Calculated(columns, state, circuit_state)


def calculate_whole(columns: Mapping[str, Column], *, books: Books | None = None) -> dict[str, Column]:
    """The columns that come from the whole list, from those of needed_together of all jobs."""
    parameters = parameters_in_use({}, load().books if books is None else books)
    values = parameters | dict(columns)
    rows = max(_rows(column) for column in columns.values())
    found = {}
    for one, value in together(values.__getitem__):
        found[one.name] = value if isinstance(value, Choice) else np.broadcast_to(value, rows)
    return found


def _rows(column: Column) -> int:
    return len(column.codes) if isinstance(column, Choice) else len(column)


def _column(
    name: str, entries: Entries, state: np.ndarray, results: Mapping[str, np.ndarray], values: Mapping[str, object]
) -> Column:
    rule = load().rules.get(name)
    if rule is None:
        return entries.used[name]
    if is_of_entries(rule):
        found = column_of_entries(entries, rule, {"row_state": state})
        return found if all_columns()[name] == NUMBER else coded(found)
    if name in results:
        words = plan().words.get(name)
        return results[name] if words is None else Choice(words, results[name])
    found = values[name]
    return Choice(found.words, np.broadcast_to(found.codes, entries.rows))


def coded(texts: np.ndarray) -> Choice:
    """Texts as codes.

    >>> coded(np.array(["ok", "", "ok"], dtype=object)).codes.tolist()
    [0, -1, 0]
    """
    codes, found = pd.factorize(np.where(texts == "", None, texts))
    return Choice(tuple(found), codes)
