"""Checks of what people see: text stands out from its fill, and colour is never the only cue."""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree.ElementTree import Element

from .package import Package, area, child, children, every, local

LEAST_CONTRAST = 6.0
"""Ratio of luminances as WCAG 2 defines it; 4.5 is the least for text there, 7 the enhanced one."""
BLACK, WHITE = "000000", "FFFFFF"

WORDED = {"beginsWith", "endsWith", "containsText", "cellIs"}
"""Kinds of rules whose colour repeats what the cell says in words or as a number."""


def contrast(one: str, other: str) -> float:
    """Ratio of the luminances of two colours, from 1 to 21.

    >>> round(contrast("#FFFFFF", "#000000")), round(contrast("777777", "FF777777"))
    (21, 1)
    """
    high, low = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def _luminance(color: str) -> float:
    parts = [int(color[-6:][at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _color(one: Element | None) -> str | None:
    """RRGGBB of a colour; a theme's first two are white and black, others are not used here."""
    if one is None:
        return None
    if one.get("rgb") is not None:
        return one.get("rgb", "")[-6:]
    indexed = {"64": BLACK, "65": WHITE}.get(one.get("indexed", ""))
    found = {"0": WHITE, "1": BLACK}.get(one.get("theme", "")) or indexed
    if found is None:
        raise ValueError(f"a colour that is not looked at: {one.attrib}")
    return found


def _fill(one: Element | None) -> str | None:
    """The colour of a solid fill. In a conditional look the colour stands in bgColor."""
    pattern = child(one, "patternFill") if one is not None else None
    if pattern is None or pattern.get("patternType") in ("none", "gray125"):
        return None
    if one is not None and pattern.get("patternType") == "solid" and child(pattern, "fgColor") is not None:
        return _color(child(pattern, "fgColor"))
    return _color(child(pattern, "bgColor"))


def _looks(package: Package) -> list[tuple[str, str]]:
    """(colour of the text, colour of the fill) of every look of a cell, in the order of cellXfs."""
    fonts = [_color(child(font, "color")) or BLACK for font in children(package.styles, "fonts")]
    fills = [_fill(fill) or WHITE for fill in children(package.styles, "fills")]
    return [
        (fonts[int(look.get("fontId", "0"))], fills[int(look.get("fillId", "0"))])
        for look in children(package.styles, "cellXfs")
    ]


def text_on_fill(package: Package) -> Iterator[str]:
    """In every look of a cell, blank ones too since people type there, text stands out from the fill."""
    for place, (text, fill) in enumerate(_looks(package)):
        if contrast(text, fill) < LEAST_CONTRAST:
            yield f"look {place}: {text} on {fill} is {contrast(text, fill):.1f} to 1"


def text_on_rules(package: Package, title: str, root: Element) -> Iterator[str]:
    """What a conditional format lays over a cell stands out, with what it leaves of the cell's own look."""
    looks, over = _looks(package), children(package.styles, "dxfs")
    own = {cell.get("r", ""): looks[int(cell.get("s", "0"))] for cell in every(root, "c")}
    for group, rule in _rules(root):
        if rule.get("dxfId") is None:
            continue
        look = over[int(rule.get("dxfId", "0"))]
        font = child(look, "font")
        text, fill = _color(child(font, "color")) if font is not None else None, _fill(child(look, "fill"))
        under = {looks[0]} if text and fill else _under(own, group.get("sqref", "")) or {looks[0]}
        for own_text, own_fill in under:
            ratio = contrast(text or own_text, fill or own_fill)
            if ratio < LEAST_CONTRAST:
                yield f"{title}!{group.get('sqref')}: {text or own_text} on {fill or own_fill} is {ratio:.1f} to 1"


def _under(own: dict[str, tuple[str, str]], sqref: str) -> set[tuple[str, str]]:
    """The looks of the cells in some areas."""
    places = [place for text in sqref.split(" ") if (place := area(text))]
    found = set()
    for cell, look in own.items():
        at = area(cell)
        if at and any(top <= at[0] <= bottom and left <= at[1] <= right for top, left, bottom, right in places):
            found.add(look)
    return found


def not_by_colour_alone(package: Package, title: str, root: Element) -> Iterator[str]:
    """A rule colours what says the same in words, or changes more than colour: weight, frame, number, icon or bar.

    A rule by formula that only asks whether its cell is blank frames what is written there.
    """
    over = children(package.styles, "dxfs")
    for group, rule in _rules(root):
        kind = rule.get("type", "")
        if kind in WORDED or kind == "iconSet":
            continue
        bar = child(rule, "dataBar")
        if bar is not None and bar.get("showValue", "1") in ("1", "true"):
            continue
        formula = child(rule, "formula")
        text = "" if formula is None else formula.text or ""
        written = kind == "expression" and re.fullmatch(r'\$?[A-Z]+\$?[0-9]+<>""', text)
        look = over[int(rule.get("dxfId", "0"))] if rule.get("dxfId") is not None else None
        if not written and not (look is not None and _more_than_colour(look)):
            yield f"{title}!{group.get('sqref')}: {kind} changes colour only"


def _more_than_colour(look: Element) -> bool:
    if child(look, "numFmt") is not None:
        return True
    marks = [one for one in every(look, "font") for one in one if local(one.tag) in ("b", "i", "u", "strike")]
    sides = [side for border in every(look, "border") for side in border if side.get("style")]
    return any(mark.get("val", "1") not in ("0", "false", "none") for mark in marks) or bool(sides)


def _rules(root: Element) -> Iterator[tuple[Element, Element]]:
    for group in every(root, "conditionalFormatting"):
        for rule in group:
            if local(rule.tag) == "cfRule":
                yield group, rule


OF_THE_PACKAGE = (text_on_fill,)
OF_A_SHEET = (text_on_rules, not_by_colour_alone)
