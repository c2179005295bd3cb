"""The books a company edits: prices, labour units, factors, market rates, settings.

They come as a folder of CSV files. Every number is entered low, likely and
high; nothing here calculates with them.
"""

from __future__ import annotations

import csv
import math
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from ..data import shipped

PRICE_BOOK, LABOUR_UNITS, FACTORS, MARKET, SETTINGS = (
    "price_book", "labour_units", "factors", "market", "settings",
)  # fmt: skip
BOOKS = (PRICE_BOOK, LABOUR_UNITS, FACTORS, MARKET)
"""The books of three-point lines, by the names of their files."""

KEYS = {PRICE_BOOK: "item", LABOUR_UNITS: "unit_id", FACTORS: "factor", MARKET: "market"}
COLUMNS = {
    PRICE_BOOK: ("item", "description", "unit", "low", "likely", "high", "copper", "date", "source"),
    LABOUR_UNITS: ("unit_id", "task", "unit", "low", "likely", "high", "source"),
    FACTORS: ("factor", "meaning", "low", "likely", "high", "date", "source"),
    MARKET: ("market", "meaning", "low", "likely", "high", "date", "source"),
    SETTINGS: ("setting", "meaning", "unit", "value", "source"),
}
"""Columns of each file, in order."""

POINTS = ("low", "likely", "high")
FOLDER = "templates"
LONGEST_TEXT = 500
"""Most characters of a cell."""


class BookError(Exception):
    """Faults in the books, all in one message, a line each: file, row, field, found, expected."""


@dataclass(frozen=True)
class BookLine:
    """One three-point line of a book.

    key identifies it; words is its description, task or meaning. copper is
    true for a price that the factor copper multiplies.
    """

    key: str
    words: str
    unit: str
    low: float
    likely: float
    high: float
    copper: bool
    date: str
    source: str


@dataclass(frozen=True)
class Setting:
    """One number or text of the company; text where unit is `text`."""

    name: str
    meaning: str
    unit: str
    value: float | str
    source: str


@dataclass(frozen=True)
class Books:
    """The four books of lines, by name and in file order, and the settings by name."""

    lines: Mapping[str, tuple[BookLine, ...]]
    settings: Mapping[str, Setting]

    def keys(self, book: str) -> tuple[str, ...]:
        """The keys of a book, top to bottom."""
        return tuple(line.key for line in self.lines[book])


def load_books(folder: str | os.PathLike[str] | None = None) -> Books:
    """The books of a folder, the ones that come with the package where none is given.

    A file that the folder lacks is taken from the package. Raises BookError
    with every fault of every file.
    """
    faults: list[str] = []
    if folder is not None and not Path(folder).is_dir():
        raise BookError(f"{folder}: no such folder; expected one with {', '.join(COLUMNS)} as .csv")
    if folder is not None and not any((Path(folder) / f"{name}.csv").is_file() for name in COLUMNS):
        raise BookError(f"{folder}: none of {', '.join(f'{name}.csv' for name in COLUMNS)} is there")
    tables = {name: _table(_path(folder, name), COLUMNS[name], faults) for name in COLUMNS}
    lines = {name: _lines(name, *tables[name], faults) for name in BOOKS}
    settings = _settings(*tables[SETTINGS], faults)
    if folder is not None:
        _same_names(tables, faults)
    if faults:
        raise BookError("\n".join(faults))
    return Books(lines, settings)


Row = tuple[int, dict[str, str]]
"""A row of a file: its number as a person sees it, and its cells by column."""


def _path(folder: str | os.PathLike[str] | None, name: str) -> Path:
    own = Path(folder) / f"{name}.csv" if folder is not None else None
    return own if own is not None and own.is_file() else shipped(FOLDER, f"prices/{name}.csv")


def _fault(file: str, row: int | None, field: str, found: str, expected: str) -> str:
    place = [file, *([f"row {row}"] if row else []), field]
    return f"{', '.join(place)}: found {found}, expected {expected}"


def _shown(cell: str) -> str:
    """A cell as it is repeated in a message, on one line."""
    return repr(cell if len(cell) <= 60 else cell[:60] + "...") if cell else "nothing"


def _table(path: Path, columns: tuple[str, ...], faults: list[str]) -> tuple[Path, list[Row] | None]:
    """The rows of a file; None where it is no table of these columns."""
    try:
        with path.open(newline="", encoding="utf-8-sig") as file:
            header, *rows = list(csv.reader(file, strict=True)) or [[]]
    except (UnicodeDecodeError, csv.Error) as fault:
        faults.append(_fault(path.name, None, "the file", str(fault), "comma-separated text in UTF-8"))
        return path, None
    if tuple(header) != columns:
        faults.append(_fault(path.name, 1, "columns", ", ".join(header) or "nothing", ", ".join(columns)))
        return path, None
    found = []
    for number, row in enumerate(rows, start=2):
        if not any(cell.strip() for cell in row):
            continue
        if len(row) != len(columns):
            faults.append(_fault(path.name, number, "all columns", f"{len(row)} cells", str(len(columns))))
            continue
        found.append((number, dict(zip(columns, (cell.strip() for cell in row), strict=True))))
        faults += [
            _fault(path.name, number, column, _shown(cell), f"at most {LONGEST_TEXT} characters, all of them visible")
            for column, cell in found[-1][1].items()
            if len(cell) > LONGEST_TEXT or not cell.isprintable()
        ]
    return path, found


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) and value >= 0 and "_" not in text else None


def _lines(name: str, path: Path, rows: Iterable[Row] | None, faults: list[str]) -> tuple[BookLine, ...]:
    key, seen, lines = KEYS[name], {}, []
    words = COLUMNS[name][1]
    for number, row in rows or ():
        if not row[key]:
            faults.append(_fault(path.name, number, key, _shown(""), "a name"))
            continue
        where = f"{row[key]}, "
        first = seen.setdefault(row[key].casefold(), number)
        if first != number:
            faults.append(_fault(path.name, number, key, _shown(row[key]), f"each name once; it stands in row {first}"))
        points = {point: _number(row[point]) for point in POINTS}
        bad = [point for point in POINTS if points[point] is None]
        faults += [_fault(path.name, number, where + point, _shown(row[point]), AMOUNT) for point in bad]
        faults += [
            _fault(path.name, number, where + field, _shown(""), "text") for field in (words, "source") if not row[field]
        ]
        if row.get("copper", "no") not in ("yes", "no"):
            faults.append(_fault(path.name, number, where + "copper", _shown(row["copper"]), "yes or no"))
        if bad:
            continue
        low, likely, high = (points[point] for point in POINTS)
        if not low <= likely <= high:
            found = ", ".join(row[point] for point in POINTS)
            faults.append(_fault(path.name, number, where + ", ".join(POINTS), found, "numbers that rise"))
            continue
        lines.append(BookLine(
            row[key], row[words], row.get("unit", ""), low, likely, high,
            row.get("copper") == "yes", row.get("date", ""), row["source"],
        ))  # fmt: skip
    return tuple(lines)


AMOUNT = "a number of 0 or more"
LIMITS = {
    "profit_percent": (0, 90),
    "billable_share": (0.1, 1),
    "length_ft": (1, 100),
    "strap_spacing_ft": (0.5, 100),
    "staple_spacing_ft": (0.5, 100),
    "plate_spacing_ft": (0.5, 100),
    "half_day_ft": (1, 10000),
    "difficulty_cap": (1, 100),
    "unpriced_usd": (100000, 1000000000),
}
"""Settings that are divided by or must not reach a limit: lowest and highest."""


def _settings(path: Path, rows: Iterable[Row] | None, faults: list[str]) -> dict[str, Setting]:
    settings: dict[str, Setting] = {}
    first: dict[str, int] = {}
    for number, row in rows or ():
        name = row["setting"]
        if first.setdefault(name, number) != number:
            faults.append(_fault(path.name, number, "setting", _shown(name), f"each name once; it stands in row {first[name]}"))
        value: float | str | None = row["value"]
        if row["unit"] != "text":
            value = _number(row["value"])
            low, high = LIMITS.get(name, (0, math.inf))
            if value is None or not low <= value <= high:
                expected = AMOUNT if high == math.inf else f"a number from {low} to {high}"
                faults.append(_fault(path.name, number, f"{name}, value", _shown(row["value"]), expected))
                value = None
        if not row["source"]:
            faults.append(_fault(path.name, number, f"{name}, source", _shown(""), "text"))
        settings[name] = Setting(name, row["meaning"], row["unit"], "" if value is None else value, row["source"])
    return settings


def _same_names(tables: Mapping[str, tuple[Path, list[Row] | None]], faults: list[str]) -> None:
    """A folder's books must have every line of the package's, in its unit; only the price book may have more."""
    ours = load_books()
    for name in COLUMNS:
        path, rows = tables[name]
        if rows is None:
            continue
        key = COLUMNS[name][0]
        lines = ours.settings.values() if name == SETTINGS else ours.lines[name]
        units = {line.name if name == SETTINGS else line.key: line.unit for line in lines}
        there = {row[key] for _, row in rows}
        faults += [
            _fault(path.name, None, key, f"no row {one!r}", "every line of templates/prices")
            for one in units if one not in there
        ]  # fmt: skip
        for number, row in rows:
            if row[key] not in units:
                if name != PRICE_BOOK and row[key]:
                    faults.append(_fault(path.name, number, key, _shown(row[key]), "a name of templates/prices"))
            elif row.get("unit", units[row[key]]) != units[row[key]]:
                faults.append(_fault(path.name, number, f"{row[key]}, unit", _shown(row["unit"]), repr(units[row[key]])))
