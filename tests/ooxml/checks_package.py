"""Checks of the package and of the workbook part: parts, relations, names, styles.

Each takes a Package and gives what is wrong, in words with the place.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from xml.etree.ElementTree import Element

from .package import TYPES, Package, area, child, children, every, local, relations_of, sheets_named

WORKBOOK_ORDER = (
    "fileVersion", "fileSharing", "workbookPr", "workbookProtection", "bookViews", "sheets", "functionGroups",
    "externalReferences", "definedNames", "calcPr", "oleSize", "customWorkbookViews", "pivotCaches", "smartTagPr",
    "smartTagTypes", "webPublishing", "fileRecoveryPr", "webPublishObjects", "extLst",
)  # fmt: skip
"""CT_Workbook, ECMA-376 part 1, 18.2.27."""

STYLES_ORDER = (
    "numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles", "dxfs", "tableStyles", "colors",
    "extLst",
)  # fmt: skip
"""CT_Stylesheet, 18.8.39."""

LONGEST_TITLE, LONGEST_NAME, LONGEST_FORMAT = 31, 255, 255
MOST_FORMATS = 64_000
FIRST_OWN_FORMAT = 164
_POINTERS = {"fontId": "fonts", "fillId": "fills", "borderId": "borders", "xfId": "cellStyleXfs"}
_NAME = re.compile(r"[^\W\d][\w.]*|\\[\w.]*")
_LIKE_A_CELL = re.compile(r"[A-Za-z]{1,3}[0-9]{1,7}|[Rr][0-9]*[Cc]?[0-9]*|[Cc][0-9]*")
_BUILT_IN = {f"_xlnm.{name}" for name in ("Print_Area", "Print_Titles", "_FilterDatabase")}


def out_of_order(root: Element, order: tuple[str, ...]) -> list[str]:
    """Children that are not in the list or stand before one that belongs before them."""
    faults, last = [], -1
    for one in root:
        name = local(one.tag)
        if name not in order:
            faults.append(f"unknown element {name}")
        elif order.index(name) < last:
            faults.append(f"{name} stands after {order[last]}")
        else:
            last = order.index(name)
    return faults


def order_of_parts(package: Package) -> list[str]:
    """The workbook part and the styles have their elements in the order of the standard."""
    return [f"workbook: {fault}" for fault in out_of_order(package.book, WORKBOOK_ORDER)] + [
        f"styles: {fault}" for fault in out_of_order(package.styles, STYLES_ORDER)
    ]


def relations(package: Package) -> Iterator[str]:
    """Every relation leads to a part, every part is reached, every r:id is one of its part."""
    reached = {TYPES, relations_of("")}
    for part in ["", *package.names]:
        links = package.links(part)
        ids = [link.get("Id") for link, _ in links]
        yield from (f"{part}: relation {one} stands twice" for one, count in Counter(ids).items() if count > 1)
        if links:
            reached.add(relations_of(part))
        for link, target in links:
            if link.get("TargetMode") == "External":
                yield f"{part}: relation {link.get('Id')} leads outside"
            elif target not in package.names:
                yield f"{part}: relation {link.get('Id')} leads to {target}, which is not there"
            reached.add(target)
        if part.endswith(".xml") and part != TYPES:
            found = re.findall(rb'\br:(?:id|embed|link)="([^"]*)"', package.read(part))
            yield from (f"{part}: no relation {one.decode()}" for one in found if one.decode() not in ids)
    yield from (f"no relation leads to {part}" for part in package.names if part not in reached)


def content_types(package: Package) -> Iterator[str]:
    """Every part has a type, and every type of a part is of one that is there."""
    root = package.root(TYPES)
    endings = {one.get("Extension", "").lower() for one in every(root, "Default")}
    own = [one.get("PartName", "").lstrip("/") for one in every(root, "Override")]
    for part in package.names:
        ending = part.rpartition(".")[2].lower()
        if part != TYPES and part not in own and (ending not in endings or ending == "xml"):
            yield f"no content type of {part}"
    yield from (f"content type of {part}, which is not there" for part in own if part not in package.names)
    twice = Counter(name.lower() for name in package.names)
    yield from (f"the part {name} stands twice" for name, count in twice.items() if count > 1)


def sheet_titles(package: Package) -> Iterator[str]:
    """Titles are unique whatever their case, short, of allowed signs; numbers and parts are unique."""
    for title, count in Counter(title.casefold() for title in package.titles).items():
        if count > 1:
            yield f"the title {title} stands {count} times"
    for title in package.titles:
        if not 0 < len(title) <= LONGEST_TITLE:
            yield f"the title {title} has {len(title)} characters"
        if set(title) & set("[]:*?/\\") or title[:1] == "'" or title[-1:] == "'" or title.casefold() == "history":
            yield f"the title {title} is not allowed"
    numbers = Counter(sheet.get("sheetId") for sheet in every(package.book, "sheet"))
    yield from (f"sheetId {number} stands twice" for number, count in numbers.items() if count > 1)
    if len(package.sheet_parts) != len(package.titles):
        yield f"{len(package.titles)} sheets, {len(package.sheet_parts)} parts of them"


def defined_names(package: Package) -> Iterator[str]:
    """Names are spelled as allowed, once in their scope, and mean areas of sheets that are there."""
    seen: Counter[tuple[str, str | None]] = Counter()
    for name in children(package.book, "definedNames"):
        text, scope, target = name.get("name", ""), name.get("localSheetId"), name.text or ""
        seen[text.casefold(), scope] += 1
        if text.startswith("_xlnm."):
            if text not in _BUILT_IN or scope is None:
                yield f"{text}: no name of a sheet's own"
        elif not _NAME.fullmatch(text) or _LIKE_A_CELL.fullmatch(text) or len(text) > LONGEST_NAME:
            yield f"{text}: no valid name"
        if scope is not None and not 0 <= int(scope) < len(package.titles):
            yield f"{text}: no sheet number {scope}"
        if not target:
            yield f"{text}: means nothing"
        for missing in sheets_named(target) - set(package.titles):
            yield f"{text}: no sheet {missing}"
        for piece in re.split(r",(?=(?:[^']*'[^']*')*[^']*$)", target):
            if "!" in piece and area(piece.rpartition("!")[2]) is None:
                yield f"{text}: {piece} is no area"
    yield from (f"{name}: stands {count} times" for (name, _), count in seen.items() if count > 1)


def styles(package: Package) -> Iterator[str]:
    """Every look points to a font, fill, border and number format that is there; counts are true."""
    root = package.styles
    for group in root:
        if group.get("count") is not None and int(group.get("count", "")) != len(group):
            yield f"{local(group.tag)}: count {group.get('count')}, there are {len(group)}"
    sizes = {name: len(children(root, name)) for name in ("fonts", "fills", "borders", "cellStyleXfs")}
    formats = {int(one.get("numFmtId", "0")): one.get("formatCode", "") for one in children(root, "numFmts")}
    for number, code in formats.items():
        if number < FIRST_OWN_FORMAT or not 0 < len(code) <= LONGEST_FORMAT:
            yield f"number format {number}: {code}"
    if len(children(root, "cellXfs")) > MOST_FORMATS:
        yield f"{len(children(root, 'cellXfs'))} looks, the most is {MOST_FORMATS}"
    for group in ("cellStyleXfs", "cellXfs"):
        for place, look in enumerate(children(root, group)):
            for key, name in _POINTERS.items():
                if int(look.get(key, "0")) >= sizes[name]:
                    yield f"{group} {place}: no {name} {look.get(key)}"
            number = int(look.get("numFmtId", "0"))
            if number >= FIRST_OWN_FORMAT and number not in formats:
                yield f"{group} {place}: no number format {number}"
    for place, style in enumerate(children(root, "cellStyles")):
        if int(style.get("xfId", "0")) >= sizes["cellStyleXfs"]:
            yield f"cell style {place}: no cellStyleXfs {style.get('xfId')}"
    for color in every(root, "color"):
        if color.get("rgb") is not None and not re.fullmatch(r"[0-9A-F]{8}", color.get("rgb", "")):
            yield f"colour {color.get('rgb')}"


def strings(package: Package) -> Iterator[str]:
    """The list of shared strings is as long as it says, and no text is too long for a cell."""
    root = package.root("xl/sharedStrings.xml")
    if int(root.get("uniqueCount", "0")) != len(root):
        yield f"uniqueCount {root.get('uniqueCount')}, there are {len(root)}"
    for place, one in enumerate(root):
        if sum(len(text.text or "") for text in every(one, "t")) > 32_767:
            yield f"string {place} is too long for a cell"


def charts(package: Package) -> Iterator[str]:
    """What a chart draws stands in the cells it names."""
    wanted: dict[str, list[tuple[str, str]]] = {}
    for part in package.names:
        if not re.fullmatch(r"xl/charts/chart[0-9]+\.xml", part):
            continue
        root = package.root(part)
        formulas = [one.text or "" for one in every(root, "f")]
        if not formulas:
            yield f"{part}: draws no cells"
        for formula in formulas:
            titles = sheets_named(formula)
            if len(titles) != 1 or not titles <= set(package.titles) or not area(formula.rpartition("!")[2]):
                yield f"{part}: {formula} is no area of a sheet"
                continue
            wanted.setdefault(titles.pop(), []).append((part, formula))
    for title, formulas in wanted.items():
        filled = {cell.get("r") for cell in every(package.root(package.sheet_parts[title]), "c") if len(cell)}
        for part, formula in formulas:
            top, left, bottom, right = area(formula.rpartition("!")[2]) or (0, 0, 0, 0)
            names = {f"{_letters(at)}{row}" for row in range(top, bottom + 1) for at in range(left, right + 1)}
            if names - filled:
                yield f"{part}: {formula} has blank cells, {min(names - filled)} for one"


def _letters(column: int) -> str:
    text = ""
    while column:
        column, rest = divmod(column - 1, 26)
        text = chr(65 + rest) + text
    return text


def drawings(package: Package) -> Iterator[str]:
    """Every drawing has anchors inside a sheet, numbered once, with words for those who cannot see it."""
    for part in package.names:
        if not re.fullmatch(r"xl/drawings/drawing[0-9]+\.xml", part):
            continue
        root = package.root(part)
        numbers = Counter(one.get("id") for one in every(root, "cNvPr"))
        yield from (f"{part}: the number {number} stands twice" for number, count in numbers.items() if count > 1)
        for one in every(root, "cNvPr"):
            if not one.get("descr"):
                yield f"{part}: {one.get('name')} has no description"
        for anchor in root:
            first, last = child(anchor, "from"), child(anchor, "to")
            if first is None or last is None:
                yield f"{part}: an anchor without its corners"
                continue
            for name in ("row", "col"):
                one, other = child(first, name), child(last, name)
                if one is None or other is None or int(one.text or "0") > int(other.text or "0"):
                    yield f"{part}: an anchor that ends before it begins"


CHECKS = (
    order_of_parts, relations, content_types, sheet_titles, defined_names, styles, strings, charts, drawings,
)  # fmt: skip
