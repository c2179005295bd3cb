"""Cells and texts of a workbook as its XML passes. What stands where has been looked at before."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import IO, Any
from xml.parsers import expat

from .formula_check import column_number
from .xml_check import Tags

_CHUNK = 65_536
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
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


def rows_in(stream: IO[bytes], strings: Sequence[str]) -> Iterator[tuple[int, dict[int, Cell]]]:
    """Row and cells by column of each row that holds something, both from 1.

    Raises ValueError for a cell that holds no value of its kind, ExpatError and
    what reading raises.
    """
    parser, done = _parser(), []
    tags, columns, texts = Tags(), {}, []
    row = column = 0
    cells: dict[int, Cell] = {}
    kind, text, formula = "n", None, False
    inline = aside = False

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal row, column, cells, kind, text, formula, inline, aside
        tag = tags[name]
        if tag == "c":
            address = attributes.get("r")
            if address is None:
                column += 1
            else:
                letters = address.rstrip("0123456789")
                column = columns.get(letters) or columns.setdefault(letters, column_number(letters))
            kind, text, formula = attributes.get("t", "n"), None, False
        elif tag == "f":
            formula = True
        elif tag == "row":
            row, column, cells = int(attributes.get("r") or row + 1), 0, {}
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
        nonlocal text, inline, aside
        tag = tags[name]
        if tag == "c":
            cell = _cell(kind, text, formula, strings)
            if cell.value is not None or formula:
                cells[column] = cell
        elif tag == "v":
            parser.CharacterDataHandler = None
            text = "".join(texts)
        elif tag == "row":
            if cells:
                done.append((row, cells))
        elif tag == "t":
            parser.CharacterDataHandler = None
        elif tag == "rPh":
            aside = False
        elif tag == "is":
            inline, text = False, _unescaped("".join(texts))

    parser.StartElementHandler, parser.EndElementHandler = start, end
    yield from _parsed(parser, stream, done)


def texts_in(stream: IO[bytes]) -> Iterator[str]:
    """The shared texts in order: runs put together, without the reading aids of East Asian text."""
    parser, done = _parser(), []
    tags, texts = Tags(), []
    aside = False

    def start(name: str, _: dict[str, str]) -> None:
        nonlocal aside
        tag = tags[name]
        if tag == "si":
            texts.clear()
        elif tag == "rPh":
            aside = True
        elif tag == "t" and not aside:
            parser.CharacterDataHandler = texts.append

    def end(name: str) -> None:
        nonlocal aside
        tag = tags[name]
        if tag == "t":
            parser.CharacterDataHandler = None
        elif tag == "rPh":
            aside = False
        elif tag == "si":
            done.append(_unescaped("".join(texts)))

    parser.StartElementHandler, parser.EndElementHandler = start, end
    yield from _parsed(parser, stream, done)


def _parser() -> expat.XMLParserType:
    parser = expat.ParserCreate(namespace_separator="}")
    parser.buffer_text = True
    parser.StartDoctypeDeclHandler = _no_doctype
    return parser


def _no_doctype(*_: object) -> None:
    raise ValueError("a document type declaration")


def _parsed(parser: expat.XMLParserType, stream: IO[bytes], done: list[Any]) -> Iterator[Any]:
    """What the handlers put into `done`, as the part passes."""
    while data := stream.read(_CHUNK):
        parser.Parse(data, False)
        yield from done
        done.clear()
    parser.Parse(b"", True)
    yield from done


def cell_value(kind: str, text: str, strings: Sequence[str]) -> float | str | bool | None:
    """What a cell of a kind holds whose value is written so; error values are text. ValueError where it cannot be."""
    return _cell(kind, text, False, strings).value


def _cell(kind: str, text: str | None, formula: bool, strings: Sequence[str]) -> Cell:
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


def _unescaped(text: str) -> str:
    return _ESCAPE.sub(lambda found: chr(int(found[1], 16)), text) if "_x" in text else text
