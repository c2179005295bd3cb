"""Files for tests of the reader: good ones, and what to break in them."""

from __future__ import annotations

import csv
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from workbook_builder.code_tables.load import load
from workbook_builder.reader.book_prices import BOOK_SHEETS, COLUMNS, SETTING_COLUMNS
from workbook_builder.reader.faults import BadInput

FIELDS = [field.name for field in load().job_fields]
CIRCUIT_FIELDS = [field.name for field in load().circuit_fields]

GOOD = {
    "job_no": "J-1", "house_age": "older", "market": "small", "service_a": "100",
    "main_spaces": "20", "main_spaces_used": "18", "floor_area_ft2": "1500",
}  # fmt: skip
"""Every required field of a job."""

CIRCUIT = {
    "job_no": "J-1", "panel": "main", "poles": "1", "breaker_a": "20",
    "label": "Kitchen", "action": "keep",
}  # fmt: skip

MARK_ROW = 9


def csv_file(path: Path, rows: Iterable[Mapping[str, str]]) -> Path:
    """A file of these rows; the columns are the keys of all of them."""
    rows = list(rows)
    columns = list(dict.fromkeys(name for row in rows for name in row))
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, columns)
        writer.writeheader()
        writer.writerows(rows)
    return path


def jobs_file(path: Path, *changes: Mapping[str, str]) -> Path:
    """A file of good jobs, each with its own number unless changed."""
    return csv_file(
        path, [GOOD | {"job_no": f"J-{place}"} | change for place, change in enumerate(changes, 1)]
    )


def number(text: str) -> float | str:
    """What a program puts in a cell where someone types this text."""
    try:
        return float(text)
    except ValueError:
        return text


def good_entries(**changes: object) -> dict[str, object]:
    """A good job as cells of a workbook."""
    return {name: number(text) for name, text in GOOD.items()} | changes


def good_circuit(**changes: object) -> dict[str, object]:
    """A good circuit as cells of a workbook."""
    return {name: number(text) for name, text in CIRCUIT.items()} | changes


def book_file(
    path: Path,
    jobs: Mapping[int, Mapping[str, object]],
    *,
    circuits: Mapping[int, Mapping[str, object]] | None = None,
    circuit_columns: Sequence[str] = ("circuit_state", *CIRCUIT_FIELDS),
    circuit_end: int | None = 30,
    rules: Mapping[int, Sequence[object]] | None = None,
    prices: Mapping[str, Mapping[str, object]] | None = None,
    columns: Sequence[str] = ("row_state", *FIELDS),
    mark_row: int = MARK_ROW,
    end_row: int | None = 20,
    start: str = "Built with workbook_builder 0.1.0",
) -> Path:
    """A workbook with rows of jobs and of local rules (name, override, reason).

    Without circuits it has no sheet of them, as the first workbooks had not.
    With prices it has the books that come with the package, and in them these
    cells, by sheet and cell.
    """
    book = openpyxl.Workbook()
    book.active.title = "Start"
    book.active["A1"] = start
    _entries(book, "Jobs", jobs, columns, mark_row, end_row)
    if circuits is not None:
        _entries(book, "Circuits", circuits, circuit_columns, mark_row, circuit_end)
    sheet = book.create_sheet("Local rules")
    for place, name in enumerate(("name", "meaning", "override", "reason"), 1):
        sheet.cell(MARK_ROW, place, name)
    for row, (name, override, reason) in (rules or {}).items():
        sheet.cell(row, 1, name)
        sheet.cell(row, 3, override)
        sheet.cell(row, 4, reason)
    if prices is not None:
        _books(book, prices)
    book.save(path)
    return path


def _books(book: openpyxl.Workbook, cells: Mapping[str, Mapping[str, object]]) -> None:
    """The books and settings as built, three blank rows at the end of the price book, then these cells."""
    ours = load().books
    for name, title in BOOK_SHEETS.items():
        sheet = book.create_sheet(title)
        _row(sheet, MARK_ROW, COLUMNS)
        spare = 3 if name == "price_book" else 0
        for row, line in enumerate([*ours.lines[name], *[None] * spare], MARK_ROW + 1):
            sheet.cell(row, COLUMNS.index("state") + 1, "=1")
            if line:
                points = (line.low, line.likely, line.high)
                about = ("yes" if line.copper else None, line.date, line.source)
                _row(sheet, row, (line.key, line.words, line.unit, *points, *about, "=1", 0, 0, *points))
    sheet = book.create_sheet("Settings")
    _row(sheet, MARK_ROW, SETTING_COLUMNS)
    for row, one in enumerate(ours.settings.values(), MARK_ROW + 1):
        _row(sheet, row, (one.name, one.meaning, one.unit, one.value, one.source, "=1", one.value, one.value))
    for title, changes in cells.items():
        for cell, value in changes.items():
            book[title][cell] = value


def _row(sheet: Worksheet, row: int, values: Sequence[object]) -> None:
    for at, value in enumerate(values, 1):
        sheet.cell(row, at, value if value != "" else None)


def _entries(
    book: openpyxl.Workbook,
    title: str,
    entries: Mapping[int, Mapping[str, object]],
    columns: Sequence[str],
    mark_row: int,
    end_row: int | None,
) -> None:
    """An input sheet: titles, row of names, entries by row, the row that ends it."""
    sheet = book.create_sheet(title)
    for place, name in enumerate(columns, 1):
        sheet.cell(4, place, name.replace("_", " "))
        sheet.cell(mark_row, place, name)
    for row, values in entries.items():
        for name, value in values.items():
            sheet.cell(row, columns.index(name) + 1, value)
    if end_row is not None:
        sheet.cell(end_row, columns.index("job_no") + 1, "end of rows: insert new rows above")


def changed_zip(
    path: Path,
    *,
    add: Mapping[str, bytes] | None = None,
    replace: Mapping[str, tuple[bytes, bytes]] | None = None,
    leave_out: str | None = None,
) -> Path:
    """The workbook with parts added, changed (part: old to new text) or left out."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist() if name != leave_out}
    for name, (old, new) in (replace or {}).items():
        assert old in parts[name]
        parts[name] = parts[name].replace(old, new)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in (parts | dict(add or {})).items():
            archive.writestr(name, data)
    return path


def refusal(read, *arguments, **named) -> list[str]:
    """The lines of the BadInput that reading raises."""
    with pytest.raises(BadInput) as caught:
        read(*arguments, **named)
    lines = str(caught.value).splitlines()

    assert lines == [str(fault) for fault in caught.value.faults]
    return lines
