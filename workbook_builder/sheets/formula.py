"""Reads a formula template into a tree and writes a tree as a formula.

The language is the dialect that every engine computes alike; what is outside it
is a fault here, before a workbook exists.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

FUNCTIONS = frozenset(
    "IF AND OR NOT IFERROR ISTEXT ISBLANK SUM MIN MAX ABS ROUND ROUNDUP ROUNDDOWN INT CEILING "
    "FLOOR MOD SQRT LN EXP PI INDEX MATCH COUNTIF COUNTIFS SUMIF SUMIFS AVERAGEIFS SUMPRODUCT SMALL "
    "LARGE COUNTA COUNTBLANK ROWS LEFT MID RIGHT FIND SEARCH SUBSTITUTE LEN UPPER FIXED DATE".split()
)

PLAIN_NUMBERS = frozenset({"0", "1", "2", "12"})
"""Numbers a formula may hold as plain arithmetic; every other one is a parameter."""

_LEVELS = {"=": 1, "<>": 1, "<": 1, "<=": 1, ">": 1, ">=": 1, "&": 2, "+": 3, "-": 3, "*": 4, "/": 4, "^": 5}
_TOKEN = re.compile(
    r"""(?P<space>\s+)
    |(?P<number>\d+(?:\.\d+)?)
    |(?P<text>"(?:[^"]|"")*")
    |(?P<column>\[[^\[\]{}"]+\])
    |(?P<named>\{[^\[\]{}"]+\})
    |(?P<function>[A-Z][A-Z0-9.]*)(?=\()
    |(?P<stray>\$?[A-Za-z_][\w.$!']*)
    |(?P<operator><>|<=|>=|[-+*/^&=<>(),])""",
    re.VERBOSE,
)


class FormulaError(Exception):
    """What is wrong with one template, in words."""


@dataclass(frozen=True)
class Number:
    text: str


@dataclass(frozen=True)
class Text:
    value: str


@dataclass(frozen=True)
class ColumnName:
    """[name], [raw.name] or [first:last], all columns from one to another."""

    name: str


@dataclass(frozen=True)
class Named:
    """{parameter}, {setting}, {table}, {table.column}, {book.column}, {line.mean:first:last} and the like."""

    name: str


@dataclass(frozen=True)
class Call:
    function: str
    arguments: tuple[Node, ...]


@dataclass(frozen=True)
class Operation:
    operator: str
    left: Node
    right: Node


@dataclass(frozen=True)
class Minus:
    value: Node


Node = Number | Text | ColumnName | Named | Call | Operation | Minus


@lru_cache(maxsize=4096)
def parse(template: str) -> Node:
    """The tree of a template, each read once. Raises FormulaError with the first fault."""
    tokens = list(_tokens(template))
    node, at = _expression(tokens, 0, 0)
    if at < len(tokens):
        raise FormulaError(f"unexpected {tokens[at][1]!r}")
    return node


def _tokens(template: str) -> Iterator[tuple[str, str]]:
    at = 0
    while at < len(template):
        found = _TOKEN.match(template, at)
        if not found:
            raise FormulaError(f"cannot read {template[at : at + 12]!r}")
        kind = found.lastgroup or ""
        if kind == "stray":
            raise FormulaError(f"stray reference or word {found[0]!r}; name a column or parameter")
        if kind != "space":
            yield kind, found[0]
        at = found.end()


def _expression(tokens: list[tuple[str, str]], at: int, level: int) -> tuple[Node, int]:
    left, at = _operand(tokens, at)
    while at < len(tokens) and tokens[at][0] == "operator":
        operator = tokens[at][1]
        if operator not in _LEVELS or _LEVELS[operator] <= level:
            break
        right, at = _expression(tokens, at + 1, _LEVELS[operator])
        left = Operation(operator, left, right)
    return left, at


def _operand(tokens: list[tuple[str, str]], at: int) -> tuple[Node, int]:
    if at >= len(tokens):
        raise FormulaError("the formula ends too early")
    kind, text = tokens[at]
    if kind == "number":
        return Number(text), at + 1
    if kind == "text":
        return Text(text[1:-1].replace('""', '"')), at + 1
    if kind == "column":
        return ColumnName(text[1:-1]), at + 1
    if kind == "named":
        return Named(text[1:-1]), at + 1
    if kind == "function":
        return _call(tokens, at, text)
    if text == "(":
        node, at = _expression(tokens, at + 1, 0)
        return node, _closed(tokens, at)
    if text == "-":
        node, at = _expression(tokens, at + 1, _LEVELS["/"])
        return Minus(node), at
    raise FormulaError(f"unexpected {text!r}")


def _call(tokens: list[tuple[str, str]], at: int, name: str) -> tuple[Node, int]:
    if name not in FUNCTIONS:
        raise FormulaError(f"function {name} is outside the dialect")
    arguments: list[Node] = []
    at += 2
    while tokens[at : at + 1] != [("operator", ")")]:
        node, at = _expression(tokens, at, 0)
        arguments.append(node)
        if tokens[at : at + 1] == [("operator", ",")]:
            at += 1
        elif tokens[at : at + 1] != [("operator", ")")]:
            raise FormulaError(f"{name}( is not closed")
    return Call(name, tuple(arguments)), at + 1


def _closed(tokens: list[tuple[str, str]], at: int) -> int:
    if tokens[at : at + 1] != [("operator", ")")]:
        raise FormulaError("a parenthesis is not closed")
    return at + 1


def walk(node: Node) -> Iterator[Node]:
    """The node and all below it."""
    yield node
    match node:
        case Call(_, arguments):
            for argument in arguments:
                yield from walk(argument)
        case Operation(_, left, right):
            yield from walk(left)
            yield from walk(right)
        case Minus(value):
            yield from walk(value)


def typed_in(node: Node) -> list[str]:
    """Numbers that stand in the formula and should be parameters.

    The digits of ROUND, the type of MATCH and the row and column of INDEX do
    not count.
    """
    match node:
        case Number(text):
            return [] if text in PLAIN_NUMBERS else [text]
        case Call("ROUND" | "ROUNDUP" | "ROUNDDOWN" | "FIXED", (first, *_)):
            return typed_in(first)
        case Call("MATCH", (key, table, *_)):
            return typed_in(key) + typed_in(table)
        case Call("INDEX", (table, *places)):
            inner = [place for place in places if not isinstance(place, Number)]
            return typed_in(table) + [text for place in inner for text in typed_in(place)]
        case Call(_, arguments):
            return [text for argument in arguments for text in typed_in(argument)]
        case Operation(_, left, right):
            return typed_in(left) + typed_in(right)
        case Minus(value):
            return typed_in(value)
    return []


_COMPARISONS = frozenset({"=", "<>", "<", "<=", ">", ">="})


def dialect_faults(node: Node) -> list[str]:
    """Brackets that one engine or another loses when it loads the formula.

    A comparison inside another comparison or beside `&`, a `&` inside
    arithmetic, and one power of another are read differently somewhere.
    """
    faults = []
    for one in walk(node):
        if not isinstance(one, Operation):
            continue
        inner = [part.operator for part in (one.left, one.right) if isinstance(part, Operation)]
        if one.operator in _COMPARISONS | {"&"} and _COMPARISONS & set(inner):
            faults.append(f"a comparison beside {one.operator}; engines read it differently")
        if one.operator in "+-*/^" and "&" in inner:
            faults.append(f"& beside {one.operator}; engines read it differently")
        if one.operator == "^" and "^" in inner:
            faults.append("a power of a power; engines read it differently")
    return faults


def rounded(node: Node, places: int) -> Node:
    """The tree with ROUND(..., places) around each branch that calculates a number."""
    match node:
        case Call("IF", (test, *branches)):
            return Call("IF", (test, *(rounded(branch, places) for branch in branches)))
        case Call("IFERROR", (value, other)):
            return Call("IFERROR", (rounded(value, places), rounded(other, places)))
        case Text() | Number() | ColumnName() | Named() | Call("INDEX" | "ROUND", _):
            return node
    return Call("ROUND", (node, Number(str(places))))


def write(node: Node, names: dict[str, str], level: int = 0) -> str:
    """The formula text; names maps `[x]` and `{x}` to what stands in the sheet."""
    match node:
        case Number(text):
            return text
        case Text(value):
            return '"' + value.replace('"', '""') + '"'
        case ColumnName(name):
            return names[f"[{name}]"]
        case Named(name):
            return names[f"{{{name}}}"]
        case Minus(value):
            text = "-" + write(value, names, _LEVELS["/"])
            return f"({text})" if level > _LEVELS["-"] else text
        case Call(function, arguments):
            return f"{function}(" + ", ".join(write(one, names) for one in arguments) + ")"
        case Operation(operator, left, right):
            own = _LEVELS[operator]
            text = write(left, names, own - 1) + operator + write(right, names, own)
            return f"({text})" if own <= level else text
    raise TypeError(node)
