"""What holds for any job: more load never takes less, and neighbours do not matter."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook_builder.code_tables.load import load
from workbook_builder.reference import run
from workbook_builder.reference.run import calculate, calculate_all

from .circuits import random_circuits
from .jobs import by_themselves, random_jobs

SEEDS = st.integers(min_value=0, max_value=10**6)
MORE = {
    "floor_area_ft2": 500.0,
    "range_kw": 3.0,
    "dryer_kw": 2.0,
    "water_heater_kw": 2.0,
    "ac_kva": 2.0,
    "heat_kw": 2.0,
    "heat_pump_kva": 2.0,
    "ev_a": 10.0,
    "add_heat_pump_aux_kw": 3.0,
    "add_ac_kva": 2.0,
    "add_other_kva": 2.0,
    "add_ev_a": 8.0,
}
"""Fields whose increase is an increase of load, and by how much."""

DEMANDS = (
    "lighting_demand_va", "cooking_nameplate_va", "dryer_demand_va", "ev_va", "hvac_va", "optional_hvac_va",
    "optional_load_va", "existing_beside_va", "existing_inside_va", "new_load_va", "feeder_hvac_va",
)  # fmt: skip


def jobs_of(seed: int, rows: int = 40, **entries: object) -> pd.DataFrame:
    return random_jobs(rows, seed).assign(**entries)


def test_random_jobs_are_mostly_ready_and_reach_every_governing_test() -> None:
    results = calculate(random_jobs(3000, seed=1))

    assert (results["row_state"] == "ready").mean() > 0.9
    governed = {"terminals", "correction", "overcurrent", "voltage drop"}
    assert set(results["size_governed_by"]) >= governed
    assert set(results["feeder_size"]) > {"6", "4", "3", "2", "1", "1/0", "2/0", "250"}


@pytest.mark.parametrize("field", MORE)
@given(seed=SEEDS)
@settings(max_examples=8, deadline=None)
def test_more_of_a_load_never_lowers_a_demand(field: str, seed: int) -> None:
    """Four appliances at 75 % and units of the cooking table may fall, so they are not among these."""
    jobs = jobs_of(seed, heat_zones=1.0, add_heat_zones=0.0, drop_range="no")
    jobs[field] = jobs[field].fillna(0.0)
    more = jobs.assign(**{field: jobs[field] + MORE[field]})
    before, after = calculate(jobs), calculate(more)
    ready = (before["row_state"] == "ready") & (after["row_state"] == "ready")
    before, after = before[ready], after[ready]

    assert ready.any()
    for name in DEMANDS:
        assert (after[name] >= before[name] - 1e-6).all(), name


@given(seed=SEEDS)
@settings(max_examples=10, deadline=None)
def test_a_larger_load_never_takes_a_smaller_conductor_within_one_column(seed: int) -> None:
    """Unmarked terminals change column at 100 A, marked ones do not."""
    jobs = jobs_of(seed, terminals="75 C", feeder_breaker_wanted_a=0.0, planned_in="added panel")
    loads = np.sort(np.random.default_rng(seed).uniform(1, 90, len(jobs)))
    same = pd.DataFrame([jobs.iloc[0]] * len(jobs)).assign(
        job_no=jobs["job_no"].to_numpy(), move_kva=loads, move_neutral_kva=1.0, move_continuous_kva=0.0
    )
    results = calculate(same.assign(load_method="existing dwelling"))
    ready = results[results["row_state"] == "ready"]
    positions = ready["size_chosen"].to_numpy()

    assert (np.diff(positions) >= 0).all()
    assert (np.diff(ready["feeder_breaker_a"].dropna()) >= 0).all()


@given(seed=SEEDS)
@settings(max_examples=10, deadline=None)
def test_the_chosen_conductor_passes_every_test(seed: int) -> None:
    """Terminals, correction, next size up, cable: from the results alone."""
    results = calculate(jobs_of(seed, rows=200))
    sized = results[results["feeder_size"] != ""]

    assert (sized["feeder_ampacity_a"] >= sized["feeder_plain_a"] - 1e-5).all()
    assert (sized["feeder_ampacity_a"] > sized["breaker_below_a"] - 1e-5).all()
    assert (sized["feeder_ampacity_a"] >= sized["overcurrent_floor_a"] - 1e-5).all()
    governed = sized[(sized["drop_governs"] == "yes") & (sized["feeder_plain_a"] > 0)]
    assert (governed["drop_state"] == "OK").all()
    held = results[results["raceway_size"] != ""]
    assert (held["raceway_fill_percent"] <= held["fill_limit_percent"] + 1e-6).all()


@given(seed=SEEDS)
@settings(max_examples=8, deadline=None)
def test_order_of_rows_changes_nothing(seed: int) -> None:
    jobs = jobs_of(seed)
    shuffled = jobs.sample(frac=1.0, random_state=seed % 1000)

    pd.testing.assert_frame_equal(calculate(jobs), calculate(shuffled).loc[jobs.index])


@given(seed=SEEDS)
@settings(max_examples=8, deadline=None)
def test_blank_rows_change_nothing(seed: int) -> None:
    jobs = jobs_of(seed)
    spread = jobs.set_index(jobs.index * 2).reindex(range(2 * len(jobs)))
    results = calculate(spread)
    filled = results.iloc[::2].reset_index(drop=True)

    pd.testing.assert_frame_equal(calculate(jobs), filled, check_dtype=False)
    assert set(results["row_state"].iloc[1::2]) == {""}
    assert results.iloc[1::2].replace("", np.nan).isna().all(axis=None)


@given(seed=SEEDS)
@settings(max_examples=4, deadline=None)
def test_one_row_has_the_results_it_has_in_a_frame(seed: int) -> None:
    jobs = jobs_of(seed, rows=12)
    alone = pd.concat([calculate(jobs.iloc[[place]]) for place in range(len(jobs))])

    pd.testing.assert_frame_equal(by_themselves(calculate(jobs)), by_themselves(alone), check_dtype=False)


@given(seed=SEEDS)
@settings(max_examples=4, deadline=None)
def test_object_columns_have_the_results_of_typed_ones(seed: int) -> None:
    """A file reader gives every cell as an object, blanks as None."""
    jobs = jobs_of(seed)
    cells = jobs.astype(object).where(jobs.notna(), None)

    pd.testing.assert_frame_equal(calculate(jobs), calculate(cells))


def test_blocks_of_rows_do_not_show(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ready and other rows, in blocks that end within both."""
    jobs = random_jobs(50, seed=3)
    jobs.loc[[3, 17, 18, 19, 20, 49], "service_a"] = np.nan
    jobs.loc[[8, 9, 10, 11, 12, 13, 14, 15], "service_a"] = 1.0
    whole = calculate(jobs)
    monkeypatch.setattr(run, "BLOCK", 4)

    pd.testing.assert_frame_equal(whole, calculate(jobs))


@pytest.mark.parametrize(("kind", "places"), [("number", 6), ("fine", 12)])
def test_every_number_is_rounded_as_its_kind_asks(kind: str, places: int) -> None:
    found = 0
    for results in calculate_all(random_jobs(500, seed=4), random_circuits(2000, jobs=500, seed=4)):
        numbers = [one.name for one in load().rules.values() if one.kind == kind and one.name in results]
        values = results[numbers].to_numpy().ravel()
        values = values[~np.isnan(values)]
        found += len(values)

        assert [value for value in values.tolist() if float(f"{value:.{places}f}") != value] == []
    assert found > 1000
