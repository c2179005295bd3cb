"""Every line of the price book and every labour unit reaches the price of some job."""

from __future__ import annotations

import itertools
from functools import cache

import pandas as pd

from workbook_builder.code_tables.load import load
from workbook_builder.reference.run import calculate_all

CODE = load()
BASE = {
    "house_age": "middle", "market": "medium", "service_a": 400, "main_bus_a": 400, "main_spaces": 42,
    "main_spaces_used": 42, "floor_area_ft2": 2000, "branch_limit_a": 400, "add_ev_a": 40,
}  # fmt: skip
RACEWAYS = ("PVC 40", "PVC 80", "EMT", "RMC", "IMC", "FMC", "LFNC")
CABLES = (("NM-B cable", "copper"), ("SER cable", "copper"), ("SER cable", "aluminum"),
          ("MC cable", "copper"), ("MC cable", "aluminum"))  # fmt: skip
BREAKERS = (20, 30, 40, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400)


def _forced() -> list[dict[str, object]]:
    """Designs that take every size: breakers, lengths that enlarge conductors, wiring methods, services."""
    jobs: list[dict[str, object]] = []
    runs = ((5, "no"), (60, "yes"), (150, "yes"), (280, "yes"))
    for (wiring, material), breaker, (feet, governs) in itertools.product(
        [*((raceway, metal) for raceway in RACEWAYS for metal in ("copper", "aluminum")), *CABLES], BREAKERS, runs
    ):
        jobs.append({
            "wiring": wiring, "material": material, "feeder_breaker_wanted_a": breaker, "run_ft": feet,
            "raceway_in": 12 * feet, "drop_governs": governs, "drop_limit_percent": 1,
            "move_kva": breaker * 0.2, "terminals": "75 C", "panel_place": "same building",
            "access": "hard", "wall": "plaster", "add_ev_a": 0, "move_1pole": 4, "add_1pole": 1,
        })  # fmt: skip
    for breaker, material, electrode in itertools.product(BREAKERS, ("copper", "aluminum"), ("rods", "water pipe")):
        jobs.append({
            "panel_place": "other building", "trench_ft": 60, "run_ft": 260, "feeder_breaker_wanted_a": breaker,
            "material": material, "electrode": electrode, "room": "outdoors", "terminals": "75 C", "drop_governs": "yes",
            "trench_by": "hand" if breaker % 20 else "machine", "drop_limit_percent": 1, "temp_change_f": 200,
        })  # fmt: skip
    for service, material, electrode in itertools.product(
        (60, 100, 125, 150, 200, 225, 300, 320), ("copper", "aluminum"), ("rods", "water pipe")
    ):
        jobs.append({
            "service_a": service, "main_bus_a": service, "option_wanted": "larger service", "material": material,
            "electrode": electrode, "add_ev_a": 0, "floor_area_ft2": 1000,
        })  # fmt: skip
    for moved_wire in (14, 12, 10, 8):
        jobs.append({"move_1pole": 2, "move_2pole": 2, "moved_wire": moved_wire, "moved_ext_ft": 12})
    for wiring, circuits, feet in itertools.product(RACEWAYS[:-1], (3, 6, 10), (200, 260, 320)):
        jobs.append({
            "wiring": wiring, "feeder_breaker_wanted_a": 250 if circuits < 10 else 200, "insulation": "THW", "terminals": "75 C",
            "run_ft": feet, "raceway_in": 12 * feet, "drop_governs": "yes", "drop_limit_percent": 2, "move_kva": 48 if circuits < 10 else 40,
            "panel_place": "same building", "moved_in_raceway": "yes", "move_1pole": circuits, "moved_wire": 8,
            "moved_breaker_a": 20, "add_ev_a": 0,
        })  # fmt: skip
    jobs += [{
        "panel_place": "other building", "trench_ft": 100, "run_ft": feet, "feeder_breaker_wanted_a": 250,
        "electrode": "water pipe", "terminals": "75 C", "drop_governs": "yes", "drop_limit_percent": 2,
        "move_kva": 48, "add_ev_a": 0,
    } for feet in (200, 260, 290)]  # fmt: skip
    jobs += [
        {"pv_output_a": 32, "generator_inlet_a": 30, "interlock": "yes", "storage_output_a": 60},
        {"option_wanted": "load control", "add_range_kw": 12, "add_1pole": 2},
        {"main_spaces_used": 38, "two_circuit_spaces": 8, "option_wanted": "existing spaces", "add_1pole": 6},
        {"panel_place": "same building", "wiring": "NM-B cable", "wall": "masonry", "add_heat_pump_kva": 5},
        {"panel_place": "other building", "wall": "masonry", "trench_ft": 20, "run_ft": 40},
        {"extra_hours": 6, "extra_material_usd": 300},
        *({"add_ev_a": amperes, "add_ev_run_ft": 30, "add_heat_pump_kva": 5, "add_heat_pump_run_ft": 25} for amperes in (16, 40, 64)),
        {"code_edition": 2017, "add_1pole": 2},
    ]
    return [BASE | {"job_no": f"R{number}"} | job for number, job in enumerate(jobs)]


@cache
def _results() -> pd.DataFrame:
    jobs = pd.DataFrame(_forced(), dtype=object)
    listed = [
        {"panel": "added", "poles": 1, "action": "move", "multiwire_group": "k", "condition": "aluminum"},
        {"panel": "added", "poles": 1, "action": "move", "multiwire_group": "k", "condition": "aluminum"},
        {"panel": "added", "poles": 2, "action": "move", "cable_reaches": "yes"},
    ]
    circuits = pd.DataFrame([
        {"job_no": jobs["job_no"].iloc[-1], "breaker_a": 20, "label": f"Circuit {place}"} | circuit
        for place, circuit in enumerate(listed)
    ], dtype=object).reindex(columns=[field.name for field in CODE.circuit_fields])  # fmt: skip
    local = calculate_all(jobs.tail(60), None, overrides={"arc_fault_new": 0})[0]
    return pd.concat([calculate_all(jobs, circuits)[0], local], ignore_index=True)


def test_every_forced_job_is_ready() -> None:
    states = _results()["row_state"]

    assert states[states.ne("ready")].unique().tolist() == []


def test_every_line_of_the_price_book_is_taken() -> None:
    found = _results()
    taken = {line.item for line in CODE.takeoff_lines if not line.by_size and found[line.name].gt(0).any()}
    for line in CODE.takeoff_lines:
        if line.by_size:
            used = found[line.name].gt(0) & found[f"{line.name}_place"].gt(0)
            taken |= set(found.loc[used, f"{line.name}_item"])

    assert sorted(set(CODE.books.keys("price_book")) - taken) == []


def test_every_quantity_and_every_labour_unit_is_taken() -> None:
    found = _results()
    idle = [line.name for line in (*CODE.takeoff_lines, *CODE.work_lines) if not found[line.name].gt(0).any()]
    units = {line.unit_id for line in CODE.work_lines}

    assert idle == []
    assert sorted(set(CODE.books.keys("labour_units")) - units) == []


def test_every_factor_and_market_is_taken() -> None:
    """Each level of age, condition, wall and access of the contract has its factor, each market its wage."""
    fields = {field.name: field for field in CODE.job_fields}
    wanted = {f"age {word}" for word in fields["house_age"].choices}
    wanted |= {f"wall {word}" for word in fields["wall"].choices}
    wanted |= {f"access {word}" for word in fields["access"].choices}

    assert set(CODE.books.keys("factors")) == wanted | {"condition sound", "condition crowded", "copper"}
    assert set(CODE.books.keys("market")) == set(fields["market"].choices)
