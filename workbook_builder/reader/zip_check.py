"""Whether a file is a zip that every program reads alike, by its directory alone.

A zip says everything twice: at each part and in the directory at its end. What
the two do not agree on is what one program sees and another does not.
"""

from __future__ import annotations

import re
import struct
import unicodedata
import zipfile
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from stat import S_ISDIR, S_ISLNK, S_ISREG
from typing import BinaryIO

from .faults import shown
from .limits import (
    LARGEST_FILE,
    LARGEST_RATIO,
    LARGEST_ZIP_DIRECTORY,
    LONGEST_NAME,
    MOST_PARTS,
    RATIO_FROM,
)
from .refused import A_WORKBOOK, DAMAGE, NEW_COPY, Refused, too_much

_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_START = b"PK\x03\x04"
_END = struct.Struct("<4s4H2LH")
_END_MARK, _LARGE_MARK = b"PK\x05\x06", b"PK\x06\x07"
_LONGEST_COMMENT = 65_535
_LOCAL = struct.Struct("<4s5H3L2H")

_ENCRYPTED = 1 | 1 << 6 | 1 << 13
"""Flags of a part: encrypted, strongly so, with a masked header."""
_SIZES_AFTER = 1 << 3
_IN_UTF8 = 1 << 11
_OTHER_NAME = 0x7075
"""Extra field with a second name of the part."""
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_LATER = 0xFFFFFFFF
_DRIVE = re.compile(r"[A-Za-z]:")
_MASKED = re.compile(r"%(?:2e|2f|5c|00)", re.IGNORECASE)


def open_zip(path: Path) -> zipfile.ZipFile:
    """The open zip. Raises Refused; a file that is not there or not to be read, too."""
    try:
        status = path.stat()
        if S_ISDIR(status.st_mode):
            raise Refused("a folder", A_WORKBOOK, "give the path of the file in it")
        if not S_ISREG(status.st_mode):
            raise Refused("no ordinary file", A_WORKBOOK, "check the path")
        with path.open("rb") as file:
            entries = _check_ends(file, status.st_size)
    except FileNotFoundError:
        raise Refused("no such file", A_WORKBOOK, "check the path") from None
    except (OSError, ValueError) as fault:
        raise Refused(f"no readable file ({fault})", A_WORKBOOK, "check the path") from None
    try:
        archive = zipfile.ZipFile(path)
    except DAMAGE as fault:
        raise Refused(f"no readable workbook ({fault})") from None
    try:
        if len(archive.infolist()) != entries:
            raise Refused(f"{len(archive.infolist())} parts in a directory of {entries}")
        _check_parts(archive.infolist())
        _check_headers(archive)
    except BaseException:
        archive.close()
        raise
    return archive


def _check_ends(file: BinaryIO, size: int) -> int:
    """Looks at the first and the last bytes; returns how many parts there are."""
    start = file.read(len(_OLE))
    if not start:
        raise Refused("an empty file", A_WORKBOOK, "get the file again")
    if start == _OLE:
        raise Refused(
            "an encrypted workbook or one of the format before 2007", A_WORKBOOK,
            "open it, take the password off and save it as .xlsx",
        )  # fmt: skip
    if start[:2] != b"PK":
        raise Refused("a file of another kind", A_WORKBOOK, "open it and save it as .xlsx")
    if size > LARGEST_FILE:
        raise too_much(f"{size:,} bytes", f"at most {LARGEST_FILE:,} bytes")
    file.seek(max(0, size - _END.size - _LONGEST_COMMENT))
    tail = file.read()
    at = tail.rfind(_END_MARK)
    if at < 0 or len(tail) - at < _END.size:
        raise Refused("a file that breaks off before its end", A_WORKBOOK, "get the file again")
    _, disk, first_disk, here, entries, length, offset, comment = _END.unpack_from(tail, at)
    if at + _END.size + comment != len(tail):
        raise Refused("a file that breaks off, or goes on after its end", A_WORKBOOK, "get the file again")
    end = size - len(tail) + at
    large = at >= 20 and tail[at - 20 : at - 16] == _LARGE_MARK
    if large or entries == 0xFFFF or _LATER in (length, offset):
        raise Refused("a zip of the kind for files over 4 GB")
    if disk or first_disk or here != entries:
        raise Refused("a zip in several pieces")
    if length > LARGEST_ZIP_DIRECTORY or entries > MOST_PARTS:
        raise too_much(
            f"{entries:,} parts in a directory of {length:,} bytes", f"at most {MOST_PARTS:,} parts"
        )
    if offset + length != end or start[:4] != _START:
        raise Refused("bytes that belong to no part", A_WORKBOOK, NEW_COPY)
    return entries


def _check_parts(parts: Sequence[zipfile.ZipInfo]) -> None:
    for part in parts:
        fault = _name_fault(part.orig_filename)
        if fault:
            raise Refused(f"the part {shown(part.orig_filename)}, {fault}", A_WORKBOOK, NEW_COPY)
    names = Counter(_folded(part.filename) for part in parts)
    for part in parts:
        if names[_folded(part.filename)] > 1:
            raise Refused(
                f"the part {shown(part.filename)} twice", "a workbook with each part once", NEW_COPY
            )
    for part in parts:
        if part.flag_bits & _ENCRYPTED or part.compress_type == 99:
            raise Refused(
                f"the encrypted part {shown(part.filename)}", A_WORKBOOK, "save it without a password"
            )
        if part.compress_type not in _METHODS:
            raise Refused(f"the part {shown(part.filename)} packed in a way that workbooks are not")
        if S_ISLNK(part.external_attr >> 16):
            raise Refused(f"the part {shown(part.filename)}, which only points elsewhere", todo=NEW_COPY)
        if part.file_size > RATIO_FROM and part.file_size > LARGEST_RATIO * part.compress_size:
            raise too_much(
                f"{part.file_size:,} bytes packed into {part.compress_size:,} in {shown(part.filename)}",
                f"at most {LARGEST_RATIO} times larger when unpacked",
            )


def _folded(name: str) -> str:
    return unicodedata.normalize("NFKC", name).casefold().rstrip("/")


def _name_fault(name: str) -> str | None:
    """Why no program should unpack a part of this name."""
    steps = name.removesuffix("/").split("/")
    if not name or len(name) > LONGEST_NAME:
        return "whose name is empty or too long"
    if "\\" in name or _DRIVE.match(name) or _MASKED.search(name) or not name.isprintable():
        return "whose name is no plain path"
    if steps[0] == "" or "." in steps or ".." in steps:
        return "whose name leads out of the file"
    if "" in steps or any(step.endswith((".", " ")) for step in steps):
        return "whose name is no plain path"
    return None


def _check_headers(archive: zipfile.ZipFile) -> None:
    """Each part's own header says what the directory says, and no part lies over another."""
    parts = sorted(archive.infolist(), key=lambda part: part.header_offset)
    end = 0
    for part in parts:
        fault = "that lies over another" if part.header_offset < end else None
        if fault is None:
            length, fault = _header(archive, part)
            end = part.header_offset + length + part.compress_size
        if fault is None and end > archive.start_dir:
            fault = "that reaches into the directory"
        if fault:
            raise Refused(f"the part {shown(part.filename)} {fault}", A_WORKBOOK, NEW_COPY)
    if parts and parts[0].header_offset:
        raise Refused("bytes that belong to no part", A_WORKBOOK, NEW_COPY)


def _header(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> tuple[int, str | None]:
    """The bytes of a part's own header, and what it says that the directory does not."""
    file = archive.fp
    file.seek(part.header_offset)
    data = file.read(_LOCAL.size)
    if len(data) < _LOCAL.size or data[:4] != _START:
        return 0, "that is not where the directory says"
    _, _, flags, method, _, _, crc, packed, size, name_length, extra_length = _LOCAL.unpack(data)
    name = file.read(name_length)
    length = _LOCAL.size + name_length + extra_length
    if name != _raw_name(part):
        return length, "that has another name in the directory"
    if flags & _ENCRYPTED:
        return length, "that is encrypted"
    if method != part.compress_type or (flags ^ part.flag_bits) & _IN_UTF8:
        return length, "that is packed in another way than the directory says"
    if _has_other_name(part.extra) or _has_other_name(file.read(extra_length)):
        return length, "that has two names"
    own, listed = (crc, packed, size), (part.CRC, part.compress_size, part.file_size)
    if not all(
        there in (said, _LATER) or (there == 0 and flags & _SIZES_AFTER)
        for there, said in zip(own, listed, strict=True)
    ):
        return length, "that has another size or checksum in the directory"
    return length, None


def _raw_name(part: zipfile.ZipInfo) -> bytes:
    return part.orig_filename.encode("utf-8" if part.flag_bits & _IN_UTF8 else "cp437")


def _has_other_name(extra: bytes) -> bool:
    while len(extra) >= 4:
        kind, length = struct.unpack_from("<2H", extra)
        if kind == _OTHER_NAME:
            return True
        extra = extra[4 + length :]
    return False
