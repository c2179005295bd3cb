"""Tries every mutant of the formulas on every frame, a sheet in each process."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass, field
from zlib import crc32

from workbook_builder.sheets.model import Sheet
from workbook_builder.sheets.order import SHEETS

from .evaluate import survivors
from .frames import Frame
from .mutants import Mutant, SheetFormulas

Key = tuple[str, str, str, str]
"""Sheet, column, operator, change: what a mutant is, whatever rows its workbook has."""


@dataclass
class Outcome:
    """tried: every mutant; alive: keys of those that nothing told apart; wrong: real formulas that failed.

    refused: keys of those that no job told apart and the compiler would not write.
    """

    tried: list[Mutant] = field(default_factory=list)
    refused: set[Key] = field(default_factory=set)
    alive: set[Key] = field(default_factory=set)
    wrong: list[str] = field(default_factory=list)

    def __add__(self, other: Outcome) -> Outcome:
        return Outcome(
            self.tried + other.tried,
            self.refused | other.refused,
            self.alive | other.alive,
            self.wrong + other.wrong,
        )


def key_of(mutant: Mutant) -> Key:
    return mutant.names


def in_sample(mutant: Mutant, one_in: int) -> bool:
    """Whether a mutant is in the sample; the same ones on every machine."""
    return one_in == 1 or crc32("|".join(key_of(mutant)).encode()) % one_in == 0


def run(
    frames: Sequence[Frame],
    *,
    sheets: Iterable[Sheet] = SHEETS,
    one_in: int = 1,
    processes: int = 1,
    tell: Callable[[str], object] = lambda _: None,
) -> Outcome:
    """The outcome for these sheets; one_in takes a sample of one mutant in so many."""
    for frame in frames:
        tell(f"writing the workbook of {frame.name}")
        _ = frame.model
    total, sheets = Outcome(), list(sheets)
    if processes == 1:
        for sheet in sheets:
            total += _said(sheet, _try(sheet, frames, one_in), tell)
        return total
    global _FRAMES
    _FRAMES = frames
    with ProcessPoolExecutor(processes, mp_context=forking()) as pool:
        asked = {pool.submit(_try_shared, sheet, one_in): sheet for sheet in sheets}
        for done in as_completed(asked):
            total += _said(asked[done], done.result(), tell)
    return total


_FRAMES: Sequence[Frame] = ()


def forking() -> object:
    """Processes that share what is in memory, where the machine has them."""
    import multiprocessing

    return multiprocessing.get_context("fork" if hasattr(os, "fork") else "spawn")


def _try_shared(sheet: Sheet, one_in: int) -> Outcome:
    return _try(sheet, _FRAMES, one_in)


def _said(sheet: Sheet, outcome: Outcome, tell: Callable[[str], object]) -> Outcome:
    tell(f"{sheet.name}: {len(outcome.tried)} mutants, {len(outcome.alive)} not told apart")
    return outcome


def _try(sheet: Sheet, frames: Sequence[Frame], one_in: int) -> Outcome:
    first, wrong = frames[0], []
    tried = [one for one in SheetFormulas(sheet, first.layout).mutants() if in_sample(one, one_in)]
    alive = {key_of(one) for one in tried}
    for frame in frames:
        if not alive or (frame.only and sheet.name not in frame.only):
            continue
        left = [one for one in SheetFormulas(sheet, frame.layout).mutants() if key_of(one) in alive]
        found = survivors(frame, sheet, left)
        alive = {key_of(one) for one in found.alive}
        wrong += found.wrong
    formulas = SheetFormulas(sheet, first.layout)
    refused = {key_of(one) for one in tried if key_of(one) in alive and formulas.refused(one)}
    return Outcome(tried, refused, alive - refused, wrong)
