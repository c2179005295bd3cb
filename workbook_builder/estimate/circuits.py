"""The circuits of a long list by their jobs."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pandas as pd

from ..code_tables.load import load
from ..reader.checks import circuit_faults
from ..reader.faults import Fault
from ..reader.parts import as_plain


class CircuitList:
    """All circuits, of which each job takes its own, in the order of the file."""

    def __init__(self, frame: pd.DataFrame, *, file: str) -> None:
        self.frame, self.file = frame, file
        numbers = [number.lower() if isinstance(number, str) else "" for number in frame["job_no"]]
        codes, jobs = pd.factorize(np.array(numbers, dtype=object))
        self._place = {number: place for place, number in enumerate(jobs)}
        self._rows = np.argsort(codes, kind="stable")
        self._starts = np.searchsorted(codes[self._rows], np.arange(len(jobs) + 1))
        self._taken = np.zeros(len(frame), dtype=bool)

    def of(self, numbers: Iterable[str]) -> pd.DataFrame:
        """The circuits of these jobs by row number, each in the order of the file."""
        places = [place for number in numbers if (place := self._place.get(number.lower())) is not None]
        parts = [self._rows[self._starts[place] : self._starts[place + 1]] for place in places]
        rows = np.sort(np.concatenate(parts)) if parts else np.empty(0, dtype=np.int64)
        self._taken[rows] = True
        return self.frame.iloc[rows]

    def left(self) -> list[Fault]:
        """A fault for each circuit whose job never came."""
        rest = as_plain(self.frame[~self._taken], [field.name for field in load().circuit_fields])
        if rest.empty:
            return []
        names = {name for name in rest.columns if name != "job_no"}
        return circuit_faults(rest, jobs=pd.DataFrame({"job_no": []}), file=self.file, absent=names)
