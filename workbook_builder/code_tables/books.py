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
        _same_names(lines, settings, tables, faults)
    if faults:
        raise BookError("\n".join(faults))
    return Books(lines, settings)


def _path(folder: str | os.PathLike[str] | None, name: str) -> Path:
    own = Path(folder) / f"{name}.csv" if folder is not None else None
    return own if own is not None and own.is_file() else shipped(FOLDER, f"prices/{name}.csv")


def _table(path: Path, columns: tuple[str, ...], faults: list[str]) -> tuple[Path, list[tuple[int, dict[str, str]]]]:
    try:
        with path.open(newline="", encoding="utf-8-sig") as file:
            header, *rows = list(csv.reader(file)) or [[]]
    except (UnicodeDecodeError, csv.Error) as fault:
        faults.append(f"{path.name}: {fault}; expected comma-separated text in UTF-8")
        return path, []
    if tuple(header) != columns:
        faults.append(f"{path.name}, row 1: columns {', '.join(header)}; expected {', '.join(columns)}")
        return path, []
    found = []
    for number, row in enumerate(rows, start=2):
        if not any(cell.strip() for cell in row):
            continue
        if len(row) != len(columns):
            faults.append(f"{path.name}, row {number}: {len(row)} cells, expected {len(columns)}")
            continue
        found.append((number, dict(zip(columns, (cell.strip() for cell in row), strict=True))))
    return path, found


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) and value >= 0 and "_" not in text else None


def _lines(
    name: str, path: Path, rows: Iterable[tuple[int, dict[str, str]]], faults: list[str]
) -> tuple[BookLine, ...]:
    key, seen, lines = KEYS[name], set(), []
    words = COLUMNS[name][1]
    for number, row in rows:
        where = f"{path.name}, row {number}, {row[key] or key}"
        if not row[key]:
            faults.append(f"{where}: blank, expected a name")
            continue
        if row[key].lower() in seen:
            faults.append(f"{where}: stands twice")
        seen.add(row[key].lower())
        points = {point: _number(row[point]) for point in POINTS}
        bad = [point for point in POINTS if points[point] is None]
        faults += [f"{where}, {point}: found {row[point]!r}, expected a number of 0 or more" for point in bad]
        faults += [f"{where}, {field}: blank, expected text" for field in (words, "source") if not row[field]]
        if row.get("copper", "no") not in ("yes", "no"):
            faults.append(f"{where}, copper: found {row['copper']!r}, expected yes or no")
        if bad:
            continue
        low, likely, high = (points[point] for point in POINTS)
        if not low <= likely <= high:
            faults.append(f"{where}: low {row['low']}, likely {row['likely']}, high {row['high']}; expected to rise")
            continue
        lines.append(BookLine(
            row[key], row[words], row.get("unit", ""), low, likely, high,
            row.get("copper") == "yes", row.get("date", ""), row["source"],
        ))  # fmt: skip
    return tuple(lines)


LIMITS = {
    "profit_percent": (0, 90),
    "billable_share": (0.1, 1),
    "length_ft": (1, 100),
    "strap_spacing_ft": (0.5, 100),
    "staple_spacing_ft": (0.5, 100),
    "plate_spacing_ft": (0.5, 100),
    "half_day_ft": (1, 10000),
    "difficulty_cap": (1, 100),
}
"""Settings that are divided by or must not reach a limit: lowest and highest."""


def _settings(
    path: Path, rows: Iterable[tuple[int, dict[str, str]]], faults: list[str]
) -> dict[str, Setting]:
    settings: dict[str, Setting] = {}
    for number, row in rows:
        name = row["setting"]
        where = f"{path.name}, row {number}, {name or 'setting'}"
        if name in settings:
            faults.append(f"{where}: stands twice")
        value: float | str | None = row["value"]
        if row["unit"] != "text":
            value = _number(row["value"])
            low, high = LIMITS.get(name, (0, math.inf))
            if value is None or not low <= value <= high:
                words = f"of {low} or more" if high == math.inf else f"from {low} to {high}"
                faults.append(f"{where}, value: found {row['value']!r}, expected a number {words}")
                value = None
        if not row["source"]:
            faults.append(f"{where}, source: blank, expected text")
        settings[name] = Setting(name, row["meaning"], row["unit"], "" if value is None else value, row["source"])
    return settings


def _same_names(
    lines: Mapping[str, tuple[BookLine, ...]],
    settings: Mapping[str, Setting],
    tables: Mapping[str, tuple[Path, object]],
    faults: list[str],
) -> None:
    """A folder's books must have every line of the package's; only the price book may have more."""
    ours = load_books()
    for name in BOOKS:
        there = {line.key for line in lines[name]}
        read = {row[KEYS[name]] for _, row in tables[name][1]}
        faults += [f"{name}.csv: {key!r} is missing" for key in ours.keys(name) if key not in read]
        if name != PRICE_BOOK:
            known = set(ours.keys(name))
            faults += [f"{name}.csv: {key!r} is not known" for key in there if key not in known]
    faults += [f"settings.csv: {name!r} is missing" for name in ours.settings if name not in settings]
    faults += [f"settings.csv: {name!r} is not known" for name in settings if name not in ours.settings]
