"""Which texts of a written sheet are cut off on screen and paper, by an estimate from the widths of the font.

A wrapped text is cut where its lines are taller than its row; any other where
it is wider than its column and something stands in the cell beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from tests.font import Font
from tests.ooxml.package import Package, child, children, corner, every

PIXELS_A_CHARACTER, POINTS_A_PIXEL = 7, 0.75
PADDING = 3.0
"""Points of a column that stay free of text, both sides together."""
LINE = 1.15
"""Height of a line as part of the font size: ascent, descent and gap of the font."""
DEFAULT_WIDTH = 9.140625


@dataclass(frozen=True)
class Look:
    """What of a cell's look decides how much room its text takes."""

    size: float
    bold: bool
    wrap: bool
    shrink: bool
    center: bool
    fill: str
    indent: int


def looks_of(package: Package) -> list[Look]:
    """The look of every cellXfs."""
    fonts, fills, found = children(package.styles, "fonts"), children(package.styles, "fills"), []
    for look in children(package.styles, "cellXfs"):
        font, fill = fonts[int(look.get("fontId", "0"))], fills[int(look.get("fillId", "0"))]
        size, align = child(font, "sz"), child(look, "alignment")
        color = next(every(fill, "fgColor"), None)
        held = {} if align is None else align.attrib
        found.append(Look(
            size=float(size.get("val", "11")) if size is not None else 11.0,
            bold=child(font, "b") is not None,
            wrap=held.get("wrapText") == "1",
            shrink=held.get("shrinkToFit") == "1",
            center=held.get("horizontal") in ("center", "right"),
            fill="" if color is None else color.get("rgb", "")[-6:],
            indent=int(held.get("indent", "0")),
        ))  # fmt: skip
    return found


def texts_of(package: Package) -> list[str]:
    """The shared strings."""
    return ["".join(text.text or "" for text in every(one, "t")) for one in package.root("xl/sharedStrings.xml")]


def clipped(
    title: str, root: Element, *, rows: range, looks: list[Look], texts: list[str], fonts: dict[bool, Font]
) -> Iterator[str]:
    """The texts in some rows of a sheet that are cut off, with their cells."""
    widths = _widths(root)
    for row in children(root, "sheetData"):
        if int(row.get("r", "0")) not in rows:
            continue
        height = float(row.get("ht", "0")) if row.get("customHeight") == "1" else None
        filled = {at[1] for cell in row if len(cell) and (at := corner(cell.get("r", "")))}
        for cell in row:
            place, value = corner(cell.get("r", "")), child(cell, "v")
            if place is None or cell.get("t") != "s" or value is None:
                continue
            text, look = texts[int(value.text or "0")], looks[int(cell.get("s", "0"))]
            if not text or look.shrink:
                continue
            pixels = (widths.get(place[1], DEFAULT_WIDTH) - look.indent) * PIXELS_A_CHARACTER
            room = pixels * POINTS_A_PIXEL - PADDING
            if look.wrap:
                count = lines(text, room, look.size, fonts[look.bold])
                if height is not None and count * look.size * LINE > height + 0.5:
                    yield f"{title}!{cell.get('r')}: {count} lines of {look.size:g} points in {height:g}: {text[:60]}"
                continue
            beside = place[1] + 1
            while not look.center and beside not in filled and beside < place[1] + 40:
                room += widths.get(beside, DEFAULT_WIDTH) * PIXELS_A_CHARACTER * POINTS_A_PIXEL
                beside += 1
            long = fonts[look.bold].points(text, look.size)
            if long > room:
                yield f"{title}!{cell.get('r')}: {long:.0f} points in {room:.0f}: {text[:60]}"


def lines(text: str, room: float, size: float, font: Font) -> int:
    """How many lines a text takes in a room so wide, broken at blanks, long words anywhere."""
    count = 0
    for paragraph in text.split("\n"):
        count += 1
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if line and font.points(longer, size) > room:
                count += 1
                longer = word
            while len(longer) > 1 and font.points(longer, size) > room:
                at = len(longer) - 1
                while at > 1 and font.points(longer[:at], size) > room:
                    at -= 1
                count += 1
                longer = longer[at:]
            line = longer
    return count


def _widths(root: Element) -> dict[int, float]:
    return {
        at: 0.0 if one.get("hidden") == "1" else float(one.get("width", "9.14"))
        for one in children(root, "cols")
        for at in range(int(one.get("min", "1")), min(int(one.get("max", "1")), 1000) + 1)
    }
