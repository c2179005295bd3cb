"""Every code table against a second reading made without looking at the first."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from workbook_builder.code_tables.load import load

FOLDER = Path(__file__).parent.parent / "second_reading"
READINGS = sorted(path for path in FOLDER.glob("*.csv") if path.stem != "parameters")

OURS = {"wiring_method", "panel_bus", "panel_size"}
"""Tables of our own choices, without a printed original."""


def test_every_table_has_a_second_reading() -> None:
    read = {path.stem for path in READINGS}

    assert read == set(load().tables) - OURS


@pytest.mark.parametrize("path", READINGS, ids=lambda path: path.stem)
def test_the_two_readings_agree(path: Path) -> None:
    table = load().tables[path.stem]
    with path.open(newline="", encoding="utf-8") as file:
        second = {_text(row[table.key]): row for row in csv.DictReader(file)}
    first = {_text(row[0]): dict(zip(table.header, map(_text, row), strict=True)) for row in table.rows}

    differences = [
        (table.name, key, column, first[key][column], _text(second[key][column]))
        for key in first.keys() & second.keys()
        for column in table.header
        if not column.startswith("service_") and first[key][column] != _text(second[key][column])
    ]

    assert first.keys() == second.keys()
    assert differences == []


def _text(value: float | str | None) -> str:
    if value is None or value == "":
        return ""
    try:
        return f"{float(value):.8g}"
    except ValueError:
        return str(value)
