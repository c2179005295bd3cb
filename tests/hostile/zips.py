"""Writes zips that no honest program writes: every field of every header can be made to lie."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

LOCAL, CENTRAL, END = "<4s5H3L2H", "<4s6H3L5H2L", "<4s4H2LH"
UTF8, ENCRYPTED = 1 << 11, 1


@dataclass
class Part:
    """One part. `local` and `central` hold what is to stand there instead of the truth:
    name, flags, method, crc, packed, size, extra, attributes, offset."""

    name: str
    data: bytes = b""
    method: int = 8
    local: Mapping[str, object] = field(default_factory=dict)
    central: Mapping[str, object] = field(default_factory=dict)
    packed: bytes | None = None

    def __post_init__(self) -> None:
        if self.packed is None:
            self.packed = deflated(self.data) if self.method == 8 else self.data

    def truth(self, offset: int) -> dict[str, object]:
        return {
            "name": self.name.encode(), "flags": 0 if self.name.isascii() else UTF8, "method": self.method,
            "crc": zlib.crc32(self.data), "packed": len(self.packed), "size": len(self.data), "extra": b"",
            "attributes": 0, "offset": offset,
        }  # fmt: skip


def deflated(data: bytes) -> bytes:
    packer = zlib.compressobj(1, zlib.DEFLATED, -15)
    return packer.compress(data) + packer.flush()


def zip_of(parts: Iterable[Part], *, before: bytes = b"", after: bytes = b"", **end: int) -> bytes:
    """The bytes of a zip; `end` replaces disk, first_disk, here, entries, length, offset, comment."""
    body, directory, count = bytearray(before), bytearray(), 0
    for part in parts:
        truth = part.truth(len(body))
        one = truth | dict(part.local)
        body += struct.pack(
            LOCAL, b"PK\3\4", 20, one["flags"], one["method"], 0, 33, one["crc"], one["packed"], one["size"],
            len(one["name"]), len(one["extra"]),
        )  # fmt: skip
        body += one["name"] + one["extra"] + part.packed
        one = truth | dict(part.central)
        directory += struct.pack(
            CENTRAL, b"PK\1\2", 20, 20, one["flags"], one["method"], 0, 33, one["crc"], one["packed"],
            one["size"], len(one["name"]), len(one["extra"]), 0, 0, 0, one["attributes"], one["offset"],
        )  # fmt: skip
        directory += one["name"] + one["extra"]
        count += 1
    said = {
        "disk": 0, "first_disk": 0, "here": count, "entries": count, "length": len(directory),
        "offset": len(body), "comment": 0, **end,
    }  # fmt: skip
    return bytes(body + directory + struct.pack(END, b"PK\5\6", *said.values()) + after)


def write_zip(path: Path, parts: Mapping[str, bytes], *more: Part, **said: object) -> Path:
    """A zip of sound parts and of some that are not."""
    sound = [Part(name, data) for name, data in parts.items()]
    path.write_bytes(zip_of([*sound, *more], **said))
    return path
