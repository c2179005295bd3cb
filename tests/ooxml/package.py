"""The parts of a workbook as they lie in the file, for checks against the standard.

Elements are told by local names: `{namespace}row` is `row`.
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from xml.etree.ElementTree import Element

import defusedxml.ElementTree

TYPES = "[Content_Types].xml"
LAST_ROW, LAST_COLUMN = 1_048_576, 16_384
_CELL = re.compile(r"\$?([A-Z]{1,3})\$?([1-9][0-9]{0,6})")
_SHEET = re.compile(r"('(?:[^']|'')+'|[A-Za-z_\\][\w.]*)!")
_TEXT = re.compile(r'"(?:[^"]|"")*"')


@dataclass
class Package:
    """Every part by name. `changed` holds what a test has planted in place of a part; None takes it out."""

    path: Path
    changed: dict[str, bytes | None] = field(default_factory=dict)

    @cached_property
    def names(self) -> list[str]:
        with zipfile.ZipFile(self.path) as archive:
            found = archive.namelist()
        return [name for name in found if self.changed.get(name, b"") is not None]

    def read(self, part: str) -> bytes:
        planted = self.changed.get(part)
        if planted is not None:
            return planted
        with zipfile.ZipFile(self.path) as archive:
            return archive.read(part)

    def root(self, part: str) -> Element:
        return defusedxml.ElementTree.fromstring(self.read(part))

    @cached_property
    def book(self) -> Element:
        return self.root("xl/workbook.xml")

    @cached_property
    def styles(self) -> Element:
        return self.root("xl/styles.xml")

    @cached_property
    def titles(self) -> list[str]:
        return [str(sheet.get("name")) for sheet in every(self.book, "sheet")]

    @cached_property
    def strings(self) -> int:
        return sum(1 for _ in every(self.root("xl/sharedStrings.xml"), "si"))

    @cached_property
    def sheet_parts(self) -> dict[str, str]:
        """The part of each sheet by title; one whose relation leads nowhere is left out."""
        targets = {link.get("Id"): target for link, target in self.links("xl/workbook.xml")}
        found = {}
        for sheet in every(self.book, "sheet"):
            link = next((text for key, text in sheet.items() if local(key) == "id"), None)
            if targets.get(link) in self.names:
                found[str(sheet.get("name"))] = targets[link]
        return found

    def sheets(self) -> Iterator[tuple[str, Element]]:
        """Title and first element of each sheet, one at a time: some are large."""
        for title, part in self.sheet_parts.items():
            yield title, self.root(part)

    def links(self, part: str) -> list[tuple[Element, str]]:
        """Relations of a part with the part that each leads to."""
        where = relations_of(part)
        if where not in self.names:
            return []
        folder = posixpath.dirname(part)
        return [
            (link, posixpath.normpath(posixpath.join("/", folder, link.get("Target", ""))).lstrip("/"))
            for link in self.root(where)
        ]


def relations_of(part: str) -> str:
    folder, name = posixpath.split(part)
    return posixpath.join(folder, "_rels", f"{name}.rels")


def local(name: str) -> str:
    return name.rpartition("}")[2]


def every(root: Element, name: str) -> Iterator[Element]:
    """All elements of a name, at any depth."""
    return (one for one in root.iter() if local(one.tag) == name)


def child(root: Element, name: str) -> Element | None:
    """The first child of a name."""
    return next((one for one in root if local(one.tag) == name), None)


def children(root: Element, name: str) -> list[Element]:
    """Children of the first child of a name."""
    found = child(root, name)
    return [] if found is None else list(found)


def corner(text: str) -> tuple[int, int] | None:
    """(row, column) of A1 or $A$1 where there is such a cell, None elsewhere.

    >>> corner("$C$4"), corner("XFE1"), corner("A0")
    ((4, 3), None, None)
    """
    found = _CELL.fullmatch(text)
    if not found:
        return None
    column = 0
    for letter in found[1]:
        column = column * 26 + ord(letter) - 64
    row = int(found[2])
    return (row, column) if row <= LAST_ROW and column <= LAST_COLUMN else None


def area(text: str) -> tuple[int, int, int, int] | None:
    """(top, left, bottom, right) of A1 or A1:B2, $1:$3 or $A:$C; None where it is no area.

    >>> area("B2:C9"), area("$3:$9"), area("C9:B2")
    ((2, 2, 9, 3), (3, 1, 9, 16384), None)
    """
    first, _, last = text.partition(":")
    last = last or first
    one, other = corner(first), corner(last)
    if one and other:
        found = (*one, *other)
    elif re.fullmatch(r"\$?[0-9]+", first) and re.fullmatch(r"\$?[0-9]+", last):
        found = (int(first.lstrip("$")), 1, int(last.lstrip("$")), LAST_COLUMN)
    elif (one := corner(f"{first}1")) and (other := corner(f"{last}1")):
        found = (1, one[1], LAST_ROW, other[1])
    else:
        return None
    return found if found[0] <= found[2] and found[1] <= found[3] else None


def sheets_named(formula: str) -> set[str]:
    """Titles of the sheets that a formula refers to.

    >>> sorted(sheets_named("SUM('Job sheet'!A1, Loads!$B$2)&\\"No!A1\\""))
    ['Job sheet', 'Loads']
    """
    bare = _TEXT.sub('""', formula) if '"' in formula else formula
    return {
        found[1:-1].replace("''", "'") if found.startswith("'") else found for found in _SHEET.findall(bare)
    }
