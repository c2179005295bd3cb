"""What every part of the writer needs to know of the workbook it works on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import pandas as pd
from xlsxwriter.workbook import Workbook

from .. import __version__
from ..code_tables.books import BookLine, Books
from ..code_tables.load import CodeTables
from ..sheets.books import book_formulas
from ..sheets.directory import DIRECTORY
from ..sheets.layout import (
    BOOK_SHEETS,
    CIRCUITS,
    JOBS,
    LINE_PRICES,
    LINE_ROWS,
    LISTS,
    LOCAL_RULES,
    SETTINGS,
    TABLE_SHEETS,
    Layout,
    quoted,
)
from ..sheets.model import CIRCUIT_GRID, FIRST_ROW, JOB_GRID, CompiledSheet
from ..sheets.pages import page_names
from .styles import Formats

START, PROVENANCE, RULES = "Start", "Provenance", "Rules"
BUILT_BY = f"workbook_builder {__version__}"

PRICE_SHEETS = (*BOOK_SHEETS.values(), SETTINGS, LINE_PRICES)
"""The books, the settings and what the lines take from them, in the order of the workbook."""

SHOWN_EDITION = 2023
"""Edition whose sections stand in the header rows; Rules has all of them."""


@dataclass(frozen=True)
class Rows:
    """What goes into the rows of one grid: entries, and the last results of its formulas."""

    entries: pd.DataFrame
    results: pd.DataFrame | None


@dataclass(frozen=True)
class Context:
    """The workbook in the making: where things stand and what goes in, grid by grid."""

    book: Workbook
    formats: Formats
    layout: Layout
    sheets: tuple[CompiledSheet, ...]
    rows: Mapping[str, Rows]
    built_on: str
    overrides: Mapping[str, float | str] = field(default_factory=dict)
    reasons: Mapping[str, str] = field(default_factory=dict)
    verified: str = ""
    book_results: Mapping[str, Mapping[str, object]] | None = None
    built_books: Books | None = None

    @property
    def code(self) -> CodeTables:
        return self.layout.code

    @property
    def jobs(self) -> pd.DataFrame:
        return self.rows[JOB_GRID].entries

    @property
    def grids(self) -> tuple[str, ...]:
        """The grids that have sheets; a workbook without sheets of circuits has only jobs."""
        return tuple(
            grid for grid, place in self.layout.grids.items()
            if any(sheet.name == place.home for sheet in self.sheets)
        )  # fmt: skip

    def built(self, book: str, key: str) -> BookLine | None:
        """The line of a book that the columns `when built` show; None for one that was added."""
        books = self.built_books or self.code.books
        return next((line for line in books.lines[book] if line.key.casefold() == key.casefold()), None)

    @property
    def has_prices(self) -> bool:
        """Whether there are the books: not in a workbook without quantities that take prices."""
        return set(LINE_ROWS) <= {sheet.name for sheet in self.sheets}

    @cached_property
    def book_formulas(self) -> Mapping[str, Mapping[str, str]]:
        """Formulas on the books, by sheet and cell; none without the books."""
        return book_formulas(self.sheets, self.layout) if self.has_prices else {}

    @property
    def order(self) -> tuple[str, ...]:
        """Names of all sheets in workbook order."""
        has_circuits = CIRCUIT_GRID in self.grids
        return (
            START, JOBS, *((CIRCUITS,) if has_circuits else ()), *(sheet.name for sheet in self.sheets),
            *((DIRECTORY,) if has_circuits else ()),
            *page_names(sheet.name for sheet in self.sheets),
            *(PRICE_SHEETS if self.has_prices else ()),
            LOCAL_RULES, *TABLE_SHEETS, LISTS, PROVENANCE, RULES,
        )  # fmt: skip

    def printed_row(self, grid: str) -> int:
        """Last grid row that is printed: the rows given, or a page of blank ones."""
        shown = len(self.rows[grid].entries) or min(self.layout.rows_of(grid), 25)
        return FIRST_ROW + shown - 1

    def neighbours(self, name: str) -> tuple[str | None, str | None]:
        """The sheets before and after one, Start left out."""
        place = self.order.index(name)
        before = self.order[place - 1] if place > 1 else None
        after = self.order[place + 1] if place + 1 < len(self.order) else None
        return before, after

    def home(self, grid: str) -> CompiledSheet:
        """The sheet with the entries of a grid as used."""
        name = self.layout.grids[grid].home
        return next(sheet for sheet in self.sheets if sheet.name == name)

    def states(self, grid: str) -> str:
        """The column that says whether a row of the grid is ready."""
        place = self.layout.grids[grid]
        at = self.home(grid).letter_of(place.state)
        return f"{quoted(place.home)}!${at}${FIRST_ROW}:${at}${place.last_row}"
