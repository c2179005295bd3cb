"""XML that grows without end, goes down without end, or is none."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

import pytest

from .books import JOBS, MAIN, START, TYPES, Parts, small_book
from .zips import write_zip

Refused = Callable[..., str]

BOOK, STYLES, THEME = "xl/workbook.xml", "xl/styles.xml", "xl/theme/theme1.xml"
DOCTYPE = "found a document type declaration "


def declared(subset: str, use: str = "") -> bytes:
    return f'<?xml version="1.0"?><!DOCTYPE x {subset}><x>{use}</x>'.encode()


LAUGHS = "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 30))
DECLARATIONS = {
    "a billion laughs": declared(f'[<!ENTITY a0 "ha">{LAUGHS}]', "&a29;"),
    "one long entity, many times": declared(f'[<!ENTITY a "{"a" * 100_000}">]', "&a;" * 100_000),
    "a file": declared('[<!ENTITY a SYSTEM "file:///etc/passwd">]', "&a;"),
    "an address": declared('[<!ENTITY % a SYSTEM "http://192.0.2.1/x.dtd"> %a;]'),
    "a type elsewhere": declared('SYSTEM "http://192.0.2.1/x.dtd"'),
    "no entity": declared(""),
    "itself": declared('[<!ENTITY a "&b;"><!ENTITY b "&a;">]', "&a;"),
    "defaults": declared('[<!ATTLIST x y CDATA "z">]'),
}


@pytest.mark.parametrize("kind", DECLARATIONS)
@pytest.mark.parametrize(
    ("part", "where"),
    [(JOBS, "on sheet Jobs,"), (STYLES, f"in '{STYLES}',"), (TYPES, f"in '{TYPES}',"), ("docProps/a.xml", "in 'doc")],
)
def test_document_type_declarations(tmp_path: Path, refused: Refused, kind: str, part: str, where: str) -> None:
    path = write_zip(tmp_path / "book.xlsx", small_book() | {part: DECLARATIONS[kind]})

    assert DOCTYPE + where in refused(path)


def deep(levels: int) -> bytes:
    """Elements in each other, of many names, so that they do not pack too well."""
    names = [b"a%x" % (number * 7919 % 4001) for number in range(levels)]
    return b"".join(b"<%b>" % name for name in names) + b"".join(b"</%b>" % name for name in reversed(names))


def sheet(text: str) -> bytes:
    return f'<worksheet xmlns="{MAIN}">{text}</worksheet>'.encode()


NOISE = random.Random(5).randbytes(500).hex()
"""So that what is written does not pack too well."""

KINDS: dict[str, tuple[str, bytes, str]] = {
    "deep": (THEME, deep(300_000), f"found over 100 elements inside each other in '{THEME}'"),
    "deep in a sheet": (START, b"<worksheet>" + deep(300_000), "over 100 elements inside each other on sheet Start"),
    "deep in the types": (TYPES, deep(100_000), f"found over 100 elements inside each other in '{TYPES}'"),
    "never closed": (THEME, b"<a>" * 90, f"found no sound XML in the part '{THEME}' (no element found"),
    "bytes that are no text": (START, sheet("<a>\xff</a>").replace("\xff".encode(), b"\xff\xfe\xc0"), "the damaged sheet Start (not well-formed"),
    "half a letter": (THEME, b"<a>\xe2\x82</a>", f"no sound XML in the part '{THEME}' (not well-formed"),
    "half a pair": (THEME, b"<a>\xed\xa0\x80</a>", f"no sound XML in the part '{THEME}' (not well-formed"),
    "a zero": (THEME, b"<a>\0</a>", f"no sound XML in the part '{THEME}' (not well-formed"),
    "a seven-bit encoding": (THEME, b'<?xml version="1.0" encoding="utf-7"?><a/>', f"found the encoding 'utf-7' in '{THEME}'"),
    "an encoding of large computers": (THEME, '<?xml version="1.0" encoding="cp037"?><a/>'.encode("cp037"), "no sound XML in"),
    "an unknown encoding": (THEME, b'<?xml version="1.0" encoding="x-user"?><a/>', "found the encoding 'x-user' in"),
    "two roots": (THEME, b"<a/><b/>", "(junk after document element"),
    "a prefix without meaning": (START, b"<y:worksheet/>", "the damaged sheet Start (unbound prefix"),
    "the same attribute twice": (THEME, b'<a b="1" b="2"/>', "(duplicate attribute"),
    "a long attribute": (
        THEME, f'<a b="{NOISE * 20_000}"/>'.encode(), f"found a tag of over 1,000,000 bytes in '{THEME}'"
    ),
    "a long name": (THEME, f"<{'a' + NOISE * 20_000}/>".encode(), "found a tag of over 1,000,000 bytes"),
    "a long comment": (THEME, f"<a><!--{NOISE * 20_000}--></a>".encode(), "found a tag of over 1,000,000 bytes"),
    "a long instruction": (THEME, f"<a><?b {NOISE * 20_000}?></a>".encode(), "found a tag of over 1,000,000 bytes"),
    "many attributes": (
        THEME, f"<a {' '.join(f'b{n}=' + chr(34) + chr(34) for n in range(200_000))}/>".encode(),
        "found a tag of over 1,000,000 bytes",
    ),
    "many elements": (
        THEME, b"<a>" + b"<b/>" * 9_000_000 + b"</a>", "36,000,007 bytes packed into"
    ),
    "many elements, hardly packed": (
        THEME, b"<a>" + b"".join(b"<b%x/>" % (n * 7919 % 4001) for n in range(1_200_000)) + b"</a>",
        f"found more elements than its rows can have in '{THEME}'",
    ),
    "many names of elements": (
        START, b"<worksheet>" + b"".join(b"<b%x/>" % n for n in range(200_000)) + b"</worksheet>",
        "found over 5,000 names of elements on sheet Start",
    ),
    "many names of attributes": (
        START, b"<worksheet>" + b"".join(b"<b a%x='1'/>" % n for n in range(200_000)) + b"</worksheet>",
        "found over 5,000 names of elements on sheet Start",
    ),
    "many prefixes": (
        START, b"<worksheet>" + b"".join(b"<b xmlns:a%x='u'/>" % n for n in range(200_000)) + b"</worksheet>",
        "found over 5,000 names of elements on sheet Start",
    ),
    "large types": (TYPES, f"<Types><a>{NOISE * 3000}</a></Types>".encode(), f"bytes in '{TYPES}', must be at most 2,000,000"),
    "large relations": (
        "xl/_rels/workbook.xml.rels", f"<Relationships>{' ' * 900_000}{NOISE * 3000}</Relationships>".encode(),
        "must be at most 2,000,000 bytes there",
    ),
    "large book": (BOOK, f"<workbook>{NOISE * 3000}</workbook>".encode(), f"bytes in '{BOOK}', must be at most 2,000,000"),
}  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_xml_that_is_too_much_or_too_little(tmp_path: Path, refused: Refused, kind: str) -> None:
    part, data, words = KINDS[kind]

    assert words in refused(write_zip(tmp_path / "book.xlsx", small_book() | {part: data}))


def texts(text: bytes, count: int) -> Parts:
    """The small workbook with shared texts."""
    parts = small_book()
    kind = f"{MAIN.replace('spreadsheetml/2006/main', 'officeDocument/2006/relationships')}/sharedStrings"
    parts["xl/_rels/workbook.xml.rels"] = parts["xl/_rels/workbook.xml.rels"].replace(
        b"</Relationships>", f'<Relationship Id="t" Type="{kind}" Target="sharedStrings.xml"/></Relationships>'.encode()
    )
    return parts | {"xl/sharedStrings.xml": b"<sst>" + text * count + b"</sst>"}


@pytest.mark.parametrize(
    ("text", "count", "words"),
    [
        (b"<si><t>%x</t></si>", 4_000_000, "72,000,011 bytes packed into"),
        (b"<si/>", 2_000_000, "found over 500,000 texts"),
        (b"".join(b"<si><t>%x</t></si>" % (n * 7919 % 65536) for n in range(1000)), 510, "found more elements than"),
        (b"<si><t>" + NOISE.encode() + b"</t></si>", 50_000, "must be at most 40,000,000 bytes there"),
    ],
)
def test_texts_without_end(tmp_path: Path, refused: Refused, text: bytes, count: int, words: str) -> None:
    assert words in refused(write_zip(tmp_path / "book.xlsx", texts(text, count)))


@pytest.mark.parametrize("part", [JOBS, START])
def test_a_number_of_a_text_that_is_not_there(tmp_path: Path, refused: Refused, part: str) -> None:
    cell = sheet('<sheetData><row r="3"><c r="B3" t="s"><v>7</v></c></row></sheetData>')
    path = write_zip(tmp_path / "book.xlsx", texts(b"<si><t>a</t></si>", 7) | {part: cell})

    assert "found text number '7' of 7 in row 3, column 2 on sheet " in refused(path)
