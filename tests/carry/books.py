"""What tests of carrying need: workbooks, changes in them, and what a workbook holds."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import openpyxl
import pandas as pd

from workbook_builder.harness.carry import sheet_names
from workbook_builder.harness.formula_cells import formula_cells
from workbook_builder.harness.built import WORDS_ONLY
from workbook_builder.harness.verify import recalculated_frames, verify
from workbook_builder.reader.salvage import Salvage, salvage

from ..books import write_book
from ..lean import trim
from ..reader.files import good_circuit, good_entries

HERE = Path(__file__).parent
PREVIOUS, THIS = HERE / "previous_release.xlsx", HERE / "this_release.xlsx"


def small(path: Path, *jobs: dict[str, object], circuits: list[dict[str, object]] | None = None, **named: Any) -> Path:
    """A workbook of these jobs, one good job where none is given, and its circuits; its pages of words are blank."""
    if not (jobs or circuits or named):
        path.write_bytes(_smallest())
        return path
    frame = pd.DataFrame(list(jobs) or [good_entries()], dtype=object)
    write_book(path, frame, circuits=pd.DataFrame(circuits or [good_circuit()], dtype=object), **named)
    trim(path, WORDS_ONLY)
    return path


@cache
def _smallest() -> bytes:
    with TemporaryDirectory() as folder:
        return small(Path(folder) / "book.xlsx", good_entries()).read_bytes()


def edited(path: Path, cells: Mapping[str, Mapping[str, object]], *, gone: tuple[str, ...] = ()) -> Path:
    """The workbook with these cells changed, by sheet and cell, and without some of its sheets."""
    book = openpyxl.load_workbook(path)
    for sheet, values in cells.items():
        for cell, value in values.items():
            book[sheet][cell] = value
    for sheet in gone:
        del book[sheet]
    book.save(path)
    return path


def column(path: Path, sheet: str, name: str) -> str:
    """The letters of a column by its name in row 9."""
    book = openpyxl.load_workbook(path, read_only=True)
    (row,) = book[sheet].iter_rows(min_row=9, max_row=9)
    return next(cell.column_letter for cell in row if cell.value == name)


def row_of(path: Path, sheet: str, key: str) -> int:
    """The row of a line by what stands in column A."""
    book = openpyxl.load_workbook(path, read_only=True)
    return next(row for row, (value, *_) in enumerate(book[sheet].iter_rows(values_only=True), 1) if value == key)


def held(path: Path) -> Salvage:
    return salvage(path, known_sheets=sheet_names(), formulas=formula_cells(path))


def assert_same(old: Path, new: Path) -> None:
    """Both hold the same entries, value by value and kind by kind, at the same places of the lists."""
    one, other = held(old), held(new)
    for sheet in one.lists:
        pd.testing.assert_frame_equal(one.lists[sheet], other.lists[sheet])
        for name in one.lists[sheet]:
            assert [type(value) for value in one.lists[sheet][name]] == [type(value) for value in other.lists[sheet][name]]
    assert one.rules == other.rules
    assert one.settings == other.settings
    assert one.lines == other.lines


def assert_clean_with_same_results(old: Path, new: Path) -> None:
    """The new one is clean, and an engine finds the same in both, column by column."""
    found: dict[str, dict[str, pd.DataFrame]] = {}
    assert verify(new, engines=["ironcalc"], found_by=found).clean
    one, other = recalculated_frames(old, engine="ironcalc"), found["ironcalc"]
    assert set(one) == set(other)
    for grid in one:
        pd.testing.assert_frame_equal(one[grid], other[grid], check_exact=True)
