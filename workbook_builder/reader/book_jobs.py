"""Reads what people typed into a workbook: jobs, circuits, books and local rules.

Columns are found by the row of field names and rows by what stands in them,
so that inserted rows and columns, and columns in another order, do no harm.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from os import PathLike
from typing import Any

import pandas as pd

from ..code_tables.load import load
from ..code_tables.model import Field
from .book_prices import BookPrices, read_prices
from .book_rules import LOCAL_RULES, RULE_COLUMNS, local_rules
from .checks import circuit_faults, job_faults
from .entries import Entries, read_entries
from .faults import BadInput, Fault
from .grid import Grid, read_grid
from .safety import open_safely
from .sheet_cells import Book, open_book, rows_of

JOBS, CIRCUITS, START = "Jobs", "Circuits", "Start"

_VERSION = re.compile(r"\bworkbook_builder ([0-9]+(?:\.[0-9A-Za-z]+)*)")


@dataclass(frozen=True)
class BookInputs:
    """Everything typed into a workbook, valid or not, and what is wrong with it.

    jobs, circuits: a row each by sheet row, an input field a column, values as
    they are in the cells (numbers, text, truth values, error values as text; a
    number under a date field as the date it means). overrides: the values of
    local rules that can be used; reasons: the words beside them. version: what
    built the workbook, where its Start sheet says so. prices: its books and
    settings, with faults of their own that stand in `faults` too. rows, circuit_rows: rows
    of the grids, blank ones too, the first being mark_row + 1 and
    circuit_mark_row + 1. A workbook without a sheet of circuits has none, in 0
    rows.
    """

    jobs: pd.DataFrame
    circuits: pd.DataFrame
    overrides: dict[str, float | str]
    reasons: dict[str, str]
    version: str | None
    prices: BookPrices
    rows: int
    mark_row: int
    circuit_rows: int
    circuit_mark_row: int
    faults: tuple[Fault, ...]
    file: str = ""


def read_book(path: str | PathLike[str], *, renamed: Mapping[str, str] | None = None) -> BookInputs:
    """The inputs of a workbook that this project built; renamed gives its titles for sheets that have another.

    A wrong entry is listed in the result's faults and spoils nothing else; the
    entry itself stays in the frame. Raises BadInput with every reason where
    the file is not safe to open, damaged, or lacks a sheet, its row of names or
    a column that is required.
    """
    code = load()
    with open_safely(path) as archive:
        book = open_book(archive)
        for name, title in (renamed or {}).items():
            if title in book.sheets:
                book.sheets[name] = book.sheets[title]
        grids, prices = _sheets(book)
        version = version_of(book)
    jobs = read_entries(grids[JOBS], code.job_fields, noun="job", from_1904=book.from_1904)
    faults = jobs.in_order(job_faults(jobs.frame, **_where(jobs)))
    circuits = pd.DataFrame(columns=[field.name for field in code.circuit_fields], dtype=object)
    circuit_rows = circuit_mark_row = 0
    if CIRCUITS in grids:
        listed = read_entries(grids[CIRCUITS], code.circuit_fields, noun="circuit", from_1904=book.from_1904)
        faults += listed.in_order(circuit_faults(listed.frame, jobs=jobs.frame, **_where(listed)))
        circuits, circuit_rows, circuit_mark_row = listed.frame, listed.rows, listed.grid.mark_row
    overrides, reasons, rule_faults = local_rules(grids[LOCAL_RULES])
    return BookInputs(
        jobs=jobs.frame,
        circuits=circuits,
        overrides=overrides,
        reasons=reasons,
        version=version,
        prices=prices,
        rows=jobs.rows,
        mark_row=jobs.grid.mark_row,
        circuit_rows=circuit_rows,
        circuit_mark_row=circuit_mark_row,
        faults=(*faults, *prices.faults, *rule_faults),
        file=book.file,
    )


def _where(entries: Entries) -> dict[str, Any]:
    """What the checks of a list need to know of the sheet it comes from."""
    return {
        "file": entries.grid.file,
        "sheet": entries.grid.sheet,
        "letters": entries.letters,
        "absent": entries.absent,
        "told": entries.refused,
    }


def _sheets(book: Book) -> tuple[dict[str, Grid], BookPrices]:
    """The sheets that people type in, or one BadInput for whatever they lack.

    Workbooks built before there were circuits or books have no sheets of them.
    """
    code = load()
    wanted = {
        JOBS: _names(code.job_fields),
        CIRCUITS: _names(code.circuit_fields),
        LOCAL_RULES: (RULE_COLUMNS, RULE_COLUMNS),
    }
    grids, faults, prices = {}, [], BookPrices()
    for sheet, (names, required) in wanted.items():
        if sheet == CIRCUITS and sheet not in book.sheets:
            continue
        try:
            grids[sheet] = read_grid(book, sheet, names, required)
        except BadInput as refusal:
            faults += refusal.faults
    try:
        prices = read_prices(book)
    except BadInput as refusal:
        faults += refusal.faults
    if faults:
        raise BadInput(faults)
    return grids, prices


def _names(fields: Sequence[Field]) -> tuple[list[str], list[str]]:
    """Names of all fields, and of those that are required."""
    return [field.name for field in fields], [field.name for field in fields if field.required]


def version_of(book: Book) -> str | None:
    if START not in book.sheets:
        return None
    for _, cells in rows_of(book, START):
        for cell in cells.values():
            if isinstance(cell.value, str) and (found := _VERSION.search(cell.value)):
                return found[1]
    return None
