"""Parts of a long list: what a file gives block by block, to be read wherever the block is calculated."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
import pandas as pd

from ..code_tables.model import Field
from .cells import Complaint, parsed
from .faults import Fault


@dataclass(frozen=True)
class Rows:
    """Rows of a part: a frame by row number, and its faults so far.

    The frame has number columns as float64, words as categories, dates as
    datetime64 or date, texts as str, blanks as NaN or None. Where there are
    faults it is of object dtype with None for blanks, as read_jobs gives it;
    absent names the fields without a column.
    """

    frame: pd.DataFrame
    faults: list[Fault] = field(default_factory=list)
    absent: frozenset[str] = frozenset()


class Part(Protocol):
    """Some rows of a file, not looked at yet. It can be pickled."""

    def read(self) -> Rows: ...

    def plain(self) -> Rows:
        """As read, with every cell as read_jobs gives it."""
        ...

    def only(self, name: str) -> Part:
        """The same rows with one field alone."""
        ...


class Source(Protocol):
    """A file that is open: its name, the faults of its head, and its parts in order."""

    file: str
    faults: list[Fault]

    def parts(self, size: int) -> Iterator[Part]: ...


@dataclass(frozen=True)
class FramePart:
    """Rows that are read and checked already."""

    frame: pd.DataFrame

    def read(self) -> Rows:
        return Rows(self.frame)

    plain = read

    def only(self, name: str) -> FramePart:
        return FramePart(self.frame[[name]])


@dataclass
class FrameSource:
    """A list that is read and checked already."""

    file: str
    frame: pd.DataFrame
    faults: list[Fault] = field(default_factory=list)

    def parts(self, size: int) -> Iterator[FramePart]:
        for start in range(0, len(self.frame), size):
            yield FramePart(self.frame.iloc[start : start + size])


def typed(texts: Sequence[str], places: np.ndarray, field: Field) -> tuple[pd.Series, dict[int, Complaint]]:
    """The column whose row r has the text texts[places[r]]; -1 is blank. Complaints by place in texts.

    Where there are complaints the cells keep their texts.
    """
    found = [parsed(text, field) for text in texts]
    complaints = {place: complaint for place, (_, complaint) in enumerate(found) if complaint}
    values = [value for value, _ in found]
    if complaints or field.kind == "text":
        cells = np.array([*values, None], dtype=object)[places]
        return pd.Series(cells, dtype=object, copy=False), complaints
    if field.kind == "number" or field.numeric:
        numbers = np.array([*(np.nan if value is None else value for value in values), np.nan], np.float64)
        return pd.Series(numbers[places], copy=False), complaints
    if field.kind == "date":
        days = np.array([*values, None], dtype="datetime64[s]")
        return pd.Series(days[places], copy=False), complaints
    words = list(dict.fromkeys(value for value in values if value is not None))
    code = {word: place for place, word in enumerate(words)}
    codes = np.array([*(code.get(value, -1) for value in values), -1], dtype=np.int32)[places]
    return pd.Series(pd.Categorical.from_codes(codes, categories=pd.Index(words, dtype=object))), complaints


def as_plain(frame: pd.DataFrame, names: Sequence[str] = ()) -> pd.DataFrame:
    """The frame with objects for values, None for blanks and dates without times.

    names: columns that it gets, blank where it has them not; without them its own.
    """
    columns: dict[str, object] = dict.fromkeys(names)
    for name, column in frame.items():
        if column.dtype.kind == "M":
            column = column.dt.date
        cells = column.astype(object)
        columns[name] = cells.where(cells.notna(), None)
    return pd.DataFrame(columns, index=frame.index, dtype=object)
