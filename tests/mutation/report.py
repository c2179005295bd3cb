"""Counts what became of the mutants and says it, by operator and in total."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from .equal import Line, lines, reasons, stale
from .mutants import Mutant
from .run import Outcome, key_of

WANTED = 0.98
"""Share of the mutants that are not equal in effect which must be killed."""


@dataclass
class Verdict:
    """Killed, refused by the compiler, equal in effect with the line that says why, survived; and faults."""

    killed: list[Mutant] = field(default_factory=list)
    refused: list[Mutant] = field(default_factory=list)
    equal: dict[Mutant, Line] = field(default_factory=dict)
    survived: list[Mutant] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    @property
    def share(self) -> float:
        """Killed or refused, of those that are not equal in effect."""
        found = len(self.killed) + len(self.refused)
        return found / (found + len(self.survived)) if found + len(self.survived) else 1.0

    @property
    def passed(self) -> bool:
        return not self.faults and self.share >= WANTED


def judge(outcome: Outcome, *, given: Sequence[Line] | None = None, whole: bool, sheets: Iterable[str]) -> Verdict:
    """given: the lines of equal.csv. whole: all mutants of these sheets were tried, so that a stale line shows."""
    given = lines() if given is None else given
    verdict = Verdict(faults=list(outcome.wrong))
    alive = []
    for one in outcome.tried:
        key = key_of(one)
        kind = verdict.refused if key in outcome.refused else alive if key in outcome.alive else verdict.killed
        kind.append(one)
    verdict.equal = reasons(alive, given)
    verdict.survived = [one for one in alive if one not in verdict.equal]
    own = [line for line in given if line.meant[0] in set(sheets)]
    verdict.faults += stale(own, alive=alive, told_apart=verdict.killed, whole=whole)
    return verdict


def table(verdict: Verdict) -> Iterator[str]:
    """A line for each operator and one for all."""
    columns = {
        "killed": Counter(one.operator for one in verdict.killed),
        "refused": Counter(one.operator for one in verdict.refused),
        "equal": Counter(one.operator for one in verdict.equal),
        "survived": Counter(one.operator for one in verdict.survived),
    }
    yield f"{'operator':<18}" + "".join(f"{name:>10}" for name in columns)
    for operator in sorted(set().union(*columns.values())):
        yield f"{operator:<18}" + "".join(f"{found[operator]:>10}" for found in columns.values())
    yield f"{'all':<18}" + "".join(f"{found.total():>10}" for found in columns.values())


def words(verdict: Verdict) -> Iterator[str]:
    """The whole report."""
    yield from table(verdict)
    yield ""
    why = Counter(line.reason for line in verdict.equal.values())
    for reason, count in why.most_common():
        yield f"equal in effect, {count}: {reason}"
    for one in verdict.survived:
        yield f"survived: {one}"
    for fault in verdict.faults:
        yield f"fault: {fault}"
    yield f"{verdict.share:.2%} of those that are not equal in effect are killed; wanted {WANTED:.0%}"
