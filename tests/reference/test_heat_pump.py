"""The circuit of a new heat pump. Ratings of Table 240.6(A) and sizes of Table 310.16, read beside the code tables."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.reference.run import calculate

from .jobs import plain_job, results_of
from .toys import said

SIZES = ("hp_size_raceway", "hp_size_cable")


@pytest.mark.parametrize(
    ("most", "breaker"),
    [(14.9, np.nan), (15, 15), (19.9, 15), (47, 45), (50, 50), (59, 50), (60, 60), (69.9, 60), (200, 200)],
)
def test_breaker_is_at_or_under_the_most_of_the_nameplate(most: float, breaker: float) -> None:
    """440.22(C), 110.3(B): not rounded up; 45, 50, 60 and 70 A are ratings, 55 and 65 A are none."""
    found = results_of(add_heat_pump_kva=2, hp_mocp_a=most)["hp_breaker_a"]

    assert found == pytest.approx(breaker, nan_ok=True)


@pytest.mark.parametrize("edition", [2017, 2020, 2023, 2026])
@pytest.mark.parametrize(
    ("least", "raceway", "cable"),
    [(0.1, "14", "14"), (15, "14", "14"), (15.1, "14", "12"), (20, "14", "12"), (20.5, "12", "10"), (22, "12", "10"),
     (25, "12", "10"), (25.1, "10", "10"), (30, "10", "10"), (33.3, "10", "8"), (44, "8", "6"), (65, "6", "4"),
     (95, "3", "2"), (95.1, "3", ""), (200, "3/0", "")],
)  # fmt: skip
def test_copper_carries_the_least_of_the_nameplate(least: float, raceway: str, cable: str, edition: int) -> None:
    """440.35, 240.4(G): at 75 C 14 AWG is 20 A, 12 AWG 25 A, 10 AWG 35 A, 8 AWG 50 A; at 60 C 15, 20, 30 and 40 A.
    Cable is made to 2 AWG (334.104), which carries 95 A at 60 C."""
    row = results_of(add_heat_pump_kva=2, hp_mca_a=least, code_edition=edition)

    assert tuple(row[list(SIZES)]) == (raceway, cable)


@pytest.mark.parametrize(
    "entries",
    [{}, {"hp_mca_a": 25, "hp_mocp_a": 40}, {"add_heat_pump_kva": 4.8}, {"add_heat_pump_kva": 4.8, "hp_mca_a": 0, "hp_mocp_a": 0}],
)  # fmt: skip
def test_without_a_new_unit_or_its_nameplate_there_is_no_circuit(entries: dict) -> None:
    row = results_of(**entries)

    assert row[["hp_breaker_a", "hp_raceway_index", "hp_cable_index"]].isna().all()
    assert row[list(SIZES)].tolist() == ["", ""]


def test_over_the_largest_conductor_there_is_no_size() -> None:
    """750 kcmil is 475 A at 75 C (Table 310.16); a nameplate of a house never gets there."""
    index = [said("hp_raceway_index", add_heat_pump_kva=60, hp_mca_a=amperes) for amperes in (475, 475.1)]

    assert index == [20, 21]
    assert [said("hp_size_raceway", hp_raceway_index=place) for place in (20, 21, None)] == [20, 0, 0]


def test_other_columns_of_temperature_are_followed() -> None:
    """A local rule: at 60 C on both ends 12 AWG is too small for 22 A; at 75 C as cable it is enough."""
    job = plain_job(add_heat_pump_kva=4, hp_mca_a=22)
    cool, hot = (calculate(job, overrides=rule).iloc[0] for rule in ({"terminal_marked": 60}, {"terminal_unmarked": 75}))

    assert (cool["hp_size_raceway"], hot["hp_size_cable"]) == ("10", "12")


def test_a_larger_nameplate_never_gets_less() -> None:
    """0.5 A to 200 A in steps of a half; the breaker at or under the most of the nameplate."""
    amperes = np.arange(1, 401) / 2
    jobs = pd.DataFrame([
        plain_job().iloc[0].to_dict()
        | {"job_no": f"H{one}", "add_heat_pump_kva": 30, "hp_mca_a": one, "hp_mocp_a": one}
        for one in amperes
    ])  # fmt: skip
    found = calculate(jobs.astype(object))
    places = {size: place for place, size in enumerate(load().tables["ampacity"].column("size"))}
    given = found["hp_breaker_a"].notna()

    for name in SIZES:
        assert (np.diff(found[name].map(places).dropna()) >= 0).all()
    assert (np.diff(found.loc[given, "hp_breaker_a"]) >= 0).all()
    assert (found["hp_breaker_a"] <= found["hp_mocp_a"])[given].all()
    assert given.tolist() == (amperes >= 15).tolist()
