"""Checks as a matrix: jobs down, checks across, in each cell the first word of its message.

The cells hold the whole message. They wrap in a row as high as one line, so
that the word before the colon shows and nothing runs into the neighbour.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..sheets.checks import CHECKS, MATRIX_FIRST, PARTS
from ..sheets.model import JOB_NUMBER, ROW_STATE, TITLE_ROW, CompiledColumn, CompiledSheet
from .column_widths import said
from .context import Context
from .measure import width_for
from .sheet_class import PlainFormulaSheet

SIGN_WIDTH = 6.4
"""Column width in which `CHECK` stands and no second word of a message does."""

SIGN_SIZE, ROW_HEIGHT, FINDING_SIZE = 9, 12, 8
ZOOM = 85
FROZEN = 4
"""Row, job number, state of the row and status stay in sight."""

_WIDTHS = {ROW_STATE: 12, JOB_NUMBER: 12, "job_status": 8, "stops": 8, "checks_open": 8}
_PARTS = {part.name for part in PARTS}
_LEGEND = (
    ("OK", "ok", "nothing found, or it does not apply"),
    ("CHECK", "check", "a person must look"),
    ("STOP", "stop", "not to be built as entered"),
    ("", "text", "blank: the row is not ready"),
)
LEGEND_ON_PAPER = ";  ".join(f"{sign} {words}".strip() for sign, _, words in _LEGEND)
_LEGEND_SPAN = 7
"""Matrix columns that one line of the legend takes: a sign, and its words over the blank cells beside it."""


def is_matrix(sheet: CompiledSheet) -> bool:
    return sheet.name == CHECKS.name


def is_sign(sheet: CompiledSheet, column: CompiledColumn) -> bool:
    """A check of the matrix, shown by its first word."""
    return is_matrix(sheet) and column.rule.kind == "state"


def is_part(sheet: CompiledSheet, column: CompiledColumn) -> bool:
    """A step on the way to a check; its words count for nothing."""
    return is_matrix(sheet) and column.name in _PARTS


def width_in_matrix(sheet: CompiledSheet, column: CompiledColumn) -> float | None:
    """Width of a column of the matrix; None where its values decide."""
    if is_sign(sheet, column):
        return SIGN_WIDTH
    if column.name == "first_finding":
        texts = [text for one in sheet.columns if is_sign(sheet, one) for text in said(one.rule)]
        return max(40, *(width_for(text, size=FINDING_SIZE) for text in texts)) + 1
    return _WIDTHS.get(column.name)


def look_in_matrix(sheet: CompiledSheet, column: CompiledColumn) -> dict[str, Any]:
    """Properties of the cells that differ from those of other grids."""
    if is_sign(sheet, column):
        return {
            "font_size": SIGN_SIZE,
            "align": "center",
            "valign": "top",
            "text_wrap": True,
            "italic": False,
            "indent": 0,
        }
    size = FINDING_SIZE if column.name == "first_finding" else SIGN_SIZE
    bold = {"bold": True} if column.name == "job_status" else {}
    return {"font_size": size, **bold}


def last_printed(sheet: CompiledSheet) -> int:
    """The last column (from 1) that goes on paper: the parts stay on the screen."""
    return max(at for at, column in enumerate(sheet.columns, start=1) if not is_part(sheet, column))


def write_legend(context: Context, sheet: PlainFormulaSheet, columns: Sequence[CompiledColumn]) -> None:
    """The signs and what they mean, in the title row over the matrix."""
    names = [column.name for column in columns]
    if MATRIX_FIRST not in names:
        return
    at = names.index(MATRIX_FIRST) + 1
    for sign, style, words in _LEGEND:
        if sign:
            look = context.formats.get(style, font_size=SIGN_SIZE, bold=True, align="center")
            sheet.write_string(TITLE_ROW - 1, at, sign, look)
        sheet.write_string(TITLE_ROW - 1, at + 1, words, context.formats.get("text", font_size=SIGN_SIZE))
        at += _LEGEND_SPAN
