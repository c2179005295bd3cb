"""Read the values of an .xlsx file that an engine has just written.

Only what a result needs is read: no styles, no formulas, no formats. That
makes it many times faster than a general reader. Numbers come as the file
spells them; a date is the number of days that the cell holds.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterable, Mapping
from os import PathLike

from .cells import Cell, CellError, Grid, grid_of, number, position
from .faults import NotAWorkbook
from .package import contents, event_parser, local_name, open_archive, parse_part

#: Spelling of characters that XML text cannot hold, such as _x000D_.
_ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")


def read_grids(
    path: str | PathLike[str],
    *,
    sheets: Iterable[str] | None = None,
    sizes: Mapping[str, tuple[int, int]] | None = None,
) -> dict[str, Grid]:
    """Return the grids of the named sheets, or of all of them.

    `sizes` gives least (rows, columns) for some sheets. Raises NotAWorkbook
    when the file or a cell is not sound, ValueError when a sheet is missing.
    """
    with open_archive(path) as archive:
        found = contents(archive)
        wanted = list(found.sheets if sheets is None else sheets)
        for title in wanted:
            if title not in found.sheets:
                raise ValueError(f"{archive.filename}: no sheet {title!r}")
        strings = _shared_strings(archive, found.strings)
        grids = {}
        for title in wanted:
            rows, columns = (sizes or {}).get(title, (0, 0))
            cells = _sheet_cells(archive, found.sheets[title], strings)
            grids[title] = grid_of(cells, rows=rows, columns=columns)
        return grids


def _shared_strings(archive: zipfile.ZipFile, part: str | None) -> list[str]:
    if part is None or part not in archive.namelist():
        return []
    strings: list[str] = []
    texts: list[str] = []
    parser = event_parser()
    in_phonetic = False

    def start(name: str, _: dict[str, str]) -> None:
        nonlocal in_phonetic
        tag = local_name(name)
        if tag == "si":
            texts.clear()
        elif tag == "rPh":
            in_phonetic = True
        elif tag == "t" and not in_phonetic:
            parser.CharacterDataHandler = texts.append

    def end(name: str) -> None:
        nonlocal in_phonetic
        tag = local_name(name)
        if tag == "t":
            parser.CharacterDataHandler = None
        elif tag == "rPh":
            in_phonetic = False
        elif tag == "si":
            strings.append(_unescaped("".join(texts)))

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parse_part(parser, archive, part)
    return strings


def _sheet_cells(archive: zipfile.ZipFile, part: str, strings: list[str]) -> list[Cell]:
    cells: list[Cell] = []
    texts: list[str] = []
    parser = event_parser()
    row = column = 0
    kind, in_cell, has_text, in_phonetic = "n", False, False, False

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal row, column, kind, in_cell, has_text, in_phonetic
        tag = local_name(name)
        if tag == "c":
            texts.clear()
            in_cell, has_text = True, False
            kind = attributes.get("t", "n")
            reference = attributes.get("r")
            if reference:
                row, column = position(reference)
            else:
                column += 1
        elif tag == "row":
            row = int(attributes.get("r", row + 1))
            column = 0
        elif not in_cell:
            return
        elif tag == "rPh":
            in_phonetic = True
        elif tag == "v" or (tag == "t" and not in_phonetic):
            has_text = True
            parser.CharacterDataHandler = texts.append

    def end(name: str) -> None:
        nonlocal in_cell, in_phonetic
        if not in_cell:
            return
        tag = local_name(name)
        if tag == "v" or tag == "t":
            parser.CharacterDataHandler = None
        elif tag == "rPh":
            in_phonetic = False
        elif tag == "c":
            in_cell = False
            if has_text:
                text = "".join(texts)
                try:
                    cells.append((row, column, _value(kind, text, strings)))
                except (ValueError, LookupError) as fault:
                    raise NotAWorkbook(
                        archive.filename,
                        f"{part}: row {row}, column {column}: {text!r} is no value of kind {kind!r}",
                    ) from fault

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parse_part(parser, archive, part)
    return cells


def _value(kind: str, text: str, strings: list[str]) -> object:
    """Turn a cell's text into a value; ValueError or LookupError when there is none."""
    if kind == "n":
        return number(float(text)) if text.strip() else None
    if kind == "s":
        return strings[int(text)]
    if kind == "b":
        return {"1": True, "true": True, "0": False, "false": False}[text.strip()]
    if kind == "e":
        return CellError(text.strip())
    if kind in ("str", "inlineStr", "d"):
        return _unescaped(text)
    raise ValueError(kind)


def _unescaped(text: str) -> str:
    if "_x" not in text:
        return text
    return _ESCAPE.sub(lambda match: chr(int(match[1], 16)), text)
