"""The pages of the workbook: sheets that are no grid."""

from __future__ import annotations

from collections.abc import Iterable

from .estimate_page import ESTIMATE
from .job_sheet_page import JOB_SHEET
from .portfolio_page import PORTFOLIO
from .quotation_page import QUOTATION

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
