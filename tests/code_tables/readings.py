"""The second readings, and where they differ from the tables and parameters."""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import EDITIONS

FOLDER = Path(__file__).parent.parent / "second_reading"
APART = ("parameters", "panel_size")
"""Readings that have another shape than their table."""

OPEN = {
    **{(wiring, "terminal_cap_c"): ("90", "75") for wiring in ("PVC 40", "PVC 80", "EMT", "RMC", "IMC", "FMC", "LFNC", "MC cable")},
}  # fmt: skip
"""Cells of wiring_method where the readings differ and the first is not changed; README.md beside them says why."""


def text(value: float | str | None) -> str:
    """A number to eight figures, anything else as it stands."""
    if value is None or value == "":
        return ""
    try:
        return f"{float(value):.8g}"
    except ValueError:
        return str(value)


def table_differences(name: str) -> dict[tuple[str, str], tuple[str, str]]:
    """Where a table and its second reading differ, by key and column: (first, second). KeyError for other keys."""
    table = load().tables[name]
    second = read(name)
    first = {text(row[0]): dict(zip(table.header, map(text, row), strict=True)) for row in table.rows}
    if first.keys() != second.keys():
        raise KeyError(f"{name}: keys {sorted(first.keys() ^ second.keys())} stand in one reading only")
    return {
        (key, column): (first[key][column], text(second[key][column]))
        for key in first
        for column in table.header
        if _plain(column, first[key][column]) != _plain(column, text(second[key][column]))
    }


def _plain(column: str, value: str) -> str:
    """The words of Table 250.66 without the difference between `2 or smaller` and `to 2`."""
    if not column.startswith("service_"):
        return value
    return re.sub(r"^(\S+) or smaller$", r"to \1", value).replace(" through ", " to ")


@cache
def read(name: str) -> dict[str, dict[str, str]]:
    """The rows of a second reading by their key, the first column of the table (the name of a parameter)."""
    with (FOLDER / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    key = {"parameters": "name", "panel_size": "bus_a"}.get(name) or load().tables[name].key
    found = {text(row[key]): row for row in rows}
    assert len(found) == len(rows), f"{name}: a key stands twice"
    return found


def panels_not_sold() -> list[tuple[str, float]]:
    """Panels of panel_size, by bus and spaces, that the second reading does not know to be sold."""
    table = load().tables["panel_size"]
    return [
        (bus, spaces)
        for bus in table.header[1:]
        for spaces in table.column(bus)
        if spaces is not None and text(spaces) not in read("panel_size")[bus]["sold_spaces"].split()
    ]


def parameter_differences(name: str) -> dict[tuple[str, int], tuple[float | str, str]]:
    """Editions of a parameter where the second reading has a value, and another one. Numbers to seven figures."""
    parameter, reading = load().parameters[name], read("parameters")[name]
    return {
        (name, edition): (parameter.values[edition], reading[f"value_{edition}"])
        for edition in EDITIONS
        if reading[f"value_{edition}"] and not _equal(parameter.values[edition], reading[f"value_{edition}"])
    }


def _equal(first: float | str, second: str) -> bool:
    try:
        return f"{float(first):.7g}" == f"{float(second):.7g}"
    except ValueError:
        return str(first) == second
