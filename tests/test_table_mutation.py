"""Changed values of tables and parameters are found: in the shared tables all of them, in a workbook a sample.

`python -m tests.mutation --tables` tries every value in the workbook, too.
"""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest

from tests.damage.every_cell import cells_to_change, named_by_verify
from tests.mutation import equal
from tests.mutation.table_books import IN_USE, TableBook, cells_of, not_named, try_in_book
from tests.mutation.tables import EVERY, PARAMETERS, Value, caught_by, otherwise, values
from workbook_builder.harness.engines import available

from .damage.workbook import CIRCUIT, JOB

ALL = tuple(values())
ONE_IN = 150

needs_ironcalc = pytest.mark.skipif(available("ironcalc") is None, reason="ironcalc is not installed")


def test_every_changed_value_of_the_shared_tables_is_found() -> None:
    """By its second reading, an invariant or a golden case."""
    assert [str(value) for value in ALL if not caught_by(value)] == []


def test_a_number_that_is_less_is_found_as_well() -> None:
    smaller = [replace(value, less=True) for value in ALL[::3] if isinstance(value.old, float)]

    assert [str(value) for value in smaller if not caught_by(value)] == []


def test_nothing_finds_a_value_that_is_not_changed() -> None:
    """Else a check that always fails would count as one that finds everything."""
    one_of_each = {value.table: _Unchanged(**vars(value)) for value in ALL}

    assert [table for table, value in one_of_each.items() if caught_by(value)] == []


class _Unchanged(Value):
    """A mutant that changes nothing."""

    @property
    def new(self) -> float | str:
        return self.old


@needs_ironcalc
def test_a_changed_value_in_the_workbook_makes_a_result_differ() -> None:
    """One value in 150; those that no job can reach are named with their reason."""
    shown, given = try_in_book(ALL[::ONE_IN]), equal.lines(equal.VALUES)
    seen = [value for value, words in shown.items() if words]
    unseen = [value for value, words in shown.items() if not words]

    assert [str(value) for value in unseen if value not in equal.reasons(unseen, given)] == []
    assert equal.stale(given, alive=unseen, told_apart=seen, whole=False) == []
    assert len(unseen) < len(seen) / 4


@needs_ironcalc
def test_the_workbook_is_compared_where_the_value_stands() -> None:
    """A value whose job is there shows by name; one of another edition as value in use; one no job takes not at all."""
    book = TableBook(pd.DataFrame([JOB], dtype=object), pd.DataFrame([CIRCUIT], dtype=object))
    unit = _value("parameters", "unit_load", "2023")

    assert "lighting_va, row" in book.differs(unit)
    assert IN_USE in book.differs(_value("parameters", "unit_load", "2017"))
    assert book.differs(_value("ampacity", "750", "aluminum 90")) == ""
    assert book.restored() == ""


def _value(table: str, key: str, column: str) -> Value:
    return next(one for one in ALL if (one.table, one.key, one.column) == (table, key, column))


def test_a_number_is_changed_to_others_of_its_column_and_of_its_editions() -> None:
    """The nearest row first; a word has no other way."""
    slipped = [one.new for one in otherwise(_value("electrode_conductor", "600000.0", "aluminum over"))]
    edition = [one.new for one in otherwise(_value("parameters", "ev_minimum", "2017"))]

    assert slipped[1:3] == [500000, 1750000]
    assert edition[1:] == [7200]
    assert list(otherwise(_value("dwelling_conductor", "125.0", "copper"))) == []


def test_every_line_of_equal_values_takes_a_value_and_none_takes_one_of_another_table() -> None:
    given = equal.lines(equal.VALUES)
    unseen = [value for value in ALL if any(line.fits(value) for line in given)]
    other = _value("ampacity", "750", "aluminum 90")

    assert equal.stale(given, alive=unseen, told_apart=[other], whole=True) == []
    assert list(equal.reasons([*unseen, other], given)) == unseen
    assert len(unseen) > 50
    assert equal.stale(given, alive=[], told_apart=unseen[:1], whole=False) == [
        f"equal_values.csv, row 2: {unseen[0]} is told apart, so it is not equal in effect"
    ]


def test_verify_names_every_cell_of_tables_and_parameters_that_is_changed() -> None:
    """All of them in one file: headings, values, blanks, statuses and published values, and no cell besides."""
    named, _ = named_by_verify()

    assert named == cells_to_change()


def test_every_value_stands_in_one_of_those_cells() -> None:
    """So that what verify names is what the other tests change."""
    _, layout = named_by_verify()
    cells = [cell for value in ALL if value.column != EVERY for cell in cells_of(value, layout)]

    assert len(set(cells)) == len(cells)
    assert not_named(ALL) == []
    assert {value.table for value in ALL} > {PARAMETERS, "ampacity", "wiring_method"}
