"""Jobs that go through every row and column of the code tables."""

from __future__ import annotations

from itertools import product

from workbook_builder.code_tables.load import load

from .reach import PLAIN, Row

RACEWAYS = ("PVC 40", "PVC 80", "EMT", "RMC", "IMC", "FMC", "LFNC")
CABLES = (
    ("NM-B cable", "copper"),
    ("SER cable", "copper"),
    ("SER cable", "aluminum"),
    ("MC cable", "copper"),
    ("MC cable", "aluminum"),
)
METALS = ("copper", "aluminum")
BREAKERS = (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400)
BIG: Row = {
    "service_a": 400.0,
    "main_bus_a": 400.0,
    "main_spaces": 42.0,
    "main_spaces_used": 42.0,
    "branch_limit_a": 400.0,
}


def sweep_jobs() -> list[Row]:
    """Each with its job number."""
    found = [
        *_ambient(), *_cooking(), *_feeders(), *_small_aluminum(), *_grown(), *_other_building(), *_services(),
        *_counts(), *_panels(),
    ]  # fmt: skip
    return [PLAIN | row | {"job_no": f"T{place}"} for place, row in enumerate(found, start=1)]


def _ambient() -> list[Row]:
    tops = load().tables["ambient_factor"].column("upper_c")
    return [
        {"ambient_c": top - 0.5, "insulation": insulation, "wiring": "PVC 40", "move_kva": 12.0}
        for top, insulation in product(tops, ("THHN/THWN-2", "THW"))
    ] + [{"ambient_c": top - 0.5, "wiring": "NM-B cable", "move_kva": 12.0} for top in tops]


def _cooking() -> list[Row]:
    return [
        {"oven_kw": count * each, "oven_count": float(count), "load_method": "dwelling standard"}
        for count, each in product(range(1, 26), (2.0, 6.0, 10.0, 14.0))
    ] + [{"add_range_kw": each} for each in (2.0, 3.5, 8.0, 14.0)]


def _feeders() -> list[Row]:
    ways = [*product(RACEWAYS, METALS), *CABLES]
    found: list[Row] = []
    for (wiring, material), breaker, (feet, governs) in product(ways, BREAKERS, ((20.0, "no"), (250.0, "yes"))):
        found.append(BIG | {
            "wiring": wiring, "material": material, "feeder_breaker_wanted_a": float(breaker), "move_kva": breaker * 0.2,
            "run_ft": feet, "drop_governs": governs, "drop_limit_percent": 1.5, "panel_place": "same building",
            "terminals": "not marked" if breaker % 20 else "75 C", "insulated_egc": "yes" if breaker % 50 else "no",
            "insulation": ("THHN/THWN-2", "XHHW-2", "THW")[breaker // 5 % 3],
        })  # fmt: skip
    for wiring, material, insulation, breaker in product(
        RACEWAYS, METALS, ("THHN/THWN-2", "XHHW-2", "THW"), (15, 20, 30)
    ):
        found.append(BIG | {"wiring": wiring, "material": material, "insulation": insulation, "move_kva": breaker * 0.2,
                            "feeder_breaker_wanted_a": float(breaker), "run_ft": 10.0, "terminals": "75 C"})  # fmt: skip
    for kva, metal, insulation in product(
        (60.0, 75.0, 90.0, 110.0, 130.0, 160.0, 190.0), METALS, ("THHN/THWN-2", "XHHW-2", "THW")
    ):
        found.append(
            {
                "move_kva": kva,
                "material": metal,
                "insulation": insulation,
                "terminals": "75 C",
                "run_ft": 60.0,
                "wiring": "EMT",
            }
        )
    return found


def _small_aluminum() -> list[Row]:
    """Sizes that only a load just under them chooses, and a breaker far under its load at 60 C."""
    ways = (
        *((wiring, "aluminum", amperes, kva) for wiring in ("PVC 40", "EMT", "MC cable") for amperes, kva in ((15.0, 1.0), (70.0, 14.0))),
        ("MC cable", "copper", 20.0, 1.5), ("MC cable", "aluminum", 350.0, 76.0),
    )  # fmt: skip
    found: list[Row] = [
        BIG | {"wiring": wiring, "material": metal, "feeder_breaker_wanted_a": amperes, "move_kva": kva, "run_ft": 20.0, "terminals": "75 C"}
        for wiring, metal, amperes, kva in ways
    ]  # fmt: skip
    found += [
        BIG | {"wiring": "EMT", "insulation": insulation, "feeder_breaker_wanted_a": 15.0, "move_kva": 0.5, "run_ft": 20.0, "terminals": "75 C"}
        for insulation in ("XHHW-2", "THW")
    ]  # fmt: skip
    return [*found, BIG | {"wiring": "EMT", "material": "aluminum", "feeder_breaker_wanted_a": 60.0, "move_kva": 48.6, "run_ft": 20.0}]


def _grown() -> list[Row]:
    """Small feeders so long that the drop decides the size, and the grounding conductor grows with it."""
    return [
        BIG | {"wiring": wiring, "feeder_breaker_wanted_a": 15.0, "move_kva": 1.5, "run_ft": feet, "terminals": "75 C", "insulation": "THW",
               "drop_governs": "yes", "drop_limit_percent": 0.5, "insulated_egc": insulated}
        for wiring, feet, insulated in product(("RMC", "IMC", "FMC"), (350.0, 400.0, 450.0, 500.0, 550.0, 600.0, 650.0, 700.0), ("yes", "no"))
    ]  # fmt: skip


def _other_building() -> list[Row]:
    ways = [*RACEWAYS, *(cable for cable, _ in CABLES)]
    places = next(field.choices for field in load().job_fields if field.name == "cover_case")
    found: list[Row] = [
        {
            "wiring": wiring,
            "panel_place": "other building",
            "trench_ft": 40.0,
            "run_ft": 60.0,
            "cover_case": place,
            "material": "copper",
        }
        for wiring, place in product(dict.fromkeys(ways), places)
    ]
    return found + [
        BIG | {"panel_place": "other building", "trench_ft": 40.0, "run_ft": feet, "feeder_breaker_wanted_a": float(breaker),
               "material": metal, "move_kva": breaker * 0.2, "terminals": "75 C", "drop_governs": "yes", "electrode": "water pipe",
               "drop_limit_percent": 1.0}
        for breaker, metal, feet in product(BREAKERS, METALS, (60.0, 260.0))
    ]  # fmt: skip


def _services() -> list[Row]:
    services = next(field.choices for field in load().job_fields if field.name == "service_a")
    return [
        {"service_a": service, "main_bus_a": min(600.0, service), "option_wanted": "larger service", "material": metal,
         "electrode": electrode, "add_ev_a": 48.0, "floor_area_ft2": area}
        for service, metal, electrode, area in product(services, METALS, ("water pipe", "rods"), (1000.0, 6000.0))
    ]  # fmt: skip


def _counts() -> list[Row]:
    return [
        BIG | {"moved_in_raceway": "yes", "move_1pole": float(count), "moved_wire": wire, "wiring": wiring, "run_ft": 40.0,
               "raceway_in": inches, "terminals": marks}
        for count, wire, wiring, inches, marks in product(
            (1, 2, 4, 9, 14, 19, 25), ("14", "12", "10", "8"), ("EMT", "PVC 40"), (24.0, 480.0), ("75 C", "not marked")
        )
    ]  # fmt: skip


def _panels() -> list[Row]:
    full = {
        "feeder_breaker_wanted_a": 225.0,
        "move_1pole": 40.0,
        "move_2pole": 2.0,
        "move_kva": 45.0,
        "growth_percent": 0.0,
    }
    return [BIG | full] + [
        BIG | {"added_bus_wanted_a": bus, "added_spaces_wanted": 0.0, "move_1pole": float(count), "move_kva": 12.0, "growth_percent": 0.0}
        for bus, count in product((0.0, 100.0, 125.0, 200.0, 225.0, 400.0), (0, 4, 6, 8, 10, 14, 18, 22, 24, 26, 28, 30, 32, 34, 36, 38, 40))
    ]  # fmt: skip
