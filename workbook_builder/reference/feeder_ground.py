"""Grounding conductors and neutral of the feeder."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.feeder_wiring import over_correction
from workbook_builder.reference.registry import rule

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


@rule("feeder_mils")
def feeder_mils(feeder_size: np.ndarray) -> np.ndarray:
    """Circular mils of the ungrounded conductors.

    Section: 250.122(B), Chapter 9 Table 8.
    Inputs: feeder_size. Result: [cmil]; blank without a size.
    """
    return lookup.circular_mils(feeder_size)


@rule("egc_increase")
def egc_increase(
    *,
    feeder_mils: np.ndarray,
    size_minimum: np.ndarray,
    size_uncorrected: np.ndarray,
    egc_base_uncorrected: np.ndarray,
) -> np.ndarray:
    """How far the ungrounded conductors are larger than the smallest with sufficient ampacity.

    Section: 250.122(B): any increase (2017); not that for ambient and count (2020 and later).
    Inputs: feeder_mils [cmil], sizes, egc_base_uncorrected [1 for any increase]. Result: [1];
    blank without a size.

    Example: 250 to 350 kcmil, https://www.inwindustrialtraining.com/post/code-talk-episode-32-notes
    >>> float(egc_increase(feeder_mils=350000, size_minimum=np.array(14),
    ...                    size_uncorrected=np.array(14), egc_base_uncorrected=0))
    1.4
    """
    base = np.where(np.equal(egc_base_uncorrected, 1), size_uncorrected, size_minimum)
    return feeder_mils / lookup.circular_mils(base)


@rule("egc_mils_needed")
def egc_mils_needed(egc_table_size: np.ndarray, egc_increase: np.ndarray) -> np.ndarray:
    """The table size of the grounding conductor, grown with the ungrounded ones.

    Section: 250.122(B).
    Inputs: egc_table_size, egc_increase [1]. Result: [cmil]; blank without sizes.

    Example: 4 AWG times 1.4, https://www.inwindustrialtraining.com/post/code-talk-episode-32-notes
    >>> float(egc_mils_needed(np.array(6), 1.4).round(6))
    58436.0
    """
    return lookup.circular_mils(egc_table_size) * egc_increase


@rule("egc_needed")
def egc_needed(egc_mils_needed: np.ndarray, feeder_size: np.ndarray) -> np.ndarray:
    """The grounding conductor has the circular mils needed, never larger than the ungrounded ones.

    Section: 250.122(A), (B).
    Inputs: egc_mils_needed [cmil], feeder_size. Result: position of the size, 0 for blank.
    Limits: no tolerance; a hundredth of a percent over a size asks for the next one.

    Example: 58,436 circular mils behind 350 kcmil: 2 AWG. 12 AWG with ungrounded conductors
    from 12 to 6 AWG: 6 AWG,
    https://www.ecmag.com/magazine/articles/article-detail/equipment-grounding-controls--cqd-spotlight
    >>> lookup.sizes()[int(egc_needed(58436.0, np.array(16))) - 1]
    '2'
    >>> lookup.sizes()[int(egc_needed(26240.0, np.array(5))) - 1]
    '6'
    """
    size = np.minimum(lookup.size_of_mils(egc_mils_needed), feeder_size)
    return np.where(np.isnan(egc_mils_needed), 0, size)


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


@rule("neutral_by_terminals")
def neutral_by_terminals(
    material: Choice, terminal_c: np.ndarray, feeder_neutral_a: np.ndarray
) -> np.ndarray:
    """Smallest size whose terminal-column ampacity carries the unbalanced load.

    Section: 215.2(A)(2), 110.14(C), 220.61; 120.61 (2026).
    Inputs: material, terminal_c [C], feeder_neutral_a [A]. Result: position of the size; one
    past the end where none passes.
    """
    return lookup.size_from(material, terminal_c, feeder_neutral_a)


@rule("neutral_by_correction")
def neutral_by_correction(
    *,
    material: Choice,
    insulation_c: np.ndarray,
    feeder_neutral_a: np.ndarray,
    correction: np.ndarray,
) -> np.ndarray:
    """Smallest size whose corrected ampacity carries the unbalanced load.

    Section: 215.2(A)(2), 310.15, 220.61; 120.61 (2026).
    Inputs: material, insulation_c [C], feeder_neutral_a [A], correction [1]. Result: position
    of the size; one past the end where none passes.
    """
    needed = over_correction(feeder_neutral_a, correction)
    return lookup.size_from(material, insulation_c, needed)


@rule("neutral_size")
def neutral_size(
    *,
    neutral: Choice,
    neutral_by_terminals: np.ndarray,
    neutral_by_correction: np.ndarray,
    egc_table_size: np.ndarray,
    feeder_size: np.ndarray,
) -> np.ndarray:
    """Full size, or by the unbalanced load and not smaller than the grounding table size.

    Section: 215.2(A)(2), 220.61; 120.61 (2026).
    Inputs: neutral, positions of sizes. Result: position of the size, 0 for blank.

    Example: 50 A (8 AWG at 75 C) on a 250 A feeder of 250 kcmil: 4 AWG,
    http://www.officefans.net/blog/html/35/50235-544.html
    >>> position = neutral_size(neutral=Choice.of(("full", "calculated"), "calculated"),
    ...     neutral_by_terminals=np.array(4), neutral_by_correction=np.array(4),
    ...     egc_table_size=np.array(6), feeder_size=np.array(14))
    >>> lookup.sizes()[position[0] - 1]
    '4'
    """
    by_load = np.maximum(neutral_by_terminals, neutral_by_correction)
    reduced = np.minimum(np.maximum(by_load, egc_table_size), feeder_size)
    return np.where(neutral.is_("full"), feeder_size, reduced)


@rule("gec_table_size")
def gec_table_size(
    panel_place: Choice, feeder_size: np.ndarray, feeder_mils: np.ndarray, material: Choice
) -> np.ndarray:
    """Copper electrode conductor at another building, by the size of the ungrounded conductors.

    Section: 250.32, Table 250.66.
    Inputs: panel_place, feeder_size, feeder_mils [cmil], material.
    Result: position of the size, 0 for blank.
    """
    there = panel_place.is_("other building") & (feeder_size > 0)
    return np.where(there, lookup.electrode_size(material, feeder_mils), 0)


@rule("electrode_largest")
def electrode_largest(electrode: Choice, rod_largest: np.ndarray, concrete_largest: np.ndarray) -> np.ndarray:
    """Largest conductor needed to the electrode: to rods, to concrete-encased steel.

    Section: 250.66(A), (B).
    Inputs: electrode, largest sizes. Result: position of the size, 0 for blank (no limit).
    """
    concrete = np.where(electrode.is_("concrete encased"), concrete_largest, 0)
    return np.where(electrode.is_("rods"), rod_largest, concrete).astype(np.int64)


@rule("gec_size", table_size="gec_table_size")
@rule("service_electrode_size", table_size="service_electrode_table")
def electrode_conductor_size(table_size: np.ndarray, electrode_largest: np.ndarray) -> np.ndarray:
    """The table size, never larger than the electrode needs.

    Section: 250.32 (another building), 250.66.
    Inputs: sizes. Result: position of the size, 0 for blank.
    """
    limited = np.minimum(table_size, electrode_largest)
    return np.where(electrode_largest > 0, limited, table_size)
