"""What must hold between two jobs that differ in one entry, over thousands of generated jobs.

Stated exceptions: a count that changes a demand factor (a fourth appliance, a
fourth heating unit) may lower a load, a nipple may carry what a longer raceway
does not, and a size is only compared within one terminal column.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from workbook_builder.code_tables.fields import WIRE_SIZES
from workbook_builder.reference.run import calculate

from .job_frames import random_jobs

COUNT = 3000
SLACK = 2e-6


@pytest.fixture(scope="module")
def jobs() -> pd.DataFrame:
    return random_jobs(COUNT, seed=11)


@pytest.fixture(scope="module")
def results(jobs: pd.DataFrame) -> pd.DataFrame:
    return calculate(jobs)


def _changed(jobs: pd.DataFrame, **entries: object) -> pd.DataFrame:
    frame = jobs.copy()
    for name, value in entries.items():
        frame[name] = value
    return calculate(frame)


def _ready(*frames: pd.DataFrame) -> pd.Series:
    return np.logical_and.reduce([frame["row_state"] == "ready" for frame in frames])


def _positions(sizes: pd.Series) -> pd.Series:
    return sizes.map({size: place for place, size in enumerate(WIRE_SIZES)}).astype(float)


def _never_lower(before: pd.Series, after: pd.Series, where: pd.Series) -> None:
    both = where & before.notna() & after.notna()

    assert both.sum() > COUNT / 10
    assert (after[both] >= before[both] - SLACK).all()


@pytest.mark.parametrize(
    "load", ["standard_load_va", "optional_load_va", "existing_dwelling_load_va", "existing_load_va", "service_neutral_va"]
)
def test_more_area_never_lowers_a_load(jobs: pd.DataFrame, results: pd.DataFrame, load: str) -> None:
    larger = _changed(jobs, floor_area_ft2=[min(20000, (area or 0) * 1.3) for area in jobs["floor_area_ft2"]])

    _never_lower(results[load], larger[load], _ready(results, larger))


@pytest.mark.parametrize("field", ["add_ev_a", "add_heat_pump_kva", "add_dryer_kw", "add_other_kva", "dryer_kw", "ac_kva"])
def test_a_larger_load_never_lowers_the_service_load(jobs: pd.DataFrame, results: pd.DataFrame, field: str) -> None:
    """One nameplate grows by a tenth where it is there, so no count changes."""
    top = {"add_ev_a": 80, "add_heat_pump_kva": 60}.get(field, 1e9)
    larger = _changed(jobs, **{field: [None if v is None else min(top, v * 1.1) for v in jobs[field]]})

    for load in ("total_load_va", "standard_load_va", "optional_load_va", "existing_dwelling_load_va"):
        _never_lower(results[load], larger[load], _ready(results, larger))


def _heavier(jobs: pd.DataFrame) -> pd.DataFrame:
    return _changed(jobs, move_kva=[None if kva is None else kva * 1.2 for kva in jobs["move_kva"]])


def test_more_load_never_lowers_the_breaker_needed(jobs: pd.DataFrame, results: pd.DataFrame) -> None:
    _never_lower(results["feeder_needed_a"], _heavier(jobs)["feeder_needed_a"], _ready(results))


def test_more_load_never_lowers_the_size_within_a_terminal_column(jobs: pd.DataFrame, results: pd.DataFrame) -> None:
    heavier = _heavier(jobs)
    same = (heavier["terminal_c"] == results["terminal_c"]) & _ready(results, heavier)

    _never_lower(_positions(results["feeder_size"]), _positions(heavier["feeder_size"]), same)


def test_a_longer_run_never_lowers_the_drop_of_a_size(jobs: pd.DataFrame, results: pd.DataFrame) -> None:
    longer = _changed(jobs, run_ft=[min(2000, (run or 10) * 1.5) for run in jobs["run_ft"]])
    same = (longer["feeder_size"] == results["feeder_size"]) & _ready(results, longer)

    for drop in ("voltage_drop_percent", "drop_table8_percent"):
        _never_lower(results[drop], longer[drop], same)


def test_a_warmer_place_never_raises_an_ampacity(jobs: pd.DataFrame, results: pd.DataFrame) -> None:
    warmer = _changed(jobs, ambient_c=[min(85, (30 if ambient is None else ambient) + 7) for ambient in jobs["ambient_c"]])
    same = (warmer["feeder_size"] == results["feeder_size"]) & _ready(results, warmer)

    _never_lower(warmer["feeder_ampacity_a"], results["feeder_ampacity_a"], same)
    _never_lower(warmer["correction"], results["correction"], _ready(results, warmer))


def test_more_conductors_never_raise_an_ampacity(jobs: pd.DataFrame, results: pd.DataFrame) -> None:
    more = _changed(jobs, move_1pole=[min(40, (n or 0) + 3) for n in jobs["move_1pole"]])

    _never_lower(more["adjustment_factor"], results["adjustment_factor"], _ready(results, more))


def test_a_larger_conductor_area_never_picks_a_smaller_raceway(jobs: pd.DataFrame, results: pd.DataFrame) -> None:
    more = _changed(jobs, move_1pole=[min(40, (n or 0) + 3) for n in jobs["move_1pole"]])
    grown = more["conductor_area_in2"] >= results["conductor_area_in2"]

    _never_lower(results["raceway_index"], more["raceway_index"], grown & _ready(results, more))


def test_the_allowable_ampacity_carries_the_load_and_fits_the_breaker(results: pd.DataFrame) -> None:
    """240.4(B), written a second time: at or above the breaker, or in the gap just below it."""
    there = results[results["feeder_ampacity_a"].notna()]
    fits = (there["feeder_ampacity_a"] >= there["feeder_breaker_a"] - SLACK) | (
        there["feeder_ampacity_a"] > there["breaker_below_a"] + SLACK
    )

    assert len(there) > COUNT / 2
    assert fits.all()
    assert (there["feeder_ampacity_a"] >= there["feeder_plain_a"] - SLACK).all()


def test_fill_is_within_its_limit(results: pd.DataFrame) -> None:
    there = results[results["raceway_fill_percent"].notna()]

    assert len(there) > COUNT / 4
    assert (there["raceway_fill_percent"] <= there["fill_limit_percent"] + SLACK).all()


def test_the_grounding_conductor_is_never_larger_than_the_ungrounded(results: pd.DataFrame) -> None:
    assert not (_positions(results["egc_needed"]) > _positions(results["feeder_size"])).any()


def test_row_order_and_blank_rows_change_nothing(jobs: pd.DataFrame, results: pd.DataFrame) -> None:
    order = np.random.default_rng(5).permutation(COUNT)
    spread = jobs.iloc[order].reset_index(drop=True)
    spread.index = spread.index * 2
    spread = spread.reindex(range(2 * COUNT))
    shuffled = calculate(spread).iloc[::2]

    expected = results.iloc[order]
    for name in ("row_state", "total_load_va", "feeder_size", "raceway_size", "egc_size", "moved_state", "controlled_load_a"):
        left, right = shuffled[name].to_numpy(), expected[name].to_numpy()
        assert ((left == right) | (pd.isna(left) & pd.isna(right))).all(), name


def test_editions_with_the_same_values_give_the_same_results(jobs: pd.DataFrame) -> None:
    """What differs between 2017 and 2020 is made equal by local rules: the smallest appliance of the group,
    the base of a grown grounding conductor, and devices that only the later edition asks for."""
    devices = dict.fromkeys(("surge_service", "emergency_disconnect", "gfci_dryer", "gfci_outdoor"), 1.0)
    rules = devices | {"appliance_minimum": 500.0, "egc_base_uncorrected": 1.0}
    old, new = (calculate(jobs.assign(code_edition=edition), overrides=rules) for edition in (2017.0, 2020.0))
    different = [
        name
        for name in old.columns
        if name not in {"code_edition", "edition_index"}
        and not ((old[name] == new[name]) | (old[name].isna() & new[name].isna())).all()
    ]

    assert different == []
