"""The service: its load by the method chosen, what is spare, load control, verdicts."""

from __future__ import annotations

import numpy as np

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import EDITIONS
from workbook_builder.reference.choice import BLANK, Choice, first_true
from workbook_builder.reference.loads_methods import stepped
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6, whole_below


@rule("new_load_va")
def new_load_va(
    *,
    new_ev_va: np.ndarray,
    add_heat_pump_kva: np.ndarray,
    add_heat_pump_aux_kw: np.ndarray,
    add_heat_kw: np.ndarray,
    add_ac_kva: np.ndarray,
    add_range_kw: np.ndarray,
    add_dryer_kw: np.ndarray,
    new_water_heater_va: np.ndarray,
    new_spa_va: np.ndarray,
    other_load_va: np.ndarray,
    va_per_kw: np.ndarray,
    va_per_kva: np.ndarray,
) -> np.ndarray:
    """All planned loads at nameplate.

    Section: 220.87; 120.87 (2026).
    Inputs: loads [VA], ratings [kVA, kW]. Result: [VA].
    Limits: nothing is taken off for loads that are dropped.
    """
    apparent = (add_heat_pump_kva + add_ac_kva) * va_per_kva
    real = (add_heat_pump_aux_kw + add_heat_kw + add_range_kw + add_dryer_kw) * va_per_kw
    return new_ev_va + apparent + real + new_water_heater_va + new_spa_va + other_load_va


@rule("metered_load_va")
def metered_load_va(now_metered_load_va: np.ndarray, new_load_va: np.ndarray) -> np.ndarray:
    """The metered load with all planned loads; blank without a record.

    Section: 220.87; 120.87 (2026).
    Inputs: loads [VA]. Result: [VA].
    """
    return now_metered_load_va + new_load_va


def _by_method(
    load_method: Choice,
    existing: np.ndarray,
    optional: np.ndarray,
    standard: np.ndarray,
    metered: np.ndarray,
) -> np.ndarray:
    chosen = np.where(load_method.is_("metered peak"), metered, existing)
    chosen = np.where(load_method.is_("dwelling standard"), standard, chosen)
    return np.where(load_method.is_("dwelling optional"), optional, chosen)


@rule(
    "existing_load_va",
    existing_dwelling_load_va="now_existing_dwelling_load_va",
    optional_load_va="now_optional_load_va",
    standard_load_va="now_standard_load_va",
    metered_load_va="now_metered_load_va",
)
@rule("total_load_va")
def load_by_method_va(
    *,
    load_method: Choice,
    existing_dwelling_load_va: np.ndarray,
    optional_load_va: np.ndarray,
    standard_load_va: np.ndarray,
    metered_load_va: np.ndarray,
) -> np.ndarray:
    """The load by the calculation that the job chooses.

    Section: 230.42.
    Inputs: load_method, loads [VA]. Result: [VA].
    """
    return _by_method(
        load_method,
        existing_dwelling_load_va,
        optional_load_va,
        standard_load_va,
        metered_load_va,
    )


@rule("total_load_a", load_va="total_load_va")
@rule("feeder_plain_a", load_va="feeder_plain_va")
def amperes(load_va: np.ndarray, line_v: np.ndarray) -> np.ndarray:
    """Current of a load between the two lines.

    Section: 220.5, 230.42 (service), 215.2(A)(1) (feeder); 120.5 (2026).
    Inputs: load_va [VA], line_v [V]. Result: [A].

    Example: Annex D1(a), 18,600 VA; Annex D2(a), 21,480 VA.
    >>> float(amperes(18600, 240)), float(amperes(21480, 240))
    (77.5, 89.5)
    """
    return np.divide(load_va, line_v)


@rule("service_spare_a")
def service_spare_a(service_a: np.ndarray, total_load_a: np.ndarray) -> np.ndarray:
    """What the service rating leaves beside the load; negative where it does not carry it.

    Section: 230.42.
    Inputs: service_a, total_load_a [A]. Result: [A].
    """
    return service_a - total_load_a


@rule("optional_no_ev_va")
def optional_no_ev_va(
    *,
    general_va: np.ndarray,
    optional_hvac_va: np.ndarray,
    optional_first: np.ndarray,
    optional_rate: np.ndarray,
) -> np.ndarray:
    """Optional calculation without any vehicle supply.

    Section: 220.82; 120.82 (2026).
    Inputs: loads, optional_first [VA], optional_rate [1]. Result: [VA].
    """
    return stepped(general_va, optional_first, optional_rate) + optional_hvac_va


@rule("existing_no_ev_pool_va")
def existing_no_ev_pool_va(
    *,
    general_va: np.ndarray,
    hvac_va: np.ndarray,
    hvac_added: np.ndarray,
    hvac_in_pool_83a: np.ndarray,
) -> np.ndarray:
    """The reduced load without any vehicle supply; heating or cooling in it by the other reading.

    Section: 220.83; 120.83 (2026).
    Inputs: loads [VA], hvac_added [yes or no]. Result: [VA].
    """
    inside = np.logical_not(hvac_added) & np.equal(hvac_in_pool_83a, 1)
    return general_va + np.where(inside, hvac_va, 0.0)


@rule("existing_no_ev_va")
def existing_no_ev_va(
    *,
    existing_no_ev_pool_va: np.ndarray,
    hvac_va: np.ndarray,
    hvac_added: np.ndarray,
    hvac_in_pool_83a: np.ndarray,
    existing_first: np.ndarray,
    existing_rate: np.ndarray,
) -> np.ndarray:
    """Existing-dwelling calculation without any vehicle supply, by the same reading.

    Section: 220.83; 120.83 (2026).
    Inputs: loads, existing_first [VA], existing_rate [1]. Result: [VA].
    """
    inside = np.logical_not(hvac_added) & np.equal(hvac_in_pool_83a, 1)
    reduced = stepped(existing_no_ev_pool_va, existing_first, existing_rate)
    return reduced + np.where(inside, 0.0, hvac_va)


@rule("no_ev_va")
def no_ev_va(
    *,
    load_method: Choice,
    existing_no_ev_va: np.ndarray,
    optional_no_ev_va: np.ndarray,
    standard_load_va: np.ndarray,
    ev_va: np.ndarray,
    metered_load_va: np.ndarray,
    new_ev_va: np.ndarray,
) -> np.ndarray:
    """The load by the method chosen, without vehicle supply.

    Section: 625.42 (2017, 2020), 220.70 (2023), 120.70 (2026).
    Inputs: load_method, loads [VA]. Result: [VA].
    Limits: a metered record holds the present vehicle supply; only the new one is taken off.
    """
    return _by_method(
        load_method,
        existing_no_ev_va,
        optional_no_ev_va,
        standard_load_va - ev_va,
        metered_load_va - new_ev_va,
    )


@rule("ev_set_point_a")
def ev_set_point_a(
    *,
    new_ev_va: np.ndarray,
    ev_limit_a: np.ndarray,
    ev_a: np.ndarray,
    add_ev_a: np.ndarray,
    add_ev_count: np.ndarray,
    service_a: np.ndarray,
    no_ev_va: np.ndarray,
    line_v: np.ndarray,
    control_rate: np.ndarray,
) -> np.ndarray:
    """Set point of the energy management system: the one given, or the whole amperes that fit.

    Section: 625.42 (2017, 2020), 220.70 (2023), 120.70 (2026).
    Inputs: loads [VA], currents [A], add_ev_count [units], line_v [V], control_rate [1].
    Result: [A]; blank where no vehicle supply is planned.
    Limits: the set point is a continuous load, so the spare current is divided by the rate; what
    fits is never more than all vehicle supply takes at its rated current.

    >>> float(ev_set_point_a(new_ev_va=7200, ev_limit_a=np.nan, ev_a=0, add_ev_a=30, add_ev_count=1,
    ...                      service_a=100, no_ev_va=18000, line_v=240, control_rate=1.25))
    20.0
    """
    spare = service_a - np.divide(no_ev_va, line_v)
    fitting = np.maximum(whole_below(spare / control_rate), 0.0)
    rated = ev_a + np.multiply(add_ev_a, add_ev_count)
    set_point = np.where(np.isnan(ev_limit_a), np.minimum(rated, fitting), ev_limit_a)
    return np.where(np.equal(new_ev_va, 0), np.nan, set_point)


@rule("set_point_by", words=("the job", "rated current of the vehicle supply", "what the service leaves"))
def set_point_by(
    *,
    ev_set_point_a: np.ndarray,
    ev_limit_a: np.ndarray,
    ev_a: np.ndarray,
    add_ev_a: np.ndarray,
    add_ev_count: np.ndarray,
) -> np.ndarray:
    """Whether the set point is the one given, all that the vehicle supply takes, or what fits.

    Section: 625.42 (2017, 2020), 220.70 (2023), 120.70 (2026).
    Inputs: currents [A], add_ev_count [units]. Result: place in the words, blank where no vehicle
    supply is planned.
    """
    rated = round6(ev_a + np.multiply(add_ev_a, add_ev_count))
    by = np.where(~np.isnan(ev_limit_a), 0, np.where(ev_set_point_a >= rated, 1, 2))
    return np.where(np.isnan(ev_set_point_a), BLANK, by)


@rule("controlled_load_a")
def controlled_load_a(
    *,
    new_ev_va: np.ndarray,
    no_ev_va: np.ndarray,
    line_v: np.ndarray,
    control_rate: np.ndarray,
    ev_set_point_a: np.ndarray,
) -> np.ndarray:
    """The service load under load control: the set point at 125 percent beside the rest.

    Section: 625.42 (2017, 2020), 220.70 (2023), 120.70 (2026).
    Inputs: loads [VA], line_v [V], control_rate [1], ev_set_point_a [A]. Result: [A];
    blank where no vehicle supply is planned.
    """
    controlled = np.divide(no_ev_va, line_v) + control_rate * ev_set_point_a
    return np.where(np.equal(new_ev_va, 0), np.nan, controlled)


@rule("metered_beside_source", words=("no", "yes"))
def metered_beside_source(load_method: Choice, existing_source: np.ndarray) -> np.ndarray:
    """A metered record is used where a source is present.

    Section: 220.87; 120.87 (2026).
    Inputs: load_method, existing_source [yes or no]. Result: place in the words.
    """
    return (load_method.is_("metered peak") & existing_source).astype(np.int8)


@rule(
    "metered_state",
    words=(
        "OK",
        "STOP: a short record is not permitted beside a source",
        "CHECK: the record must show gross consumption beside a source",
    ),
)
def metered_state(
    *,
    metered_beside_source: np.ndarray,
    metered_days: np.ndarray,
    metered_full_days: np.ndarray,
    metered_gross: np.ndarray,
) -> np.ndarray:
    """What a record beside a source must be: a full year, gross of the source.

    Section: 220.87; 120.87 (2026).
    Inputs: metered_days, metered_full_days [d], metered_gross [yes or no].
    Result: place in the words.
    """
    short = metered_beside_source & (metered_days < metered_full_days)
    return first_true((short, metered_beside_source & ~metered_gross))


@rule("readings_differ", words=("no", "yes"))
def readings_differ(
    *,
    load_method: Choice,
    existing_dwelling_load_va: np.ndarray,
    existing_dwelling_alt_va: np.ndarray,
    service_a: np.ndarray,
    line_v: np.ndarray,
) -> np.ndarray:
    """The two readings of existing heating and cooling give different verdicts.

    Section: 220.83(A); 120.83(A) (2026).
    Inputs: load_method, loads [VA], service_a [A], line_v [V]. Result: place in the words.
    """
    limit = service_a * line_v
    differ = (existing_dwelling_load_va > limit) != (existing_dwelling_alt_va > limit)
    asked = load_method.is_("existing dwelling") & ~np.isnan(existing_dwelling_alt_va)
    return (differ & asked).astype(np.int8)


@rule(
    "load_method_state",
    words=(
        "OK",
        "STOP: a short record is not permitted beside a source",
        "CHECK: the record must show gross consumption beside a source",
        "CHECK: the two readings of 220.83(A) give different verdicts",
    ),
)
def load_method_state(metered_state: Choice, readings_differ: np.ndarray) -> np.ndarray:
    """What the chosen calculation does not permit, or leaves to a reading.

    Section: 220.83, 220.87; 120.83, 120.87 (2026).
    Inputs: metered_state [text], readings_differ [yes or no].
    Result: place in the words.
    """
    return first_true((metered_state.codes == 1, metered_state.codes == 2, readings_differ))


@rule("service_state", words=("OK", "STOP: the load is over the service rating"))
def service_state(total_load_a: np.ndarray, service_a: np.ndarray) -> np.ndarray:
    """Stops where the load is over the rating of the service.

    Section: 230.42, 230.90.
    Inputs: total_load_a, service_a [A]. Result: place in the words.
    """
    return np.where(total_load_a > service_a, 1, 0)


@rule(
    "edition_state",
    words=(
        "OK",
        "CHECK: values of this edition are assumed unchanged, see Provenance",
        "STOP: a value of this edition has not been read",
    ),
)
def edition_state(edition_index: np.ndarray) -> np.ndarray:
    """What is known of the tables and parameters of the edition.

    Section: own rule.
    Inputs: edition_index [position in the list of editions]. Result: place in the words.
    """
    tables = load()
    states = [2 if tables.unread(e) else 1 if tables.assumed(e) else 0 for e in EDITIONS]
    return np.array(states)[np.asarray(edition_index, dtype=np.int64) - 1]
