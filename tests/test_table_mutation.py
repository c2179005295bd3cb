"""Changed values of tables and parameters are found: in the shared tables all of them, in a workbook a sample.

`python -m tests.mutation --tables` tries every value in the workbook, too.
"""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest

from tests.damage.every_cell import cells_to_change, named_by_verify
from tests.mutation.table_books import TableBook, cells_of, not_named, read_by_formulas, try_in_book
from tests.mutation.tables import EVERY, PARAMETERS, Value, caught_by, values
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
    """One value in 150, of those that reach a job."""
    tried = read_by_formulas(ALL)[::ONE_IN]

    outcome = try_in_book(tried)

    assert [str(value) for value in outcome.missed] == []
    assert len(outcome.idle) < len(tried) / 2


@needs_ironcalc
def test_the_workbook_is_compared_where_the_value_stands() -> None:
    """A value whose job is there shows by name; one that the job does not take shows nothing."""
    book = TableBook(pd.DataFrame([JOB], dtype=object), pd.DataFrame([CIRCUIT], dtype=object))
    unit = next(value for value in ALL if (value.key, value.column) == ("unit_load", "2023"))
    other = next(value for value in ALL if (value.key, value.column) == ("unit_load", "2017"))

    assert "lighting_va, row" in book.differs(unit)
    assert book.differs(other) == ""
    assert book.restored() == ""


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
