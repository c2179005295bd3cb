"""The mutants that are equal in effect, each with its reason, from `equal.csv`.

Columns of the file: sheet, column, operator, change, reason. In each of the
first four `...` stands for any text; a line takes every mutant that it fits. A
line is honest only while nothing it takes is told apart and it takes
something, which `stale` checks.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from .mutants import Mutant

ANY_TEXT = "..."
FILE = Path(__file__).parent / "equal.csv"


@dataclass(frozen=True)
class Line:
    """One line of the file, row as a person sees it."""

    row: int
    sheet: str
    column: str
    operator: str
    change: str
    reason: str

    def fits(self, mutant: Mutant) -> bool:
        there = (mutant.sheet, mutant.column, mutant.operator, mutant.change)
        return all(map(re.Pattern.fullmatch, self._patterns, there))

    @cached_property
    def _patterns(self) -> tuple[re.Pattern[str], ...]:
        wanted = (self.sheet, self.column, self.operator, self.change)
        return tuple(map(pattern, wanted))


def pattern(text: str) -> re.Pattern[str]:
    """What a cell of a line takes: `...` is any text."""
    return re.compile(".*".join(map(re.escape, text.split(ANY_TEXT))))


def lines(path: Path = FILE) -> list[Line]:
    """All lines. Raises ValueError for one without a reason."""
    with path.open(newline="", encoding="utf-8") as file:
        found = [Line(row, **cells) for row, cells in enumerate(csv.DictReader(file), start=2)]
    silent = [f"{path.name}, row {line.row}: no reason" for line in found if not line.reason.strip()]
    if silent:
        raise ValueError("\n".join(silent))
    return found


def reasons(mutants: Iterable[Mutant], given: Iterable[Line]) -> dict[Mutant, Line]:
    """The first line that takes each of these mutants; those that no line takes are left out."""
    given = list(given)
    found = {}
    for mutant in mutants:
        line = next((line for line in given if line.fits(mutant)), None)
        if line is not None:
            found[mutant] = line
    return found


def stale(given: Iterable[Line], *, alive: Iterable[Mutant], told_apart: Iterable[Mutant], whole: bool) -> list[str]:
    """Lines that are not true: one that takes a mutant which was told apart, and one that takes nothing.

    whole: all mutants were tried; in a sample a line may take nothing.
    """
    alive, told_apart = list(alive), list(told_apart)
    faults = []
    for line in given:
        false = next((mutant for mutant in told_apart if line.fits(mutant)), None)
        if false is not None:
            faults.append(f"{FILE.name}, row {line.row}: {false} is told apart, so it is not equal in effect")
        elif whole and not any(map(line.fits, alive)):
            faults.append(f"{FILE.name}, row {line.row}: takes no mutant; delete it")
    return faults
