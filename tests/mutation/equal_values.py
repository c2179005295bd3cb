"""Values of the code tables that no job can reach, each with its reason, from `equal_values.csv`.

Columns of the file: table, row (its key), column, reason. In the first three
`...` stands for any text. A line that takes a value which makes a difference,
or none, is a fault.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from .equal import pattern
from .tables import Value

FILE = Path(__file__).parent / "equal_values.csv"


@dataclass(frozen=True)
class Line:
    """One line of the file, number as a person sees it."""

    number: int
    table: str
    row: str
    column: str
    reason: str

    def fits(self, value: Value) -> bool:
        return all(map(re.Pattern.fullmatch, self._patterns, (value.table, value.key, value.column)))

    @cached_property
    def _patterns(self) -> tuple[re.Pattern[str], ...]:
        return tuple(map(pattern, (self.table, self.row, self.column)))


def lines(path: Path = FILE) -> list[Line]:
    """All lines. Raises ValueError for one without a reason."""
    with path.open(newline="", encoding="utf-8") as file:
        found = [Line(number, **cells) for number, cells in enumerate(csv.DictReader(file), start=2)]
    silent = [f"{path.name}, row {line.number}: no reason" for line in found if not line.reason.strip()]
    if silent:
        raise ValueError("\n".join(silent))
    return found


def sort_out(
    unseen: Iterable[Value], seen: Iterable[Value], given: Iterable[Line], *, whole: bool
) -> tuple[list[Value], dict[Value, Line], list[str]]:
    """Of the values that made no difference those that no line takes, and those that one does; faults of the lines.

    whole: all values were tried; in a sample a line may take nothing.
    """
    given, seen = list(given), list(seen)
    reasons = {value: next((line for line in given if line.fits(value)), None) for value in unseen}
    faults = []
    for line in given:
        false = next((value for value in seen if line.fits(value)), None)
        if false is not None:
            faults.append(f"{FILE.name}, row {line.number}: {false} makes a difference, so it is not equal in effect")
        elif whole and line not in reasons.values():
            faults.append(f"{FILE.name}, row {line.number}: takes no value; delete it")
    missed = [value for value, line in reasons.items() if line is None]
    return missed, {value: line for value, line in reasons.items() if line is not None}, faults
