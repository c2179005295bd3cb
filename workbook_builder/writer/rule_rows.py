"""Which columns stand on Rules, in which row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..sheets.model import CIRCUIT_STATE, JOB_NUMBER, ROW_STATE, CompiledColumn, CompiledSheet
from .context import Context

STATES = (ROW_STATE, CIRCUIT_STATE)
IDS = (JOB_NUMBER, *STATES)
RULES_HEADER_ROW = 4


def calculated(context: Context) -> Iterator[tuple[CompiledSheet, CompiledColumn]]:
    """Entries as used, then every other column in the order of the workbook.

    The id columns stand once, for the sheet with the entries of their grid.
    """
    for are_entries in (True, False):
        for sheet in context.sheets:
            is_home = sheet.name == context.layout.grids[sheet.grid].home
            for column in sheet.columns:
                is_entry = column.field is not None
                if is_entry is are_entries and (is_home or column.name not in IDS):
                    yield sheet, column


def first_calculated_row(context: Context) -> int:
    """The row of Rules, from 1, below the entries as used."""
    return RULES_HEADER_ROW + 1 + sum(column.field is not None for _, column in calculated(context))


def rule_rows(context: Context) -> Mapping[str, int]:
    """The row of Rules, from 1, that has each column."""
    return {
        column.name: row for row, (_, column) in enumerate(calculated(context), start=RULES_HEADER_ROW + 1)
    }
