"""Published examples, in both entries: the reference and the workbook's formulas."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from workbook_builder.harness.engines import available
from workbook_builder.harness.verify import recalculated_frame
from workbook_builder.reference.run import calculate

from .books import write_book
from .golden_cases import cases

CASES = cases()
OUTPUTS = [(case, name) for case in CASES for name in case.expect]
IDS = [f"{case.name}:{name}" for case, name in OUTPUTS]


@pytest.fixture(scope="module")
def jobs() -> pd.DataFrame:
    rows = [{"job_no": f"G{place}", **case.job} for place, case in enumerate(CASES)]
    return pd.DataFrame(rows, dtype=object)


@pytest.fixture(scope="module")
def reference(jobs: pd.DataFrame) -> pd.DataFrame:
    return calculate(jobs)


@pytest.fixture(
    scope="module",
    params=[
        "ironcalc",
        pytest.param("libreoffice", marks=pytest.mark.libreoffice),
        pytest.param("gnumeric", marks=pytest.mark.gnumeric),
    ],
)
def workbook(request: pytest.FixtureRequest, jobs: pd.DataFrame, tmp_path_factory: pytest.TempPathFactory) -> pd.DataFrame:
    """The results that an engine finds in a workbook whose cached values are all zero."""
    if available(request.param) is None:
        pytest.skip(f"{request.param} is not installed")
    path: Path = tmp_path_factory.mktemp("golden") / "golden.xlsx"
    write_book(path, jobs)
    return recalculated_frame(path, engine=request.param)


def _check(results: pd.DataFrame, case: object, name: str) -> None:
    expected, within = case.expect[name]
    found = results[name].iloc[CASES.index(case)]
    if isinstance(expected, str):
        assert found == expected
    else:
        assert found == pytest.approx(expected, abs=within)


@pytest.mark.parametrize(("case", "name"), OUTPUTS, ids=IDS)
def test_reference(reference: pd.DataFrame, case: object, name: str) -> None:
    _check(reference, case, name)


@pytest.mark.parametrize(("case", "name"), OUTPUTS, ids=IDS)
def test_formulas(workbook: pd.DataFrame, case: object, name: str) -> None:
    _check(workbook, case, name)


def test_every_case_is_ready(reference: pd.DataFrame) -> None:
    assert set(reference["row_state"]) == {"ready"}
