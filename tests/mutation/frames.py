"""What the mutants are tried on: jobs with their circuits, and the local rules and books they are calculated with."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

import ironcalc
import pandas as pd

from workbook_builder.code_tables.books import Books
from workbook_builder.code_tables.load import load
from workbook_builder.reference.run import calculate_all
from workbook_builder.sheets.compile import compile_book
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.model import CIRCUIT_GRID, JOB_GRID
from workbook_builder.sheets.order import SHEETS

from .base_book import ERROR, base_book

BLANK_ROWS = 2
"""Rows without an entry behind the last one, which must stay blank."""


LONG_NUMBER = "x" * 21
"""A job number that is not valid."""


@dataclass(frozen=True)
class Frame:
    """Jobs and circuits of object dtype, None for blanks; books None for those of the package.

    only: the sheets whose formulas it is meant for; none for all.
    """

    name: str
    jobs: pd.DataFrame
    circuits: pd.DataFrame
    overrides: Mapping[str, float | str] = field(default_factory=dict)
    books: Books | None = None
    only: tuple[str, ...] = ()

    @cached_property
    def layout(self) -> Layout:
        code = load() if self.books is None else load().with_books(self.books)
        return Layout(code, rows=len(self.jobs) + BLANK_ROWS, circuit_rows=len(self.circuits) + BLANK_ROWS)

    @cached_property
    def entries(self) -> dict[str, pd.DataFrame]:
        """The entries of each grid with a row for every row of it."""
        frames = {JOB_GRID: self.jobs, CIRCUIT_GRID: self.circuits}
        return {
            grid: frame.reset_index(drop=True).reindex(range(self.layout.rows_of(grid)))
            for grid, frame in frames.items()
        }

    @cached_property
    def results(self) -> dict[str, pd.DataFrame]:
        """What the reference says of every row of each grid."""
        given = {grid: frame.copy() for grid, frame in self.entries.items()}
        for frame in given.values():
            frame["job_no"] = [LONG_NUMBER if one == ERROR else one for one in frame["job_no"]]
        jobs, circuits = calculate_all(
            given[JOB_GRID], given[CIRCUIT_GRID], overrides=self.overrides, books=self.books
        )
        found = {JOB_GRID: jobs, CIRCUIT_GRID: circuits}
        for frame in found.values():
            frame.replace(ERROR, "invalid", inplace=True)
        return found

    def is_known(self, grid: str, row: int, column: str) -> bool:
        """Whether the reference says what a cell holds.

        A row with an error value where any text would be valid is known only in
        its entries: to the reference it is a valid row.
        """
        return row not in self._half_known[grid] or column in self._fields[grid]

    @cached_property
    def _half_known(self) -> dict[str, set[int]]:
        found: dict[str, set[int]] = {}
        for grid, place in self.layout.grids.items():
            texts = [field.name for field in place.fields if field.kind == "text" and field.name != "job_no"]
            has = (self.entries[grid].reindex(columns=texts) == ERROR).any(axis=1)
            found[grid] = {row for row, one in enumerate(has) if one}
        return found

    @cached_property
    def _fields(self) -> dict[str, set[str]]:
        return {grid: {field.name for field in place.fields} for grid, place in self.layout.grids.items()}

    @cached_property
    def model(self) -> tuple[bytes, list[str]]:
        """The workbook with these results as values, as the engine keeps it, and the titles of its sheets."""
        book = base_book(
            self.layout,
            compile_book(SHEETS, self.layout),
            entries=self.entries,
            results=self.results,
            overrides=self.overrides,
        )
        with tempfile.NamedTemporaryFile(suffix=".xlsx") as file:
            Path(file.name).write_bytes(book)
            model = ironcalc.load_from_xlsx(file.name, "en", "UTC", "en")
        return model.to_bytes(), [one["name"] for one in model.get_worksheets_properties()]
