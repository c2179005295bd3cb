"""Whether a workbook that came back is safe to open: looked at as a zip of parts.

Nothing of it is run, unpacked to disk or read as a sheet here.
"""

from __future__ import annotations

import zipfile
import zlib
from collections import Counter
from os import PathLike
from pathlib import Path
from xml.etree.ElementTree import Element, ParseError

import defusedxml.ElementTree
from defusedxml.common import DefusedXmlException

from .faults import BadInput, Fault, shown

LARGEST_PART = 1_200_000_000
"""Bytes of one part, unpacked; the largest sheet takes 42,000 a job, and 20,000 jobs are built."""
LARGEST_INPUTS = 400_000_000
"""Bytes of a sheet that people type in, which is read cell by cell."""
LARGEST_TEXTS = 60_000_000
"""Bytes of the part that holds the texts of all sheets, which is read as a whole."""
LARGEST_DIRECTORY = 10_000_000
"""Bytes of a part that only says where others are."""
LARGEST_TOTAL = 3_000_000_000
"""Bytes of all parts together, unpacked."""
LARGEST_RATIO = 200
"""How many times larger a part may be than what is packed of it ..."""
RATIO_FROM = 1_000_000
"""... where it has so many bytes; a large sheet of formulas packs 35 times."""
MOST_PARTS = 5_000

A_WORKBOOK = "a workbook saved as .xlsx"
WITHOUT = "a workbook without macros, links to other files and embedded objects"

_NEW_COPY = "do not open it; ask the sender for a new copy"
_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_MACROS = ("macros", "save it as .xlsx, without macros")
_LINKS = ("links to another workbook", "break them under Data, Edit Links")
_CONNECTION = ("a data connection", "delete it under Data, Queries and Connections")
_OBJECT = ("an embedded object or control", "delete it")
_REFUSED_PARTS = {
    "vbaproject": _MACROS,
    "macrosheets/": _MACROS,
    "externallinks/": _LINKS,
    "connections.xml": _CONNECTION,
    "querytables/": _CONNECTION,
    "embeddings/": _OBJECT,
    "activex/": _OBJECT,
}
_REFUSED_RELATIONS = {
    "vbaproject": _MACROS,
    "xlmacrosheet": _MACROS,
    "externallink": _LINKS,
    "externallinkpath": _LINKS,
    "connections": _CONNECTION,
    "querytable": _CONNECTION,
    "oleobject": _OBJECT,
    "package": _OBJECT,
    "control": _OBJECT,
}
_HARMLESS_OUTSIDE = ("hyperlink",)

DAMAGE = (
    zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, OSError, ValueError,
)  # fmt: skip
"""What reading a part of a damaged zip raises."""
NOT_XML = (ParseError, DefusedXmlException, ValueError, LookupError)
"""What parsing a part raises that is not sound XML."""


def open_safely(path: str | PathLike[str]) -> zipfile.ZipFile:
    """The open zip of a workbook in which nothing is refused.

    Raises BadInput with every reason where the file is no .xlsx workbook, is
    encrypted, is or unpacks too large, or has macros, outside links, embedded
    objects, or a document type declaration in any part.
    """
    path = Path(path)
    _check_file(path)
    try:
        archive = zipfile.ZipFile(path)
    except (zipfile.BadZipFile, NotImplementedError, ValueError, EOFError, OSError) as fault:
        raise _refusal(path.name, f"no readable workbook ({fault})", A_WORKBOOK, "save it anew") from None
    try:
        faults = _size_faults(path.name, archive) or _part_faults(path.name, archive)
        if faults:
            raise BadInput(faults)
    except BaseException:
        archive.close()
        raise
    return archive


def read_part(archive: zipfile.ZipFile, part: str, *, most: int = LARGEST_PART) -> bytes:
    """The bytes of a part. BadInput where it is damaged, too large or not there."""
    name = Path(archive.filename or "").name
    try:
        if archive.getinfo(part).file_size > most:
            raise _refusal(name, f"over {most:,} bytes in the part {shown(part)}", A_WORKBOOK, _NEW_COPY)
        return archive.read(part)
    except KeyError:
        raise _refusal(name, f"no part {shown(part)}", A_WORKBOOK, "save it anew") from None
    except DAMAGE as fault:
        raise _refusal(name, f"a damaged part {shown(part)} ({fault})", A_WORKBOOK, "save it anew") from None


def _refusal(file: str, found: str, expected: str, todo: str) -> BadInput:
    return BadInput([Fault(file, None, None, None, None, found, expected, todo)])


def _check_file(path: Path) -> None:
    if path.is_dir():
        raise _refusal(str(path), "a folder", A_WORKBOOK, "give the path of the file in it")
    try:
        with path.open("rb") as file:
            start = file.read(len(_OLE))
    except FileNotFoundError:
        raise _refusal(str(path), "no such file", A_WORKBOOK, "check the path") from None
    except (OSError, ValueError) as fault:
        raise _refusal(str(path), f"no readable file ({fault})", A_WORKBOOK, "check the path") from None
    if not start:
        raise _refusal(path.name, "an empty file", A_WORKBOOK, "get the file again")
    if start == _OLE:
        raise _refusal(
            path.name, "an encrypted workbook or one of the format before 2007", A_WORKBOOK,
            "open it, take the password off and save it as .xlsx",
        )  # fmt: skip
    if start[:2] != b"PK":
        raise _refusal(path.name, "a file of another kind", A_WORKBOOK, "open it and save it as .xlsx")


def _size_faults(file: str, archive: zipfile.ZipFile) -> list[Fault]:
    parts = archive.infolist()
    faults: list[Fault] = []

    def fault(found: str, expected: str, todo: str = _NEW_COPY) -> None:
        faults.append(Fault(file, None, None, None, None, found, expected, todo))

    if len(parts) > MOST_PARTS:
        fault(f"{len(parts)} parts", f"a workbook of at most {MOST_PARTS} parts")
    names = [part.filename.lower() for part in parts]
    for name in [name for name, times in Counter(names).items() if times > 1]:
        fault(f"the part {shown(name)} twice", "a workbook with each part once")
    total = sum(part.file_size for part in parts)
    if total > LARGEST_TOTAL:
        fault(f"{total:,} bytes when unpacked", f"at most {LARGEST_TOTAL:,} bytes")
    for part in parts:
        if part.flag_bits & 1:
            fault(
                f"the encrypted part {shown(part.filename)}", A_WORKBOOK,
                "save it without a password",
            )  # fmt: skip
        if part.file_size > LARGEST_PART:
            fault(
                f"{part.file_size:,} bytes in {shown(part.filename)}",
                f"at most {LARGEST_PART:,} bytes a part",
            )
        elif part.file_size > RATIO_FROM and part.file_size > LARGEST_RATIO * part.compress_size:
            fault(
                f"{part.file_size:,} bytes packed into {part.compress_size:,} in {shown(part.filename)}",
                f"at most {LARGEST_RATIO} times larger when unpacked",
            )
    return faults


def _part_faults(file: str, archive: zipfile.ZipFile) -> list[Fault]:
    found: dict[str, tuple[str, str]] = {}

    def note(what: str, todo: str, expected: str = WITHOUT) -> None:
        found.setdefault(what, (expected, todo))

    for part in archive.namelist():
        name = "/" + part.lower().replace("\\", "/")
        for start, refused in _REFUSED_PARTS.items():
            if f"/{start}" in name:
                note(*refused)
        if name.endswith((".xml", ".rels", ".vml")):
            fault = _bad_start(archive, part)
            if fault:
                note(fault, "save it anew", A_WORKBOOK)
                continue
        if name.endswith(".rels"):
            for refused in _refused_relations(archive, part):
                note(*refused)
        elif name == "/[content_types].xml" and b"macroenabled" in read_part(
            archive, part, most=LARGEST_DIRECTORY
        ).lower():
            note(*_MACROS)
    return [Fault(file, None, None, None, None, what, *words) for what, words in found.items()]


def _refused_relations(archive: zipfile.ZipFile, part: str) -> list[tuple[str, str]]:
    refused = []
    for relation in parsed_part(archive, part):
        kind = relation.get("Type", "").rpartition("/")[2]
        if kind.lower() in _REFUSED_RELATIONS:
            refused.append(_REFUSED_RELATIONS[kind.lower()])
        elif relation.get("TargetMode", "").lower() == "external" and kind not in _HARMLESS_OUTSIDE:
            refused.append((f"a link to another file, of the kind {shown(kind)}", "delete it"))
    return refused


def parsed_part(archive: zipfile.ZipFile, part: str, *, most: int = LARGEST_DIRECTORY) -> Element:
    """The first element of a small part. BadInput where it is damaged or too large."""
    data = read_part(archive, part, most=most)
    try:
        return defusedxml.ElementTree.fromstring(data, forbid_dtd=True)
    except NOT_XML as fault:
        name = Path(archive.filename or "").name
        found = f"no sound XML in the part {shown(part)} ({fault})"
        raise _refusal(name, found, A_WORKBOOK, "save it anew") from None


def _bad_start(archive: zipfile.ZipFile, part: str) -> str | None:
    """What is wrong before the first element of a part, where declarations stand."""
    try:
        with archive.open(part) as stream:
            next(defusedxml.ElementTree.iterparse(stream, events=("start",), forbid_dtd=True))
    except DefusedXmlException:
        return f"a document type declaration in {shown(part)}"
    except (ParseError, LookupError) as fault:
        return f"no sound XML in the part {shown(part)} ({fault})"
    except DAMAGE as fault:
        return f"a damaged part {shown(part)} ({fault})"
    return None
