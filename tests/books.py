"""Writes workbooks for tests; their cached values are zero, so nothing passes unless it is recalculated."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

import pandas as pd

from workbook_builder.code_tables.load import load
from workbook_builder.sheets.compile import compile_book
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.model import CompiledSheet
from workbook_builder.sheets.order import SHEETS
from workbook_builder.writer.workbook import write_workbook


@lru_cache(maxsize=8)
def _compiled(rows: int, circuit_rows: int) -> tuple[Layout, tuple[CompiledSheet, ...]]:
    layout = Layout(load(), rows=rows, circuit_rows=circuit_rows)
    return layout, compile_book(SHEETS, layout)


def write_book(
    path: Path,
    jobs: pd.DataFrame,
    *,
    rows: int | None = None,
    circuits: pd.DataFrame | None = None,
    circuit_rows: int | None = None,
    overrides: Mapping[str, float | str] | None = None,
) -> None:
    listed = 0 if circuits is None else len(circuits)
    layout, sheets = _compiled(rows or len(jobs) + 2, circuit_rows or listed + 2)
    write_workbook(
        path,
        layout=layout,
        sheets=sheets,
        jobs=jobs,
        results=None,
        circuits=circuits,
        built_on="2026-01-02",
        overrides=overrides or {},
    )
