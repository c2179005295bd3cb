"""The pages of the workbook: sheets that are no grid, with every formula by sheet and cell."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from .directory import DIRECTORY, directory_formulas
from .estimate_page import ESTIMATE, estimate_formulas
from .job_sheet_page import JOB_SHEET, job_sheet_formulas
from .layout import Layout
from .model import CIRCUIT_GRID, CompiledSheet
from .portfolio_page import PORTFOLIO, portfolio_formulas
from .quotation_page import QUOTATION, quotation_formulas

PRICED = ("Options", "Takeoff", "Line costs", "Labour", "Price")
"""Sheets that the estimate and the quotation look at."""

CHECKED = (*PRICED, "Checks", "Circuit check")
"""Sheets that the job sheet and the portfolio look at."""


def page_names(sheets: Iterable[str]) -> tuple[str, ...]:
    """The pages of a workbook with these calculated sheets, the directory left out, in their order."""
    names = set(sheets)
    return (
        *((JOB_SHEET,) if set(CHECKED) <= names else ()),
        *((ESTIMATE, QUOTATION) if set(PRICED) <= names else ()),
        *((PORTFOLIO,) if set(CHECKED) <= names else ()),
    )


def page_formulas(sheets: Sequence[CompiledSheet], layout: Layout) -> dict[str, dict[str, str]]:
    """Formulas of the pages that a workbook of these sheets has, no leading `=`."""
    names = {sheet.name for sheet in sheets}
    found: dict[str, dict[str, str]] = {}
    if any(sheet.grid == CIRCUIT_GRID for sheet in sheets):
        found[DIRECTORY] = directory_formulas(sheets, layout)
    if set(PRICED) <= names:
        found[ESTIMATE] = estimate_formulas(sheets, layout)
        found[QUOTATION] = quotation_formulas(sheets, layout)
    if set(CHECKED) <= names:
        found[JOB_SHEET] = job_sheet_formulas(sheets, layout)
        found[PORTFOLIO] = portfolio_formulas(sheets, layout)
    return found
