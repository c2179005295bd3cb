"""A sound small workbook as a mapping of parts, and ways to put one evil thing into it."""

from __future__ import annotations

import zipfile
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from workbook_builder.reader.csv_jobs import read_circuits, read_jobs

from ..books import write_book
from ..reader.files import CIRCUIT, GOOD, book_file, csv_file, good_entries

Parts = dict[str, bytes]

START, JOBS, RULES = (f"xl/worksheets/sheet{number}.xml" for number in (1, 2, 3))
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
RELATIONS = "http://schemas.openxmlformats.org/package/2006/relationships"
TYPES = "[Content_Types].xml"


def parts_of(path: Path) -> Parts:
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


@cache
def _small() -> Parts:
    with TemporaryDirectory() as folder:
        return parts_of(book_file(Path(folder) / "book.xlsx", {10: good_entries()}))


def small_book() -> Parts:
    """The least that is read: Start, Jobs and Local rules."""
    return dict(_small())


@cache
def _built() -> Parts:
    with TemporaryDirectory() as name:
        folder = Path(name)
        jobs = read_jobs(csv_file(folder / "jobs.csv", [GOOD]))
        circuits = read_circuits(csv_file(folder / "circuits.csv", [CIRCUIT]), jobs=jobs)
        write_book(folder / "book.xlsx", jobs, rows=1, circuits=circuits, circuit_rows=1)
        return parts_of(folder / "book.xlsx")


def built_book() -> Parts:
    """A whole workbook as it is built, with one job and one circuit."""
    return dict(_built())


def with_change(part: str, old: str, new: str) -> Parts:
    """The small workbook with a piece of one part replaced."""
    parts = small_book()
    assert old.encode() in parts[part], (part, old)
    parts[part] = parts[part].replace(old.encode(), new.encode(), 1)
    return parts


def with_rows(rows: str, *, before: str = "", after: str = "", part: str = START) -> Parts:
    """The small workbook with other rows on one sheet, and elements before and after them."""
    text = f'<worksheet xmlns="{MAIN}">{before}<sheetData>{rows}</sheetData>{after}</worksheet>'
    return small_book() | {part: text.encode()}


def with_formula(formula: str) -> Parts:
    return with_rows(f'<row r="1"><c r="A1"><f>{formula}</f></c></row>')


def with_relation(kind: str, target: str, *, mode: str = "Internal", part: str = START) -> Parts:
    """The small workbook with one relation of a sheet."""
    folder, _, name = part.rpartition("/")
    text = (
        f'<Relationships xmlns="{RELATIONS}"><Relationship Id="r1" Type="{LINKS}/{kind}" '
        f'Target="{target}" TargetMode="{mode}"/></Relationships>'
    )
    return small_book() | {f"{folder}/_rels/{name}.rels": text.encode()}


def with_type(kind: str, part: str = "xl/thing.bin") -> Parts:
    parts = with_change(TYPES, "</Types>", f'<Override PartName="/{part}" ContentType="{kind}"/></Types>')
    return parts | {part: b"thing"}
