"""A workbook in which every grid stands as values, ready to take mutated formulas in columns of their own.

The grids hold what the reference says, so a mutant reads right values in every
other column and only its own formula is calculated. Tables, local rules, lists
and books are those of the real workbook.
"""

from __future__ import annotations

import datetime as dt
import io
import math
from collections.abc import Mapping

import pandas as pd
from xlsxwriter.workbook import Workbook
from xlsxwriter.worksheet import Worksheet

from workbook_builder.sheets.layout import LINE_PRICES, LISTS, LOCAL_RULES, SETTINGS, TABLE_SHEETS, Layout
from workbook_builder.sheets.model import FIRST_ROW, MARK_ROW, RULE_ROW, CompiledSheet
from workbook_builder.writer.books_sheet import BOOK_OF, write_book
from workbook_builder.writer.context import PROVENANCE, Context, Rows
from workbook_builder.writer.line_prices_sheet import write_line_prices
from workbook_builder.writer.lists_sheet import write_lists
from workbook_builder.writer.local_rules import write_local_rules
from workbook_builder.writer.settings_sheet import write_settings
from workbook_builder.writer.sheet_class import PlainFormulaSheet
from workbook_builder.writer.styles import Formats
from workbook_builder.writer.tables_sheet import write_tables
from workbook_builder.writer.values import serial

_WRITERS = {
    SETTINGS: write_settings, LINE_PRICES: write_line_prices, LOCAL_RULES: write_local_rules, LISTS: write_lists,
}  # fmt: skip


ERROR = "#N/A"
"""An entry that stands for a cell with an error value."""


def base_book(
    layout: Layout,
    sheets: tuple[CompiledSheet, ...],
    *,
    entries: Mapping[str, pd.DataFrame],
    results: Mapping[str, pd.DataFrame],
    overrides: Mapping[str, float | str],
) -> bytes:
    """The file: entries and results are frames by grid, a row for each row of the grid."""
    buffer = io.BytesIO()
    book = Workbook(buffer, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    rows = {grid: Rows(entries[grid], None) for grid in layout.grids}
    reasons = dict.fromkeys(overrides, "to tell values apart")
    context = Context(book, Formats(book), layout, sheets, rows, "2026-01-02", dict(overrides), reasons, "", None)
    grids = {sheet.name: sheet for sheet in sheets}
    inputs = {place.sheet: grid for grid, place in layout.grids.items()}
    kept = {*grids, *inputs, *_WRITERS, *BOOK_OF, *TABLE_SHEETS, PROVENANCE}
    for name in context.order:
        if name not in kept:
            continue
        sheet = book.add_worksheet(name, PlainFormulaSheet)
        if name in grids:
            _write_grid(sheet, grids[name], results[grids[name].grid])
        elif name in inputs:
            _write_entries(sheet, layout, inputs[name], entries[inputs[name]])
        elif name in BOOK_OF:
            write_book(context, sheet, BOOK_OF[name])
        elif name in TABLE_SHEETS:
            write_tables(context, sheet, name)
        elif name in _WRITERS:
            _WRITERS[name](context, sheet)
    book.close()
    return buffer.getvalue()


def _write_grid(sheet: Worksheet, compiled: CompiledSheet, results: pd.DataFrame) -> None:
    """Names, sentences and values of one grid at the places of the real sheet."""
    for row in range(len(results)):
        sheet.write_number(FIRST_ROW - 1 + row, 0, row + 1)
    for at, column in enumerate(compiled.columns, start=1):
        sheet.write_string(MARK_ROW - 1, at, column.name)
        sheet.write_string(RULE_ROW - 1, at, _words(column))
        _write_column(sheet, at, results[column.name], blank="")


def _words(column: object) -> str:
    """What the row of sentences says: of a field, how an entry must be."""
    field = column.field
    return column.rule.sentence if field is None else f"{field.name} must be {field.expected}"


def _write_entries(sheet: Worksheet, layout: Layout, grid: str, entries: pd.DataFrame) -> None:
    place = layout.grids[grid]
    for at, field in enumerate(place.fields, start=1):
        sheet.write_string(MARK_ROW - 1, at, field.name)
        if field.name in entries:
            _write_column(sheet, at, entries[field.name], blank=None)
    sheet.write_string(place.end_row - 1, 0, "end of rows")


def _write_column(sheet: Worksheet, at: int, values: pd.Series, *, blank: str | None) -> None:
    """blank: what a cell without a value holds; a formula never leaves its cell empty."""
    for row, value in enumerate(values.tolist(), start=FIRST_ROW - 1):
        if value == ERROR and blank is None:
            sheet.put_formula(row, at, "NA()", None, ERROR)
        elif value is None or value == "" or (isinstance(value, float) and math.isnan(value)):
            if blank is not None:
                sheet.write_string(row, at, blank)
        elif isinstance(value, str):
            sheet.write_string(row, at, value)
        elif isinstance(value, dt.date):
            sheet.write_number(row, at, serial(value))
        else:
            sheet.write_number(row, at, float(value))
