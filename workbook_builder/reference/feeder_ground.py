"""Grounding conductors and neutral of the feeder."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.feeder_conductor import over_correction
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6

COPPER = Choice(lookup.METALS, np.array(0))


@rule("egc_table_size")
def egc_table_size(material: Choice, feeder_breaker_a: np.ndarray) -> np.ndarray:
    """Equipment grounding size by the breaker, a row holding up to and with its rating.

    Section: Table 250.122.
    Inputs: material, feeder_breaker_a [A]. Result: position of the size, 0 for blank.

    Example: a 250 A feeder uses the 300 A row,
    http://www.officefans.net/blog/html/35/50235-544.html
    >>> lookup.sizes()[int(egc_table_size(COPPER, 250.0)) - 1]
    '4'
    """
    return lookup.grounding_size(material, feeder_breaker_a)


@rule("egc_increase")
def egc_increase(
    *,
    feeder_size: np.ndarray,
    size_minimum: np.ndarray,
    size_uncorrected: np.ndarray,
    egc_base_uncorrected: np.ndarray,
) -> np.ndarray:
    """How far the ungrounded conductors are larger than the smallest with sufficient ampacity.

    Section: 250.122(B): any increase (2017); not that for ambient and count (2020 and later).
    Inputs: sizes, egc_base_uncorrected [1 for any increase]. Result: [1]; blank without a size.

    Example: 250 to 350 kcmil, https://www.inwindustrialtraining.com/post/code-talk-episode-32-notes
    >>> float(egc_increase(feeder_size=np.array(16), size_minimum=np.array(14),
    ...                    size_uncorrected=np.array(14), egc_base_uncorrected=0))
    1.4
    """
    base = np.where(np.equal(egc_base_uncorrected, 1), size_uncorrected, size_minimum)
    return lookup.circular_mils(feeder_size) / lookup.circular_mils(base)


@rule("egc_needed")
def egc_needed(
    egc_table_size: np.ndarray, egc_increase: np.ndarray, feeder_size: np.ndarray
) -> np.ndarray:
    """The grounding conductor grows with the ungrounded ones, never larger than they are.

    Section: 250.122(A), (B).
    Inputs: sizes, egc_increase [1]. Result: position of the size, 0 for blank.

    Example: 4 AWG times 1.4 is 58,436 circular mils: 2 AWG. 12 AWG with ungrounded
    conductors from 12 to 6 AWG: 6 AWG,
    https://www.ecmag.com/magazine/articles/article-detail/equipment-grounding-controls--cqd-spotlight
    >>> lookup.sizes()[int(egc_needed(np.array(6), 1.4, np.array(16))) - 1]
    '2'
    >>> lookup.sizes()[int(egc_needed(np.array(2), 26240 / 6530, np.array(5))) - 1]
    '6'
    """
    mils = round6(lookup.circular_mils(egc_table_size) * egc_increase)
    size = np.minimum(lookup.size_of_mils(mils), feeder_size)
    return np.where((egc_table_size == 0) | (feeder_size == 0), 0, size)


@rule("egc_size")
def egc_size(egc_wanted: Choice, egc_needed: np.ndarray) -> np.ndarray:
    """The grounding conductor wished for, else the one needed.

    Section: 250.122.
    Inputs: egc_wanted, egc_needed. Result: position of the size, 0 for blank.
    """
    wanted = lookup.position_of(egc_wanted)
    return np.where(egc_needed == 0, 0, np.where(wanted > 0, wanted, egc_needed))


@rule("egc_state", words=("OK", "STOP: the grounding conductor wanted is too small"))
def egc_state(egc_size: np.ndarray, egc_needed: np.ndarray) -> np.ndarray:
    """Stops where the grounding conductor wished for is smaller than needed.

    Section: 250.122.
    Inputs: sizes. Result: place in the words.
    """
    return np.where(lookup.circular_mils(egc_size) < lookup.circular_mils(egc_needed), 1, 0)


@rule("neutral_size")
def neutral_size(
    *,
    neutral: Choice,
    material: Choice,
    terminal_c: np.ndarray,
    insulation_c: np.ndarray,
    feeder_neutral_a: np.ndarray,
    correction: np.ndarray,
    egc_table_size: np.ndarray,
    feeder_size: np.ndarray,
) -> np.ndarray:
    """Full size, or by the unbalanced load and not smaller than the grounding table size.

    Section: 215.2(A)(2), 220.61.
    Inputs: neutral, material, columns [C], feeder_neutral_a [A], correction [1], sizes.
    Result: position of the size, 0 for blank.

    Example: 50 A unbalanced on a 250 A feeder of 250 kcmil: 4 AWG,
    http://www.officefans.net/blog/html/35/50235-544.html
    >>> calculated = Choice.of(("full", "calculated"), "calculated")
    >>> position = neutral_size(neutral=calculated, material=COPPER, terminal_c=75.0,
    ...     insulation_c=90.0, feeder_neutral_a=50.0, correction=1.0,
    ...     egc_table_size=np.array(6), feeder_size=np.array(14))
    >>> lookup.sizes()[position[0] - 1]
    '4'
    """
    by_terminals = lookup.size_from(material, terminal_c, feeder_neutral_a)
    corrected = over_correction(feeder_neutral_a, correction)
    by_correction = lookup.size_from(material, insulation_c, corrected)
    least = np.maximum(np.maximum(by_terminals, by_correction), egc_table_size)
    reduced = np.minimum(least, feeder_size)
    return np.where(neutral.is_("full"), feeder_size, reduced)


@rule("gec_size")
def gec_size(
    *,
    panel_place: Choice,
    feeder_size: np.ndarray,
    material: Choice,
    electrode: Choice,
    rod_largest: np.ndarray,
    concrete_largest: np.ndarray,
) -> np.ndarray:
    """Copper electrode conductor at another building, by the size of the ungrounded conductors.

    Section: 250.32, Table 250.66, 250.66(A) and (B).
    Inputs: panel_place, feeder_size, material, electrode, largest sizes.
    Result: position of the size, 0 for blank.
    Limits: never larger than the part to a rod or to concrete-encased steel needs to be.
    """
    mils = lookup.circular_mils(feeder_size)
    copper_row = lookup.rows_under("electrode_conductor", "copper over", mils)
    aluminum_row = lookup.rows_under("electrode_conductor", "aluminum over", mils)
    row = np.where(material.is_("aluminum"), aluminum_row, copper_row)
    size = lookup.size_column("electrode_conductor", "copper")[row]
    size = np.where(electrode.is_("rods"), np.minimum(size, rod_largest), size)
    concrete = electrode.is_("concrete encased")
    size = np.where(concrete, np.minimum(size, concrete_largest), size)
    return np.where(panel_place.is_("other building") & (feeder_size > 0), size, 0)
