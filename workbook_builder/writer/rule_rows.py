"""Which columns stand on Rules, in which row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..sheets.model import CIRCUIT_STATE, JOB_NUMBER, ROW_STATE, CompiledColumn, CompiledSheet
from .context import Context

STATES = (ROW_STATE, CIRCUIT_STATE)
IDS = (JOB_NUMBER, *STATES)
RULES_HEADER_ROW = 4


def calculated(context: Context) -> Iterator[tuple[CompiledSheet, CompiledColumn]]:
    """Every column but the id columns that the sheets of a grid repeat from the one with its entries."""
    for sheet in context.sheets:
        is_home = sheet.name == context.layout.grids[sheet.grid].home
        for column in sheet.columns:
            if is_home or column.name not in IDS:
                yield sheet, column


def rule_rows(context: Context) -> Mapping[str, int]:
    """The row of Rules, from 1, that has each column."""
    return {
        column.name: row
        for row, (_, column) in enumerate(calculated(context), start=RULES_HEADER_ROW + 1)
    }
