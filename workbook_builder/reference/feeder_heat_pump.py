"""The circuit of a new heat pump, by its nameplate: breaker and conductors."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.feeder_conductor import feeder_size
from workbook_builder.reference.registry import rule


@rule("hp_breaker_a")
def hp_breaker_a(add_heat_pump_kva: np.ndarray, hp_mocp_a: np.ndarray) -> np.ndarray:
    """The largest standard rating that the nameplate permits.

    Section: 240.6(A), 440.22(C).
    Inputs: add_heat_pump_kva [kVA], hp_mocp_a [A]. Result: [A]; blank without a new heat pump, without
    that nameplate value and under the smallest rating.

    Example: a maximum of 47 A permits 45 A (Table 240.6(A)).
    >>> [float(hp_breaker_a(5.0, most)) for most in (47.0, 50.0, 14.9, np.nan)]
    [45.0, 50.0, nan, nan]
    """
    row = lookup.last_row_from("standard_rating", "rating_a", hp_mocp_a)
    rating = lookup.at_position("standard_rating", "rating_a", row)
    permitted = np.greater(add_heat_pump_kva, 0) & (rating <= hp_mocp_a)
    return np.where(permitted, rating, np.nan)


@rule("hp_raceway_index", column_c="terminal_marked")
@rule("hp_cable_index", column_c="terminal_unmarked")
def hp_size_index(*, add_heat_pump_kva: np.ndarray, hp_mca_a: np.ndarray, column_c: np.ndarray) -> np.ndarray:
    """The smallest copper size that carries the nameplate ampacity, which has the 25 percent in it.

    Section: 440.35, 240.4(G), 110.14(C), 334.80 (NM-B cable); Table 310.15(B)(16) (2017), Table 310.16
    (2020 and later).
    Inputs: add_heat_pump_kva [kVA], hp_mca_a [A], column_c [C]. Result: position of the size, one more
    than there are where none carries it; blank without a new heat pump and without that nameplate value.
    Limits: neither heat nor a drop of voltage over the run is judged. The limits of small conductors
    do not bind this equipment.

    Example: a minimum of 20.5 A at 75 C is 12 AWG, http://forums.mikeholt.com/showthread.php?t=107849
    >>> place = hp_size_index(
    ...     add_heat_pump_kva=np.array([4.0]), hp_mca_a=np.array([20.5]), column_c=np.array([75.0]))
    >>> lookup.sizes()[int(place[0]) - 1]
    '12'
    """
    size = lookup.size_from(Choice.of(lookup.METALS, "copper"), column_c, hp_mca_a)
    asked = np.greater(add_heat_pump_kva, 0) & np.greater(hp_mca_a, 0)
    return np.where(asked, size, np.nan)


@rule("hp_size_raceway")
def hp_size_raceway(hp_raceway_index: np.ndarray) -> np.ndarray:
    """The size in a raceway, in the column of marked terminals.

    Section: 440.35, 240.4(G), 110.14(C); Table 310.15(B)(16) (2017), Table 310.16 (2020 and later).
    Inputs: hp_raceway_index. Result: position of the size, 0 for blank.
    """
    return feeder_size(np.nan_to_num(hp_raceway_index)).astype(np.int64)


@rule("hp_size_cable")
def hp_size_cable(hp_cable_index: np.ndarray, nm_largest: np.ndarray) -> np.ndarray:
    """The size of NM-B cable, as far as the cable is made.

    Section: 334.80, 334.104, 240.4(G); tables as for the raceway.
    Inputs: hp_cable_index, nm_largest [position of a size]. Result: position of the size, 0 for blank.
    """
    made = np.less_equal(hp_cable_index, nm_largest)
    return np.where(made, np.nan_to_num(hp_cable_index), 0).astype(np.int64)
