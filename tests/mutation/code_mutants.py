"""Mistakes in the source of the reference, one changed place of a syntax tree at a time."""

from __future__ import annotations

import ast
import copy
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

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

    @property
    def names(self) -> tuple[str, str, str, str]:
        """What a line of equal_reference.csv names it by."""
        return self.module, self.function, self.operator, self.change

    def __str__(self) -> str:
        return f"{self.module}.{self.function}, line {self.line}, {self.operator}: {self.change}"


def mutants_of(module: ModuleType) -> Iterator[CodeMutant]:
    """Every mutant of the functions of a module; a change that stands twice in a function is numbered."""
    seen: Counter[tuple[str, str, str]] = Counter()
    source = Path(module.__file__ or "").read_text(encoding="utf-8")
    tree = ast.parse(source)
    name = module.__name__.rpartition(".")[2]
    for function in (node for node in tree.body if isinstance(node, ast.FunctionDef)):
        for node in _body(function):
            for operator, field, new in _mistakes(node):
                old = getattr(node, field)
                before = ast.unparse(node)
                setattr(node, field, new)
                after = ast.unparse(_without().visit(copy.deepcopy(node)))
                changed = _without().visit(copy.deepcopy(tree))
                setattr(node, field, old)
                change = f"{before} -> {after}"
                seen[function.name, operator, change] += 1
                if (count := seen[function.name, operator, change]) > 1:
                    change += f" #{count}"
                yield CodeMutant(name, function.name, operator, node.lineno, change, changed)


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
            yield "dropped not", "op", _Twice()
        case ast.Attribute(attr=name) if name in _NAMES:
            yield "function", "attr", _NAMES[name]
        case ast.Name(id=name) if name in ("max", "min"):
            yield "function", "id", _NAMES[name]


class _Twice(ast.unaryop):
    """Marks a `~` that is left out; `_without` takes it away."""


class _without(ast.NodeTransformer):
    def visit_UnaryOp(self, node: ast.UnaryOp) -> ast.AST:
        self.generic_visit(node)
        return node.operand if isinstance(node.op, _Twice) else node
