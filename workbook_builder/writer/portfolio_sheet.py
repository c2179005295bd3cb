"""Portfolio: all jobs in one line each, totals, and three charts."""

from __future__ import annotations

from typing import Any

import pandas as pd

from ..sheets import portfolio_page as page
from ..sheets.model import JOB_GRID, ROW_STATE
from .context import Context
from .grids import colour_states
from .page import head, number_of, print_setup, protect
from .sheet_class import PlainFormulaSheet
from .styles import ACCENT, LINE
from .values import amount, cached

TITLE = "Portfolio"
NOTE = "Every ready job in one line. Nothing to type; the charts show the jobs given when the workbook was built."
_WIDTHS = {"A": 14, "B": 40, "C": 14, "D": 16, "E": 13, "F": 13, "G": 13, "H": 11, "I": 11, "J": 11, "K": 10,
           "L": 60, "M": 2, "N": 12}  # fmt: skip
_FORMATS = {"": "General", "money": "#,##0", "amperes": "0", "hours": "0.0"}
_MOST_CHARTED = 40


def write_portfolio(context: Context, sheet: PlainFormulaSheet) -> int:
    """The page of all jobs. Returns how many formulas it has."""
    get = context.formats.get
    sheet.hide_gridlines(2)
    for at, width in _WIDTHS.items():
        sheet.set_column(number_of(at), number_of(at), width)
    head(context, sheet, TITLE, NOTE, note_at=2)
    results = context.rows[JOB_GRID].results
    values = _values(context, results)
    border = {"border": 1, "border_color": LINE}
    looks = {
        at: get("linked", num_format=_FORMATS[number],
                **({"align": "left", "indent": 1} if number == "" else {"align": "right"}), shrink=at == "B", **border)
        for at, (_, _, number) in zip(page.LETTERS, page.COLUMNS, strict=True)
    }  # fmt: skip
    total = get("formula", num_format="#,##0", align="right", **border)
    beside = get("note", font_size=8, num_format="0")
    formulas = page.portfolio_formulas(context.sheets, context.layout)
    for cell, formula in formulas.items():
        at, line = cell[0], int(cell[1:])
        look: Any = total if line < page.TOP else looks.get(at, beside)
        value = 0 if results is None else cached(values.get(cell, ""))
        sheet.put_formula(line - 1, number_of(at), formula, look, value)
    _words(context, sheet)
    jobs = min(max(len(context.jobs), 1), _MOST_CHARTED)
    _charts(context, sheet, jobs)
    last = page.TOP + context.layout.rows - 1
    colour_states(context, sheet, number_of("C"), number_of("C"), page.TOP, last, page.STATUSES)
    sheet.freeze_panes(page.TOP - 1, 1)
    protect(sheet)
    printed = page.TOP - 1 + max(len(context.jobs), 1)
    print_setup(context, sheet, last_row=printed, last_column=number_of("L"),
                header_rows=(page.TOP - 1, page.TOP - 1), width_points=0)  # fmt: skip
    return len(formulas)


def _words(context: Context, sheet: PlainFormulaSheet) -> None:
    get = context.formats.get
    header = get("header", font_size=9, align="left", border=1, border_color=LINE)
    over_numbers = get("header", font_size=9, align="right", border=1, border_color=LINE)
    text = get("text", border=1, border_color=LINE)
    row = page.TOTALS_TOP - 2
    for at, words in (("A", "Way chosen"), ("B", "Jobs"), ("C", "Price, USD"), ("E", "Status"), ("F", "Jobs")):
        sheet.write_string(row, number_of(at), words, header if at in "AE" else over_numbers)
    for place, words in enumerate((*page.WAYS, "All")):
        sheet.write_string(page.TOTALS_TOP - 1 + place, 0, words.capitalize(), text)
    for place, words in enumerate((*page.STATUSES, "Ready jobs", "Hours")):
        sheet.write_string(page.TOTALS_TOP - 1 + place, number_of("E"), words, text)
    for at, (words, _, number) in zip(page.LETTERS, page.COLUMNS, strict=True):
        sheet.write_string(page.TOP - 2, number_of(at), words, over_numbers if number else header)
    sheet.write_string(page.TOP - 2, number_of(page.RANGE_COLUMN), "Range", get("note", font_size=8))


def _charts(context: Context, sheet: PlainFormulaSheet, jobs: int) -> None:
    first, last = page.TOP - 1, page.TOP + jobs - 2

    def cells(at: str) -> list[object]:
        return [page.PORTFOLIO, first, number_of(at), last, number_of(at)]

    size = {"width": 470, "height": 330}
    plain = {"major_gridlines": {"visible": True, "line": {"color": LINE}}, "num_format": "#,##0"}
    prices = context.book.add_chart({"type": "column", "subtype": "stacked"})
    prices.add_series({"name": "Low", "categories": cells("A"), "values": cells("E"), "fill": {"none": True},
                       "border": {"none": True}, "gap": 60})  # fmt: skip
    prices.add_series({"name": "One in ten below to one in ten above", "categories": cells("A"),
                       "values": cells(page.RANGE_COLUMN), "fill": {"color": ACCENT}})  # fmt: skip
    prices.set_title({"name": "Price range by job, USD", "name_font": {"size": 11}})
    prices.set_legend({"none": True})
    loads = context.book.add_chart({"type": "column"})
    loads.add_series({"name": "Load", "categories": cells("A"), "values": cells("H"), "fill": {"color": ACCENT}})
    service = context.book.add_chart({"type": "line"})
    service.add_series({"name": "Service", "categories": cells("A"), "values": cells("I"),
                        "line": {"none": True}, "marker": {"type": "long_dash", "size": 12,
                        "border": {"color": "#8B0000"}, "fill": {"color": "#8B0000"}}})  # fmt: skip
    loads.combine(service)
    loads.set_title({"name": "Load against service, A", "name_font": {"size": 11}})
    loads.set_legend({"position": "bottom"})
    ways = context.book.add_chart({"type": "bar"})
    ways.add_series({
        "name": "Jobs", "categories": [page.PORTFOLIO, page.TOTALS_TOP - 1, 0, page.TOTALS_TOP + 2, 0],
        "values": [page.PORTFOLIO, page.TOTALS_TOP - 1, 1, page.TOTALS_TOP + 2, 1],
        "fill": {"color": ACCENT}, "data_labels": {"value": True}, "gap": 60,
    })  # fmt: skip
    ways.set_title({"name": "Ways chosen, jobs", "name_font": {"size": 11}})
    ways.set_legend({"none": True})
    ways.set_x_axis({"visible": False, "min": 0, "major_gridlines": {"visible": False}})
    ways.set_y_axis({"reverse": True})
    for place, (chart, words) in enumerate((
        (prices, "Price range of each job"), (loads, "Load and service of each job"), (ways, "Jobs by way chosen"),
    )):  # fmt: skip
        if chart is not ways:
            chart.set_y_axis(plain)
            chart.set_x_axis({"num_font": {"rotation": -60, "size": 8}})
        chart.set_size(size)
        sheet.insert_chart(page.TOTALS_TOP + 6, (0, 3, 8)[place], chart,
                           {"object_position": 2, "x_offset": 4, "description": words})  # fmt: skip


def _values(context: Context, results: pd.DataFrame | None) -> dict[str, object]:
    """Last results of the page."""
    if results is None:
        return {}
    ready = results[ROW_STATE].eq("ready").to_numpy()
    columns = {name: results[name].tolist() for _, name, _ in page.COLUMNS if name in results.columns}
    values: dict[str, object] = {}
    for place in range(context.layout.rows):
        there = place < len(results) and ready[place]
        row = page.TOP + place
        for at, (_, name, _) in zip(page.LETTERS, page.COLUMNS, strict=True):
            values[f"{at}{row}"] = columns[name][place] if there else ""
        low, high = values[f"E{row}"], values[f"G{row}"]
        values[f"{page.RANGE_COLUMN}{row}"] = amount(high) - amount(low) if there and cached(low) != "" else 0
    shown = results[ready]
    for place, way in enumerate(page.WAYS):
        chosen = shown["option_chosen"].eq(way)
        values[f"B{page.TOTALS_TOP + place}"] = int(chosen.sum())
        values[f"C{page.TOTALS_TOP + place}"] = _sum(shown.loc[chosen, "price_likely_usd"])
    for place, status in enumerate(page.STATUSES):
        values[f"F{page.TOTALS_TOP + place}"] = int(shown["job_status"].eq(status).sum())
    values[f"F{page.TOTALS_TOP + 3}"] = int(ready.sum())
    values[f"B{page.TOTALS_TOP + 4}"] = sum(int(values[f"B{page.TOTALS_TOP + place}"]) for place in range(4))
    values[f"C{page.TOTALS_TOP + 4}"] = _sum(shown["price_likely_usd"])
    values[f"F{page.TOTALS_TOP + 4}"] = _sum(shown["labour_hours"])
    return values


def _sum(values: pd.Series) -> float:
    return float(sum(amount(value) for value in values))
