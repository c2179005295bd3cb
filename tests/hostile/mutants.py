"""Broken workbooks without end: each from a kind and a number, always the same."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from functools import cache

from ..lean import file_of, without_idle_texts
from .books import built_book
from .zips import Part, zip_of

_LONG = ("Load tables", "Wire tables", "Raceway tables", "Lists", "Provenance", "Rules")
"""Sheets that are only read by people."""
_ROW = re.compile(rb'<row r="(\d+)".*?</row>', re.DOTALL)
_VALUE = re.compile(rb'="([^"<>]*)"')
_TEXT = re.compile(rb">([^<>]+)<")
_TAG = re.compile(rb"</?[A-Za-z][^<>]*>")

NASTY = [
    b"", b"0", b"-1", b"1", b"99999999999999999999", b"1e999", b"nan", b"TRUE", b"A1", b"A1:XFD1048576", b"XFD1048576",
    b"XFE1", b"A0", b"$A$1", b"s", b"b", b"e", b"str", b"inlineStr", b"d", b"shared", b"array", b"rId1", b"rId999",
    b"../../x", b"/xl/workbook.xml", b"worksheets/sheet2.xml", b"http://192.0.2.1/", b"External", b"#REF!", b"=1+1",
    b"&amp;&lt;&#10;", b"&#0;", b"&x;", b"_xD800_", b"_x0000_", "\u0663\u202e\ufeff".encode(), b"\xff\xfe", b"\xed\xa0\x80", b"\0", b"a" * 40_000,
    b"end of rows", b"job_no", b"1,5", b"2024-02-30", b"61.5", b"[1]A!B1", b"cmd|'/c'!A0", b"utf-16", b"Jobs", b"Circuits",
]  # fmt: skip
SNIPPETS = [
    b"<!DOCTYPE x>", b"<!--", b"-->", b"<![CDATA[", b"]]>", b"<?x?>", b"<row/>", b'<row r="7"/>', b"<c/>", b"<c><v>1</v></c>",
    b'<c r="B12" t="s"><v>99999</v></c>', b"<f>1+1</f>", b"<v>", b"</row>", b"<is><t>x</t></is>", b'<f t="shared" si="0"/>',
    b'<f t="array" ref="A1:B2">1</f>', b"<sheetData/>", b"<si/>", b"<x:y/>", b"<a>" * 200, b"\0", b"<", b">", b'"', b"&",
]  # fmt: skip


@cache
def base() -> tuple[Part, ...]:
    """A built workbook, its sheets for reading cut to a few rows, without their texts."""
    parts = built_book()
    for title in _LONG:
        name = file_of(parts, title)
        parts[name] = _ROW.sub(_first, parts[name])
    return tuple(Part(name, data) for name, data in without_idle_texts(parts).items())


def _first(row: re.Match[bytes]) -> bytes:
    return row[0] if int(row[1]) <= 12 else b""


@cache
def whole() -> bytes:
    return zip_of(base())


def _bytes(chance: random.Random) -> bytes:
    """Random bytes, some between the marks of a zip."""
    data = chance.randbytes(chance.choice([0, 1, 10, 300, 5000]))
    start = chance.choice([b"", b"PK", b"PK\3\4", b"PK\3\4" + b"\0" * 26])
    end = chance.choice([b"", b"PK\5\6" + bytes(18), b"PK\5\6" + chance.randbytes(18), b"PK\1\2" + data[:46]])
    return start + data + end


def _flipped(chance: random.Random) -> bytes:
    """Bytes changed, half of the time in the directory, where they do most."""
    data = bytearray(whole())
    low = data.rfind(b"xl/worksheets/sheet20.xml") - 2000 if chance.random() < 0.5 else 0
    for _ in range(chance.choice([1, 1, 2, 5, 20])):
        data[chance.randrange(low, len(data))] = chance.choice([0, 1, 255, chance.randrange(256)])
    return bytes(data)


def _cut(chance: random.Random) -> bytes:
    """A piece missing, put in, or twice."""
    data = whole()
    first, last = sorted(chance.randrange(len(data) + 1) for _ in range(2))
    last = min(last, first + chance.choice([1, 4, 30, 1000, 10**9]))
    return chance.choice([data[:first], data[last:], data[:first] + data[last:], data[:last] + data[first:],
                          data[:first] + chance.randbytes(9) + data[first:]])  # fmt: skip


def _parts(chance: random.Random) -> bytes:
    """Parts dropped, twice, exchanged, renamed, with headers that lie."""
    parts = list(base())
    for _ in range(chance.choice([1, 1, 2])):
        place, other = chance.randrange(len(parts)), chance.randrange(len(parts))
        one, two = parts[place], parts[other]
        kind = chance.randrange(5)
        if kind == 0 and len(parts) > 2:
            del parts[place]
        elif kind == 1:
            parts.append(Part(chance.choice([one.name, one.name.upper(), two.name + "x"]), two.data))
        elif kind == 2:
            parts[place], parts[other] = Part(one.name, two.data), Part(two.name, one.data)
        elif kind == 3:
            parts[place] = Part(chance.choice(["../", "/", "xl/x/", "C:"]) + one.name, one.data)
        else:
            field = chance.choice(["crc", "packed", "size", "method", "flags", "offset", "attributes"])
            value = chance.choice([0, 1, 2, 8, 77, 0xFFFF])
            said = {field: value}
            parts[place] = Part(one.name, one.data, local=chance.choice([said, {}]), central=said, packed=one.packed)
    return zip_of(parts)


def _xml(chance: random.Random) -> bytes:
    """The text of one part changed in a few places."""
    parts = list(base())
    place = chance.choice([chance.randrange(len(parts)), *(n for n, one in enumerate(parts) if one.name in _WEIGHTY)])
    data = parts[place].data
    for _ in range(chance.choice([1, 1, 1, 2, 4])):
        data = chance.choice(_CHANGES)(chance, data)
    parts[place] = Part(parts[place].name, data, method=0)
    return zip_of(parts)


_WEIGHTY = ("[Content_Types].xml", "_rels/.rels", "xl/_rels/workbook.xml.rels", "xl/workbook.xml", "xl/sharedStrings.xml",
            *(f"xl/worksheets/sheet{n}.xml" for n in (1, 2, 2, 3, 4, 14)))  # fmt: skip


def _found(chance: random.Random, data: bytes, pattern: re.Pattern[bytes]) -> re.Match[bytes] | None:
    """A match somewhere; looked for from a random place on."""
    return pattern.search(data, chance.randrange(len(data) + 1)) or pattern.search(data)


def _other_value(chance: random.Random, data: bytes) -> bytes:
    match = _found(chance, data, chance.choice([_VALUE, _TEXT]))
    return data if match is None else data[: match.start(1)] + chance.choice(NASTY) + data[match.end(1) :]


def _other_tag(chance: random.Random, data: bytes) -> bytes:
    match, other = _found(chance, data, _TAG), _found(chance, data, _TAG)
    if match is None or other is None:
        return data
    return data[: match.start()] + chance.choice([b"", other[0], match[0] * 2]) + data[match.end() :]


def _snippet(chance: random.Random, data: bytes) -> bytes:
    match = _found(chance, data, _TAG)
    at = chance.randrange(len(data) + 1) if match is None else match.end()
    return data[:at] + chance.choice(SNIPPETS) + data[at:]


def _slice(chance: random.Random, data: bytes) -> bytes:
    first = chance.randrange(len(data) + 1)
    last = first + chance.choice([1, 10, 500])
    return chance.choice([data[:first] + data[last:], data[:last] + data[first:], data[:first] + chance.randbytes(3) + data[first:]])


_CHANGES: list[Callable[[random.Random, bytes], bytes]] = [_other_value, _other_value, _other_value, _other_tag, _snippet, _slice]

KINDS: dict[str, Callable[[random.Random], bytes]] = {
    "bytes": _bytes, "flipped": _flipped, "cut": _cut, "parts": _parts, "xml": _xml,
}  # fmt: skip


def mutant(kind: str, number: int) -> bytes:
    return KINDS[kind](random.Random(f"{kind} {number}"))
