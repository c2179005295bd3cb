"""Recalculate a workbook without showing it, in one of several engines.

Each engine is a spreadsheet program or a calculation package made by others;
none of them is trusted to recalculate. It gets a copy of the workbook without
the old results, and what it returns is refused when a formula did not come
alive.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Collection, Mapping, Sequence
from os import PathLike, fspath
from pathlib import Path

from . import formulas_engine, gnumeric, ironcalc_engine, libreoffice
from .cells import CellError, Grid, cell_name, value_at
from .faults import EngineFailed, EngineMissing, NotAWorkbook
from .package import open_foreign
from .strip import strip_cached
from .trust import check_computed

__all__ = [
    "ENGINES",
    "CellError",
    "EngineFailed",
    "EngineMissing",
    "Grid",
    "NotAWorkbook",
    "available",
    "cell_name",
    "recalculate",
    "seconds_for",
    "value_at",
]

_MODULES = {module.NAME: module for module in (formulas_engine, ironcalc_engine, libreoffice, gnumeric)}

#: The engines by name, the ones that are Python packages first.
ENGINES: tuple[str, ...] = tuple(_MODULES)


def available(engine: str) -> str | None:
    """Return the version of an engine, None when it is not installed.

    Raises ValueError for a name that is not in `ENGINES`.
    """
    return _module(engine).version()


def recalculate(
    path: str | PathLike[str],
    *,
    engine: str,
    sheets: Sequence[str] | None = None,
    keep_rows: Mapping[str, Collection[int]] | None = None,
    progress: Callable[[str], object] | None = None,
    timeout: float | None = None,
    stderr_lines: list[str] | None = None,
) -> dict[str, Grid]:
    """Recalculate a workbook and return the values of its sheets.

    The file is only read. Each grid is a list of rows from A1, large enough
    for every cell that is filled in the file, so `grid[r - 1][c - 1]` holds
    for all engines; values are None, int, float, str, bool or `CellError`.
    An empty text that a formula gives is "".

    `sheets` names the sheets to return, in that order (default: all). With
    `keep_rows`, {sheet: rows counted from 1}, the engine `formulas` computes
    only these rows of a sheet and what lies above the first of them; the
    formulas below come back as None. Other engines ignore it, being fast.
    `progress` is called with a line of text as each step begins; `timeout` is
    in seconds (default: five minutes and 30 milliseconds a formula); the
    engine's standard error lines are added to `stderr_lines`.

    Raises ValueError for an unknown engine or sheet, NotAWorkbook (a
    ValueError) for a file that is unsafe or no sound workbook, EngineMissing,
    EngineFailed, and OSError when the file cannot be read.
    """
    module = _module(engine)
    if module.version() is None:
        raise EngineMissing(engine=engine, remedy=module.REMEDY)
    tell = progress or (lambda _: None)
    file = fspath(path)
    lines: list[str] = []
    open_foreign(path).close()
    with tempfile.TemporaryDirectory(prefix="recalculate-") as name:
        folder = Path(name).resolve()
        book = folder / "book.xlsx"
        tell(f"{engine}: taking the old results out of {file}")
        stripped = strip_cached(path, book, keep_rows=keep_rows if engine == formulas_engine.NAME else None)
        wanted = list(stripped.sheets if sheets is None else sheets)
        for title in wanted:
            if title not in stripped.sheets:
                raise ValueError(f"{file}: no sheet {title!r}; there are " + ", ".join(stripped.sheets))
        tell(f"{engine}: computing {stripped.formula_count:,} formulas")
        try:
            grids = module.compute(
                book,
                file=file,
                folder=folder,
                sizes={
                    title: (shape.rows, shape.columns)
                    for title, shape in stripped.sheets.items()
                    if shape.formulas or title in wanted
                },
                timeout=seconds_for(stripped.formula_count) if timeout is None else timeout,
                stderr_lines=lines,
            )
        except ValueError as fault:
            raise EngineFailed(
                engine=engine, file=file, reason=f"unusable results: {fault}", lines=lines
            ) from fault
        finally:
            if stderr_lines is not None:
                stderr_lines.extend(lines)
        check_computed(grids, stripped, engine=engine, file=file)
        return {title: grids[title] for title in wanted}


def seconds_for(formulas: int) -> float:
    """Time enough for the slowest engine on a busy machine."""
    return 300 + 0.03 * formulas


def _module(engine: str):
    try:
        return _MODULES[engine]
    except KeyError:
        raise ValueError(f"no engine {engine!r}; there are " + ", ".join(ENGINES)) from None
