"""The small mistakes that a person makes in a formula, each as a change of its tree.

Each operator takes one node and gives the nodes that could stand there by
mistake. `mutations` walks a tree and gives every changed tree once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from workbook_builder.sheets.formula import (
    Call,
    ColumnName,
    Minus,
    Named,
    Node,
    Number,
    Operation,
    Text,
)

SHORT = "|short"
"""Behind a name: the same range without its last row."""

_EDGES = {">": ">=", ">=": ">", "<": "<=", "<=": "<", "=": "<>", "<>": "="}
_SWAPS = {"+": "-", "-": "+", "*": "/", "/": "*"}
_PARTNERS = {
    "MIN": "MAX", "MAX": "MIN", "SMALL": "LARGE", "LARGE": "SMALL", "AND": "OR", "OR": "AND",
    "ROUNDUP": "ROUNDDOWN", "ROUNDDOWN": "ROUNDUP", "CEILING": "FLOOR", "FLOOR": "CEILING", "INT": "ROUND",
}  # fmt: skip
_OPERATOR_OF = {
    "MIN": "MAX and MIN", "MAX": "MAX and MIN", "SMALL": "MAX and MIN", "LARGE": "MAX and MIN",
    "AND": "AND and OR", "OR": "AND and OR",
}  # fmt: skip
_SEVERAL = frozenset({"SUM", "MIN", "MAX", "AND", "OR"})
_NOISE = ("6", "12")
"""Places of a ROUND that only takes binary noise away."""


@dataclass(frozen=True)
class Mutation:
    """One changed tree: which operator, and the piece before and after in the words of the template."""

    operator: str
    change: str
    tree: Node


@dataclass(frozen=True)
class Neighbours:
    """What stands beside a name and has its unit: a function for each kind of name."""

    column: Callable[[str], str | None]
    named: Callable[[str], str | None]
    choice: Callable[[str, str], str | None]
    range_end: Callable[[str], str | None]


def template(node: Node, level: int = 0) -> str:
    """A tree in the words of a template.

    >>> template(Operation("+", ColumnName("a"), Number("1")))
    '[a]+1'
    """
    match node:
        case Number(text):
            return text
        case Text(value):
            return '"' + value.replace('"', '""') + '"'
        case ColumnName(name):
            return f"[{name}]"
        case Named(name):
            return f"{{{name}}}"
        case Minus(value):
            return f"-{template(value, 9)}"
        case Call(function, arguments):
            return f"{function}({', '.join(map(template, arguments))})"
        case Operation(operator, left, right):
            text = f"{template(left, 1)}{operator}{template(right, 1)}"
            return f"({text})" if level else text
    raise TypeError(node)


def mutations(tree: Node, near: Neighbours) -> list[Mutation]:
    """Every tree that differs by one mistake; a change that stands twice is numbered."""
    found: list[Mutation] = []
    seen: dict[tuple[str, str], int] = {}
    trees = {tree}
    for old, new, operator, whole in _changes(tree, near, lambda node: node):
        if whole in trees:
            continue
        trees.add(whole)
        change = f"{template(old)} -> {template(new)}"
        count = seen[operator, change] = seen.get((operator, change), 0) + 1
        found.append(Mutation(operator, change if count == 1 else f"{change} #{count}", whole))
    return found


def _changes(node: Node, near: Neighbours, build: Callable[[Node], Node]) -> Iterator[tuple[Node, Node, str, Node]]:
    """(piece, changed piece, operator, whole tree); build puts a piece into the whole tree."""
    for operator, new in _mistakes(node, near):
        yield node, new, operator, build(new)
    match node:
        case Call(function, arguments):
            for place, argument in enumerate(arguments):
                if not _is_form(function, place, argument):
                    yield from _changes(argument, near, _inside(node, place, build))
        case Operation(operator, left, right):
            if not (operator in ("=", "<>") and isinstance(right, Text)):
                yield from _changes(right, near, lambda new: build(replace(node, right=new)))
            yield from _changes(left, near, lambda new: build(replace(node, left=new)))
        case Minus():
            yield from _changes(node.value, near, lambda new: build(Minus(new)))


def _inside(node: Call, place: int, build: Callable[[Node], Node]) -> Callable[[Node], Node]:
    before, after = node.arguments[:place], node.arguments[place + 1 :]
    return lambda new: build(Call(node.function, (*before, new, *after)))


def _is_form(function: str, place: int, argument: Node) -> bool:
    """A number that only says how: digits of a rounding, type of MATCH, row 1 of a row of cells."""
    if not isinstance(argument, Number):
        return False
    if function == "MATCH":
        return place == 2
    return function in ("ROUND", "ROUNDUP", "ROUNDDOWN", "FIXED") and place == 1


def _mistakes(node: Node, near: Neighbours) -> Iterator[tuple[str, Node]]:
    match node:
        case Operation():
            yield from _of_operation(node, near)
        case Call():
            yield from _of_call(node)
        case Number(text):
            if text.isdigit():
                yield "constant", Number(str(int(text) + 1))
        case Text(value):
            yield from _of_text(value)
        case ColumnName(name):
            if ":" in name:
                yield from _renamed("range one short", ColumnName, near.range_end(name))
            else:
                yield from _renamed("neighbour column", ColumnName, near.column(name))
        case Named(name):
            yield from _renamed("neighbour value", Named, near.named(name))
            yield from _renamed("range one short", Named, near.range_end(name))


def _renamed(operator: str, kind: type, name: str | None) -> Iterator[tuple[str, Node]]:
    if name is not None:
        yield operator, kind(name)


def _of_operation(node: Operation, near: Neighbours) -> Iterator[tuple[str, Node]]:
    operator, left, right = node.operator, node.left, node.right
    if operator in _EDGES:
        yield "comparison", replace(node, operator=_EDGES[operator])
        if isinstance(left, ColumnName) and isinstance(right, Text):
            other = near.choice(left.name, right.value)
            if other is not None:
                yield "text choice", replace(node, right=Text(other))
    if operator in _SWAPS and not (operator in "*/" and right == Number("1")):
        yield "arithmetic", replace(node, operator=_SWAPS[operator])
    if operator in "+-" and right == Number("1"):
        yield "lost one", left
    elif operator in "+-*/&":
        yield "dropped term", left
    if operator in "+*&" and right != Number("1"):
        yield "dropped term", right


def _of_call(node: Call) -> Iterator[tuple[str, Node]]:
    function, arguments = node.function, node.arguments
    partner = _PARTNERS.get(function)
    if partner == "ROUND":
        yield "rounding", Call("ROUND", (arguments[0], Number("0")))
    elif partner is not None:
        yield _OPERATOR_OF.get(function, "rounding"), replace(node, function=partner)
    if function == "ROUND" and arguments[1] not in map(Number, _NOISE):
        yield "rounding", replace(node, function="ROUNDUP")
        yield "rounding", replace(node, function="ROUNDDOWN")
    if function == "IF" and len(arguments) == 3:
        yield "IF branches", Call("IF", (arguments[0], arguments[2], arguments[1]))
    if function == "IFERROR":
        yield "dropped term", arguments[0]
    if function == "NOT":
        yield "AND and OR", arguments[0]
    if function == "MATCH" and len(arguments) == 3 and isinstance(arguments[2], Number):
        other = Number("1" if arguments[2].text == "0" else "0")
        yield "exact match", replace(node, arguments=(*arguments[:2], other))
    if function in _SEVERAL and len(arguments) > 1:
        for place in range(len(arguments)):
            yield "dropped term", replace(node, arguments=(*arguments[:place], *arguments[place + 1 :]))


def _of_text(value: str) -> Iterator[tuple[str, Node]]:
    """A criterion of COUNTIFS takes the edge; another word becomes another word."""
    if value in _EDGES:
        yield "comparison", Text(_EDGES[value])
    else:
        yield "text choice", Text(value + "!")
