"""Works out the unit of a formula and says where units do not fit."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field

from .formula import Call, ColumnName, Minus, Named, Node, Number, Operation, Text

_BASE = {"VA": {"V": 1, "A": 1}, "W": {"V": 1, "A": 1}, "ohm": {"V": 1, "A": -1}, "ft2": {"ft": 2}, "in2": {"in": 2}}
_COMPARE = frozenset({"=", "<>", "<", "<=", ">", ">="})
_SAME = frozenset({"MIN", "MAX", "SUM", "SUMIF", "SUMIFS", "SMALL", "LARGE", "AVERAGEIFS"})
_KEEP = frozenset({"ROUND", "ROUNDUP", "ROUNDDOWN", "INT", "ABS", "SUMPRODUCT"})
_TEXT = frozenset({"LEFT", "MID", "RIGHT", "SUBSTITUTE", "UPPER", "FIXED"})


@dataclass(frozen=True)
class Unit:
    """kind is number, text, flag, or any (zero and blank, which fit everywhere)."""

    kind: str
    powers: tuple[tuple[str, int], ...] = ()

    def __str__(self) -> str:
        if self.kind != "number":
            return self.kind
        return " ".join(f"{name}^{power}" if power != 1 else name for name, power in self.powers) or "1"


ANY, TEXT, FLAG, PLAIN = Unit("any"), Unit("text"), Unit("flag"), Unit("number")


def unit(text: str) -> Unit:
    """The unit of words such as `VA/ft2`, `ohm/kft`, `%`, `1`, and `size` for text.

    >>> unit("VA") == unit("V").__class__("number", (("A", 1), ("V", 1)))
    True
    """
    if text in ("", "1"):
        return PLAIN
    if text == "size":
        return TEXT
    powers: dict[str, int] = {}
    for place, part in enumerate(text.split("/")):
        sign = -1 if place else 1
        if part != "1":
            for name, power in _BASE.get(part, {part: 1}).items():
                powers[name] = powers.get(name, 0) + sign * power
    return _number(powers)


def _number(powers: dict[str, int]) -> Unit:
    return Unit("number", tuple(sorted((name, power) for name, power in powers.items() if power)))


def table_units(words: str) -> Callable[[str], str]:
    """What unit each column of a table has, from the words of its header file.

    `A` holds for all; `column_a and column_b %, column_c kW` names columns.
    """
    if not re.search(r"[\s,]", words):
        return lambda _name: words
    found: dict[str, str] = {}
    for part in words.split(","):
        names, _, own = part.strip().rpartition(" ")
        for name in names.split(" and "):
            found[name.strip()] = own
    return lambda name: found.get(name, "")


@dataclass
class UnitCheck:
    """Walks one formula. faults collects what does not fit, in words."""

    unit_of: Callable[[str], Unit]
    faults: list[str] = field(default_factory=list)

    def of(self, node: Node) -> Unit:
        match node:
            case Number(text):
                return ANY if text == "0" else PLAIN
            case Text(value):
                return ANY if value == "" else TEXT
            case ColumnName(name):
                return self.unit_of(f"[{name}]")
            case Named(name):
                return self.unit_of(f"{{{name}}}")
            case Minus(value):
                return self.of(value)
            case Operation(operator, left, right):
                return self._operation(operator, self.of(left), self.of(right))
            case Call(function, arguments):
                return self._call(function, [self.of(one) for one in arguments])
        raise TypeError(node)

    def _operation(self, operator: str, left: Unit, right: Unit) -> Unit:
        if operator == "&":
            return TEXT
        if operator in _COMPARE:
            self._fit(operator, left, right)
            return FLAG
        left, right = _as_number(left), _as_number(right)
        if TEXT in (left, right):
            self.faults.append(f"text in arithmetic with {operator}")
            return ANY
        if operator in "+-":
            return self._fit(operator, left, right)
        if operator == "^":
            return PLAIN
        if ANY in (left, right):
            return ANY
        powers = dict(left.powers)
        for name, power in right.powers:
            powers[name] = powers.get(name, 0) + (power if operator == "*" else -power)
        return _number(powers)

    def _call(self, function: str, units: list[Unit]) -> Unit:
        if function == "IF":
            return self._all("IF", units[1:])
        if function in _SAME or function == "IFERROR":
            return self._all(function, [_as_number(one) if function != "IFERROR" else one for one in units])
        if function in _KEEP:
            return _as_number(units[0])
        if function == "INDEX":
            return units[0]
        if function == "MATCH":
            self._fit("MATCH", units[0], units[1])
            return PLAIN
        if function == "MOD":
            return units[0]
        if function == "SQRT":
            return _number({name: power // 2 for name, power in units[0].powers})
        if function in _TEXT:
            return TEXT
        if function in ("AND", "OR", "NOT", "ISTEXT", "ISBLANK"):
            return FLAG
        return PLAIN

    def _all(self, name: str, units: list[Unit]) -> Unit:
        result = units[0]
        for one in units[1:]:
            result = self._fit(name, result, one)
        return result

    def _fit(self, name: str, left: Unit, right: Unit) -> Unit:
        if left == ANY:
            return right
        if right == ANY or left == right:
            return left
        self.faults.append(f"{name} puts {left} beside {right}")
        return left


def _as_number(one: Unit) -> Unit:
    return PLAIN if one == FLAG else one
