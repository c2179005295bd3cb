"""Everything that stands in the cells of a workbook, sheet by sheet: formulas as text, values as they are."""

from __future__ import annotations

import zipfile
from collections.abc import Collection
from dataclasses import dataclass, field
from os import PathLike

from ..reader.cell_stream import cell_value, texts_in
from .engines.cells import position
from .engines.package import (
    Contents,
    contents,
    event_parser,
    local_name,
    open_archive,
    open_foreign,
    parse_part,
)
from .formula_form import NoForm, copied

Place = tuple[int, int]
"""Row and column of a cell, both from 1."""


@dataclass(frozen=True)
class ErrorValue:
    """An error value that stands in a cell as such."""

    text: str

    def __str__(self) -> str:
        return self.text


@dataclass
class SheetCells:
    """One sheet. formulas have no equals sign and their results are left out; values are all other cells.

    spread: cells of array formulas over more than one cell. styles: the number
    of the format of each cell in either. checked: areas in which typing is checked.
    """

    formulas: dict[Place, str] = field(default_factory=dict)
    values: dict[Place, object] = field(default_factory=dict)
    spread: set[Place] = field(default_factory=set)
    styles: dict[Place, int] = field(default_factory=dict)
    is_protected: bool = False
    checked: list[str] = field(default_factory=list)


@dataclass
class FileCells:
    """The sheets of a file by title in tab order, which of them are hidden and how, and its defined names."""

    sheets: dict[str, SheetCells]
    hidden: dict[str, str]
    names: dict[str, str]

    @property
    def formula_count(self) -> int:
        return sum(len(sheet.formulas) for sheet in self.sheets.values())


def read_cells(
    path: str | PathLike[str], *, foreign: bool = True, styles: bool = False, leave_out: Collection[str] = ()
) -> FileCells:
    """All cells of a workbook. Raises NotAWorkbook for a file that is not safe to open or no sound workbook.

    foreign False skips the look at safety, for a file written here or looked at
    before. Sheets with a title in leave_out come without their cells.
    """
    with (open_foreign if foreign else open_archive)(path) as archive:
        found = contents(archive)
        strings = _strings(archive, found)
        sheets = {
            title: SheetCells() if title in leave_out else _sheet(archive, part, strings, styles)
            for title, part in found.sheets.items()
        }
        return FileCells(sheets, found.hidden, found.names)


def _strings(archive: zipfile.ZipFile, found: Contents) -> tuple[str, ...]:
    if found.strings is None:
        return ()
    with archive.open(found.strings) as stream:
        return tuple(texts_in(stream))


def _sheet(archive: zipfile.ZipFile, part: str, strings: tuple[str, ...], styles: bool) -> SheetCells:
    """The cells of one part; a cell without an address stands after the one before it."""
    sheet = SheetCells()
    shared: dict[str, tuple[str, int, int]] = {}
    texts: list[str] = []
    parser = event_parser()
    row = column = 0
    kind, value = "n", None
    formula: str | None = None
    attributes_of_formula: dict[str, str] = {}
    in_cell = inline = aside = False

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal row, column, kind, value, formula, in_cell, inline, aside, attributes_of_formula
        tag = local_name(name)
        if tag == "c":
            reference = attributes.get("r")
            row, column = position(reference) if reference else (row, column + 1)
            kind, value, formula, in_cell = attributes.get("t", "n"), None, None, True
            if styles:
                sheet.styles[row, column] = int(attributes.get("s", 0))
        elif tag == "row":
            row, column = int(attributes.get("r") or row + 1), 0
        elif tag == "sheetProtection":
            sheet.is_protected = attributes.get("sheet", "0") in ("1", "true")
        elif tag == "dataValidation":
            sheet.checked += attributes.get("sqref", "").split()
        elif not in_cell:
            return
        elif tag == "f":
            attributes_of_formula = attributes
            texts.clear()
            parser.CharacterDataHandler = texts.append
        elif tag == "is":
            inline = True
            texts.clear()
        elif tag == "rPh":
            aside = True
        elif tag == "v" or (tag == "t" and inline and not aside):
            if tag == "v":
                texts.clear()
            parser.CharacterDataHandler = texts.append

    def end(name: str) -> None:
        nonlocal value, formula, in_cell, inline, aside
        if not in_cell:
            return
        tag = local_name(name)
        if tag == "c":
            in_cell = False
            if formula is not None:
                sheet.formulas[row, column] = formula
            elif value is not None:
                cell = cell_value(kind, value, strings)
                if cell is not None:
                    sheet.values[row, column] = ErrorValue(str(cell)) if kind == "e" else cell
        elif tag == "f":
            parser.CharacterDataHandler = None
            formula = _formula("".join(texts), attributes_of_formula, row, column, shared, sheet)
        elif tag == "v":
            parser.CharacterDataHandler = None
            value = "".join(texts)
        elif tag == "t":
            parser.CharacterDataHandler = None
        elif tag == "rPh":
            aside = False
        elif tag == "is":
            inline, value = False, "".join(texts)

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parse_part(parser, archive, part)
    return sheet


def _formula(
    text: str,
    attributes: dict[str, str],
    row: int,
    column: int,
    shared: dict[str, tuple[str, int, int]],
    sheet: SheetCells,
) -> str:
    """The formula of a cell by itself, whether it is written there or shared with a cell before it."""
    kind, number = attributes.get("t"), attributes.get("si", "")
    reference = attributes.get("ref", "")
    if kind == "shared" and text:
        shared[number] = text, row, column
    elif kind == "shared" and number in shared:
        master, from_row, from_column = shared[number]
        try:
            return copied(master, row - from_row, column - from_column)
        except NoForm:
            return master
    elif kind in ("array", "dataTable") and ":" in reference:
        first, last = (position(corner) for corner in reference.replace("$", "").split(":"))
        if first != last:
            sheet.spread.add((row, column))
    return text
