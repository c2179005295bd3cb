"""Counts and sums of circuits for their jobs, and order within groups of circuits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from workbook_builder.reference.choice import Choice


@dataclass(frozen=True, eq=False)
class ByJob:
    """The circuits of some jobs: how many jobs there are, and the place of each circuit's job.

    >>> three_jobs = ByJob(jobs=3, place=np.array([0, 2, 2]))
    >>> three_jobs.count(np.array([True, True, False])).tolist()
    [1, 0, 1]
    >>> three_jobs.total(np.array([5.0, 2.0, 7.0])).tolist()
    [5.0, 0.0, 9.0]
    """

    jobs: int
    place: np.ndarray

    def count(self, where: np.ndarray) -> np.ndarray:
        """How many circuits of each job the condition holds for."""
        return np.bincount(self.place[where], minlength=self.jobs)

    def total(self, values: np.ndarray) -> np.ndarray:
        """The sum over the circuits of each job, in the order of their rows."""
        return np.bincount(self.place, weights=values, minlength=self.jobs)


def rank_among(where: np.ndarray, group: np.ndarray, *keys: np.ndarray) -> np.ndarray:
    """Place in its group of each row where the condition holds, by the keys, on a tie by row.

    1 for the first; NaN for the other rows.

    >>> everywhere = np.array([True, True, True, False])
    >>> rank_among(everywhere, np.array([7, 7, 8, 7]), np.array([5, 4, 1, 0])).tolist()
    [2.0, 1.0, 1.0, nan]
    """
    rows, start = _sorted(where, group, keys)
    ranks = np.full(len(where), np.nan)
    ranks[rows] = np.arange(len(rows)) - start + 1.0
    return ranks


def sum_before(values: np.ndarray, where: np.ndarray, group: np.ndarray, *keys: np.ndarray) -> np.ndarray:
    """Sum of the values of the rows that come before in the same group; NaN where not asked.

    >>> sum_before(np.array([2.0, 1.0, 9.0]), np.array([True] * 3), np.array([7, 7, 8]),
    ...            np.array([2, 1, 1])).tolist()
    [1.0, 0.0, 0.0]
    """
    rows, start = _sorted(where, group, keys)
    before = np.concatenate([[0.0], np.cumsum(values[rows])])
    sums = np.full(len(where), np.nan)
    sums[rows] = before[:-1] - before[start]
    return sums


def _sorted(
    where: np.ndarray, group: np.ndarray, keys: tuple[np.ndarray, ...]
) -> tuple[np.ndarray, np.ndarray]:
    """Rows asked for, by group and keys, and the place at which the group of each begins."""
    rows = np.flatnonzero(where)
    rows = rows[np.lexsort((*(key[rows] for key in reversed(keys)), group[rows]))]
    groups = group[rows]
    begins = np.concatenate([[True], groups[1:] != groups[:-1]])[: len(rows)]
    return rows, np.maximum.accumulate(np.where(begins, np.arange(len(rows)), 0))


def count_in_group(where: np.ndarray, group: np.ndarray) -> np.ndarray:
    """For every row, in how many rows of its group the condition holds.

    >>> count_in_group(np.array([True, False, True]), np.array([7, 7, 8])).tolist()
    [1, 1, 1]
    """
    places, groups = pd.factorize(group)
    return np.bincount(places[where], minlength=len(groups))[places]


def same_text(*texts: Choice) -> list[np.ndarray]:
    """A number for each text of some columns, the same for texts that differ only in letters' case.

    -1 for blank.

    >>> one, other = same_text(Choice.of(("a", "b"), ["a", "b"]), Choice.of(("B",), ["B", ""]))
    >>> one.tolist(), other.tolist()
    ([0, 1], [1, -1])
    """
    words = [word.lower() for text in texts for word in text.words]
    numbers = pd.factorize(np.array(words, dtype=object))[0] if words else np.empty(0, np.int64)
    found = []
    for text in texts:
        own, numbers = numbers[: len(text.words)], numbers[len(text.words) :]
        found.append(np.concatenate([own, [-1, -1]])[text.codes])
    return found
