"""Mistakes in the reference's functions: each is found by what the workbook calculates for the same jobs.

A module of the reference is read as a syntax tree, changed in one place and
run again beside the real one; its functions get the inputs that the real ones
had, and what they give is compared with the workbook's recalculated column.
"""

from __future__ import annotations

import ast
import copy
import importlib
import sys
import tempfile
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from types import ModuleType
from zlib import crc32

import numpy as np
import pandas as pd

from tests.books import write_book
from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import Rule
from workbook_builder.harness.compare import agree
from workbook_builder.harness.verify import recalculated_frames
from workbook_builder.reference import plan as planning
from workbook_builder.reference import registry
from workbook_builder.reference.choice import Choice, spell
from workbook_builder.reference.plan import is_of_circuits, is_of_entries, plan
from workbook_builder.reference.rounding import round6
from workbook_builder.reference.run import calculate_all

from .jobs import job_frame

WANTED = 0.98
_COMPARE = {ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq}
_ARITHMETIC = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult}
_LOGIC = {ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd}
_NAMES = {
    "maximum": "minimum", "minimum": "maximum", "ceil": "floor", "floor": "ceil", "whole_below": "whole_above",
    "whole_above": "whole_below", "greater": "greater_equal", "greater_equal": "greater", "less": "less_equal",
    "less_equal": "less", "equal": "not_equal", "not_equal": "equal", "max": "min", "min": "max",
}  # fmt: skip


@dataclass(frozen=True)
class CodeMutant:
    """One changed place of one function of a module."""

    module: str
    function: str
    operator: str
    line: int
    change: str
    tree: ast.Module

    def __str__(self) -> str:
        return f"{self.module}.{self.function}, line {self.line}, {self.operator}: {self.change}"


def mutants_of(module: ModuleType) -> Iterator[CodeMutant]:
    """Every mutant of the functions of a module."""
    source = Path(module.__file__ or "").read_text(encoding="utf-8")
    tree = ast.parse(source)
    name = module.__name__.rpartition(".")[2]
    for function in (node for node in tree.body if isinstance(node, ast.FunctionDef)):
        for node in _body(function):
            for operator, field, new in _mistakes(node):
                old = getattr(node, field)
                before = ast.unparse(node)
                setattr(node, field, new)
                after = ast.unparse(node)
                yield CodeMutant(name, function.name, operator, node.lineno, f"{before} -> {after}", copy.deepcopy(tree))
                setattr(node, field, old)


def _body(function: ast.FunctionDef) -> Iterator[ast.AST]:
    for statement in function.body:
        if not (isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant)):
            yield from ast.walk(statement)


def _mistakes(node: ast.AST) -> Iterator[tuple[str, str, object]]:
    """(operator, field of the node, what it would hold by mistake)."""
    match node:
        case ast.Compare(ops=[one]) if type(one) in _COMPARE:
            yield "comparison", "ops", [_COMPARE[type(one)]()]
        case ast.BinOp(op=one) if type(one) in _ARITHMETIC:
            yield "arithmetic", "op", _ARITHMETIC[type(one)]()
        case ast.BinOp(op=one) if type(one) in _LOGIC:
            yield "and and or", "op", _LOGIC[type(one)]()
        case ast.Constant(value=bool()):
            return
        case ast.Constant(value=int() | float() as value):
            yield "constant", "value", value + 1
        case ast.UnaryOp(op=ast.Invert()):
            yield "dropped not", "op", ast.UAdd() if False else _Same()
        case ast.Attribute(attr=name) if name in _NAMES:
            yield "function", "attr", _NAMES[name]
        case ast.Name(id=name) if name in ("max", "min"):
            yield "function", "id", _NAMES[name]


class _Same(ast.Invert):
    """Marks a `~` that is left out."""
