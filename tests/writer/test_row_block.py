"""Rows written from templates hold, cell by cell, what XlsxWriter itself writes for them."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pandas as pd
import pytest
from xlsxwriter.workbook import Workbook

from tests.benchmarks.recorded import recorded, replayed
from workbook_builder.code_tables.load import load
from workbook_builder.data import shipped
from workbook_builder.harness.book_values import book_values
from workbook_builder.reader.csv_jobs import read_circuits, read_jobs
from workbook_builder.reference.run import calculate_all
from workbook_builder.sheets.compile import compile_book
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.order import SHEETS
from workbook_builder.writer.package import put_together
from workbook_builder.writer import row_block
from workbook_builder.writer.row_block import CellColumn, FormulaColumn, LastResults, RowBlock
from workbook_builder.writer.sheet_class import ROWS_GO_HERE, PlainFormulaSheet
from workbook_builder.writer.values import BLANK_CELL, entry_cell, number_cell
from workbook_builder.writer.workbook import write_workbook

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
ODD = ('a <b> & "c"', "  led by blanks ", "tab\tline\nend", "\u00e9\u4e2d\U0001f50c", "_x0041_", "=1+1", "#N/A", "True")


def _given(results: bool = True) -> dict[str, object]:
    """The sample jobs, some of their texts and numbers made odd."""
    jobs = read_jobs(shipped("samples", "jobs.csv"))
    circuits = read_circuits(shipped("samples", "circuits.csv"), jobs=jobs)
    jobs["site"] = jobs["site"].astype(object)
    for row, text in enumerate(ODD):
        jobs.loc[jobs.index[row], "site"] = text
    jobs.loc[jobs.index[0], "run_ft"] = 1 / 3
    code = load()
    layout = Layout(code, rows=40, circuit_rows=60)
    sheets = compile_book(SHEETS, layout)
    given = {"layout": layout, "sheets": sheets, "jobs": jobs, "circuits": circuits, "built_on": "2026-01-02",
             "results": None, "circuit_results": None}  # fmt: skip
    if results:
        given["results"], given["circuit_results"] = calculate_all(jobs, circuits, books=code.books)
        given["book_results"] = book_values(code.books, sheets, layout)
    return given


def _sheets(file: io.BytesIO | Path) -> dict[str, bytes]:
    with zipfile.ZipFile(file) as archive:
        return {name: archive.read(name) for name in archive.namelist() if name.startswith("xl/worksheets/sheet")
                or name == "xl/sharedStrings.xml"}  # fmt: skip


def _rows(xml: bytes) -> Iterator[tuple[object, ...]]:
    """Attributes of each row, then place, style, type, formula and value of each cell.

    Where a formula's last result is the empty text XlsxWriter names no type; we say that it is text.
    """
    for row in ElementTree.fromstring(xml).iter(f"{_MAIN}row"):
        yield "row", *sorted(row.attrib.items())
        for cell in row:
            formula, value = cell.findtext(f"{_MAIN}f"), cell.findtext(f"{_MAIN}v")
            kind = cell.get("t")
            if formula is not None and value == "" and kind is None:
                kind = "str"
            yield cell.get("r"), cell.get("s"), kind, formula, value


@pytest.mark.parametrize("results", [True, False], ids=["with last results", "without"])
def test_every_cell_is_what_the_library_itself_writes(
    tmp_path: Path, results: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rows made in several goes, so that their ends are seen too."""
    monkeypatch.setattr(row_block, "_AT_ONCE", 16)
    given = _given(results)
    write_workbook(tmp_path / "own.xlsx", **given)
    stock = io.BytesIO()
    replayed(recorded(**given), stock)()
    own, stock_sheets = _sheets(tmp_path / "own.xlsx"), _sheets(stock)

    assert own.keys() == stock_sheets.keys()
    assert own.pop("xl/sharedStrings.xml") == stock_sheets.pop("xl/sharedStrings.xml")
    for name, xml in own.items():
        assert ROWS_GO_HERE.encode() not in xml
        cells = list(_rows(xml))
        assert cells == list(_rows(stock_sheets[name]))
        assert cells


def _one_sheet(block: RowBlock, *, apart: bool = False) -> str:
    """The XML of a sheet that has the block and no other cell."""
    sheet = PlainFormulaSheet()
    sheet.put_rows(block)
    sheet.apart = apart
    sheet._set_xml_writer(text := io.StringIO())
    sheet._write_sheet_data()
    return text.getvalue()


def _look() -> object:
    return Workbook(io.BytesIO(), {"in_memory": True}).add_format()


def _formulas(formula: str, values: pd.Series | None, *, rows: int, at: int = 0) -> FormulaColumn:
    escape = PlainFormulaSheet()._escape_data
    frame = None if values is None else pd.DataFrame({"x": values})
    return FormulaColumn(at, _look(), formula, LastResults(frame, "x", {}, escape))


def test_only_marked_row_numbers_follow_the_row() -> None:
    column = _formulas('IF($C$10<>C{row},"10 & <{row}>",$C{row}-A10)', None, rows=2)

    assert _one_sheet(RowBlock(9, 2, [column])) == (
        '<sheetData><row r="10" spans="1:1"><c r="A10" s="1"><f>IF($C$10&lt;&gt;C10,"10 &amp; &lt;10&gt;",$C10-A10)</f>'
        '<v>0</v></c></row><row r="11" spans="1:1"><c r="A11" s="1"><f>IF($C$10&lt;&gt;C11,"10 &amp; &lt;11&gt;",$C11-A10)'
        "</f><v>0</v></c></row></sheetData>"
    )


@pytest.mark.parametrize("value, kind, text", [
    (3.0, None, "3"), (0.1, None, "0.1"), (1e-7, None, "1e-07"), (-0.0, None, "0"), (True, None, "1"),
    (np.float64(2.5), None, "2.5"), (np.nan, "str", ""), (None, "str", ""), ("", "str", ""), (pd.NA, "str", ""),
    ("a<b&c", "str", "a<b&c"), ("#N/A", "e", "#N/A"), ("12", "str", "12"), (dt.date(2026, 1, 2), None, "46024.0"),
    ("a\x00b", "str", "a_x0000_b"), ("a\x01b{row}", "str", "a_x0001_b{row}"),
])  # fmt: skip
def test_last_results_of_every_kind(value: object, kind: str | None, text: str) -> None:
    xml = _one_sheet(RowBlock(0, 1, [_formulas("1", pd.Series([value], dtype=object), rows=1)]))
    cell = ElementTree.fromstring(xml).find("row/c")

    assert (cell.get("t"), cell.findtext("v")) == (kind, text)


def test_columns_of_floats_words_and_categories_give_the_same_results() -> None:
    floats = pd.Series([1.0, np.nan, 0.5, 1.0])
    as_objects = floats.astype(object)
    words = pd.Series(["1", None, "0.5", "1"], dtype=object)
    xml = [
        _one_sheet(RowBlock(0, 6, [_formulas("1", one, rows=6)]))
        for one in (floats, as_objects, words, words.astype("category"))
    ]

    assert xml[0] == xml[1]
    assert xml[2] == xml[3]
    assert xml[0].count('t="str"') == 1 + 2
    assert xml[2].count('t="str"') == 6


def test_rows_stand_between_other_rows_in_their_order() -> None:
    sheet = PlainFormulaSheet()
    look = _look()
    sheet.write_number(0, 0, 1)
    sheet.put_rows(RowBlock(2, 300, [CellColumn(1, look, [number_cell(one) for one in range(300)])]))
    sheet.write_number(303, 0, 2)
    sheet._set_xml_writer(text := io.StringIO())
    sheet._write_sheet_data()
    found = [int(row.get("r")) for row in ElementTree.fromstring(text.getvalue())]

    assert found == [1, *range(3, 303), 304]


def test_a_sheet_keeps_a_place_for_rows_that_come_later() -> None:
    xml = _one_sheet(RowBlock(0, 2, [CellColumn(0, _look(), [BLANK_CELL] * 2)]), apart=True)

    assert xml == f"<sheetData>{ROWS_GO_HERE}</sheetData>"


def test_rows_of_one_template_have_one_height() -> None:
    sheet = PlainFormulaSheet()
    sheet.put_rows(RowBlock(0, 2, [CellColumn(0, _look(), [BLANK_CELL] * 2)]))
    sheet.set_row(1, 30)
    sheet._set_xml_writer(io.StringIO())

    with pytest.raises(ValueError, match="rows 1 to 2 differ in height"):
        sheet._write_sheet_data()


@pytest.mark.parametrize("value, told", [
    (float("inf"), "row 12, run_ft: inf, a cell takes finite numbers"),
    ("x" * 32_768, "row 12, run_ft: 32768 characters, a cell takes 32767"),
])  # fmt: skip
def test_what_no_cell_holds_is_named(value: object, told: str) -> None:
    field = next(one for one in load().job_fields if one.name == "run_ft")

    with pytest.raises(ValueError, match=told):
        entry_cell(PlainFormulaSheet(), 12, field, value)


class _Pipe(io.RawIOBase):
    """Takes bytes in order and cannot go back."""

    def __init__(self) -> None:
        self.taken = io.BytesIO()

    def writable(self) -> bool:
        return True

    def write(self, data: bytes) -> int:
        return self.taken.write(data)


def test_a_pipe_gets_the_bytes_that_a_file_gets() -> None:
    book = Workbook(frame := io.BytesIO(), {"in_memory": True})
    sheet = book.add_worksheet("Jobs", worksheet_class=PlainFormulaSheet)
    sheet.put_rows(RowBlock(3, 5, [CellColumn(0, book.add_format(), [number_cell(one) for one in range(5)])]))
    sheet.apart = True
    book.close()
    told: list[str] = []
    put_together(frame, [sheet], file := io.BytesIO(), told.append)
    put_together(frame, [sheet], pipe := _Pipe())

    assert not pipe.seekable()
    assert pipe.taken.getvalue() == file.getvalue()
    assert [cell for cell in _rows(_sheets(file)["xl/worksheets/sheet1.xml"]) if cell[0] != "row"] == [
        (f"A{row}", "1", None, None, str(row - 4)) for row in range(4, 9)
    ]
    assert told == ["packing the file", "packing Jobs"]
