"""Takes out of a workbook whatever people typed into it, also where sheets, names or entries are broken.

`read_book` says what is wrong with a workbook and stops where it is not sure of
it; this says what is in it. Every value that is found is either taken, with its
place, or refused, with its place and the reason.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from os import PathLike
from pathlib import Path

import pandas as pd

from ..code_tables.load import load
from ..code_tables.model import Field
from .book_jobs import CIRCUITS, JOBS, version_of
from .book_rules import LOCAL_RULES, local_rules
from .checks import CIRCUIT_CHECK
from .entries import END_OF_ROWS, day
from .faults import BadInput, Fault, shown
from .grid import NOTHING, Grid
from .limits import MOST_CIRCUITS, MOST_JOBS
from .safety import open_safely
from .salvage_books import salvage_books
from .salvage_grid import Salvage, salvaged_grid, take_rest
from .sheet_cells import Book, open_book, rows_of

STATES = {JOBS: "row_state", CIRCUITS: "circuit_state"}
_MOST = {JOBS: MOST_JOBS, CIRCUITS: MOST_CIRCUITS}
_DAYS_TO_1904 = 1462
_RULE_INPUTS = ("name", "override", "reason")
_RULE_COLUMNS = ("state", "meaning", "unit", "section", "status", "source", "note")
_RULE_STARTS = ("published_", "in_use_")


def salvage(
    path: str | PathLike[str],
    *,
    known_sheets: Sequence[str],
    formulas: Mapping[str, Mapping[tuple[int, int], str]],
) -> Salvage:
    """Everything typed into a workbook. known_sheets: names of the sheets that are built.

    formulas: those of the workbook by sheet and (row, column), to be named where
    one stands in the place of an entry. Raises BadInput where the file is not
    safe to open, or has no sheet at all that people type in.
    """
    code = load()
    with open_safely(path) as archive:
        book = open_book(archive)
        found = Salvage(Path(path).name, version_of(book), formulas)
        others = [title for title in book.sheets if title not in known_sheets]
        _list(book, JOBS, code.job_fields, others, found)
        _list(book, CIRCUITS, code.circuit_fields, others, found)
        _rules(book, others, found)
        salvage_books(book, found)
        if not found.sheets:
            raise BadInput([Fault(
                found.file, None, None, None, None, "no sheet that people type in",
                f"a workbook built here, with {JOBS}",
            )])  # fmt: skip
        for title in others:
            if title not in found.sheets.values():
                _foreign(book, title, found)
    return found


def _list(book: Book, sheet: str, fields: Sequence[Field], others: Sequence[str], found: Salvage) -> None:
    """Jobs or circuits, at the places where they stood."""
    names = [STATES[sheet], *(one.name for one in fields)]
    titles = {STATES[sheet]: "State of the row"} | {one.name: one.title for one in fields}
    optional = sheet == CIRCUITS and CIRCUIT_CHECK not in book.sheets
    grid = salvaged_grid(book, sheet, names, found, titles=titles, others=others, optional=optional)
    found.lists[sheet] = pd.DataFrame(columns=names[1:], dtype=object)
    found.rows[sheet] = 0
    if grid is None:
        return
    lost = [one for one in fields if one.name not in grid.columns]
    for one in lost:
        found.missing(sheet, one.name, "no such column; " + (
            "it must be filled in" if one.required else "blank, which takes its default"
        ))  # fmt: skip
    end = next((row for row in sorted(grid.rows) if row > grid.mark_row and _is_end(grid, row)), None)
    places: dict[int, dict[str, object]] = {}
    last = max([grid.mark_row, *grid.rows]) if end is None else end - 1
    below: list[dict[str, object]] = []
    for row in sorted(grid.rows):
        if row > grid.mark_row and row != end:
            values = _row(grid, row, fields, book.from_1904, found)
            if values and row <= last:
                places[row - grid.mark_row - 1] = values
            elif values:
                found.note(grid, row, "job_no", "stood below the end of the rows, where it was not counted; now it is")
                below.append(values)
    for values in below:
        places[max(places, default=-1) + 1] = values
    _refuse_too_many(grid, len(places), _MOST[sheet])
    index = range(max(places, default=-1) + 1)
    found.lists[sheet] = pd.DataFrame(
        {one.name: [places.get(place, {}).get(one.name) for place in index] for one in fields}, dtype=object
    )
    found.rows[sheet] = min(last - grid.mark_row, _MOST[sheet])
    take_rest(grid, found, filled=(STATES[sheet],), end=end)


def _row(
    grid: Grid, row: int, fields: Sequence[Field], from_1904: bool, found: Salvage
) -> dict[str, object]:
    job, label = (grid.cell(row, name).value for name in ("job_no", "label"))
    of = " ".join(str(one) if isinstance(one, str) else shown(one) for one in (job, label) if one is not None)
    values: dict[str, object] = {}
    for one in fields:
        value = found.take(grid, row, one.name, of, kind=lambda value, one=one: _as_day(value, one, from_1904))
        if value is not None:
            values[one.name] = value
    return values


def _as_day(value: object, one: Field, from_1904: bool) -> object:
    """A date as the day it means, whatever day the workbook counts from."""
    if one.kind != "date":
        return value
    meant = day(value, from_1904)
    return meant + _DAYS_TO_1904 if from_1904 and isinstance(meant, float) else meant


def _is_end(grid: Grid, row: int) -> bool:
    text = grid.cell(row, "job_no").value
    return isinstance(text, str) and text.casefold().startswith(END_OF_ROWS)


def _refuse_too_many(grid: Grid, rows: int, most: int) -> None:
    if rows > most:
        raise BadInput([grid.fault(None, "job_no", f"{rows:,} rows", f"at most {most:,}", "split the list in two")])


def _rules(book: Book, others: Sequence[str], found: Salvage) -> None:
    """Overrides and reasons as they were typed, and which of the overrides can be used."""
    grid = salvaged_grid(book, LOCAL_RULES, _RULE_INPUTS, found, others=others)
    if grid is None:
        return
    found.overrides = local_rules(grid)[0]
    parameters, seen = load().parameters, set()
    for row in sorted(grid.rows):
        if row <= grid.mark_row:
            continue
        name = grid.cell(row, "name").value
        given = [one for one in _RULE_INPUTS[1:] if grid.cell(row, one) != NOTHING]
        if name not in parameters or name in seen:
            why = "the name a second time" if name in seen else "no value of a rule has that name today"
            for one in given:
                found.refuse(grid, row, one, name if isinstance(name, str) else "", why)
            continue
        seen.add(name)
        values = {one: found.take(grid, row, one, name) for one in given}
        if any(value is not None for value in values.values()):
            found.rules[name] = values
    take_rest(grid, found, ignored=lambda name: name in _RULE_COLUMNS or str(name).startswith(_RULE_STARTS))


def _foreign(book: Book, title: str, found: Salvage) -> None:
    """A sheet that is not of the workbook: what was typed on it cannot be placed."""
    for row, cells in rows_of(book, title):
        for column, cell in cells.items():
            if not cell.formula:
                found.refuse_at(title, row, column, "", "", cell.value, "a sheet that the workbook has not")


__all__ = ["Salvage", "salvage"]
