"""Colours, fonts and number formats: every look of the workbook is named here.

A cell's look is a style (who wrote it, what it is) and some properties (size,
alignment, number format). Colour is never the only cue: the role row, the
words of a state and the key on Start say the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from xlsxwriter.format import Format
from xlsxwriter.workbook import Workbook

FONT = "Arial"
"""Measured like the free fonts that stand in for it, so no width changes."""

BASE_SIZE, SMALL_SIZE = 10, 8
LINE, INPUT_LINE, ACCENT = "#C9D1DA", "#D8C690", "#334E68"


@dataclass(frozen=True)
class Style:
    """Text on fill, and the words of the key; no fill is the white of the page."""

    color: str
    fill: str | None = None
    bold: bool = False
    italic: bool = False
    words: str = ""


STYLES = {
    "input": Style("#1F3864", "#FFF4D6", words="Input: type here"),
    "formula": Style("#1A1A1A", words="Calculated, or an entry as used"),
    "linked": Style("#0B5345", italic=True, words="From another sheet, unchanged"),
    "table": Style("#333333", "#EAF2F8", words="Value of a code table or list"),
    "header": Style("#FFFFFF", "#334E68", bold=True, words="What a column is, its unit, role, rule and section"),
    "ok": Style("#145A32", "#E3F4E8", words="OK or ready: nothing found"),
    "check": Style("#7A4B00", "#FFF0CC", words="CHECK or missing: a person must look"),
    "stop": Style("#8B0000", "#FDE3E1", words="STOP or error: not to be built like this"),
    "note": Style("#5F6368", italic=True, words="An explanation, no value"),
    "band": Style("#FFFFFF", "#1F3864", bold=True),
    "role": Style("#333333", "#EAF2F8"),
    "title": Style("#334E68", bold=True),
    "text": Style("#1A1A1A"),
    "link": Style("#1F3864"),
    "mark": Style("#333333", "#EAF2F8"),
    "end": Style("#333333", "#D9DEE4", italic=True),
}

STATE_WORDS = {
    "ready": "ok", "OK": "ok",
    "missing": "check", "CHECK": "check",
    "error": "stop", "STOP": "stop",
}  # fmt: skip
"""First word of a state, and the style it takes."""

UNIT_WORDS = {"1": "factor"}

_PLACES = {
    "VA": "#,##0", "A": "0.0", "V": "0.0", "kW": "0.00", "kVA": "0.00", "%": "0.00",
    "in": "0.000", "in2": "0.0000", "ohm/kft": "0.0000", "C": "0", "ft": "0.0",
    "h": "0.00", "cmil": "#,##0", "USD": "#,##0.00", "kWh": "#,##0", "kA": "0.0",
    "USD/h": "#,##0.00", "USD2": "#,##0.00", "h2": "0.0000", "USD2/h2": "0.0000",
}  # fmt: skip


NUMERIC = ("number", "fine", "count")
"""Kinds of rules whose columns hold numbers."""


def result_format(kind: str, unit: str) -> str:
    """Number format of a calculated column, its unit behind the number."""
    if kind not in NUMERIC:
        return "General"
    if unit == "1":
        return "0.000"
    digits = "0" if kind == "count" else _PLACES.get(unit, "General")
    return f'{digits}" {unit}"' if unit else digits if kind == "count" else "0.00"


def without_zero(number_format: str) -> str:
    """The number format that shows nothing for 0.

    >>> without_zero("0.0")
    '0.0;-0.0;;@'
    """
    return f"{number_format};-{number_format};;@"


def entry_format(*, unit: str, number: bool, date: bool) -> str:
    """Number format of an input column: as typed, its unit behind; else text."""
    if date:
        return "yyyy-mm-dd"
    if not number:
        return "@"
    return f'General" {unit}"' if unit else "General"


class Formats:
    """The formats of one workbook, each made once."""

    def __init__(self, book: Workbook) -> None:
        self._book = book
        self._made: dict[tuple[Any, ...], Format] = {}

    def get(self, style: str, **properties: Any) -> Format:
        """A cell format: a style of STYLES with further properties."""
        key = (style, *sorted(properties.items()))
        if key not in self._made:
            self._made[key] = self._book.add_format(
                {"font_name": FONT, "font_size": BASE_SIZE, "valign": "vcenter"}
                | _colours(STYLES[style])
                | properties
            )
        return self._made[key]

    def state(self, style: str) -> Format:
        """What a conditional format lays over a state cell."""
        key = ("when", style)
        if key not in self._made:
            look = STYLES[style]
            self._made[key] = self._book.add_format(
                {"font_color": look.color, "bg_color": look.fill}
            )
        return self._made[key]


def _colours(style: Style) -> dict[str, Any]:
    look: dict[str, Any] = {"font_color": style.color}
    if style.fill:
        look |= {"bg_color": style.fill, "pattern": 1}
    if style.bold:
        look["bold"] = True
    if style.italic:
        look["italic"] = True
    return look
