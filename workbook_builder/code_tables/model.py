"""What a code table, a parameter, a rule, a source and an input field are.

Facts only: nothing here calculates. Every value carries the section it comes
from in each edition, where it was seen, and how sure that is.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

EDITIONS = (2017, 2020, 2023, 2026)

CLAIMS = ("read", "same", "changed", "assumed same", "not read")
"""What is known of a value in one edition.

read: seen in a public page; same: seen or reported unchanged; changed: seen or
reported with another value; assumed same: nobody has looked; not read: not
available, and whatever uses it stops.
"""

STATUSES = ("confirmed", "partly confirmed", "memory", "common practice", "decision")
"""Where a value was seen.

confirmed: in a listed public source; partly confirmed: part of the row or the
rule was; memory: written from memory; common practice: a fact of the trade
without a source; decision: ours, where the rule leaves a choice open.
"""


class CodeTableError(Exception):
    """Faults in the data files, all in one message, a line each."""


@dataclass(frozen=True)
class Claim:
    """What one edition says of a value: claim word and section."""

    status: str
    section: str


@dataclass(frozen=True)
class Source:
    """A public source: short name, what it is, address."""

    name: str
    title: str
    address: str


@dataclass(frozen=True)
class Table:
    """One printed table.

    header names the columns, the first being the key; rows holds numbers,
    text and None (no value printed); status has one word a row.
    """

    name: str
    title: str
    unit: str
    columns: str
    sheet: str
    source: tuple[str, ...]
    note: str
    invariants: tuple[str, ...]
    editions: Mapping[int, Claim]
    header: tuple[str, ...]
    rows: tuple[tuple[float | str | None, ...], ...]
    status: tuple[str, ...]

    @property
    def key(self) -> str:
        return self.header[0]

    def column(self, name: str) -> tuple[float | str | None, ...]:
        """The values of one column, top to bottom. KeyError names the table."""
        if name not in self.header:
            raise KeyError(f"table {self.name} has no column {name!r}; it has {self.header}")
        place = self.header.index(name)
        return tuple(row[place] for row in self.rows)

    def block(self) -> tuple[tuple[float | str | None, ...], ...]:
        """All columns but the key, row by row."""
        return tuple(row[1:] for row in self.rows)


@dataclass(frozen=True)
class Parameter:
    """One number or word of a rule, with its value in each edition."""

    name: str
    meaning: str
    unit: str
    values: Mapping[int, float | str]
    editions: Mapping[int, Claim]
    status: str
    source: tuple[str, ...]
    note: str
    least: float = 0.0
    most: float = math.inf

    @property
    def varies(self) -> bool:
        return len(set(self.values.values())) > 1

    @property
    def limits(self) -> str:
        """What an override may be, in words: `a number from 0 to 1`, `100, a fact of arithmetic`."""
        if self.least == self.most:
            return f"{self.least:.12g}, a fact of arithmetic"
        if self.most < math.inf:
            return f"a number from {self.least:.12g} to {self.most:.12g}"
        return f"a number of {self.least:.12g} or more"


@dataclass(frozen=True)
class Rule:
    """One calculated column: its name, the rule in words, its section by edition.

    kind: number (rounded to six decimals), fine (rounded to twelve, for hours
    and variances that are multiplied on), count (whole number), size
    (conductor or trade size, text), choice (one of a few words), state
    (OK, CHECK or STOP with words behind a colon), text.
    """

    name: str
    sheet: str
    band: str
    title: str
    unit: str
    kind: str
    sentence: str
    sections: Mapping[int, str]


PACKAGES = ("common", "existing", "added", "control", "service")
"""What a way to serve the house is made of; every way takes the first."""

DIFFICULTIES = ("none", "panel", "wall", "run", "route")
"""What makes a task harder: nothing; the old panel; the wall; the run; the run in walls."""


@dataclass(frozen=True)
class TakeoffLine:
    """One quantity of material: its rule, its package, its line of the price book.

    item is the line of the price book; where by_size is true the line depends
    on the job, and item only shows how its name is made.
    """

    name: str
    package: str
    item: str
    by_size: bool


@dataclass(frozen=True)
class WorkLine:
    """One quantity of work: its rule, its package, its difficulty, its labour unit."""

    name: str
    package: str
    difficulty: str
    unit_id: str


@dataclass(frozen=True)
class Field:
    """One input field of a list that people fill in.

    choices are numbers where `numeric` is true. minimum and maximum hold for
    numbers; whole means a whole number. default is the fixed default; where
    default_rule has words instead, the default comes from other inputs.
    """

    name: str
    title: str
    group: str
    kind: str
    unit: str
    choices: tuple[float | str, ...]
    numeric: bool
    minimum: float | None
    maximum: float | None
    whole: bool
    default: float | str | None
    default_rule: str
    required: bool
    meaning: str

    @property
    def expected(self) -> str:
        """What a valid entry looks like, in a few words."""
        if self.kind == "choice":
            return "one of " + ", ".join(_plain(choice) for choice in self.choices)
        if self.kind == "date":
            return "a date"
        if self.kind == "text":
            return "text" + (" of 1 to 20 characters" if self.name == "job_no" else "")
        words = "a whole number" if self.whole else "a number"
        if self.maximum is None:
            words += f" of {_plain(self.minimum)} or more"
        else:
            words += f" from {_plain(self.minimum)} to {_plain(self.maximum)}"
        return words + (f" {self.unit}" if self.unit else "")


def _plain(value: float | str | None) -> str:
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() else str(value)
    return str(value)
