"""The nine header rows that every grid has, and the column widths they ask for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ..sheets.model import (
    BAND_ROW,
    MARK_ROW,
    NAME_ROW,
    ROLE_ROW,
    RULE_ROW,
    SECTION_ROW,
    UNIT_ROW,
)
from .context import RULES, Context
from .measure import height_for, lines, narrowest, points, width_for
from .page import link
from .sheet_class import PlainFormulaSheet
from .styles import ACCENT, SMALL_SIZE

NAME_SIZE = 9
RULE_LINES = 9
"""Most lines of the rule row; longer words widen the column."""

SECTION_LINES = 4
TITLE_LINES = 3
SMALL_LINES = 2
"""Most lines of unit, role and name; a long name is broken anywhere."""

RULE_LINK = "rule"
"""What stands in the rule row where the rule itself stands on Rules only."""

UPRIGHT_SIZE = 7
"""Of section and name of a narrow column."""

_POINTS = 5.25
_UPRIGHT_LINE = 1.4
"""Room of one upright line in font sizes."""

_UPRIGHT_SPARE = 10
"""Points that upright words have above and below them."""

_SHORT_NAME = 10
"""Column width up to which no name is broken."""

_LONGEST_WORD = 11
"""Column width up to which no word of the rule or the section is broken."""


@dataclass(frozen=True)
class Heading:
    """The words over one column, and the least width its values need.

    more is the cell of Rules to which the rule row links instead of saying the
    rule; upright words are those of a narrow column.
    """

    name: str
    band: str
    title: str
    unit: str
    role: str
    rule: str
    section: str
    width: float
    more: str = ""
    upright: bool = False


def fitted(headings: Sequence[Heading], *, rule_lines: int = RULE_LINES) -> list[Heading]:
    """The headings with widths at which none of their rows is cut."""
    wide = [replace(heading, width=_width(heading, rule_lines)) for heading in headings]
    for first, last in bands(wide):
        room = sum(heading.width for heading in wide[first : last + 1])
        missing = width_for(wide[first].band, size=NAME_SIZE, bold=True) + 1 - room
        if missing > 0:
            wide[first] = replace(wide[first], width=wide[first].width + missing)
    return wide


def bands(headings: Sequence[Heading]) -> list[tuple[int, int]]:
    """First and last place of every run of columns with the same band."""
    runs: list[tuple[int, int]] = []
    for place, heading in enumerate(headings):
        if place and headings[place - 1].band == heading.band:
            runs[-1] = (runs[-1][0], place)
        else:
            runs.append((place, place))
    return runs


def _width(heading: Heading, rule_lines: int) -> float:
    if heading.upright:
        return heading.width
    rule = "" if heading.more else heading.rule
    words = f"{rule} {heading.section}".split()
    longest = max((width_for(word, size=SMALL_SIZE) for word in words), default=0)
    title = max(width_for(word, size=NAME_SIZE, bold=True) for word in heading.title.split())
    name = min(width_for(heading.name, size=SMALL_SIZE), _SHORT_NAME)
    least = max(heading.width, min(longest, _LONGEST_WORD), title, name)
    for text, most, size, bold in (
        (heading.title, TITLE_LINES, NAME_SIZE, True),
        (heading.unit, SMALL_LINES, SMALL_SIZE, False),
        (heading.role, SMALL_LINES, SMALL_SIZE, False),
        (rule, rule_lines, SMALL_SIZE, False),
        (heading.section, SECTION_LINES, SMALL_SIZE, False),
        (heading.name, SMALL_LINES, SMALL_SIZE, False),
    ):
        least = narrowest(text, most_lines=most, size=size, least=least, bold=bold)
    return least


def write_headings(
    context: Context, sheet: PlainFormulaSheet, headings: Sequence[Heading]
) -> None:
    """Rows 3 to 9 over all columns. Expects widths from `fitted`."""
    get = context.formats.get
    small = {"font_size": SMALL_SIZE, "text_wrap": True}
    firsts = {first for first, _ in bands(headings)}
    for at, heading in enumerate(headings):
        edge = {"left": 1, "left_color": ACCENT} if at in firsts else {}
        upright = {"rotation": 90, "valign": "bottom", "align": "center"} if heading.upright else {}
        size = {"font_size": UPRIGHT_SIZE} if heading.upright else {}
        sheet.set_column(at, at, heading.width)
        band = get("band", font_size=NAME_SIZE)
        if at in firsts:
            sheet.write_string(BAND_ROW - 1, at, heading.band, band)
        else:
            sheet.write_blank(BAND_ROW - 1, at, None, band)
        for row, text, look in (
            (NAME_ROW, heading.title, get("header", font_size=NAME_SIZE, text_wrap=True, **edge | upright)),
            (UNIT_ROW, heading.unit, get("role", **small, **edge)),
            (ROLE_ROW, heading.role, get("role", **small, **edge)),
            (RULE_ROW, "" if heading.more else heading.rule, get("text", **small, **edge, valign="top")),
            (SECTION_ROW, heading.section, get("text", **small | size, **edge, **upright or {"valign": "top"})),
            (MARK_ROW, heading.name,
             get("mark", **small | size, bottom=1, bottom_color=ACCENT, **edge, **upright or {"valign": "top"})),
        ):  # fmt: skip
            if text:
                sheet.write_string(row - 1, at, text, look)
            else:
                sheet.write_blank(row - 1, at, None, look)
        if heading.more:
            link(context, sheet, RULE_ROW - 1, at, RULES, RULE_LINK, cell=heading.more, size=SMALL_SIZE)
    _heights(sheet, headings)


def _heights(sheet: PlainFormulaSheet, headings: Sequence[Heading]) -> None:
    sheet.set_row(BAND_ROW - 1, 16)
    sheet.set_row(NAME_ROW - 1, _height(headings, "title", NAME_SIZE, bold=True))
    sheet.set_row(UNIT_ROW - 1, _height(headings, "unit", SMALL_SIZE))
    sheet.set_row(ROLE_ROW - 1, _height(headings, "role", SMALL_SIZE))
    sheet.set_row(RULE_ROW - 1, _height(headings, "rule", SMALL_SIZE))
    sheet.set_row(SECTION_ROW - 1, _height(headings, "section", SMALL_SIZE))
    sheet.set_row(MARK_ROW - 1, max(15, _height(headings, "name", SMALL_SIZE)))


def _height(headings: Sequence[Heading], row: str, size: float, *, bold: bool = False) -> float:
    """Height that shows one row of all headings."""
    most = 0.0
    for heading in headings:
        text = getattr(heading, row)
        if heading.more and row == "rule":
            continue
        if heading.upright and row in ("title", "section", "name"):
            high = size if row == "title" else UPRIGHT_SIZE
            most = max(most, upright_height(text, width=heading.width, size=high, bold=bold))
        else:
            most = max(most, height_for(lines(text, width=heading.width, size=size, bold=bold), size=size))
    return most


def upright_height(text: str, *, width: float, size: float, bold: bool = False) -> float:
    """Row height at which an upright text stands in the lines that a narrow column has room for."""
    count = 1 if " " not in text else max(1, int(width * _POINTS // (size * _UPRIGHT_LINE)))
    high = max(points(word, size=size, bold=bold) for word in text.split() or [""])
    while lines(text, width=high / _POINTS + 1, size=size, bold=bold) > count:
        high += 1
    return high + _UPRIGHT_SPARE


def total_points(headings: Sequence[Heading]) -> float:
    return sum(heading.width * 5.25 + 4 for heading in headings)
