"""Works out the unit of a formula and says where units do not fit."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import reduce

from .formula import Call, ColumnName, Minus, Named, Node, Number, Operation, Text

_BASE = {
    "VA": {"V": 1, "A": 1}, "W": {"V": 1, "A": 1}, "ohm": {"V": 1, "A": -1},
    "ft2": {"ft": 2}, "in2": {"in": 2}, "h2": {"h": 2}, "USD2": {"USD": 2},
}  # fmt: skip
_COMPARE = frozenset({"=", "<>", "<", "<=", ">", ">="})
_SAME = frozenset({"MIN", "MAX", "SUM"})
_PAIRS = {"SUMIFS": 1, "AVERAGEIFS": 1, "COUNTIFS": 0, "COUNTIF": 0, "SUMIF": 0}
"""Functions of ranges with a criterion each, and where the first such pair begins."""
_KEEP = frozenset({"ROUND", "ROUNDUP", "ROUNDDOWN", "INT", "ABS", "SMALL", "LARGE"})
_TEXT = frozenset({"LEFT", "MID", "RIGHT", "SUBSTITUTE", "UPPER", "FIXED"})


@dataclass(frozen=True)
class Unit:
    """kind is number, text, flag, or any (zero and blank, which fit everywhere)."""

    kind: str
    powers: tuple[tuple[str, int], ...] = ()

    def __str__(self) -> str:
        if self.kind != "number":
            return self.kind
        return " ".join(f"{name}^{times}" if times != 1 else name for name, times in self.powers) or "1"


ANY, TEXT, FLAG, PLAIN = Unit("any"), Unit("text"), Unit("flag"), Unit("number")

INCHES_OF_A_FOOT = "12"
"""Inches over this typed-in number are feet."""


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
            for name, times in _BASE.get(part, {part: 1}).items():
                powers[name] = powers.get(name, 0) + sign * times
    return _number(powers)


def _number(powers: dict[str, int]) -> Unit:
    return Unit("number", tuple(sorted((name, times) for name, times in powers.items() if times)))


def power(one: Unit, exponent: int) -> Unit:
    """A unit multiplied by itself; what is no number stays what it is."""
    if one.kind != "number":
        return one
    return _number({name: times * exponent for name, times in one.powers})


def product(left: Unit, right: Unit, sign: int = 1) -> Unit:
    """The unit of a product, of a quotient where sign is -1."""
    if ANY in (left, right):
        return ANY
    powers = dict(left.powers)
    for name, times in right.powers:
        powers[name] = powers.get(name, 0) + sign * times
    return _number(powers)


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
            case Operation("^", left, Number(text)) if text.isdigit():
                return power(_as_number(self.of(left)), int(text))
            case Operation("/", ColumnName(name), Number(text)) if (
                text == INCHES_OF_A_FOOT and self.unit_of(f"[{name}]") == unit("in")
            ):
                return unit("ft")
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
        return product(left, right, 1 if operator == "*" else -1)

    def _call(self, function: str, units: list[Unit]) -> Unit:
        if function == "IF":
            return self._all("IF", units[1:])
        if function in _SAME or function == "IFERROR":
            return self._all(function, [_as_number(one) if function != "IFERROR" else one for one in units])
        if function in _PAIRS:
            return self._criteria(function, units)
        if function in _KEEP:
            return _as_number(units[0])
        if function == "SUMPRODUCT":
            return reduce(product, [_as_number(one) for one in units])
        if function == "INDEX":
            return units[0]
        if function == "MATCH":
            self._fit("MATCH", units[0], units[1])
            return PLAIN
        if function == "MOD":
            return units[0]
        if function == "SQRT":
            return _number({name: times // 2 for name, times in units[0].powers})
        if function in ("LN", "EXP"):
            return self._fit(function, PLAIN, _as_number(units[0]))
        if function in _TEXT:
            return TEXT
        if function in ("AND", "OR", "NOT", "ISTEXT", "ISBLANK"):
            return FLAG
        return PLAIN

    def _criteria(self, name: str, units: list[Unit]) -> Unit:
        """Each criterion fits its range; a text one may be a comparison such as `">"&x`."""
        first = _PAIRS[name]
        last = 2 if name == "SUMIF" else len(units)
        for place in range(first, last - 1, 2):
            if units[place + 1] != TEXT:
                self._fit(name, units[place], units[place + 1])
        if name.startswith("COUNT"):
            return PLAIN
        return units[-1] if name == "SUMIF" and len(units) > 2 else units[0]

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
