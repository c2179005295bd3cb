"""An override beyond its limits is not used in either entry, and the workbook says so where it stands and on Start."""

from __future__ import annotations

from pathlib import Path

import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.harness.engines import available, recalculate
from workbook_builder.harness.verify import verify
from workbook_builder.sheets.layout import LOCAL_RULES, PARAMETER_COLUMNS, Layout

from .books import write_book
from .job_frames import random_jobs

ENGINES = [
    "ironcalc",
    pytest.param("libreoffice", marks=pytest.mark.libreoffice),
    pytest.param("gnumeric", marks=pytest.mark.gnumeric),
]
BEYOND = {
    "power_factor": (1.01, "STOP: not a number from 0.1 to 1; not used"),
    "unit_load": (-1.0, "STOP: not a number of 0 or more; not used"),
    "percent": (99.0, "STOP: not 100, a fact of arithmetic; not used"),
    "appliance_rate": ("three quarters", "STOP: not a number from 0 to 1; not used"),
    "nm_largest": ("7/0", "STOP: not a conductor size; not used"),
    "raceway_small": ("1-3/4", "STOP: not a trade size; not used"),
}
WITHIN = {"lighting_third_rate": 1.0, "lighting_second_rate": 0.0, "bus_far_end_rate": 1.0, "rod_largest": "4"}


@pytest.mark.parametrize("engine", ENGINES)
def test_an_override_beyond_its_limits_is_not_used(engine: str, tmp_path: Path) -> None:
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")
    typed = {name: value for name, (value, _) in BEYOND.items()} | WITHIN
    path = tmp_path / "book.xlsx"
    write_book(path, random_jobs(20, seed=11), overrides=typed)

    report = verify(path, engines=[engine])
    grids = recalculate(path, engine=engine, sheets=[LOCAL_RULES, "Start"])

    assert report.overrides == WITHIN
    assert {name for name in BEYOND if any(f"found {_shown(typed[name])}" in str(one) for one in report.input_faults)} == {
        *BEYOND
    }
    assert report.engines[0].comparison.differences == ()
    state, used = (PARAMETER_COLUMNS.index(name) for name in ("state", "in_use_2023"))
    code, rows = load(), Layout(load(), rows=4).parameter_rows
    for name in typed:
        cells = grids[LOCAL_RULES][rows[name] - 1]
        assert cells[state] == (BEYOND[name][1] if name in BEYOND else "OK"), name
        assert cells[used] == (code.parameters[name].values[2023] if name in BEYOND else typed[name]), name
    assert any(
        str(cell).startswith("STOP: local rules that are not used") for row in grids["Start"] for cell in row
    )


def _shown(value: object) -> str:
    return repr(value) if isinstance(value, str) else f"{value:.12g}"


def test_every_published_value_is_within_the_limits_of_its_override() -> None:
    """Else a local rule could not give a published value back."""
    for name, parameter in load().parameters.items():
        if parameter.unit != "size":
            assert all(parameter.least <= value <= parameter.most for value in parameter.values.values()), name
