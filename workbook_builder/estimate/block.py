"""What is done with one part of a list, by itself: read it, calculate it, put the results into a piece."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pandas as pd

from ..code_tables.books import Books
from ..code_tables.load import load
from ..reader.checks import circuit_faults, job_faults
from ..reader.faults import Fault
from ..reader.parts import Part, Rows, as_plain
from ..reader.result_files import piece
from ..reference.columns import Column, calculate_columns


@dataclass(frozen=True)
class Work:
    """What is wanted of every part.

    kinds: the columns of the results in order, and whether each is of numbers,
    words or text; out: the file that they go to, None where the columns
    themselves are wanted; jobs, circuits: names of the files in messages;
    told: whether faults are wanted, or only how many rows have some.
    """

    kinds: Mapping[str, str]
    books: Books | None
    out: Path | None
    jobs: str
    circuits: str = ""
    told: bool = True


@dataclass(frozen=True)
class Done:
    """What came of a part: a piece of the file or columns, or faults; never both.

    marks: a number for each job number, the same for the same one without
    regard to capitals; faulty: rows with a fault.
    """

    rows: int
    marks: np.ndarray
    content: bytes = b""
    columns: Mapping[str, Column] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()
    faulty: int = 0


def calculate_part(part: Part, circuits: pd.DataFrame | None, whole: Mapping[str, Column] | None, work: Work) -> Done:
    """The results of one part. It depends on nothing else, so it can be done anywhere, and again.

    circuits: all those of these jobs by row number, None where no list was
    given. whole: columns that come from the whole list, for these rows.
    """
    rows = part.read()
    if not len(rows.frame) or rows.faults:
        return _refused(rows, work)
    jobs = rows.frame.reset_index(drop=True)
    listed = None if circuits is None else circuits.reset_index(drop=True)
    wanted = [name for name in work.kinds if name not in (whole or {})]
    found = calculate_columns(jobs, listed, wanted, books=work.books)
    if not (found.state == "ready").all():
        return _refused(part.plain() if work.told else rows, work, found.state)
    if not (found.circuit_state == "ready").all():
        return _refused_circuits(circuits, part.plain(), work)
    marks = marks_of(jobs["job_no"])
    columns = found.columns | dict(whole or {})
    columns = {name: columns[name] for name in work.kinds}
    if work.out is None:
        return Done(len(jobs), marks, columns=columns)
    return Done(len(jobs), marks, content=piece(columns, work.out, work.kinds))


def marks_of(numbers: pd.Series) -> np.ndarray:
    """A 64-bit number for each job number, from its small letters.

    >>> one, other, same = marks_of(pd.Series(["A1", "B", "a1"], dtype=object))
    >>> bool(one == same), bool(one == other)
    (True, False)
    """
    texts = np.array([number.lower() for number in numbers], dtype=object)
    return pd.util.hash_array(texts, categorize=False)


def _refused(rows: Rows, work: Work, state: np.ndarray | None = None) -> Done:
    """Every fault of a part's jobs, cells that are no value first."""
    told = {(fault.row, fault.field) for fault in rows.faults if fault.row is not None}
    frame = rows.frame
    faults = [*rows.faults]
    if len(frame) and work.told:
        faults += job_faults(frame, file=work.jobs, absent=rows.absent, told=told)
    numbers = frame["job_no"].dropna() if "job_no" in frame else pd.Series(dtype=object)
    known = numbers[[isinstance(number, str) for number in numbers]]
    faulty = {fault.row for fault in faults if fault.row is not None}
    if state is not None:
        faulty |= set(frame.index[state != "ready"].tolist())
    return Done(len(frame), marks_of(known), faults=tuple(faults), faulty=len(faulty))


def _refused_circuits(circuits: pd.DataFrame, jobs: Rows, work: Work) -> Done:
    plain = as_plain(circuits, [field.name for field in load().circuit_fields])
    faults = circuit_faults(plain, jobs=jobs.frame, file=work.circuits)
    faulty = len({fault.row for fault in faults})
    return Done(len(jobs.frame), marks_of(jobs.frame["job_no"]), faults=tuple(faults), faulty=faulty)
