"""The frames of the mutation tests: every kind of entry, jobs chosen for reach, other rules, other books.

`chosen/jobs.csv` and `chosen/circuits.csv` hold the jobs that were found to tell
mutants apart which the others do not.
"""

from __future__ import annotations

import csv
import itertools
import random
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

import pandas as pd

from tests.golden_cases import cases
from tests.job_frames import random_circuits, random_jobs
from workbook_builder.code_tables.books import LIMITS, BookLine, Books
from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import Field, Parameter
from workbook_builder.data import shipped
from workbook_builder.reader.csv_jobs import read_circuits, read_jobs
from workbook_builder.sheets.layout import CIRCUIT_CHECK, INPUTS

from .base_book import ERROR
from .frames import Frame
from .reach import reach_circuits, reach_jobs
from .sweep import sweep_jobs

CHOSEN = Path(__file__).parent / "chosen"
CODE = load()
NAMES = {
    "jobs": [field.name for field in CODE.job_fields],
    "circuits": [field.name for field in CODE.circuit_fields],
}

Row = dict[str, object]


def frames() -> tuple[Frame, ...]:
    """Every frame; the first holds entries of every kind and is only for the sheets of entries as used."""
    return (
        entry_frame(), error_frame(), hand_frame(), job_frame(), *map(rules_frame, (5, 6, 7, 8)),
        *map(books_frame, ("odd", "even", "missing", "broken")),
    )  # fmt: skip


@cache
def job_frame() -> Frame:
    """Samples, generated jobs with few and with many entries, and the chosen ones."""
    samples = read_jobs(shipped("samples", "jobs.csv"))
    circuits = read_circuits(shipped("samples", "circuits.csv"), jobs=samples)
    parts = [samples]
    for seed, count, blank in ((1, 70, 0.5), (2, 30, 0.2), (3, 30, 0.8)):
        part = random_jobs(count, seed=seed, faulty=0.03, blank=blank)
        part["job_no"] = [one and f"S{seed}-{one}" for one in part["job_no"]]
        parts.append(part)
    listed = [circuits, random_circuits(parts[1][:25], seed=4, faulty=0.03)]
    chosen_jobs, chosen_circuits = chosen()
    return Frame("jobs", _rows(*parts, chosen_jobs), _rows(*listed, chosen_circuits, grid="circuits"))


@cache
def hand_frame() -> Frame:
    """The jobs made by hand, and those of the golden cases."""
    golden = [dict(case.job) | {"job_no": f"G{at}"} for at, case in enumerate(cases(), start=1)]
    jobs, circuits = (pd.DataFrame(rows, dtype=object) for rows in ([*reach_jobs(), *golden], reach_circuits()))
    return Frame("by hand", _rows(jobs), _rows(circuits, grid="circuits"))


@cache
def table_frame() -> Frame:
    """Jobs that go through every row and column of the code tables; no frame for mutants of formulas."""
    return Frame(
        "tables",
        _rows(pd.DataFrame(sweep_jobs(), dtype=object)),
        pd.DataFrame(columns=NAMES["circuits"], dtype=object),
    )


def chosen() -> tuple[pd.DataFrame, pd.DataFrame]:
    """The jobs and circuits of the folder `chosen`."""
    return _read(CHOSEN / "jobs.csv", CODE.job_fields), _read(CHOSEN / "circuits.csv", CODE.circuit_fields)


def _read(path: Path, fields: tuple[Field, ...]) -> pd.DataFrame:
    """Rows of a file as they were written: a number where the field takes one, faulty entries kept."""
    rows = []
    numeric = {field.name for field in fields if field.kind in ("number", "date") or field.numeric}
    if path.exists():
        with path.open(newline="", encoding="utf-8") as file:
            rows = [
                {name: _cell(text, name in numeric) for name, text in row.items()} for row in csv.DictReader(file)
            ]
    return pd.DataFrame(rows, columns=[field.name for field in fields], dtype=object)


def _cell(text: str, numeric: bool) -> object:
    if text == "":
        return None
    if numeric:
        try:
            return float(text)
        except ValueError:
            return text
    return text


def _rows(*parts: pd.DataFrame, grid: str = "jobs") -> pd.DataFrame:
    frames = [part.reindex(columns=NAMES[grid]).astype(object) for part in parts if len(part)]
    whole = pd.concat(frames, ignore_index=True)
    return whole.where(whole.notna(), None)


def entry_frame() -> Frame:
    """A valid job, and for each kind of entry a job that has it in every field; each cross-check alone."""
    valid = read_jobs(shipped("samples", "jobs.csv")).iloc[0].to_dict()
    jobs: list[Row] = [valid | {"job_no": "valid"}]
    jobs += [
        {name: one for name, one in row.items() if name != "job_no"} | {"job_no": f"kind {place}"}
        for place, row in enumerate(_kinds(CODE.job_fields))
    ]
    jobs += [one | {"job_no": None} for one in jobs[1:4]]
    jobs += [valid | row for row in _broken_jobs()]
    circuit: Row = {
        "job_no": "valid", "panel": "main", "position": 1.0, "poles": 1.0, "breaker_a": 20.0, "label": "Kitchen",
        "action": "keep",
    }  # fmt: skip
    circuits = [circuit, *({"job_no": "valid"} | row for row in _kinds(CODE.circuit_fields))]
    circuits += [one | {"job_no": None} for one in circuits[1:4]]
    circuits += [circuit | row for row in _broken_circuits()]
    frames = (pd.DataFrame(rows, dtype=object) for rows in (jobs, circuits))
    return Frame("entries", _rows(next(frames)), _rows(next(frames), grid="circuits"), only=(INPUTS, CIRCUIT_CHECK))


def _kinds(fields: tuple[Field, ...]) -> Iterator[Row]:
    """Rows that hold the first kind of entry in every field, then the second, and so on."""
    kinds = {field.name: _kinds_of(field) for field in fields if field.name != "job_no"}
    for values in itertools.zip_longest(*kinds.values()):
        yield dict(zip(kinds, values, strict=True))


def _kinds_of(field: Field) -> list[object]:
    if field.kind == "choice" or field.choices:
        first = field.choices[0]
        numbers = [float(choice) for choice in field.choices if str(choice).isdigit()]
        return [*field.choices, None, "*", "?", "none of them", str(first).upper(), f"{first} ", 7.0, *numbers[:2]]
    if field.kind == "text":
        return ["some text", 5.0, None, "*", "m1", " "]
    if field.kind == "date":
        return [46000.0, "2026-01-02", None, 0.0, "x"]
    low = field.minimum or 0.0
    high = 1e6 if field.maximum is None else field.maximum
    return [
        low, high, low - 1, high + 1, low - 0.001, high + 0.001, low + 0.5, low + 1, high - 1, None, "text", "5", "*",
        -1e9, 1e12,
    ]  # fmt: skip


def _broken_jobs() -> list[Row]:
    """One fault a job, and the job numbers that are none or stand twice."""
    faults: list[Row] = [
        {"main_spaces_used": 31.0}, {"main_spaces": 40.0, "two_circuit_spaces": 31.0},
        {"main_spaces_used": 30.0, "two_circuit_spaces": 30.0},
        {"load_method": "metered peak", "metered_peak_kw": None}, {"load_method": "metered peak", "metered_peak_kw": 0.0},
        {"load_method": "dwelling optional", "service_a": 60.0}, {"load_method": "dwelling optional", "service_a": 100.0},
        {"oven_kw": 3.0, "oven_count": 0.0}, {"oven_kw": 3.0, "oven_count": 1.0}, {"oven_kw": 0.0, "oven_count": 0.0},
        {"other_fixed_kva": 2.0, "other_fixed_count": 0.0}, {"other_fixed_kva": 2.0, "other_fixed_count": 1.0},
        {"ev_a": 20.0, "ev_count": 0.0}, {"ev_a": 20.0, "ev_count": 1.0},
        {"other_fixed_kva": 2.0, "other_fixed_neutral_kva": 2.1}, {"other_fixed_kva": 2.0, "other_fixed_neutral_kva": 2.0},
        {"move_kva": 4.0, "move_neutral_kva": 4.1}, {"move_kva": 4.0, "move_neutral_kva": 4.0},
        {"move_kva": None, "move_neutral_kva": 0.0}, {"move_kva": None, "move_continuous_kva": 0.0},
        {"move_kva": None, "move_continuous_kva": 0.1}, {"move_kva": 4.0, "move_continuous_kva": 4.1},
        {"move_kva": 4.0, "move_continuous_kva": 4.0}, {"move_kva": "x", "move_continuous_kva": 4.0, "move_neutral_kva": 1.0},
        {"wiring": "NM-B cable", "material": "aluminum"}, {"wiring": "NM-B cable", "material": "copper"},
        {"wiring": "NM-B cable", "material": "lead"}, {"wiring": "SER cable", "moved_in_raceway": "yes"},
        {"wiring": "none", "moved_in_raceway": "yes"}, {"wiring": "SER cable", "moved_in_raceway": "no"},
        {"moved_wire": "x"}, {"run_ft": "x"}, {"trench_ft": 500.0}, {"trench_ft": "x", "run_ft": 20.0},
        {"market": None}, {"service_a": None, "market": None}, {"market": None, "wall": "paper"},
        {"code_edition": 2011.0}, {"visit_date": "x"}, {CODE.job_fields[-1].name: "x"},
        {"code_edition": 2011.0, "wall": "paper"}, {"main_spaces_used": 31.0, "wall": "paper"},
        {"main_spaces_used": "x", "two_circuit_spaces": 90.0}, {"oven_kw": "x", "oven_count": 0.0},
        {"main_spaces_used": "x", "two_circuit_spaces": 9.0}, {"two_circuit_spaces": "x"}, {"other_fixed_neutral_kva": "x"},
        {"oven_kw": 0.5, "oven_count": None}, {"ev_a": 0.5, "ev_count": None}, {"add_heat_kw": 0.5, "add_heat_zones": None},
        {"other_fixed_kva": 2.0, "other_fixed_neutral_kva": 0.0, "other_fixed_count": None}, {"egc_wanted": 4.0},
        {"main_bus_a": 100.0, "load_method": "dwelling optional", "service_a": 60.0}, {"moved_wire": 12.0},
        {"main_bus_a": 60.0, "load_method": "dwelling optional", "service_a": 100.0},
        {"main_bus_a": "x", "load_method": "dwelling optional", "service_a": 60.0},
        {"laundry_circuits": "x", "oven_kw": 3.0, "oven_count": 0.0},
        {"heat_zones": "x", "other_fixed_kva": 2.0, "other_fixed_count": 0.0}, {"heat_zones": "x", "ev_a": 20.0, "ev_count": 0.0},
        {"other_fixed_kva": "x"}, {"ev_a": "x"}, {"service_a": "x"}, {"add_heat_kw": "x"}, {"oven_kw": "x"},
    ]  # fmt: skip
    rows = [fault | {"job_no": f"fault {place}"} for place, fault in enumerate(faults)]
    numbers = ("x" * 20, "x" * 21, 12.0, "12", None, "twice", "TWICE", " ")
    rows += [{"job_no": number} for number in numbers]
    return [*rows, dict.fromkeys(NAMES["jobs"]) | {"job_no": "alone"}]


def _broken_circuits() -> list[Row]:
    return [
        {"job_no": "nobody"}, {"job_no": None}, {"job_no": "x" * 20}, {"job_no": "x" * 21}, {"job_no": 12.0}, {"job_no": "fault 0"}, {"job_no": "VALID"}, {"job_no": "val*"},
        {"panel": None}, {"panel": None, "label": None}, {"panel": None, "poles": 3.0}, {"poles": 3.0, "wire": "x"},
        {"action": "move"}, {"action": "move", "panel": "added"}, {"action": "new", "panel": "added"},
        {"multiwire_group": "m", "poles": 2.0}, {"multiwire_group": "m"}, {"position": 84.0, "poles": 2.0},
        {"position": 83.0, "poles": 2.0}, {"position": 82.0, "poles": 2.0}, {"position": 84.0}, {"position": 83.0},
        {"position": "x", "poles": 2.0}, {"position": None, "poles": 2.0}, {"position": 84.0, "poles": "x"}, {"from_position": 84.0, "poles": 2.0}, {"priority": "x"}, {"position": 0.5},
        {"action": "remove", "panel": "added"}, {"has_neutral": "no"}, {"poles": 2.0, "has_neutral": "yes"},
    ]  # fmt: skip


def error_frame() -> Frame:
    """Cells with error values in every field of a job and of a circuit, and in their job numbers.

    The reference gets a text that is not valid in their place; where any text
    is valid, the rule says that the entry reads "invalid".
    """
    valid = read_jobs(shipped("samples", "jobs.csv")).iloc[0].to_dict() | {"job_no": "valid"}
    circuit: Row = {
        "job_no": "valid",
        "panel": "main",
        "poles": 1.0,
        "breaker_a": 20.0,
        "label": "Kitchen",
        "action": "keep",
    }
    texts = {"site": "House", "estimator": None}
    jobs = [
        valid, dict.fromkeys(NAMES["jobs"], ERROR) | {"job_no": "errors"} | texts, valid | {"job_no": ERROR},
        valid | dict.fromkeys(texts, ERROR) | {"job_no": "texts"},
    ]  # fmt: skip
    texts = {"label": "Kitchen", "multiwire_group": None}
    circuits = [
        circuit, dict.fromkeys(NAMES["circuits"], ERROR) | {"job_no": "valid"} | texts, circuit | {"job_no": ERROR},
        circuit | dict.fromkeys(texts, ERROR),
    ]  # fmt: skip
    frames = (pd.DataFrame(rows, dtype=object) for rows in (jobs, circuits))
    return Frame(
        "error cells", _rows(next(frames)), _rows(next(frames), grid="circuits"), only=(INPUTS, CIRCUIT_CHECK)
    )


def rules_frame(seed: int) -> Frame:
    """Generated jobs under local rules that make every parameter another one than its neighbours."""
    random_ones = random_jobs(50, seed=seed, blank=0.5)
    by_hand = pd.DataFrame(reach_jobs(), dtype=object)
    jobs = _rows(random_ones, by_hand[seed % 3 :: 3])
    circuits = random_circuits(random_ones[:12], seed=seed)
    overrides = {
        name: _within(name, value)
        for name, value in (other_rules(random.Random(seed)) | _EDGE_RULES.get(seed, {})).items()
    }
    return Frame(f"other rules {seed}", jobs, circuits, overrides=overrides)


def _within(name: str, value: float | str) -> float | str:
    """The value, or the limit of an override that is nearest to it."""
    parameter = CODE.parameters[name]
    return value if isinstance(value, str) else max(parameter.least, min(parameter.most, value))


def other_rules(chance: random.Random) -> dict[str, float | str]:
    """Every parameter that may be changed without changing what a unit means, each by a factor of its own."""
    cooking = chance.choice((0.8, 0.9, 1.2))
    found = {name: _other(one, chance) for name, one in CODE.parameters.items() if name not in _FIXED}
    return found | {name: round(CODE.parameters[name].values[2023] * cooking, 4) for name in _COOKING}


def _other(parameter: Parameter, chance: random.Random) -> float | str:
    value = parameter.values[2023]
    if parameter.unit == "size":
        trade = parameter.name in ("large_raceway", "raceway_small")
        order = (
            CODE.tables["raceway_diameter"].column("trade_size") if trade else CODE.tables["ampacity"].column("size")
        )
        return order[min(len(order) - 1, max(0, order.index(value) + chance.choice((-1, 1, 2))))]
    if parameter.name in _WHOLE:
        return chance.choice(_WHOLE[parameter.name])
    return round(value * chance.choice((0.3, 0.7, 0.9, 1.1, 1.5, 3)) * chance.uniform(0.95, 1.05), 4)


_EDGE_RULES: Mapping[int, dict[str, float | str]] = {
    5: {"feeder_minimum": 30.0, "cooking_b_limit": 10.7, "bus_far_end_rate": 1.0, "unit_load": 40.0}, 6: {"feeder_minimum": 100.0, "cooking_b_limit": 10.7}, 
    7: {"feeder_minimum": 800.0, "continuous_rate": 1.0, "cooking_b_limit": 10.7}, 8: {"feeder_minimum": 801.0, "cooking_b_limit": 10.7, "continuous_rate": 1.1},
}  # fmt: skip
"""The smallest feeder at the largest standard rating and beyond it."""

_FIXED = {
    "percent", "va_per_kw", "va_per_kva", "feet_per_kft", "panel_positions", "terminal_unmarked", "terminal_marked",
    "power_factor",
}  # fmt: skip
_COOKING = ("cooking_floor", "cooking_a_limit", "cooking_b_limit", "cooking_c_limit", "cooking_limit")
"""Limits that stand in order."""

_WHOLE: Mapping[str, tuple[float, ...]] = {
    "appliance_count": (1, 2, 3, 5), "heat_zones_many": (2, 3, 5), "optional_ev_in_pool": (0, 1), "wye_voltage": (208,),
    "hvac_in_pool_83a": (0, 1), "egc_base_uncorrected": (0, 1), "surge_feeder": (0, 2), "surge_service": (0, 3),
    "emergency_disconnect": (0, 4), "gfci_vehicle": (0, 2), "gfci_dryer": (0, 3), "gfci_range": (0, 4),
    "gfci_outdoor": (0, 5), "new_main_spaces": (30, 40), "bus_far_end_rate": (1.0, 1.1, 1.3), "leg_voltage": (121,), "arc_fault_new": (0, 1, 2),
}  # fmt: skip
"""Parameters that count, switch or stand in a list."""


def books_frame(kind: str) -> Frame:
    """Generated jobs with other books: `odd` and `even` have other amounts everywhere, `missing` lacks lines, `broken` has
    lines and settings that are out of order."""
    jobs = random_jobs(60, seed=7, blank=0.5)
    return Frame(f"{kind} books", jobs, random_circuits(jobs[:8], seed=8), books=_books(kind))


def _books(kind: str) -> Books:
    chance = random.Random(kind)
    ours = CODE.books
    settings = {
        name: replace(one, value=_other_amount(name, one.value, chance))
        if isinstance(one.value, int | float)
        else one
        for name, one in ours.settings.items()
    }
    if kind == "missing":
        none = ("consumables_percent", "tax_percent")
        settings |= {name: replace(ours.settings[name], value=0.0) for name in none}
    if kind == "broken":
        settings["tax_percent"] = replace(ours.settings["tax_percent"], value=None)
    lines = {}
    for book, found in ours.lines.items():
        lines[book] = tuple(
            _other_line(line, chance, broken=kind == "broken" and place % 7 == 3) for place, line in enumerate(found)
        )
        if kind == "missing" and book == "price_book":
            lines[book] = tuple(line for place, line in enumerate(lines[book]) if place % 3)
    return Books(lines, settings)


def _other_amount(name: str, value: float, chance: random.Random) -> float:
    low, high = LIMITS.get(name, (0, float("inf")))
    return max(low, min(high, round(value * chance.uniform(0.5, 1.6), 4)))


def _other_line(line: BookLine, chance: random.Random, *, broken: bool) -> BookLine:
    if broken:
        return replace(line, low=line.high + 1)
    factor = chance.uniform(0.6, 1.7)
    low, likely, high = (round(one * factor, 4) for one in (line.low, line.likely, line.high))
    return replace(line, low=low, likely=likely, high=high)
