"""Reads the formulas that stand in a workbook, as text, a sheet at a time."""

from __future__ import annotations

import re
import zipfile
from os import PathLike
from pathlib import Path

from ..reader.faults import BadInput, Fault
from .engines.cells import position
from .engines.package import contents, event_parser, local_name, open_foreign, parse_part

MOST_FORMULA_FAULTS = 100_000
"""So many formulas that are not as built are listed, and so many may be missing."""

_QUOTED = re.compile(r'("(?:[^"]|"")*")')


def formula_cells(path: str | PathLike[str]) -> dict[str, dict[tuple[int, int], str]]:
    """Formulas by sheet and (row, column), both counted from 1, without the equals sign.

    Raises NotAWorkbook for a file that is not safe to open or no sound workbook.
    """
    with open_foreign(path) as archive:
        return {sheet: _formulas(archive, part) for sheet, part in contents(archive).sheets.items()}


def _formulas(archive: zipfile.ZipFile, part: str) -> dict[tuple[int, int], str]:
    """The formulas of one sheet; a cell without an address stands after the one before it."""
    found: dict[tuple[int, int], str] = {}
    texts: list[str] = []
    parser = event_parser()
    row = column = 0
    in_cell = False

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal row, column, in_cell
        tag = local_name(name)
        if tag == "c":
            in_cell = True
            reference = attributes.get("r")
            row, column = position(reference) if reference else (row, column + 1)
        elif tag == "row":
            row, column = int(attributes.get("r", row + 1)), 0
        elif tag == "f" and in_cell:
            texts.clear()
            parser.CharacterDataHandler = texts.append

    def end(name: str) -> None:
        nonlocal in_cell
        tag = local_name(name)
        if tag == "c":
            in_cell = False
        elif tag == "f" and in_cell:
            parser.CharacterDataHandler = None
            found[row, column] = "".join(texts)

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parse_part(parser, archive, part)
    return found


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
    return _squeezed(left) == _squeezed(right)


def _squeezed(formula: str) -> str:
    parts = _QUOTED.split(formula)
    parts[::2] = [part.replace(" ", "") for part in parts[::2]]
    return "".join(parts)
