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
from .context import Context
from .measure import height_for, lines, narrowest, width_for
from .sheet_class import PlainFormulaSheet
from .styles import ACCENT, SMALL_SIZE

NAME_SIZE = 9
RULE_LINES = 8
"""Most lines of the rule row; longer words widen the column."""

SECTION_LINES = 4
NAME_LINES = 2


@dataclass(frozen=True)
class Heading:
    """The words over one column, and the least width its values need."""

    name: str
    band: str
    title: str
    unit: str
    role: str
    rule: str
    section: str
    width: float


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
    least = max(
        heading.width,
        width_for(heading.name, size=SMALL_SIZE),
        width_for(heading.role, size=SMALL_SIZE),
        *(width_for(word, size=SMALL_SIZE) for word in f"{heading.rule} {heading.section}".split()),
    )
    for text, most, size, bold in (
        (heading.title, NAME_LINES, NAME_SIZE, True),
        (heading.rule, rule_lines, SMALL_SIZE, False),
        (heading.section, SECTION_LINES, SMALL_SIZE, False),
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
        sheet.set_column(at, at, heading.width)
        band = get("band", font_size=NAME_SIZE)
        if at in firsts:
            sheet.write_string(BAND_ROW - 1, at, heading.band, band)
        else:
            sheet.write_blank(BAND_ROW - 1, at, None, band)
        for row, text, look in (
            (NAME_ROW, heading.title, get("header", font_size=NAME_SIZE, text_wrap=True, **edge)),
            (UNIT_ROW, heading.unit, get("role", **small, **edge)),
            (ROLE_ROW, heading.role, get("role", **small, **edge)),
            (RULE_ROW, heading.rule, get("text", **small, **edge, valign="top")),
            (SECTION_ROW, heading.section, get("text", **small, **edge, valign="top")),
            (MARK_ROW, heading.name, get("mark", font_size=SMALL_SIZE, bottom=1, bottom_color=ACCENT, **edge)),
        ):
            if text:
                sheet.write_string(row - 1, at, text, look)
            else:
                sheet.write_blank(row - 1, at, None, look)
    _heights(sheet, headings)


def _heights(sheet: PlainFormulaSheet, headings: Sequence[Heading]) -> None:
    def most(name: str, size: float, bold: bool = False) -> int:
        return max(
            lines(getattr(heading, name), width=heading.width, size=size, bold=bold)
            for heading in headings
        )

    sheet.set_row(BAND_ROW - 1, 16)
    sheet.set_row(NAME_ROW - 1, height_for(most("title", NAME_SIZE, True), size=NAME_SIZE))
    sheet.set_row(UNIT_ROW - 1, height_for(most("unit", SMALL_SIZE), size=SMALL_SIZE))
    sheet.set_row(ROLE_ROW - 1, height_for(1, size=SMALL_SIZE))
    sheet.set_row(RULE_ROW - 1, height_for(most("rule", SMALL_SIZE), size=SMALL_SIZE))
    sheet.set_row(SECTION_ROW - 1, height_for(most("section", SMALL_SIZE), size=SMALL_SIZE))
    sheet.set_row(MARK_ROW - 1, 15)


def total_points(headings: Sequence[Heading]) -> float:
    return sum(heading.width * 5.25 + 4 for heading in headings)
