"""The cells of a worksheet as they stand in the file, read as a stream."""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from math import isfinite
from pathlib import Path
from xml.etree.ElementTree import Element

import defusedxml.ElementTree

from .faults import BadInput, Fault, shown
from .limits import LAST_COLUMN, LAST_ROW
from .refused import A_WORKBOOK, DAMAGE, NOT_XML
from .safety import parsed_part

MOST_CELLS = 1_200_000
"""Filled cells of a sheet; with every field filled in, a job has 150."""

_ADDRESS = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_INSIDE_CELL = ("v", "f", "is", "t", "r", "rPh")
_ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")


@dataclass(frozen=True, slots=True)
class Cell:
    """What a cell holds: a number, text, truth value or None; error values are text.

    formula tells that the value is what a spreadsheet program left there as a
    result; is_error that the text is an error value and was not typed.
    """

    value: float | str | bool | None
    formula: bool = False
    is_error: bool = False


@dataclass(frozen=True)
class Book:
    """An open workbook: its sheets' parts by title, its texts, its day zero."""

    file: str
    archive: zipfile.ZipFile
    sheets: dict[str, str]
    strings: tuple[str, ...]
    from_1904: bool


def open_book(archive: zipfile.ZipFile) -> Book:
    """Finds the sheets and texts of a workbook. BadInput where it has no order."""
    file = Path(archive.filename or "").name
    main = next(
        (
            _target("", link)
            for link in _relations(archive, "")
            if link.get("Type", "").endswith("/officeDocument")
        ),
        None,
    )
    if main is None:
        raise _unsound(file, "no workbook in it")
    links = {link.get("Id"): link for link in _relations(archive, main)}
    sheets: dict[str, str] = {}
    from_1904 = False
    for element in parsed_part(archive, main).iter():
        tag = _local(element.tag)
        if tag == "sheet":
            link = links.get(next((v for k, v in element.items() if k.endswith("}id")), None))
            if link is not None and link.get("Type", "").endswith("/worksheet"):
                sheets[element.get("name", "")] = _target(main, link)
        elif tag == "workbookPr":
            from_1904 = element.get("date1904") in ("1", "true")
    strings: tuple[str, ...] = ()
    for link in links.values():
        if link.get("Type", "").endswith("/sharedStrings"):
            strings = tuple(_texts(archive, _target(main, link), file))
    return Book(file, archive, sheets, strings, from_1904)


def _texts(archive: zipfile.ZipFile, part: str, file: str) -> Iterator[str]:
    """The shared texts in order."""
    with _opened(archive, part, f"the damaged part {shown(part)}", file) as stream:
        depth, outer = 0, None
        for event, element in stream:
            if event == "start":
                depth += 1
                outer = element if outer is None else outer
                continue
            depth -= 1
            if depth == 1:
                if _local(element.tag) == "si":
                    yield _text(element)
                outer.clear()


def rows_of(book: Book, sheet: str) -> Iterator[tuple[int, dict[int, Cell]]]:
    """(row, cells by column) of each row that holds something, both from 1.

    BadInput where the sheet's part is damaged, names a place beyond the last
    row or column, goes back in rows, or holds too many cells.
    """
    row, column, count = 0, 0, 0
    cells: dict[int, Cell] = {}
    with _opened(book.archive, book.sheets[sheet], f"the damaged sheet {sheet}", book.file) as stream:
        for event, element in stream:
            tag = _local(element.tag)
            if tag == "row" and event == "start":
                last, row = row, int(element.get("r") or row + 1)
                if not last < row <= LAST_ROW:
                    raise _unsound(book.file, f"row {row} after row {last} on sheet {sheet}")
                column, cells = 0, {}
            elif tag == "c" and event == "end":
                column = _column(element, row, column, book.file, sheet)
                cell = _cell(element, book.strings)
                element.clear()
                if cell.value is not None or cell.formula:
                    cells[column] = cell
                    count += 1
                    if count > MOST_CELLS:
                        raise _unsound(book.file, f"over {MOST_CELLS:,} cells on sheet {sheet}")
            elif tag == "row":
                element.clear()
                if cells:
                    yield row, cells
            elif event == "end" and tag not in _INSIDE_CELL:
                element.clear()


@contextmanager
def _opened(
    archive: zipfile.ZipFile, part: str, damage: str, file: str
) -> Iterator[Iterator[tuple[str, Element]]]:
    """The starts and ends of the elements of a part; what goes wrong with them is BadInput."""
    try:
        with archive.open(part) as stream:
            yield defusedxml.ElementTree.iterparse(stream, events=("start", "end"), forbid_dtd=True)
    except KeyError:
        raise _unsound(file, f"no part {shown(part)}") from None
    except (*NOT_XML, *DAMAGE) as fault:
        raise _unsound(file, f"{damage} ({fault})") from None


def column_letters(number: int) -> str:
    """Letters of a column counted from 1.

    >>> column_letters(1), column_letters(27)
    ('A', 'AA')
    """
    text = ""
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(65 + rest) + text
    return text


def _unsound(file: str, found: str) -> BadInput:
    return BadInput([Fault(file, None, None, None, None, found, A_WORKBOOK, "save it anew")])


def _column(element: Element, row: int, last: int, file: str, sheet: str) -> int:
    address = element.get("r")
    if address is None:
        return last + 1
    found = _ADDRESS.fullmatch(address)
    column = 0
    for letter in found[1] if found else "":
        column = column * 26 + ord(letter) - 64
    if not found or int(found[2]) != row or not last < column <= LAST_COLUMN:
        raise _unsound(file, f"a cell {address!r} in row {row} on sheet {sheet}")
    return column


def _cell(element: Element, strings: tuple[str, ...]) -> Cell:
    kind = element.get("t", "n")
    text: str | None = None
    formula = False
    for child in element:
        tag = _local(child.tag)
        if tag == "v":
            text = child.text or ""
        elif tag == "is":
            text = _text(child)
        elif tag == "f":
            formula = True
    if text is None or (text == "" and kind in ("n", "b", "s")):
        return Cell(None, formula)
    if kind == "s":
        place = int(text)
        if not 0 <= place < len(strings):
            raise ValueError(f"text number {place} of {len(strings)}")
        return Cell(strings[place] or None, formula)
    if kind == "b":
        return Cell(text.strip() in ("1", "true"), formula)
    if kind == "e":
        return Cell(text, formula, is_error=True)
    if kind in ("str", "d"):
        return Cell(_unescaped(text) or None, formula)
    if kind == "inlineStr":
        return Cell(text or None, formula)
    if kind != "n" or not _NUMBER.fullmatch(text.strip()) or not isfinite(float(text)):
        raise ValueError(f"a cell of kind {kind!r} with {text[:20]!r}")
    return Cell(float(text), formula)


def _text(item: Element) -> str:
    """The text of runs in order, without the reading aids of East Asian text."""
    parts = []
    for child in item:
        tag = _local(child.tag)
        if tag == "t":
            parts.append(child.text or "")
        elif tag == "r":
            parts += [grandchild.text or "" for grandchild in child if _local(grandchild.tag) == "t"]
    return _unescaped("".join(parts))


def _unescaped(text: str) -> str:
    return _ESCAPE.sub(lambda found: chr(int(found[1], 16)), text)


def _relations(archive: zipfile.ZipFile, part: str) -> list[Element]:
    folder, name = posixpath.split(part)
    return list(parsed_part(archive, posixpath.join(folder, "_rels", f"{name}.rels")))


def _target(part: str, link: Element) -> str:
    joined = posixpath.join("/", posixpath.dirname(part), link.get("Target", ""))
    return posixpath.normpath(joined).lstrip("/")


def _local(tag: object) -> str:
    return tag.rpartition("}")[2] if isinstance(tag, str) else ""
