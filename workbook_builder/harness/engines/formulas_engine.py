"""Recalculate with the Python package `formulas`.

It compiles every formula cell by itself, at some milliseconds and 65 kB a
cell, so a workbook with many spare rows is best computed with `keep_rows`.
A single formula that it cannot read stops the whole workbook. Version 1.3.4
gives cells in a circle no result, takes text of digits in a range for numbers
in SUM, MAX, MIN and COUNTIF, rounds exact halves down now and then (ROUND of
1.005 to 2 places), and cannot find a sheet with an apostrophe in its title.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator, Mapping
from pathlib import Path

from .cells import Cell, CellError, Grid, number
from .python_engine import compute_in_child, package_version

NAME = "formulas"
REMEDY = "install the Python package with `pip install formulas[excel]`"


def version() -> str | None:
    """Return the version, None when the package is not installed."""
    return package_version("formulas")


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
        "formulas_engine",
        engine=NAME,
        book=book,
        file=file,
        folder=folder,
        sizes=sizes,
        timeout=timeout,
        stderr_lines=stderr_lines,
    )


def cells_of(book: Path) -> dict[str, list[Cell]]:
    """Compute a workbook in this process; return the filled cells by sheet.

    Raises ValueError, naming the cell, for a formula that cannot be read.
    """
    import formulas
    from formulas.errors import FormulaError

    class Model(formulas.ExcelModel):
        """Says which cell it is that stops the workbook."""

        def compile_cell(self, cell, context, *rest):
            try:
                return super().compile_cell(cell, context, *rest)
            except FormulaError as fault:
                raise ValueError(
                    f"cannot read the formula in {cell.parent.title}!{cell.coordinate}: {cell.value}"
                ) from fault

    gc.freeze()
    gc.set_threshold(100_000, 50, 50)
    model = Model().loads(str(book))
    titles = {
        sheet.title.upper(): sheet.title
        for loaded in model.books.values()
        for sheet in loaded[formulas.excel.BOOK].worksheets
    }
    model.finish()
    solution = model.calculate()
    cells: dict[str, list[Cell]] = {title: [] for title in titles.values()}
    for name, cell in model.cells.items():
        if cell.range is not None and name in solution:
            place = cell.range.ranges[0]
            title = titles[place["sheet"].upper()]
            cells[title].extend(_cells_in(place, solution[name].value))
    return cells


def _cells_in(place: Mapping[str, object], values) -> Iterator[Cell]:
    """Yield each cell of a rectangle with its value, from a 2-D object array."""
    top, left = int(place["r1"]), int(place["n1"])
    for down, row in enumerate(values):
        for across, value in enumerate(row):
            yield top + down, left + across, _plain(value)


def _plain(value: object) -> object:
    """Turn a value of the package, or a NumPy scalar, into one of ours."""
    from formulas.tokens.operand import XlError
    from schedula import EMPTY

    if value is EMPTY:
        return None
    if isinstance(value, XlError):
        return CellError(value)
    if hasattr(value, "item"):
        value = value.item()
    if isinstance(value, bool):
        return value
    if isinstance(value, (int, float)):
        return number(value)
    return str(value)
