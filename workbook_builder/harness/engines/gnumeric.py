"""Recalculate with Gnumeric, through its converter `ssconvert`.

Gnumeric computes with more digits than a double holds, so a sum that comes
out just above a round number elsewhere can be exact here. It takes `a^b^c`
from the right, Excel from the left. A cell in a circle keeps its old result,
so such a workbook is refused as stale.
"""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

from .cells import Grid
from .faults import EngineFailed
from .process import run_program, version_text
from .xml_grid import read_grids

NAME = "gnumeric"
REMEDY = "install Gnumeric, so that `ssconvert` is found on the PATH"


def version() -> str | None:
    """Return the version, None when Gnumeric is not installed."""
    found = shutil.which("ssconvert")
    text = version_text(found) if found else ""
    return text.partition("version '")[2].partition("'")[0] or None


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
    result = folder / "written.xlsx"
    run_program(
        [
            shutil.which("ssconvert") or "ssconvert",
            "--recalc",
            "--export-type=Gnumeric_Excel:xlsx2",
            book,
            result,
        ],
        engine=NAME,
        file=file,
        folder=folder,
        timeout=timeout,
        stderr_lines=stderr_lines,
    )
    if not result.is_file():
        raise EngineFailed(engine=NAME, file=file, reason="it wrote no file", lines=stderr_lines)
    return read_grids(result, sheets=sizes, sizes=sizes)
