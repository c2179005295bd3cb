"""The raceway of the feeder: fill, moved circuits inside it, burial and expansion."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import BLANK, Choice
from workbook_builder.reference.registry import rule

COPPER = Choice(lookup.METALS, np.array(0))


def unless_cable(wiring: Choice, value: np.ndarray) -> np.ndarray:
    """The value, blank (NaN) where the wiring method is a cable."""
    return np.where(lookup.is_cable(wiring), np.nan, value)


@rule("current_carrying_conductors")
def current_carrying_conductors(
    moved_inside: np.ndarray, line_v: np.ndarray, wye_voltage: np.ndarray
) -> np.ndarray:
    """Two of the feeder, its neutral only on a wye supply, and two of each moved circuit.

    Section: 310.15(B)(5) (2017), 310.15(E) (2020 and later).
    Inputs: moved_inside [circuits], voltages [V]. Result: [conductors]; blank for a cable.
    """
    return np.where(np.equal(line_v, wye_voltage), 3.0, 2.0) + 2.0 * moved_inside


@rule("conductor_count")
def conductor_count(
    *,
    wiring: Choice,
    moved_in_raceway: np.ndarray,
    moved_1pole_total: np.ndarray,
    move_2pole_used: np.ndarray,
) -> np.ndarray:
    """All conductors of the raceway: four of the feeder, three or four of a moved circuit.

    Section: Chapter 9 note 3.
    Inputs: wiring, circuits [circuits]. Result: [conductors]; blank for a cable.
    """
    moved = np.where(moved_in_raceway, 3.0 * moved_1pole_total + 4.0 * move_2pole_used, 0.0)
    return unless_cable(wiring, 4.0 + moved)


def insulated_area_in2(insulation: Choice, size: np.ndarray) -> np.ndarray:
    """Area of an insulated conductor [in2]; NaN for a blank size. Source: Chapter 9 Table 5."""
    area = np.full(np.broadcast(insulation.codes, size).shape, np.nan)
    for name in insulation.words:
        here = lookup.at_position("conductor_area", name, size)
        area = np.where(insulation.is_(name), here, area)
    return area


@rule("hot_area_in2", size="feeder_size")
@rule("neutral_area_in2", size="neutral_size")
def conductor_of_size_in2(wiring: Choice, insulation: Choice, size: np.ndarray) -> np.ndarray:
    """Area of one ungrounded conductor, or of the neutral.

    Section: Chapter 9 Table 5.
    Inputs: wiring, insulation, size. Result: [in2]; blank for a cable and without a size.
    """
    return unless_cable(wiring, insulated_area_in2(insulation, size))


def grounding_area_in2(insulation: Choice, insulated_egc: np.ndarray, size: np.ndarray) -> np.ndarray:
    """Area of a grounding conductor, insulated or bare [in2]; NaN for a blank size."""
    bare = lookup.at_position("bare_conductor", "area_in2", size)
    return np.where(insulated_egc, insulated_area_in2(insulation, size), bare)


@rule("egc_area_in2")
def egc_area_in2(
    wiring: Choice, insulation: Choice, insulated_egc: np.ndarray, egc_size: np.ndarray
) -> np.ndarray:
    """Area of the grounding conductor, insulated or bare.

    Section: Chapter 9 Tables 5 and 8.
    Inputs: wiring, insulation, insulated_egc [yes or no], egc_size. Result: [in2]; blank for a
    cable and without a size.
    """
    return unless_cable(wiring, grounding_area_in2(insulation, insulated_egc, egc_size))


@rule("egc_position")
def egc_position(egc_size: np.ndarray) -> np.ndarray:
    """Position of the grounding size in the tables of conductors.

    Section: own rule.
    Inputs: egc_size. Result: [position]; blank without a size.
    """
    return np.where(egc_size == 0, np.nan, egc_size)


@rule("conductor_area_in2")
def conductor_area_in2(
    hot_area_in2: np.ndarray,
    neutral_area_in2: np.ndarray,
    egc_area_in2: np.ndarray,
    moved_area_in2: np.ndarray,
) -> np.ndarray:
    """All conductors of the raceway.

    Section: Chapter 9 notes 3 and 6.
    Inputs: areas [in2]. Result: [in2]; blank for a cable and without a size.
    """
    return 2.0 * hot_area_in2 + neutral_area_in2 + egc_area_in2 + moved_area_in2


@rule("fill_limit_percent")
def fill_limit_percent(
    *,
    wiring: Choice,
    raceway_in: np.ndarray,
    nipple_length: np.ndarray,
    nipple_fill: np.ndarray,
    conductor_count: np.ndarray,
) -> np.ndarray:
    """Share of the raceway that the conductors may fill.

    Section: Chapter 9 Table 1, note 4.
    Inputs: wiring, lengths [in], nipple_fill [%], conductor_count [conductors]. Result: [%];
    blank for a cable.
    """
    row = lookup.last_row_from("fill_limit", "conductors_from", conductor_count)
    limit = lookup.at_position("fill_limit", "percent", row)
    return unless_cable(wiring, np.where(raceway_in <= nipple_length, nipple_fill, limit))


@rule("raceway_bore", words=lookup.raceways())
def raceway_bore(wiring: Choice, panel_place: Choice) -> np.ndarray:
    """The raceway whose bore decides: the risers of PVC to another building are schedule 80.

    Section: 352.10(F), 300.5(D)(4).
    Inputs: wiring, panel_place. Result: place in the words; blank for a cable.
    """
    places = {bore: number for number, bore in enumerate(lookup.raceways())}
    plain = wiring.pick(places, missing=-1).astype(np.int64)
    exposed = wiring.is_("PVC 40") & panel_place.is_("other building")
    return np.where(exposed, places["PVC 80"], plain)


def bore_area_in2(raceway: str) -> np.ndarray:
    """Inside area of each trade size of a raceway [in2], unrounded; NaN where not made."""
    return np.pi / 4.0 * lookup.numbers("raceway_diameter", raceway) ** 2


@rule("raceway_index")
def raceway_index(
    *,
    raceway_bore: Choice,
    conductor_area_in2: np.ndarray,
    fill_limit_percent: np.ndarray,
    percent: np.ndarray,
) -> np.ndarray:
    """Smallest trade size whose permitted area holds the conductors.

    Section: Chapter 9 Tables 1 and 4.
    Inputs: raceway_bore, conductor_area_in2 [in2], fill_limit_percent [%].
    Result: position of the trade size; one more than are made where none fits; blank for a
    cable and without conductors.
    Limits: areas of the raceway are not rounded.

    Example: fifteen 10 AWG THWN (0.0211 in2) fit 1 in. PVC 40, sixteen do not,
    http://www.electricianmath.com/areavolume/conduitfilllookups.htm
    >>> pvc = Choice.of(("PVC 40",), "PVC 40")
    >>> [float(raceway_index(raceway_bore=pvc, conductor_area_in2=np.array([count * 0.0211]),
    ...        fill_limit_percent=np.array([40.0]), percent=100)[0]) for count in (15, 16)]
    [3.0, 4.0]
    """
    index = np.full(np.shape(conductor_area_in2), np.nan)
    for bore in raceway_bore.words:
        here = raceway_bore.is_(bore)
        if not here.any():
            continue
        areas = bore_area_in2(bore)
        areas = areas[~np.isnan(areas)]
        limit = fill_limit_percent[here]
        place = np.zeros(limit.shape)
        for share in np.unique(limit[~np.isnan(limit)]):
            rows = limit == share
            permitted = areas * (share / percent)
            wanted = conductor_area_in2[here][rows]
            place[rows] = np.searchsorted(permitted, wanted, side="left") + 1
        index[here] = place
    return np.where(np.isnan(conductor_area_in2), np.nan, index)


@rule("raceway_size")
def raceway_size(raceway_index: np.ndarray, raceway_bore: Choice) -> np.ndarray:
    """The trade size at that position; blank past the sizes made.

    Section: Chapter 9 Table 4.
    Inputs: raceway_index, raceway_bore. Result: position of the trade size, 0 for blank.
    """
    made = {bore: np.sum(~np.isnan(bore_area_in2(bore))) for bore in raceway_bore.words}
    fits = raceway_index <= raceway_bore.pick(made, missing=0)
    return np.where(fits, raceway_index, 0.0).astype(np.int64)


@rule("raceway_bore_in")
def raceway_bore_in(raceway_bore: Choice, raceway_size: np.ndarray) -> np.ndarray:
    """Inside diameter of the trade size.

    Section: Chapter 9 Table 4.
    Inputs: raceway_bore, raceway_size. Result: [in]; blank without a trade size.
    """
    return lookup.by_column("raceway_diameter", raceway_bore, raceway_size)


@rule("raceway_fill_percent")
def raceway_fill_percent(
    conductor_area_in2: np.ndarray, raceway_bore_in: np.ndarray, percent: np.ndarray
) -> np.ndarray:
    """Share of the raceway that the conductors fill.

    Section: Chapter 9 Table 1.
    Inputs: conductor_area_in2 [in2], raceway_bore_in [in]. Result: [%]; blank without a trade
    size.
    """
    return conductor_area_in2 / (np.pi / 4.0 * raceway_bore_in**2) * percent


@rule("raceway_state", words=("OK", "STOP: no trade size of this raceway holds the conductors"))
def raceway_state(raceway_index: np.ndarray, raceway_size: np.ndarray) -> np.ndarray:
    """Stops where the conductors fit no trade size.

    Section: Chapter 9 Table 1.
    Inputs: positions of trade sizes. Result: place in the words.
    """
    return np.where(~np.isnan(raceway_index) & (raceway_size == 0), 1, 0)


@rule("conductor_od_in")
def conductor_od_in(wiring: Choice, insulation: Choice, feeder_size: np.ndarray) -> np.ndarray:
    """Outside diameter of one ungrounded conductor.

    Section: Chapter 9 Table 5.
    Inputs: wiring, insulation, feeder_size. Result: [in]; blank for a cable and without a size.
    """
    return unless_cable(wiring, lookup.by_column("conductor_diameter", insulation, feeder_size))


@rule("jam_ratio")
def jam_ratio(
    *,
    raceway_bore_in: np.ndarray,
    conductor_od_in: np.ndarray,
    raceway_in: np.ndarray,
    nipple_length: np.ndarray,
    neutral_size: np.ndarray,
    feeder_size: np.ndarray,
) -> np.ndarray:
    """The bore over the diameter of the conductors, where three of them are alike.

    Section: Chapter 9 Table 1, informational note.
    Inputs: diameters and lengths [in], sizes. Result: [1]; blank without a trade size, in a nipple,
    which has no bends, and where the neutral has another size.

    Example: three 2 AWG THHN in 1 in. rigid metal conduit, 2.76 (cut, not rounded),
    https://forums.mikeholt.com/threads/jam-ratio.94387/page-2
    >>> ratio = jam_ratio(raceway_bore_in=1.063, conductor_od_in=0.384, raceway_in=360, nipple_length=24,
    ...                   neutral_size=8, feeder_size=8)
    >>> int(ratio * 100) / 100
    2.76
    """
    three_alike = np.equal(neutral_size, feeder_size)
    in_bends = np.greater(raceway_in, nipple_length)
    return np.where(three_alike & in_bends, np.divide(raceway_bore_in, conductor_od_in), np.nan)


@rule(
    "jam_advice",
    words=("At this ratio three conductors alone may jam in bends; beside a fourth it is rare. Lubricate.",),
)
def jam_advice(jam_ratio: np.ndarray, jam_least: np.ndarray, jam_most: np.ndarray) -> np.ndarray:
    """Three conductors that are nearly as wide as the bore may lie beside one another and wedge in a bend.

    Section: Chapter 9 Table 1, informational note.
    Inputs: ratios [1]. Result: place in the words; blank where they do not jam.

    >>> [int(jam_advice(ratio, 2.8, 3.2)) for ratio in (2.799999, 2.8, 3.2, 3.200001, np.nan)]
    [-1, 0, 0, -1, -1]
    """
    jams = np.greater_equal(jam_ratio, jam_least) & np.less_equal(jam_ratio, jam_most)
    return np.where(jams, 0, BLANK).astype(np.int8)


@rule("cover_in")
def cover_in(trench_ft: np.ndarray, burial_column: Choice, cover_case: Choice) -> np.ndarray:
    """Least cover over the buried wiring method.

    Section: Table 300.5 (2017, 2020), Table 300.5(A) (2023 and later).
    Inputs: trench_ft [ft], burial_column, cover_case. Result: [in]; blank without a trench and
    for a method that is not buried.

    Example: PVC under a yard (Table 300.5, column 3).
    >>> nonmetallic = Choice.of(lookup.burial_columns(), "nonmetallic")
    >>> yard = Choice.of(lookup.words("burial_cover", "cover_case"), "yard")
    >>> cover_in(np.array([30.0]), nonmetallic, yard).tolist()
    [18.0]
    """
    cover = np.full(np.shape(trench_ft), np.nan)
    for column in burial_column.words:
        here = lookup.number_of("burial_cover", column, cover_case)
        cover = np.where(burial_column.is_(column), here, cover)
    return np.where(np.equal(trench_ft, 0), np.nan, cover)


@rule("expansion_in")
def expansion_in(
    *,
    wiring: Choice,
    exposed_ft: np.ndarray,
    pvc_expansion: np.ndarray,
    temp_change_f: np.ndarray,
    sun_temperature: np.ndarray,
    in_sun: np.ndarray,
) -> np.ndarray:
    """Length change of exposed PVC over the yearly temperature change.

    Section: 352.44.
    Inputs: exposed_ft [ft], pvc_expansion [in/ft/F], temperatures [F]. Result: [in]; blank
    unless the raceway is PVC.

    Example: 100 ft over 100 F: 4.06 in, https://www.mikeholt.com/files/PDF/20UNEC1_352.44.pdf
    >>> pvc = Choice.of(("PVC 40", "PVC 80"), "PVC 40")
    >>> float(expansion_in(wiring=pvc, exposed_ft=100, pvc_expansion=0.0004056, temp_change_f=100,
    ...                    sun_temperature=30, in_sun=False)[0].round(2))
    4.06
    """
    change = temp_change_f + np.where(in_sun, sun_temperature, 0.0)
    expansion = exposed_ft * pvc_expansion * change
    return np.where(wiring.is_("PVC 40", "PVC 80"), expansion, np.nan)


@rule("expansion_fitting", words=("no", "yes"))
def expansion_fitting(expansion_in: np.ndarray, expansion_limit: np.ndarray) -> np.ndarray:
    """An expansion fitting is needed from a quarter inch of length change.

    Section: 352.44.
    Inputs: expansion_in, expansion_limit [in]. Result: place in the words; blank with no PVC.
    """
    needed = np.where(expansion_in >= expansion_limit, 1, 0)
    return np.where(np.isnan(expansion_in), -1, needed)


@rule("bending_space_in")
def bending_space_in(feeder_size: np.ndarray) -> np.ndarray:
    """The space that a conductor needs at its terminals grows with its size.

    Section: Table 312.6(A), one wire a terminal, not opposite the entry.
    Inputs: feeder_size as its position. Result: [in]; 0 where none is specified, blank without a size.
    """
    space = np.nan_to_num(lookup.at_position("bending_space", "inches", feeder_size))
    return np.where(np.greater(feeder_size, 0), space, np.nan)
