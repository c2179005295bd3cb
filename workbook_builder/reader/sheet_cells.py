"""The sheets of a workbook and their cells, as they stand in the file."""

from __future__ import annotations

import posixpath
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO
from xml.etree.ElementTree import Element

from .cell_stream import Cell, rows_in, texts_in
from .faults import BadInput, Fault, shown
from .refused import A_WORKBOOK, DAMAGE, NOT_XML
from .safety import parsed_part

__all__ = ["Book", "Cell", "column_letters", "open_book", "rows_of"]


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
            part = _target(main, link)
            with _opened(archive, part, f"the damaged part {shown(part)}", file) as stream:
                strings = tuple(texts_in(stream))
    return Book(file, archive, sheets, strings, from_1904)


def rows_of(book: Book, sheet: str) -> Iterator[tuple[int, dict[int, Cell]]]:
    """(row, cells by column) of each row that holds something, both from 1.

    BadInput where the sheet's part is damaged or a cell has no value of its
    kind. Where cells may stand, and how many, was decided when the book was opened.
    """
    with _opened(book.archive, book.sheets[sheet], f"the damaged sheet {sheet}", book.file) as stream:
        yield from rows_in(stream, book.strings)


@contextmanager
def _opened(archive: zipfile.ZipFile, part: str, damage: str, file: str) -> Iterator[IO[bytes]]:
    """A part as a stream; what goes wrong with it is BadInput."""
    try:
        with archive.open(part) as stream:
            yield stream
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


def _relations(archive: zipfile.ZipFile, part: str) -> list[Element]:
    folder, name = posixpath.split(part)
    return list(parsed_part(archive, posixpath.join(folder, "_rels", f"{name}.rels")))


def _target(part: str, link: Element) -> str:
    joined = posixpath.join("/", posixpath.dirname(part), link.get("Target", ""))
    return posixpath.normpath(joined).lstrip("/")


def _local(tag: object) -> str:
    return tag.rpartition("}")[2] if isinstance(tag, str) else ""
