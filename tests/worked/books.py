"""Prices, hours, factors, wages and settings as decimal numbers, read anew from the files and the lists of the trade."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from pathlib import Path

HERE = Path(__file__).parent
PRICES = HERE.parent.parent / "templates" / "prices"
CENT, SIX, TWELVE = Decimal("0.01"), Decimal("0.000001"), Decimal("0.000000000001")


@dataclass(frozen=True)
class Line:
    """Three points of a price, of hours or of a factor; place counts the rows of its file from 1."""

    low: Decimal
    likely: Decimal
    high: Decimal
    place: int = 0

    @property
    def mean(self) -> Decimal:
        """(low + 4 likely + high) / 6, to six decimals as on the books."""
        return rounded((self.low + 4 * self.likely + self.high) / 6, SIX)

    @property
    def variance(self) -> Decimal:
        """(mean - low)(high - mean) / 7, to twelve decimals, since it is multiplied on."""
        return rounded((self.mean - self.low) * (self.high - self.mean) / 7, TWELVE)


@dataclass(frozen=True)
class Task:
    """A quantity of material or work: its package, the difficulty that touches it, its line."""

    quantity: str
    package: str
    difficulty: str
    line: Line


def rounded(value: Decimal, to: Decimal) -> Decimal:
    """Half up, away from zero."""
    return value.quantize(to, ROUND_HALF_UP)


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@cache
def shipped(name: str) -> dict[str, Line]:
    """A book of the shipped price files by its first column."""
    rows = _rows(PRICES / f"{name}.csv")
    key = next(iter(rows[0]))
    return {row[key]: _line(row, place) for place, row in enumerate(rows, start=1)}


@cache
def settings() -> dict[str, Decimal]:
    return {
        row["setting"]: Decimal(row["value"])
        for row in _rows(PRICES / "settings.csv")
        if row["unit"] != "text"
    }


@cache
def items() -> tuple[Task, ...]:
    """The fixed lines of material: prices of the trade's list, the shipped price where the list has none."""
    return tuple(
        _task(row, shipped("price_book").get(row["item"]), "none") for row in _rows(HERE / "items.csv")
    )


@cache
def tasks() -> tuple[Task, ...]:
    """The tasks: hours of the trade's list, the shipped hours where the list has none."""
    units = shipped("labour_units")
    return tuple(_task(row, units[row["unit"]], row["difficulty"]) for row in _rows(HERE / "tasks.csv"))


def _task(row: dict[str, str], other: Line | None, difficulty: str) -> Task:
    line = _line(row, 0) if row["likely"] else other
    assert line is not None, f"{row['quantity']}: no price"
    return Task(row["quantity"], row["package"], difficulty, line)


def _line(row: dict[str, str], place: int) -> Line:
    return Line(Decimal(row["low"]), Decimal(row["likely"]), Decimal(row["high"]), place)
