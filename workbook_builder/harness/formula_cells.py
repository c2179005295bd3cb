"""Reads the formulas that stand in a workbook, as text, a sheet at a time."""

from __future__ import annotations

import re
from os import PathLike

import defusedxml.ElementTree

from .engines.cells import position
from .engines.package import contents, open_archive

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_QUOTED = re.compile(r'("(?:[^"]|"")*")')


def formula_cells(path: str | PathLike[str]) -> dict[str, dict[tuple[int, int], str]]:
    """Formulas by sheet and (row, column), both counted from 1, without the equals sign.

    Raises NotAWorkbook for a file that is no sound workbook.
    """
    found: dict[str, dict[tuple[int, int], str]] = {}
    with open_archive(path) as archive:
        for sheet, part in contents(archive).sheets.items():
            cells = found.setdefault(sheet, {})
            with archive.open(part) as stream:
                for _, element in defusedxml.ElementTree.iterparse(stream, forbid_dtd=True):
                    if element.tag == f"{_MAIN}c":
                        formula = element.find(f"{_MAIN}f")
                        if formula is not None:
                            cells[position(element.get("r", ""))] = formula.text or ""
                    elif element.tag == f"{_MAIN}row":
                        element.clear()
    return found


def same_form(left: str, right: str) -> bool:
    """Whether two formulas differ in spaces outside quoted text only.

    >>> same_form('IF(A1="a b", 1, 2)', 'IF(A1="a b",1,2)')
    True
    >>> same_form('IF(A1="a b", 1, 2)', 'IF(A1="ab", 1, 2)')
    False
    """
    return _squeezed(left) == _squeezed(right)


def _squeezed(formula: str) -> str:
    parts = _QUOTED.split(formula)
    parts[::2] = [part.replace(" ", "") for part in parts[::2]]
    return "".join(parts)
