"""Results of the rows of a list as a frame."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
import pandas as pd

from workbook_builder.code_tables.model import Rule
from workbook_builder.reference import inputs
from workbook_builder.reference.choice import Choice, spell
from workbook_builder.reference.inputs import Entries
from workbook_builder.reference.plan import is_of_entries, plan
from workbook_builder.reference.registry import registered
from workbook_builder.reference.rounding import NUMERIC, rounded


def frame_of(
    index: pd.Index,
    *,
    rules: Iterable[Rule],
    entries: Entries,
    known: Mapping[str, np.ndarray],
    results: Mapping[str, np.ndarray],
) -> pd.DataFrame:
    """Rules in their order, then the entries as used.

    known: columns of rules about the entries that are computed already.
    """
    columns: dict[str, np.ndarray] = {}
    for one in rules:
        if is_of_entries(one):
            columns[one.name] = column_of_entries(entries, one, known)
        elif one.name in plan().words:
            columns[one.name] = spell(plan().words[one.name], results[one.name])
        else:
            columns[one.name] = results[one.name]
        if one.kind not in NUMERIC:
            columns[one.name] = pd.Series(columns[one.name], index=index, dtype=object, copy=False)
    for field in entries.fields:
        values = _entry_column(entries, field.name)
        columns[field.name] = pd.Series(values, index=index, dtype=values.dtype, copy=False)
    return pd.DataFrame(columns, index=index, copy=False)


def column_of_entries(entries: Entries, one: Rule, known: Mapping[str, np.ndarray]) -> np.ndarray:
    """A rule about the entries, blank in empty rows."""
    if one.name in known:
        values = known[one.name]
    elif one.name in entries.broken:
        values = spell(inputs.CHECK_WORDS, entries.broken[one.name].astype(np.int8))
    else:
        how = registered()[one.name]
        given = {**entries.used, "entries": entries}
        values = how.function(**{name: given[source] for name, source in how.inputs.items()})
        values = rounded(one.kind, values)
    if entries.empty is not None:
        values = np.where(entries.empty, "" if values.dtype == object else np.nan, values)
    return values


def _entry_column(entries: Entries, name: str) -> np.ndarray:
    """Entries as used, with the words `invalid` and `missing` where they are; blank in empty rows."""
    used = entries.used[name]
    values = spell(used.words, used.codes) if isinstance(used, Choice) else used
    is_text = values.dtype == object
    for word, masks in (("invalid", entries.invalid), ("missing", entries.missing)):
        mask = masks.get(name)
        if mask is not None:
            mask = mask if entries.empty is None else mask & ~entries.empty
            if mask.any():
                values = values.astype(object)
                values[mask] = word
    if entries.empty is not None:
        values = values.copy()
        values[entries.empty] = "" if is_text else np.nan
    return values
