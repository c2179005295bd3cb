"""What the wiring method decides: temperature columns, corrections, where it may run."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6


@rule("terminal_c")
def terminal_c(
    *,
    terminals: Choice,
    feeder_breaker_a: np.ndarray,
    wiring: Choice,
    terminal_limit: np.ndarray,
    terminal_marked: np.ndarray,
    terminal_unmarked: np.ndarray,
) -> np.ndarray:
    """Unmarked terminals hold to 60 C up to 100 A; a wiring method may cap the column.

    Section: 110.14(C)(1), 334.80.
    Inputs: terminals, feeder_breaker_a, terminal_limit [A], temperatures [C], wiring. Result: [C].
    """
    marked = terminals.is_("75 C") | (feeder_breaker_a > terminal_limit)
    column = np.where(marked, terminal_marked, terminal_unmarked)
    return np.minimum(column, lookup.number_of("wiring_method", "terminal_cap_c", wiring))


@rule("insulation_c")
def insulation_c(wiring: Choice, insulation: Choice) -> np.ndarray:
    """Temperature column from which correction starts: of the cable, else of the insulation.

    Section: 310.15(B), 334.80, 338.10.
    Inputs: wiring, insulation. Result: [C].
    """
    cable = lookup.number_of("wiring_method", "insulation_c", wiring)
    single = lookup.number_of("insulation", "temperature_c", insulation)
    return np.where(np.isnan(cable), single, cable)


@rule("ambient_factor")
def ambient_factor(ambient_c: np.ndarray, insulation_c: np.ndarray) -> np.ndarray:
    """Correction for the ambient temperature; 0 where the insulation may not be used.

    Section: Table 310.15(B)(2)(a) (2017), Table 310.15(B)(1)(1) (2020 and later).
    Inputs: ambient_c, insulation_c [C]. Result: [1].
    Limits: a row holds up to and with its temperature.

    Example: 120 F (49 C) and 55 C, both in the 90 C column,
    https://stallcupeducation.learnworlds.com/blog/applying-correction-factors-article and
    https://engineerboards.com/threads/nec-table-310-15-b-2-a-and-b.27269
    >>> float(ambient_factor(49, 90)), float(ambient_factor(55, 90))
    (0.82, 0.76)
    """
    row = lookup.first_row_from("ambient_factor", "upper_c", ambient_c)
    found = np.zeros(np.broadcast(row, insulation_c).shape)
    for column in lookup.TEMPERATURES:
        values = lookup.at_position("ambient_factor", f"{column:g}", row)
        found = np.where(np.equal(insulation_c, column), values, found)
    return np.where(np.isnan(found), 0.0, found)


@rule("adjustment_factor")
def adjustment_factor(
    *,
    wiring: Choice,
    raceway_in: np.ndarray,
    nipple_length: np.ndarray,
    current_carrying_conductors: np.ndarray,
) -> np.ndarray:
    """Adjustment for more than three current-carrying conductors; none for a cable or a nipple.

    Section: Table 310.15(B)(3)(a) (2017), Table 310.15(C)(1) (2020 and later).
    Inputs: wiring, lengths [in], current_carrying_conductors [conductors]. Result: [1].

    Example: four conductors, https://forums.mikeholt.com/threads/derating-adjustment.111900
    >>> pvc = Choice.of(lookup.words("wiring_method", "wiring"), "PVC 40")
    >>> adjustment_factor(wiring=pvc, raceway_in=120, nipple_length=24,
    ...                   current_carrying_conductors=np.array([4])).tolist()
    [0.8]
    """
    row = lookup.last_row_from("count_factor", "conductors_from", current_carrying_conductors)
    factor = lookup.at_position("count_factor", "factor", row)
    whole = lookup.is_cable(wiring) | np.less_equal(raceway_in, nipple_length)
    return np.where(whole, 1.0, factor)


@rule("correction")
def correction(ambient_factor: np.ndarray, adjustment_factor: np.ndarray) -> np.ndarray:
    """Ambient and count corrections multiply.

    Section: 310.15.
    Inputs: factors [1]. Result: [1].
    """
    return ambient_factor * adjustment_factor


def over_correction(amperes: np.ndarray, correction: np.ndarray) -> np.ndarray:
    """Current that the uncorrected table must show [A]; NaN where the correction is 0."""
    divisor = np.where(np.equal(correction, 0), np.nan, correction)
    return round6(np.divide(amperes, divisor))


@rule("run_wet", words=("no", "yes"))
def run_wet(wet_location: np.ndarray, room: Choice, panel_place: Choice) -> np.ndarray:
    """Part of the run is wet, the added panel hangs outdoors, or the run crosses to another building.

    Section: 334.12, 330.12, 348.12, article 100.
    Inputs: wet_location [yes or no], room, panel_place. Result: place in the words.
    """
    crosses = panel_place.is_("other building")
    return (wet_location | room.is_("outdoors") | crosses).astype(np.int8)


@rule(
    "wiring_wet_state",
    words=(
        "OK",
        "STOP: NM-B cable is for dry places indoors",
        "CHECK: only where listed for wet places",
    ),
)
def wiring_wet_state(wiring: Choice, run_wet: np.ndarray) -> np.ndarray:
    """What the wiring method does not permit in wet places.

    Section: 334.12, 330.12, 348.12.
    Inputs: wiring, run_wet [yes or no]. Result: place in the words.
    """
    return first_true((wiring.is_("NM-B cable") & run_wet, wiring.is_("MC cable", "FMC") & run_wet))


@rule(
    "wiring_state",
    words=(
        "OK",
        "STOP: this wiring method is not for burial",
        "STOP: NM-B cable is for dry places indoors",
        "CHECK: only where listed for wet places",
    ),
)
def wiring_state(wiring: Choice, trench_ft: np.ndarray, wiring_wet_state: Choice) -> np.ndarray:
    """What the wiring method does not permit: burial, then wet places.

    Section: 334.12, 338.12, 330.12, 348.12.
    Inputs: wiring, trench_ft [ft], wiring_wet_state [text]. Result: place in the words.
    """
    buried = wiring.is_("NM-B cable", "SER cable", "MC cable", "FMC") & (trench_ft > 0)
    return first_true((buried, wiring_wet_state.codes == 1, wiring_wet_state.codes == 2))


@rule("wiring_index")
def wiring_index(wiring: Choice) -> np.ndarray:
    """Row of the wiring method in its table.

    Section: own rule.
    Inputs: wiring. Result: [position].
    """
    rows = lookup.words("wiring_method", "wiring")
    return wiring.pick({word: float(place) for place, word in enumerate(rows, start=1)})


@rule("wiring_kind", words=("cable", "raceway"))
def wiring_kind(wiring: Choice) -> np.ndarray:
    """A wiring method is a raceway or a cable.

    Section: chapter 3.
    Inputs: wiring. Result: place in the words.
    """
    return np.where(lookup.is_cable(wiring), 0, 1)


@rule("burial_column", words=lookup.burial_columns())
def burial_column(wiring: Choice) -> np.ndarray:
    """Column of the burial table for the wiring method.

    Section: Table 300.5 (2017, 2020), Table 300.5(A) (2023 and later).
    Inputs: wiring. Result: place in the words; blank for a method that is not to be buried.
    """
    place = np.full(wiring.codes.shape, -1, dtype=np.int64)
    for number, column in enumerate(lookup.burial_columns()):
        place = np.where(lookup.has_word("wiring_method", "cover", column, wiring), number, place)
    return place


@rule("terminal_key", words=lookup.ampacity_columns(), column_c="terminal_c")
@rule("insulation_key", words=lookup.ampacity_columns(), column_c="insulation_c")
def ampacity_key(material: Choice, column_c: np.ndarray) -> np.ndarray:
    """Column of the ampacity table: metal and temperature.

    Section: Table 310.15(B)(16) (2017), Table 310.16 (2020 and later).
    Inputs: material, column_c [C]. Result: place in the words; blank for a column not printed.
    """
    place = lookup.ampacity_column(material, column_c)
    return np.where(place < len(lookup.ampacity_columns()), place, -1)
