"""Sheets that claim more than there is, reach too far, or hold more than a machine can."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

import pytest

from workbook_builder.harness.verify import verify
from workbook_builder.reader.limits import MOST_JOBS

from .books import JOBS, RULES, Parts, built_book, small_book, with_change, with_formula, with_rows
from .zips import write_zip

Refused = Callable[..., str]

CHANCE = random.Random(6)


def columns(count: int) -> list[str]:
    letters = [chr(65 + number) for number in range(26)]
    names = [*letters, *(a + b for a in letters for b in letters)]
    return [*names, *(a + name for a in letters for name in names[26:])][:count]


def row_of(number: int, cells: int, inside: str = "<v>1</v>", *, extra: str = "") -> str:
    return f'<row r="{number}"{extra}>' + "".join(
        f'<c r="{letters}{number}">{inside}</c>' for letters in columns(cells)
    ) + "</row>"


def many_rows(count: int, cells: int = 1, inside: str = "<v>%d</v>") -> str:
    """Rows of which no two are alike, so that they do not pack too well."""
    names = columns(cells)
    piece = "".join(f'<c r="{name}%d">{inside}</c>' for name in names)
    fields = 1 + inside.count("%d")
    noise = [CHANCE.randrange(10**6) for _ in range(fields * cells)]
    rows = []
    for row in range(1, count + 1):
        noise[0::fields] = [row] * cells
        if fields > 1:
            noise[1::fields] = [number * row % 999_983 for number in noise[1::fields]]
        rows.append(f'<row r="{row}">{piece % tuple(noise)}</row>')
    return "".join(rows)


FAR = {
    "row beyond the last": (lambda: with_rows('<row r="1048577"/>'), "found row 1048577 after row 0 on sheet Start"),
    "row far outside": (lambda: with_rows('<row r="99999999999"/>'), "found a row '99999999999' on sheet Start"),
    "row before the first": (lambda: with_rows('<row r="0"/>'), "found row 0 after row 0 on sheet Start"),
    "row below zero": (lambda: with_rows('<row r="-5"/>'), "found a row '-5' on sheet Start"),
    "row in other digits": (lambda: with_rows('<row r="٣"/>'), "found a row '٣' on sheet Start"),
    "row with a fraction": (lambda: with_rows('<row r="1.5"/>'), "found a row '1.5' on sheet Start"),
    "row again": (lambda: with_rows('<row r="5"/><row r="5"/>'), "found row 5 after row 5 on sheet Start"),
    "row in a row": (lambda: with_rows('<row r="5"><row r="4"/></row>'), "found row 4 after row 5 on sheet Start"),
    "column beyond the last": (lambda: with_rows('<row r="1"><c r="XFE1"/></row>'), "found a cell 'XFE1' in row 1"),
    "column far outside": (lambda: with_rows('<row r="1"><c r="AAAAAAA1"/></row>'), "found a cell 'AAAAAAA1' in row 1"),
    "cell of another row": (lambda: with_rows('<row r="1"><c r="A2"/></row>'), "found a cell 'A2' in row 1"),
    "cell again": (lambda: with_rows('<row r="1"><c r="B1"/><c r="B1"/></row>'), "found a cell 'B1' in row 1"),
    "cell without a row": (lambda: with_rows('<c r="B1"/>'), "found a cell 'B1' in row 0"),
    "cell of many letters": (lambda: with_rows(f'<row r="1"><c r="{"A" * 5000}1"/></row>'), "found a cell 'AAAAA"),
    "filled cell far right": (
        lambda: with_rows('<row r="1"><c r="XFD1"><v>1</v></c></row>'), "found a filled cell in row 1, column 16,384"
    ),
    "filled cell far below": (
        lambda: with_rows('<row r="1048576"><c r="A1048576"><v>1</v></c></row>'),
        "found a filled cell in row 1,048,576, column 1",
    ),
    "filled cells far apart": (
        lambda: with_rows(
            '<row r="1"><c r="ALL1"><v>1</v></c></row><row r="90000"><c r="A90000"><f>1</f></c></row>'
        ),
        "found a filled cell in row 90,000, column 1,000 on sheet Start",
    ),
    "ten thousand columns": (lambda: with_rows(row_of(1, 10_000)), "found a filled cell in row 1, column 1,001"),
    "extent beyond the sheet": (
        lambda: with_rows("", before='<dimension ref="A1:XFE1048577"/>'), "found the extent 'A1:XFE1048577' on"
    ),
    "extent far outside": (
        lambda: with_rows("", before='<dimension ref="A1:ZZZZZZ999999999"/>'), "found the extent 'A1:ZZZZZZ999999999'"
    ),
    "extent that is none": (lambda: with_rows("", before='<dimension ref="all"/>'), "found the extent 'all'"),
    "columns far outside": (
        lambda: with_rows("", before='<cols><col min="1" max="2000000000"/></cols>'), "found the column '2000000000'"
    ),
    "shared formula over the sheet": (
        lambda: with_rows('<row r="1"><c r="A1"><f t="shared" si="0" ref="A1:XFD1048576">B1</f></c></row>'),
        "found a formula over 17,179,869,184 cells, 'A1:XFD1048576' on sheet Start, must be at most 200,000",
    ),
    "shared formula over no cells": (
        lambda: with_rows('<row r="1"><c r="A1"><f t="shared" si="0" ref="A0:B">B1</f></c></row>'),
        "found a formula over 'A0:B' on sheet Start",
    ),
    "array formula over the sheet": (
        lambda: with_rows('<row r="1"><c r="A1"><f t="array" ref="A1:XFD99999">ROW()</f></c></row>'),
        "found a formula over 1,638,",
    ),
    "table of operations over the sheet": (
        lambda: with_rows('<row r="1"><c r="A1"><f t="dataTable" ref="B1:XFD1048576" r1="A1"/></c></row>'),
        "found a formula over 17,178,820,608 cells",
    ),
    "many array formulas": (
        lambda: with_rows(
            "".join(f'<row r="{n}"><c r="A{n}"><f t="array" ref="A{n}">{n}</f></c></row>' for n in range(1, 1500))
        ),
        "found over 1,000 formulas spread over cells on sheet Start",
    ),
    "cells merged over the sheet": (
        lambda: with_rows("", after='<mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>'),
        "found cells merged over 17,179,869,184 cells",
    ),
    "many merged cells": (
        lambda: with_rows(
            "", after="".join(f'<mergeCell ref="A{n}00:Z{n}99"/>' for n in range(1, 99))
        ),
        "found over 200,000 merged or linked cells",
    ),
    "a link over the sheet": (
        lambda: with_rows("", after='<hyperlinks><hyperlink ref="A1:XFD1048576" location="A1"/></hyperlinks>'),
        "found a link over 17,179,869,184 cells",
    ),
    "a long formula": (lambda: with_formula("1+" * 5000 + "1"), "found a formula of 10,001 characters on sheet Start"),
    "a cell of a megabyte": (
        lambda: with_rows(f'<row r="3"><c r="A3" t="str"><v>{CHANCE.randbytes(300_000).hex()}</v></c></row>'),
        "found over 400,000 bytes in a cell of row 3 on sheet Start",
    ),
    "a number that is none": (
        lambda: with_change(JOBS, "<v>1500</v>", "<v>1e999</v>"), "found the damaged sheet Jobs (a cell of kind 'n' with"
    ),
}  # fmt: skip


@pytest.mark.parametrize("kind", FAR)
def test_places_far_outside(tmp_path: Path, refused: Refused, kind: str) -> None:
    made, words = FAR[kind]

    assert words in refused(write_zip(tmp_path / "book.xlsx", made()))


def styled(rows: int) -> str:
    return "".join(
        f'<row r="{row}" s="{CHANCE.randrange(99)}" customFormat="1" ht="{CHANCE.randrange(99)}"/>'
        for row in range(1, rows + 1)
    )


MANY: dict[str, tuple[Callable[[], Parts], str]] = {
    "many rows with a style": (lambda: with_rows(styled(700_000)), "found over 100,000 rows on sheet Start"),
    "many rows of jobs": (lambda: with_rows(styled(300_000), part=JOBS), "found over 100,000 rows on sheet Jobs"),
    "a million cells with a style": (
        lambda: with_rows("".join(row_of(row, 5000, "", extra=f' ht="{CHANCE.randrange(99)}"') for row in range(1, 600))),
        "bytes when unpacked, must be at most 50,000,000 bytes for 20 rows of jobs",
    ),
    "a million cells with a style among the jobs": (
        lambda: with_rows(many_rows(3500, 800, ""), part=JOBS), "found more elements than its rows can have on sheet Jobs"
    ),
    "a million formulas": (
        lambda: with_rows(many_rows(2000, 200, "<f>%d</f>")), "found more elements than its rows can have on sheet Start"
    ),
    "a million formulas among the rules": (
        lambda: with_rows(many_rows(2000, 200, "<f>%d</f>"), part=RULES),
        "found more elements than its rows can have on sheet Local rules",
    ),
    "half a million values among the jobs": (
        lambda: with_rows(many_rows(3500, 150), part=JOBS), "no row of field names, must be there, with job_no in it"
    ),
}  # fmt: skip


@pytest.mark.parametrize("kind", MANY)
def test_more_than_there_can_be(tmp_path: Path, refused: Refused, kind: str) -> None:
    made, words = MANY[kind]

    assert words in refused(write_zip(tmp_path / "book.xlsx", made()))


def test_a_billion_formulas(tmp_path: Path, refused: Refused) -> None:
    """Every sheet of a built workbook swollen to hundreds of megabytes, each part within the ratio."""
    block = "".join(f"<c><f>{CHANCE.randrange(10**9)}*2</f></c>" for _ in range(3000)).encode()
    sheet = b"<worksheet><sheetData><row>" + block * 1000 + b"</row></sheetData></worksheet>"
    parts = built_book()
    parts |= {part: sheet for part in ("xl/worksheets/sheet7.xml", "xl/worksheets/sheet8.xml")}

    assert " bytes when unpacked, must be at most " in refused(write_zip(tmp_path / "book.xlsx", parts))


def with_end_at(row: int) -> Parts:
    """The small workbook with its last row so far down."""
    end = f'<row r="{row}"><c r="B{row}" t="inlineStr"><is><t>end of rows</t></is></c></row>'
    parts = with_change(JOBS, "end of rows", "no end")
    parts[JOBS] = parts[JOBS].replace(b"</sheetData>", end.encode() + b"</sheetData>")
    return parts


def test_rows_that_are_only_claimed(tmp_path: Path, refused: Refused) -> None:
    """One cell far down makes a grid of that many rows."""
    path = write_zip(tmp_path / "book.xlsx", with_end_at(90_000))

    assert ", Jobs, job_no: found 89,990 rows, must be at most 12,000; carry the jobs into new" in refused(path)


def test_rows_without_their_formulas(tmp_path: Path, refused: Refused) -> None:
    """A grid that could be has its formulas missing by the million."""
    path = write_zip(tmp_path / "book.xlsx", with_end_at(MOST_JOBS))

    assert "book.xlsx: found 0 formulas, must be the " in refused(path)


def test_the_same_number_in_every_job(tmp_path: Path) -> None:
    """The faults are told up to a thousand, and the twins of each up to five."""
    row = small_book()[JOBS].split(b'<row r="10"')[1].split(b"</row>")[0].decode()
    rows = "".join(f'<row r="{n}"{row.replace("10" + chr(34), str(n) + chr(34))}</row>' for n in range(10, 3000))
    parts = small_book()
    head, rest = parts[JOBS].split(b'<row r="10"')
    parts[JOBS] = head + rows.encode() + b"</sheetData></worksheet>"
    from workbook_builder.reader.book_jobs import read_book

    faults = read_book(write_zip(tmp_path / "book.xlsx", parts)).faults

    assert len(faults) < 1100
    assert any("as in row 11, 12, 13, 14, 15, ..., must be" in str(fault) for fault in faults)
    assert any("found over 1,000 faults, must be none; mend these first" in str(fault) for fault in faults)


def test_every_formula_changed_is_listed_up_to_a_limit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from workbook_builder.harness import judge as module

    monkeypatch.setattr(module, "MOST_FINDINGS", 50)
    parts = built_book()
    part = "xl/worksheets/sheet7.xml"
    parts[part] = parts[part].replace(b"<f>", b"<f>1+")

    report = verify(write_zip(tmp_path / "book.xlsx", parts), engines=[])

    assert len(report.formula_faults) == 50
