"""One toy row for the function of a rule: inputs in words and numbers, the answer in words."""

from __future__ import annotations

import numpy as np

from workbook_builder.code_tables.load import load
from workbook_builder.reference import lookup, plan  # noqa: F401  loads every rule
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import registered
from workbook_builder.reference.rounding import NUMERIC


def said(name: str, *, edition: int = 2023, **given: object) -> object:
    """What a rule says of one row: its word, its text or its number.

    given: entries as typed, other rules as they print. What is not given takes
    the default of its field, the parameter of the edition, OK for a state,
    blank for a size; any other rule must be given. None is blank.
    """
    (answer,) = said_together(name, [given], edition=edition)
    return answer


def said_together(name: str, rows: list[dict], *, edition: int = 2023) -> list:
    """What a rule says of some rows at once."""
    how = registered()[name]
    needs = {need.removesuffix("_blank") for need in how.needs}
    for given in rows:
        assert set(given) <= needs, sorted(set(given) - needs)
    inputs = {
        argument: _stacked([_value(source, given, edition, how.words) for given in rows])
        for argument, source in how.inputs.items()
    }
    found = how.function(**inputs)
    if isinstance(found, Choice):
        return [found.words[code] for code in found.codes]
    found = np.broadcast_to(found, len(rows)) if np.ndim(found) == 0 else found
    assert found.shape == (len(rows),)
    return [how.words[int(place)] for place in found] if how.words else [float(value) for value in found]


def _stacked(values: list) -> object:
    """One column of the values of single rows; what holds for all rows as it is."""
    first = values[0]
    if isinstance(first, tuple):
        return tuple(_stacked(list(column)) for column in zip(*values, strict=True))
    if isinstance(first, Choice):
        return Choice(first.words, np.concatenate([value.codes for value in values]))
    if any(np.ndim(value) for value in values):
        return np.concatenate([np.atleast_1d(value) for value in values])
    return first


def _value(source: object, given: dict, edition: int, own_words: tuple[str, ...]) -> object:
    """An input as rule functions get it; own_words: of a copied state that has no function here."""
    if isinstance(source, tuple):
        return tuple(_value(one, given, edition, own_words) for one in source)
    if not isinstance(source, str):
        return source
    fields = {one.name: one for one in load().job_fields}
    if source.endswith("_blank"):
        return np.array([given.get(source.removesuffix("_blank")) is None])
    if source in fields:
        one = fields[source]
        entry = given.get(source, one.default)
        if set(one.choices or ()) == {"yes", "no"}:
            return np.array([entry == "yes"])
        if one.kind == "choice" and not one.numeric:
            return Choice.of(one.choices, ["" if entry is None else entry])
        return np.array([np.nan if entry is None else float(entry)])
    if source in load().parameters:
        parameter = load().parameters[source]
        value = given.get(source, parameter.values[edition])
        number = lookup.size_position(value) if parameter.unit == "size" else float(value)
        return np.array([number]) if source in given else number
    return _of_rule(source, given, own_words)


def _of_rule(source: str, given: dict, own_words: tuple[str, ...]) -> object:
    one = load().rules.get(source)
    if one is None or one.kind in NUMERIC:
        value = given[source]
        return np.array([np.nan if value is None else float(value)])
    if one.kind == "size":
        value = given.get(source)
        return np.array([0 if value is None else lookup.size_position(value)])
    words = registered()[source].words if source in registered() else own_words
    if words == ("no", "yes"):
        return np.array([given[source] == "yes"])
    default = "OK" if "OK" in words else ""
    answer = Choice.of(words, [given.get(source, default) or ""])
    return answer.codes if one.kind == "state" else answer
