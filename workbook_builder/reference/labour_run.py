"""Quantities of work along the run of an added panel: raceway, conductors, cable."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule

PVC, EMT, THREADED, FLEXIBLE = range(4)
_KINDS = (("PVC 40", "PVC 80"), ("EMT",), ("RMC", "IMC"), ("FMC", "LFNC"))
ANY = float("inf")


@rule("work_pvc_small", kind=PVC, over=0.0, up_to="raceway_small")
@rule("work_pvc_medium", kind=PVC, over="raceway_small", up_to="large_raceway")
@rule("work_pvc_large", kind=PVC, over="large_raceway", up_to=ANY)
@rule("work_emt_small", kind=EMT, over=0.0, up_to="raceway_small")
@rule("work_emt_medium", kind=EMT, over="raceway_small", up_to="large_raceway")
@rule("work_emt_large", kind=EMT, over="large_raceway", up_to=ANY)
@rule("work_metal", kind=THREADED, over=0.0, up_to=ANY)
@rule("work_flexible", kind=FLEXIBLE, over=0.0, up_to=ANY)
def work_raceway(
    *,
    raceway_ft: np.ndarray,
    is_nipple: np.ndarray,
    raceway_size: np.ndarray,
    raceway_index: np.ndarray,
    wiring: Choice,
    kind: int,
    over: np.ndarray,
    up_to: np.ndarray,
) -> np.ndarray:
    """Raceway of a kind and of a class of trade sizes.

    Section: common practice.
    Inputs: raceway_ft [ft], is_nipple [0 or 1], raceway_size, wiring, kind [place in the kinds],
    raceway_index, over, up_to [positions of trade sizes]. Result: [ft]; 0 for a nipple and without a size.
    """
    installed = (is_nipple == 0) & (raceway_size > 0) & wiring.is_(*_KINDS[kind])
    return np.where(installed & (raceway_index > over) & (raceway_index <= up_to), raceway_ft, 0.0)


@rule("work_pull_moved")
def work_pull_moved(moved_wire_ft: np.ndarray, moved_wire: Choice) -> np.ndarray:
    """Conductors of moved circuits, those of 8 AWG aside.

    Section: common practice.
    Inputs: moved_wire_ft [ft], moved_wire. Result: [ft].
    """
    return np.where(moved_wire.is_("8"), 0.0, moved_wire_ft)


@rule("work_pull_8_6")
def work_pull_8_6(
    *,
    pull_ft: np.ndarray,
    feeder_mils: np.ndarray,
    pull_8_6_to: np.ndarray,
    moved_wire_ft: np.ndarray,
    moved_wire: Choice,
) -> np.ndarray:
    """Feeder conductors of the smallest class, and moved conductors of 8 AWG.

    Section: common practice.
    Inputs: lengths [ft], feeder_mils [cmil], pull_8_6_to [size], moved_wire. Result: [ft].
    """
    feeder = np.where(feeder_mils <= lookup.mils_of_size(pull_8_6_to), pull_ft, 0.0)
    return feeder + np.where(moved_wire.is_("8"), moved_wire_ft, 0.0)


@rule("work_pull_4_2", over="pull_8_6_to", up_to="pull_4_2_to")
@rule("work_pull_1", over="pull_4_2_to", up_to="pull_1_to")
def work_pull(
    pull_ft: np.ndarray, feeder_mils: np.ndarray, over: np.ndarray, up_to: np.ndarray
) -> np.ndarray:
    """Feeder conductors of a class of sizes.

    Section: common practice.
    Inputs: pull_ft [ft], feeder_mils [cmil], over, up_to [sizes]. Result: [ft].
    """
    within = (feeder_mils > lookup.mils_of_size(over)) & (feeder_mils <= lookup.mils_of_size(up_to))
    return np.where(within, pull_ft, 0.0)


@rule("work_pull_large")
def work_pull_large(pull_ft: np.ndarray, feeder_mils: np.ndarray, pull_1_to: np.ndarray) -> np.ndarray:
    """Feeder conductors of the largest class.

    Section: common practice.
    Inputs: pull_ft [ft], feeder_mils [cmil], pull_1_to [size]. Result: [ft].
    """
    return np.where(feeder_mils > lookup.mils_of_size(pull_1_to), pull_ft, 0.0)


@rule("work_nm")
def work_nm(run_ft: np.ndarray, wiring: Choice) -> np.ndarray:
    """NM-B cable of the feeder.

    Section: common practice.
    Inputs: run_ft [ft], wiring. Result: [ft].
    """
    return np.where(wiring.is_("NM-B cable"), run_ft, 0.0)


@rule("work_ser")
def work_ser(run_ft: np.ndarray, wiring: Choice) -> np.ndarray:
    """SER cable of the feeder.

    Section: common practice.
    Inputs: run_ft [ft], wiring. Result: [ft].
    """
    return np.where(wiring.is_("SER cable"), run_ft, 0.0)


@rule("work_mc")
def work_mc(run_ft: np.ndarray, wiring: Choice) -> np.ndarray:
    """MC cable of the feeder.

    Section: common practice.
    Inputs: run_ft [ft], wiring. Result: [ft].
    """
    return np.where(wiring.is_("MC cable"), run_ft, 0.0)
