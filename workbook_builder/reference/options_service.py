"""The ways that change what the service carries: load control and a larger service."""

from __future__ import annotations

import numpy as np

from workbook_builder.code_tables.load import load
from workbook_builder.reference import lookup
from workbook_builder.reference.choice import BLANK, Choice
from workbook_builder.reference.options_spaces import remaining, service_short, spaces_short
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6, whole_below
from workbook_builder.reference.texts import first_text, is_blank, number_words


@rule("load_control_spare_a")
def load_control_spare_a(service_a: np.ndarray, controlled_load_a: np.ndarray) -> np.ndarray:
    """What the service leaves beside the controlled load.

    Section: 625.42 (2017, 2020), 220.70 (2023), 120.70 (2026).
    Inputs: service_a, controlled_load_a [A]. Result: [A]; blank where no vehicle supply is planned.
    """
    return service_a - controlled_load_a


@rule("ev_units")
def ev_units(new_ev_va: np.ndarray, ev_count: np.ndarray, add_ev_count: np.ndarray) -> np.ndarray:
    """Vehicle supply units that share the set point.

    Section: 625.42 (2017, 2020), 220.70 (2023), 120.70 (2026).
    Inputs: new_ev_va [VA], counts [units]. Result: [units]; 0 where none is planned.
    """
    return np.where(np.greater(new_ev_va, 0), ev_count + add_ev_count, 0)


@rule("load_control_spare_spaces")
def load_control_spare_spaces(
    control_in_main: np.ndarray,
    existing_spaces_spare_spaces: np.ndarray,
    added_panel_spare_spaces: np.ndarray,
) -> np.ndarray:
    """Spaces left in the present panel where that does, else with an added one.

    Section: 408.54.
    Inputs: control_in_main [yes or no], spaces [spaces]. Result: [spaces].
    """
    return np.where(control_in_main, existing_spaces_spare_spaces, added_panel_spare_spaces)


@rule("set_point_stop")
def set_point_stop(
    *,
    new_ev_va: np.ndarray,
    ev_set_point_a: np.ndarray,
    ev_units: np.ndarray,
    control_minimum: np.ndarray,
) -> Choice:
    """There is vehicle supply to control, and its set point leaves each unit enough to charge.

    Section: 625.42 (2017, 2020), 220.70 (2023), 120.70 (2026).
    Inputs: new_ev_va [VA], ev_set_point_a, control_minimum [A], ev_units [units].
    Result: [text], blank for none.
    """
    low = round6(np.divide(ev_set_point_a, ev_units)) < control_minimum
    return first_text(
        (np.equal(new_ev_va, 0), "No: no vehicle supply is planned."),
        (low, "No: the set point leaves less than {} A to each vehicle.", number_words(control_minimum)),
    )


@rule("load_control_stop")
def load_control_stop(
    *,
    set_point_stop: Choice,
    load_control_spare_a: np.ndarray,
    control_in_main: np.ndarray,
    added_ways_stop: Choice,
) -> Choice:
    """What stops load control: the set point, the service, or the added panel where it needs one.

    Section: 625.42 (2017, 2020), 220.70 (2023), 120.70 (2026).
    Inputs: stops [text], load_control_spare_a [A], control_in_main [yes or no].
    Result: [text], blank for none.
    """
    return first_text(
        (~is_blank(set_point_stop), "{}", set_point_stop),
        service_short(load_control_spare_a, " even so"),
        (~control_in_main & ~is_blank(added_ways_stop), "{}", added_ways_stop),
    )


@rule("set_point_whole_a")
def set_point_whole_a(ev_set_point_a: np.ndarray) -> np.ndarray:
    """The set point as it is spoken of.

    Section: 625.42 (2017, 2020), 220.70 (2023), 120.70 (2026).
    Inputs: ev_set_point_a [A]. Result: [A]; blank where no vehicle supply is planned.
    """
    return whole_below(ev_set_point_a)


@rule("load_control_reason")
def load_control_reason(
    *,
    load_control_stop: Choice,
    set_point_whole_a: np.ndarray,
    load_control_spare_a: np.ndarray,
    load_control_spare_spaces: np.ndarray,
) -> Choice:
    """Whether load control does, at what set point, and what remains.

    Section: 625.42 (2017, 2020), 220.70 (2023), 120.70 (2026).
    Inputs: load_control_stop [text], set_point_whole_a, load_control_spare_a [A],
    load_control_spare_spaces [spaces]. Result: [text].
    """
    start = "Yes, at a set point of {} A"
    return first_text(
        (~is_blank(load_control_stop), "{}", load_control_stop),
        remaining(load_control_spare_a, load_control_spare_spaces, start, set_point_whole_a),
    )


@rule("larger_load_va")
def larger_load_va(
    load_method: Choice, standard_load_va: np.ndarray, optional_load_va: np.ndarray
) -> np.ndarray:
    """A larger service is sized by the optional calculation, or the standard one where chosen.

    Section: 220.40, 220.82; 120.40, 120.82 (2026).
    Inputs: load_method, loads [VA]. Result: [VA].
    """
    return np.where(load_method.is_("dwelling standard"), standard_load_va, optional_load_va)


@rule("larger_load_a")
def larger_load_a(larger_load_va: np.ndarray, line_v: np.ndarray) -> np.ndarray:
    """The same load in amperes.

    Section: 230.42, 230.79(C).
    Inputs: larger_load_va [VA], line_v [V]. Result: [A].
    """
    return np.divide(larger_load_va, line_v)


def _services() -> np.ndarray:
    """Ratings offered for the service [A], smallest first."""
    (field,) = (one for one in load().job_fields if one.name == "service_a")
    return np.sort(np.array(field.choices, dtype=np.float64))


@rule("new_service_source_a")
def new_service_source_a(
    *,
    source_place: Choice,
    source_counted_a: np.ndarray,
    source_rated_a: np.ndarray,
    bus_far_end_rate: np.ndarray,
    largest_service: np.ndarray,
) -> np.ndarray:
    """A new bus of the service rating takes at its far end only the part that the rate adds to it.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: source_place, currents [A], bus_far_end_rate [1]. Result: [A]; over every service where
    the rate adds nothing.
    Limits: the bus is taken at the service rating, and the source or the feeder to it at the far end.

    Example: 40 A of 125 percent are a fifth of 200 A.
    >>> place = Choice.of(("none", "supply side", "main panel", "added panel"), ["main panel"])
    >>> found = new_service_source_a(source_place=place, source_counted_a=32.0, source_rated_a=40.0,
    ...                              bus_far_end_rate=1.2, largest_service=400.0)
    >>> round6(found).tolist()
    [200.0]
    """
    added = np.subtract(bus_far_end_rate, 1.0)
    takes = np.greater(added, 0)
    behind = np.where(takes, source_rated_a / np.where(takes, added, 1.0), 2.0 * largest_service)
    behind = np.where(source_place.is_("supply side"), source_counted_a, behind)
    return np.where(source_place.is_("none"), 0.0, behind)


@rule("new_service_index")
def new_service_index(
    *,
    service_a: np.ndarray,
    minimum_service: np.ndarray,
    larger_load_a: np.ndarray,
    new_service_source_a: np.ndarray,
    new_service_wanted_a: np.ndarray,
) -> np.ndarray:
    """The smallest rating offered that is over the present one and carries the load and the sources,
    or the one wished for where it is larger.

    Section: 230.42, 230.79(C), 240.6(A), 705.12.
    Inputs: currents [A]. Result: position of the rating; one past the end where none does.
    Limits: a wish below the need is stopped, see larger_size_stop.
    """
    ratings = _services()
    over = np.searchsorted(ratings, service_a, side="right")
    carried = np.maximum(np.maximum(minimum_service, larger_load_a), new_service_source_a)
    carried = np.fmax(carried, new_service_wanted_a)
    return np.maximum(over, np.searchsorted(ratings, carried, side="left")) + 1


@rule("new_service_a")
def new_service_a(new_service_index: np.ndarray, largest_service: np.ndarray) -> np.ndarray:
    """The rating of the larger service.

    Section: 230.42, 230.79(C).
    Inputs: new_service_index, largest_service [A]. Result: [A]; blank past the largest rating
    offered and over the largest service.
    """
    offered = np.append(_services(), np.nan)
    rating = offered[np.asarray(new_service_index, dtype=np.int64) - 1]
    return np.where(rating > largest_service, np.nan, rating)


@rule("larger_service_spare_a")
def larger_service_spare_a(new_service_a: np.ndarray, larger_load_a: np.ndarray) -> np.ndarray:
    """What the larger service leaves beside the load.

    Section: 230.42.
    Inputs: new_service_a, larger_load_a [A]. Result: [A]; blank without a larger service.
    """
    return new_service_a - larger_load_a


@rule("larger_service_spare_spaces")
def larger_service_spare_spaces(
    *,
    new_main_spaces: np.ndarray,
    main_spaces: np.ndarray,
    main_spaces_used: np.ndarray,
    spaces_freed: np.ndarray,
    new_spaces: np.ndarray,
    panel_place: Choice,
    added_panel_spare_spaces: np.ndarray,
) -> np.ndarray:
    """Spaces left in the main panel of a larger service; with those of a panel in another building.

    Section: 408.54.
    Inputs: spaces [spaces], panel_place. Result: [spaces]; negative where there are too few, blank
    in another building without an added panel.
    """
    beside = added_panel_spare_spaces + new_main_spaces - main_spaces
    alone = new_main_spaces - main_spaces_used + spaces_freed - new_spaces
    return np.where(panel_place.is_("other building"), beside, alone)


@rule("larger_place_stop")
def larger_place_stop(panel_place: Choice, added_design_stop: Choice) -> Choice:
    """What stops the added panel that another building needs beside a larger service.

    Section: own rule.
    Inputs: panel_place, added_design_stop [text]. Result: [text], blank for none.
    """
    design = panel_place.is_("other building") & ~is_blank(added_design_stop)
    return first_text((design, "No: {}.", added_design_stop))


@rule("larger_wish_stop")
def larger_wish_stop(
    new_service_a: np.ndarray, new_service_wanted_a: np.ndarray, larger_place_stop: Choice
) -> Choice:
    """A rating wanted that is under what is needed, else what stops the added panel.

    Section: own rule.
    Inputs: ratings [A], larger_place_stop [text]. Result: [text], blank for none.
    """
    small = np.less(new_service_wanted_a, new_service_a)
    return first_text(
        (small, "No: the service wanted is too small; {} A is needed.", number_words(new_service_a)),
        (~is_blank(larger_place_stop), "{}", larger_place_stop),
    )


@rule("larger_size_stop")
def larger_size_stop(
    *,
    data_stop: Choice,
    new_service_a: np.ndarray,
    largest_service: np.ndarray,
    larger_wish_stop: Choice,
    larger_service_spare_spaces: np.ndarray,
    spare_wanted: np.ndarray,
) -> Choice:
    """Load, rating or spaces that stop a larger service, or the panel it feeds in another building.

    Section: own rule.
    Inputs: stops [text], ratings [A], spaces [spaces]. Result: [text], blank for none.
    """
    none = np.isnan(new_service_a)
    return first_text(
        (~is_blank(data_stop), "{}", data_stop),
        (none, "No: no service up to {} A carries load and sources.", number_words(largest_service)),
        (~is_blank(larger_wish_stop), "{}", larger_wish_stop),
        spaces_short(larger_service_spare_spaces, spare_wanted),
    )


@rule(
    "larger_source_stop",
    words=(
        "No: an inlet needs a listed interlock or transfer equipment.",
        "No: the added bus is too small for the sources.",
    ),
)
def larger_source_stop(inlet_state: np.ndarray, panel_place: Choice, added_bus_check: Choice) -> np.ndarray:
    """An inlet, or sources in a panel of another building, that stop a larger service.

    Section: own rule.
    Inputs: inlet_state [place in its words], panel_place, added_bus_check. Result: place in the
    words, blank for none.
    """
    small = panel_place.is_("other building") & added_bus_check.is_("STOP")
    return np.where(np.equal(inlet_state, 1), 0, np.where(small, 1, BLANK))


@rule("larger_service_reason")
def larger_service_reason(
    *,
    larger_size_stop: Choice,
    larger_source_stop: Choice,
    new_service_a: np.ndarray,
    panel_place: Choice,
    larger_service_spare_a: np.ndarray,
    larger_service_spare_spaces: np.ndarray,
) -> Choice:
    """Whether a larger service does, of what rating, with what panel, and what remains.

    Section: own rule.
    Inputs: stops [text], currents [A], panel_place, larger_service_spare_spaces [spaces].
    Result: [text].
    """
    left = (larger_service_spare_a, larger_service_spare_spaces)
    with_panel, *said = remaining(*left, "Yes, {} A and the added panel", new_service_a)
    return first_text(
        (~is_blank(larger_size_stop), "{}", larger_size_stop),
        (~is_blank(larger_source_stop), "{}", larger_source_stop),
        (with_panel & panel_place.is_("other building"), *said),
        remaining(*left, "Yes, {} A", new_service_a),
    )


@rule("service_conductor_size")
def service_conductor_size(material: Choice, new_service_a: np.ndarray) -> np.ndarray:
    """Conductors of the larger service, which carry the whole dwelling.

    Section: 310.15(B)(7) (2017), 310.12 (2020 and later).
    Inputs: material, new_service_a [A]. Result: position of the size, 0 for blank.
    Limits: a rating between two rows takes the row above it.

    Example: 200 A, https://electricalcodeconnection.com/?p=3533
    >>> copper = Choice.of(lookup.METALS, "copper")
    >>> lookup.sizes()[service_conductor_size(copper, np.array([200.0]))[0] - 1]
    '2/0'
    """
    row = lookup.first_row_from("dwelling_conductor", "rating_a", new_service_a)
    copper, aluminum = (lookup.size_column("dwelling_conductor", metal)[row] for metal in lookup.METALS)
    return np.where(material.is_("aluminum"), aluminum, copper)
