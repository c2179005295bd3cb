"""Invented jobs for tests: a plain one, and frames of random ones that meet every limit."""

from __future__ import annotations

import re

import numpy as np
import pandas as pd

from workbook_builder.code_tables.load import load
from workbook_builder.reference.run import calculate, plan

PLAIN = {
    "job_no": "J1",
    "house_age": "middle",
    "market": "small",
    "service_a": 200,
    "main_spaces": 30,
    "main_spaces_used": 28,
    "floor_area_ft2": 1800,
}
"""Only what is required; everything else takes its default."""

USUAL_TOP = {"kW": 14.0, "kVA": 5.0, "A": 50.0, "": 3.0}
NEVER_BLANK = ("metered_peak_kw", "move_kva", "oven_kw", "other_fixed_kva", "ev_a")


def plain_job(**entries: object) -> pd.DataFrame:
    """A frame with one job: the required entries, and those given."""
    return pd.DataFrame([PLAIN | entries])


def random_jobs(rows: int, seed: int) -> pd.DataFrame:
    """Valid entries for every field, drawn apart; some rows break a check between fields."""
    draw = np.random.default_rng(seed)
    columns: dict[str, object] = {}
    for field in load().job_fields:
        if field.name == "job_no":
            columns[field.name] = [f"J{number}" for number in range(rows)]
        elif field.kind == "text":
            columns[field.name] = ["here"] * rows
        elif field.kind == "date":
            columns[field.name] = draw.integers(44000, 47000, rows).astype(float)
        elif field.kind == "choice":
            words = np.array(field.choices, dtype=float if field.numeric else object)
            columns[field.name] = words[draw.integers(0, len(words), rows)]
        else:
            usual = USUAL_TOP.get(field.unit, 1e9) if field.minimum == 0 else 1e9
            top = min(usual, field.maximum if field.maximum is not None else 1000.0)
            values = draw.uniform(field.minimum, top, rows)
            if field.group in ("loads", "planned") and field.minimum == 0:
                values = np.where(draw.random(rows) < 0.7, 0.0, values)
            steps = 0 if field.whole else draw.integers(0, 3)
            values = np.round(values, steps)
            columns[field.name] = np.clip(values, field.minimum, top)
    jobs = pd.DataFrame(columns)
    jobs["main_spaces_used"] = np.minimum(jobs["main_spaces_used"], jobs["main_spaces"])
    jobs["two_circuit_spaces"] = np.minimum(jobs["two_circuit_spaces"], jobs["main_spaces_used"])
    jobs["move_1pole"] = draw.integers(0, 5, rows)
    jobs["move_2pole"] = draw.integers(0, 2, rows)
    for count in ("oven_count", "other_fixed_count", "ev_count"):
        jobs[count] = draw.integers(1, 4, rows)
    for part, whole in (
        ("other_fixed_neutral_kva", "other_fixed_kva"),
        ("move_neutral_kva", "move_kva"),
        ("move_continuous_kva", "move_kva"),
    ):
        jobs[part] = np.minimum(jobs[part], jobs[whole])
    jobs["ambient_c"] = draw.integers(-10, 60, rows)
    jobs["feeder_breaker_wanted_a"] = draw.choice([0.0, 0.0, 60.0, 100.0, 125.0, 65.0], rows)
    jobs["added_bus_wanted_a"] = draw.choice([0.0, 0.0, 100.0, 125.0], rows)
    jobs["branch_limit_a"] = draw.choice([0.0, 100.0, 125.0, 200.0], rows)
    jobs["run_ft"] = draw.integers(1, 200, rows)
    jobs["trench_ft"] = np.where(draw.random(rows) < 0.7, 0, draw.integers(1, 100, rows))
    for field in load().job_fields:
        if field.kind == "number" and not field.required and field.name not in NEVER_BLANK:
            jobs.loc[draw.random(rows) < 0.2, field.name] = np.nan
    cable = jobs["wiring"].str.endswith("cable")
    jobs["moved_in_raceway"] = np.where(cable, "no", jobs["moved_in_raceway"])
    jobs["material"] = np.where(jobs["wiring"] == "NM-B cable", "copper", jobs["material"])
    return jobs


def feasible_jobs(rows: int, seed: int) -> pd.DataFrame:
    """Random jobs of which many have a way that works."""
    draw = np.random.default_rng(seed)
    jobs = random_jobs(rows, seed).assign(
        panel_condition="sound", interlock="yes", egc_wanted=None, feeder_breaker_wanted_a=0.0,
        added_bus_wanted_a=0.0, added_spaces_wanted=0.0, service_a=draw.choice([200.0, 300.0, 320.0], rows),
        panel_place=draw.choice(["same wall", "same building"], rows), terminals="75 C", branch_limit_a=0.0,
        main_bus_a=400.0, main_spaces=42.0, main_spaces_used=draw.integers(30, 43, rows).astype(float),
        add_1pole=draw.integers(0, 3, rows), add_2pole=draw.integers(0, 2, rows), trench_ft=0.0,
        floor_area_ft2=draw.integers(1000, 5000, rows), wet_location="no", room="garage",
        two_circuit_spaces=draw.integers(0, 6, rows), moved_in_raceway="no", load_method="existing dwelling",
        wiring="EMT", line_v=240.0, ambient_c=30.0, moved_three_wire="no", clear_width_in=None,
        clear_depth_in=None, clear_height_in=None, top_breaker_height_in=None,
    )  # fmt: skip
    return jobs


def results_of(**entries: object) -> pd.Series:
    """Results of the plain job with these entries, under parameters as they are. It must be ready."""
    row = calculate(plain_job(**entries)).iloc[0]
    assert row["row_state"] == "ready", row["row_state"]
    return row


def by_themselves(results: pd.DataFrame) -> pd.DataFrame:
    """The results without those that look at all jobs at once."""
    return results.drop(columns=[one.name for one, _ in plan().together])


def loaded(amperes: float, **entries: object) -> pd.Series:
    """A copper feeder in PVC that carries so many amperes at 240 V, none continuous.

    move_kva is its load; the service is large and no limit of the main panel holds.
    """
    return results_of(
        **{"move_kva": round(amperes * 0.24, 9), "service_a": 400, "branch_limit_a": 0} | entries
    )


def quoted_words(state: str) -> list[str]:
    """The words in quotation marks of a rule, and of the states that its sentence names."""
    rules = load().rules
    sentence = rules[state].sentence
    named = [name for name in re.findall(r"\w+_state", sentence) if name in rules]
    return re.findall(r'"([^"]+)"', sentence) + [word for name in named for word in quoted_words(name)]
