"""Fill of the raceway, moved circuits inside it, burial and expansion.

Expected numbers are worked by hand from Chapter 9 and the tables named.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import BLANK, Choice
from workbook_builder.reference.raceway import raceway_index
from workbook_builder.reference.registry import function_of
from workbook_builder.reference.run import calculate

from .jobs import plain_job, results_of
from .toys import said


def hundred(**entries: object) -> pd.Series:
    """A feeder of 100 A on marked terminals: 3 AWG copper, 8 AWG ground, in PVC."""
    return results_of(**{"move_kva": 24, "terminals": "75 C"} | entries)


@pytest.mark.parametrize(
    ("entries", "inside", "carrying", "count"),
    [
        ({}, 0, 2, 4),
        ({"move_1pole": 2}, 0, 2, 4),
        ({"move_1pole": 2, "moved_in_raceway": "yes"}, 2, 6, 10),
        ({"move_1pole": 2, "move_2pole": 1, "moved_in_raceway": "yes"}, 3, 8, 14),
        ({"move_1pole": 1, "moved_in_raceway": "yes", "line_v": 208}, 1, 5, 7),
    ],
)
def test_conductors_in_the_raceway(entries: dict, inside: int, carrying: int, count: int) -> None:
    """A one-pole circuit: hot, neutral, ground; a two-pole: two hots, neutral, ground; two carry current."""
    row = hundred(**entries)

    assert row[["moved_inside", "current_carrying_conductors", "conductor_count"]].tolist() == [
        inside,
        carrying,
        count,
    ]


def test_areas_of_the_feeder() -> None:
    """Table 5, THHN: 3 AWG 0.0973, 8 AWG 0.0366 in2; three and one make 0.3285."""
    row = hundred()

    assert (row["hot_area_in2"], row["neutral_area_in2"], row["egc_area_in2"]) == (0.0973, 0.0973, 0.0366)
    assert row["conductor_area_in2"] == pytest.approx(0.3285)


def test_bare_ground_takes_its_area_from_table_8() -> None:
    """8 AWG stranded, bare: 0.017 in2."""
    assert hundred(insulated_egc="no")["egc_area_in2"] == 0.017


@pytest.mark.parametrize(
    ("insulation", "hot"), [("THHN/THWN-2", 0.0973), ("XHHW-2", 0.0962), ("THW", 0.1134)]
)
def test_area_by_insulation(insulation: str, hot: float) -> None:
    assert hundred(insulation=insulation)["hot_area_in2"] == hot


@pytest.mark.parametrize(
    ("entries", "area"),
    [
        ({"move_1pole": 2}, 0),
        ({"move_1pole": 2, "moved_in_raceway": "yes"}, 4 * 0.0133 + 2 * 0.0133),
        ({"move_2pole": 1, "moved_in_raceway": "yes"}, 3 * 0.0133 + 0.0133),
        ({"move_1pole": 1, "moved_in_raceway": "yes", "insulated_egc": "no"}, 2 * 0.0133 + 0.006),
        ({"move_1pole": 1, "moved_in_raceway": "yes", "moved_wire": "8"}, 2 * 0.0366 + 0.0211),
    ],
)
def test_area_of_the_moved_circuits(entries: dict, area: float) -> None:
    """12 AWG 0.0133, 8 AWG 0.0366, ground of a 40 A circuit 10 AWG 0.0211 in2; bare 12 AWG 0.006."""
    assert hundred(**entries)["moved_area_in2"] == pytest.approx(area)


@pytest.mark.parametrize(
    ("wire", "breaker", "size"),
    [("14", None, "14"), ("12", None, "12"), ("10", None, "10"), ("8", None, "10"), ("8", 60, "10"),
     ("12", 30, "12"), ("8", 15, "14")],
)  # fmt: skip
def test_ground_of_a_moved_circuit(wire: str, breaker: float | None, size: str) -> None:
    """Table 250.122, never larger than the conductors: 30 A asks for 10 AWG, 12 AWG suffices."""
    assert hundred(moved_wire=wire, moved_breaker_a=breaker)["moved_egc_size"] == size


@pytest.mark.parametrize(
    ("entries", "percent"),
    [
        ({}, 40),
        ({"raceway_in": 24}, 60),
        ({"raceway_in": 24.1}, 40),
        ({"run_ft": 2}, 60),
        ({"run_ft": 3}, 40),
    ],
)
def test_fill_limit(entries: dict, percent: float) -> None:
    """Chapter 9 Table 1: over two conductors 40 %; note 4: a nipple to 24 in 60 %."""
    assert hundred(**entries)["fill_limit_percent"] == percent


@pytest.mark.parametrize(
    ("wiring", "count", "area", "percent", "size"),
    [
        ("EMT", 9, 0.0133, 40, "1/2"),
        ("EMT", 10, 0.0133, 40, "3/4"),
        ("EMT", 16, 0.0133, 40, "3/4"),
        ("EMT", 17, 0.0133, 40, "1"),
        ("EMT", 443, 0.0133, 40, "4"),
        ("PVC 40", 15, 0.0211, 40, "1"),
        ("PVC 40", 16, 0.0211, 40, "1-1/4"),
        ("EMT", 2, 0.1901, 31, "1-1/4"),
    ],
)
def test_published_counts_of_conductors(
    wiring: str, count: int, area: float, percent: float, size: str
) -> None:
    """12 AWG THHN: 9 in 1/2 and 443 in 4 in. EMT (https://forums.mikeholt.com/threads/emt.14681), 16 in 3/4
    (http://www.jlconline.com/wiring-and-cable/q-a--3-4-inch-conduit-capacity.aspx); 10 AWG THWN: 15 in 1 in.
    PVC 40 (http://www.electricianmath.com/areavolume/conduitfilllookups.htm). Two 1 AWG THW (0.1901 in2,
    0.380 in all) are over 31 % of 1 in. EMT, 0.268 in2.
    """
    found = raceway_index(
        raceway_bore=Choice.of((wiring,), wiring),
        conductor_area_in2=np.array([count * area]),
        fill_limit_percent=np.array([float(percent)]),
        percent=100,
    )

    assert lookup.trade_sizes()[int(found[0]) - 1] == size


@pytest.mark.parametrize(
    ("entries", "bore", "size"),
    [
        ({}, "PVC 40", "1"),
        ({"panel_place": "other building"}, "PVC 80", "1-1/4"),
        ({"wiring": "PVC 80"}, "PVC 80", "1-1/4"),
        ({"wiring": "EMT", "panel_place": "other building"}, "EMT", "1"),
        ({"raceway_in": 24}, "PVC 40", "1"),
        ({"raceway_in": 24, "move_kva": 14.4}, "PVC 40", "3/4"),
    ],
)
def test_raceway_size(entries: dict, bore: str, size: str) -> None:
    """0.3285 in2: 1 in. PVC 40 holds 0.3326 at 40 %, PVC 80 0.2752; 3/4 holds 0.3046 at 60 %.

    60 A is three of 6 AWG and one of 10 AWG: 0.1732 in2, over 60 % of 1/2 in. (0.1708).
    """
    row = hundred(**entries)

    assert (row["raceway_bore"], row["raceway_size"]) == (bore, size)


def test_fill_is_the_share_of_the_whole_bore() -> None:
    """0.3285 over pi/4 times 1.029 squared (0.831621 in2)."""
    assert hundred()["raceway_fill_percent"] == pytest.approx(39.5012, abs=1e-3)


@pytest.mark.parametrize(("wiring", "index", "size"), [("LFNC", 7, ""), ("EMT", 8, "3"), ("PVC 40", 8, "3")])
def test_raceway_that_is_not_made_large_enough_stops(wiring: str, index: int, size: str) -> None:
    """400 A: 600 kcmil, full neutral, 3 AWG: 2.7001 in2; LFNC ends at 2 in.

    2-1/2 in. EMT holds 2.343 in2 at 40 %, 3 in. 3.538; PVC 40 3 in. 2.907.
    """
    row = results_of(move_kva=96, service_a=400, branch_limit_a=0, wiring=wiring)
    stop = "STOP: no trade size of this raceway holds the conductors"

    assert row["conductor_area_in2"] == pytest.approx(3 * 0.8676 + 0.0973)
    assert (row["raceway_index"], row["raceway_size"]) == (index, size)
    assert row["raceway_state"] == (stop if size == "" else "OK")


def test_cable_has_no_raceway() -> None:
    row = hundred(wiring="SER cable")
    numbers = [
        "moved_inside", "current_carrying_conductors", "conductor_count", "hot_area_in2", "neutral_area_in2",
        "egc_area_in2", "moved_area_in2", "conductor_area_in2", "fill_limit_percent", "raceway_index",
        "raceway_fill_percent", "moved_wire_ampacity_a", "cover_in", "expansion_in",
    ]  # fmt: skip

    assert row[numbers].isna().all()
    assert (row["raceway_bore"], row["raceway_size"], row["raceway_state"]) == ("", "", "OK")
    assert (row["expansion_fitting"], row["adjustment_factor"]) == ("", 1)


@pytest.mark.parametrize(
    ("entries", "ampacity", "state"),
    [
        ({"move_1pole": 1}, 20, "OK"),
        ({"move_1pole": 3}, 20, "OK"),
        ({"move_1pole": 4}, 15, "STOP: the moved conductors carry less than their breaker"),
        ({"move_1pole": 4, "moved_breaker_a": 15}, 15, "OK"),
        ({"move_1pole": 4, "raceway_in": 20}, 20, "OK"),
        ({"move_1pole": 1, "terminals": "75 C"}, 24, "OK"),
        (
            {"move_1pole": 1, "terminals": "75 C", "moved_breaker_a": 25},
            24,
            "STOP: the moved conductors carry less than their breaker",
        ),
        (
            {"move_1pole": 1, "terminals": "75 C", "moved_breaker_a": 22},
            24,
            "STOP: the breaker is too large for the moved conductors",
        ),
        ({"move_1pole": 1, "moved_wire": "8", "terminals": "75 C"}, 44, "OK"),
    ],
)
def test_moved_conductors_behind_their_breaker(entries: dict, ampacity: float, state: str) -> None:
    """12 AWG: 20 A at 60 C, 30 A at 90 C times 0.8, 0.7 or 0.5; 240.4(D): 20 A. 8 AWG: 55 A times 0.8."""
    row = results_of(**{"move_kva": 5, "moved_in_raceway": "yes"} | entries)

    assert row["moved_wire_ampacity_a"] == pytest.approx(ampacity)
    assert row["moved_state"] == state


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ({"moved_breaker_a": 60}, "STOP: the breaker is too large for the moved conductors"),
        ({"moved_breaker_a": 20}, "OK"),
        ({"moved_breaker_a": 60, "move_1pole": 0}, "OK"),
    ],
)
def test_moved_conductors_outside_the_raceway_are_judged_as_small_ones(entries: dict, state: str) -> None:
    """240.4(D): 12 AWG behind 20 A, wherever it runs; no correction of the feeder raceway."""
    row = results_of(**{"move_kva": 5, "move_1pole": 4} | entries)

    assert np.isnan(row["moved_wire_ampacity_a"])
    assert row["moved_state"] == state


@pytest.mark.parametrize(
    ("entries", "cover"),
    [
        ({"trench_ft": 0}, np.nan),
        ({}, 18),
        ({"wiring": "RMC"}, 6),
        ({"wiring": "IMC", "cover_case": "driveway"}, 18),
        ({"cover_case": "exterior slab"}, 4),
        ({"cover_case": "rock"}, 2),
        ({"wiring": "EMT"}, 18),
        ({"wiring": "FMC"}, np.nan),
        ({"wiring": "NM-B cable"}, np.nan),
    ],
)
def test_burial_cover(entries: dict, cover: float) -> None:
    """Table 300.5: raceways listed for burial 18 in, rigid and intermediate metal conduit 6 in in a yard."""
    found = results_of(**{"trench_ft": 20} | entries)["cover_in"]

    assert found == pytest.approx(cover, nan_ok=True)


@pytest.mark.parametrize(
    ("entries", "inches", "fitting"),
    [
        ({"exposed_ft": 100, "temp_change_f": 70}, 2.8392, "yes"),
        ({"exposed_ft": 100, "temp_change_f": 70, "in_sun": "yes"}, 4.056, "yes"),
        ({"exposed_ft": 6, "temp_change_f": 100}, 0.24336, "no"),
        ({"exposed_ft": 0}, 0, "no"),
        ({"wiring": "EMT", "exposed_ft": 100}, np.nan, ""),
    ],
)
def test_expansion_of_exposed_pvc(entries: dict, inches: float, fitting: str) -> None:
    """352.44: 2.84 in for 100 ft and 70 F (https://www.mikeholt.com/files/PDF/20UNEC1_352.44.pdf); 1/4 in."""
    row = results_of(**entries)

    assert row["expansion_in"] == pytest.approx(inches, nan_ok=True)
    assert row["expansion_fitting"] == fitting


@pytest.mark.parametrize(
    ("insulation", "size", "inches"),
    [("THHN/THWN-2", "2", 0.384), ("XHHW-2", "2", 0.382), ("THW", "2", 0.412), ("THW", "750", 1.218), ("THHN/THWN-2", None, np.nan)],
)  # fmt: skip
def test_outside_diameter_of_a_conductor(insulation: str, size: str | None, inches: float) -> None:
    """Chapter 9 Table 5, second reading."""
    found = said("conductor_od_in", wiring="RMC", insulation=insulation, feeder_size=size)

    assert found == pytest.approx(inches, nan_ok=True)


def test_a_cable_has_no_diameter_and_no_ratio() -> None:
    row = results_of(wiring="SER cable", raceway_in=240)

    assert row[["conductor_od_in", "jam_ratio"]].isna().all()
    assert row["jam_advice"] == ""


def _ratio(**given: object) -> float:
    two_awg = {"raceway_bore_in": 1.063, "conductor_od_in": 0.384, "neutral_size": "2", "feeder_size": "2"}
    return said("jam_ratio", **two_awg | {"raceway_in": 360} | given)


def test_ratio_of_bore_and_conductor() -> None:
    """Three 2 AWG THHN in 1 in. rigid metal conduit: 2.76, cut at two places, outside 2.8 to 3.2
    (https://forums.mikeholt.com/threads/jam-ratio.94387/page-2)."""
    assert 2.76 <= _ratio() < 2.77


@pytest.mark.parametrize(
    ("given", "blank"),
    [({"raceway_bore_in": None}, True), ({"raceway_in": 24}, True), ({"raceway_in": 24.1}, False),
     ({"neutral_size": "4"}, True), ({"neutral_size": None}, True)],
)  # fmt: skip
def test_ratio_is_of_three_alike_in_a_raceway_with_bends(given: dict, blank: bool) -> None:
    assert np.isnan(_ratio(**given)) == blank


@pytest.mark.parametrize(
    ("ratio", "advised"), [(2.76, False), (2.799999, False), (2.8, True), (3, True), (3.2, True), (3.200001, False), (None, False)]
)  # fmt: skip
def test_three_conductors_jam_from_2_8_to_3_2(ratio: float | None, advised: bool) -> None:
    """Chapter 9 Table 1, informational note 2 (http://forums.mikeholt.com/showthread.php?t=143966)."""
    ratios = np.array([np.nan if ratio is None else ratio])
    place = function_of("jam_advice")(ratios, jam_least=2.8, jam_most=3.2)

    assert place.tolist() == [0 if advised else BLANK]


def test_advice_follows_its_limits_and_names_what_to_do() -> None:
    """0.804 over 0.254 is 3.17: three 6 AWG in 3/4 PVC schedule 40."""
    job = plain_job(wiring="PVC 40", raceway_in=240, feeder_breaker_wanted_a=60, terminals="75 C")
    plain, narrow = (calculate(job, overrides=rules).iloc[0] for rules in ({}, {"jam_most": 3.1}))

    assert (plain["raceway_size"], plain["feeder_size"], plain["neutral_size"]) == ("3/4", "6", "6")
    assert plain["jam_advice"].startswith("At this ratio three conductors alone may jam")
    assert narrow["jam_advice"] == ""
