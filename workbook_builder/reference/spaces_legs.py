"""Load of the legs of the added panel."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.registry import rule


@rule("leg_one_pole_va")
def leg_one_pole_va(
    *,
    moved_1pole_total: np.ndarray,
    move_2pole_used: np.ndarray,
    move_1pole_load: np.ndarray,
    move_kva: np.ndarray,
    listed_moves: np.ndarray,
    moved_va: np.ndarray,
) -> np.ndarray:
    """The usual load of a one-pole circuit, or an equal share of a moved load that is known.

    Section: own rule.
    Inputs: circuits [circuits], move_1pole_load, moved_va [VA], move_kva [kVA]. Result: [VA].
    """
    share = moved_va / (moved_1pole_total + 2.0 * move_2pole_used)
    estimated = np.isnan(move_kva) & (listed_moves == 0)
    return np.where(moved_1pole_total == 0, 0.0, np.where(estimated, move_1pole_load, share))


def unlisted_half(plain: np.ndarray, on_a: np.ndarray, on_b: np.ndarray) -> np.ndarray:
    """Half of the load that the circuit list does not hold, not under 0. Loads in [VA]."""
    return np.maximum(np.subtract(np.subtract(plain, on_a), on_b), 0.0) / 2.0


@rule("leg_a_va")
def leg_a_va(
    *,
    listed_added: np.ndarray,
    listed_leg_a_va: np.ndarray,
    listed_leg_b_va: np.ndarray,
    feeder_plain_va: np.ndarray,
    moved_1pole_total: np.ndarray,
    leg_one_pole_va: np.ndarray,
) -> np.ndarray:
    """Leg A as listed and half of the rest; else half of what is between the legs and the odd circuit.

    Section: 220.61, 408.36; 120.61 (2026).
    Inputs: circuits [circuits], loads [VA]. Result: [VA].

    Example: 3 circuits of 1500 VA and 1000 VA between the legs.
    >>> float(leg_a_va(listed_added=0, listed_leg_a_va=0, listed_leg_b_va=0, feeder_plain_va=5500.0,
    ...                moved_1pole_total=3, leg_one_pole_va=1500.0))
    3500.0
    """
    between = np.subtract(feeder_plain_va, np.multiply(moved_1pole_total, leg_one_pole_va))
    on_a = np.ceil(np.divide(moved_1pole_total, 2.0))
    listed = listed_leg_a_va + unlisted_half(feeder_plain_va, listed_leg_a_va, listed_leg_b_va)
    return np.where(np.greater(listed_added, 0), listed, between / 2.0 + on_a * leg_one_pole_va)


@rule("leg_b_va")
def leg_b_va(
    *,
    listed_added: np.ndarray,
    listed_leg_a_va: np.ndarray,
    listed_leg_b_va: np.ndarray,
    feeder_plain_va: np.ndarray,
    leg_a_va: np.ndarray,
) -> np.ndarray:
    """Leg B as listed and half of the rest; else what leg A does not carry.

    Section: 220.61, 408.36; 120.61 (2026).
    Inputs: listed_added [circuits], loads [VA]. Result: [VA].
    """
    listed = listed_leg_b_va + unlisted_half(feeder_plain_va, listed_leg_a_va, listed_leg_b_va)
    return np.where(listed_added > 0, listed, feeder_plain_va - leg_a_va)


@rule("leg_unbalance_percent")
def leg_unbalance_percent(leg_a_va: np.ndarray, leg_b_va: np.ndarray, percent: np.ndarray) -> np.ndarray:
    """How much less the smaller leg carries, of the larger one.

    Section: 220.61; 120.61 (2026).
    Inputs: loads [VA]. Result: [%]; 0 without load.

    >>> leg_unbalance_percent(np.array([4.0, 0.0]), np.array([5.0, 0.0]), 100.0).tolist()
    [20.0, 0.0]
    """
    larger = np.maximum(leg_a_va, leg_b_va)
    nothing = (leg_a_va == 0) & (leg_b_va == 0)
    return np.where(nothing, 0.0, np.abs(leg_a_va - leg_b_va) / np.where(nothing, 1.0, larger) * percent)


@rule("leg_state", words=("OK", "CHECK: the legs differ by more than the target"))
def leg_state(
    leg_unbalance_percent: np.ndarray, unbalance_target: np.ndarray, listed_added: np.ndarray
) -> np.ndarray:
    """Listed circuits load the legs alike, within the target.

    Section: common practice.
    Inputs: leg_unbalance_percent, unbalance_target [%], listed_added [circuits].
    Result: place in the words.
    """
    return np.where((leg_unbalance_percent > unbalance_target) & (listed_added > 0), 1, 0)
