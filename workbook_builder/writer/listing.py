"""A long list under one header row, with filter buttons: Provenance and Rules."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from .context import Context
from .measure import lines
from .page import print_list
from .sheet_class import PlainFormulaSheet
from .styles import LINE
from .values import write_value

SIZE = 8
_LINE, _PADDING = 10.3, 2
"""Points of a line, and of a row besides its lines."""



@dataclass(frozen=True)
class ListColumn:
    """on_paper is False for what is only of use on the screen; such columns stand at the end."""

    title: str
    width: float
    on_paper: bool = True


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
    sheet.set_row(row - 1, most * _LINE + _PADDING)


def finish(
    context: Context,
    sheet: PlainFormulaSheet,
    columns: Sequence[ListColumn],
    *,
    header_row: int,
    last_listed: int,
    first_row: int,
    last_row: int,
    frozen: int,
    title: str,
) -> None:
    """Filter buttons, frozen panes and print setup; first_row and last_row are those on paper."""
    sheet.autofilter(header_row - 1, 0, last_listed - 1, len(columns) - 1)
    sheet.freeze_panes(header_row, frozen)
    printed = sum(column.on_paper for column in columns)
    print_list(
        context, sheet, header_row=header_row, first_row=first_row, last_row=last_row, last_column=printed - 1, title=title
    )  # fmt: skip


def by_edition(words: Mapping[int, str]) -> str:
    """What the editions say: once where all say the same, else by runs of editions.

    >>> by_edition({2017: "215.3", 2020: "215.3"})
    '215.3'
    >>> by_edition({2017: "230.85", 2020: "230.85", 2023: "230.70"})
    '2017 to 2020: 230.85; 2023: 230.70'
    """
    runs = [(text, [edition for edition, _ in run]) for text, run in groupby(words.items(), key=lambda one: one[1])]
    if len(runs) == 1:
        return runs[0][0]
    years = [(f"{run[0]} to {run[-1]}" if len(run) > 1 else str(run[0]), text) for text, run in runs]
    return "; ".join(f"{when}: {text}" for when, text in years)
