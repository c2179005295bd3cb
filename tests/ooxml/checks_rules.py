"""Checks of what hangs on a sheet's cells: data validations and conditional formats."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from xml.etree.ElementTree import Element

from .package import Package, area, child, children, every, local, sheets_named

LONGEST_WORDS = {"promptTitle": 32, "errorTitle": 32, "prompt": 255, "error": 225}
"""Characters that Excel takes; longer ones make it repair the file."""
LONGEST_FORMULA = 255
MOST_VALIDATIONS = 65_534

VALIDATION = {
    "type": {"none", "whole", "decimal", "list", "date", "time", "textLength", "custom"},
    "errorStyle": {"stop", "warning", "information"},
    "operator": {
        "between", "notBetween", "equal", "notEqual", "lessThan", "lessThanOrEqual", "greaterThan",
        "greaterThanOrEqual",
    },
    "allowBlank": {"0", "1"}, "showDropDown": {"0", "1"}, "showInputMessage": {"0", "1"},
    "showErrorMessage": {"0", "1"},
}  # fmt: skip
"""CT_DataValidation, ECMA-376 part 1, 18.3.1.32: attributes of set values."""

RULE_TYPES = {
    "expression", "cellIs", "colorScale", "dataBar", "iconSet", "top10", "uniqueValues", "duplicateValues",
    "containsText", "notContainsText", "beginsWith", "endsWith", "containsBlanks", "notContainsBlanks",
    "containsErrors", "notContainsErrors", "timePeriod", "aboveAverage",
}  # fmt: skip
"""ST_CfType, 18.18.12."""
_COMPARED = ("whole", "decimal", "date", "time", "textLength")
WITHOUT_FORMULA = {
    "colorScale", "dataBar", "iconSet", "top10", "uniqueValues", "duplicateValues", "aboveAverage",
}  # fmt: skip


def validations(package: Package, title: str, root: Element) -> Iterator[str]:
    """Data validations: kinds, lengths of words and formulas, areas, count, sheets they look at."""
    group = child(root, "dataValidations")
    if group is None:
        return
    if group.get("count") != str(len(group)) or len(group) > MOST_VALIDATIONS:
        yield f"{title}: count of validations {group.get('count')}, there are {len(group)}"
    for one in group:
        place = f"{title}!{one.get('sqref')}"
        for key, text in one.items():
            key = local(key)
            if key in LONGEST_WORDS:
                if not 0 < len(text) <= LONGEST_WORDS[key]:
                    yield f"{place}: {key} of {len(text)} characters, at most {LONGEST_WORDS[key]}"
            elif key in VALIDATION:
                if text not in VALIDATION[key]:
                    yield f"{place}: {key} is {text!r}"
            elif key not in ("sqref", "imeMode"):
                yield f"{place}: unknown attribute {key}"
        first, second = child(one, "formula1"), child(one, "formula2")
        for formula in (first, second):
            text = "" if formula is None else formula.text or ""
            if len(text) > LONGEST_FORMULA:
                yield f"{place}: a formula of {len(text)} characters, at most {LONGEST_FORMULA}"
            for missing in sheets_named(text) - set(package.titles):
                yield f"{place}: no sheet {missing}"
        if one.get("type", "none") != "none" and (first is None or not first.text):
            yield f"{place}: no formula"
        between = one.get("operator", "between") in ("between", "notBetween")
        if (second is not None) is not (between and one.get("type") in _COMPARED):
            yield f"{place}: {'a' if second is not None else 'no'} second formula"


def validations_apart(_: Package, title: str, root: Element) -> Iterator[str]:
    """No cell has two data validations."""
    places = []
    for one in children(root, "dataValidations"):
        for text in one.get("sqref", "").split(" "):
            found = area(text)
            if found is None:
                yield f"{title}: validation of {text!r}"
            else:
                places.append((text, found))
    for (text, one), (other_text, other) in combinations(places, 2):
        if one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]:
            yield f"{title}: validations of {text} and {other_text} overlap"


def conditional_formats(package: Package, title: str, root: Element) -> Iterator[str]:
    """Conditional formats: kinds, looks that are there, priorities that differ, areas, formulas."""
    looks = len(children(package.styles, "dxfs"))
    priorities: Counter[str] = Counter()
    for group in every(root, "conditionalFormatting"):
        place = f"{title}!{group.get('sqref')}"
        if not all(area(one) for one in group.get("sqref", "").split(" ")):
            yield f"{place}: no area"
        for rule in group:
            if local(rule.tag) != "cfRule":
                continue
            kind = rule.get("type", "")
            priorities[rule.get("priority", "")] += 1
            if kind not in RULE_TYPES:
                yield f"{place}: kind {kind!r}"
            if rule.get("dxfId") is not None and not int(rule.get("dxfId", "0")) < looks:
                yield f"{place}: no look {rule.get('dxfId')}"
            formula = child(rule, "formula")
            text = "" if formula is None else formula.text or ""
            if (not text and kind not in WITHOUT_FORMULA) or text.startswith("="):
                yield f"{place}: formula {text!r}"
            for missing in sheets_named(text) - set(package.titles):
                yield f"{place}: no sheet {missing}"
    for priority, count in priorities.items():
        if count > 1 or not priority.isdigit() or priority == "0":
            yield f"{title}: priority {priority!r} stands {count} times"


CHECKS = (validations, validations_apart, conditional_formats)
