"""The least width of a column by what its cells hold: the longest words or the largest usual amount."""

from __future__ import annotations

import re

from ..code_tables.model import Field, Rule
from ..sheets.model import CIRCUIT_STATE, JOB_NUMBER, ROW_STATE
from .measure import width_for
from .styles import BASE_SIZE
from .values import plain

_NAMED = {ROW_STATE: 26, CIRCUIT_STATE: 26, JOB_NUMBER: 14, "site": 46, "extra_work": 46, "label": 32}
_WIDTHS = {"size": 10, "choice": 15, "state": 30, "text": 20, "date": 11}
_LARGEST = {
    "VA": "-234,567", "cmil": "1,234,567", "kWh": "123,456", "USD": "-123,456.78", "USD2": "12,345,678.12",
    "USD/h": "1,234.56", "USD2/h2": "1,234.5678", "in2": "123.4567", "ohm/kft": "12.3456", "h2": "123.4567",
    "1": "123.456", "A": "1234.5", "V": "1234.5", "kW": "1234.56", "kVA": "1234.56", "%": "-123.45",
    "in": "123.456", "ft": "1234.5", "h": "1234.56", "C": "123", "kA": "123.4",
}  # fmt: skip
"""Amounts far beyond those of a dwelling, by unit."""

_USUAL = "12345.67"
_WIDEST = 76
_SPARE = 2
_SAID = re.compile(r'"([^"]+)"')


def width_of(name: str, rule: Rule, field: Field | None) -> float:
    """Column width for the values of a calculated column or an entry as used."""
    if name in _NAMED:
        return _NAMED[name]
    return entry_width(field) if field is not None else _rule_width(rule)


def entry_width(field: Field) -> float:
    """Column width for the values of an input field."""
    if field.name in _NAMED:
        return _NAMED[field.name]
    if field.kind == "number" or field.numeric:
        return _amount("12345", field.unit)
    words = [plain(choice) for choice in field.choices or ()]
    return max(_said(words), _WIDTHS.get(field.kind, 0))


def said(rule: Rule) -> list[str]:
    """The words that the sentence of a rule puts into the cell."""
    return _SAID.findall(rule.sentence)


def _rule_width(rule: Rule) -> float:
    """Room for the kind, and for the longest text the rule may put into the cell."""
    if rule.kind == "count":
        return _amount("12345", rule.unit)
    if rule.kind in ("number", "fine"):
        unit = "" if rule.unit == "1" else rule.unit
        return _amount(_LARGEST.get(rule.unit, _USUAL), unit)
    texts = said(rule) if rule.kind in ("state", "text") else []
    return min(_WIDEST, max(_WIDTHS[rule.kind], _said(texts)))


def _amount(digits: str, unit: str) -> float:
    return width_for(f"{digits} {unit}".rstrip(), size=BASE_SIZE)


def _said(texts: list[str]) -> float:
    return max((width_for(text, size=BASE_SIZE) + _SPARE for text in texts), default=0)
