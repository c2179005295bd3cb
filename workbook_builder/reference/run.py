"""Calculates every rule for every job and every circuit, a block of jobs at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
import pandas as pd

from workbook_builder.code_tables.books import Books
from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import EDITIONS
from workbook_builder.reference import lookup
from workbook_builder.reference.blocks import (
    Circuits,
    Jobs,
    calculate_blocks,
    calculate_together,
    open_results,
    plain,
)
from workbook_builder.reference.books import book_statistics, book_values, setting_values, with_settings
from workbook_builder.reference.circuit_entries import circuit_job_row
from workbook_builder.reference.faults import Fault, find_faults
from workbook_builder.reference.frame import frame_of
from workbook_builder.reference.inputs import Entries, read_circuits, read_entries, row_state
from workbook_builder.reference.plan import is_of_circuits, plan
from workbook_builder.reference.registry import registered

__all__ = [
    "book_statistics", "broken_circuits", "calculate", "calculate_all", "faults", "faults_circuits", "plan",
]  # fmt: skip

BLOCK = 2**15
TRADE_SIZES = ("large_raceway", "raceway_small")
"""Parameters that are trade sizes of raceways; the other sizes are of conductors."""


def calculate(
    raw: pd.DataFrame,
    *,
    overrides: Mapping[str, float | str] | None = None,
    books: Books | None = None,
) -> pd.DataFrame:
    """Every rule of jobs and every entry as used, for jobs without a list of circuits; as calculate_all."""
    return calculate_all(raw, None, overrides=overrides, books=books)[0]


def calculate_all(
    raw_jobs: pd.DataFrame,
    raw_circuits: pd.DataFrame | None = None,
    *,
    overrides: Mapping[str, float | str] | None = None,
    books: Books | None = None,
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Every rule and every entry as used: a frame for the jobs and one for the circuits.

    raw_jobs, raw_circuits: any of the job fields and of the circuit fields as
    columns; a cell is a number, a text, a date or blank (None, NaN, empty
    text). A blank row counts where rows are numbered. overrides: parameters
    with one value for all editions, and settings. books: prices, labour units,
    factors, wages and settings, those of the package where none are given; a
    number that is missing there is NaN. Numbers and counts are float64 with NaN
    for blank, all other columns object with the empty text for blank. Rows
    that are not ready hold only their state, their entries, their checks and
    the row of their job. Raises ValueError for an unknown column, parameter or
    setting.
    """
    books = with_settings(load().books if books is None else books, overrides or {})
    parameters = parameters_in_use(overrides or {}, books)
    entries, state = job_entries(raw_jobs, parameters)
    if raw_circuits is None:
        raw_circuits = pd.DataFrame(columns=[one.name for one in load().circuit_fields])
    listed, job_row = circuit_entries(raw_circuits, entries, state, parameters)
    circuit_state = row_state(listed)
    results = open_results(entries.rows, of_circuits=False)
    jobs = Jobs(entries, state == "ready", parameters, book_values(books), results)
    circuits = Circuits.of(listed, job_row=job_row, ready=circuit_state == "ready")
    calculate_blocks(jobs, circuits, size=BLOCK)
    calculate_together(jobs)
    rules = load().rules.values()
    return (
        frame_of(
            raw_jobs.index,
            rules=[one for one in rules if not is_of_circuits(one)],
            entries=entries,
            known={"row_state": state},
            results=jobs.results,
        ),
        frame_of(
            raw_circuits.index,
            rules=[one for one in rules if is_of_circuits(one)],
            entries=listed,
            known={"circuit_state": circuit_state, "circuit_job_row": job_row},
            results=circuits.results,
        ),
    )


def faults(raw: pd.DataFrame) -> list[Fault]:
    """Every fault of every row that has any entry, in the order of rows and fields."""
    return find_faults(raw, job_entries(raw, parameters_in_use({}, load().books))[0])


def faults_circuits(raw_circuits: pd.DataFrame, raw_jobs: pd.DataFrame) -> list[Fault]:
    """Every fault of every circuit that has any entry, in the order of rows and fields."""
    return find_faults(raw_circuits, _listed(raw_circuits, raw_jobs))


def broken_circuits(raw_circuits: pd.DataFrame, raw_jobs: pd.DataFrame) -> dict[str, np.ndarray]:
    """For each check of circuits the rows (first row 0) in which it is broken, blank rows left out."""
    entries = _listed(raw_circuits, raw_jobs)
    kept = True if entries.empty is None else ~entries.empty
    return {name: np.flatnonzero(mask & kept) for name, mask in entries.broken.items()}


def _listed(raw_circuits: pd.DataFrame, raw_jobs: pd.DataFrame) -> Entries:
    parameters = parameters_in_use({}, load().books)
    entries, state = job_entries(raw_jobs, parameters)
    return circuit_entries(raw_circuits, entries, state, parameters)[0]


def job_entries(
    raw: pd.DataFrame, parameters: Mapping[str, float | np.ndarray]
) -> tuple[Entries, np.ndarray]:
    """The entries of the jobs with their checks, and the state of each row."""
    entries = read_entries(raw)
    edition = entries.used["code_edition"]
    _run_checks(entries, lambda name: _in_edition(parameters[name], edition), of_circuits=False)
    return entries, row_state(entries)


def _in_edition(value: float | np.ndarray, code_edition: np.ndarray) -> np.ndarray:
    """A parameter as it holds in the edition of each row; NaN where that is not known."""
    place = np.searchsorted(np.array(EDITIONS, dtype=np.float64), code_edition)
    return np.append(np.resize(value, len(EDITIONS)), np.nan)[place]


def circuit_entries(
    raw: pd.DataFrame, jobs: Entries, state: np.ndarray, parameters: Mapping[str, float | np.ndarray]
) -> tuple[Entries, np.ndarray]:
    """The entries of the circuits with their checks, and the row of the job of each (first row 1)."""
    entries = read_circuits(raw)
    ready_job_no = np.where(state == "ready", jobs.used["job_no"], "")
    job_row = circuit_job_row(entries.used["job_no"], ready_job_no)
    edition = np.append(np.nan, jobs.used["code_edition"])[job_row.astype(np.int64)]

    def other(name: str) -> float | np.ndarray:
        if name == "circuit_job_row":
            return job_row
        value = parameters[name]
        return _in_edition(value, edition) if isinstance(value, np.ndarray) else value

    _run_checks(entries, other, of_circuits=True)
    return entries, job_row


def parameters_in_use(overrides: Mapping[str, float | str], books: Books) -> dict[str, float | np.ndarray]:
    """Each parameter as one number, or as four by edition; a size as its position. Each setting."""
    settings = setting_values(books)
    unknown = sorted(set(overrides) - set(load().parameters) - set(settings))
    if unknown:
        raise ValueError(f"no parameters: {', '.join(unknown)}")
    values: dict[str, float | np.ndarray] = dict(settings)
    for name, used in rules_in_use(overrides).items():
        by_edition = list(used.values())
        if load().parameters[name].unit == "size":
            position = lookup.trade_size_position if name in TRADE_SIZES else lookup.size_position
            by_edition = [position(size) for size in by_edition]
        numbers = np.array([float(value) for value in by_edition])
        values[name] = float(numbers[0]) if (numbers == numbers[0]).all() else numbers
    return values


def rules_in_use(overrides: Mapping[str, float | str]) -> dict[str, dict[int, float | str]]:
    """The value of each parameter in each edition: the override, else what is published."""
    return {
        name: {edition: overrides.get(name, parameter.values[edition]) for edition in EDITIONS}
        for name, parameter in load().parameters.items()
    }


def _run_checks(entries: Entries, other: Callable[[str], np.ndarray], *, of_circuits: bool) -> None:
    """Runs the checks between entries; a check on an invalid or missing entry is not broken.

    other: finds an input that is no entry.
    """
    for name, one in load().rules.items():
        if not name.startswith("check_") or is_of_circuits(one) != of_circuits:
            continue
        how = registered()[name]
        given = {}
        for argument, source in how.inputs.items():
            if not isinstance(source, str):
                given[argument] = source
            elif source.endswith("_blank"):
                blank = entries.blank.get(source.removesuffix("_blank"))
                given[argument] = np.zeros(entries.rows, bool) if blank is None else blank
            else:
                given[argument] = plain(entries.used[source]) if source in entries.used else other(source)
        with np.errstate(invalid="ignore"):
            entries.broken[name] = np.asarray(how.function(**given))
