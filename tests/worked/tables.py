"""The second readings of the printed tables as decimal numbers."""

from __future__ import annotations

import csv
from decimal import Decimal
from functools import cache
from pathlib import Path

FOLDER = Path(__file__).parent.parent / "second_reading"


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    with (FOLDER / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        return tuple(csv.DictReader(file))


@cache
def column(name: str, key: str, of: str) -> dict[str, Decimal]:
    """The numbers of one column by the key of their row; cells without a value are left out."""
    return {row[key]: Decimal(row[of]) for row in rows(name) if row[of]}


def sizes() -> list[str]:
    """Conductor sizes, smallest first."""
    return [row["size"] for row in rows("ampacity")]


def place_of_first(name: str, of: str, fits: object) -> int:
    """Place, from 1, of the smallest size whose value passes; one more than there are sizes where none does."""
    values = column(name, "size", of)
    for place, size in enumerate(sizes(), start=1):
        if size in values and fits(values[size]):
            return place
    return len(sizes()) + 1


def parameter(name: str, edition: object) -> Decimal:
    """A rule of the code of an edition; the edition before where nobody saw the value."""
    (row,) = [row for row in rows("parameters") if row["name"] == name]
    years = [2026, 2023, 2020, 2017]
    seen = [row[f"value_{year}"] for year in years[years.index(int(float(str(edition)))) :]]
    return Decimal(next(one for one in seen if one))
