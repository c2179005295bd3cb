"""The reference's verdict on entries, told as faults of the file they come from."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from difflib import get_close_matches

import pandas as pd

from ..code_tables.load import load
from ..code_tables.model import Field
from ..reference import run
from .faults import MOST_FAULTS, Fault, shown

CIRCUIT_CHECK = "Circuit check"
"""The sheet of the rules about circuits."""

_ROWS_AT_ONCE = 500
_TWINS_SHOWN = 5


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
    twins = _twins(raw)
    faults: list[Fault] = []
    for found in _found(raw.reset_index(drop=True)):
        row = int(raw.index[found.row])
        if found.field in absent or (row, found.field) in told:
            continue
        if len(faults) > MOST_FAULTS:
            break
        value = raw.at[row, found.field]
        faults.append(
            Fault(
                file=file,
                sheet=sheet,
                row=row,
                field=found.field,
                cell=f"{letters[found.field]}{row}" if letters else None,
                found=shown(value) + _twin(twins, row, found.field, value),
                expected=found.expected.removeprefix(f"{found.field} must be "),
                todo=advice(value, fields[found.field]),
            )
        )
    return faults


def _found(raw: pd.DataFrame) -> list[run.Fault]:
    """What the reference finds; in rows of which many are faulty, of the first of them only."""
    found: list[run.Fault] = []
    for start in range(0, len(raw), _ROWS_AT_ONCE) if len(raw) > _ROWS_AT_ONCE else ():
        some = run.faults(raw.iloc[start : start + _ROWS_AT_ONCE].reset_index(drop=True))
        found += [replace(one, row=one.row + start) for one in some]
        if len(found) > MOST_FAULTS:
            return found
    return run.faults(raw)


def circuit_faults(
    raw: pd.DataFrame,
    *,
    jobs: pd.DataFrame,
    file: str,
    sheet: str | None = None,
    letters: Mapping[str, str] | None = None,
    absent: Collection[str] = (),
    told: Collection[tuple[int, str]] = (),
) -> list[Fault]:
    """What is wrong with circuits of these jobs, by the index of `raw`; as job_faults."""
    if raw.empty:
        return []
    known = {_text(number).casefold(): _text(number) for number in jobs["job_no"] if number is not None}
    done = set(told)
    faults: list[Fault] = []

    def add(row: int, field: str, expected: str, todo: str) -> None:
        cell = f"{letters[field]}{row}" if letters else None
        faults.append(Fault(file, sheet, row, field, cell, shown(raw.at[row, field]), expected, todo))
        done.add((row, field))

    for row, entries in zip(raw.index, raw.to_dict("records"), strict=True):
        if len(faults) > MOST_FAULTS:
            return faults
        for field in load().circuit_fields:
            value = entries[field.name]
            if (row, field.name) in done or field.name in absent:
                continue
            if field.name == "job_no" and value is not None:
                if _text(value).casefold() not in known:
                    near = did_you_mean(_text(value), tuple(known.values()))
                    add(row, "job_no", "the number of a job in the list of jobs", near)
            elif not fits(value, field):
                add(row, field.name, field.expected, advice(value, field))
    for row, field, expected in _broken_checks(raw, jobs):
        if (row, field) not in done and field not in absent:
            add(row, field, expected, "")
    return faults


def _broken_checks(raw: pd.DataFrame, jobs: pd.DataFrame) -> Iterator[tuple[int, str, str]]:
    """Row, field and what is expected there, for each cross-check of circuits that the reference finds broken."""
    broken = run.broken_circuits(raw.reset_index(drop=True), jobs.reset_index(drop=True))
    for name, places in broken.items():
        field, _, words = load().rules[name].sentence.partition(" must ")
        expected = words.removeprefix("be ") if words.startswith("be ") else words.rpartition(": ")[2]
        for place in places.tolist():
            yield int(raw.index[place]), field, expected


def fits(value: object, field: Field) -> bool:
    """Whether an entry of a circuit is in its list or range, and there where it must be."""
    if value is None:
        return not field.required
    if field.numeric:
        return value in field.choices
    if field.choices:
        return _text(value).casefold() in {str(choice).casefold() for choice in field.choices}
    if field.kind != "number":
        return True
    return (
        isinstance(value, float)
        and (field.minimum is None or value >= field.minimum)
        and (field.maximum is None or value <= field.maximum)
        and not (field.whole and not value.is_integer())
    )


def _text(value: object) -> str:
    """A value as text: spreadsheets make the number 101 of a job number typed so."""
    return str(int(value)) if isinstance(value, float) and value.is_integer() else str(value)


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


def _twins(raw: pd.DataFrame) -> dict[str, list[int]]:
    """Rows by job number."""
    rows: dict[str, list[int]] = {}
    for row, number in raw["job_no"].items():
        if number is not None:
            rows.setdefault(str(number).casefold(), []).append(row)
    return rows


def _twin(twins: Mapping[str, Sequence[int]], row: int, field: str, value: object) -> str:
    """The other rows with the same job number, in words."""
    same = twins.get(str(value).casefold(), ()) if field == "job_no" else ()
    others = [str(other) for other in same[: _TWINS_SHOWN + 2] if other != row]
    if len(others) > _TWINS_SHOWN:
        others[_TWINS_SHOWN:] = ["..."]
    return f", as in row {', '.join(others)}" if others else ""
