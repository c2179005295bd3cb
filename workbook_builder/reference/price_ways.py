"""Rates, packages and the price of each way."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.books import Book
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import cents


@rule("wage_place")
def wage_place(markets: Book, market: Choice) -> np.ndarray:
    """The line of the wages for the market of the job.

    Section: own rule.
    Inputs: markets, market. Result: place in the markets.
    """
    return markets.place_of(market)


@rule("rate_likely_usd")
def rate_likely_usd(
    markets: Book, wage_place: np.ndarray, wage_burden: float, billable_share: float
) -> np.ndarray:
    """Cost of an hour that can be billed, likely.

    Section: own rule.
    Inputs: wage_place in the markets, wage_burden, billable_share [1]. Result: [USD/h].
    """
    return markets.likely[wage_place] * wage_burden / billable_share


@rule("rate_mean_usd")
def rate_mean_usd(
    markets: Book, wage_place: np.ndarray, wage_burden: float, billable_share: float
) -> np.ndarray:
    """Cost of an hour that can be billed, mean.

    Section: own rule.
    Inputs: wage_place in the markets, wage_burden, billable_share [1]. Result: [USD/h].
    """
    return markets.mean[wage_place] * wage_burden / billable_share


@rule("rate_var")
def rate_var(markets: Book, wage_place: np.ndarray, wage_burden: float, billable_share: float) -> np.ndarray:
    """Variance of the cost of an hour.

    Section: own rule.
    Inputs: wage_place in the markets, wage_burden, billable_share [1]. Result: [USD2/h2].
    """
    return markets.variance[wage_place] * np.square(wage_burden / billable_share)


@rule("contingency_used")
def contingency_used(
    *, house_age: Choice, contingency_newer: float, contingency_middle: float, contingency_older: float
) -> np.ndarray:
    """Contingency for what is concealed, by the age of the house.

    Section: own rule.
    Inputs: house_age, contingencies [%]. Result: [%].
    """
    shares = {"newer": contingency_newer, "middle": contingency_middle, "older": contingency_older}
    return house_age.pick(shares)


@rule("material_scale")
def material_scale(consumables_percent: float, tax_percent: float, percent: np.ndarray) -> np.ndarray:
    """What material costs with consumables and tax, over its price.

    Section: own rule.
    Inputs: shares [%]. Result: [1].
    """
    return (1.0 + consumables_percent / percent) * (1.0 + tax_percent / percent)


@rule("price_scale")
def price_scale(
    *, overhead_percent: float, contingency_used: np.ndarray, profit_percent: float, percent: np.ndarray
) -> np.ndarray:
    """Price over direct cost: overhead, contingency, and a profit that is a share of the price.

    Section: own rule.
    Inputs: shares [%]. Result: [1].

    >>> float(price_scale(overhead_percent=50.0, contingency_used=0.0, profit_percent=25.0, percent=100.0))
    2.0
    """
    cost = (1.0 + overhead_percent / percent) * (1.0 + contingency_used / percent)
    return cost / (1.0 - profit_percent / percent)


@rule("sell_rate_usd")
def sell_rate_usd(rate_mean_usd: np.ndarray, price_scale: np.ndarray) -> np.ndarray:
    """What an hour is sold for.

    Section: own rule.
    Inputs: rate_mean_usd [USD/h], price_scale [1]. Result: [USD/h].
    """
    return rate_mean_usd * price_scale


@rule("permit_mean_usd", mean="permits.mean")
def permit_mean_usd(permits: np.ndarray, mean: float) -> np.ndarray:
    """The permit, mean.

    Section: own rule.
    Inputs: permits [each], mean [USD]. Result: [USD].
    """
    return permits * mean


@rule("permit_var", variance="permits.variance")
def permit_var(permits: np.ndarray, variance: float) -> np.ndarray:
    """Variance of the permit.

    Section: own rule.
    Inputs: permits [each], variance [USD2]. Result: [USD2].
    """
    return np.square(permits) * variance


@rule(
    "common_package_usd",
    other="common_other_mean_usd",
    hours="common_hours_mean",
    permit="permit_mean_usd",
)
@rule("existing_package_usd", other="existing_other_mean_usd", hours="existing_hours_mean", permit=0.0)
@rule("control_package_usd", other="control_other_mean_usd", hours="control_hours_mean", permit=0.0)
def plain_package_usd(
    *,
    other: np.ndarray,
    material_scale: np.ndarray,
    hours: np.ndarray,
    rate_mean_usd: np.ndarray,
    permit: np.ndarray,
    price_scale: np.ndarray,
    books_bad: int,
) -> np.ndarray:
    """Price of a package without copper: material, hours, permit, times what turns cost into price.

    Section: own rule.
    Inputs: other, permit [USD], scales [1], hours [h], rate_mean_usd [USD/h], books_bad [lines].
    Result: [USD]; blank where a line of the books or a setting is out of order.
    """
    found = (other * material_scale + hours * rate_mean_usd + permit) * price_scale
    return np.where(np.greater(books_bad, 0), np.nan, found)


@rule(
    "added_package_usd",
    copper="added_copper_mean_usd",
    other="added_other_mean_usd",
    hours="added_hours_mean",
    missing="added_missing",
)
@rule(
    "service_package_usd",
    copper="service_copper_mean_usd",
    other="service_other_mean_usd",
    hours="service_hours_mean",
    missing="service_missing",
)
def copper_package_usd(
    *,
    copper: np.ndarray,
    copper_mean: float,
    other: np.ndarray,
    material_scale: np.ndarray,
    hours: np.ndarray,
    rate_mean_usd: np.ndarray,
    price_scale: np.ndarray,
    missing: np.ndarray,
    books_bad: int,
) -> np.ndarray:
    """Price of a package with copper: material, hours, times what turns cost into price.

    Section: own rule.
    Inputs: copper, other [USD], scales [1], hours [h], rate_mean_usd [USD/h], missing,
    books_bad [lines]. Result: [USD]; blank where a line has no price, and where a line of the books
    or a setting is out of order.
    """
    material = (copper * copper_mean + other) * material_scale
    blank = np.greater(missing, 0) | np.greater(books_bad, 0)
    return np.where(blank, np.nan, (material + hours * rate_mean_usd) * price_scale)


@rule("existing_spaces_price_usd", package="existing_package_usd")
@rule("added_panel_price_usd", package="added_package_usd")
def way_price_usd(common_package_usd: np.ndarray, package: np.ndarray) -> np.ndarray:
    """Price of a way that is one package beside what every way takes.

    Section: own rule.
    Inputs: packages [USD]. Result: [USD]; blank where a package is.
    """
    return cents(common_package_usd + package)


@rule("load_control_price_usd")
def load_control_price_usd(
    *,
    common_package_usd: np.ndarray,
    control_package_usd: np.ndarray,
    control_in_main: np.ndarray,
    existing_package_usd: np.ndarray,
    added_package_usd: np.ndarray,
) -> np.ndarray:
    """Price of load control, in the existing spaces or with an added panel.

    Section: own rule.
    Inputs: packages [USD], control_in_main [yes or no]. Result: [USD]; blank where a package is.
    """
    where = np.where(control_in_main, existing_package_usd, added_package_usd)
    return cents(common_package_usd + control_package_usd + where)


@rule("larger_service_price_usd")
def larger_service_price_usd(
    *,
    common_package_usd: np.ndarray,
    service_package_usd: np.ndarray,
    panel_place: Choice,
    added_package_usd: np.ndarray,
) -> np.ndarray:
    """Price of a larger service, with the added panel that another building needs.

    Section: own rule.
    Inputs: packages [USD], panel_place. Result: [USD]; blank where a package is.
    """
    added = np.where(panel_place.is_("other building"), added_package_usd, 0.0)
    return cents(common_package_usd + service_package_usd + added)
