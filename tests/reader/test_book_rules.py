"""Local rules read back: values that count, their reasons, and what is wrong with them."""

from __future__ import annotations

from pathlib import Path

import pytest

from workbook_builder.reader.book_jobs import read_book

from .files import book_file


def test_overrides_come_with_their_reasons(tmp_path: Path) -> None:
    """A number, a size as text, and a reason without an override."""
    rules = {
        10: ("unit_load", 2, "city rule"),
        11: ("small_appliance_load", None, None),
        12: ("nm_largest", "4", "city rule"),
        13: ("laundry_load", None, "asked, not decided"),
    }

    found = read_book(book_file(tmp_path / "book.xlsx", {}, rules=rules))

    assert found.faults == ()
    assert found.overrides == {"unit_load": 2.0, "nm_largest": "4"}
    assert found.reasons == {
        "unit_load": "city rule", "nm_largest": "city rule", "laundry_load": "asked, not decided",
    }  # fmt: skip


WRONG = {
    ("unit_load", "two", "why"): "Local rules!C12, row 12, override: found 'two', "
    "must be a number of 0 or more (VA/ft2); type the value, or clear the cell",
    ("unit_load", True, "why"): "Local rules!C12, row 12, override: found TRUE, "
    "must be a number of 0 or more (VA/ft2); type the value, or clear the cell",
    ("appliance_count", "#N/A", "why"): "Local rules!C12, row 12, override: found the error value #N/A, "
    "must be a number of 0 or more; type the value, or clear the cell",
    ("lighting_second_rate", "=1/3", "why"): "Local rules!C12, row 12, override: found a formula without "
    "a result, must be a number from 0 to 1; type the value, or clear the cell",
    ("power_factor", 1.01, "why"): "Local rules!C12, row 12, override: found 1.01, "
    "must be a number from 0.1 to 1; type the value, or clear the cell",
    ("unit_load", -1.0, "why"): "Local rules!C12, row 12, override: found -1, "
    "must be a number of 0 or more (VA/ft2); type the value, or clear the cell",
    ("percent", 99.0, "why"): "Local rules!C12, row 12, override: found 99, "
    "must be 100, a fact of arithmetic (%); type the value, or clear the cell",
    ("nm_largest", 2.0, "why"): "Local rules!C12, row 12, override: found 2, "
    "must be a conductor size as text; type '2 with the apostrophe before it",
    ("unit_laod", 2.0, "why"): "Local rules!A12, row 12, name: found 'unit_laod', "
    "must be the name of a rule's value, each in one row; "
    "write the name back as the row has it in a new workbook",
    (None, 2.0, "why"): "Local rules!A12, row 12, name: found nothing, "
    "must be the name of a rule's value, each in one row; "
    "write the name back as the row has it in a new workbook",
}


@pytest.mark.parametrize("rule", WRONG)
def test_an_override_that_cannot_be_used_is_named_and_left_out(tmp_path: Path, rule: tuple) -> None:
    path = book_file(tmp_path / "book.xlsx", {}, rules={10: ("dryer_minimum", 4500, "why"), 12: rule})

    found = read_book(path)

    assert [str(fault) for fault in found.faults] == [f"book.xlsx, {WRONG[rule]}"]
    assert found.overrides == {"dryer_minimum": 4500.0}


def test_a_size_must_be_one_that_is_made(tmp_path: Path) -> None:
    found = read_book(book_file(tmp_path / "book.xlsx", {}, rules={10: ("rod_largest", "5", "why")}))

    assert [fault.found for fault in found.faults] == ["'5'"]
    assert found.faults[0].expected.startswith("one of 14, 12, 10, ")
    assert found.overrides == {}


@pytest.mark.parametrize("reason", [None, "  "])
def test_an_override_without_a_reason_counts_and_is_named(tmp_path: Path, reason: str | None) -> None:
    found = read_book(book_file(tmp_path / "book.xlsx", {}, rules={10: ("unit_load", 2, reason)}))

    assert [str(fault) for fault in found.faults] == [
        "book.xlsx, Local rules!D10, row 10, reason: found nothing, must be the reason for the override; "
        "write who decided it and where it stands"
    ]
    assert found.overrides == {"unit_load": 2.0}


def test_a_name_that_stands_twice_is_named(tmp_path: Path) -> None:
    """Formulas look at the first row only."""
    rules = {10: ("unit_load", None, None), 11: ("unit_load", 2, "why")}

    found = read_book(book_file(tmp_path / "book.xlsx", {}, rules=rules))

    assert [fault.found for fault in found.faults] == ["'unit_load' a second time"]
    assert found.overrides == {}
