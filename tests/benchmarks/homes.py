"""Makes lists of invented homes of any length: every field of the contract, valid, block by block."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pandas as pd

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import Field
from workbook_builder.reader.write_csv import csv_head, csv_rows

from ..job_frames import EDGES

BLOCK = 2**15

SPREAD: dict[str, tuple[float, float, float]] = {
    "floor_area_ft2": (700, 4200, 1),
    "range_kw": (6, 14, 0.1),
    "dryer_kw": (4, 6.5, 0.1),
    "water_heater_kw": (3, 5.5, 0.1),
    "ac_kva": (1.5, 6, 0.1),
    "heat_kw": (1, 15, 0.5),
    "metered_peak_kw": (4, 22, 0.1),
    "metered_days": (30, 800, 1),
    "add_ev_a": (16, 48, 1),
    "add_heat_pump_kva": (2, 8, 0.1),
    "move_kva": (3, 30, 0.1),
    "run_ft": (3, 180, 1),
    "ambient_c": (10, 45, 0.5),
    "main_bus_a": (125, 225, 25),
    "main_spaces_used": (8, 42, 1),
    "fault_ka": (2, 22, 0.1),
    "panel_kaic": (10, 25, 1),
    "main_breakers_sum_a": (100, 800, 5),
    "annual_kwh": (3000, 18000, 10),
    "heat_pump_kwh": (500, 6000, 10),
    "ev_miles": (2000, 15000, 100),
    "yield_kwh_per_kw": (900, 1700, 10),
    "add_ev_run_ft": (5, 120, 1),
    "add_heat_pump_run_ft": (5, 90, 1),
    "extra_hours": (1, 24, 0.5),
    "extra_material_usd": (50, 2500, 0.01),
    "actual_hours": (6, 60, 0.5),
    "actual_material_usd": (400, 5000, 0.01),
}
"""Least, greatest and step of what is measured or read off; other numbers come from the edges of the rules."""

BLANK = {
    "job": 0.5, "house": 0.3, "service": 0.8, "loads": 0.5, "planned": 0.8, "added panel": 0.85, "run": 0.8,
    "place": 0.8, "sources": 0.9, "solar": 0.6, "extra": 0.8, "readings": 0.9, "actuals": 0.9,
}  # fmt: skip
"""Share of blanks among the optional entries of a group."""


def homes(count: int, *, seed: int = 1, first: int = 0) -> pd.DataFrame:
    """`count` jobs with the numbers from `first` on: numbers as float64, words as categories."""
    chance = np.random.default_rng((seed, first))
    columns = {one.name: _column(chance, one, count) for one in load().job_fields}
    columns["job_no"] = pd.Series([f"H{number:07}" for number in range(first, first + count)], dtype=object)
    columns["site"] = pd.Series([f"House {number % 9973}" for number in range(first, first + count)], dtype=object)
    jobs = pd.DataFrame(columns)
    _make_valid(jobs)
    return jobs


def _column(chance: np.random.Generator, one: Field, count: int) -> pd.Series:
    blank = np.zeros(count, bool) if one.required else chance.random(count) < BLANK[one.group]
    if one.kind == "text":
        return pd.Series([None] * count, dtype=object)
    if one.kind == "date":
        days = np.datetime64("2024-01-01", "s") + chance.integers(0, 700, count).astype("timedelta64[D]")
        return pd.Series(np.where(blank, np.datetime64("NaT"), days))
    if one.choices and not one.numeric:
        codes = np.where(blank, -1, chance.integers(0, len(one.choices), count))
        return pd.Series(pd.Categorical.from_codes(codes, categories=list(one.choices)))
    if one.name in SPREAD:
        low, high, step = SPREAD[one.name]
        values = np.round(low + step * chance.integers(0, round((high - low) / step) + 1, count), 2)
    elif one.numeric or one.name in EDGES:
        values = chance.choice(np.array(one.choices or EDGES[one.name], dtype=np.float64), count)
    else:
        low = one.minimum or 0.0
        values = chance.uniform(low, min(one.maximum or 20.0, low + 40.0), count)
        values = np.round(values, 0 if one.whole else 1)
    return pd.Series(np.where(blank, np.nan, values))


def _make_valid(jobs: pd.DataFrame) -> None:
    """Takes back what the checks between entries would refuse."""
    jobs["main_spaces"] = jobs["main_spaces"].clip(lower=12, upper=42)
    jobs["main_spaces_used"] = np.minimum(jobs["main_spaces"], jobs["main_spaces_used"])
    jobs["two_circuit_spaces"] = np.minimum(jobs["two_circuit_spaces"], jobs["main_spaces_used"])
    metered = jobs["load_method"] == "metered peak"
    jobs.loc[metered, "metered_peak_kw"] = jobs.loc[metered, "metered_peak_kw"].fillna(9.5)
    small = (jobs["load_method"] == "dwelling optional") & (jobs["service_a"] < 100)
    jobs.loc[small, "service_a"] = 100.0
    for name, partner in (("oven_count", "oven_kw"), ("other_fixed_count", "other_fixed_kva"), ("ev_count", "ev_a")):
        jobs.loc[(jobs[partner] > 0) & (jobs[name] < 1), name] = 1.0
    jobs["other_fixed_neutral_kva"] = np.nan
    for name in ("move_neutral_kva", "move_continuous_kva"):
        jobs[name] = np.where(jobs["move_kva"].isna(), np.nan, np.minimum(jobs[name], jobs["move_kva"]))
    cable = jobs["wiring"].astype(str).str.endswith("cable")
    jobs.loc[cable, "moved_in_raceway"] = None
    jobs.loc[jobs["wiring"] == "NM-B cable", "material"] = None


def blocks(count: int, *, seed: int = 1) -> Iterator[pd.DataFrame]:
    """The jobs of a long list, so many at once."""
    for first in range(0, count, BLOCK):
        yield homes(BLOCK, seed=seed, first=first).head(count - first)


def write_parquet(path: Path, count: int, *, seed: int = 1) -> None:
    import pyarrow as pa
    import pyarrow.parquet as pq

    writer = None
    for jobs in blocks(count, seed=seed):
        table = pa.Table.from_pandas(jobs, preserve_index=False)
        if writer is None:
            schema = pa.schema([field if not pa.types.is_null(field.type) else pa.field(field.name, pa.string())
                                for field in table.schema])  # fmt: skip
            writer = pq.ParquetWriter(path, schema)
        writer.write_table(table.cast(schema))
    writer.close()


def write_csv(path: Path, count: int, *, seed: int = 1) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        for number, jobs in enumerate(blocks(count, seed=seed)):
            days = jobs["visit_date"].dt.strftime("%Y-%m-%d")
            jobs["visit_date"] = days.astype(object).where(days.notna(), None)
            columns = {name: _cells(jobs[name]) for name in jobs}
            file.write((csv_head(columns) if number == 0 else "") + csv_rows(columns, file=path.name))


def _cells(column: pd.Series) -> np.ndarray:
    return column.to_numpy() if column.dtype == np.float64 else column.astype(object).to_numpy()
