"""Invented circuits for tests: plain ones, and random ones of random jobs."""

from __future__ import annotations

import numpy as np
import pandas as pd

from workbook_builder.code_tables.load import load
from workbook_builder.reference.run import calculate_all

from .jobs import plain_job

CIRCUIT = {"job_no": "J1", "panel": "main", "poles": 1, "breaker_a": 20, "label": "Kitchen", "action": "keep"}
"""Only what is required."""

ADDED = {"panel": "added", "action": "new"}
MOVED = {"panel": "added", "action": "move"}


def circuits_of(*entries: dict) -> pd.DataFrame:
    """A circuit each of the plain job: the required entries, and those given."""
    return pd.DataFrame([CIRCUIT | one for one in entries])


def listed(*entries: dict, **job: object) -> tuple[pd.Series, pd.DataFrame]:
    """Results of the plain job with these entries, and of its circuits. All must be ready."""
    jobs, circuits = calculate_all(plain_job(**job), circuits_of(*entries))
    assert set(jobs["row_state"]) | set(circuits["circuit_state"]) == {"ready"}
    return jobs.iloc[0], circuits


def random_circuits(rows: int, jobs: int, seed: int) -> pd.DataFrame:
    """Circuits of the jobs J0, J1 and so on; some have no such job, some a blank or a wrong entry."""
    draw = np.random.default_rng(seed)
    columns: dict[str, object] = {
        "job_no": [f"J{number}" for number in draw.integers(0, jobs + 1, rows)],
        "label": [f"Room {number}" for number in range(rows)],
        "multiwire_group": draw.choice(["", "", "", "a", "A", "b"], rows),
        "position": draw.integers(1, 43, rows).astype(float),
        "breaker_a": draw.choice([15.0, 20.0, 30.0, 50.0], rows),
        "load_va": draw.integers(0, 20, rows) * 250.0,
        "from_position": draw.integers(1, 43, rows).astype(float),
    }
    for field in load().circuit_fields:
        if field.name not in columns:
            words = np.array(field.choices, dtype=float if field.numeric else object)
            columns[field.name] = words[draw.integers(0, len(words), rows)]
    circuits = pd.DataFrame(columns)
    circuits.loc[(circuits["action"] == "move") & (draw.random(rows) < 0.9), "panel"] = "added"
    circuits.loc[draw.random(rows) < 0.05, "position"] = 83.0
    circuits.loc[draw.random(rows) < 0.03, "panel"] = "garage"
    circuits.loc[draw.random(rows) < 0.03, "action"] = ""
    for field in load().circuit_fields:
        if not field.required:
            blank = draw.random(rows) < 0.3
            circuits.loc[blank, field.name] = "" if circuits[field.name].dtype == object else np.nan
    return circuits
