"""The reference's verdict on entries, told as faults of the file they come from."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from difflib import get_close_matches

import pandas as pd

from ..code_tables.load import load
from ..code_tables.model import Field
from ..reference import run
from .faults import Fault, shown


def job_faults(
    raw: pd.DataFrame,
    *,
    file: str,
    sheet: str | None = None,
    letters: Mapping[str, str] | None = None,
    absent: Collection[str] = (),
    told: Collection[tuple[int, str]] = (),
) -> list[Fault]:
    """What the reference finds wrong with jobs, by the index of `raw`.

    letters gives the column of each field where the file is a workbook. Nothing
    is said of fields in `absent`, whose column is not in the file, nor of
    cells (row, field) in `told`, which have a fault already.
    """
    if raw.empty:
        return []
    fields = {field.name: field for field in load().job_fields}
    faults = []
    for found in run.faults(raw.reset_index(drop=True)):
        row = int(raw.index[found.row])
        if found.field in absent or (row, found.field) in told:
            continue
        value = raw.at[row, found.field]
        faults.append(
            Fault(
                file=file,
                sheet=sheet,
                row=row,
                field=found.field,
                cell=f"{letters[found.field]}{row}" if letters else None,
                found=shown(value) + _twin(raw, row, found.field),
                expected=found.expected.removeprefix(f"{found.field} must be "),
                todo=advice(value, fields[found.field]),
            )
        )
    return faults


def advice(value: object, field: Field) -> str:
    """What to do about an entry that is blank or not in the list; else nothing."""
    if value is None:
        return "fill it in"
    if field.kind == "choice" and isinstance(value, str):
        return did_you_mean(value, [str(choice) for choice in field.choices])
    return ""


def did_you_mean(value: str, words: Sequence[str]) -> str:
    """The nearest of some words as a question, empty where none is near."""
    plain = {word.casefold(): word for word in words}
    near = get_close_matches(" ".join(value.casefold().split()), list(plain), n=1, cutoff=0.7)
    return f"did you mean {plain[near[0]]}?" if near and plain[near[0]] != value else ""


def _twin(raw: pd.DataFrame, row: int, field: str) -> str:
    """The other rows with the same job number, in words."""
    if field != "job_no":
        return ""
    own = str(raw.at[row, field]).casefold()
    rows = [
        other for other, number in raw["job_no"].items()
        if other != row and number is not None and str(number).casefold() == own
    ]  # fmt: skip
    return f", as in row {', '.join(map(str, rows))}" if rows else ""
