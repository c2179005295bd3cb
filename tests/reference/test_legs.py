"""Load of the legs of the added panel and the voltage drop of each (arithmetic of Ohm's law).

R and X are those of 6 AWG copper in PVC, Chapter 9 Table 9; the power factor
is 0.85.
"""

from __future__ import annotations

from cmath import exp
from math import acos, radians, sqrt

import pytest

from .circuits import MOVED, listed
from .jobs import results_of

R, X, POWER_FACTOR = 0.49, 0.051, 0.85
EFFECTIVE = R * POWER_FACTOR + X * sqrt(1 - POWER_FACTOR**2)
SMALL = {"wiring": "PVC 40", "material": "copper", "neutral": "full", "run_ft": 80}


def two_legs(on_a: float, on_b: float, **entries: object) -> object:
    """A feeder of 6 AWG copper with listed circuits of these loads, leg by leg."""
    job, _ = listed(
        MOVED | {"position": 1, "load_va": on_a},
        MOVED | {"position": 3, "load_va": on_b},
        **(SMALL | entries),
    )
    assert (job["feeder_size"], job["neutral_size"]) == ("6", "6")
    assert (job["leg_a_va"], job["leg_b_va"]) == (on_a, on_b)
    return job


@pytest.mark.parametrize("load", [600.0, 2400.0, 3333.0])
def test_balanced_legs_have_the_drop_of_two_wires(load: float) -> None:
    """The neutral carries nothing: out and back over the two hot conductors at 240 V."""
    job = two_legs(load, load)
    two_wire = 2 * (2 * load / 240) * 80 / 1000 * EFFECTIVE / 240 * 100

    assert job["drop_leg_a_percent"] == pytest.approx(two_wire, abs=1e-5)
    assert job["drop_leg_b_percent"] == pytest.approx(two_wire, abs=1e-5)
    assert job["voltage_drop_percent"] == pytest.approx(two_wire, abs=1e-5)


@pytest.mark.parametrize(("load", "leg", "other"), [(2400.0, "a", "b"), (900.0, "b", "a")])
def test_a_leg_alone_has_twice_the_one_way_drop_at_120_volts(load: float, leg: str, other: str) -> None:
    """Its neutral lifts the other leg: that one gains what the neutral drops."""
    job = two_legs(load if leg == "a" else 0.0, load if leg == "b" else 0.0)
    one_way = load / 120 * 80 / 1000 * EFFECTIVE / 120 * 100

    assert job[f"drop_leg_{leg}_percent"] == pytest.approx(2 * one_way, abs=1e-5)
    assert job[f"drop_leg_{other}_percent"] == pytest.approx(-one_way, abs=1e-5)


@pytest.mark.parametrize(
    ("on_a", "on_b"), [(2000.0, 2000.0), (3000.0, 500.0), (0.0, 1800.0), (700.0, 2900.0)]
)
def test_legs_of_a_wye_drop_as_their_phasors(on_a: float, on_b: float) -> None:
    """Complex arithmetic: V' = V - Z I - Z (I + I'), leg B a third of a turn behind leg A.

    The drop is the part of the lost voltage that is in phase with the leg.
    """
    job = two_legs(on_a, on_b, line_v=208)
    impedance = complex(R, X) * 80 / 1000
    lag = acos(POWER_FACTOR)
    turns = (1.0, exp(-1j * radians(120)))
    currents = [load / 120 * turn * exp(-1j * lag) for load, turn in zip((on_a, on_b), turns, strict=True)]
    for leg, turn, current in zip("ab", turns, currents, strict=True):
        lost = impedance * current + impedance * sum(currents)
        expected = (lost / turn).real / 120 * 100

        assert job[f"drop_leg_{leg}_percent"] == pytest.approx(expected, abs=2e-5)


def test_currents_of_the_legs() -> None:
    """Half of the line voltage, but 120 V on a 208Y/120 service."""
    job = two_legs(2400.0, 1200.0)
    assert (job["leg_v"], job["leg_a_a"], job["leg_b_a"]) == (120, 20, 10)

    wye = two_legs(2400.0, 1200.0, line_v=208)
    assert (wye["leg_v"], wye["leg_a_a"], wye["leg_b_a"]) == (120, 20, 10)


@pytest.mark.parametrize(
    ("entries", "one_pole", "leg_a", "leg_b"),
    [
        ({}, 0, 0, 0),
        ({"move_1pole": 3}, 1500, 3000, 1500),
        ({"move_1pole": 4}, 1500, 3000, 3000),
        ({"move_1pole": 1, "move_2pole": 1}, 1500, 3750, 2250),
        ({"move_1pole": 3, "move_2pole": 1, "move_kva": 10}, 2000, 6000, 4000),
        ({"move_2pole": 2}, 0, 4500, 4500),
        ({"move_1pole": 1, "add_other_kva": 2}, 1500, 2500, 1000),
    ],
)
def test_without_positions_one_pole_circuits_take_turns_and_the_rest_is_halved(
    entries: dict, one_pole: float, leg_a: float, leg_b: float
) -> None:
    """A given load is shared equally by the poles moved."""
    row = results_of(**entries)

    assert (row["leg_one_pole_va"], row["leg_a_va"], row["leg_b_va"]) == (one_pole, leg_a, leg_b)
    assert row["leg_state"] == "OK"


def test_a_list_without_positions_shares_its_load_by_the_pole() -> None:
    job, _ = listed(MOVED | {"load_va": 700}, MOVED | {"load_va": 100}, MOVED | {"poles": 2, "load_va": 3200})

    assert (job["leg_one_pole_va"], job["leg_a_va"], job["leg_b_va"]) == (1000, 2000, 2000)


def test_what_the_list_leaves_is_halved() -> None:
    """Another planned load of 2 kVA is not in the list."""
    job, _ = listed(
        MOVED | {"position": 1, "load_va": 1500}, MOVED | {"position": 3, "load_va": 500}, add_other_kva=2
    )

    assert (job["leg_a_va"], job["leg_b_va"]) == (2500, 1500)


@pytest.mark.parametrize(
    ("on_a", "on_b", "percent", "over"),
    [(1000.0, 1000.0, 0, False), (1000.0, 800.0, 20, False), (1000.0, 799.0, 20.1, True), (0, 0, 0, False),
     (500.0, 2000.0, 75, True)],
)  # fmt: skip
def test_unbalance_of_the_legs(on_a: float, on_b: float, percent: float, over: bool) -> None:
    job = two_legs(on_a, on_b)

    assert job["leg_unbalance_percent"] == pytest.approx(percent, abs=1e-6)
    assert job["leg_state"] == ("CHECK: the legs differ by more than the target" if over else "OK")
