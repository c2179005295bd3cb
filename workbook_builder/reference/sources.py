"""Solar, storage and a generator inlet on the buses they land on or pass through."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6

PLACES = ("none", "supply side", "main panel", "added panel")
ROUTES = ("none", "supply side", "100 percent", "120 percent", "sum of breakers", "no test passes")


@rule("source_output_a")
def source_output_a(pv_output_a: np.ndarray, storage_output_a: np.ndarray) -> np.ndarray:
    """Output of solar and storage together.

    Section: 705.12.
    Inputs: output currents [A]. Result: [A].
    """
    return pv_output_a + storage_output_a


@rule("source_counted_a")
def source_counted_a(source_output_a: np.ndarray, source_limit_a: np.ndarray) -> np.ndarray:
    """The output, or less where a power control system holds it down.

    Section: 705.12; 705.13 (2020 and later).
    Inputs: source_output_a, source_limit_a [A]. Result: [A].

    >>> source_counted_a(np.array([48.0, 48.0, 20.0]), np.array([np.nan, 32.0, 32.0])).tolist()
    [48.0, 32.0, 20.0]
    """
    return np.fmin(source_output_a, source_limit_a)


@rule("source_rated_a")
def source_rated_a(source_counted_a: np.ndarray, continuous_rate: np.ndarray) -> np.ndarray:
    """125 percent of the output that counts.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: source_counted_a [A], continuous_rate [1]. Result: [A].
    """
    return source_counted_a * (1.0 + continuous_rate)


@rule("source_breaker_a")
def source_breaker_a(source_output_a: np.ndarray, continuous_rate: np.ndarray) -> np.ndarray:
    """The next standard rating at or above 125 percent of the output.

    Section: 690.9(B), 705.60(B) (2017), 705.30(B) (2020 and later), 240.6(A).
    Inputs: source_output_a [A], continuous_rate [1]. Result: [A]; blank without a source and over
    the table.
    Limits: a power-control setting does not change it.

    Example: 31.7 A, 39.6 A at 125 percent: 40 A.
    >>> source_breaker_a(np.array([31.7, 0.0]), 0.25).tolist()
    [40.0, nan]
    """
    least = round6(source_output_a * (1.0 + continuous_rate))
    row = lookup.first_row_from("standard_rating", "rating_a", least)
    breaker = lookup.at_position("standard_rating", "rating_a", row)
    return np.where(np.equal(source_output_a, 0), np.nan, breaker)


@rule("source_place", words=PLACES)
def source_place(source_output_a: np.ndarray, source_at: Choice) -> np.ndarray:
    """The panel that the sources land on, or the supply side.

    Section: 705.12.
    Inputs: source_output_a [A], source_at. Result: place in the words.
    """
    added = source_at.is_("added panel far end", "added panel elsewhere")
    place = np.where(source_at.is_("supply side"), 1, np.where(added, 3, 2))
    return np.where(np.equal(source_output_a, 0), 0, place)


@rule("main_bus_factor")
def main_bus_factor(
    source_place: Choice, source_at: Choice, feeder_at: Choice, bus_far_end_rate: np.ndarray
) -> np.ndarray:
    """The bus counts at 120 percent where what feeds it back stands at its far end.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: places, bus_far_end_rate [1]. Result: [1].
    """
    source_far = source_place.is_("main panel") & source_at.is_("main panel far end")
    feeder_far = source_place.is_("added panel") & feeder_at.is_("far end")
    return np.where(source_far | feeder_far, bus_far_end_rate, 1.0)


@rule("main_bus_allowed_a")
def main_bus_allowed_a(main_bus_a: np.ndarray, main_bus_factor: np.ndarray) -> np.ndarray:
    """The bus rating with the factor of the place.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: main_bus_a [A], main_bus_factor [1]. Result: [A].
    """
    return main_bus_a * main_bus_factor


@rule("main_bus_sum_a")
def main_bus_sum_a(source_place: Choice, service_a: np.ndarray, source_rated_a: np.ndarray) -> np.ndarray:
    """The device that protects the main bus, and 125 percent of the sources behind it.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: source_place, service_a, source_rated_a [A]. Result: [A]; 0 where no source feeds the bus.
    """
    return np.where(source_place.is_("none", "supply side"), 0.0, service_a + source_rated_a)


@rule("main_breakers_known", words=("no", "yes"))
def main_breakers_known(
    *,
    main_breakers_sum_a: np.ndarray,
    feeder_breaker_a: np.ndarray,
    planned_in: Choice,
    planned_spaces: np.ndarray,
    generator_inlet_a: np.ndarray,
    inlet_at: Choice,
    source_place: Choice,
    source_breaker_a: np.ndarray,
) -> np.ndarray:
    """Every breaker of the main bus is known after the work.

    Section: 705.12(B)(2)(3)(c) (2017), 705.12(B)(3)(3) (2020), 705.12(B)(3) (2023 and later).
    Inputs: ratings [A], planned_spaces [spaces], places. Result: place in the words.
    Limits: the ratings of planned circuits and of the breaker of an inlet are not asked.
    """
    unknown = np.isnan(main_breakers_sum_a) | np.isnan(feeder_breaker_a)
    unknown = unknown | (planned_in.is_("main panel") & (planned_spaces > 0))
    unknown = unknown | ((generator_inlet_a > 0) & inlet_at.is_("main panel"))
    unknown = unknown | (source_place.is_("main panel") & np.isnan(source_breaker_a))
    return (~unknown).astype(np.int8)


@rule("main_breakers_after_a")
def main_breakers_after_a(
    *,
    main_breakers_known: np.ndarray,
    main_breakers_sum_a: np.ndarray,
    feeder_breaker_a: np.ndarray,
    source_place: Choice,
    source_breaker_a: np.ndarray,
) -> np.ndarray:
    """All breakers on the main bus but the one protecting it, after the work.

    Section: 705.12(B)(2)(3)(c) (2017), 705.12(B)(3)(3) (2020), 705.12(B)(3) (2023 and later).
    Inputs: main_breakers_known [yes or no], ratings [A], source_place. Result: [A]; blank where one
    of them is not known.
    Limits: nothing is taken off for moved circuits.
    """
    source = np.where(source_place.is_("main panel"), source_breaker_a, 0.0)
    return np.where(main_breakers_known, main_breakers_sum_a + feeder_breaker_a + source, np.nan)


@rule("main_bus_check", words=("OK", "CHECK", "STOP"))
def main_bus_check(
    *,
    source_place: Choice,
    source_counted_a: np.ndarray,
    service_a: np.ndarray,
    main_bus_sum_a: np.ndarray,
    main_bus_allowed_a: np.ndarray,
    main_breakers_after_a: np.ndarray,
    main_bus_a: np.ndarray,
    existing_source: np.ndarray,
    source_output_a: np.ndarray,
    main_feed: Choice,
    main_bus_route: Choice,
) -> np.ndarray:
    """The main bus passes one of the tests; on the supply side the service rating holds the sources.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: currents [A], source_place, existing_source [yes or no], main_feed, main_bus_route.
    Result: place in the words.
    Limits: a present source is not in the sums, so it leaves a CHECK; so does a bus fed at its
    centre that takes a source at one of its ends only.
    """
    bus_passes = (main_bus_sum_a <= main_bus_allowed_a) | (main_breakers_after_a <= main_bus_a)
    passes = np.where(source_place.is_("supply side"), source_counted_a <= service_a, bus_passes)
    passes = passes | source_place.is_("none")
    unsure = existing_source & (source_output_a > 0)
    one_end = main_feed.is_("centre") & main_bus_route.is_("120 percent")
    return np.where(passes, np.where(unsure | one_end, 1, 0), 2)


@rule("main_bus_route", words=ROUTES)
def main_bus_route(
    *,
    source_place: Choice,
    main_bus_sum_a: np.ndarray,
    main_bus_a: np.ndarray,
    main_bus_allowed_a: np.ndarray,
    main_breakers_after_a: np.ndarray,
) -> np.ndarray:
    """The first test that the main bus passes.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: currents [A], source_place. Result: place in the words.
    """
    tests = (
        source_place.is_("none"),
        source_place.is_("supply side"),
        main_bus_sum_a <= main_bus_a,
        main_bus_sum_a <= main_bus_allowed_a,
        main_breakers_after_a <= main_bus_a,
        np.ones(np.shape(source_place.codes), dtype=bool),
    )
    return first_true(tests) - 1


@rule("max_source_output_a")
def max_source_output_a(
    *,
    main_bus_a: np.ndarray,
    bus_far_end_rate: np.ndarray,
    service_a: np.ndarray,
    continuous_rate: np.ndarray,
) -> np.ndarray:
    """The largest output that the main bus takes at its far end.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: main_bus_a, service_a [A], bus_far_end_rate, continuous_rate [1]. Result: [A].

    Example: a 200 A bus behind 200 A: 40 A, 32 A of output,
    https://go.mail-archive.com/re-wrenches@lists.re-wrenches.org/msg21261.html
    >>> float(max_source_output_a(main_bus_a=200, bus_far_end_rate=1.2, service_a=200, continuous_rate=0.25))
    32.0
    """
    room = np.multiply(main_bus_a, bus_far_end_rate) - service_a
    return np.maximum(room / (1.0 + continuous_rate), 0.0)


@rule("place_factor")
def place_factor(source_at: Choice, feeder_at: Choice, bus_far_end_rate: np.ndarray) -> np.ndarray:
    """The far end of the main bus takes more, whether the source or the feeder to it stands there.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: places, bus_far_end_rate [1]. Result: [1].
    """
    at_added = source_at.is_("added panel far end", "added panel elsewhere")
    far = source_at.is_("main panel far end") | (at_added & feeder_at.is_("far end"))
    return np.where(far, bus_far_end_rate, 1.0)


@rule("place_output_a")
def place_output_a(
    *,
    service_a: np.ndarray,
    main_bus_a: np.ndarray,
    source_at: Choice,
    place_factor: np.ndarray,
    continuous_rate: np.ndarray,
) -> np.ndarray:
    """The largest output that the main bus takes where the sources stand, or the service before it.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: service_a, main_bus_a [A], places, rates [1]. Result: [A].
    Limits: the sum of the breakers and the added bus are not looked at.

    Example: a 200 A bus behind 200 A takes 32 A at its far end, none elsewhere.
    >>> end, elsewhere = ("main panel far end", "main panel elsewhere")
    >>> places = (end, elsewhere, "added panel far end", "added panel elsewhere", "supply side")
    >>> place_output_a(service_a=200, main_bus_a=200, source_at=Choice.of(places, [end, elsewhere]),
    ...                place_factor=np.array([1.2, 1.0]), continuous_rate=0.25).tolist()
    [32.0, 0.0]
    """
    room = np.maximum(main_bus_a * place_factor - service_a, 0.0)
    return np.where(source_at.is_("supply side"), service_a, room / (1.0 + continuous_rate))


@rule("existing_bus_allowed_a")
def existing_bus_allowed_a(
    main_bus_a: np.ndarray, source_at: Choice, bus_far_end_rate: np.ndarray
) -> np.ndarray:
    """The bus rating where no panel is added: a source meant for one stands at the far end instead.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: main_bus_a [A], source_at, bus_far_end_rate [1]. Result: [A].
    """
    return main_bus_a * np.where(source_at.is_("main panel elsewhere"), 1.0, bus_far_end_rate)


@rule("existing_breakers_a")
def existing_breakers_a(
    *,
    main_breakers_sum_a: np.ndarray,
    source_breaker_a: np.ndarray,
    planned_spaces: np.ndarray,
    generator_inlet_a: np.ndarray,
) -> np.ndarray:
    """All breakers on the main bus but the one protecting it, where no panel is added.

    Section: 705.12(B)(2)(3)(c) (2017), 705.12(B)(3)(3) (2020), 705.12(B)(3) (2023 and later).
    Inputs: ratings [A], planned_spaces [spaces]. Result: [A]; blank where one of them is not known.
    """
    unknown = np.greater(planned_spaces, 0) | np.greater(generator_inlet_a, 0)
    return np.where(unknown, np.nan, main_breakers_sum_a + source_breaker_a)


@rule("existing_bus_check", words=("OK", "STOP"))
def existing_bus_check(
    *,
    source_place: Choice,
    source_counted_a: np.ndarray,
    service_a: np.ndarray,
    source_rated_a: np.ndarray,
    existing_bus_allowed_a: np.ndarray,
    existing_breakers_a: np.ndarray,
    main_bus_a: np.ndarray,
) -> np.ndarray:
    """The main bus alone passes one of the tests; on the supply side the service rating holds them.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: currents [A], source_place. Result: place in the words.
    """
    beside = round6(service_a + source_rated_a) <= existing_bus_allowed_a
    bus_passes = beside | (existing_breakers_a <= main_bus_a)
    passes = np.where(source_place.is_("supply side"), source_counted_a <= service_a, bus_passes)
    return np.where(passes | source_place.is_("none"), 0, 1)


@rule("added_bus_factor")
def added_bus_factor(source_at: Choice, bus_far_end_rate: np.ndarray) -> np.ndarray:
    """The added bus counts at 120 percent where the source stands at its far end.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: source_at, bus_far_end_rate [1]. Result: [1].
    """
    return np.where(source_at.is_("added panel far end"), bus_far_end_rate, 1.0)


@rule("added_bus_check", words=("OK", "STOP"))
def added_bus_check(
    *,
    source_place: Choice,
    feeder_breaker_a: np.ndarray,
    source_rated_a: np.ndarray,
    added_bus_chosen_a: np.ndarray,
    added_bus_factor: np.ndarray,
) -> np.ndarray:
    """The bus of the added panel carries its feeder breaker and the sources on it.

    Section: 705.12(B)(2)(3) (2017), 705.12(B)(3) (2020), 705.12(B) (2023 and later).
    Inputs: currents [A], source_place, added_bus_factor [1]. Result: place in the words.
    """
    together = round6(feeder_breaker_a + source_rated_a)
    passes = together <= round6(added_bus_chosen_a * added_bus_factor)
    return np.where(source_place.is_("added panel") & ~passes, 1, 0)


@rule("feeder_source_state", words=("OK", "STOP: the feeder carries less than the source"))
def feeder_source_state(
    source_place: Choice, feeder_ampacity_a: np.ndarray, source_rated_a: np.ndarray
) -> np.ndarray:
    """The feeder carries the sources of the added panel back.

    Section: 705.12(B)(2)(1) (2017), 705.12(B)(1) (2020), 705.12(A) (2023 and later).
    Inputs: source_place, feeder_ampacity_a, source_rated_a [A]. Result: place in the words.
    """
    return np.where(source_place.is_("added panel") & (feeder_ampacity_a < source_rated_a), 1, 0)


@rule(
    "inlet_state",
    words=(
        "OK",
        "STOP: an inlet needs a listed interlock or transfer equipment",
        "CHECK: a set with its neutral bonded is bonded twice through an interlock",
    ),
)
def inlet_state(generator_inlet_a: np.ndarray, interlock: np.ndarray) -> np.ndarray:
    """A generator inlet needs an interlock, and an interlock keeps the neutral of the set bonded.

    Section: 702.5, 250.30.
    Inputs: generator_inlet_a [A], interlock [yes or no]. Result: place in the words.
    """
    return np.where(np.equal(generator_inlet_a, 0), 0, np.where(interlock, 2, 1))


@rule("hold_down", words=("no", "yes"))
def hold_down(generator_inlet_a: np.ndarray, storage_output_a: np.ndarray) -> np.ndarray:
    """A plug-on breaker fed back by an inlet or by storage is held down.

    Section: 408.36(D).
    Inputs: generator_inlet_a, storage_output_a [A]. Result: place in the words.
    """
    return (np.greater(generator_inlet_a, 0) | np.greater(storage_output_a, 0)).astype(np.int8)
