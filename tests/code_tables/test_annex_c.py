"""Counts of Annex C, as published, from Tables 1, 4 and 5 and note 7.

Addresses of the pages: sources S2, S3 and S4 of sources.csv.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from workbook_builder.code_tables.fields import WIRE_SIZES
from workbook_builder.code_tables.load import load

PUBLISHED = Path(__file__).parent.parent / "published"
COLUMNS = {"THHN": "THHN/THWN-2", "THW": "THW", "XHHW": "XHHW-2"}
TABLES = load().tables


def _rows(name: str) -> list[dict[str, str]]:
    with (PUBLISHED / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


COUNTS = _rows("annex_c_counts.csv")
COVERED = {row["size"]: float(row["area_in2"]) for row in _rows("rhh_covered_area.csv")}


def _area(insulation: str, size: str) -> float:
    if insulation == "RHH_covered":
        return COVERED[size]
    return TABLES["conductor_area"].column(COLUMNS[insulation])[WIRE_SIZES.index(size)]


def _bore(raceway: str, trade_size: str) -> float:
    table = TABLES["raceway_diameter"]
    diameter = table.column(raceway)[table.column("trade_size").index(trade_size)]
    return math.pi / 4 * diameter**2


def _most(raceway: str, trade_size: str, area: float) -> int:
    """Note 7: a count that ends in 0.8 or more goes up to the next whole number."""
    bore = _bore(raceway, trade_size)
    limits = TABLES["fill_limit"].column("percent")
    for count, percent in ((3, limits[2]), (2, limits[1]), (1, limits[0])):
        room = bore * percent / 100 / area
        whole = math.floor(room + 0.2 + 1e-9)
        if whole >= count:
            return whole if count == 3 else count
    return 0


@pytest.mark.parametrize("row", COUNTS, ids=lambda row: "-".join(list(row.values())[:4]))
def test_published_count(row: dict[str, str]) -> None:
    area = _area(row["insulation"], row["size"])

    assert _most(row["raceway"], row["trade_size"], area) == int(row["count"])


def test_fifteen_10_awg_in_1_in_schedule_40() -> None:
    """electricianmath.com/areavolume/conduitfilllookups.htm: Annex C Table C.10."""
    assert _most("PVC 40", "1", _area("THHN", "10")) == 15


def test_1_1_2_schedule_40_holds_six_2_awg() -> None:
    """Common practice, no source."""
    assert _most("PVC 40", "1-1/2", _area("THHN", "2")) >= 6


@pytest.mark.parametrize(("trade_size", "count"), [("1/2", 9), ("3/4", 16), ("4", 443)])
def test_12_awg_in_emt(trade_size: str, count: int) -> None:
    """forums.mikeholt.com/threads/emt.14681 and jlconline.com, q-a--3-4-inch-conduit-capacity."""
    assert _most("EMT", trade_size, _area("THHN", "12")) == count
