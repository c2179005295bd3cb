"""The rooms of the package know each other only as far as they may."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


def test_import_contracts_hold() -> None:
    """The contracts of pyproject.toml, kept by import-linter."""
    command = [str(Path(sys.executable).with_name("lint-imports")), "--config", str(ROOT / "pyproject.toml"), "--no-cache"]
    found = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)

    assert found.returncode == 0, found.stdout


@pytest.mark.parametrize(
    ("module", "strangers"),
    [
        ("workbook_builder.reference.run", ("workbook_builder.sheets", "openpyxl", "xlsxwriter", "formulas", "ironcalc")),
        ("workbook_builder.sheets.order", ("workbook_builder.reference", "numpy", "pandas")),
        ("workbook_builder.sheets.compile", ("workbook_builder.reference", "numpy", "pandas")),
        ("workbook_builder.code_tables.load", ("workbook_builder.reference", "workbook_builder.sheets", "numpy")),
    ],
)
def test_a_fresh_interpreter_loads_no_stranger(module: str, strangers: tuple[str, ...]) -> None:
    code = f"import sys, {module}; print('\\n'.join(sys.modules))"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()

    assert [name for name in loaded if name.startswith(strangers)] == []
