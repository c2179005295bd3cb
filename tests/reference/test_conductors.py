"""Conductors of the feeder, their grounding, neutral and voltage drop.

Expected sizes are read by hand from the tables named.
"""

from __future__ import annotations

import pytest

from workbook_builder.reference.run import calculate

from .jobs import loaded, plain_job, results_of


@pytest.mark.parametrize(
    ("amperes", "entries", "column"),
    [
        (100, {}, 60),
        (101, {}, 75),
        (50, {"terminals": "75 C"}, 75),
        (101, {"wiring": "NM-B cable"}, 60),
        (50, {"terminals": "75 C", "wiring": "NM-B cable"}, 60),
        (50, {"terminals": "75 C", "wiring": "SER cable"}, 75),
    ],
)
def test_terminal_column(amperes: float, entries: dict, column: float) -> None:
    """110.14(C)(1): 60 C to 100 A unless marked, 75 C above; NM-B 60 C (334.80)."""
    assert loaded(amperes, **entries)["terminal_c"] == column


@pytest.mark.parametrize(
    ("wiring", "insulation", "column"),
    [
        ("PVC 40", "THHN/THWN-2", 90),
        ("PVC 40", "THW", 75),
        ("NM-B cable", "THW", 90),
        ("SER cable", "THHN/THWN-2", 75),
    ],
)
def test_insulation_column(wiring: str, insulation: str, column: float) -> None:
    """334.80: NM-B is corrected from 90 C; SER taken at 75 C."""
    assert loaded(50, wiring=wiring, insulation=insulation)["insulation_c"] == column


@pytest.mark.parametrize(
    ("ambient", "insulation", "factor"),
    [
        (-10, "THHN/THWN-2", 1.15),
        (10, "THHN/THWN-2", 1.15),
        (10.1, "THHN/THWN-2", 1.12),
        (30, "THW", 1.0),
        (30.1, "THW", 0.94),
        (70, "THW", 0.33),
        (71, "THW", 0.0),
        (85, "THHN/THWN-2", 0.29),
    ],
)
def test_ambient_factor(ambient: float, insulation: str, factor: float) -> None:
    """Table 310.15(B)(1)(1)."""
    assert loaded(50, ambient_c=ambient, insulation=insulation)["ambient_factor"] == factor


@pytest.mark.parametrize(
    ("entries", "factor"),
    [
        ({"move_1pole": 0}, 1.0),
        ({"move_1pole": 1}, 0.8),
        ({"move_1pole": 2}, 0.8),
        ({"move_1pole": 3}, 0.7),
        ({"move_1pole": 4}, 0.5),
        ({"move_1pole": 0, "line_v": 208}, 1.0),
        ({"move_1pole": 2, "line_v": 208}, 0.7),
        ({"move_1pole": 4, "raceway_in": 24}, 1.0),
        ({"move_1pole": 4, "raceway_in": 24.1}, 0.5),
    ],
)
def test_adjustment_for_moved_circuits_in_the_raceway(entries: dict, factor: float) -> None:
    """Table 310.15(C)(1): two of the feeder (three on a wye), two of each circuit; no nipple."""
    assert loaded(50, moved_in_raceway="yes", **entries)["adjustment_factor"] == factor


@pytest.mark.parametrize(
    ("amperes", "entries", "size", "by"),
    [
        (55, {}, "6", "terminals"),
        (55.1, {}, "4", "terminals"),
        (100, {}, "1", "terminals"),
        (101, {}, "2", "terminals"),
        (65, {"terminals": "75 C"}, "6", "terminals"),
        (65, {"terminals": "75 C", "feeder_breaker_wanted_a": 80}, "4", "overcurrent"),
        (85, {"terminals": "75 C"}, "4", "terminals"),
        (86, {"terminals": "75 C"}, "3", "terminals"),
        (30, {"terminals": "75 C"}, "6", "overcurrent"),
        (50, {"feeder_breaker_wanted_a": 50}, "6", "terminals"),
        (50, {"feeder_breaker_wanted_a": 50, "terminals": "75 C"}, "8", "terminals"),
        (15, {"feeder_breaker_wanted_a": 15}, "14", "terminals"),
        (10, {"feeder_breaker_wanted_a": 20, "terminals": "75 C"}, "12", "small conductor"),
        (55, {"ambient_c": 50}, "6", "terminals"),
        (55, {"ambient_c": 50, "terminals": "75 C"}, "6", "terminals"),
        (60, {"ambient_c": 55, "terminals": "75 C"}, "4", "correction"),
        (100, {"material": "aluminum", "terminals": "75 C"}, "1", "terminals"),
        (15, {"feeder_breaker_wanted_a": 15, "material": "aluminum", "terminals": "75 C"}, "12", "terminals"),
        (50, {"insulation": "THW", "ambient_c": 71}, "", "correction"),
    ],
)
def test_smallest_conductor_that_passes_every_test(amperes: float, entries: dict, size: str, by: str) -> None:
    """Table 310.16, 110.14(C), 240.4(B) and (D).

    100 A is 1 AWG on unmarked terminals (60 C: 2 AWG carries 95 A), 101 A only 2 AWG, since its
    breaker of 110 A stands on the 75 C column. At 65 A behind 80 A, 6 AWG (65 A at 75 C) is not over
    the next smaller rating of 70 A. At 55 C the 90 C column counts 76 %: 6 AWG 57 A, 4 AWG 72 A.
    """
    row = loaded(amperes, **entries)

    assert (row["feeder_size"], row["size_governed_by"]) == (size, by)


def test_next_size_up_is_permitted_over_an_ampacity_that_is_no_rating() -> None:
    """240.4(B): 4 AWG at 75 C is 85 A, no standard rating, and goes behind 90 A, not behind 100 A."""
    assert loaded(84, terminals="75 C", feeder_breaker_wanted_a=90)["feeder_size"] == "4"
    assert loaded(84, terminals="75 C", feeder_breaker_wanted_a=100)["feeder_size"] == "3"


def test_continuous_load_needs_125_percent_at_terminals_only() -> None:
    """215.2(A)(1): 80 A, all continuous: 100 A at the terminals, 80 A after correction."""
    row = loaded(80, move_continuous_kva=19.2, terminals="75 C")

    assert (row["feeder_load_a"], row["feeder_plain_a"], row["feeder_size"]) == (100, 80, "3")


def test_ampacity_is_the_lesser_column() -> None:
    """6 AWG: 65 A at 75 C, 75 A x 0.82 = 61.5 A corrected at 50 C."""
    row = loaded(55, ambient_c=50, terminals="75 C")

    assert row["feeder_ampacity_a"] == pytest.approx(61.5)


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ({"wiring": "NM-B cable"}, "OK"),
        ({"wiring": "NM-B cable", "feeder_breaker_wanted_a": 110}, "STOP: larger than NM-B cable is made"),
        ({"wiring": "MC cable", "feeder_breaker_wanted_a": 110}, "OK"),
        ({"move_kva": 190}, "STOP: no single conductor of the table passes"),
    ],
)
def test_conductor_state(entries: dict, state: str) -> None:
    """334.104 (from memory): NM-B to 2 AWG; 110 A at 60 C is 1 AWG."""
    assert loaded(90, **entries)["conductor_state"] == state


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ({"wiring": "NM-B cable", "trench_ft": 1}, "STOP: this wiring method is not for burial"),
        ({"wiring": "SER cable", "trench_ft": 1}, "STOP: this wiring method is not for burial"),
        ({"wiring": "FMC", "trench_ft": 1, "room": "outdoors"}, "STOP: this wiring method is not for burial"),
        ({"wiring": "EMT", "trench_ft": 1}, "OK"),
        ({"wiring": "NM-B cable", "wet_location": "yes"}, "STOP: NM-B cable is for dry places indoors"),
        ({"wiring": "NM-B cable", "room": "outdoors"}, "STOP: NM-B cable is for dry places indoors"),
        ({"wiring": "MC cable", "wet_location": "yes"}, "CHECK: only where listed for wet places"),
        ({"wiring": "FMC", "room": "outdoors"}, "CHECK: only where listed for wet places"),
        ({"wiring": "SER cable", "room": "outdoors"}, "OK"),
    ],
)
def test_wiring_state(entries: dict, state: str) -> None:
    """334.12, 338.12, 330.12, 348.12."""
    assert loaded(50, **entries)["wiring_state"] == state


@pytest.mark.parametrize(
    ("entries", "amperes"),
    [
        ({"move_kva": 48}, 200),
        ({"move_kva": 72}, 270),
        ({"move_kva": 62.4, "line_v": 208}, 300),
        ({"move_kva": 24, "add_range_kw": 12}, 123.333333),
        ({"move_kva": 24, "add_dryer_kw": 6}, 117.5),
        ({"move_kva": 20.8, "add_dryer_kw": 6, "line_v": 208}, 128.846154),
        ({"move_kva": 24, "add_spa_kva": 2.4, "add_other_kva": 1.2}, 115),
        ({"move_kva": 24, "add_spa_kva": 2.4, "planned_in": "main panel", "main_spaces_used": 9}, 100),
        ({"move_kva": 24, "add_water_heater_kw": 4, "add_ev_a": 40, "add_heat_pump_kva": 5}, 100),
    ],
)
def test_feeder_neutral(entries: dict, amperes: float) -> None:
    """220.61: range and dryer 70 %, over 200 A 70 %, nothing reduced on a wye, no 240 V load."""
    assert results_of(**entries)["feeder_neutral_a"] == pytest.approx(amperes, abs=1e-6)


@pytest.mark.parametrize(
    ("breaker", "material", "size"),
    [(60, "copper", "10"), (70, "copper", "8"), (100, "copper", "8"), (110, "copper", "6"),
     (200, "copper", "6"), (225, "copper", "4"), (100, "aluminum", "6"), (400, "aluminum", "1")],
)  # fmt: skip
def test_grounding_table(breaker: float, material: str, size: str) -> None:
    """Table 250.122."""
    row = loaded(10, feeder_breaker_wanted_a=breaker, material=material, terminals="75 C")

    assert (row["egc_table_size"], row["egc_needed"]) == (size, size)


@pytest.mark.parametrize(("edition", "size"), [(2017, "6"), (2020, "10"), (2023, "10")])
def test_grounding_grows_with_an_increase_for_ambient_only_in_2017(edition: int, size: str) -> None:
    """250.122(B): 6 to 4 AWG at 55 C is 41,740 / 26,240 x 10,380 = 16,511, just over 8 AWG (16,510)."""
    row = loaded(60, ambient_c=55, terminals="75 C", code_edition=edition)

    assert (row["feeder_size"], row["egc_needed"]) == ("4", size)


@pytest.mark.parametrize("edition", [2017, 2020, 2023])
def test_grounding_grows_with_an_increase_for_voltage_drop(edition: int) -> None:
    """6 to 2 AWG: 66,360 over 26,240 times 10,380 is 26,250: over 6 AWG (26,240), so 4 AWG."""
    row = loaded(50, run_ft=320, drop_governs="yes", terminals="75 C", code_edition=edition)

    assert row["feeder_size"] == "2"
    assert row["egc_needed"] == "4"


def test_grounding_is_never_larger_than_the_ungrounded_conductors() -> None:
    """10 AWG behind 30 A would need 10 AWG by its table, and grows in step with them."""
    row = loaded(
        20, feeder_breaker_wanted_a=20, run_ft=150, drop_governs="yes", terminals="75 C", drop_limit_percent=1
    )

    assert row["egc_table_size"] == "12"
    assert row["egc_needed"] == row["feeder_size"]


@pytest.mark.parametrize(
    ("wanted", "size", "state"),
    [
        (None, "8", "OK"),
        ("6", "6", "OK"),
        ("8", "8", "OK"),
        ("10", "10", "STOP: the grounding conductor wanted is too small"),
    ],
)
def test_grounding_conductor_wished_for(wanted: str | None, size: str, state: str) -> None:
    row = loaded(100, egc_wanted=wanted)

    assert (row["egc_size"], row["egc_state"]) == (size, state)


@pytest.mark.parametrize(
    ("entries", "size"),
    [
        ({}, "1"),
        ({"neutral": "calculated", "move_neutral_kva": 24}, "1"),
        ({"neutral": "calculated", "move_neutral_kva": 12}, "6"),
        ({"neutral": "calculated", "move_neutral_kva": 0}, "8"),
        ({"neutral": "calculated", "move_neutral_kva": 12, "ambient_c": 60}, "6"),
        ({"neutral": "calculated", "move_neutral_kva": 13, "ambient_c": 60}, "4"),
    ],
)
def test_neutral_is_full_or_by_its_load_and_the_grounding_table(entries: dict, size: str) -> None:
    """215.2(A)(2): 100 A; 50 A is 6 AWG at 60 C; at least 8 AWG by Table 250.122.

    At 60 C 6 AWG keeps 0.71 of its 75 A, 53.25 A: enough for 50 A, not for 54.2 A.
    """
    assert loaded(100, **entries)["neutral_size"] == size


@pytest.mark.parametrize(
    ("entries", "size"),
    [
        ({"panel_place": "same building"}, ""),
        ({}, "8"),
        ({"move_kva": 36}, "6"),
        ({"move_kva": 48, "electrode": "water pipe"}, "4"),
        ({"move_kva": 48}, "6"),
        ({"move_kva": 48, "electrode": "concrete encased"}, "4"),
        ({"move_kva": 90, "electrode": "water pipe"}, "1/0"),
        ({"move_kva": 90, "electrode": "concrete encased"}, "4"),
        ({"move_kva": 90}, "6"),
        ({"move_kva": 48, "electrode": "water pipe", "material": "aluminum"}, "4"),
    ],
)
def test_electrode_conductor_of_another_building(entries: dict, size: str) -> None:
    """Table 250.66: to 2 AWG 8; 1 and 1/0 6; 2/0 and 3/0 4; over 350 to 600 kcmil 1/0.

    100 A on marked terminals is 3 AWG, 150 A 1/0, 200 A 3/0 (aluminum 250 kcmil), 375 A 500 kcmil.
    """
    place = {"panel_place": "other building", "terminals": "75 C"}

    assert loaded(100, **place | entries)["gec_size"] == size


@pytest.mark.parametrize(
    ("entries", "size"),
    [
        ({}, "6"),
        ({"drop_governs": "yes"}, "6"),
        ({"drop_governs": "yes", "run_ft": 160}, "6"),
        ({"drop_governs": "yes", "run_ft": 200}, "4"),
        ({"drop_governs": "yes", "run_ft": 1100}, "300"),
        ({"drop_governs": "yes", "run_ft": 2000}, ""),
        ({"drop_governs": "yes", "run_ft": 2000, "drop_limit_percent": 0.5}, ""),
        ({"drop_governs": "yes", "run_ft": 2000, "move_kva": 0}, "6"),
    ],
)
def test_voltage_drop_enlarges_the_conductors_where_it_governs(entries: dict, size: str) -> None:
    """Table 9, power factor 0.85 (its sine is 0.5268): 6 AWG has 0.4434 ohm/kft, 4 AWG 0.2888.

    50 A may have 0.45 over 160 ft and 0.36 over 200 ft. Over 1100 ft it may have 0.0655:
    250 kcmil has 0.0658, 300 kcmil 0.0585. Over 2000 ft 0.036: 750 kcmil has 0.0362.
    """
    assert loaded(50, terminals="75 C", **entries)["feeder_size"] == size


def test_voltage_drop_by_impedance_and_by_resistance() -> None:
    """6 AWG in PVC, 50 A over 100 ft: 10 x (0.49 x 0.85 + 0.051 x 0.526783) = 4.43366 V; Table 8: 4.91 V."""
    row = loaded(50, run_ft=100, terminals="75 C")

    assert row["voltage_drop_percent"] == pytest.approx(4.43366 / 2.4, abs=1e-5)
    assert row["drop_table8_percent"] == pytest.approx(4.91 / 2.4, abs=1e-5)


@pytest.mark.parametrize(
    ("wiring", "key"),
    [("PVC 80", "aluminum PVC"), ("EMT", "aluminum steel"), ("FMC", "aluminum steel"),
     ("LFNC", "aluminum PVC"), ("SER cable", "aluminum PVC")],
)  # fmt: skip
def test_impedance_column(wiring: str, key: str) -> None:
    assert loaded(50, wiring=wiring, material="aluminum")["impedance_key"] == key


@pytest.mark.parametrize(("run", "state"), [(162, "OK"), (163, "CHECK: the voltage drop is over the target")])
def test_voltage_drop_over_the_target_is_checked(run: float, state: str) -> None:
    """3 % of 240 V is 7.2 V; 4.43366 V each 100 ft reach it at 162.4 ft."""
    assert loaded(50, run_ft=run, terminals="75 C")["drop_state"] == state


def test_power_factor_of_each_edition_is_its_own() -> None:
    """A parameter that is replaced changes the drop: power factor 1 leaves the resistance."""
    jobs = plain_job(move_kva=12, run_ft=100, terminals="75 C")
    found = calculate(jobs, overrides={"power_factor": 1.0})["voltage_drop_percent"][0]

    assert found == pytest.approx(4.9 / 2.4, abs=1e-6)
