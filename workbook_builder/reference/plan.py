"""What is computed in which order, for jobs and for circuits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from graphlib import TopologicalSorter

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import Rule
from workbook_builder.reference import (  # noqa: F401  each module registers its rules
    actuals,
    checks_circuits,
    checks_feeder,
    checks_place,
    checks_record,
    checks_result,
    checks_service,
    checks_sources,
    checks_states,
    circuit_entries,
    circuit_groups,
    circuit_moves,
    circuit_placing,
    circuit_positions,
    feeder_breaker,
    feeder_conductor,
    feeder_drop,
    feeder_ground,
    feeder_heat_pump,
    feeder_legs,
    feeder_load,
    feeder_other,
    feeder_vehicle,
    feeder_wiring,
    inputs,
    labour_added,
    labour_factors,
    labour_hours,
    labour_run,
    labour_tasks,
    line_costs,
    line_items,
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
    price_lines,
    price_range,
    price_ways,
    raceway,
    raceway_moved,
    readings,
    solar,
    sources,
    spaces,
    spaces_added,
    spaces_legs,
    spaces_listed,
    takeoff_added,
    takeoff_common,
    takeoff_design,
    takeoff_run,
    takeoff_service,
    working_space,
)
from workbook_builder.reference.choice import BLANK
from workbook_builder.reference.registry import Registered, registered

YES_NO = ("no", "yes")
CIRCUIT_SHEET = "Circuit check"
TOGETHER = ("Actuals", "Houses of the same age")
CODED = ("choice", "state", "text", "size")
_ENTRY_BANDS = ("Row", "Cross-checks")


@dataclass(frozen=True)
class Plan:
    """Rules in the order of their needs, the columns kept as codes with their words, and the
    sentences, whose words are made with the numbers in them.

    alone holds those that look at one job and its circuits, together those
    that look at all jobs at once, which come last."""

    alone: tuple[tuple[Rule, Registered], ...]
    together: tuple[tuple[Rule, Registered], ...]
    words: Mapping[str, tuple[str, ...]]
    sentences: frozenset[str]

    @property
    def order(self) -> tuple[tuple[Rule, Registered], ...]:
        """All rules, each after what it needs."""
        return self.alone + self.together

    def blank_of(self, name: str) -> object:
        """What a result column holds where there is no result."""
        if name in self.sentences:
            return ""
        return BLANK if name in self.words else float("nan")


@dataclass(frozen=True)
class Step:
    """A rule, its function, and the computed columns that no later step of its list needs."""

    rule: Rule
    how: Registered
    done: tuple[str, ...]


@lru_cache(maxsize=1)
def plan() -> Plan:
    """What is computed in which order. A circle between rules raises graphlib.CycleError."""
    rules, functions = load().rules, registered()
    computed = {name: functions[name] for name in rules if not is_of_entries(rules[name])}
    graph = {name: [need for need in one.needs if need in computed] for name, one in computed.items()}
    order = [(rules[name], computed[name]) for name in TopologicalSorter(graph).static_order()]
    words = {}
    for name, one in computed.items():
        if rules[name].kind == "size":
            sizes = lookup.trade_sizes() if name == "raceway_size" else lookup.sizes()
            words[name] = ("", *sizes)
        elif rules[name].kind in CODED and one.words:
            words[name] = one.words
    sentences = frozenset(name for name in computed if rules[name].kind == "text" and name not in words)
    alone = tuple(one for one in order if not is_of_all_jobs(one[0]))
    together = tuple(one for one in order if is_of_all_jobs(one[0]))
    return Plan(alone, together, words, sentences)


@lru_cache(maxsize=8)
def steps_for(wanted: frozenset[str]) -> tuple[Step, ...]:
    """The rules that look at one job which these columns come from, each after what it needs.

    Names that are no such rule are passed over.
    """
    computed = {one.name: how for one, how in plan().alone}
    needed = _closure(wanted, computed)
    last: dict[str, str] = {}
    for one, how in plan().alone:
        if one.name in needed:
            last |= dict.fromkeys((name for name in (*how.needs, one.name) if name in computed), one.name)
    done: dict[str, list[str]] = {}
    for name, user in last.items():
        if name not in wanted:
            done.setdefault(user, []).append(name)
    return tuple(
        Step(one, how, tuple(done.get(one.name, ()))) for one, how in plan().alone if one.name in needed
    )


def _closure(wanted: Iterable[str], computed: Mapping[str, Registered]) -> set[str]:
    found: set[str] = set()
    open_ = [name for name in wanted if name in computed]
    while open_:
        name = open_.pop()
        if name not in found:
            found.add(name)
            open_ += [need for need in computed[name].needs if need in computed]
    return found


def is_of_circuits(one: Rule) -> bool:
    """Rules with a row for a circuit; all others have a row for a job."""
    return one.sheet == CIRCUIT_SHEET


def is_of_all_jobs(one: Rule) -> bool:
    """Rules of jobs that look at all jobs at once. No other rule may need one of them."""
    return (one.sheet, one.band) == TOGETHER


def is_of_entries(one: Rule) -> bool:
    """Rules about the entries themselves; they hold for every row that is not empty."""
    if is_of_circuits(one):
        return one.band in _ENTRY_BANDS
    return one.sheet == "Inputs" and one.name != "edition_index"
