"""Difficulty, hours, prices, their lines and their range, worked by hand with toy books."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.reference.run import calculate

from .jobs import plain_job, results_of
from .prices import Points, books_with

ONE = {key: 1.0 for key in load().books.keys("factors")}
WAGE = {key: 30.0 for key in load().books.keys("market")}
TOY_SETTINGS = {
    "wage_burden": 1.5, "billable_share": 0.75, "consumables_percent": 10.0, "tax_percent": 5.0,
    "overhead_percent": 20.0, "contingency_middle": 10.0, "profit_percent": 10.0,
}  # fmt: skip
"""An hour costs 60 USD."""


def priced(
    prices: dict[str, Points] | None = None,
    units: dict[str, Points] | None = None,
    factors: dict[str, Points] | None = None,
    wages: dict[str, Points] | None = None,
    **job: object,
) -> pd.Series:
    """The plain job with nothing that costs but these lines."""
    lines = {
        "price_book": prices or {}, "labour_units": units or {},
        "factors": ONE | (factors or {}), "market": WAGE | (wages or {}),
    }  # fmt: skip
    return calculate(plain_job(**job), books=books_with(lines, settings=TOY_SETTINGS, rest=0.0)).iloc[0]


def test_price_of_one_permit_one_label_and_two_hours() -> None:
    """50 x 1.10 x 1.05 + 2 x 60 + 100 = 277.75; x 1.20 x 1.10 / 0.90 = 407.37."""
    row = priced({"permit": 100, "label set": 50}, {"L01": 2})

    assert row["option_chosen"] == "existing spaces"
    assert (row["rate_mean_usd"], row["labour_mean_h"], row["mean_material_usd"]) == (60, 2, 50)
    lines = ["consumables", "tax", "labour", "permit", "direct", "overhead", "contingency", "profit"]
    expected = [5.00, 2.75, 120, 100, 277.75, 55.55, 33.33, 40.74]
    assert row[[f"mean_{line}_usd" for line in lines]].tolist() == expected
    assert row[[f"likely_{line}_usd" for line in lines]].tolist() == expected
    assert (row["price_likely_usd"], row["price_modes_usd"]) == (407.37, 407.37)
    assert (row["price_low_usd"], row["price_high_usd"], row["price_cv"]) == (407.37, 407.37, 0)


def test_extra_work_is_priced_as_material_and_hours() -> None:
    """50 dollars and two hours entered, at a dollar a dollar and an hour an hour: the same sums."""
    row = priced({"permit": 100, "extra material": 1}, {"L66": 1}, extra_hours=2, extra_material_usd=50)

    assert (row["work_extra"], row["extra_materials"], row["extra_materials_usd"]) == (2, 50, 50)
    assert row["price_likely_usd"] == 407.37


def test_extra_work_has_its_spread() -> None:
    """0.9, 1, 1.25 an hour: (0.9 + 4 + 1.25) / 6 is 1.025; 0.9, 1, 1.2 a dollar: 1.016667."""
    lines = {"extra material": (0.9, 1, 1.2)}, {"L66": (0.9, 1, 1.25)}
    row = priced(*lines, extra_hours=8, extra_material_usd=600)

    assert (row["labour_hours"], row["material_usd"]) == (8, 600)
    assert (row["labour_mean_h"], row["mean_material_usd"]) == (8.2, 610)


def test_likely_lines_and_mean_lines_part_where_a_line_is_skewed() -> None:
    """20, 50, 140: the mean is 60."""
    row = priced({"label set": (20, 50, 140)})

    assert (row["material_usd"], row["mean_material_usd"]) == (50, 60)
    assert row["price_modes_usd"] < row["price_likely_usd"]


def test_range_of_one_line() -> None:
    """A permit of 0, 100, 200 has the variance 100 x 100 / 7 about its mean of 100."""
    row = priced({"permit": (0, 100, 200)}, {"L01": 2})
    cv = math.sqrt(10000 / 7) / 220
    sigma = math.sqrt(math.log(1 + cv**2))
    price = 220 * 1.2 * 1.1 / 0.9

    assert row["price_cv"] == pytest.approx(cv, abs=1e-6)
    assert row["price_low_usd"] == pytest.approx(price * math.exp(-(sigma**2) / 2 - 1.281552 * sigma), abs=0.02)
    assert row["price_high_usd"] == pytest.approx(price * math.exp(-(sigma**2) / 2 + 1.281552 * sigma), abs=0.02)


def test_variance_of_hours_times_rate() -> None:
    """Var(XY) = Var X (E Y^2 + Var Y) + E X^2 Var Y where X and Y do not depend on each other."""
    row = priced(units={"L01": (1, 2, 3)}, wages={"small": (20, 30, 40)})
    hours, rate = 1 / 7, 100 / 7 * (1.5 / 0.75) ** 2

    assert row["labour_var_h"] == pytest.approx(hours, abs=1e-6)
    assert row["rate_var"] == pytest.approx(rate, abs=1e-4)
    assert row["labour_var"] == pytest.approx(hours * (60**2 + rate) + 2**2 * rate, abs=0.01)


def test_copper_multiplies_its_lines_alone_and_once_for_all() -> None:
    """10 ft of raceway: 2 x 17.6 ft of phase and 17.6 ft of neutral at 1 USD; a copper factor of 0.5, 1, 1.5."""
    size = {"main_spaces_used": 30, "option_wanted": "added panel"}
    plain = priced(**size)
    key = f"conductor copper|{plain['feeder_size']}"
    row = priced({key: 1.0, "backboard": 10.0}, factors={"copper": (0.5, 1.0, 1.5)}, **size)
    copper, factor = 3 * 17.6, 0.25 / 7

    assert (row["mean_copper_usd"], row["mean_other_usd"]) == (pytest.approx(copper), 10)
    assert row["mean_material_usd"] == pytest.approx(copper + 10, abs=0.005)
    assert row["material_var"] == pytest.approx(copper**2 * factor * (1.1 * 1.05) ** 2, rel=1e-4)

    dear = priced({key: 1.0, "backboard": 10.0}, factors={"copper": 2.0}, **size)
    assert dear["material_usd"] == pytest.approx(2 * copper + 10, abs=0.011)


def test_aluminum_is_no_copper() -> None:
    row = priced(factors={"copper": 2.0}, material="aluminum", main_spaces_used=30, option_wanted="added panel")
    key = f"conductor aluminum|{row['feeder_size']}"
    row = priced({key: 1.0}, factors={"copper": 2.0}, material="aluminum", main_spaces_used=30, option_wanted="added panel")

    assert row["mean_copper_usd"] == 0
    assert row["mean_other_usd"] == pytest.approx(3 * 17.6)
    assert row["phase_ft_usd"] == 35.2


FACTORS = {"age middle": 1.5, "condition crowded": 1.2, "wall drywall": 1.4, "access normal": 1.3}


def test_each_difficulty_touches_its_own_work() -> None:
    """One hour each: survey (none), feeder breaker (panel), mounting (wall), fishing (route)."""
    units = {"L01": 1.0, "L12": 1.0, "L07": 1.0, "L37": 0.5}
    row = priced(
        units=units, factors=FACTORS, panel_condition="crowded", panel_place="same building", wiring="SER cable",
        main_spaces_used=20, option_wanted="added panel",
    )  # fmt: skip

    panel, wall, route = 1.5 * 1.2, 1.5 * 1.4, 2.2
    assert row["difficulty_state"] == "CHECK: difficulty is over the cap; offer this work by the hour"
    assert (row["panel_factor_mean"], row["wall_factor_mean"]) == (pytest.approx(panel), pytest.approx(wall))
    assert (row["run_factor_mean"], row["route_factor_mean"]) == (1.3, route)
    assert row["labour_hours"] == row["labour_mean_h"] == pytest.approx(1 + panel + wall + route)
    assert row["price_state"] == row["difficulty_state"]


def test_shared_factors_move_all_their_work_together() -> None:
    """A house of 1960 to 1990 at 0.5, 1, 1.5: two hours of panel and wall rise and fall as one."""
    row = priced(
        units={"L12": 1.0, "L07": 1.0}, factors={"age middle": (0.5, 1.0, 1.5)}, main_spaces_used=20,
        option_wanted="added panel",
    )  # fmt: skip

    assert row["age_rel"] == pytest.approx(0.25 / 7, abs=1e-6)
    assert row["labour_var_h"] == pytest.approx(2**2 * 0.25 / 7, abs=1e-5)


def test_cap_can_be_reached_without_a_check() -> None:
    at = priced(factors={"age middle": 2.2}, main_spaces_used=20)
    over = priced(factors={"age middle": 2.200001}, main_spaces_used=20)

    assert (at["panel_factor_mean"], at["difficulty_state"]) == (2.2, "OK")
    assert (over["panel_factor_mean"], over["difficulty_state"][:5]) == (2.2, "CHECK")


@pytest.mark.parametrize(
    ("entries", "packages"),
    [
        ({"option_wanted": "existing spaces"}, {"existing"}),
        ({"option_wanted": "added panel"}, {"added"}),
        ({"option_wanted": "load control", "add_ev_a": 16, "main_spaces_used": 26}, {"control", "existing"}),
        ({"option_wanted": "load control", "add_ev_a": 16, "main_spaces_used": 30}, {"control", "added"}),
        ({"option_wanted": "larger service"}, {"service"}),
        ({"option_wanted": "larger service", "panel_place": "other building"}, {"service", "added"}),
        ({"panel_condition": "corroded or unlisted", "service_a": 400}, set()),
    ],
)
def test_packages_of_each_way(entries: dict, packages: set[str]) -> None:
    row = results_of(**entries)
    others = ("existing", "added", "control", "service")

    assert {name for name in others if row[f"in_{name}"] == 1} == packages
    if packages:
        for total, part in (("labour_hours", "hours_likely"), ("material_usd", "material_usd")):
            taken = sum(row[f"{name}_{part}"] for name in ("common", *packages))
            assert row[total] == pytest.approx(taken, abs=1e-5)
        price = sum(row[f"{name}_package_usd"] for name in ("common", *packages))
        assert row["price_likely_usd"] == pytest.approx(price, abs=0.006)


def test_a_size_that_the_book_lacks_stops_the_price() -> None:
    """The panel of a wished bus; the ways without it keep theirs."""
    job = {"main_spaces_used": 20, "added_bus_wanted_a": 150, "option_wanted": "added panel"}
    row = results_of(**job)

    assert (row["added_panels_item"], row["added_panels_place"]) == ("panel indoor|150", 0)
    assert (row["added_panels_usd"], row["added_panels_mean_usd"], row["added_panels_var"]) == (0, 0, 0)
    assert row["added_missing"] == 1
    assert row["price_state"] == "STOP: the price book lacks a size of this way"
    blank = ["added_package_usd", "added_panel_price_usd", "price_likely_usd", "price_low_usd", "mean_direct_usd"]
    assert np.isnan(row[blank].astype(float)).all()
    assert row["existing_spaces_price_usd"] > 0
    assert row["material_usd"] > 0


def test_a_job_without_a_larger_service_has_no_price_for_it() -> None:
    row = results_of(service_a=400)

    assert (row["main_panels_item"], row["service_conductor_ft"]) == ("", 0)
    assert (row["meter_bases_small"], row["meter_bases_large"]) == (0, 0)
    assert row["service_missing"] == 2
    assert np.isnan(row["larger_service_price_usd"])


def test_names_of_lines_are_written_as_the_book_has_them() -> None:
    row = results_of(
        panel_place="other building", room="outdoors", run_ft=75, trench_ft=75, main_spaces_used=20, move_2pole=1,
        feeder_breaker_wanted_a=62.5, moved_wire="10", service_a=100,
    )  # fmt: skip

    assert row["feeder_breakers_item"] == "feeder breaker|62.5"
    assert row["added_panels_item"] == f"panel outdoor|{row['added_bus_chosen_a']:.0f}"
    assert row["phase_ft_item"] == f"conductor copper|{row['feeder_size']}"
    assert row["ground_ft_item"] == f"conductor copper|{row['egc_size']}"
    assert row["electrode_ft_item"] == f"bare copper|{row['gec_size']}"
    assert row["cable_ft_item"] == f"PVC 40 copper|{row['feeder_size']}"
    assert row["raceway_lengths_item"] == f"PVC 40|{row['raceway_size']}"
    assert row["riser_lengths_item"] == f"PVC 80|{row['raceway_size']}"
    assert row["moved_wire_ft_item"] == "conductor copper|10"
    assert row["main_panels_item"] == f"main panel|{row['new_service_a']:.0f}"


def test_the_book_has_every_size_that_the_design_picks() -> None:
    """Smaller feeder breakers, and buses that are not made, are only had by a wish."""
    keys, tables = set(load().books.keys("price_book")), load().tables
    least = load().parameters["feeder_minimum"].values[2023]
    ratings = [rating for rating in tables["standard_rating"].column("rating_a") if least <= rating <= 400]
    buses = tables["panel_bus"].column("bus_a")
    largest = max(tables["bare_conductor"].column("circular_mils"))
    electrode = tables["electrode_conductor"]
    over = zip(electrode.column("copper over"), electrode.column("copper"), strict=True)

    assert {f"feeder breaker|{rating:g}" for rating in ratings} <= keys
    assert {f"panel {place}|{bus:g}" for place in ("indoor", "outdoor") for bus in buses} <= keys
    assert {f"conductor copper|{size}" for size in tables["ampacity"].column("size")} <= keys
    assert {f"bare copper|{size}" for mils, size in over if mils < largest} <= keys
    assert {f"main panel|{rating:g}" for rating in choices("service_a") if rating > 60} <= keys


def choices(field: str) -> tuple[float, ...]:
    return next(one.choices for one in load().job_fields if one.name == field)
