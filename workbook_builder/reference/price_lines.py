"""Lines of the way chosen, likely and mean, each rounded to the cent."""

from __future__ import annotations

import numpy as np

from workbook_builder.code_tables.model import PACKAGES
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.labour_hours import of_packages
from workbook_builder.reference.options_decision import WAYS
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import cents


@rule("price_likely_usd")
def price_likely_usd(
    *,
    option_chosen: Choice,
    existing_spaces_price_usd: np.ndarray,
    added_panel_price_usd: np.ndarray,
    load_control_price_usd: np.ndarray,
    larger_service_price_usd: np.ndarray,
) -> np.ndarray:
    """Price of the way chosen: the mean of its range.

    Section: own rule.
    Inputs: option_chosen, prices [USD]. Result: [USD]; blank without a way and without its price.
    """
    prices = (
        existing_spaces_price_usd,
        added_panel_price_usd,
        load_control_price_usd,
        larger_service_price_usd,
    )
    found: np.ndarray = np.array(np.nan)
    for way, price in zip(WAYS, prices, strict=True):
        found = np.where(option_chosen.is_(way), price, found)
    return found


def _where_priced(price_likely_usd: np.ndarray, value: np.ndarray) -> np.ndarray:
    """The value, blank where the way chosen has no price."""
    return np.where(np.isnan(price_likely_usd), np.nan, value)


@rule("likely_consumables_usd", material="material_usd")
@rule("mean_consumables_usd", material="mean_material_usd")
def consumables_usd(material: np.ndarray, consumables_percent: float, percent: np.ndarray) -> np.ndarray:
    """Tape, staples, screws and blades as a share of the material.

    Section: own rule.
    Inputs: material [USD], shares [%]. Result: [USD]; blank without material.
    """
    return cents(material * consumables_percent / percent)


@rule("likely_tax_usd", material="material_usd", consumables="likely_consumables_usd")
@rule("mean_tax_usd", material="mean_material_usd", consumables="mean_consumables_usd")
def tax_usd(
    material: np.ndarray, consumables: np.ndarray, tax_percent: float, percent: np.ndarray
) -> np.ndarray:
    """Sales tax on material and consumables.

    Section: own rule.
    Inputs: material, consumables [USD], shares [%]. Result: [USD]; blank without material.
    """
    return cents((material + consumables) * tax_percent / percent)


@rule("likely_labour_usd")
def likely_labour_usd(
    labour_hours: np.ndarray, rate_likely_usd: np.ndarray, material_usd: np.ndarray
) -> np.ndarray:
    """Likely hours at the likely rate.

    Section: own rule.
    Inputs: labour_hours [h], rate_likely_usd [USD/h], material_usd [USD]. Result: [USD]; blank
    without material.
    """
    return np.where(np.isnan(material_usd), np.nan, cents(labour_hours * rate_likely_usd))


@rule("likely_permit_usd")
def likely_permit_usd(permits_usd: np.ndarray, material_usd: np.ndarray) -> np.ndarray:
    """The permit, likely.

    Section: own rule.
    Inputs: permits_usd, material_usd [USD]. Result: [USD]; blank without material.
    """
    return np.where(np.isnan(material_usd), np.nan, permits_usd)


@rule(
    "likely_direct_usd",
    material="material_usd",
    consumables="likely_consumables_usd",
    tax="likely_tax_usd",
    labour="likely_labour_usd",
    permit="likely_permit_usd",
)
@rule(
    "mean_direct_usd",
    material="mean_material_usd",
    consumables="mean_consumables_usd",
    tax="mean_tax_usd",
    labour="mean_labour_usd",
    permit="mean_permit_usd",
)
def direct_usd(
    *,
    material: np.ndarray,
    consumables: np.ndarray,
    tax: np.ndarray,
    labour: np.ndarray,
    permit: np.ndarray,
) -> np.ndarray:
    """Direct cost: material, consumables, tax, labour, permit.

    Section: own rule.
    Inputs: lines [USD]. Result: [USD]; blank where they are.
    """
    return material + consumables + tax + labour + permit


@rule("likely_overhead_usd", direct="likely_direct_usd")
@rule("mean_overhead_usd", direct="mean_direct_usd")
def overhead_usd(direct: np.ndarray, overhead_percent: float, percent: np.ndarray) -> np.ndarray:
    """Overhead on the direct cost.

    Section: own rule.
    Inputs: direct [USD], shares [%]. Result: [USD]; blank where the direct cost is.
    """
    return cents(direct * overhead_percent / percent)


@rule("likely_contingency_usd", direct="likely_direct_usd", overhead="likely_overhead_usd")
@rule("mean_contingency_usd", direct="mean_direct_usd", overhead="mean_overhead_usd")
def contingency_usd(
    direct: np.ndarray, overhead: np.ndarray, contingency_used: np.ndarray, percent: np.ndarray
) -> np.ndarray:
    """Contingency on direct cost and overhead.

    Section: own rule.
    Inputs: direct, overhead [USD], shares [%]. Result: [USD]; blank where they are.
    """
    return cents((direct + overhead) * contingency_used / percent)


@rule("likely_profit_usd")
def likely_profit_usd(
    *,
    likely_direct_usd: np.ndarray,
    likely_overhead_usd: np.ndarray,
    likely_contingency_usd: np.ndarray,
    profit_percent: float,
    percent: np.ndarray,
) -> np.ndarray:
    """Profit as a share of the sum with it.

    Section: own rule.
    Inputs: lines [USD], shares [%]. Result: [USD]; blank where they are.
    """
    cost = likely_direct_usd + likely_overhead_usd + likely_contingency_usd
    return cents(cost * profit_percent / (percent - profit_percent))


@rule("price_modes_usd")
def price_modes_usd(
    likely_direct_usd: np.ndarray,
    likely_overhead_usd: np.ndarray,
    likely_contingency_usd: np.ndarray,
    likely_profit_usd: np.ndarray,
) -> np.ndarray:
    """Sum of the likely lines, which is less than the mean where lines are skewed upwards.

    Section: own rule.
    Inputs: lines [USD]. Result: [USD]; blank where they are.
    """
    return likely_direct_usd + likely_overhead_usd + likely_contingency_usd + likely_profit_usd


def _taken(packages: tuple[str, ...], ending: str) -> dict[str, tuple[str, ...]]:
    return {
        "packages": tuple(f"{package}_{ending}" for package in packages),
        "taken": tuple(f"in_{package}" for package in packages),
    }


@rule("mean_copper_usd", common=0.0, **_taken(("added", "service"), "copper_mean_usd"))
@rule("copper_var", common=0.0, **_taken(("added", "service"), "copper_var"))
@rule("mean_other_usd", common="common_other_mean_usd", **_taken(PACKAGES[1:], "other_mean_usd"))
@rule("other_var", common="common_other_var", **_taken(PACKAGES[1:], "other_var"))
def of_way_priced(
    *,
    price_likely_usd: np.ndarray,
    common: np.ndarray,
    packages: tuple[np.ndarray, ...],
    taken: tuple[np.ndarray, ...],
) -> np.ndarray:
    """Mean or variance of the copper or the other material of the way chosen, before the copper factor.

    Section: own rule.
    Inputs: price_likely_usd [USD], packages [USD or USD2], taken [0 or 1]. Result: [the same unit];
    blank without a price.
    """
    return _where_priced(price_likely_usd, of_packages(common, packages, taken))


@rule("mean_material_usd")
def mean_material_usd(
    mean_copper_usd: np.ndarray, copper_mean: float, mean_other_usd: np.ndarray
) -> np.ndarray:
    """Material of the way chosen.

    Section: own rule.
    Inputs: mean_copper_usd, mean_other_usd [USD], copper_mean [1]. Result: [USD]; blank without a price.
    """
    return cents(mean_copper_usd * copper_mean + mean_other_usd)


@rule("mean_labour_usd")
def mean_labour_usd(
    labour_mean_h: np.ndarray, rate_mean_usd: np.ndarray, price_likely_usd: np.ndarray
) -> np.ndarray:
    """Labour of the way chosen.

    Section: own rule.
    Inputs: labour_mean_h [h], rate_mean_usd [USD/h], price_likely_usd [USD]. Result: [USD]; blank
    without a price.
    """
    return _where_priced(price_likely_usd, cents(labour_mean_h * rate_mean_usd))


@rule("mean_permit_usd")
def mean_permit_usd(permit_mean_usd: np.ndarray, price_likely_usd: np.ndarray) -> np.ndarray:
    """Permit of the way chosen.

    Section: own rule.
    Inputs: permit_mean_usd, price_likely_usd [USD]. Result: [USD]; blank without a price.
    """
    return _where_priced(price_likely_usd, cents(permit_mean_usd))


@rule("mean_profit_usd")
def mean_profit_usd(
    price_likely_usd: np.ndarray,
    mean_direct_usd: np.ndarray,
    mean_overhead_usd: np.ndarray,
    mean_contingency_usd: np.ndarray,
) -> np.ndarray:
    """What the price leaves over the other lines, so that the lines add up to the price.

    Section: own rule.
    Inputs: price_likely_usd, lines [USD]. Result: [USD]; blank without a price.
    """
    return cents(price_likely_usd - mean_direct_usd - mean_overhead_usd - mean_contingency_usd)
