"""Reads the contract: input fields of jobs and circuits, and result fields."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from pathlib import Path

from .model import CodeTableError, Field

CONTRACT = Path(__file__).parent / "contract"

TRADE_SIZED = ("large_raceway", "raceway_small")
"""Parameters that are a trade size of a raceway and no size of a conductor."""

WIRE_SIZES = (
    "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0",
    "250", "300", "350", "400", "500", "600", "750",
)  # fmt: skip

_WHOLE_UNITS = ("", "d")
_NUMERIC_CHOICES = ("code_edition", "service_a", "line_v", "well_pump_v", "poles")


def read_fields(name: str, titles: Mapping[str, str]) -> tuple[Field, ...]:
    """Fields of contract/NAME.csv in file order.

    A choice field lists its words; `A to B` among sizes is the run of sizes
    between the two. A number without unit, or in days, is a whole number.
    Raises CodeTableError naming each row whose range or type is not understood.
    """
    faults: list[str] = []
    fields: list[Field] = []
    with (CONTRACT / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        for number, row in enumerate(csv.DictReader(file), start=2):
            try:
                fields.append(_field(row, titles))
            except ValueError as fault:
                faults.append(f"{name}.csv, row {number}, {row['field']}: {fault}")
    if faults:
        raise CodeTableError("\n".join(faults))
    return tuple(fields)


def _field(row: Mapping[str, str], titles: Mapping[str, str]) -> Field:
    name, kind, unit = row["field"], row["type"], row["unit"]
    choices: tuple[float | str, ...] = ()
    numeric = False
    minimum = maximum = None
    text = row["choices_or_range"]
    if kind == "number":
        listed = [part.strip() for part in text.split(",")]
        if len(listed) > 1:
            kind, numeric = "choice", True
            choices = tuple(float(part) for part in listed)
        else:
            minimum, maximum = _range(text)
    elif kind == "choice":
        choices = _choices(text)
        numeric = name in _NUMERIC_CHOICES
        if numeric:
            choices = tuple(float(choice) for choice in choices)
    elif kind not in ("text", "key of jobs.csv", "date"):
        raise ValueError(f"type {kind!r} is not number, choice, text or date")
    default, default_rule = _default(row.get("default", ""), kind, numeric, choices)
    return Field(
        name=name,
        title=titles.get(name) or name.replace("_", " ").capitalize(),
        group=row.get("group", ""),
        kind=kind,
        unit=unit,
        choices=choices,
        numeric=numeric,
        minimum=minimum,
        maximum=maximum,
        whole=kind == "number" and unit in _WHOLE_UNITS,
        default=default,
        default_rule=default_rule,
        required=row["required"] == "yes",
        meaning=row["meaning"],
    )


def _range(text: str) -> tuple[float, float | None]:
    if found := re.fullmatch(r"(-?[\d.]+) to (-?[\d.]+)", text):
        return float(found[1]), float(found[2])
    if found := re.fullmatch(r"(-?[\d.]+) or more", text):
        return float(found[1]), None
    raise ValueError(f"range {text!r} is neither 'A to B' nor 'A or more'")


def _choices(text: str) -> tuple[str, ...]:
    if found := re.fullmatch(r"(\S+) to (\S+)", text):
        first, last = WIRE_SIZES.index(found[1]), WIRE_SIZES.index(found[2])
        return WIRE_SIZES[first : last + 1]
    return tuple(part.strip() for part in text.split(","))


def _default(
    text: str, kind: str, numeric: bool, choices: tuple[float | str, ...]
) -> tuple[float | str | None, str]:
    if text == "":
        return None, ""
    if kind == "number" or numeric:
        try:
            return float(text), ""
        except ValueError:
            return None, text
    if kind == "choice" and text not in choices:
        return None, text
    return text, ""


def read_result_fields() -> tuple[tuple[str, str, str, str], ...]:
    """(sheet, field, unit, meaning) of every result field of the contract."""
    with (CONTRACT / "result_fields.csv").open(newline="", encoding="utf-8") as file:
        return tuple(
            (row["sheet"], row["field"], row["unit"], row["meaning"])
            for row in csv.DictReader(file)
        )
