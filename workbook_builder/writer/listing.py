"""A long list under one header row, with filter buttons: Provenance and Rules."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .context import Context
from .measure import height_for, lines
from .sheet_class import PlainFormulaSheet
from .styles import LINE
from .values import write_value

SIZE = 8


@dataclass(frozen=True)
class ListColumn:
    title: str
    width: float


def write_header(
    context: Context, sheet: PlainFormulaSheet, row: int, columns: Sequence[ListColumn]
) -> None:
    """The header row; row is 1-based, as in all of this module."""
    look = context.formats.get("header", font_size=9, text_wrap=True)
    for at, column in enumerate(columns):
        sheet.set_column(at, at, column.width)
        sheet.write_string(row - 1, at, column.title, look)
    sheet.set_row(row - 1, 18)


def write_line(
    context: Context,
    sheet: PlainFormulaSheet,
    row: int,
    values: Sequence[float | str],
    columns: Sequence[ListColumn],
    *,
    style: str = "text",
) -> None:
    """One line of the list, as high as its longest text."""
    look = context.formats.get(
        style, font_size=SIZE, text_wrap=True, valign="top", align="left",
        border=1, border_color=LINE,
    )  # fmt: skip
    most = 1
    for at, value in enumerate(values):
        write_value(sheet, row - 1, at, value, look)
        if isinstance(value, str):
            most = max(most, lines(value, width=columns[at].width, size=SIZE))
    sheet.set_row(row - 1, height_for(most, size=SIZE))


def points(columns: Sequence[ListColumn]) -> float:
    return sum(column.width for column in columns) * 5.25
