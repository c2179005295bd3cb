"""The circuit of each new vehicle unit. Sizes from Table 310.16 and 240.4(D), read beside the code tables."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.reference.run import calculate

from .jobs import plain_job, results_of
from .toys import said

CIRCUIT = ("ev_circuit_least_a", "ev_breaker_a", "ev_size_raceway", "ev_size_cable", "ev_connection")


@pytest.mark.parametrize("edition", [2017, 2020, 2023, 2026])
@pytest.mark.parametrize(
    ("unit", "circuit"),
    [(16, (20, 20, "12", "12")), (24, (30, 30, "10", "10")), (28, (35, 35, "8", "8")), (32, (40, 40, "8", "8")),
     (40, (50, 50, "8", "6")), (48, (60, 60, "6", "4"))],
)  # fmt: skip
def test_breaker_and_copper_of_a_unit(unit: float, circuit: tuple, edition: int) -> None:
    """625.41: 125 percent. At 75 C 8 AWG is 50 A and 6 AWG 65 A; at 60 C 8 is 40, 6 is 55, 4 is 70; 10 AWG holds to
    a 30 A breaker and 12 AWG to one of 20 A."""
    row = results_of(add_ev_a=unit, code_edition=edition)

    assert tuple(row[list(CIRCUIT[:4])]) == circuit


@pytest.mark.parametrize(
    "entries", [{}, {"add_ev_connection": "receptacle"}, {"add_ev_a": 48, "add_ev_count": 0}]
)
def test_no_new_unit_has_no_circuit(entries: dict) -> None:
    row = results_of(**entries)

    assert row[list(CIRCUIT[:2])].isna().all()
    assert row[list(CIRCUIT[2:])].tolist() == ["", "", ""]
    assert row["point_ev_connection"] == "OK"


def test_a_circuit_over_the_standard_ratings_is_blank() -> None:
    """800 A is the last rating kept; 80 A ten times and a bit are more."""
    row = calculate(plain_job(add_ev_a=80), overrides={"continuous_rate": 9.1}).iloc[0]

    assert row["ev_circuit_least_a"] == 808
    assert np.isnan(row["ev_breaker_a"])
    assert (row["ev_size_raceway"], row["ev_size_cable"], row["ev_connection"]) == ("", "", "hardwired")


def test_a_circuit_over_the_largest_conductor_has_no_size() -> None:
    """750 kcmil is 475 A at 75 C."""
    sizes = [said("ev_size_raceway", ev_circuit_least_a=amperes, ev_small_index=1) for amperes in (475, 475.1)]

    assert [size > 0 for size in sizes] == [True, False]


def test_cable_is_made_to_two_awg() -> None:
    """334.104: 14 AWG to 2 AWG in copper; 2 AWG carries 95 A at 60 C (Table 310.16)."""
    row, over = results_of(add_ev_a=76), results_of(add_ev_a=76.1)

    assert (row["ev_circuit_least_a"], row["ev_size_cable"]) == (95, "2")
    assert (over["ev_size_cable"], over["ev_size_raceway"]) == ("", "3")


@pytest.mark.parametrize(
    ("unit", "edition", "given", "connection"),
    [
        (40, 2017, None, "receptacle"),
        (40.001, 2017, None, "hardwired"),
        (40, 2023, None, "receptacle"),
        (40.001, 2023, None, "hardwired"),
        (48, 2026, None, "receptacle"),
        (48.001, 2026, None, "hardwired"),
        (16, 2023, "hardwired", "hardwired"),
        (48, 2023, "receptacle", "receptacle"),
    ],
)
def test_connection_of_a_unit(unit: float, edition: int, given: str | None, connection: str) -> None:
    """Vehicle receptacles reach 50 A, in 2026 60 A: the second reading of receptacle_largest names its pages."""
    row = results_of(add_ev_a=unit, code_edition=edition, add_ev_connection=given)

    assert row["ev_connection"] == connection
    assert row["ev_ground_fault"] == (connection == "receptacle")


def test_a_larger_unit_never_gets_a_smaller_circuit() -> None:
    """0.1 A to 80 A in steps of a tenth; a breaker at or above its circuit, the rating under it below."""
    units = np.round(np.arange(1, 801) / 10, 1)
    jobs = pd.DataFrame(
        [plain_job().iloc[0].to_dict() | {"job_no": f"U{amperes}", "add_ev_a": amperes} for amperes in units]
    )
    found = calculate(jobs.astype(object))
    places = {size: place for place, size in enumerate(load().tables["ampacity"].column("size"))}

    for name in ("ev_size_raceway", "ev_size_cable"):
        assert (np.diff(found[name].map(places).dropna()) >= 0).all()
    assert (np.diff(found["ev_breaker_a"]) >= 0).all()
    assert (found["ev_breaker_a"] >= found["ev_circuit_least_a"]).all()
    made = found["ev_size_cable"] != ""
    assert made.tolist() == sorted(made, reverse=True)
    assert (found["ev_size_cable"].map(places) >= found["ev_size_raceway"].map(places))[made].all()
