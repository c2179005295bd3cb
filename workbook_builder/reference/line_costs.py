"""Costs of the lines with a fixed price, and the sums of each package."""

from __future__ import annotations

import numpy as np

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import PACKAGES
from workbook_builder.reference.books import sum_of_lines, variance_of_lines
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.line_items import COPPER_LINES, METAL_LINES, OTHER_LINES
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import cents

PERMITS = "permits"
BY_SIZE = (*OTHER_LINES, *COPPER_LINES, *METAL_LINES)


def fixed_line_usd(quantity: np.ndarray, likely: float) -> np.ndarray:
    """Likely cost of a line with a fixed price.

    Section: own rule.
    Inputs: quantity [each], likely [USD each]. Result: [USD].
    """
    return cents(quantity * likely)


def package_material_usd(costs: tuple[np.ndarray, ...]) -> np.ndarray:
    """Likely cost of the material of a package.

    Section: own rule.
    Inputs: costs of its lines [USD]. Result: [USD].
    """
    return sum(costs)


def package_other_usd(quantities: tuple[np.ndarray, ...], means: tuple[float, ...]) -> np.ndarray:
    """Mean cost of the material of a package that is all of fixed prices.

    Section: own rule.
    Inputs: quantities [each], means [USD each]. Result: [USD].
    """
    return sum_of_lines(quantities, means)


def package_other_var(quantities: tuple[np.ndarray, ...], variances: tuple[float, ...]) -> np.ndarray:
    """Variance of the cost of the material of a package that is all of fixed prices.

    Section: own rule.
    Inputs: quantities [each], variances [USD2]. Result: [USD2].
    """
    return variance_of_lines(quantities, variances)


def _of_metal(lines: tuple[np.ndarray, ...], there: np.ndarray) -> np.ndarray:
    return np.where(there, sum(lines), 0.0)


def package_copper(
    copper: tuple[np.ndarray, ...], metal: tuple[np.ndarray, ...], material: Choice
) -> np.ndarray:
    """Mean cost, or its variance, of the copper lines of a package, before the copper factor.

    Section: own rule.
    Inputs: lines that are always copper, lines that may be [USD or USD2], material. Result: [the
    same unit].
    """
    return sum(copper) + _of_metal(metal, material.is_("copper"))


def sized_other_usd(
    *,
    quantities: tuple[np.ndarray, ...],
    means: tuple[float, ...],
    sized: tuple[np.ndarray, ...],
    metal: tuple[np.ndarray, ...],
    material: Choice,
) -> np.ndarray:
    """Mean cost of the other material of a package that has lines by size.

    Section: own rule.
    Inputs: quantities [each], means [USD each], lines by size and lines of metal [USD], material.
    Result: [USD].
    """
    fixed = package_other_usd(quantities, means)
    return fixed + sum(sized) + _of_metal(metal, material.is_("aluminum"))


def sized_other_var(
    *,
    quantities: tuple[np.ndarray, ...],
    variances: tuple[float, ...],
    sized: tuple[np.ndarray, ...],
    metal: tuple[np.ndarray, ...],
    material: Choice,
) -> np.ndarray:
    """Variance of the other material of a package that has lines by size.

    Section: own rule.
    Inputs: quantities [each], variances [USD2], lines by size and lines of metal [USD2], material.
    Result: [USD2].
    """
    fixed = package_other_var(quantities, variances)
    return fixed + sum(sized) + _of_metal(metal, material.is_("aluminum"))


def _missing(quantities: tuple[np.ndarray, ...], places: tuple[np.ndarray, ...]) -> np.ndarray:
    """Lines that are needed and have no price."""
    pairs = zip(quantities, places, strict=True)
    return sum((np.greater(quantity, 0) & (place == 0)).astype(np.int64) for quantity, place in pairs)


def added_missing(
    *,
    quantities: tuple[np.ndarray, ...],
    places: tuple[np.ndarray, ...],
    feeder_breaker_a: np.ndarray,
    feeder_size: np.ndarray,
    added_bus_chosen_a: np.ndarray,
) -> np.ndarray:
    """Lines of the added panel without a price; one more where its design is not complete.

    Section: own rule.
    Inputs: quantities [each or ft], places in the price book, ratings [A], feeder_size. Result: [lines].
    """
    blank = np.isnan(feeder_breaker_a) | (feeder_size == 0) | np.isnan(added_bus_chosen_a)
    return _missing(quantities, places) + blank


def service_missing(
    *,
    quantities: tuple[np.ndarray, ...],
    places: tuple[np.ndarray, ...],
    new_service_a: np.ndarray,
    service_conductor_size: np.ndarray,
) -> np.ndarray:
    """Lines of the larger service without a price; one more where there is no such service.

    Section: own rule.
    Inputs: quantities [each or ft], places in the price book, new_service_a [A],
    service_conductor_size. Result: [lines].
    """
    blank = np.isnan(new_service_a) | (service_conductor_size == 0)
    return _missing(quantities, places) + blank


def _names(lines: tuple[str, ...], ending: str, among: tuple[str, ...] | None = None) -> tuple[str, ...]:
    return tuple(f"{line}{ending}" for line in lines if among is None or line in among)


def _register_package(package: str) -> None:
    """Sums of the lines of a package, in the order of the takeoff."""
    lines = [line for line in load().takeoff_lines if line.package == package and line.name != PERMITS]
    fixed = tuple(line.name for line in lines if not line.by_size)
    sized = tuple(line.name for line in lines if line.by_size)
    rule(f"{package}_material_usd", costs=_names((*sized, *fixed), "_usd"))(package_material_usd)
    means = {"quantities": fixed, "means": _names(fixed, ".mean")}
    variances = {"quantities": fixed, "variances": _names(fixed, ".variance")}
    if not sized:
        rule(f"{package}_other_mean_usd", **means)(package_other_usd)
        rule(f"{package}_other_var", **variances)(package_other_var)
        return
    for name, ending in ((f"{package}_copper_mean_usd", "_mean_usd"), (f"{package}_copper_var", "_var")):
        copper, metal = _names(sized, ending, COPPER_LINES), _names(sized, ending, METAL_LINES)
        rule(name, copper=copper, metal=metal)(package_copper)
    for name, ending, given, how in (
        (f"{package}_other_mean_usd", "_mean_usd", means, sized_other_usd),
        (f"{package}_other_var", "_var", variances, sized_other_var),
    ):
        other, metal = _names(sized, ending, OTHER_LINES), _names(sized, ending, METAL_LINES)
        rule(name, sized=other, metal=metal, **given)(how)
    missing = {"added": added_missing, "service": service_missing}[package]
    rule(f"{package}_missing", quantities=sized, places=_names(sized, "_place"))(missing)


for _line in load().takeoff_lines:
    if not _line.by_size:
        rule(f"{_line.name}_usd", quantity=_line.name, likely=f"{_line.name}.likely")(fixed_line_usd)
for _package in PACKAGES:
    _register_package(_package)
