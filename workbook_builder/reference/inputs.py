"""Entries as used, the checks between them, and the state of each row."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import pandas as pd

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import EDITIONS, Field
from workbook_builder.reference import lookup
from workbook_builder.reference.choice import BLANK, Choice, spell
from workbook_builder.reference.parse import Parsed, parse
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import round6

CHECK_WORDS = ("ok", "invalid")


@dataclass(frozen=True)
class Entries:
    """All fields of all rows of a list: what was found, what is used, and what is wrong.

    used has the entry or its default; NaN, blank code or empty text where
    there is none. blank, invalid and missing hold a mask where it is not all
    False. broken has one mask a check.
    """

    rows: int
    fields: tuple[Field, ...]
    used: Mapping[str, np.ndarray | Choice]
    blank: Mapping[str, np.ndarray]
    invalid: Mapping[str, np.ndarray]
    missing: Mapping[str, np.ndarray]
    broken: dict[str, np.ndarray] = field(default_factory=dict)

    @property
    def empty(self) -> np.ndarray | None:
        """Rows without job number."""
        return self.blank.get("job_no")


def read_entries(raw: pd.DataFrame) -> Entries:
    """Reads every job field of a raw frame. Raises ValueError for a column that is no field."""
    return _read(raw, load().job_fields, noun="job", default_rules=DEFAULT_RULES)


def read_circuits(raw: pd.DataFrame) -> Entries:
    """Reads every circuit field of a raw frame. Raises ValueError for a column that is no field."""
    return _read(raw, load().circuit_fields, noun="circuit", default_rules={})


def _read(
    raw: pd.DataFrame, fields: Sequence[Field], *, noun: str, default_rules: Mapping[str, Callable]
) -> Entries:
    unknown = sorted(set(raw.columns) - {one.name for one in fields})
    if unknown:
        raise ValueError(f"no {noun} fields: {', '.join(map(str, unknown))}")
    found: dict[str, Parsed] = {
        one.name: parse(one, raw[one.name] if one.name in raw else None, len(raw)) for one in fields
    }
    blank = {name: one.blank for name, one in found.items() if one.blank is not None}
    used = {one.name: _with_fixed_default(one, found[one.name]) for one in fields}
    for name, default in default_rules.items():
        if name in blank:
            values = np.where(blank[name], default(used), used[name])
            used[name] = values
    return Entries(
        rows=len(raw),
        fields=tuple(fields),
        used=used,
        blank=blank,
        invalid={name: one.invalid for name, one in found.items() if one.invalid is not None},
        missing={one.name: blank[one.name] for one in fields if one.required and one.name in blank},
    )


def _with_fixed_default(one: Field, parsed: Parsed) -> np.ndarray | Choice:
    if parsed.blank is None or one.default is None:
        return parsed.values
    if isinstance(parsed.values, Choice):
        place = np.int8(one.choices.index(one.default))
        codes = np.where(parsed.values.codes == BLANK, place, parsed.values.codes)
        return Choice(parsed.values.words, codes)
    return np.where(parsed.blank, one.default, parsed.values)


def _one_where(partner: str) -> Callable[[Mapping], np.ndarray]:
    return lambda used: np.where(used[partner] > 0, 1.0, 0.0)


def _same_as(partner: str) -> Callable[[Mapping], np.ndarray]:
    return lambda used: np.nan_to_num(used[partner])


DEFAULT_RULES: Mapping[str, Callable[[Mapping], np.ndarray]] = {
    "main_bus_a": _same_as("service_a"),
    "oven_count": _one_where("oven_kw"),
    "other_fixed_count": _one_where("other_fixed_kva"),
    "other_fixed_neutral_kva": _same_as("other_fixed_kva"),
    "ev_count": _one_where("ev_a"),
    "add_heat_zones": _one_where("add_heat_kw"),
    "moved_breaker_a": lambda used: moved_wire_breaker_a(used["moved_wire"]),
    "raceway_in": lambda used: np.nan_to_num(round6(12.0 * used["run_ft"])),
    "exposed_ft": lambda used: round6(run_exposed_ft(used["run_ft"], used["trench_ft"])),
}
"""Defaults that come from other entries; 0 where the other entry is not there."""


@rule("check_job_no", words=CHECK_WORDS)
def check_job_no(job_no: np.ndarray) -> np.ndarray:
    """No two rows carry the same job number, letters' case aside.

    Section: own rule.
    Inputs: job_no [text]. Result: True where broken.

    >>> check_job_no(np.array(["A1", "a1", "B", "", ""], dtype=object)).tolist()
    [True, True, False, False, False]
    """
    lowered = pd.Series([text.lower() for text in job_no], dtype=object)
    return lowered.duplicated(keep=False).to_numpy() & (lowered != "").to_numpy()


@rule(
    "check_spaces_used",
    words=CHECK_WORDS,
    part="main_spaces_used",
    whole="main_spaces",
)
@rule(
    "check_two_circuit",
    words=CHECK_WORDS,
    part="two_circuit_spaces",
    whole="main_spaces_used",
)
@rule(
    "check_other_neutral",
    words=CHECK_WORDS,
    part="other_fixed_neutral_kva",
    whole="other_fixed_kva",
)
def check_at_most(part: np.ndarray, whole: np.ndarray) -> np.ndarray:
    """A part is at most the whole.

    Section: own rule.
    Inputs: part, whole [spaces or kVA]. Result: True where broken.
    """
    return part > whole


@rule("check_metered", words=CHECK_WORDS)
def check_metered(load_method: Choice, metered_peak_kw_blank: np.ndarray) -> np.ndarray:
    """The metered calculation needs a measured demand.

    Section: own rule.
    Inputs: load_method, metered_peak_kw_blank [yes or no]. Result: True where broken.
    """
    return load_method.is_("metered peak") & metered_peak_kw_blank


@rule("check_optional", words=CHECK_WORDS)
def check_optional(load_method: Choice, service_a: np.ndarray, optional_minimum: np.ndarray) -> np.ndarray:
    """The optional calculation holds from the smallest service that the code permits it for.

    Section: 220.82(A); 120.82(A) (2026).
    Inputs: load_method, service_a, optional_minimum [A]. Result: True where broken.
    """
    return load_method.is_("dwelling optional") & (service_a < optional_minimum)


@rule("check_oven_count", words=CHECK_WORDS, count="oven_count", total="oven_kw")
@rule("check_other_count", words=CHECK_WORDS, count="other_fixed_count", total="other_fixed_kva")
@rule("check_ev_count", words=CHECK_WORDS, count="ev_count", total="ev_a")
def check_count(count: np.ndarray, total: np.ndarray) -> np.ndarray:
    """A load that is there stands for one unit at least.

    Section: own rule.
    Inputs: count [units], total [kW, kVA or A]. Result: True where broken.
    """
    return (total > 0) & (count < 1)


@rule("check_move_neutral", words=CHECK_WORDS, part="move_neutral_kva", floor=-1.0)
@rule("check_move_continuous", words=CHECK_WORDS, part="move_continuous_kva", floor=0.0)
def check_move_part(
    *, part: np.ndarray, move_kva: np.ndarray, move_kva_blank: np.ndarray, floor: float
) -> np.ndarray:
    """A part of the moved load needs the moved load, and is at most that.

    Section: own rule.
    Inputs: part, move_kva [kVA], floor [kVA over which a part is given]. Result: True where broken.
    """
    return (part > move_kva) | ((part > floor) & move_kva_blank)


@rule("check_cable_metal", words=CHECK_WORDS)
def check_cable_metal(material: Choice, wiring: Choice) -> np.ndarray:
    """NM-B cable is copper.

    Section: 334.104.
    Inputs: material, wiring. Result: True where broken.
    """
    return material.is_("aluminum") & wiring.is_("NM-B cable")


@rule("check_cable_raceway", words=CHECK_WORDS)
def check_cable_raceway(moved_in_raceway: np.ndarray, wiring: Choice) -> np.ndarray:
    """A cable holds no moved circuits.

    Section: own rule.
    Inputs: moved_in_raceway [yes or no], wiring. Result: True where broken.
    """
    return moved_in_raceway & lookup.is_cable(wiring)


@rule("edition_index")
def edition_index(code_edition: np.ndarray) -> np.ndarray:
    """Position of the edition in the list of editions.

    Section: own rule.
    Inputs: code_edition [year]. Result: [position].

    >>> edition_index(np.array([2017.0, 2026.0])).tolist()
    [1, 4]
    """
    return np.searchsorted(np.array(EDITIONS, dtype=np.float64), code_edition) + 1


@rule("moved_wire_breaker_a")
def moved_wire_breaker_a(moved_wire: Choice) -> np.ndarray:
    """Breaker of the moved circuits by the size of their wire, which a blank entry takes.

    Section: 240.4(D); 8 AWG by the 60 C column.
    Inputs: moved_wire. Result: [A]; 0 where the wire is not valid.
    """
    return np.nan_to_num(lookup.number_of("moved_wire", "breaker_a", moved_wire))


@rule("run_exposed_ft")
def run_exposed_ft(run_ft: np.ndarray, trench_ft: np.ndarray) -> np.ndarray:
    """Exposed part of the run, which a blank entry takes: all that is not in the trench.

    Section: own rule.
    Inputs: run_ft, trench_ft [ft]. Result: [ft]; 0 where one of them is not valid.
    """
    return np.nan_to_num(np.maximum(run_ft - trench_ft, 0.0))


def _faults(entries: Entries) -> list[tuple[str, np.ndarray]]:
    """What is said of an invalid entry or a broken check, and where; entries first."""
    tables = load()
    said = [
        (f"{one.name} must be {one.expected}", entries.invalid[one.name])
        for one in entries.fields
        if one.name in entries.invalid
    ]
    return said + [(tables.rules[name].sentence, mask) for name, mask in entries.broken.items()]


def _count(entries: Entries, masks: Iterable[np.ndarray]) -> np.ndarray:
    found = np.zeros(entries.rows)
    for mask in masks:
        found += mask
    return found


@rule("entries_invalid", "circuit_invalid")
def entries_invalid(entries: Entries) -> np.ndarray:
    """How many entries and checks of a row are not valid.

    Section: own rule.
    Inputs: entries of all rows. Result: [entries].
    """
    return _count(entries, (mask for _, mask in _faults(entries)))


@rule("entries_missing", "circuit_missing")
def entries_missing(entries: Entries) -> np.ndarray:
    """How many required entries of a row are blank.

    Section: own rule.
    Inputs: entries of all rows. Result: [entries].
    """
    return _count(entries, entries.missing.values())


@rule("first_invalid", "circuit_first_invalid")
def first_invalid(entries: Entries) -> np.ndarray:
    """The rule of the first entry or check that is not valid, entries first.

    Section: own rule.
    Inputs: entries of all rows. Result: [text].
    """
    return _first(entries, _faults(entries))


def _first(entries: Entries, faults: list[tuple[str, np.ndarray]]) -> np.ndarray:
    """Text of the first fault of each row; the empty text where there is none."""
    place = np.full(entries.rows, BLANK, dtype=np.int64)
    for number, (_, mask) in enumerate(faults):
        place[mask & (place == BLANK)] = number
    return spell([text for text, _ in faults], place)


@rule("row_state", "circuit_state")
def row_state(entries: Entries) -> np.ndarray:
    """The first fault of a row, with the number of further ones; `ready` where there is none.

    Section: own rule.
    Inputs: entries of all rows. Result: [text]; blank for an empty row.
    """
    required = [one.name for one in entries.fields if one.name in entries.missing]
    first_missing = _first(entries, [(name, entries.missing[name]) for name in required])
    state = np.full(entries.rows, "ready", dtype=object)
    for word, first, count in (
        ("missing", first_missing, entries_missing(entries)),
        ("error", first_invalid(entries), entries_invalid(entries)),
    ):
        for row in np.flatnonzero(count):
            more = f" (and {count[row] - 1:.0f} more)" if count[row] > 1 else ""
            state[row] = f"{word}: {first[row]}{more}"
    if entries.empty is not None:
        state[entries.empty] = ""
    return state
