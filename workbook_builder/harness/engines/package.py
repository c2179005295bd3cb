"""The parts of an .xlsx file that the harness needs to find its way.

An .xlsx file is a zip of XML parts. `xl/workbook.xml` lists the sheets and
the defined names, and its relations say which part holds which sheet.
Document type declarations are refused everywhere: no spreadsheet program
writes them, and they are what entity attacks are made of.
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from dataclasses import dataclass, field
from functools import lru_cache
from os import PathLike
from xml.etree.ElementTree import Element, ParseError
from xml.parsers import expat

import defusedxml.ElementTree
from defusedxml.common import DefusedXmlException

from ...reader.faults import BadInput
from ...reader.refused import DAMAGE
from ...reader.safety import open_safely
from .cells import position
from .faults import NotAWorkbook

_CHUNK = 65_536
_PLACE = re.compile(r"=?(?:'((?:[^']|'')+)'|([^'!]+))!(\$?[A-Za-z]{1,3}\$?[0-9]+)")


@dataclass(frozen=True)
class Contents:
    """Where things are in a workbook.

    `sheets` gives the part of each worksheet by title, in tab order;
    `strings` is the part of the shared strings, or None; `names` gives what
    each workbook-wide defined name refers to, by the name in lower case;
    `hidden` says of each sheet that is not shown `hidden` or `veryHidden`.
    """

    sheets: dict[str, str]
    strings: str | None
    names: dict[str, str]
    hidden: dict[str, str] = field(default_factory=dict)


def open_foreign(path: str | PathLike[str]) -> zipfile.ZipFile:
    """Open a workbook that comes from elsewhere; raises NotAWorkbook where that is not safe.

    Raises OSError when the file cannot be read.
    """
    with open(path, "rb"):
        pass
    try:
        return open_safely(path)
    except BadInput as refusal:
        fault = refusal.faults[0]
        raise NotAWorkbook(path, f"found {fault.found}, must be {fault.expected}") from None


def open_archive(path: str | PathLike[str]) -> zipfile.ZipFile:
    """Open the zip of a workbook that was written or looked at here.

    Raises NotAWorkbook, or OSError when unreadable.
    """
    try:
        return zipfile.ZipFile(path)
    except OSError:
        raise
    except DAMAGE as fault:
        raise NotAWorkbook(path, str(fault)) from fault


def contents(archive: zipfile.ZipFile) -> Contents:
    """Read sheets, shared strings and names of an open workbook.

    Raises NotAWorkbook when a part is missing or is not sound XML.
    """
    main = main_part(archive)
    targets, strings = {}, None
    for relation in relations(archive, main):
        kind = relation.get("Type", "").rpartition("/")[2]
        part = part_at(main, relation.get("Target", ""))
        if kind == "worksheet":
            targets[relation.get("Id")] = part
        elif kind == "sharedStrings":
            strings = part
    sheets, names, hidden = {}, {}, {}
    for element in root_of(archive, main).iter():
        tag = element.tag.rpartition("}")[2]
        if tag == "sheet":
            link = next((text for key, text in element.items() if key.endswith("}id")), None)
            if link in targets:
                sheets[element.get("name")] = targets[link]
                if element.get("state", "visible") != "visible":
                    hidden[element.get("name")] = element.get("state")
        elif tag == "definedName" and element.get("localSheetId") is None:
            names[element.get("name", "").lower()] = element.text or ""
    if not sheets:
        raise NotAWorkbook(archive.filename, "it lists no worksheet")
    return Contents(sheets, strings, names, hidden)


def place_of(target: str) -> tuple[str, int, int] | None:
    """Return (sheet, row, column) of a name's target, None when not one cell.

    >>> place_of("'Job sheet'!$B$3"), place_of("Tables!$A$1:$A$9")
    (('Job sheet', 3, 2), None)
    """
    match = _PLACE.fullmatch(target.strip())
    if match is None:
        return None
    quoted, bare, reference = match.groups()
    title = quoted.replace("''", "'") if quoted else bare
    return title, *position(reference)


def read_part(archive: zipfile.ZipFile, part: str) -> bytes:
    """Return the bytes of a part; raises NotAWorkbook when it is not there."""
    try:
        return archive.read(part)
    except (KeyError, *DAMAGE) as fault:
        raise NotAWorkbook(archive.filename, f"no sound part {part}") from fault


def event_parser() -> expat.XMLParserType:
    """Return a streaming XML parser that stops at a document type declaration."""
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartDoctypeDeclHandler = _refuse_doctype
    return parser


@lru_cache(maxsize=1024)
def local_name(name: str) -> str:
    """Return an element's name without its namespace prefix."""
    return name.rpartition(":")[2]


def parse_part(parser: expat.XMLParserType, archive: zipfile.ZipFile, part: str) -> None:
    """Feed a whole part to a parser, as a stream.

    Raises NotAWorkbook when the part is not there or not XML, or when a handler of the
    parser raises ValueError over what it holds.
    """
    try:
        with archive.open(part) as stream:
            while data := stream.read(_CHUNK):
                parser.Parse(data, False)
        parser.Parse(b"", True)
    except expat.ExpatError as fault:
        raise NotAWorkbook(archive.filename, f"{part}: {fault}") from fault
    except _Doctype as fault:
        raise NotAWorkbook(archive.filename, f"{part}: a document type declaration is not allowed") from fault
    except NotAWorkbook:
        raise
    except KeyError as fault:
        raise NotAWorkbook(archive.filename, f"no sound part {part}") from fault
    except DAMAGE as fault:
        raise NotAWorkbook(archive.filename, f"{part}: {fault}") from fault


class _Doctype(Exception):
    """A part holds a document type declaration."""


def _refuse_doctype(*_: object) -> None:
    raise _Doctype


def main_part(archive: zipfile.ZipFile) -> str:
    """Return the part that lists the sheets; raises NotAWorkbook where there is none."""
    for relation in relations(archive, ""):
        if relation.get("Type", "").endswith("/officeDocument"):
            return part_at("", relation.get("Target", ""))
    raise NotAWorkbook(archive.filename, "it has no workbook part")


def relations(archive: zipfile.ZipFile, part: str) -> Element:
    """Return the relations of a part, of the package for the part ""."""
    return root_of(archive, relations_part(part))


def relations_part(part: str) -> str:
    """Return where the relations of a part stand.

    >>> relations_part("xl/workbook.xml"), relations_part("")
    ('xl/_rels/workbook.xml.rels', '_rels/.rels')
    """
    folder, name = posixpath.split(part)
    return posixpath.join(folder, "_rels", f"{name}.rels")


def part_at(part: str, target: str) -> str:
    """Return the part that a relation of `part` leads to.

    >>> part_at("xl/worksheets/sheet1.xml", "../drawings/drawing1.xml")
    'xl/drawings/drawing1.xml'
    """
    joined = posixpath.join("/", posixpath.dirname(part), target)
    return posixpath.normpath(joined).lstrip("/")


def root_of(archive: zipfile.ZipFile, part: str) -> Element:
    """Return the first element of a small part; raises NotAWorkbook where it is not sound XML."""
    try:
        return defusedxml.ElementTree.fromstring(read_part(archive, part), forbid_dtd=True)
    except (ParseError, DefusedXmlException) as fault:
        raise NotAWorkbook(archive.filename, f"{part}: {fault}") from fault
