"""Mistakes in the reference's functions: each is found by what the workbook calculates for the same jobs.

A module of the reference is read as a syntax tree, changed in one place and
run again beside the real one; its functions get the inputs that the real ones
had, and what they give is compared with the workbook's recalculated column.
"""

from __future__ import annotations

import ast
import importlib
import sys
import tempfile
from collections import Counter, defaultdict
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from types import ModuleType
from zlib import crc32

import numpy as np
import pandas as pd

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import Rule
from workbook_builder.harness.compare import agree
from workbook_builder.harness.verify import recalculated_frames
from workbook_builder.reference import plan as planning
from workbook_builder.reference import registry
from workbook_builder.reference.choice import Choice, spell
from workbook_builder.reference.plan import is_of_circuits, is_of_entries, plan
from workbook_builder.reference.rounding import rounded
from workbook_builder.reference.run import calculate_all
from workbook_builder.sheets.compile import compile_book
from workbook_builder.sheets.order import SHEETS
from workbook_builder.writer.workbook import write_workbook

from .code_mutants import CodeMutant, mutants_of
from .equal import lines
from .frames import Frame
from .jobs import books_frame, hand_frame, job_frame, rules_frame

WANTED = 0.98
EQUAL = Path(__file__).parent / "equal_reference.csv"
ABOUT_ENTRIES = ("inputs", "circuit_entries")
"""Modules whose functions see rows that are not ready; the mutants of their formulas try every kind of entry."""


@dataclass(frozen=True)
class Call:
    """What the real function of a rule was given for the frame, and what the workbook holds there.

    rows are the places of its results in the column; a rule of all jobs at once
    is called once too.
    """

    rule: Rule
    given: Mapping[str, object]
    rows: np.ndarray
    wanted: Sequence[object]


class Recorder:
    """Runs the reference once on a frame and keeps the inputs of every function."""

    def __init__(self, frame: Frame, workbook: Mapping[str, pd.DataFrame]) -> None:
        self.given: dict[str, Mapping[str, object]] = {}
        real = dict(registry._RULES)
        for name, one in real.items():
            registry._RULES[name] = replace(one, function=self._keeping(name, one.function))
        planning.plan.cache_clear()
        try:
            given = [frame.entries[grid] for grid in ("jobs", "circuits")]
            found = calculate_all(*given, overrides=frame.overrides, books=frame.books)
            self.results = dict(zip(("jobs", "circuits"), found, strict=True))
        finally:
            registry._RULES.clear()
            registry._RULES.update(real)
            planning.plan.cache_clear()
        states = {"jobs": "row_state", "circuits": "circuit_state"}
        ready = {grid: np.flatnonzero(self.results[grid][state] == "ready") for grid, state in states.items()}
        self.calls = {}
        self.values: dict[tuple[str, str], object] = {}
        for name, given in self.given.items():
            rule = load().rules.get(name)
            if rule is not None and not is_of_entries(rule):
                grid = "circuits" if is_of_circuits(rule) else "jobs"
                rows = ready[grid]
                wanted = workbook[grid][name].to_numpy(dtype=object)[rows]
                self.calls[name] = Call(rule, given, rows, wanted.tolist())
                self._remember(grid, real[name].inputs, given)

    def _remember(self, grid: str, inputs: Mapping[str, registry.Source], given: Mapping[str, object]) -> None:
        """What every name that was asked for stands for."""
        for argument, source in inputs.items():
            several = source if isinstance(source, tuple) else (source,)
            found = given[argument] if isinstance(source, tuple) else (given[argument],)
            self.values |= {
                (grid, one): value for one, value in zip(several, found, strict=True) if isinstance(one, str)
            }

    def given_to(self, name: str, one: registry.Registered) -> Mapping[str, object]:
        """The inputs of a rule that may ask for other ones than the real rule. KeyError for an unknown name."""
        if one.inputs == registry.registered()[name].inputs:
            return self.calls[name].given
        grid = "circuits" if is_of_circuits(self.calls[name].rule) else "jobs"

        def value(source: registry.Source) -> object:
            if isinstance(source, tuple):
                return tuple(map(value, source))
            return self.values[grid, source] if isinstance(source, str) else source

        return {argument: value(source) for argument, source in one.inputs.items()}

    def _keeping(self, name: str, function: Callable) -> Callable:
        def keeping(**given: object) -> object:
            self.given[name] = given
            return function(**given)

        return keeping


def agrees(call: Call, function: Callable, words: tuple[str, ...]) -> bool:
    """Whether a function gives what the workbook holds, in every ready row."""
    with np.errstate(all="ignore"):
        found = function(**call.given)
        values = _spelled(call.rule, found, words, len(call.rows))
    return all(map(agree, values, call.wanted))


def _spelled(rule: Rule, found: object, words: tuple[str, ...], rows: int) -> list[object]:
    """A result as it stands in the frame of results."""
    if rule.name in plan().sentences or isinstance(found, Choice):
        codes = np.broadcast_to(found.codes, rows)
        return spell(found.words, codes).tolist()
    if rule.name in plan().words:
        return spell(plan().words[rule.name], np.broadcast_to(np.asarray(found, dtype=np.int64), rows)).tolist()
    number = np.asarray(rounded(rule.kind, found), dtype=np.float64)
    return np.broadcast_to(number, rows).tolist()


def functions_of(mutant: CodeMutant) -> dict[str, registry.Registered]:
    """The rules that the changed module registers, and those of modules that take the changed function from it."""
    takers = _takers(mutant.module, mutant.function)
    real = dict(registry._RULES)
    registry._RULES.clear()
    name = f"workbook_builder.reference.{mutant.module}"
    was = sys.modules[name]
    try:
        _run(name, ast.fix_missing_locations(mutant.tree), keep=True)
        for other in takers:
            _run(other, ast.parse(Path(sys.modules[other].__file__ or "").read_text(encoding="utf-8")), keep=False)
        return dict(registry._RULES)
    finally:
        sys.modules[name] = was
        registry._RULES.clear()
        registry._RULES.update(real)


def _run(name: str, tree: ast.Module, *, keep: bool) -> None:
    """Runs the source of a module beside the real one; keep puts it in its place for the imports of others."""
    module, was = ModuleType(name), sys.modules[name]
    module.__file__ = was.__file__
    sys.modules[name] = module
    try:
        exec(compile(tree, f"<{name}>", "exec"), module.__dict__)  # noqa: S102
    finally:
        if not keep:
            sys.modules[name] = was


@cache
def _takers(module: str, function: str) -> tuple[str, ...]:
    """Modules of rules that import this function from that module."""
    found = []
    for other in modules():
        tree = ast.parse(Path(other.__file__ or "").read_text(encoding="utf-8"))
        froms = [node for node in tree.body if isinstance(node, ast.ImportFrom)]
        if any(
            (node.module or "").endswith(f".{module}") and function in {one.name for one in node.names}
            for node in froms
        ):
            found.append(other.__name__)
    return tuple(found)


def is_killed(mutant: CodeMutant, recorders: Sequence[Recorder]) -> bool:
    """Whether a rule of the changed module gives something else than the workbook, or nothing at all."""
    try:
        changed = functions_of(mutant)
        used = _users(mutant)
        own = {one.function.__name__ for one in changed.values()}
        for name, one in changed.items():
            if mutant.function in own and one.function.__name__ not in used:
                continue
            for recorder in recorders:
                call = recorder.calls.get(name)
                if call is not None:
                    given = recorder.given_to(name, one)
                    if not agrees(replace(call, given=given), one.function, one.words):
                        return True
    except Exception:  # noqa: BLE001  a mutant may fail in any way
        return True
    return False


def _users(mutant: CodeMutant) -> set[str]:
    """The functions of the module that call the changed one, itself included, at any remove."""
    calls = defaultdict(set)
    for function in (node for node in mutant.tree.body if isinstance(node, ast.FunctionDef)):
        for node in ast.walk(function):
            if isinstance(node, ast.Name):
                calls[node.id].add(function.name)
    found, todo = {mutant.function}, [mutant.function]
    while todo:
        for user in calls[todo.pop()] - found:
            found.add(user)
            todo.append(user)
    return found


def modules() -> list[ModuleType]:
    """The modules that register rules, in order, but for those about the entries."""
    names = sorted({one.function.__module__ for one in registry.registered().values()})
    names = [name for name in names if name.rpartition(".")[2] not in ABOUT_ENTRIES]
    return [importlib.import_module(name) for name in names]


def recorded() -> list[Recorder]:
    """Each frame calculated by an engine and by the reference, once."""
    found = []
    with tempfile.TemporaryDirectory() as folder:
        for frame in (
            hand_frame(),
            job_frame(),
            rules_frame(5),
            rules_frame(7),
            *map(books_frame, ("odd", "broken")),
        ):
            path = Path(folder) / f"{frame.name}.xlsx"
            write_workbook(
                path, layout=frame.layout, sheets=compile_book(SHEETS, frame.layout), jobs=frame.jobs, results=None,
                circuits=frame.circuits, built_on="2026-01-02", overrides=frame.overrides,
            )  # fmt: skip
            found.append(Recorder(frame, recalculated_frames(path, engine="ironcalc")))
    return found


_RECORDERS: list[Recorder] = []


def _judge(name: str, one_in: int) -> tuple[Counter[str], list[tuple[str, str]], list[int]]:
    """How many mutants of a module there are by operator, those that lived, and the lines of equal ones."""
    tried: Counter[str] = Counter()
    lived, equal, given = [], [], lines(EQUAL)
    for mutant in mutants_of(importlib.import_module(name)):
        if one_in > 1 and crc32(str(mutant).encode()) % one_in:
            continue
        line = next((one for one in given if one.fits(mutant)), None)
        killed = is_killed(mutant, _RECORDERS)
        if line is not None and not killed:
            tried["equal in effect"] += 1
            equal.append(line.row)
            continue
        tried[mutant.operator] += 1
        if line is not None:
            lived.append(("fault", f"equal_reference.csv, row {line.row}: {mutant} is told apart"))
        elif not killed:
            lived.append((mutant.operator, str(mutant)))
    return tried, lived, equal


def report_reference(*, tell: Callable[[str], object], one_in: int = 1, processes: int = 1) -> int:
    """Prints what became of the mutants of the reference; 1 where too many lived."""
    from .run import forking

    tell("recalculating the workbook")
    _RECORDERS[:] = recorded()
    wrong = [
        name for one in _RECORDERS for name, call in one.calls.items()
        if not agrees(call, registry.function_of(name), registry.registered()[name].words)
    ]  # fmt: skip
    tried: Counter[str] = Counter()
    lived: list[tuple[str, str]] = []
    used: set[int] = set()
    with ProcessPoolExecutor(processes, mp_context=forking()) as pool:
        names = [module.__name__ for module in modules()]
        for name, (some, left, equal) in zip(names, pool.map(_judge, names, [one_in] * len(names)), strict=True):
            tell(f"{name.rpartition('.')[2]}: {some.total()} mutants, {len(left)} lived")
            tried += some
            lived += left
            used.update(equal)
    faults = [words for kind, words in lived if kind == "fault"]
    faults += [f"{name} differs from the workbook before anything is changed" for name in wrong]
    if one_in == 1:
        idle = {line.row for line in lines(EQUAL)} - used
        faults += [f"equal_reference.csv, row {row}: takes no mutant; delete it" for row in sorted(idle)]
    return _said(tried, [one for one in lived if one[0] != "fault"], faults)


def _said(tried: Counter[str], lived: list[tuple[str, str]], faults: list[str]) -> int:
    equal = tried.pop("equal in effect", 0)
    alive = Counter(operator for operator, _ in lived)
    print(f"{'operator':<18}{'killed':>10}{'survived':>10}")
    for operator in sorted(tried):
        print(f"{operator:<18}{tried[operator] - alive[operator]:>10}{alive[operator]:>10}")
    print(f"{'all':<18}{tried.total() - alive.total():>10}{alive.total():>10}")
    print(f"equal in effect: {equal}, reasons in {EQUAL.name}")
    for _, words in lived:
        print(f"survived: {words}")
    for fault in faults:
        print(f"fault: {fault}")
    share = 1 - alive.total() / max(1, tried.total())
    print(f"{share:.2%} of those that are not equal in effect are killed; wanted {WANTED:.0%}")
    return 0 if share >= WANTED and not faults else 1
