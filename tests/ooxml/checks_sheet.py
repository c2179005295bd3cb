"""Checks of one sheet: order of elements, attributes, rows and cells, what hangs on them.

Each takes the package, the title and the first element of the sheet, and gives
what is wrong, in words with the place.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable, Iterator
from xml.etree.ElementTree import Element

from .checks_package import out_of_order
from .package import Package, area, child, children, corner, every, local, sheets_named

WORKSHEET_ORDER = (
    "sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "sheetCalcPr", "sheetProtection",
    "protectedRanges", "scenarios", "autoFilter", "sortState", "dataConsolidate", "customSheetViews", "mergeCells",
    "phoneticPr", "conditionalFormatting", "dataValidations", "hyperlinks", "printOptions", "pageMargins",
    "pageSetup", "headerFooter", "rowBreaks", "colBreaks", "customProperties", "cellWatches", "ignoredErrors",
    "smartTags", "drawing", "drawingHF", "legacyDrawing", "legacyDrawingHF", "picture", "oleObjects", "controls",
    "webPublishItems", "tableParts", "extLst",
)  # fmt: skip
"""CT_Worksheet, ECMA-376 part 1, 18.3.1.99."""

WIDEST_COLUMN, TALLEST_ROW = 255, 409
LONGEST_FORMULA, LONGEST_HEADER, LONGEST_TIP = 8_192, 255, 255
MOST_LINKS = 65_530
CELL_TYPES = {"b", "d", "e", "inlineStr", "n", "s", "str"}


def _boolean(text: str) -> bool:
    return text in ("0", "1", "true", "false")


def _whole(text: str) -> bool:
    return text.isdigit()


def _number(text: str) -> bool:
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False


def _areas(text: str) -> bool:
    return bool(text) and all(area(one) for one in text.split(" "))


def _any(_: str) -> bool:
    return True


def _one_of(*words: str) -> Callable[[str], bool]:
    return lambda text: text in words


_FLAGS = (
    "sheet", "objects", "scenarios", "formatCells", "formatColumns", "formatRows", "insertColumns", "insertRows",
    "insertHyperlinks", "deleteColumns", "deleteRows", "selectLockedCells", "sort", "autoFilter", "pivotTables",
    "selectUnlockedCells",
)  # fmt: skip

ATTRIBUTES: dict[str, dict[str, Callable[[str], bool]]] = {
    "dimension": {"ref": _areas},
    "sheetView": {
        "showGridLines": _boolean, "showRowColHeaders": _boolean, "showZeros": _boolean, "tabSelected": _boolean,
        "view": _one_of("normal", "pageBreakPreview", "pageLayout"), "topLeftCell": _areas, "zoomScale": _whole,
        "zoomScaleNormal": _whole, "workbookViewId": _whole,
    },
    "pane": {
        "xSplit": _number, "ySplit": _number, "topLeftCell": _areas,
        "state": _one_of("split", "frozen", "frozenSplit"),
        "activePane": _one_of("bottomRight", "topRight", "bottomLeft", "topLeft"),
    },
    "selection": {
        "pane": _one_of("bottomRight", "topRight", "bottomLeft", "topLeft"), "activeCell": _areas, "sqref": _areas,
    },
    "sheetFormatPr": {
        "baseColWidth": _whole, "defaultColWidth": _number, "defaultRowHeight": _number, "customHeight": _boolean,
        "zeroHeight": _boolean, "outlineLevelRow": _whole, "outlineLevelCol": _whole,
    },
    "col": {
        "min": _whole, "max": _whole, "width": _number, "style": _whole, "hidden": _boolean, "customWidth": _boolean,
        "outlineLevel": _whole, "collapsed": _boolean,
    },
    "row": {
        "r": _whole, "spans": re.compile(r"[0-9]+:[0-9]+( [0-9]+:[0-9]+)*").fullmatch, "s": _whole,
        "customFormat": _boolean, "ht": _number, "hidden": _boolean, "customHeight": _boolean, "outlineLevel": _whole,
        "collapsed": _boolean,
    },
    "c": {"r": _areas, "s": _whole, "t": CELL_TYPES.__contains__},
    "f": {"t": _one_of("normal", "array", "shared"), "ref": _areas, "si": _whole, "ca": _boolean},
    "sheetProtection": dict.fromkeys(_FLAGS, _boolean) | {
        "password": re.compile("[0-9A-F]{4}").fullmatch, "algorithmName": _any, "hashValue": _any, "saltValue": _any,
        "spinCount": _whole,
    },
    "autoFilter": {"ref": _areas},
    "mergeCell": {"ref": _areas},
    "hyperlink": {"ref": _areas, "id": _any, "location": _any, "tooltip": _any, "display": _any},
    "pageMargins": dict.fromkeys(("left", "right", "top", "bottom", "header", "footer"), _number),
    "pageSetup": {
        "paperSize": _whole, "scale": _whole, "firstPageNumber": _whole, "fitToWidth": _whole, "fitToHeight": _whole,
        "pageOrder": _one_of("downThenOver", "overThenDown"),
        "orientation": _one_of("default", "portrait", "landscape"),
        "blackAndWhite": _boolean, "useFirstPageNumber": _boolean,
    },
    "brk": {"id": _whole, "min": _whole, "max": _whole, "man": _boolean},
    "ignoredError": {
        "sqref": _areas, "numberStoredAsText": _boolean, "formula": _boolean, "unlockedFormula": _boolean,
    },
}  # fmt: skip
"""Attributes that the standard knows for an element, of those this project writes, and what they may be."""


def order_of_elements(_: Package, title: str, root: Element) -> list[str]:
    """The elements of a sheet stand in the order of the standard."""
    return [f"{title}: {fault}" for fault in out_of_order(root, WORKSHEET_ORDER)]


def attributes(_: Package, title: str, root: Element) -> Iterator[str]:
    """Every attribute is known and holds a value of its kind."""
    for one in root.iter():
        name = local(one.tag)
        known = ATTRIBUTES.get(name)
        if known is None:
            continue
        for key, text in one.items():
            key = local(key)
            if key == "space":
                continue
            if key not in known:
                yield f"{title}, {name}: unknown attribute {key}"
            elif not known[key](text):
                yield f"{title}, {name}: {key} is {text!r}"


def columns(_: Package, title: str, root: Element) -> Iterator[str]:
    """Columns are given once, in order, none wider than a spreadsheet has them."""
    last = 0
    for one in children(root, "cols"):
        first, end = int(one.get("min", "0")), int(one.get("max", "0"))
        if not last < first <= end <= 16_384:
            yield f"{title}: columns {first} to {end} after {last}"
        last = end
        if not 0 <= float(one.get("width", "0")) <= WIDEST_COLUMN:
            yield f"{title}: column {first} is {one.get('width')} wide"


def rows_and_cells(package: Package, title: str, root: Element) -> Iterator[str]:
    """Rows and cells stand once and in order, with looks and texts that are there."""
    looks, texts = len(children(package.styles, "cellXfs")), package.strings
    last_row = 0
    for row in children(root, "sheetData"):
        number = int(row.get("r", "0"))
        if number <= last_row:
            yield f"{title}: row {number} after {last_row}"
        last_row, last_column = number, 0
        if not 0 <= float(row.get("ht", "15")) <= TALLEST_ROW:
            yield f"{title}: row {number} is {row.get('ht')} tall"
        if int(row.get("s", "0")) >= looks:
            yield f"{title}: row {number}, no look {row.get('s')}"
        for cell in row:
            name = cell.get("r", "")
            place = corner(name)
            if place is None or place[0] != number or place[1] <= last_column:
                yield f"{title}: cell {name} in row {number} after column {last_column}"
                continue
            last_column = place[1]
            if int(cell.get("s", "0")) >= looks:
                yield f"{title}!{name}: no look {cell.get('s')}"
            kind, value, formula = cell.get("t", "n"), child(cell, "v"), child(cell, "f")
            text = (value.text or "") if value is not None else ""
            if kind == "s" and not (text.isdigit() and int(text) < texts):
                yield f"{title}!{name}: no text {text}"
            if (kind == "n" and value is not None and not _number(text)) or (kind == "b" and text not in ("0", "1")):
                yield f"{title}!{name}: {text!r} of kind {kind}"
            if formula is not None and not 0 < len(formula.text or "") <= LONGEST_FORMULA:
                yield f"{title}!{name}: a formula of {len(formula.text or '')} characters"


def formulas(package: Package, title: str, root: Element) -> Iterator[str]:
    """Formulas look at sheets that are there, and at no other workbook."""
    missing: dict[str, str] = {}
    for cell in every(root, "c"):
        formula = child(cell, "f")
        if formula is None:
            continue
        text = formula.text or ""
        if "[" in re.sub(r'"(?:[^"]|"")*"', "", text):
            yield f"{title}!{cell.get('r')}: a formula with brackets"
        for name in sheets_named(text) - set(package.titles):
            missing.setdefault(name, cell.get("r", ""))
    yield from (f"{title}!{cell}: no sheet {name}" for name, cell in missing.items())


def extent(_: Package, title: str, root: Element) -> Iterator[str]:
    """The dimension holds every cell."""
    dimension = child(root, "dimension")
    place = area(dimension.get("ref", "")) if dimension is not None else None
    if place is None:
        yield f"{title}: no dimension"
        return
    outside = [
        name
        for cell in every(root, "c")
        if (name := cell.get("r", ""))
        and (at := corner(name))
        and not (place[0] <= at[0] <= place[2] and place[1] <= at[1] <= place[3])
    ]
    if outside:
        yield f"{title}: {outside[0]} is outside of {dimension.get('ref')}"


def nothing_merged(_: Package, title: str, root: Element) -> Iterator[str]:
    """No cells are merged: merged cells break sorting, cutting and reading aloud."""
    if child(root, "mergeCells") is not None:
        yield f"{title}: merged cells"


def links(package: Package, title: str, root: Element) -> Iterator[str]:
    """Links lead to a cell of a sheet that is there; what is read aloud is not too long."""
    found = children(root, "hyperlinks")
    if len(found) > MOST_LINKS:
        yield f"{title}: {len(found)} links"
    names = {name.get("name") for name in children(package.book, "definedNames")}
    for one in found:
        target = one.get("location", "")
        sheet, mark, cell = target.rpartition("!")
        plain = sheet[1:-1].replace("''", "'") if sheet.startswith("'") else sheet
        if not (target in names if not mark else plain in package.titles and area(cell)):
            yield f"{title}!{one.get('ref')}: leads to {target!r}"
        elif " " in sheet and not sheet.startswith("'"):
            yield f"{title}!{one.get('ref')}: {target!r} lacks its quotes"
        if len(one.get("tooltip", "")) > LONGEST_TIP:
            yield f"{title}!{one.get('ref')}: a tip of {len(one.get('tooltip', ''))} characters"
    cells = Counter(one.get("ref") for one in found)
    yield from (f"{title}!{cell}: {count} links" for cell, count in cells.items() if count > 1)


def pages(_: Package, title: str, root: Element) -> Iterator[str]:
    """Headers and footers are short, breaks counted and the scale one that prints."""
    header = child(root, "headerFooter")
    for one in header if header is not None else ():
        if len(one.text or "") > LONGEST_HEADER:
            yield f"{title}: {local(one.tag)} of {len(one.text or '')} characters"
    for name in ("rowBreaks", "colBreaks"):
        breaks = child(root, name)
        if breaks is not None and not (
            breaks.get("count") == str(len(breaks))
            and breaks.get("manualBreakCount", "0") == str(sum(one.get("man") == "1" for one in breaks))
        ):
            yield f"{title}: {name} counts wrongly"
    setup = child(root, "pageSetup")
    if setup is not None and not 10 <= int(setup.get("scale", "100")) <= 400:
        yield f"{title}: scale {setup.get('scale')}"


CHECKS = (
    order_of_elements, attributes, columns, rows_and_cells, formulas, extent, nothing_merged, links, pages,
)  # fmt: skip
