"""All checks of a job together: how many stop it, how many are open, which comes first."""

from __future__ import annotations

import numpy as np

from workbook_builder.code_tables.load import load
from workbook_builder.reference import (  # noqa: F401  their checks have the words
    checks_circuits,
    checks_feeder,
    checks_place,
    checks_record,
    checks_service,
    checks_sources,
    checks_states,
)
from workbook_builder.reference.choice import BLANK, Choice, first_true
from workbook_builder.reference.findings import beginning, words_of
from workbook_builder.reference.registry import rule

POINTS = tuple(name for name in load().rules if name.startswith("point_"))
"""The checks in their order, from point_edition to point_readings."""

NOTHING = "Nothing open."


def _how_many(start: str, points: tuple[np.ndarray, ...]) -> np.ndarray:
    count: np.ndarray = np.array(0)
    for found in beginning(start, POINTS, points):
        count = count + found
    return count


@rule("stops", points=POINTS)
def stops(points: tuple[np.ndarray, ...]) -> np.ndarray:
    """Checks that stop the job.

    Section: own rule.
    Inputs: points [place in their words]. Result: [checks].
    """
    return _how_many("STOP", points)


@rule("checks_open", points=POINTS)
def checks_open(points: tuple[np.ndarray, ...]) -> np.ndarray:
    """Checks that somebody has to look at.

    Section: own rule.
    Inputs: points [place in their words]. Result: [checks].
    """
    return _how_many("CHECK", points)


@rule("job_status", words=("OK", "STOP", "CHECK"))
def job_status(stops: np.ndarray, checks_open: np.ndarray) -> np.ndarray:
    """The worst of the checks.

    Section: own rule.
    Inputs: stops, checks_open [checks]. Result: place in the words.
    """
    return first_true((np.greater(stops, 0), np.greater(checks_open, 0)))


@rule("first_finding", points=POINTS)
def first_finding(points: tuple[np.ndarray, ...]) -> Choice:
    """The first check that stops the job; without one the first that is open.

    Section: own rule.
    Inputs: points [place in their words]. Result: [text].
    """
    words = [NOTHING]
    starts = []
    for name in POINTS:
        starts.append(len(words))
        words += words_of(name)
    codes: np.ndarray = np.array(BLANK)
    for start in ("STOP", "CHECK"):
        found = beginning(start, POINTS, points)
        for first, own, here in zip(starts, points, found, strict=True):
            codes = np.where((codes == BLANK) & here, own.astype(np.int64) + first, codes)
    return Choice(tuple(words), np.where(codes == BLANK, 0, codes))
