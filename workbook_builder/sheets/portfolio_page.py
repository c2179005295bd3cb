"""The portfolio: every job in one line, with totals for the charts."""

from __future__ import annotations

from collections.abc import Sequence

from .job_page import JobPage
from .layout import Layout
from .model import CompiledSheet

PORTFOLIO = "Portfolio"
TOP = 34
"""First row of the jobs, below totals and charts."""

COLUMNS = (
    ("Job", "job_no", ""), ("Site", "site", ""), ("Status", "job_status", ""), ("Way", "option_chosen", ""),
    ("Price, low", "price_low_usd", "money"), ("Price", "price_likely_usd", "money"),
    ("Price, high", "price_high_usd", "money"), ("Load, A", "total_load_a", "amperes"),
    ("Service, A", "service_a", "amperes"), ("Spare, A", "service_spare_a", "amperes"),
    ("Hours", "labour_hours", "hours"), ("First finding", "first_finding", ""),
)  # fmt: skip
"""Title, name of the column, and number format."""

LETTERS = "ABCDEFGHIJKL"
WAYS = ("existing spaces", "added panel", "load control", "larger service")
STATUSES = ("OK", "CHECK", "STOP")
TOTALS_TOP = 5
RANGE_COLUMN = "N"
"""Beside the jobs: height of the price range, for the chart."""


def portfolio_formulas(sheets: Sequence[CompiledSheet], layout: Layout) -> dict[str, str]:
    """Every formula of the page by the cell it stands in, no leading `=`."""
    page = JobPage(sheets, layout, "$A$1")
    whole, formulas = page.columns, {}
    for place in range(layout.rows):
        row = TOP + place
        ready = f"INDEX({whole['row_state']}, {place + 1})=\"ready\""
        for at, (_, name, _) in zip(LETTERS, COLUMNS, strict=True):
            formulas[f"{at}{row}"] = f'IF({ready}, INDEX({whole[name]}, {place + 1}), "")'
        low, high = f"$E{row}", f"$G{row}"
        formulas[f"{RANGE_COLUMN}{row}"] = f'IF({low}="", 0, {high}-{low})'
    last = TOP + layout.rows - 1
    column = {name: f"${at}${TOP}:${at}${last}" for at, (_, name, _) in zip(LETTERS, COLUMNS, strict=True)}
    for place, way in enumerate(WAYS):
        row = TOTALS_TOP + place
        formulas[f"B{row}"] = f'COUNTIF({column["option_chosen"]}, "{way}")'
        formulas[f"C{row}"] = f'SUMIF({column["option_chosen"]}, "{way}", {column["price_likely_usd"]})'
    for place, status in enumerate(STATUSES):
        formulas[f"F{TOTALS_TOP + place}"] = f'COUNTIF({column["job_status"]}, "{status}")'
    formulas[f"F{TOTALS_TOP + 3}"] = f'COUNTIF({whole["row_state"]}, "ready")'
    formulas[f"C{TOTALS_TOP + 4}"] = f"SUM({column['price_likely_usd']})"
    formulas[f"B{TOTALS_TOP + 4}"] = f"SUM($B${TOTALS_TOP}:$B${TOTALS_TOP + 3})"
    formulas[f"F{TOTALS_TOP + 4}"] = f"SUM({column['labour_hours']})"
    return formulas
