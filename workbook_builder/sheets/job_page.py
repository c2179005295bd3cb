"""Pages that show one job: a cell picks it, every other cell looks it up by name.

A page is declared as lines of words with names in braces, so that its formulas
and its last results come from one declaration: `Feeder breaker {feeder_breaker_a:0} A`.
`{name}` is the value as it is, `{name:0}` whole, `{name:2}` with two decimals,
`{name:$}` whole with thousands separated; a line that is one name alone keeps its number.
Words between `<` and `>` are left out where the first name among them is blank: `<, size {raceway_size}>`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from .layout import Layout, quoted
from .model import FIRST_ROW, JOB_GRID, JOB_NUMBER, ROW_NUMBER, ROW_STATE, CompiledSheet

JOB_CELL = "$A$5"
"""Where a person picks the job."""

STATE_CELL = "$C$5"
NO_JOB = "STOP: no such job is ready"

_NAME = re.compile(r"\{([a-z0-9_]+)(?::([02$]))?\}")
_OPTIONAL = re.compile(r"<([^<>]*)>")
LONGEST = 255


@dataclass(frozen=True)
class Line:
    """Words with names in braces for one cell, shown where the test holds.

    when is empty, or tests joined by ` and `: `name` (more than 0), `name=words`, `name<>words`.
    look names how the cell is written; number is its number format.
    """

    cell: str
    words: str
    when: str = ""
    look: str = "formula"
    number: str = ""


class JobPage:
    """The page's way from a name to a formula and to a value."""

    def __init__(self, sheets: Sequence[CompiledSheet], layout: Layout, row_cell: str) -> None:
        self.row_cell = row_cell
        self.columns: dict[str, str] = {}
        for sheet in sheets:
            if sheet.grid != JOB_GRID:
                continue
            last = layout.grids[JOB_GRID].last_row
            for column in sheet.columns:
                if sheet.name != layout.grids[JOB_GRID].home and column.name in (JOB_NUMBER, ROW_STATE):
                    continue
                at = column.letter
                self.columns[column.name] = f"{quoted(sheet.name)}!${at}${FIRST_ROW}:${at}${last}"
            if sheet.name == layout.grids[JOB_GRID].home:
                self.columns[ROW_NUMBER] = f"{quoted(sheet.name)}!$A${FIRST_ROW}:$A${last}"

    def head_formulas(self) -> dict[str, str]:
        """The row of the job picked, and what is wrong with the pick."""
        row = (
            f'SUMPRODUCT(({self.columns[JOB_NUMBER]}={JOB_CELL}&"")*({self.columns[ROW_STATE]}="ready")'
            f"*{self.columns[ROW_NUMBER]})"
        )
        state = f'IF(OR({JOB_CELL}="", {self.row_cell}>0), "", "{NO_JOB}")'
        return {_plain(self.row_cell): row, _plain(STATE_CELL): state}

    def value(self, name: str) -> str:
        """A column's value for the job picked, as a formula."""
        return f"INDEX({self.columns[name]}, {self.row_cell})"

    def formula(self, line: Line) -> str:
        """What stands in the cell of a line. ValueError where it grows too long."""
        shown = self._joined(line.words)
        if line.when:
            shown = f'IF({self._test(line.when)}, {shown}, "")'
        formula = f'IF({self.row_cell}=0, "", {shown})'
        if len(formula) > LONGEST:
            raise ValueError(f"{line.cell}: {len(formula)} characters, the most is {LONGEST}: {line.words}")
        return formula

    def _joined(self, words: str) -> str:
        """Words with names as one text; every second part of the split stands between `<` and `>`."""
        pieces: list[str] = []
        for place, part in enumerate(_OPTIONAL.split(words)):
            if place % 2:
                first = self.value(_first_name(part))
                pieces.append(f'IF({first}="", "", {self._plain_words(part)})')
            elif part:
                pieces.append(self._plain_words(part))
        return "&".join(pieces) if pieces else '""'

    def _plain_words(self, words: str) -> str:
        parts: list[str] = []
        end = 0
        for found in _NAME.finditer(words):
            parts.append(words[end : found.start()])
            parts.append(found[0])
            end = found.end()
        parts.append(words[end:])
        pieces = [self._piece(part) for part in parts if part]
        return "&".join(pieces) if pieces else '""'

    def _piece(self, part: str) -> str:
        found = _NAME.fullmatch(part)
        if not found:
            return '"' + part.replace('"', '""') + '"'
        value = self.value(found[1])
        if found[2] == "0":
            return f"ROUND({value}, 0)"
        if found[2] == "2":
            return f"FIXED({value}, 2)"
        return f"FIXED({value}, 0)" if found[2] == "$" else value

    def _test(self, when: str) -> str:
        tests = [self._one_test(one) for one in when.split(" and ")]
        return tests[0] if len(tests) == 1 else f"AND({', '.join(tests)})"

    def _one_test(self, when: str) -> str:
        for sign in ("<>", "="):
            name, found, words = when.partition(sign)
            if found:
                return f'{self.value(name)}{sign}"{words}"'
        return f"{self.value(when)}>0"


def value_of(line: Line, row: Mapping[str, object] | None) -> object:
    """What a line shows of a job: the last result kept in its cell; blank without a job."""
    if row is None or (line.when and not all(_holds(one, row) for one in line.when.split(" and "))):
        return ""
    alone = _NAME.fullmatch(line.words)
    if alone and not alone[2]:
        return row[alone[1]]
    words = _OPTIONAL.sub(lambda found: found[1] if _shown(row[_first_name(found[1])], None) else "", line.words)
    return _NAME.sub(lambda found: _shown(row[found[1]], found[2]), words)


def _first_name(words: str) -> str:
    found = _NAME.search(words)
    if not found:
        raise ValueError(f"{words!r} between < and > holds no name")
    return found[1]


def _holds(when: str, row: Mapping[str, object]) -> bool:
    for sign in ("<>", "="):
        name, found, words = when.partition(sign)
        if found:
            return (str(row[name]) == words) is (sign == "=")
    value = row[when]
    return isinstance(value, (int, float)) and value == value and value > 0


def _shown(value: object, form: str | None) -> str:
    if value is None or value != value or value == "":
        return ""
    if isinstance(value, str):
        return value
    number = float(value)
    if form == "2":
        return f"{int(abs(number) * 100 + 0.5) / 100 * (1 if number >= 0 else -1):,.2f}"
    if form:
        whole = int(abs(number) + 0.5) * (1 if number >= 0 else -1)
        return f"{whole:,}" if form == "$" else str(whole)
    return str(int(number)) if number.is_integer() else repr(number)


def _plain(cell: str) -> str:
    return cell.replace("$", "")
