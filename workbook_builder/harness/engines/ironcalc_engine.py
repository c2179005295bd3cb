"""Recalculate with IronCalc, a compiled engine that comes as a Python package.

Values are read as they are held, not as they are formatted, so no digit is
lost. It is the fastest of the engines. Version 0.9.1 loses brackets when it
loads a formula: those of a comparison that is an operand of `&` or of another
comparison, of a join inside arithmetic, and of a sum before `%`; and its AND
and OR stop at the first argument that decides, even if an error follows.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from .cells import Cell, CellError, Grid, number
from .python_engine import compute_in_child, package_version

NAME = "ironcalc"
REMEDY = "install the Python package with `pip install ironcalc`"


def version() -> str | None:
    """Return the version, None when the package is not installed."""
    return package_version("ironcalc")


def compute(
    book: Path,
    *,
    file: str,
    folder: Path,
    sizes: Mapping[str, tuple[int, int]],
    timeout: float,
    stderr_lines: list[str],
) -> dict[str, Grid]:
    """Return the recalculated grids of the sheets in `sizes`.

    `book` is the stripped copy, `folder` a folder to work in, `file` the name
    for messages, `timeout` in seconds. Raises EngineFailed.
    """
    return compute_in_child(
        "ironcalc_engine",
        engine=NAME,
        book=book,
        file=file,
        folder=folder,
        sizes=sizes,
        timeout=timeout,
        stderr_lines=stderr_lines,
    )


def cells_of(book: Path) -> dict[str, list[Cell]]:
    """Compute a workbook in this process; return the filled cells by sheet."""
    import ironcalc

    model = ironcalc.load_from_xlsx(str(book), "en", "UTC", "en")
    model.evaluate()
    titles = [sheet["name"] for sheet in model.get_worksheets_properties()]
    cells: dict[str, list[Cell]] = {title: [] for title in titles}
    for sheet, row, column in model.get_all_cells():
        value = model.get_cell_value(sheet, row, column)
        if isinstance(value, str):
            if value.startswith("#"):
                kind = model.get_cell_type(sheet, row, column)
                if kind == ironcalc.CellType.ErrorValue:
                    value = CellError(value)
        elif isinstance(value, float):
            value = number(value)
        cells[titles[sheet]].append((row, column, value))
    return cells
