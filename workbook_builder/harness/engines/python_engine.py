"""What the two engines written for Python share: they run in a child process."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Mapping
from importlib import metadata
from pathlib import Path

from .cells import Cell, CellError, Grid, grid_of
from .process import run_program

#: The folder from which this package is imported, for the child to find it.
_ROOT = Path(__file__).resolve().parents[len(__package__.split("."))]


def package_version(name: str) -> str | None:
    """Return the version of an installed Python package, or None."""
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return None


def compute_in_child(
    module: str,
    *,
    engine: str,
    book: Path,
    file: str,
    folder: Path,
    sizes: Mapping[str, tuple[int, int]],
    timeout: float,
    stderr_lines: list[str],
) -> dict[str, Grid]:
    """Run `cells_of` of an engine module in a child and return its grids.

    Sheets are those in `sizes`, with at least that many (rows, columns).
    Raises EngineFailed.
    """
    target = folder / "cells.json"
    paths = [str(_ROOT), *(path for path in sys.path if path)]
    run_program(
        [sys.executable, "-m", f"{__package__}.child", module, book, target],
        engine=engine,
        file=file,
        folder=folder,
        timeout=timeout,
        settings={
            "PYTHONPATH": os.pathsep.join(paths),
            "PYTHONUTF8": "1",
            "TQDM_DISABLE": "1",
        },
        stderr_lines=stderr_lines,
    )
    found = json.loads(target.read_text(encoding="utf-8"))
    return {
        title: grid_of(map(_typed, found.get(title, [])), rows=rows, columns=columns)
        for title, (rows, columns) in sizes.items()
    }


def _typed(entry: list) -> Cell:
    row, column, value = entry
    if isinstance(value, dict):
        value = CellError(value["error"])
    return row, column, value
