"""What every part of the writer needs to know of the workbook it works on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import pandas as pd
from xlsxwriter.workbook import Workbook

from .. import __version__
from ..code_tables.load import CodeTables
from ..sheets.layout import INPUTS, JOBS, LISTS, LOCAL_RULES, TABLE_SHEETS, Layout
from ..sheets.model import FIRST_ROW, CompiledSheet
from .styles import Formats

START, PROVENANCE, RULES = "Start", "Provenance", "Rules"
BUILT_BY = f"workbook_builder {__version__}"

SHOWN_EDITION = 2023
"""Edition whose sections stand in the header rows; Rules has all of them."""


@dataclass(frozen=True)
class Context:
    """The workbook in the making: where things stand and what goes in."""

    book: Workbook
    formats: Formats
    layout: Layout
    sheets: tuple[CompiledSheet, ...]
    jobs: pd.DataFrame
    results: pd.DataFrame | None
    built_on: str
    overrides: Mapping[str, float | str] = field(default_factory=dict)
    reasons: Mapping[str, str] = field(default_factory=dict)
    verified: str = ""

    @property
    def code(self) -> CodeTables:
        return self.layout.code

    @property
    def order(self) -> tuple[str, ...]:
        """Names of all sheets in workbook order."""
        return (
            START, JOBS, *(sheet.name for sheet in self.sheets),
            LOCAL_RULES, *TABLE_SHEETS, LISTS, PROVENANCE, RULES,
        )  # fmt: skip

    @cached_property
    def printed_row(self) -> int:
        """Last grid row that is printed: the jobs given, or a page of blank ones."""
        shown = len(self.jobs) or min(self.layout.rows, 25)
        return FIRST_ROW + shown - 1

    def neighbours(self, name: str) -> tuple[str | None, str | None]:
        """The sheets before and after one, Start left out."""
        place = self.order.index(name)
        before = self.order[place - 1] if place > 1 else None
        after = self.order[place + 1] if place + 1 < len(self.order) else None
        return before, after

    def states(self) -> str:
        """The column of row states on Inputs."""
        at = next(
            column.letter
            for sheet in self.sheets if sheet.name == INPUTS
            for column in sheet.columns if column.name == "row_state"
        )  # fmt: skip
        return f"{INPUTS}!${at}${FIRST_ROW}:${at}${self.layout.last_row}"
