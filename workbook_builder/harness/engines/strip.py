"""Make a copy of a workbook in which no formula cell holds a believable value.

A workbook file carries the last results of its formulas. An engine that hands
these back instead of computing would look perfect, so every one of them is
replaced by `SENTINEL` before the engine sees the file. Two habits of other
programs that an engine stumbles over are taken out as well: a blank cell that
is said to be a number (it would count as 0), and styles without a named one.
Everything else is copied byte for byte.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from os import PathLike
from xml.sax.saxutils import quoteattr

from .cells import position
from .faults import NotAWorkbook
from .package import (
    contents,
    event_parser,
    local_name,
    open_archive,
    parse_part,
    place_of,
    read_part,
)

#: No quantity of a house, and exact as a float and as text.
SENTINEL = -987654321

#: The defined name of the formula cell that has to come alive.
CANARY = "canary"

#: Attributes of a cell that describe the value which is taken out.
_OF_THE_VALUE = frozenset({"t", "vm"})

_VALUELESS = re.compile(rb"<[^>]*>(?:\s*<[^>]*v\s*(?:/>|>\s*</[^>]*v\s*>))?\s*")
"""A cell up to its end tag in which no value stands; that it has no formula is known."""

_STYLES = re.compile(r"xl/styles[0-9]*\.xml", re.IGNORECASE)
_AFTER_NAMED = re.compile(rb"</(?:\w+:)?cellXfs\s*>")
_NAMED = b'<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>'


@dataclass
class SheetShape:
    """What a sheet held: its size in cells, and its formula cells.

    `formulas` lists (row, column), counted from 1 and in file order, of the
    cells an engine must compute; cells dropped by `keep_rows` are left out.
    """

    rows: int = 0
    columns: int = 0
    formulas: list[tuple[int, int]] = field(default_factory=list)


@dataclass(frozen=True)
class Stripped:
    """The sheets of a stripped copy by title, and where its canary is."""

    sheets: dict[str, SheetShape]
    canary: tuple[str, int, int] | None

    @property
    def formula_count(self) -> int:
        """Number of formula cells that are left to compute."""
        return sum(len(shape.formulas) for shape in self.sheets.values())


def strip_cached(
    source: str | PathLike[str],
    target: str | PathLike[str],
    *,
    keep_rows: Mapping[str, Collection[int]] | None = None,
) -> Stripped:
    """Write `target`, a copy of `source` with `SENTINEL` in each formula cell.

    `keep_rows` names, for some sheets, the rows (counted from 1) whose
    formulas stay. Formula cells of such a sheet that lie below the first kept
    row, in a row that is not kept, are taken out altogether; the rows above
    are headings and stay. The first cell of a shared or array formula stays
    in any case, since other cells draw on it.

    Raises NotAWorkbook for a file that is not sound, ValueError for a sheet
    in `keep_rows` that does not exist or of which no row is kept, and OSError
    when a file cannot be opened.
    """
    with open_archive(source) as archive:
        found = contents(archive)
        kept = _checked(keep_rows or {}, found.sheets)
        title_of = {part: title for title, part in found.sheets.items()}
        sheets = {}
        with zipfile.ZipFile(target, "w", zipfile.ZIP_STORED) as copy:
            for part in archive.namelist():
                title = title_of.get(part)
                if title is None:
                    data = read_part(archive, part)
                    copy.writestr(part, with_named_style(data) if _STYLES.fullmatch(part) else data)
                    continue
                sheet = _SheetStripper(archive, part, kept.get(title))
                copy.writestr(part, sheet.stripped())
                sheets[title] = sheet.shape
        missing = [title for title in found.sheets if title not in sheets]
        if missing:
            raise NotAWorkbook(source, f"the sheet {missing[0]!r} has no part")
        canary = found.names.get(CANARY)
        if canary is None:
            return Stripped(sheets, None)
        place = place_of(canary)
        if place is None or place[0] not in sheets:
            raise NotAWorkbook(source, f"the name {CANARY!r} does not mean one cell: {canary}")
        return Stripped(sheets, place)


def with_named_style(styles: bytes) -> bytes:
    """The part of styles with a named one; a program that writes none is still right.

    >>> with_named_style(b"<styleSheet><cellXfs/></styleSheet>") == b"<styleSheet><cellXfs/></styleSheet>"
    True
    """
    end = _AFTER_NAMED.search(styles)
    if end is None or b"cellStyles" in styles or b":cellXfs" in end[0]:
        return styles
    return styles[: end.end()] + _NAMED + styles[end.end() :]


def _checked(
    keep_rows: Mapping[str, Collection[int]], sheets: Mapping[str, str]
) -> dict[str, frozenset[int]]:
    unknown = sorted(set(keep_rows) - set(sheets))
    if unknown:
        raise ValueError(f"keep_rows: no sheet {unknown[0]!r} in the workbook")
    empty = [title for title, rows in keep_rows.items() if not rows]
    if empty:
        raise ValueError(f"keep_rows: no row is kept of the sheet {empty[0]!r}")
    return {title: frozenset(rows) for title, rows in keep_rows.items()}


class _SheetStripper:
    """Finds the formula cells of one sheet and splices their values out.

    The parser tells where in the bytes each element starts, so what is not a
    formula's value is never written anew.
    """

    def __init__(self, archive: zipfile.ZipFile, part: str, keep: frozenset[int] | None) -> None:
        self.shape = SheetShape()
        self._archive, self._part = archive, part
        self._keep = keep
        self._first = min(keep) if keep else 0
        self._data = read_part(archive, part)
        if b"\0" in self._data[:4] or self._data[:2] in (b"\xff\xfe", b"\xfe\xff"):
            raise NotAWorkbook(archive.filename, f"{part} is not written in UTF-8")
        self._pieces: list[bytes] = []
        self._copied = 0
        self._row = self._column = 0
        self._cell: tuple[str, dict[str, str]] | None = None
        self._cell_start = self._formula_start = self._formula_end = -1
        self._has_value = self._is_master = False
        self._spans: list[tuple[int, int, int, int]] = []

    def stripped(self) -> bytes:
        """Return the sheet's XML without its old results."""
        self._parser = parser = event_parser()
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parse_part(parser, self._archive, self._part)
        self._pieces.append(self._data[self._copied :])
        return b"".join(self._pieces)

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        tag = local_name(name)
        if tag == "c":
            self._cell = name, attributes
            self._cell_start = self._parser.CurrentByteIndex
            self._formula_start = -1
            self._has_value = self._is_master = False
            reference = attributes.get("r")
            if reference:
                self._row, self._column = position(reference)
            else:
                self._column += 1
        elif tag == "row":
            self._row = int(attributes.get("r", self._row + 1))
            self._column = 0
        elif self._cell is not None:
            if tag == "f":
                self._formula_start = self._parser.CurrentByteIndex
                self._is_master = "ref" in attributes
                if self._is_master and attributes.get("t") != "shared":
                    self._spans.append(_corners(attributes["ref"]))
            elif tag in ("v", "is"):
                self._has_value = True

    def _end(self, name: str) -> None:
        if self._cell is None:
            return
        tag = local_name(name)
        if tag == "f":
            self._formula_end = self._after(self._formula_start)
        elif tag == "c":
            if self._formula_start >= 0:
                self._finish_formula()
            elif self._is_blank_number():
                name, attributes = self._cell
                kept = "".join(f" {key}={quoteattr(text)}" for key, text in attributes.items() if key != "t")
                self._replace(f"<{name}{kept}/>".encode())
            elif self._has_value:
                self._grow()
                if self._in_array():
                    self._set_sentinel(b"")
            self._cell = None

    def _is_blank_number(self) -> bool:
        """Whether the cell at whose end the parser stands says that it is a number and holds none."""
        if self._cell[1].get("t") != "n":
            return False
        end = self._parser.CurrentByteIndex
        return _VALUELESS.fullmatch(self._data, self._cell_start, end) is not None

    def _finish_formula(self) -> None:
        self._grow()
        if (
            self._keep is not None
            and self._row > self._first
            and self._row not in self._keep
            and not self._is_master
        ):
            self._replace(b"")
        else:
            self._set_sentinel(self._data[self._formula_start : self._formula_end])

    def _set_sentinel(self, formula: bytes) -> None:
        """Write the cell anew: its address and style, its formula, no result."""
        self.shape.formulas.append((self._row, self._column))
        name, attributes = self._cell
        kept = "".join(
            f' {key}="{text}"' if text.isalnum() else f" {key}={quoteattr(text)}"
            for key, text in attributes.items()
            if key not in _OF_THE_VALUE
        )
        value = name.removesuffix("c") + "v"
        self._replace(
            f"<{name}{kept}>".encode() + formula + f"<{value}>{SENTINEL}</{value}></{name}>".encode()
        )

    def _replace(self, piece: bytes) -> None:
        self._pieces.append(self._data[self._copied : self._cell_start])
        self._pieces.append(piece)
        self._copied = self._after(self._cell_start)

    def _after(self, start: int) -> int:
        """Return where the element that begins at `start` and has just ended is over.

        That is after its end tag; at the end of an empty element such as
        `<f .. />` the parser already stands behind it.
        """
        index = self._parser.CurrentByteIndex
        opened = self._data.index(b">", start) + 1
        if index == opened and self._data[index - 2 : index] == b"/>":
            return index
        return self._data.index(b">", index) + 1

    def _grow(self) -> None:
        shape = self.shape
        shape.rows = max(shape.rows, self._row)
        shape.columns = max(shape.columns, self._column)

    def _in_array(self) -> bool:
        return any(
            top <= self._row <= bottom and left <= self._column <= right
            for top, left, bottom, right in self._spans
        )


def _corners(reference: str) -> tuple[int, int, int, int]:
    first, _, last = reference.partition(":")
    return *position(first), *position(last or first)
