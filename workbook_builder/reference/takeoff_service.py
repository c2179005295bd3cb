"""Material of a larger service."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule


@rule("service_conductor_ft")
def service_conductor_ft(
    *,
    service_conductor_size: np.ndarray,
    service_run_ft: float,
    service_feed_ft: float,
    emergency_disconnect: np.ndarray,
    waste_percent: float,
    percent: np.ndarray,
) -> np.ndarray:
    """Three service conductors, and four from an outdoor disconnect to the panel, with waste.

    Section: 310.15(B)(7), 230.85 (2017), 310.12, 230.85 (2020, 2023), 310.12, 230.70 (2026).
    Inputs: service_conductor_size, lengths [ft], emergency_disconnect [each], shares [%].
    Result: [ft]; 0 without a size.
    """
    feed = np.where(np.equal(emergency_disconnect, 1), 4.0 * service_feed_ft, 0.0)
    length = (3.0 * service_run_ft + feed) * (1.0 + waste_percent / percent)
    return np.where(service_conductor_size > 0, length, 0.0)


@rule("service_mils")
def service_mils(service_conductor_size: np.ndarray) -> np.ndarray:
    """Circular mils of the service conductors.

    Section: 250.66.
    Inputs: service_conductor_size. Result: [cmil]; blank without a size.
    """
    return lookup.circular_mils(service_conductor_size)


@rule("service_electrode_table")
def service_electrode_table(service_mils: np.ndarray, material: Choice) -> np.ndarray:
    """Copper electrode conductor by the size of the service conductors.

    Section: 250.66.
    Inputs: service_mils [cmil], material. Result: position of the size, 0 for blank.
    """
    return np.where(np.isnan(service_mils), 0, lookup.electrode_size(material, service_mils))


@rule("meter_bases_small")
def meter_bases_small(new_service_a: np.ndarray, meter_small: np.ndarray) -> np.ndarray:
    """A small meter base.

    Section: common practice.
    Inputs: ratings [A]. Result: [each]; 0 without a larger service.
    """
    return np.where(new_service_a <= meter_small, 1.0, 0.0)


@rule("meter_bases_large")
def meter_bases_large(new_service_a: np.ndarray, meter_small: np.ndarray) -> np.ndarray:
    """A large meter base.

    Section: common practice.
    Inputs: ratings [A]. Result: [each]; 0 without a larger service.
    """
    return np.where(new_service_a > meter_small, 1.0, 0.0)


@rule("emergency_disconnects", count="emergency_disconnect")
@rule("service_ground_bars", count="emergency_disconnect")
@rule("service_surge", count="surge_service")
def by_edition(count: np.ndarray) -> np.ndarray:
    """What the edition asks for with a new service.

    Section: 230.85 (2020, 2023), 230.70 (2026) (disconnect), 250.24, 408.40 (ground bar), 230.67 (surge).
    Inputs: count [each]. Result: [each].
    """
    return count


@rule("service_rods")
def service_rods(electrode: Choice, rods_driven: float) -> np.ndarray:
    """Rods of the service.

    Section: 250.53.
    Inputs: electrode, rods_driven [each]. Result: [each].
    """
    return np.where(electrode.is_("rods"), rods_driven, 0.0)


@rule("service_clamps")
def service_clamps(electrode: Choice) -> np.ndarray:
    """A clamp at an electrode that is there already.

    Section: 250.70.
    Inputs: electrode. Result: [each].
    """
    return np.where(electrode.is_("rods"), 0.0, 1.0)


@rule("bonding_jumpers")
def bonding_jumpers() -> float:
    """A bonding jumper to the water and one to the gas pipes.

    Section: 250.104.
    Inputs: none. Result: [each].
    """
    return 2.0


@rule("service_inhibitors")
def service_inhibitors(material: Choice) -> np.ndarray:
    """Oxide inhibitor where the service conductors are aluminum.

    Section: 110.14.
    Inputs: material. Result: [each].
    """
    return np.where(material.is_("aluminum"), 1.0, 0.0)
