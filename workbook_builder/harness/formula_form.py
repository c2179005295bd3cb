"""The form of a formula: what it says, whatever the program that wrote it down.

A formula is read into a tuple in which operands stand before their operator, so
that brackets which change nothing, spaces, a sign `+` before a value, the case
of function names, `_xlfn.`, quotes around sheet names and spellings of numbers
leave no trace. A reference is kept as `Ref`; everything else is text.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from ..reader.sheet_cells import column_letters


@dataclass(frozen=True, slots=True)
class Ref:
    """A reference to one cell: the sheet, row and column from 1, and which of these two have a `$`."""

    sheet: str
    row: int
    column: int
    fixed_row: bool
    fixed_column: bool

    def moved(self, down: int, right: int) -> Ref:
        """What it becomes where the formula is copied that far."""
        return replace(
            self,
            row=self.row if self.fixed_row else self.row + down,
            column=self.column if self.fixed_column else self.column + right,
        )


Form = tuple[str | Ref, ...]

_TOKEN = re.compile(
    r"""\s*(?:
    (?P<text>"(?:[^"]|"")*")
  | (?P<error>\#[A-Z][A-Z0-9/]*[!?]?)
  | (?P<sheet>(?:'(?:[^']|'')+'|[^\W\d][\w.]*)!)
  | (?P<cell>\$?[A-Za-z]{1,3}\$?[0-9]{1,7}(?![\w.(!]))
  | (?P<number>(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)
  | (?P<name>[^\W\d][\w.]*|\\[\w.]+)
  | (?P<operator><>|<=|>=|[-+*/^&=<>%:,(){};])
    )""",
    re.VERBOSE,
)
_CELL = re.compile(r"(\$?)([A-Za-z]{1,3})(\$?)([0-9]+)")
_PREFIX = re.compile(r"^(?:_XLFN\.|_XLWS\.|_XLUDF\.)+")
_BINDS = {"=": 1, "<>": 1, "<": 1, ">": 1, "<=": 1, ">=": 1, "&": 2, "+": 3, "-": 3, "*": 4, "/": 4, "^": 5, ":": 8}
_SIGN, _DEEPEST = 6, 200


class NoForm(ValueError):
    """A text that is no formula of the kind that is built here."""


@lru_cache(maxsize=20_000)
def form_of(text: str, sheet: str) -> Form:
    """The form of a formula without its equals sign that stands on `sheet`. Raises NoForm.

    >>> form_of("+(A1)+.80*SUM( $B2 )", "S") == form_of("A1+0.8*sum($B2)", "S")
    True
    >>> form_of("(A1+B1)*2", "S") == form_of("A1+B1*2", "S")
    False
    """
    reader = _Reader(text, sheet)
    reader.expression(0)
    if reader.kind is not None:
        raise NoForm(text)
    return tuple(reader.out)


def moved(form: Form, down: int, right: int) -> Form:
    """The form of a formula copied to another cell."""
    return tuple(part.moved(down, right) if isinstance(part, Ref) else part for part in form)


def led(form: Form, place: Callable[[Ref], Ref]) -> Form:
    """The form with every reference led to another place."""
    return tuple(place(part) if isinstance(part, Ref) else part for part in form)


def copied(text: str, down: int, right: int) -> str:
    """The text of a formula copied that far, as shared formulas are to be read. Raises NoForm.

    >>> copied('IF($A1="A1", B$2, Loads!C3)', 2, 1)
    'IF($A3="A1", C$2, Loads!D5)'
    """
    pieces, at = [], 0
    for found in _tokens(text):
        if found.lastgroup == "cell":
            start = found.start("cell")
            pieces += [text[at:start], _shifted(found["cell"], down, right)]
            at = found.end()
    return "".join([*pieces, text[at:]])


def _shifted(cell: str, down: int, right: int) -> str:
    dollar, letters, fixed, digits = _CELL.fullmatch(cell).groups()
    row, column = int(digits) + (0 if fixed else down), _number(letters) + (0 if dollar else right)
    if row < 1 or column < 1:
        raise NoForm(cell)
    return f"{dollar}{column_letters(column)}{fixed}{row}"


def _number(letters: str) -> int:
    number = 0
    for letter in letters.upper():
        number = number * 26 + ord(letter) - 64
    return number


def _tokens(text: str) -> Iterator[re.Match[str]]:
    at, end = 0, len(text.rstrip())
    while at < end:
        found = _TOKEN.match(text, at)
        if found is None:
            raise NoForm(text)
        yield found
        at = found.end()


class _Reader:
    """Reads one formula; `out` grows operands first, `kind` and `token` are what comes next."""

    def __init__(self, text: str, sheet: str) -> None:
        self.out: list[str | Ref] = []
        self._own, self._depth = sheet, 0
        self._text, self._coming = text, _tokens(text)
        self.kind: str | None = None
        self.token = ""
        self._next()

    def expression(self, binds: int) -> None:
        """One operand and the operators after it that bind tighter than `binds`."""
        self._depth += 1
        if self._depth > _DEEPEST:
            raise NoForm(self._text)
        self._operand()
        while self.kind == "operator":
            operator = self.token
            if operator == "%":
                self._next()
                self.out.append("%")
                continue
            strength = _BINDS.get(operator, 0)
            if strength <= binds:
                break
            self._next()
            self.expression(strength)
            self.out.append(operator)
        self._depth -= 1

    def _next(self) -> None:
        found = next(self._coming, None)
        self.kind = None if found is None else found.lastgroup
        self.token = "" if found is None else found[found.lastgroup]

    def _take(self) -> str:
        token = self.token
        self._next()
        return token

    def _expect(self, token: str) -> None:
        if self.kind != "operator" or self.token != token:
            raise NoForm(self._text)
        self._next()

    def _operand(self) -> None:
        kind = self.kind
        if kind == "operator" and self.token in "+-(":
            sign = self._take()
            if sign == "(":
                self.expression(0)
                self._expect(")")
                return
            self.expression(_SIGN)
            self.out += ["negative"] if sign == "-" else []
        elif kind in ("text", "error"):
            self.out.append(self._take())
        elif kind == "number":
            self.out.append(repr(float(self._take())))
        elif kind == "sheet":
            title = self._take()[:-1]
            if title[0] == "'":
                title = title[1:-1].replace("''", "'")
            if self.kind != "cell":
                raise NoForm(self._text)
            self._reference(title)
        elif kind == "cell":
            self._reference(self._own)
        elif kind == "name":
            self._name(_PREFIX.sub("", self._take().upper()))
        else:
            raise NoForm(self._text)

    def _reference(self, sheet: str) -> None:
        """A cell or, with the other corner after a colon, a range; the corner is on the same sheet."""
        self.out.append(_ref(self._take(), sheet))
        if self.kind == "operator" and self.token == ":":
            self._next()
            if self.kind == "sheet" and self._take().strip("'!").replace("''", "'") != sheet:
                raise NoForm(self._text)
            if self.kind != "cell":
                raise NoForm(self._text)
            self.out += [_ref(self._take(), sheet), ":"]

    def _name(self, name: str) -> None:
        """A function with its arguments, a truth value or a defined name."""
        if self.kind != "operator" or self.token != "(":
            self.out.append(name)
            return
        self._next()
        count = 0
        if (self.kind, self.token) != ("operator", ")"):
            count = 1
            self._argument()
            while self.kind == "operator" and self.token in (",", ";"):
                self._next()
                self._argument()
                count += 1
        self._expect(")")
        if count or name not in ("TRUE", "FALSE"):
            name = f"{name}({count})"
        self.out.append(name)

    def _argument(self) -> None:
        if self.kind == "operator" and self.token in (",", ";", ")"):
            self.out.append("nothing")
        else:
            self.expression(0)


def _ref(cell: str, sheet: str) -> Ref:
    dollar, letters, fixed, digits = _CELL.fullmatch(cell).groups()
    return Ref(sheet, int(digits), _number(letters), bool(fixed), bool(dollar))
