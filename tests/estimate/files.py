"""Lists for the tests of long lists."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pandas as pd

from workbook_builder.reader.parts import as_plain

GOOD: dict[str, object] = {
    "job_no": "A1", "house_age": "middle", "market": "medium", "service_a": 200.0,
    "main_spaces": 30.0, "main_spaces_used": 30.0, "floor_area_ft2": 2000.0,
}  # fmt: skip


def cells(column: pd.Series) -> list[object]:
    """A column as plain values, None for blanks."""
    return as_plain(pd.DataFrame({"it": column}))["it"].tolist()


def jobs_like(count: int, changes: Mapping[int, Mapping[str, object]] | None = None) -> pd.DataFrame:
    """Good jobs J0, J1 and so on, with changes by place."""
    rows = [GOOD | {"job_no": f"J{place}"} | (changes or {}).get(place, {}) for place in range(count)]
    return pd.DataFrame(rows)


def parquet_file(path: Path, frame: pd.DataFrame) -> Path:
    frame.to_parquet(path, index=False)
    return path


def csv_file(path: Path, frame: pd.DataFrame) -> Path:
    frame.to_csv(path, index=False)
    return path
