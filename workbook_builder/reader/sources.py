"""Opens a list of jobs or circuits of any length, by the ending of its name."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pandas as pd

from ..code_tables.load import load
from ..code_tables.model import Field
from .csv_jobs import read_circuits, read_jobs
from .csv_parts import CsvSource
from .csv_table import LARGEST_FILE, MOST_LINES, line_of, read_start
from .faults import BadInput, in_order
from .parquet_parts import ParquetSource
from .parts import FrameSource, Source

PARQUET = ".parquet"


def open_jobs(path: Path) -> Source:
    """A list of jobs: a short CSV file read whole, any other list to be read in parts."""
    if path.suffix.lower() != PARQUET and is_short(path):
        return FrameSource(path.name, read_jobs(path))
    return _opened(path, load().job_fields)


def all_circuits(path: Path, jobs: Source, *, size: int) -> pd.DataFrame:
    """The circuits of a file by row number.

    Where the jobs are read already, they are checked against them; else that is
    left for those who have the jobs. BadInput with the faults of the file.
    """
    if isinstance(jobs, FrameSource) and path.suffix.lower() != PARQUET and is_short(path):
        return read_circuits(path, jobs=jobs.frame)
    fields = load().circuit_fields
    source = _opened(path, fields)
    faults = list(source.faults)
    frames = []
    for part in source.parts(size):
        rows = part.read()
        frames.append(rows.frame)
        faults += rows.faults
    if faults:
        raise BadInput(in_order(faults, [field.name for field in fields]))
    return pd.concat(frames) if frames else pd.DataFrame({field.name: [] for field in fields}, dtype=object)


def is_short(path: Path) -> bool:
    """Whether a CSV file is within the limits of a list that is read whole."""
    data = read_start(path, LARGEST_FILE + 1)
    return len(data) <= LARGEST_FILE and line_of(data, len(data)) - 1 <= MOST_LINES


def _opened(path: Path, fields: Sequence[Field]) -> Source:
    return ParquetSource(path, fields) if path.suffix.lower() == PARQUET else CsvSource(path, fields)
