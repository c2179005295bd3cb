"""The mistakes that are equal in effect, each with its reason: mutants in `equal.csv`, values in `equal_values.csv`.

The columns of a file say what is meant, the last one why. In all but the last
`...` stands for any text; a line takes every mistake that it fits. A line is
honest only while nothing it takes is told apart and it takes something, which
`stale` checks.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Protocol, TypeVar

ANY_TEXT = "..."
FILE = Path(__file__).parent / "equal.csv"
VALUES = Path(__file__).parent / "equal_values.csv"


class Mistake(Protocol):
    """What a line may take: a mutant by sheet, column, operator and change; a value by table, row and column."""

    @property
    def names(self) -> tuple[str, ...]: ...


One = TypeVar("One", bound=Mistake)


@dataclass(frozen=True)
class Line:
    """One line of a file, row as a person sees it; meant is what its columns but the last hold."""

    file: str
    row: int
    meant: tuple[str, ...]
    reason: str

    def fits(self, mistake: Mistake) -> bool:
        names = mistake.names
        return len(names) == len(self._patterns) and all(map(re.Pattern.fullmatch, self._patterns, names))

    @cached_property
    def _patterns(self) -> tuple[re.Pattern[str], ...]:
        return tuple(re.compile(".*".join(map(re.escape, one.split(ANY_TEXT)))) for one in self.meant)


def lines(path: Path = FILE) -> list[Line]:
    """All lines. Raises ValueError for one without a reason."""
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))[1:]
    found = [Line(path.name, row, tuple(meant), reason) for row, (*meant, reason) in enumerate(rows, start=2)]
    silent = [f"{path.name}, row {line.row}: no reason" for line in found if not line.reason.strip()]
    if silent:
        raise ValueError("\n".join(silent))
    return found


def reasons(mistakes: Iterable[One], given: Iterable[Line]) -> dict[One, Line]:
    """The first line that takes each of these mistakes; those that no line takes are left out."""
    given = list(given)
    found = {}
    for mistake in mistakes:
        line = next((line for line in given if line.fits(mistake)), None)
        if line is not None:
            found[mistake] = line
    return found


def stale(given: Iterable[Line], *, alive: Iterable[One], told_apart: Iterable[One], whole: bool) -> list[str]:
    """Lines that are not true: one that takes a mistake which was told apart, and one that takes nothing.

    whole: all mistakes were tried; in a sample a line may take nothing.
    """
    alive, told_apart = list(alive), list(told_apart)
    faults = []
    for line in given:
        false = next((mistake for mistake in told_apart if line.fits(mistake)), None)
        if false is not None:
            faults.append(f"{line.file}, row {line.row}: {false} is told apart, so it is not equal in effect")
        elif whole and not any(map(line.fits, alive)):
            faults.append(f"{line.file}, row {line.row}: takes nothing; delete it")
    return faults
