"""Calculates every rule for every job of a frame, a block of rows at a time."""

from __future__ import annotations

import os
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import lru_cache
from graphlib import TopologicalSorter

import numpy as np
import pandas as pd

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import EDITIONS, Rule
from workbook_builder.reference import (  # noqa: F401  each module registers its rules
    feeder_breaker,
    feeder_conductor,
    feeder_drop,
    feeder_ground,
    feeder_load,
    feeder_other,
    feeder_wiring,
    inputs,
    loads_appliances,
    loads_cooking,
    loads_cooking_demand,
    loads_hvac,
    loads_methods,
    loads_neutral,
    loads_service,
    lookup,
    options_decision,
    options_panel,
    options_service,
    options_spaces,
    raceway,
    raceway_moved,
    solar,
    sources,
    spaces,
    spaces_added,
    working_space,
)
from workbook_builder.reference.choice import BLANK, Choice, spell
from workbook_builder.reference.faults import Fault, find_faults
from workbook_builder.reference.inputs import Entries, read_entries, row_state
from workbook_builder.reference.registry import Registered, registered
from workbook_builder.reference.rounding import round6

BLOCK = 2**15
YES_NO = ("no", "yes")
_CODED = ("choice", "state", "text", "size")


@dataclass(frozen=True)
class Plan:
    """Rules in the order of their needs, the columns kept as codes with their words, and the
    sentences, whose words are made with the numbers in them."""

    order: tuple[tuple[Rule, Registered], ...]
    words: Mapping[str, tuple[str, ...]]
    sentences: frozenset[str]


def calculate(raw: pd.DataFrame, *, overrides: Mapping[str, float | str] | None = None) -> pd.DataFrame:
    """Every rule and every entry as used, for every row of a frame of job fields.

    raw: any of the job fields as columns; a cell is a number, a text, a date
    or blank (None, NaN, empty text). overrides: parameters with one value for
    all editions. Numbers and counts are float64 with NaN for blank, all other
    columns object with the empty text for blank. Rows that are not ready hold
    only their state, their entries and their checks. Raises ValueError for an
    unknown column or parameter.
    """
    parameters = _parameters(overrides or {})
    entries = read_entries(raw)
    _run_checks(entries, parameters)
    state = row_state(entries)
    ready = state == "ready"
    results = _open_results(entries.rows)
    _calculate_blocks(entries, parameters, ready, results)
    return _frame(raw.index, entries, state, results)


def faults(raw: pd.DataFrame) -> list[Fault]:
    """Every fault of every row that has any entry, in the order of rows and fields."""
    entries = read_entries(raw)
    _run_checks(entries, _parameters({}))
    return find_faults(raw, entries)


@lru_cache(maxsize=1)
def plan() -> Plan:
    """What is computed in which order."""
    rules, functions = load().rules, registered()
    computed = {name: functions[name] for name in rules if not _is_of_entries(rules[name])}
    graph = {name: [need for need in one.needs if need in computed] for name, one in computed.items()}
    order = TopologicalSorter(graph).static_order()
    words = {}
    for name, one in computed.items():
        if rules[name].kind == "size":
            sizes = lookup.trade_sizes() if name == "raceway_size" else lookup.sizes()
            words[name] = ("", *sizes)
        elif rules[name].kind in _CODED and one.words:
            words[name] = one.words
    sentences = frozenset(name for name in computed if rules[name].kind == "text" and name not in words)
    return Plan(tuple((rules[name], computed[name]) for name in order), words, sentences)


def _is_of_entries(one: Rule) -> bool:
    """Rules about the entries themselves; they hold for every row that is not empty."""
    return one.sheet == "Inputs" and one.name != "edition_index"


def _parameters(overrides: Mapping[str, float | str]) -> dict[str, float | np.ndarray]:
    """Each parameter as one number, or as four by edition; a size as its position."""
    known = load().parameters
    unknown = sorted(set(overrides) - set(known))
    if unknown:
        raise ValueError(f"no parameters: {', '.join(unknown)}")
    values: dict[str, float | np.ndarray] = {}
    for name, parameter in known.items():
        by_edition = [overrides.get(name, parameter.values[edition]) for edition in EDITIONS]
        if parameter.unit == "size":
            by_edition = [lookup.size_position(size) for size in by_edition]
        numbers = np.array([float(value) for value in by_edition])
        values[name] = float(numbers[0]) if (numbers == numbers[0]).all() else numbers
    return values


def _run_checks(entries: Entries, parameters: Mapping[str, float | np.ndarray]) -> None:
    """Runs the checks between entries; a check on an invalid or missing entry is not broken."""
    editions = np.searchsorted(np.array(EDITIONS, dtype=np.float64), entries.used["code_edition"])
    known = editions < len(EDITIONS)
    for name in load().rules:
        if not name.startswith("check_"):
            continue
        one = registered()[name]
        given = {}
        for argument, source in one.inputs.items():
            if isinstance(source, str) and source.endswith("_blank"):
                blank = entries.blank.get(source.removesuffix("_blank"))
                given[argument] = np.zeros(entries.rows, bool) if blank is None else blank
            elif isinstance(source, str) and source in parameters:
                value = np.resize(parameters[source], len(EDITIONS))
                given[argument] = np.where(known, value[editions * known], np.nan)
            else:
                given[argument] = _value(entries.used, source)
        with np.errstate(invalid="ignore"):
            entries.broken[name] = np.asarray(one.function(**given))


def _value(used: Mapping[str, object], source: str | float) -> object:
    """An input of a rule: an entry, a yes or no entry as truth, or a fixed number."""
    if not isinstance(source, str):
        return source
    value = used[source]
    if isinstance(value, Choice) and set(value.words) == {"yes", "no"}:
        return value.is_("yes")
    return value


def _open_results(rows: int) -> dict[str, np.ndarray]:
    """Result columns to be filled: numbers as float64, sentences as texts, the others as codes."""
    made = plan()
    kinds = dict.fromkeys(made.words, np.int8) | dict.fromkeys(made.sentences, object)
    return {one.name: np.empty(rows, dtype=kinds.get(one.name, np.float64)) for one, _ in made.order}


def _calculate_blocks(
    entries: Entries,
    parameters: Mapping[str, float | np.ndarray],
    ready: np.ndarray,
    results: Mapping[str, np.ndarray],
) -> None:
    """Computes the ready rows and blanks the others, a block to a thread."""
    blocks = [slice(start, start + BLOCK) for start in range(0, entries.rows, BLOCK)]
    if len(blocks) == 1:
        _calculate_block(entries, parameters, ready, blocks[0], results)
        return
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        tasks = [
            pool.submit(_calculate_block, entries, parameters, ready, block, results) for block in blocks
        ]
        for task in tasks:
            task.result()


def _calculate_block(
    entries: Entries,
    parameters: Mapping[str, float | np.ndarray],
    ready: np.ndarray,
    block: slice,
    results: Mapping[str, np.ndarray],
) -> None:
    """Computes every rule for the ready rows of a block and writes them into the results."""
    within = ready[block]
    all_ready = bool(within.all())
    rows = block if all_ready else block.start + np.flatnonzero(within)
    values: dict[str, object] = {}
    for name, used in entries.used.items():
        values[name] = used.take(rows) if isinstance(used, Choice) else used[rows]
    edition = inputs.edition_index(values["code_edition"]) - 1
    for name, value in parameters.items():
        values[name] = value[edition] if isinstance(value, np.ndarray) else value
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        for one, how in plan().order:
            given = {argument: _value(values, source) for argument, source in how.inputs.items()}
            found = how.function(**given)
            if one.kind == "number":
                found = round6(found)
            if not all_ready:
                results[one.name][block] = _blank_of(one.name)
            sentence = one.name in plan().sentences
            results[one.name][rows] = spell(found.words, found.codes) if sentence else found
            if how.words == YES_NO:
                found = np.asarray(found) == 1
            elif how.words and one.kind in ("choice", "text"):
                found = Choice(how.words, np.asarray(found))
            values[one.name] = found


def _blank_of(name: str) -> object:
    """What a result column holds where there is no result."""
    if name in plan().sentences:
        return ""
    return BLANK if name in plan().words else np.nan


def _frame(
    index: pd.Index, entries: Entries, state: np.ndarray, results: Mapping[str, np.ndarray]
) -> pd.DataFrame:
    """Rules in their order, then the entries as used."""
    columns: dict[str, np.ndarray] = {}
    for name, one in load().rules.items():
        if name == "row_state":
            columns[name] = state
        elif _is_of_entries(one):
            columns[name] = _column_of_entries(entries, one)
        elif name in plan().words:
            columns[name] = spell(plan().words[name], results[name])
        else:
            columns[name] = results[name]
        if one.kind not in ("number", "count"):
            columns[name] = pd.Series(columns[name], index=index, dtype=object, copy=False)
    for field in load().job_fields:
        values = _entry_column(entries, field.name)
        columns[field.name] = pd.Series(values, index=index, dtype=values.dtype, copy=False)
    return pd.DataFrame(columns, index=index, copy=False)


def _column_of_entries(entries: Entries, one: Rule) -> np.ndarray:
    """A rule about the entries, blank in empty rows."""
    if one.name in entries.broken:
        values = spell(inputs.CHECK_WORDS, entries.broken[one.name].astype(np.int8))
    else:
        how = registered()[one.name]
        known = {**entries.used, "entries": entries}
        values = how.function(**{name: known[source] for name, source in how.inputs.items()})
        values = round6(values) if one.kind == "number" else values
    if entries.empty is not None:
        values = np.where(entries.empty, "" if values.dtype == object else np.nan, values)
    return values


def _entry_column(entries: Entries, name: str) -> np.ndarray:
    """Entries as used, with the words `invalid` and `missing` where they are; blank in empty rows."""
    used = entries.used[name]
    values = spell(used.words, used.codes) if isinstance(used, Choice) else used
    is_text = values.dtype == object
    for word, masks in (("invalid", entries.invalid), ("missing", entries.missing)):
        mask = masks.get(name)
        if mask is not None:
            mask = mask if entries.empty is None else mask & ~entries.empty
            if mask.any():
                values = values.astype(object)
                values[mask] = word
    if entries.empty is not None:
        values = values.copy()
        values[entries.empty] = "" if is_text else np.nan
    return values
