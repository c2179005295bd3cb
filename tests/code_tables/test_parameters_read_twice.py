"""Every parameter of the code against a second reading made without looking at the first."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import EDITIONS, Parameter

from .readings import FOLDER, parameter_differences, read

COLUMNS = ["name", "value_2017", "value_2020", "value_2023", "value_2026", "source", "basis"]

BASES = ("read", "arithmetic", "from memory", "own decision", "recorded", "not known")
"""How a second reading was made; README.md beside the readings says what each word means."""

OURS = ("decision", "common practice")
"""Statuses of parameters that are no rule of the code."""

WITHOUT_READING: dict[str, str] = {}
"""Rules of the code that nobody could read a second time, with the reason."""

OPEN_DIFFERENCES: dict[tuple[str, int], str] = {}
"""Cells where the two readings differ and the first is not yet changed, with the reason."""

CLAIMED_BUT_UNSEEN_2026: set[str] = set()
"""Rules claimed `same` in 2026 although the second reading found no page on it."""


SECOND = read("parameters")
FIRST = load().parameters


def test_every_parameter_stands_in_the_second_reading() -> None:
    assert all(list(row) == COLUMNS for row in SECOND.values())
    assert SECOND.keys() == FIRST.keys()


@pytest.mark.parametrize("name", FIRST)
def test_the_two_readings_agree(name: str) -> None:
    differences = parameter_differences(name)

    assert differences.keys() == {cell for cell in OPEN_DIFFERENCES if cell[0] == name}, differences


def test_every_rule_of_the_code_has_a_second_reading() -> None:
    """2017, 2020 and 2023 all filled, from a source, by arithmetic or from memory."""
    bare = {
        name
        for name, parameter in FIRST.items()
        if parameter.status not in OURS
        and (
            SECOND[name]["basis"] not in BASES[:3]
            or not all(SECOND[name][f"value_{edition}"] for edition in (2017, 2020, 2023))
        )
    }

    assert bare == WITHOUT_READING.keys()


def test_only_what_is_ours_is_called_our_decision() -> None:
    wrong = {
        name: parameter.status
        for name, parameter in FIRST.items()
        if SECOND[name]["basis"] in ("own decision", "recorded") and parameter.status not in OURS
    }

    assert wrong == {}


def test_a_rule_nobody_saw_in_2026_is_claimed_as_assumed() -> None:
    unseen = {
        name
        for name, parameter in FIRST.items()
        if parameter.status not in OURS
        and not SECOND[name]["value_2026"]
        and parameter.editions[2026].status not in ("assumed same", "not read")
    }

    assert unseen == CLAIMED_BUT_UNSEEN_2026


@pytest.mark.parametrize("name", SECOND)
def test_a_reading_says_how_it_was_made(name: str) -> None:
    reading = SECOND[name]
    filled = any(reading[f"value_{edition}"] for edition in EDITIONS)

    assert reading["basis"] in BASES
    assert bool(reading["source"]) == filled
    assert filled or reading["basis"] in ("own decision", "not known")


def test_the_notes_count_the_readings_rightly() -> None:
    """The table in README.md: basis, parameters, values compared, values left blank."""
    text = (FOLDER / "README.md").read_text(encoding="utf-8")
    noted = {
        basis: tuple(int(number) for number in numbers)
        for basis, *numbers in re.findall(r"^\| ([a-z ]+) \| (\d+) \| (\d+) \| (\d+) \|$", text, re.MULTILINE)
    }

    counted = {basis: _counts(basis) for basis in BASES}

    assert noted == counted
    assert sum(parameters for parameters, _, _ in counted.values()) == len(FIRST)


def test_most_of_the_rules_are_read_from_a_source() -> None:
    """Otherwise two memories are compared, not two readings."""
    bases = Counter(SECOND[name]["basis"] for name, parameter in FIRST.items() if _is_rule(parameter))

    assert bases["read"] >= 10 * bases["from memory"]


def _is_rule(parameter: Parameter) -> bool:
    return parameter.status not in OURS


def _counts(basis: str) -> tuple[int, int, int]:
    rows = [row for row in SECOND.values() if row["basis"] == basis]
    cells = [row[f"value_{edition}"] for row in rows for edition in EDITIONS]
    filled = sum(cell != "" for cell in cells)
    return len(rows), filled, len(cells) - filled
