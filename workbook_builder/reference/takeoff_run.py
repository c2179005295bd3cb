"""Material along the run of an added panel: fittings, supports, seals, trench, repairs."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import whole_above


@rule("adapters_small")
def adapters_small(is_raceway: np.ndarray, is_large_raceway: np.ndarray) -> np.ndarray:
    """A terminal adapter at each end of a smaller raceway.

    Section: common practice.
    Inputs: kinds of run [0 or 1]. Result: [each].
    """
    return np.where((is_raceway == 1) & (is_large_raceway == 0), 2.0, 0.0)


@rule("adapters_large", kind="is_large_raceway")
@rule("locknuts", kind="is_raceway")
@rule("duct_seals", kind="is_building")
def two_each(kind: np.ndarray) -> np.ndarray:
    """Two of these, one at each end, on that kind of run.

    Section: common practice; 300.5(G), 300.7(A) (duct seal).
    Inputs: kind [0 or 1]. Result: [each].
    """
    return 2.0 * kind


@rule("elbows_small", large=0.0)
@rule("elbows_large", large=1.0)
def elbows(
    *,
    is_raceway: np.ndarray,
    is_nipple: np.ndarray,
    is_large_raceway: np.ndarray,
    large: float,
    is_inside: np.ndarray,
    elbows_building: float,
    is_building: np.ndarray,
    elbows_trench: float,
) -> np.ndarray:
    """Elbows of one class of raceway: inside the building, or sweeps to another one.

    Section: common practice.
    Inputs: kinds of run, large [0 or 1], counts [each]. Result: [each]; 0 for a nipple.
    """
    count = np.where(is_inside == 1, elbows_building, np.where(is_building == 1, elbows_trench, 0.0))
    return np.where((is_raceway == 1) & (is_nipple == 0) & (is_large_raceway == large), count, 0.0)


@rule("bodies_small", large=0.0)
@rule("bodies_large", large=1.0)
def conduit_bodies(
    *,
    is_raceway: np.ndarray,
    is_nipple: np.ndarray,
    is_large_raceway: np.ndarray,
    large: float,
    panel_place: Choice,
) -> np.ndarray:
    """One conduit body of one class of raceway where the run leaves the wall.

    Section: common practice.
    Inputs: kinds of run, large [0 or 1], panel_place. Result: [each]; 0 for a nipple.
    """
    leaves = ~panel_place.is_("same wall")
    there = (is_raceway == 1) & (is_nipple == 0) & (is_large_raceway == large) & leaves
    return np.where(there, 1.0, 0.0)


@rule("expansion_fittings")
def expansion_fittings(expansion_fitting: np.ndarray, is_building: np.ndarray) -> np.ndarray:
    """One fitting where the raceway grows that much, two to another building.

    Section: 352.44.
    Inputs: expansion_fitting [yes or no], is_building [0 or 1]. Result: [each].
    """
    return np.where(expansion_fitting, 1.0 + is_building, 0.0)


@rule("straps")
def straps(
    *, is_raceway: np.ndarray, is_nipple: np.ndarray, exposed_ft: np.ndarray, strap_spacing_ft: float
) -> np.ndarray:
    """Straps along the exposed raceway, and one more at each end.

    Section: common practice.
    Inputs: kinds of run [0 or 1], lengths [ft]. Result: [each]; 0 for a nipple.
    """
    count = whole_above(exposed_ft / strap_spacing_ft) + 2.0
    return np.where((is_raceway == 1) & (is_nipple == 0), count, 0.0)


@rule("nm_connectors")
def nm_connectors(wiring: Choice) -> np.ndarray:
    """A connector at each end of NM-B cable.

    Section: 312.5(C).
    Inputs: wiring. Result: [each].
    """
    return np.where(wiring.is_("NM-B cable"), 2.0, 0.0)


@rule("large_connectors")
def large_connectors(wiring: Choice) -> np.ndarray:
    """A connector at each end of SER or MC cable.

    Section: 312.5(C).
    Inputs: wiring. Result: [each].
    """
    return np.where(wiring.is_("SER cable", "MC cable"), 2.0, 0.0)


@rule("staples")
def staples(is_raceway: np.ndarray, run_ft: np.ndarray, staple_spacing_ft: float) -> np.ndarray:
    """Staples and stand-offs along the cable, and two more at each end.

    Section: 334.30, 338.12, 330.30.
    Inputs: is_raceway [0 or 1], lengths [ft]. Result: [each].
    """
    return np.where(is_raceway == 0, whole_above(run_ft / staple_spacing_ft) + 4.0, 0.0)


@rule("nail_plates")
def nail_plates(
    *,
    is_raceway: np.ndarray,
    is_inside: np.ndarray,
    is_finished: np.ndarray,
    run_ft: np.ndarray,
    plate_spacing_ft: float,
) -> np.ndarray:
    """Plates that guard a cable in the finished walls of the building.

    Section: 300.4.
    Inputs: kinds of run [0 or 1], lengths [ft]. Result: [each].
    """
    guarded = (is_raceway == 0) & (is_inside == 1) & (is_finished == 1)
    return np.where(guarded, whole_above(run_ft / plate_spacing_ft), 0.0)


@rule("sealants")
def sealants(is_inside: np.ndarray, is_building: np.ndarray) -> np.ndarray:
    """Sealant for one hole inside the building, for two to another one.

    Section: 300.21.
    Inputs: places [0 or 1]. Result: [each].
    """
    return is_inside + 2 * is_building


@rule("warning_tapes")
def warning_tapes(trench_ft: np.ndarray) -> np.ndarray:
    """One roll where there is a trench.

    Section: common practice.
    Inputs: trench_ft [ft]. Result: [each].
    """
    return np.where(trench_ft > 0, 1.0, 0.0)


@rule("trencher_days")
def trencher_days(trench_by: Choice, trench_ft: np.ndarray, half_day_ft: float) -> np.ndarray:
    """Half days of a trencher.

    Section: common practice.
    Inputs: trench_by, lengths [ft]. Result: [half days].
    """
    return np.where(trench_by.is_("hand"), 0.0, whole_above(trench_ft / half_day_ft))


@rule("wall_repairs")
def wall_repairs(
    *,
    is_inside: np.ndarray,
    is_finished: np.ndarray,
    access: Choice,
    repairs_normal: float,
    repairs_hard: float,
) -> np.ndarray:
    """Openings in finished walls of the building, by access.

    Section: common practice.
    Inputs: places [0 or 1], access, openings [each]. Result: [each]; none with easy access.
    """
    opened = access.pick({"normal": repairs_normal, "hard": repairs_hard}, missing=0.0)
    return np.where((is_inside == 1) & (is_finished == 1), opened, 0.0)
