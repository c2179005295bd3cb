"""Files that are no zip, or a zip that lies: refused in one line, soon and in little memory."""

from __future__ import annotations

import os
import random
import struct
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from .books import START, small_book
from .zips import ENCRYPTED, Part, deflated, write_zip, zip_of

Refused = Callable[..., str]

CUT = "a file that breaks off, or goes on after its end, must be"
NO_END = "a file that breaks off before its end, must be a workbook saved as .xlsx; get the file again"


def test_the_small_book_is_sound(tmp_path: Path, runner) -> None:
    """So what is refused below is refused for the thing that is put into it."""
    ended = runner("verify", write_zip(tmp_path / "book.xlsx", small_book()), "--engine", "ironcalc")

    assert ended.code != 2
    assert "book.xlsx" in ended.out + ended.err


NO_WORKBOOKS = {
    "empty": (b"", "an empty file"),
    "random": (random.Random(1).randbytes(5000), "a file of another kind"),
    "random after a mark": (b"PK\3\4" + random.Random(2).randbytes(5000), NO_END),
    "csv": (b"job_no,site\n1,2\n", "a file of another kind"),
    "old workbook": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(5000), "an encrypted workbook or one of the format"),
    "encrypted workbook": (
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504) + "EncryptedPackage".encode("utf-16-le"),
        "an encrypted workbook or one of the format",
    ),
    "zip without parts": (b"PK\5\6" + bytes(18), "bytes that belong to no part"),
    "gzip": (b"\x1f\x8b" + bytes(100), "a file of another kind"),
    "page": (b"<html><table></table></html>", "a file of another kind"),
}  # fmt: skip


@pytest.mark.parametrize("kind", NO_WORKBOOKS)
def test_a_file_of_another_kind(tmp_path: Path, refused: Refused, kind: str) -> None:
    data, words = NO_WORKBOOKS[kind]
    (tmp_path / "book.xlsx").write_bytes(data)

    assert f"book.xlsx: found {words}" in refused(tmp_path / "book.xlsx")


def test_other_packages_by_the_name_of_a_workbook(tmp_path: Path, refused: Refused) -> None:
    """A spreadsheet of the open format, and a text document."""
    ods = write_zip(tmp_path / "book.xlsx", {"mimetype": b"application/vnd.oasis", "content.xml": b"<a/>"})
    assert "found an OpenDocument file, must be a workbook" in refused(ods)
    parts = small_book()
    kind = parts["[Content_Types].xml"].replace(b"spreadsheetml.sheet.main", b"wordprocessingml.document.main")
    text = write_zip(tmp_path / "text.xlsx", parts | {"[Content_Types].xml": kind})

    assert "found no workbook in it but 'vnd.openxmlformats-officedocument.wordprocessingml" in refused(text)


def test_what_is_no_file(tmp_path: Path, refused: Refused) -> None:
    (tmp_path / "folder.xlsx").mkdir()
    os.mkfifo(tmp_path / "pipe.xlsx")

    assert "found a folder" in refused(tmp_path / "folder.xlsx")
    assert "found no ordinary file" in refused(tmp_path / "pipe.xlsx")
    assert "found no such file" in refused(tmp_path / "missing.xlsx")


def test_a_name_in_several_lines(tmp_path: Path, refused: Refused) -> None:
    (tmp_path / "bo\nok\x1b[2J.xlsx").write_bytes(b"")

    assert r"bo\x0aok\x1b[2J.xlsx: found an empty file" in refused(tmp_path / "bo\nok\x1b[2J.xlsx")


@pytest.mark.parametrize("share", [0.01, 0.3, 0.7, 0.97, 0.999])
def test_a_file_cut_off(tmp_path: Path, refused: Refused, share: float) -> None:
    path = write_zip(tmp_path / "book.xlsx", small_book())
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * share)])

    assert "book.xlsx: found a file that breaks off" in refused(path)


ENDS = {
    "bytes after": ({"after": b"\n"}, CUT),
    "long comment": ({"after": b"abc", "comment": 4}, CUT),
    "bytes before": ({"before": b"MZ" + bytes(50)}, "a file of another kind"),
    "zip before": ({"before": b"PK\3\4" + bytes(50)}, "bytes that belong to no part"),
    "another disk": ({"disk": 1}, "a zip in several pieces"),
    "first disk": ({"first_disk": 1}, "a zip in several pieces"),
    "fewer here": ({"here": 1}, "a zip in several pieces"),
    "more parts": ({"here": 50, "entries": 50}, "11 parts in a directory of 50"),
    "fewer parts": ({"here": 2, "entries": 2}, "11 parts in a directory of 2"),
    "gap before": ({"offset": 10}, "bytes that belong to no part"),
    "no directory": ({"length": 0}, "bytes that belong to no part"),
    "many parts said": ({"here": 60_000, "entries": 60_000}, "60,000 parts in a directory"),
    "large directory said": ({"length": 50_000_000}, "11 parts in a directory of 50,000,000 bytes"),
    "large zip by parts": ({"here": 0xFFFF, "entries": 0xFFFF}, "a zip of the kind for files over 4 GB"),
    "large zip by offset": ({"offset": 0xFFFFFFFF}, "a zip of the kind for files over 4 GB"),
    "large zip by length": ({"length": 0xFFFFFFFF}, "a zip of the kind for files over 4 GB"),
}  # fmt: skip


@pytest.mark.parametrize("kind", ENDS)
def test_an_end_that_lies(tmp_path: Path, refused: Refused, kind: str) -> None:
    said, words = ENDS[kind]

    assert f"book.xlsx: found {words}" in refused(write_zip(tmp_path / "book.xlsx", small_book(), **said))


def test_the_end_of_a_large_zip(tmp_path: Path, refused: Refused) -> None:
    """The records are sound, and no workbook needs them."""
    data = zip_of([Part(name, part) for name, part in small_book().items()])
    at = data.rfind(b"PK\5\6")
    here, length, offset = struct.unpack_from("<H", data, at + 8)[0], *struct.unpack_from("<2L", data, at + 12)
    record = struct.pack("<4sQ2H2L4Q", b"PK\6\6", 44, 45, 45, 0, 0, here, here, length, offset)
    locator = struct.pack("<4sLQL", b"PK\6\7", 0, at, 1)
    (tmp_path / "book.xlsx").write_bytes(data[:at] + record + locator + data[at:])

    assert "found a zip of the kind for files over 4 GB" in refused(tmp_path / "book.xlsx")


NAMES = {
    "/xl/evil.xml": "whose name leads out of the file",
    "../evil.xml": "whose name leads out of the file",
    "xl/../../evil.xml": "whose name leads out of the file",
    "./evil.xml": "whose name leads out of the file",
    "xl\\evil.xml": "whose name is no plain path",
    "..\\evil.xml": "whose name is no plain path",
    "C:/evil.xml": "whose name is no plain path",
    "c:evil.xml": "whose name is no plain path",
    "xl//evil.xml": "whose name is no plain path",
    "xl/evil.xml\0.png": "whose name is no plain path",
    "xl/ev\nil.xml": "whose name is no plain path",
    "xl/evil\u202elmx.exe": "whose name is no plain path",
    "xl/%2e%2e/evil.xml": "whose name is no plain path",
    "xl/evil. ": "whose name is no plain path",
    "": "whose name is empty or too long",
    "x" * 300: "whose name is empty or too long",
    "xl/Workbook.XML": "twice",
    "xl/workbook.xml": "twice",
    "xl/workbook.xml/": "twice",
}  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_a_part_with_a_name_for_a_trick(tmp_path: Path, refused: Refused, name: str) -> None:
    path = write_zip(tmp_path / "book.xlsx", small_book(), Part(name, b"<x/>"))

    assert NAMES[name] in refused(path)


HEADERS = {
    "another name": (Part("a.xml", b"<a/>", central={"name": b"b.xml"}), "that has another name in the directory"),
    "another method": (Part("a.xml", b"<a/>", local={"method": 0}), "that is packed in another way"),
    "another size": (Part("a.xml", b"<a/>", local={"size": 9}), "that has another size or checksum"),
    "another checksum": (Part("a.xml", b"<a/>", local={"crc": 9}), "that has another size or checksum"),
    "wrong checksum": (Part("a.bin", b"abc", local={"crc": 9}, central={"crc": 9}), "a damaged part 'a.bin' (Bad CRC-32"),
    "wrong checksum of xml": (Part("a.xml", b"<a/>", local={"crc": 9}, central={"crc": 9}), "a damaged part 'a.xml' (Bad CRC"),
    "more than it says": (
        Part("a.bin", b"a" * 999, local={"size": 9}, central={"size": 9}), "a damaged part 'a.bin' (Bad CRC-32"
    ),
    "less than it says": (
        Part("a.bin", b"a" * 9, local={"size": 999}, central={"size": 999}), "a damaged part 'a.bin' (9 bytes of 999)"
    ),
    "encrypted": (
        Part("a.xml", b"<a/>", local={"flags": ENCRYPTED}, central={"flags": ENCRYPTED}), "the encrypted part 'a.xml'"
    ),
    "encrypted in its place": (Part("a.xml", b"<a/>", local={"flags": ENCRYPTED}), "that is encrypted"),
    "strongly encrypted": (Part("a.xml", b"<a/>", central={"flags": 1 << 6}), "the encrypted part 'a.xml'"),
    "encrypted by another method": (
        Part("a.xml", b"<a/>", local={"method": 99}, central={"method": 99}), "the encrypted part 'a.xml'"
    ),
    "packed by another method": (Part("a.xml", b"<a/>", method=14), "packed in a way that workbooks are not"),
    "packed by no method": (Part("a.xml", b"<a/>", method=77), "packed in a way that workbooks are not"),
    "two names": (
        Part("a.xml", b"<a/>", central={"extra": struct.pack("<2HBL", 0x7075, 10, 1, zlib.crc32(b"a.xml")) + b"b.xml"}),
        "that has two names",
    ),
    "a link": (Part("a.xml", b"/etc/passwd", central={"attributes": 0o120777 << 16}), "which only points elsewhere"),
    "elsewhere": (Part("a.xml", b"<a/>", central={"offset": 7}), "that lies over another"),
    "far away": (Part("a.xml", b"<a/>", central={"offset": 99_999_999}), "that is not where the directory says"),
    "large sizes without their field": (Part("a.xml", b"<a/>", central={"size": 0xFFFFFFFF}), "4,294,967,295 bytes packed into 6"),
    "large sizes in a short field": (
        Part("a.xml", b"<a/>", central={"size": 0xFFFFFFFF, "extra": struct.pack("<2HL", 1, 4, 5)}), "no readable workbook"
    ),
    "a name that is no text": (
        Part("a.xml", b"<a/>", local={"name": b"\xff", "flags": 1 << 11}, central={"name": b"\xff", "flags": 1 << 11}),
        "no readable workbook",
    ),
    "broken packing": (Part("a.bin", b"abcdef", packed=b"\xff" * 20), "a damaged part 'a.bin'"),
}  # fmt: skip


@pytest.mark.parametrize("kind", HEADERS)
def test_a_header_that_lies(tmp_path: Path, refused: Refused, kind: str) -> None:
    part, words = HEADERS[kind]

    assert words in refused(write_zip(tmp_path / "book.xlsx", small_book(), part))


def test_parts_over_each_other(tmp_path: Path, refused: Refused) -> None:
    """Many parts that are all the same bytes: a small file, unpacked huge."""
    kernel = Part("xl/0.xml", b" " * 900_000)
    others = [
        Part(f"xl/{number}.xml", kernel.data, packed=b"", central={"offset": 0, "packed": len(kernel.packed)})
        for number in range(1, 500)
    ]
    path = tmp_path / "book.xlsx"
    path.write_bytes(zip_of([kernel, *others, *(Part(*one) for one in small_book().items())]))

    assert "that lies over another" in refused(path)


def test_one_part_that_unpacks_to_far_more(tmp_path: Path, refused: Refused) -> None:
    path = write_zip(tmp_path / "book.xlsx", small_book() | {"xl/theme/theme1.xml": b" " * 60_000_000})

    assert "found 60,000,000 bytes packed into " in refused(path)


def test_many_parts_that_unpack_to_much(tmp_path: Path, refused: Refused) -> None:
    """Each below the size from which the ratio counts."""
    packed = deflated(b" " * 900_000)
    more = [Part(f"xl/{number}.xml", b" " * 900_000, packed=packed) for number in range(80)]

    line = refused(write_zip(tmp_path / "book.xlsx", small_book(), *more))

    assert "found 72,0" in line
    assert " bytes beside the sheets, must be at most 40,000,000 bytes" in line


def test_one_large_part_that_is_hardly_packed(tmp_path: Path, refused: Refused) -> None:
    noise = random.Random(3).randbytes(1000).hex().encode() * 25_000
    sheet = b"<worksheet><!--" + noise + b"--></worksheet>"
    path = write_zip(tmp_path / "book.xlsx", small_book() | {START: sheet})

    assert "bytes when unpacked, must be at most 50,000,000 bytes for 20 rows of jobs" in refused(path)


def test_a_size_that_no_workbook_has(tmp_path: Path, refused: Refused) -> None:
    said = {"size": 4_000_000_000}
    part = Part("xl/a.bin", random.Random(4).randbytes(100), method=0, local=said, central=said)

    assert "4,000,000,000 bytes packed into 100 in 'xl/a.bin'" in refused(
        write_zip(tmp_path / "book.xlsx", small_book(), part)
    )


@pytest.mark.parametrize(("count", "words"), [(5_000, "5,011 parts in a directory"), (70_000, "a zip of the kind for")])
def test_many_parts(tmp_path: Path, refused: Refused, count: int, words: str) -> None:
    path = tmp_path / "book.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in small_book().items():
            archive.writestr(name, data)
        for number in range(count):
            archive.writestr(f"xl/{number}.xml", b"<x/>")

    assert words in refused(path)


def test_a_file_larger_than_any_workbook(tmp_path: Path, refused: Refused) -> None:
    """A file with a hole, which takes no room on disk."""
    with (tmp_path / "book.xlsx").open("wb") as file:
        file.write(b"PK\3\4")
        file.truncate(5_000_000_000)

    assert "found 5,000,000,000 bytes, must be at most 600,000,000 bytes" in refused(tmp_path / "book.xlsx")
