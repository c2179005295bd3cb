"""Checks that repeat a state: as it is, or where an added panel is part of the way chosen."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import (  # noqa: F401  their states have the words
    feeder_breaker,
    feeder_conductor,
    feeder_drop,
    feeder_ground,
    feeder_other,
    feeder_wiring,
    loads_cooking_demand,
    loads_service,
    options_decision,
    options_spaces,
    raceway,
    raceway_moved,
    solar,
    sources,
    spaces,
    spaces_added,
    spaces_legs,
    spaces_listed,
)
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.findings import words_of
from workbook_builder.reference.registry import rule

PRICE_WORDS = (
    "OK",
    "STOP: a line of the price books or a setting is out of order",
    "STOP: the price book lacks a size of this way",
    "CHECK: difficulty is over the cap; offer this work by the hour",
)
"""Those of price_state."""

HEAT_PUMP_WORDS = ("OK", "STOP: the heat pump has a nameplate and no kVA", *words_of("heat_pump_state")[1:])
"""Those of heat_pump_state, and one more behind OK."""


@rule("point_edition", state="edition_state", words=words_of("edition_state"))
@rule("point_load_method", state="load_method_state", words=words_of("load_method_state"))
@rule("point_cooking", state="cooking_state", words=words_of("cooking_state"))
@rule("point_fault_current", state="fault_state", words=words_of("fault_state"))
@rule("point_option", state="option_state", words=words_of("option_state"))
@rule("point_list", state="list_state", words=words_of("list_state"))
@rule("point_solar", state="solar_state", words=words_of("solar_state"))
@rule("point_inlet", state="inlet_state", words=words_of("inlet_state"))
@rule("point_price", state="price_state", words=PRICE_WORDS)
def state_as_it_is(state: np.ndarray) -> np.ndarray:
    """A state that concerns every way.

    Section: that of the state.
    Inputs: state [place in its words]. Result: place in the words.
    """
    return state


@rule("point_heat_pump", words=HEAT_PUMP_WORDS)
def point_heat_pump(
    heat_pump_state: np.ndarray, hp_mca_a: np.ndarray, add_heat_pump_kva: np.ndarray
) -> np.ndarray:
    """The nameplate of the new heat pump, which must not count as no load.

    Section: 440.4, 440.22.
    Inputs: heat_pump_state [place in its words], hp_mca_a [A], add_heat_pump_kva [kVA]. Result: place
    in the words.
    """
    no_load = (hp_mca_a > 0) & (add_heat_pump_kva == 0)
    return np.where(no_load, 1, heat_pump_state + (heat_pump_state > 0))


@rule("point_spaces", state="spaces_state", words=words_of("spaces_state"))
@rule("point_added_panel", state="added_panel_state", words=words_of("added_panel_state"))
@rule("point_legs", state="leg_state", words=words_of("leg_state"))
@rule("point_three_wire", state="three_wire_state", words=words_of("three_wire_state"))
@rule("point_breaker", state="breaker_state", words=words_of("breaker_state"))
@rule("point_conductor", state="conductor_state", words=words_of("conductor_state"))
@rule("point_wiring", state="wiring_state", words=words_of("wiring_state"))
@rule("point_ground", state="egc_state", words=words_of("egc_state"))
@rule("point_drop", state="drop_state", words=words_of("drop_state"))
@rule("point_raceway", state="raceway_state", words=words_of("raceway_state"))
@rule("point_moved_conductors", state="moved_state", words=words_of("moved_state"))
@rule("point_feeds", state="feeds_state", words=words_of("feeds_state"))
@rule("point_source_feeder", state="feeder_source_state", words=words_of("feeder_source_state"))
def state_of_added_panel(in_added: np.ndarray, state: np.ndarray) -> np.ndarray:
    """A state that concerns only a way with an added panel.

    Section: that of the state.
    Inputs: in_added [0 or 1], state [place in its words]. Result: place in the words.

    >>> state_of_added_panel(np.array([0, 1, 1]), np.array([2, 2, 0])).tolist()
    [0, 2, 0]
    """
    return np.where(np.equal(in_added, 0), 0, state)


@rule("point_disconnect", words=words_of("breaker_place_state"))
def point_disconnect(in_added: np.ndarray, breaker_place_state: Choice) -> np.ndarray:
    """The breaker of the feeder is large enough for the disconnect of another building.

    Section: 225.31, 225.39.
    Inputs: in_added [0 or 1], breaker_place_state [text]. Result: place in the words.
    """
    return state_of_added_panel(in_added, breaker_place_state.codes)


@rule("point_service_load", words=words_of("service_state"))
def point_service_load(
    in_control: np.ndarray, in_service: np.ndarray, service_state: np.ndarray
) -> np.ndarray:
    """The load on the service, unless the way chosen controls it or enlarges the service.

    Section: 230.42.
    Inputs: in_control, in_service [0 or 1], service_state [place in its words]. Result: place in
    the words.
    """
    answered = np.equal(in_control, 1) | np.equal(in_service, 1)
    return np.where(answered, 0, service_state)


@rule("point_panel_condition", words=words_of("house_state"))
def point_panel_condition(in_service: np.ndarray, house_state: np.ndarray) -> np.ndarray:
    """The condition of the main panel, unless it is replaced.

    Section: 110.12(B).
    Inputs: in_service [0 or 1], house_state [place in its words]. Result: place in the words.
    """
    return np.where(np.equal(in_service, 1), 0, house_state)
