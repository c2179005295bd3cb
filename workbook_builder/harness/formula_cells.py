"""The formulas that stand in a workbook, as text, and whether two of them say the same."""

from __future__ import annotations

import re
from os import PathLike
from pathlib import Path

from ..reader.faults import BadInput, Fault
from .file_cells import read_cells
from .formula_form import NoForm, form_of

MOST_FORMULA_FAULTS = 100_000
"""So many of the formulas built may be missing."""

_QUOTED = re.compile(r'("(?:[^"]|"")*")')


def formula_cells(path: str | PathLike[str]) -> dict[str, dict[tuple[int, int], str]]:
    """Formulas by sheet and (row, column), both counted from 1, without the equals sign.

    Raises NotAWorkbook for a file that is not safe to open or no sound workbook.
    """
    return {title: sheet.formulas for title, sheet in read_cells(path).sheets.items()}


def check_count(path: str | PathLike[str], there: int, built: int) -> None:
    """Raises BadInput where so many of the formulas built are missing that a list would help nobody."""
    if built - there > MOST_FORMULA_FAULTS:
        words = f"{there:,} formulas", f"the {built:,} of its rows", "carry its entries into a new workbook"
        raise BadInput([Fault(Path(path).name, None, None, None, None, *words)])


def same_form(left: str, right: str) -> bool:
    """Whether two formulas differ in spaces outside quoted text only.

    >>> same_form('IF(A1="a b", 1, 2)', 'IF(A1="a b",1,2)')
    True
    >>> same_form('IF(A1="a b", 1, 2)', 'IF(A1="ab", 1, 2)')
    False
    """
    return left == right or _squeezed(left) == _squeezed(right)


def is_as_built(there: str | None, built: str, sheet: str) -> bool:
    """Whether a formula that stands on `sheet` says what the built one does, however it is written down.

    >>> is_as_built("+(A1)+.5", "A1+0.5", "Feeder"), is_as_built("A1-0.5", "A1+0.5", "Feeder")
    (True, False)
    """
    if there is None:
        return False
    try:
        return same_form(there, built) or form_of(there, sheet) == form_of(built, sheet)
    except NoForm:
        return False


def _squeezed(formula: str) -> str:
    parts = _QUOTED.split(formula)
    parts[::2] = [part.replace(" ", "") for part in parts[::2]]
    return "".join(parts)
