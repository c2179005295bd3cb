"""Checks of the feeder and of its way underground or to another building, made by no other rule."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule


def _cable(in_added: np.ndarray, is_raceway: np.ndarray) -> np.ndarray:
    """True where an added panel is fed by a cable."""
    return np.not_equal(in_added, 0) & np.equal(is_raceway, 0)


@rule(
    "point_insulation",
    words=("OK", "CHECK: cable in thermal insulation: look up its temperature limit"),
)
def point_insulation(
    in_added: np.ndarray, is_raceway: np.ndarray, cable_in_insulation: np.ndarray
) -> np.ndarray:
    """A cable in thermal insulation may be held to a lower temperature.

    Section: 334.80, 338.10.
    Inputs: in_added, is_raceway [0 or 1], cable_in_insulation [yes or no]. Result: place in the words.
    """
    return np.where(_cable(in_added, is_raceway) & cable_in_insulation, 1, 0)


@rule(
    "point_cable_entry",
    words=("OK", "CHECK: each cable is secured to the cabinet, none through a nipple"),
)
def point_cable_entry(in_added: np.ndarray, is_raceway: np.ndarray, panel_place: Choice) -> np.ndarray:
    """Cables between two cabinets on one wall enter each by a fitting of their own.

    Section: 312.5(C).
    Inputs: in_added, is_raceway [0 or 1], panel_place. Result: place in the words.
    """
    return np.where(_cable(in_added, is_raceway) & panel_place.is_("same wall"), 1, 0)


@rule(
    "point_moved_raceway",
    words=("OK", "CHECK: a cable holds no moved circuits; they need their own way"),
)
def point_moved_raceway(
    in_added: np.ndarray, is_raceway: np.ndarray, moved_in_raceway: np.ndarray
) -> np.ndarray:
    """Moved circuits share a raceway with the feeder, not a cable.

    Section: 300.3.
    Inputs: in_added, is_raceway [0 or 1], moved_in_raceway [yes or no]. Result: place in the words.
    """
    return np.where(_cable(in_added, is_raceway) & moved_in_raceway, 1, 0)


def _buried(in_added: np.ndarray, trench_ft: np.ndarray) -> np.ndarray:
    """True where the feeder of an added panel lies in a trench."""
    return np.not_equal(in_added, 0) & np.greater(trench_ft, 0)


@rule("point_call", words=("OK", "CHECK: have buried utilities located before digging"))
def point_call(in_added: np.ndarray, trench_ft: np.ndarray) -> np.ndarray:
    """Buried utilities are located before a trench is dug.

    Section: common practice.
    Inputs: in_added [0 or 1], trench_ft [ft]. Result: place in the words.
    """
    return np.where(_buried(in_added, trench_ft), 1, 0)


@rule("point_rock", words=("OK", "CHECK: rock: concrete over the raceway down to rock"))
def point_rock(in_added: np.ndarray, trench_ft: np.ndarray, cover_case: Choice) -> np.ndarray:
    """A raceway in rock is covered with concrete down to the rock.

    Section: Table 300.5.
    Inputs: in_added [0 or 1], trench_ft [ft], cover_case. Result: place in the words.
    """
    return np.where(_buried(in_added, trench_ft) & cover_case.is_("rock"), 1, 0)


@rule(
    "point_buried_tubing",
    words=("OK", "CHECK: buried EMT needs corrosion protection suited to the soil"),
)
def point_buried_tubing(in_added: np.ndarray, trench_ft: np.ndarray, wiring: Choice) -> np.ndarray:
    """Steel tubing in earth is protected against corrosion.

    Section: 358.10.
    Inputs: in_added [0 or 1], trench_ft [ft], wiring. Result: place in the words.
    """
    return np.where(_buried(in_added, trench_ft) & wiring.is_("EMT"), 1, 0)


@rule("point_rods", words=("OK", "CHECK: one rod only where 25 ohm is proven"))
def point_rods(
    *,
    rods_driven: np.ndarray,
    electrode: Choice,
    in_service: np.ndarray,
    in_added: np.ndarray,
    is_building: np.ndarray,
) -> np.ndarray:
    """A single ground rod, at a new service or at another building, needs a measurement.

    Section: 250.53(A).
    Inputs: rods_driven [each], electrode, in_service, in_added, is_building [0 or 1].
    Result: place in the words.
    """
    at_building = np.equal(in_added, 1) & np.equal(is_building, 1)
    driven = electrode.is_("rods") & (np.equal(in_service, 1) | at_building)
    return np.where(driven & np.less(rods_driven, 2), 1, 0)


@rule(
    "point_electrode_wire",
    words=("OK", "CHECK: 8 AWG to the electrode needs protection against damage"),
)
def point_electrode_wire(
    *,
    in_added: np.ndarray,
    gec_size: np.ndarray,
    in_service: np.ndarray,
    service_electrode_size: np.ndarray,
    electrode_protected: np.ndarray,
) -> np.ndarray:
    """The smallest conductor to an electrode is protected against damage.

    Section: 250.64(B).
    Inputs: in_added, in_service [0 or 1], sizes [positions, 0 for blank]. Result: place in the words.
    """
    at_panel = np.equal(in_added, 1) & np.equal(gec_size, electrode_protected)
    at_service = np.equal(in_service, 1) & np.equal(service_electrode_size, electrode_protected)
    return np.where(at_panel | at_service, 1, 0)
