"""Makes frames of jobs for tests: plain ones, edges of every table, and faulty entries."""

from __future__ import annotations

import random
from collections.abc import Callable

import pandas as pd

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import Field

FIELDS = {field.name: field for field in load().job_fields}

EDGES: dict[str, tuple[float, ...]] = {
    "floor_area_ft2": (100, 499.5, 1000, 1500, 2000, 3000, 20000),
    "range_kw": (0, 1.75, 1.76, 3.49, 3.5, 8.74, 8.75, 8.76, 12, 12.49, 12.5, 13, 14.5, 27, 27.01),
    "oven_kw": (0, 1.75, 3.5, 8.75, 12, 17.5, 24),
    "cooktop_kw": (0, 1.7, 3.4, 3.5, 8.75, 9, 12.5),
    "add_range_kw": (0, 0, 1.75, 3.4, 3.5, 8.75, 8.76, 10, 12.5, 27, 28),
    "dryer_kw": (0, 4.5, 5, 5.001, 7),
    "add_dryer_kw": (0, 0, 4.999, 5, 6),
    "water_heater_kw": (0, 0.5, 4.5, 5.5),
    "dishwasher_kw": (0, 0.499, 0.5, 1.2),
    "disposal_kw": (0, 0.3, 0.5, 0.9),
    "microwave_kw": (0, 0.5, 1.5),
    "other_fixed_kva": (0, 0.998, 1, 1.5, 3),
    "other_fixed_count": (1, 2, 3, 4),
    "well_pump_kva": (0, 0.499, 0.5, 1.5),
    "spa_kva": (0, 6, 9.6),
    "heat_kw": (0, 0, 5, 9, 15),
    "heat_zones": (0, 1, 3, 4, 5),
    "ac_kva": (0, 1.38, 3.5, 5),
    "heat_pump_kva": (0, 0, 4.2, 6.5),
    "heat_pump_aux_kw": (0, 0, 5, 10),
    "ev_a": (0, 0, 0, 24, 32, 48, 60),
    "add_ev_a": (0, 16, 24, 24.001, 28, 29.9, 30, 32, 40, 40.001, 44, 48, 48.001, 80),
    "add_ev_count": (1, 1, 2, 3),
    "ev_limit_a": (6, 12, 16, 24, 40),
    "add_heat_pump_kva": (0, 0, 3, 6.5, 9),
    "add_heat_pump_aux_kw": (0, 0, 5, 10, 15),
    "add_heat_kw": (0, 0, 0, 2, 6),
    "add_ac_kva": (0, 0, 0, 2.4, 4),
    "add_water_heater_kw": (0, 0, 0.499, 0.5, 4.5),
    "add_spa_kva": (0, 0, 0.4, 6, 9.6),
    "add_other_kva": (0, 0, 1, 5),
    "metered_peak_kw": (0, 4.5, 7.2, 12, 19.2, 30),
    "metered_days": (30, 31, 364, 365, 366, 800),
    "metered_season_kva": (0, 3, 5),
    "move_1pole": (0, 0, 1, 2, 4, 9),
    "move_2pole": (0, 0, 1, 2),
    "move_kva": (3.6, 12, 13.2, 14.4, 19.2, 22.8, 24, 24.001, 30, 48, 60),
    "move_neutral_kva": (0, 1, 3.6),
    "move_continuous_kva": (0, 1, 3.6),
    "feeder_breaker_wanted_a": (0, 0, 0, 20, 50, 60, 85, 100, 110, 125, 200, 225, 400),
    "branch_limit_a": (0, 60, 100, 125, 200),
    "added_bus_wanted_a": (0, 0, 100, 125, 225),
    "run_ft": (1, 2, 3, 10, 57.5, 150, 450, 2000),
    "raceway_in": (12, 23.9, 24, 24.1, 36, 600),
    "ambient_c": (-10, 10, 10.5, 25, 30, 31, 40, 49, 55, 60, 61, 70, 75, 85),
    "drop_limit_percent": (0.5, 1, 2, 3, 5),
    "trench_ft": (0, 0, 10, 75),
    "moved_breaker_a": (15, 20, 25, 30, 40, 60),
    "clear_width_in": (14, 29.9, 30, 36),
    "clear_depth_in": (35.9, 36, 40),
    "clear_height_in": (70, 77.9, 78, 90),
    "panel_width_in": (14.5, 30, 32),
    "top_breaker_height_in": (60, 79, 79.1),
    "temp_change_f": (0, 10, 100, 140),
    "exposed_ft": (0, 4, 5, 100),
    "largest_motor_kva": (0.5, 2, 6),
}
"""Values on, just under and just over what a rule of the code compares with."""

REQUIRED = [field.name for field in FIELDS.values() if field.required]

FAULTY: tuple[Callable[[random.Random], tuple[str, object]], ...] = (
    lambda chance: (chance.choice(REQUIRED[1:]), None),
    lambda chance: ("floor_area_ft2", chance.choice(["abc", "2,5", 99, 20001, "=1+1"])),
    lambda chance: ("wiring", chance.choice(["gold", "*", "PVC 4?", 40])),
    lambda chance: ("code_edition", chance.choice([2011, "2023", 2021])),
    lambda chance: ("move_1pole", chance.choice([1.5, -1, 41, "two"])),
    lambda chance: ("main_spaces_used", 84),
    lambda chance: ("material", "aluminum"),
    lambda chance: ("service_a", chance.choice([99, 175, "200 A"])),
    lambda chance: ("job_no", "N0"),
)


def random_jobs(count: int, *, seed: int, faulty: float = 0.0, blank: float = 0.5) -> pd.DataFrame:
    """`count` jobs of object dtype with None for blanks, drawn from the edges above.

    `faulty` is the share of rows that get one entry that should be refused.
    Extra work and runs of new circuits are drawn apart, so that a job is the same with it and without.
    """
    chance, apart = random.Random(seed), random.Random(f"extra work {seed}")
    return pd.DataFrame([_job(chance, apart, place, faulty, blank) for place in range(count)], dtype=object)


def _job(
    chance: random.Random, apart: random.Random, place: int, faulty: float, blank: float
) -> dict[str, object]:
    job = {
        name: _entry(apart if field.group == "extra" or name.endswith("_run_ft") else chance, field, blank)
        for name, field in FIELDS.items()
    }
    _make_valid(job, place)
    if chance.random() < faulty:
        name, value = chance.choice(FAULTY)(chance)
        job[name] = value
    return job


def _entry(chance: random.Random, field: Field, blank: float) -> object:
    if field.kind in ("text", "date") or (not field.required and chance.random() < blank):
        return None
    if field.choices:
        return chance.choice(field.choices)
    if field.name in EDGES:
        return chance.choice(EDGES[field.name])
    top = field.maximum if field.maximum is not None else 20.0
    low = field.minimum or 0.0
    value = chance.uniform(low, top)
    value = float(round(value)) if field.whole else round(value, chance.choice((0, 1, 3)))
    return min(max(value, low), top)


def _make_valid(job: dict[str, object], place: int) -> None:
    """Take back what the cross-checks would refuse."""
    job["job_no"] = f"N{place}"
    job["main_spaces_used"] = min(job["main_spaces"], job["main_spaces_used"])
    job["two_circuit_spaces"] = min(job["two_circuit_spaces"] or 0, job["main_spaces_used"])
    if job["load_method"] == "metered peak":
        job["metered_peak_kw"] = job["metered_peak_kw"] or 7.2
    if job["load_method"] == "dwelling optional" and job["service_a"] < 100:
        job["service_a"] = 100.0
    for name, partner in (("oven_count", "oven_kw"), ("other_fixed_count", "other_fixed_kva"), ("ev_count", "ev_a")):
        if job[partner] and job[name] is not None:
            job[name] = max(1, job[name])
    job["other_fixed_neutral_kva"] = None
    if job["move_kva"] is None:
        job["move_neutral_kva"] = job["move_continuous_kva"] = None
    else:
        for name in ("move_neutral_kva", "move_continuous_kva"):
            job[name] = None if job[name] is None else min(job[name], job["move_kva"])
    cable = str(job["wiring"] or "").endswith("cable")
    if cable:
        job["moved_in_raceway"] = None
    if job["wiring"] == "NM-B cable":
        job["material"] = None


def random_circuits(jobs: pd.DataFrame, *, seed: int, faulty: float = 0.0) -> pd.DataFrame:
    """Up to twelve circuits for two jobs of three: positions that collide now and then, pairs that share
    a neutral, every condition and action. `faulty` as in random_jobs."""
    chance = random.Random(seed)
    rows: list[dict[str, object]] = []
    for job in jobs["job_no"]:
        if not isinstance(job, str) or chance.random() < 0.33:
            continue
        for _ in range(chance.randint(1, 12)):
            rows.append(_circuit(chance, job, faulty))
    return pd.DataFrame(rows, dtype=object)


def _circuit(chance: random.Random, job: str, faulty: float) -> dict[str, object]:
    action = chance.choice(("keep", "keep", "move", "move", "new", "remove"))
    poles = chance.choice((1.0, 1.0, 1.0, 2.0))
    circuit = {
        "job_no": job,
        "panel": "added" if action == "move" else chance.choice(("main", "main", "added")),
        "position": chance.choice((None, *(float(place) for place in range(1, 25)), 82.0)),
        "poles": poles,
        "breaker_a": chance.choice((15.0, 20.0, 30.0, 50.0)),
        "label": chance.choice(("Kitchen", "Bath", "=x"[1:], "Porch")),
        "load_va": chance.choice((None, 0.0, 180.0, 900.0, 900.0, 1500.0, 4500.0)),
        "action": action,
        "wire": chance.choice((None, "14", "12", "10")),
        "protection": chance.choice((None, "none", "AFCI", "GFCI", "both")),
        "multiwire_group": chance.choice((None, None, None, "m1", "M1", "m2")) if poles == 1 else None,
        "has_neutral": chance.choice((None, "yes", "no")),
        "cable_reaches": chance.choice((None, "yes", "no")),
        "condition": chance.choice((None, "sound", "ungrounded", "cloth", "aluminum", "three wire")),
        "priority": chance.choice((None, "normal", "essential", "alarm")),
    }
    if chance.random() < faulty:
        name, value = chance.choice(
            (("poles", 3), ("breaker_a", "20 A"), ("panel", None), ("job_no", "nobody"), ("position", 0.5), ("action", "lift"))
        )
        circuit[name] = value
    return circuit
