"""verify with a list of circuits: both grids and the directory are looked at, faults are named and shown."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.harness.engines import available, recalculate
from workbook_builder.harness.report import as_text
from workbook_builder.harness.verify import recalculated_frames, verify
from workbook_builder.sheets.model import FIRST_ROW

from .books import write_book
from .test_verify import with_cell, with_formula

FIELDS = [field.name for field in load().circuit_fields]
JOB = {
    "job_no": "A1", "house_age": "middle", "market": "medium", "service_a": 200.0,
    "main_spaces": 30.0, "main_spaces_used": 30.0, "floor_area_ft2": 2000.0, "move_1pole": 1.0,
}  # fmt: skip
CIRCUIT = {
    "job_no": "A1", "panel": "main", "position": 1.0, "poles": 1.0, "breaker_a": 20.0,
    "label": "Kitchen", "action": "keep",
}  # fmt: skip


def _jobs(*changes: dict[str, object]) -> pd.DataFrame:
    return pd.DataFrame([JOB | change for change in changes or ({},)], dtype=object)


def _circuits(*changes: dict[str, object]) -> pd.DataFrame:
    return pd.DataFrame([dict.fromkeys(FIELDS) | CIRCUIT | change for change in changes], dtype=object)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "book.xlsx"
    circuits = _circuits({}, {"position": 2.0, "poles": 2.0}, {"position": 5.0, "panel": "added", "action": "move"})
    write_book(path, _jobs({}, {"job_no": "A2"}), circuits=circuits)
    return path


@pytest.mark.parametrize(
    "engine",
    [
        "formulas",
        "ironcalc",
        pytest.param("libreoffice", marks=pytest.mark.libreoffice),
        pytest.param("gnumeric", marks=pytest.mark.gnumeric),
    ],
)
def test_both_grids_equal_the_reference(book: Path, engine: str) -> None:
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")

    report = verify(book, engines=[engine])

    assert report.engines[0].comparison.differences == ()
    assert report.clean
    assert (report.jobs, report.rows, report.circuits, report.circuit_rows) == (2, 4, 3, 5)
    assert "2 jobs, 4 rows, 3 circuits, 5 rows" in as_text(report, shown=1)


def test_a_changed_formula_of_a_circuit_is_located(book: Path, tmp_path: Path) -> None:
    changed = with_formula(book, tmp_path / "changed.xlsx", "Circuit check", "circuit_va", "7")

    report = verify(changed, engines=["ironcalc"])

    assert [(one.sheet, one.column) for one in report.formula_faults] == [("Circuit check", "circuit_va")]
    assert ("Circuit check", "circuit_va", "A1") in {
        (one.sheet, one.column, one.job) for one in report.engines[0].comparison.differences
    }


def test_a_changed_formula_of_the_directory_is_located(book: Path, tmp_path: Path) -> None:
    changed = with_cell(book, tmp_path / "changed.xlsx", "Directory", "A10", "7")

    report = verify(changed, engines=[])

    assert [(one.sheet, one.cell, one.found) for one in report.formula_faults] == [("Directory", "A10", "=7")]
    assert not report.clean


def test_a_changed_state_on_the_input_sheet_is_a_difference(book: Path, tmp_path: Path) -> None:
    changed = with_cell(book, tmp_path / "changed.xlsx", "Circuits", "A11", "7")

    differences = verify(changed, engines=["ironcalc"]).engines[0].comparison.differences

    assert [(one.sheet, one.cell, one.column) for one in differences] == [("Circuits", "A11", "circuit_state")]


FAULTS = [
    ("position", "four", "error: position must be a whole number from 1 to 84"),
    ("panel", "cellar", "error: panel must be one of main, added"),
    ("job_no", "A9", "error: job_no must be the number of a job that is ready"),
    ("label", None, "missing: label"),
]


@pytest.mark.parametrize(
    "engine",
    [
        "ironcalc",
        pytest.param("libreoffice", marks=pytest.mark.libreoffice),
        pytest.param("gnumeric", marks=pytest.mark.gnumeric),
    ],
)
def test_a_fault_typed_into_circuits_shows_in_words_and_is_named(engine: str, tmp_path: Path) -> None:
    """Each kind of fault in a row of its own, and a row with everything but a job number."""
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")
    rows = [{"position": 2.0 * at + 1} | {field: value} for at, (field, value, _) in enumerate(FAULTS)]
    path = tmp_path / "book.xlsx"
    write_book(path, _jobs(), circuits=_circuits(*rows, {"job_no": None}, {"position": 30.0}))

    states = [row[0] for row in recalculate(path, engine=engine, sheets=["Circuits"])["Circuits"][FIRST_ROW - 1 :]]
    report = verify(path, engines=[engine])

    for state, (_, _, words) in zip(states, FAULTS, strict=False):
        assert state.startswith(words)
    assert states[len(FAULTS) : len(FAULTS) + 4] == ["missing: job_no", "ready", "", ""]
    assert [fault.split(", ")[3].partition(":")[0] for fault in report.input_faults] == [
        *(field for field, _, _ in FAULTS), "job_no",
    ]  # fmt: skip
    assert report.engines[0].comparison.differences == ()


def test_recalculated_frames_have_the_rows_of_their_grids(book: Path) -> None:
    frames = recalculated_frames(book, engine="ironcalc")

    assert {grid: len(frame) for grid, frame in frames.items()} == {"jobs": 4, "circuits": 5}
    assert frames["circuits"]["circuit_state"].tolist() == ["ready", "ready", "ready", "", ""]
    assert frames["jobs"]["row_state"].tolist() == ["ready", "ready", "", ""]
