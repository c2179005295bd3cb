"""Drop-downs, limits, prompts and error words of the input cells."""

from __future__ import annotations

import datetime as dt
from typing import Any

from ..code_tables.model import Field
from ..sheets.compile import message
from ..sheets.layout import JOBS, Layout
from ..sheets.model import CIRCUIT_GRID, FIRST_ROW, JOB_GRID, JOB_NUMBER
from .values import plain

LONGEST_PROMPT, LONGEST_TITLE, LONGEST_ERROR = 255, 32, 224
LONGEST_JOB_NUMBER = 20
UNKNOWN_JOB = "There is no job of that number on Jobs. The circuit counts once there is one and its row is ready."
_FIRST_DAY = dt.date(1900, 1, 1)


def default_words(field: Field) -> str:
    """What is expected, and what a blank cell means."""
    words = field.expected[0].upper() + field.expected[1:]
    if field.required:
        return f"Required. {words}"
    return f"{words}. {blank_words(field)}"


def blank_words(field: Field) -> str:
    """What the workbook does with a blank cell."""
    if field.required:
        return "Must not be blank."
    if field.default is not None:
        unit = f" {field.unit}" if field.unit else ""
        return f"Blank takes {plain(field.default)}{unit}."
    if field.default_rule:
        return f"Blank takes {field.default_rule}."
    return "May stay blank."


def prompt(field: Field) -> str:
    """The words shown beside a selected cell, the most needed ones first."""
    unit = f" In {field.unit}." if field.unit else ""
    expected = field.expected[0].upper() + field.expected[1:] + "."
    needed = f"{field.meaning}{unit} {blank_words(field)}"
    whole = f"{field.meaning}{unit} {expected} {blank_words(field)}"
    return whole if len(whole) <= LONGEST_PROMPT else needed


def error_words(field: Field) -> str:
    """The words shown where an entry is refused."""
    words = f"{message(field)}."
    fuller = f"{words} {blank_words(field)}"
    return fuller if len(fuller) <= LONGEST_ERROR else words


def job_numbers(layout: Layout) -> str:
    """The cells of Jobs where job numbers are typed."""
    place = layout.grids[JOB_GRID]
    at = place.letters[JOB_NUMBER]
    return f"{JOBS}!${at}${FIRST_ROW}:${at}${place.last_row}"


def validation(layout: Layout, field: Field, grid: str = JOB_GRID) -> dict[str, Any]:
    """What the cell takes. Entries are refused where the row would be refused.

    A circuit may be typed before its job, so an unknown job only warns.
    """
    rule: dict[str, Any] = {
        "input_title": _short(field.title),
        "input_message": prompt(field),
        "error_title": _short(field.title),
        "error_message": error_words(field),
        "error_type": "stop",
        "ignore_blank": True,
    }
    if field.name == JOB_NUMBER and grid == CIRCUIT_GRID:
        words = {"error_type": "warning", "error_message": UNKNOWN_JOB}
        return rule | words | {"validate": "list", "source": f"={job_numbers(layout)}"}
    return rule | _limits(layout, field)


def _short(title: str) -> str:
    """A title cut at a word, where it is longer than the box takes."""
    while len(title) > LONGEST_TITLE:
        title = title.rpartition(" ")[0]
    return title


def _limits(layout: Layout, field: Field) -> dict[str, Any]:
    if field.choices:
        return {"validate": "list", "source": f"={layout.choices(field.name)}"}
    if field.kind == "date":
        return {"validate": "date", "criteria": ">=", "value": _FIRST_DAY}
    if field.kind == "number":
        kind = "integer" if field.whole else "decimal"
        if field.maximum is None:
            return {"validate": kind, "criteria": ">=", "value": field.minimum}
        return {
            "validate": kind,
            "criteria": "between",
            "minimum": field.minimum,
            "maximum": field.maximum,
        }
    if field.name == JOB_NUMBER:
        return {
            "validate": "length",
            "criteria": "between",
            "minimum": 1,
            "maximum": LONGEST_JOB_NUMBER,
        }
    return {"validate": "any"}
