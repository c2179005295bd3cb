"""One toy workbook, written once and read back once."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import openpyxl
import pandas as pd
import pytest
from openpyxl.workbook import Workbook

from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.model import CIRCUIT_GRID, CompiledSheet
from workbook_builder.writer.workbook import Summary, write_workbook

from .toy_book import BUILT_ON, toy_circuits, toy_jobs, toy_layout, toy_results, toy_sheets

OVERRIDES = {"unit_load": 3.5, "laundry_load": 1600.0}
REASONS = {"unit_load": "Town amendment 12"}
BOOK_RESULTS = {
    "Price book": {"J10": "OK", "K10": 134.166667, "J11": "STOP: a number is missing or negative", "K11": 0},
    "Labour units": {"J10": "OK"}, "Factors": {}, "Market rates": {}, "Settings": {"F12": "OK"},
    "Line prices": {"R5": "permit"},
}  # fmt: skip
"""Last results of some formulas on the books."""

JOBS, ROWS = 3, 5
CIRCUITS, CIRCUIT_ROWS = 2, 4


@dataclass(frozen=True)
class Written:
    """The file, what went in, and the two ways to read it: formulas and last results."""

    path: Path
    summary: Summary
    layout: Layout
    sheets: tuple[CompiledSheet, ...]
    jobs: pd.DataFrame
    results: pd.DataFrame
    circuits: pd.DataFrame
    circuit_results: pd.DataFrame
    formulas: Workbook
    values: Workbook


@pytest.fixture(scope="session")
def written(tmp_path_factory: pytest.TempPathFactory) -> Written:
    path = tmp_path_factory.mktemp("writer") / "book.xlsx"
    layout = toy_layout(ROWS, CIRCUIT_ROWS)
    sheets = toy_sheets(layout)
    jobs = toy_jobs(JOBS)
    results = toy_results(sheets, jobs)
    circuits = toy_circuits(CIRCUITS)
    circuit_results = toy_results(sheets, circuits, CIRCUIT_GRID)
    summary = write_workbook(
        path, layout=layout, sheets=sheets, jobs=jobs, results=results, built_on=BUILT_ON,
        circuits=circuits, circuit_results=circuit_results, book_results=BOOK_RESULTS,
        overrides=OVERRIDES, reasons=REASONS,
    )  # fmt: skip
    return Written(
        path, summary, layout, sheets, jobs, results, circuits, circuit_results,
        openpyxl.load_workbook(path), openpyxl.load_workbook(path, data_only=True),
    )  # fmt: skip
