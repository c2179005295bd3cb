"""Every code table against a second reading made without looking at the first."""

from __future__ import annotations

import pytest

from workbook_builder.code_tables.load import load

from .readings import APART, FOLDER, OPEN, panels_not_sold, read, table_differences

READINGS = sorted(path.stem for path in FOLDER.glob("*.csv") if path.stem not in APART)

OURS = {"panel_bus"}
"""Tables of our own choices that say nothing beside another table; an invariant holds them to it."""


def test_every_table_has_a_second_reading() -> None:
    assert {*READINGS, "panel_size"} == set(load().tables) - OURS


@pytest.mark.parametrize("name", READINGS)
def test_the_two_readings_agree(name: str) -> None:
    assert table_differences(name) == (OPEN if name == "wiring_method" else {})


def test_every_panel_of_the_list_is_one_that_is_sold() -> None:
    assert panels_not_sold() == []


@pytest.mark.parametrize("name", ["wiring_method", "panel_size"])
def test_a_reading_of_our_own_tables_says_how_it_was_made(name: str) -> None:
    assert all(
        row["basis"] in ("read", "from memory", "common practice") and row["source"]
        for row in read(name).values()
    )


def test_the_notes_name_every_open_difference() -> None:
    notes = (FOLDER / "README.md").read_text(encoding="utf-8")

    assert all(f"`{wiring}`" in notes for wiring, _ in OPEN)
