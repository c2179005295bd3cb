"""The wheel carries its data: in a clean environment it builds the sample workbook and verifies it."""

from __future__ import annotations

import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


@pytest.mark.wheel
def test_the_wheel_builds_the_workbook_in_a_clean_environment(tmp_path: Path) -> None:
    if not (ROOT / "pyproject.toml").is_file():
        pytest.skip("not in a source tree")
    venv.create(tmp_path / "clean", with_pip=True)
    python = tmp_path / "clean" / ("Scripts" if os.name == "nt" else "bin") / "python"
    wheels = tmp_path / "wheels"

    def call(*command: str) -> str:
        environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
        return subprocess.run(
            command, cwd=tmp_path, env=environment, capture_output=True, text=True, check=True, timeout=600
        ).stdout

    call(sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", str(wheels), str(ROOT))
    (wheel,) = wheels.glob("workbook_builder-*.whl")
    with zipfile.ZipFile(wheel) as archive:
        carried = {name for name in archive.namelist() if "/templates/prices/" in name}
    assert carried == {
        f"workbook_builder/templates/prices/{name}.csv"
        for name in ("price_book", "labour_units", "factors", "market", "settings")
    }
    call(str(python), "-m", "pip", "install", "--quiet", str(wheel))
    said = call(str(python), "-m", "workbook_builder", "build", "--out", "book.xlsx")

    assert "19 jobs in 100 rows" in said
    assert (tmp_path / "book.xlsx").stat().st_size > 100_000
    assert "results.csv: 19 jobs" in call(
        str(python), "-m", "workbook_builder", "estimate", str(ROOT / "samples" / "jobs.csv"), "--out", "results.csv"
    )
