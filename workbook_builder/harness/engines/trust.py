"""Refuse results that an engine cannot have computed."""

from __future__ import annotations

from collections.abc import Mapping
from os import PathLike

from .cells import CellError, Grid, cell_name, value_at
from .faults import EngineFailed
from .strip import CANARY, SENTINEL, Stripped


def check_computed(
    grids: Mapping[str, Grid],
    stripped: Stripped,
    *,
    engine: str,
    file: str | PathLike[str],
) -> None:
    """Check that every formula cell of a workbook came alive.

    `grids` are the recalculated sheets of the copy that `stripped` describes.
    Raises EngineFailed, naming the first such cell, when a formula cell still
    holds the sentinel (stale), or has no value at all (a formula's result is
    never blank: the engine dropped the cell or could not compute it); also
    when the workbook has a canary and that is no formula, or shows an error.
    """

    def failed(reason: str) -> EngineFailed:
        return EngineFailed(engine=engine, file=file, reason=reason)

    for title, shape in stripped.sheets.items():
        grid = grids.get(title, [])
        for row, column in shape.formulas:
            value = value_at(grid, row, column)
            if value is None:
                raise failed(f"no result for the formula in {_at(title, row, column)}")
            if value == SENTINEL:
                raise failed(
                    f"stale: {_at(title, row, column)} was not recalculated, it "
                    "still holds the value put there before"
                )
    if stripped.canary is None:
        return
    title, row, column = stripped.canary
    shown = f"the canary in {_at(title, row, column)}"
    if (row, column) not in stripped.sheets[title].formulas:
        raise failed(f"{shown} is not a formula, so it proves nothing")
    value = value_at(grids[title], row, column)
    if isinstance(value, CellError) or value == "":
        raise failed(f"{shown} did not come alive: it gives {value!r} ({CANARY!r})")


def _at(title: str, row: int, column: int) -> str:
    return f"{title}!{cell_name(row, column)}"
