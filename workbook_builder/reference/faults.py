"""Every fault of the entries, cell by cell, for whoever reads a file."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from workbook_builder.code_tables.load import load
from workbook_builder.reference.inputs import Entries
from workbook_builder.reference.parse import is_blank


@dataclass(frozen=True)
class Fault:
    """One fault: row (first row 0), field, what was found, what is expected, `error` or `missing`.

    A check between entries stands at the field that its sentence names first.
    """

    row: int
    field: str
    found: object
    expected: str
    kind: str


def find_faults(raw: pd.DataFrame, entries: Entries) -> list[Fault]:
    """Faults of every row that has any entry, in the order of rows and fields."""
    tables = load()
    fields = {one.name: (place, one.expected) for place, one in enumerate(entries.fields)}
    asked = _rows_with_entries(entries)
    found: list[tuple[int, int, int, Fault]] = []
    for masks, kind in ((entries.invalid, "error"), (entries.missing, "missing")):
        for name, mask in masks.items():
            place, expected = fields[name]
            found += [
                (row, place, 0, Fault(row, name, _cell(raw, row, name), expected, kind))
                for row in np.flatnonzero(mask & asked).tolist()
            ]
    for order, (check, mask) in enumerate(entries.broken.items(), start=1):
        name, expected = _expected(tables.rules[check].sentence)
        place, _ = fields[name]
        found += [
            (row, place, order, Fault(row, name, _cell(raw, row, name), expected, "error"))
            for row in np.flatnonzero(mask & asked).tolist()
        ]
    return [fault for *_, fault in sorted(found, key=lambda one: one[:3])]


def _expected(sentence: str) -> tuple[str, str]:
    """The field of a check and what is expected there; what stands behind a colon where there is one.

    >>> _expected("toy must be at most size")
    ('toy', 'at most size')
    >>> _expected("toy must leave room: at most 9")
    ('toy', 'at most 9')
    """
    name, words = sentence.split(" must ", 1)
    return name, words.removeprefix("be ") if words.startswith("be ") else words.rpartition(": ")[2]


def _rows_with_entries(entries: Entries) -> np.ndarray:
    """Rows in which any cell is not blank."""
    asked = np.zeros(entries.rows, dtype=bool)
    for one in entries.fields:
        blank = entries.blank.get(one.name)
        asked |= True if blank is None else ~blank
    return asked


def _cell(raw: pd.DataFrame, row: int, name: str) -> object:
    """The cell as it was found; None for a blank one."""
    if name not in raw:
        return None
    cell = raw[name].iloc[row]
    return None if is_blank(cell) else cell
