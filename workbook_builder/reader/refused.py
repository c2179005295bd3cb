"""Why a workbook is not opened, in the words of the messages."""

from __future__ import annotations

import struct
import zipfile
import zlib
from xml.etree.ElementTree import ParseError
from xml.parsers.expat import ExpatError

from defusedxml.common import DefusedXmlException

from .faults import BadInput, Fault

A_WORKBOOK = "a workbook saved as .xlsx"
WITHOUT = "a workbook without macros, links to other files and embedded objects"

SAVE_ANEW = "save it anew"
NEW_COPY = "do not open it; ask the sender for a new copy"

MACROS = ("macros", "save it as .xlsx, without macros")
LINKS = ("links to another workbook", "break them under Data, Edit Links")
CONNECTION = ("a data connection", "delete it under Data, Queries and Connections")
OBJECT = ("an embedded object or control", "delete the object")
RIBBON = ("its own buttons or an add-in", "save it as .xlsx from a program without the add-in")
CALL = "a formula that calls a program or fetches from elsewhere"
"""Things that act when a workbook is opened: what it has, and how to get rid of it."""

DAMAGE = (
    zipfile.BadZipFile, zlib.error, struct.error, NotImplementedError, RuntimeError, EOFError, OSError,
    ValueError, OverflowError,
)  # fmt: skip
"""What reading a part of a damaged zip raises."""
NOT_XML = (ParseError, ExpatError, DefusedXmlException, ValueError, LookupError)
"""What parsing a part raises that is not sound XML."""


class Refused(Exception):
    """What is wrong with a workbook, not yet with the name of the file.

    placed: `found` says already where in the workbook it is.
    """

    def __init__(
        self, found: str, expected: str = A_WORKBOOK, todo: str = SAVE_ANEW, *, placed: bool = False
    ) -> None:
        super().__init__(found)
        self.found, self.expected, self.todo, self.placed = found, expected, todo, placed

    def at(self, where: str) -> Refused:
        """The same with the place in the workbook, such as `on sheet Jobs`."""
        if self.placed:
            return self
        return Refused(f"{self.found} {where}", self.expected, self.todo, placed=True)

    def of(self, file: str) -> BadInput:
        return BadInput([Fault(file, None, None, None, None, self.found, self.expected, self.todo)])


def too_much(found: str, most: str) -> Refused:
    """A workbook beyond a limit."""
    return Refused(found, most, NEW_COPY)


def active(*dangers: tuple[str, str]) -> Refused:
    """A workbook with parts that act when it is opened, each told once."""
    told = list(dict.fromkeys(dangers))
    words = [found for found, _ in told]
    listed = ", ".join(words[:-1]) + " and " + words[-1] if words[1:] else words[0]
    return Refused(listed, WITHOUT, "; ".join(todo for _, todo in told), placed=True)
