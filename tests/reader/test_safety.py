"""A workbook is looked at before it is opened; each danger has a file that holds it."""

from __future__ import annotations

import zipfile
from pathlib import Path
from types import ModuleType

import openpyxl
import pytest

from workbook_builder.reader import safety, sheet_check, zip_check
from workbook_builder.reader.book_jobs import read_book

from .files import book_file, changed_zip, good_entries, refusal

WITHOUT = "a workbook without macros, links to other files and embedded objects"
NEW_COPY = "do not open it; ask the sender for a new copy"
RELATIONS = "http://schemas.openxmlformats.org/package/2006/relationships"
KINDS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return book_file(tmp_path / "book.xlsx", {10: good_entries()})


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "an empty file, must be a workbook saved as .xlsx; get the file again"),
        (b"job_no,site", "a file of another kind, must be a workbook saved as .xlsx; "
                         "open it and save it as .xlsx"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 and so on",
         "an encrypted workbook or one of the format before 2007, must be a workbook saved as .xlsx; "
         "open it, take the password off and save it as .xlsx"),
        (b"PK\x03\x04 and no more", "a file that breaks off before its end, "
                                    "must be a workbook saved as .xlsx; get the file again"),
    ],
)  # fmt: skip
def test_a_file_that_is_no_workbook_is_refused(tmp_path: Path, data: bytes, words: str) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(data)

    assert refusal(read_book, path) == [f"book.xlsx: found {words}"]


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"

    assert refusal(read_book, path) == [
        f"{path}: found no such file, must be a workbook saved as .xlsx; check the path"
    ]
    assert refusal(read_book, tmp_path) == [
        f"{tmp_path}: found a folder, must be a workbook saved as .xlsx; give the path of the file in it"
    ]


def test_a_path_that_no_file_can_have_is_refused() -> None:
    (line,) = refusal(read_book, "book\0.xlsx")

    assert "no readable file" in line


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("xl/vbaProject.bin", "macros, must be {}; save it as .xlsx, without macros"),
        ("xl/macrosheets/sheet1.xml", "macros, must be {}; save it as .xlsx, without macros"),
        ("xl/externalLinks/externalLink1.xml",
         "links to another workbook, must be {}; break them under Data, Edit Links"),
        ("xl/connections.xml",
         "a data connection, must be {}; delete it under Data, Queries and Connections"),
        ("xl/queryTables/queryTable1.xml",
         "a data connection, must be {}; delete it under Data, Queries and Connections"),
        ("xl/embeddings/oleObject1.bin", "an embedded object or control, must be {}; delete the object"),
        ("xl/activeX/activeX1.bin", "an embedded object or control, must be {}; delete the object"),
        ("XL/VBAPROJECT.BIN", "macros, must be {}; save it as .xlsx, without macros"),
    ],
)  # fmt: skip
def test_a_part_that_does_things_is_refused(book: Path, part: str, words: str) -> None:
    changed_zip(book, add={part: b"<x/>"})

    assert refusal(read_book, book) == [f"book.xlsx: found {words.format(WITHOUT)}"]


@pytest.mark.parametrize(
    ("kind", "mode", "words"),
    [
        ("externalLink", "Internal",
         "links to another workbook, must be {}; break them under Data, Edit Links"),
        ("vbaProject", "Internal", "macros, must be {}; save it as .xlsx, without macros"),
        ("oleObject", "External", "an embedded object or control, must be {}; delete the object"),
        ("image", "External", "a link to another file, of the kind 'image', must be {}; delete it"),
    ],
)  # fmt: skip
def test_a_link_that_leads_out_is_refused_whatever_its_part_is_called(
    book: Path, kind: str, mode: str, words: str
) -> None:
    relation = (
        f'<Relationships xmlns="{RELATIONS}"><Relationship Id="r1" Type="{KINDS}/{kind}" '
        f'Target="x" TargetMode="{mode}"/></Relationships>'
    )
    changed_zip(book, add={"xl/worksheets/_rels/sheet1.xml.rels": relation.encode()})

    assert refusal(read_book, book) == [f"book.xlsx: found {words.format(WITHOUT)}"]


def test_a_link_to_a_web_page_is_harmless(book: Path) -> None:
    opened = openpyxl.load_workbook(book)
    opened["Start"]["A3"].hyperlink = "https://example.org"
    opened.save(book)

    assert read_book(book).faults == ()


def test_a_workbook_that_calls_itself_macro_enabled_is_refused(book: Path) -> None:
    changed_zip(
        book,
        replace={
            "[Content_Types].xml": (
                b"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml",
                b"application/vnd.ms-excel.sheet.macroEnabled.main+xml",
            )
        },
    )

    assert refusal(read_book, book) == [
        f"book.xlsx: found macros, must be {WITHOUT}; save it as .xlsx, without macros"
    ]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
@pytest.mark.parametrize(
    ("part", "where"),
    [
        ("xl/worksheets/sheet2.xml", "on sheet Jobs"),
        ("xl/extra.xml", "in 'xl/extra.xml'"),
        ("xl/drawings/old.vml", "in 'xl/drawings/old.vml'"),
    ],
)
def test_a_document_type_declaration_is_refused_in_any_part(
    book: Path, part: str, where: str, encoding: str
) -> None:
    """Entities grow without end or fetch other files; no spreadsheet program writes them."""
    text = '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><x>&b;</x>'
    changed_zip(book, add={part: text.encode(encoding)})

    assert refusal(read_book, book) == [
        f"book.xlsx: found a document type declaration {where}, "
        "must be a workbook saved as .xlsx; save it anew"
    ]


def test_a_part_that_is_no_xml_is_refused(book: Path) -> None:
    for data in (b"", b"plain words"):
        changed_zip(book, add={"xl/extra.xml": data})
        (line,) = refusal(read_book, book)

        assert line.startswith("book.xlsx: found no sound XML in the part 'xl/extra.xml' (")


def test_every_danger_is_told_once(book: Path) -> None:
    changed_zip(
        book,
        add={"xl/vbaProject.bin": b"", "xl/vbaProjectSignature.bin": b"", "xl/embeddings/a.bin": b"",
             "xl/connections.xml": b""},
    )  # fmt: skip

    assert refusal(read_book, book) == [
        f"book.xlsx: found macros, an embedded object or control and a data connection, must be {WITHOUT}; "
        "save it as .xlsx, without macros; delete the object; delete it under Data, Queries and Connections"
    ]


def test_a_part_that_unpacks_to_far_more_is_refused_unread(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    changed_zip(book, add={"xl/bomb.xml": b" " * 2_000_000})
    monkeypatch.setattr(zipfile.ZipFile, "open", _never)
    (line,) = refusal(read_book, book)

    assert line.startswith("book.xlsx: found 2,000,000 bytes packed into ")
    assert line.endswith(f"in 'xl/bomb.xml', must be at most 200 times larger when unpacked; {NEW_COPY}")


def _never(*_: object, **__: object) -> None:
    raise AssertionError("a part was read")


@pytest.mark.parametrize(
    ("module", "limit", "words"),
    [
        (safety, "LARGEST_DIRECTORY", "bytes in '[Content_Types].xml', must be at most 500 bytes there"),
        (safety, "LARGEST_INPUTS", "bytes on sheet Jobs, must be at most 500 bytes there"),
        (safety, "SPARE_BYTES", "bytes beside the sheets, must be at most 500 bytes"),
        (safety, "BYTES_A_ROW", "bytes when unpacked, must be at most 20 bytes for 20 rows of jobs"),
        (zip_check, "MOST_PARTS", "bytes, must be at most 5 parts"),
        (zip_check, "LARGEST_FILE", "bytes, must be at most 500 bytes"),
        (sheet_check, "MOST_ROWS", "over 2 rows on sheet Jobs, must be at most 2"),
    ],
)
def test_limits_hold(
    book: Path, monkeypatch: pytest.MonkeyPatch, module: ModuleType, limit: str, words: str
) -> None:
    """The limits are made small here, the file being of ordinary size."""
    small = {"MOST_PARTS": 5, "MOST_ROWS": 2, "BYTES_A_ROW": {"Jobs": -1_999_999}}
    monkeypatch.setattr(module, limit, small.get(limit, 500))
    (line,) = refusal(read_book, book)

    assert f"{words}; {NEW_COPY}" in line


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_part_that_is_there_twice_is_refused(book: Path) -> None:
    """Programs do not agree which of the two counts."""
    with zipfile.ZipFile(book, "a") as archive:
        archive.writestr("xl/Worksheets/sheet2.xml", b"<x/>")

    assert refusal(read_book, book) == [
        "book.xlsx: found the part 'xl/worksheets/sheet2.xml' twice, must be a workbook with each part once; "
        f"{NEW_COPY}"
    ]


def test_a_part_with_a_password_is_refused(book: Path) -> None:
    data = bytearray(book.read_bytes())
    at = data.find(b"PK\x01\x02")
    data[at + 8] |= 1
    book.write_bytes(data)
    (line,) = refusal(read_book, book)

    assert line.startswith("book.xlsx: found the encrypted part ")
    assert line.endswith(", must be a workbook saved as .xlsx; save it without a password")


def test_damage_inside_a_part_is_refused(book: Path) -> None:
    """A part that does not agree with its checksum."""
    with zipfile.ZipFile(book) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    with zipfile.ZipFile(book, "w", zipfile.ZIP_STORED) as archive:
        for name, part in parts.items():
            archive.writestr(name, part)
    data = book.read_bytes()
    assert data.count(b"floor area ft2") == 1
    book.write_bytes(data.replace(b"floor area ft2", b"floor area ft3"))
    (line,) = refusal(read_book, book)

    assert "a damaged part" in line
    assert "CRC" in line
