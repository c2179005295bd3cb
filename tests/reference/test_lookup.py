"""Looking up sizes, ratings and rows: at, just under and just over every value of a table."""

from __future__ import annotations

import numpy as np
import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice

COLUMNS = [(metal, column) for metal in lookup.METALS for column in (60, 75, 90)]


def first_that_passes(metal: str, column: int, amperes: float, over: bool) -> int:
    """The same search, one size after another."""
    for place, value in enumerate(load().tables["ampacity"].column(f"{metal} {column}"), start=1):
        if value is not None and (value > amperes if over else value >= amperes):
            return place
    return 21


@pytest.mark.parametrize(("metal", "column"), COLUMNS)
def test_size_at_and_beside_every_ampacity(metal: str, column: int) -> None:
    """Table 310.16; a millionth of an ampere decides, a load over the table finds none."""
    printed = [value for value in load().tables["ampacity"].column(f"{metal} {column}") if value is not None]
    amperes = np.array([0, 5000, *(value + step for value in printed for step in (-1e-6, 0, 1e-6))])
    metals = Choice.of(lookup.METALS, [metal] * len(amperes))
    at_or_above = [first_that_passes(metal, column, value, over=False) for value in amperes]
    above = [first_that_passes(metal, column, value, over=True) for value in amperes]

    assert at_or_above == lookup.size_from(metals, np.full(len(amperes), column), amperes).tolist()
    assert above == lookup.size_over(metals, np.full(len(amperes), column), amperes).tolist()


def test_no_size_for_a_blank_current_or_a_column_that_is_not_printed() -> None:
    copper = Choice.of(lookup.METALS, ["copper", "copper"])

    assert lookup.size_from(copper, np.array([75, 65]), np.array([np.nan, 10])).tolist() == [21, 21]


def test_ampacity_is_blank_outside_the_table() -> None:
    """Position 0 and 21, and 14 AWG aluminum, which is not printed."""
    metals = Choice.of(lookup.METALS, ["copper", "copper", "aluminum", "aluminum"])
    found = lookup.ampacity(metals, np.full(4, 75), np.array([0, 21, 1, 2]))

    assert found.tolist() == pytest.approx([np.nan, np.nan, np.nan, 20], nan_ok=True)


@pytest.mark.parametrize(("value", "row"), [(0, 1), (1, 1), (3, 1), (4, 2), (20, 4), (21, 5), (400, 7)])
def test_row_that_starts_at_or_under_a_count(value: float, row: int) -> None:
    """Table 310.15(C)(1): 1, 4, 7, 10, 21, 31 and 41 conductors."""
    assert lookup.last_row_from("count_factor", "conductors_from", value) == row


def test_size_written_as_text_or_number() -> None:
    with pytest.raises(ValueError, match="'13' is no conductor size; expected one of 14, 12"):
        lookup.size_position("13")

    assert [lookup.size_position(size) for size in ("14", 14, 14.0, "4/0")] == [1, 1, 1, 13]


def test_choice_refuses_a_word_that_is_not_in_its_list() -> None:
    with pytest.raises(KeyError, match="steel"):
        Choice.of(lookup.METALS, "copper").is_("steel")


def test_tables_agree_on_the_sizes() -> None:
    """A position means the same size in every table of conductors."""
    for table in ("bare_conductor", "conductor_area", "ac_resistance", "ac_reactance"):
        assert lookup.words(table, "size") == lookup.sizes()
    for table in ("small_conductor", "moved_wire"):
        rows = lookup.words(table, "size")

        assert set(rows) <= set(lookup.sizes())
    assert lookup.words("small_conductor", "size") == lookup.sizes()[:3]
