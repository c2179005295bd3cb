"""Cells are read as they stand in the file, however it is written."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest
import xlsxwriter

from workbook_builder.reader import safety, xml_check
from workbook_builder.reader.safety import open_safely
from workbook_builder.reader.sheet_cells import Cell, open_book, rows_of

from .files import changed_zip, refusal

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
SHEET = "xl/worksheets/sheet1.xml"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "book.xlsx"
    with xlsxwriter.Workbook(path) as written:
        written.add_worksheet("Jobs").write("B2", "words")
    return path


def cells(path: Path, rows: str | None = None) -> dict[int, dict[int, Cell]]:
    """The cells of sheet Jobs, its rows being replaced first where they are given."""
    if rows is not None:
        text = f'<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData></worksheet>'
        changed_zip(path, leave_out=SHEET, add={SHEET: text.encode()})
    with open_safely(path) as archive:
        return dict(rows_of(open_book(archive), "Jobs"))


def test_a_written_workbook_is_read(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Jobs")
        sheet.write("A1", 12.5)
        sheet.write("AB3", "  a  ")
        sheet.write_string("A3", "=1+1")
        sheet.write_boolean("B3", True)
        sheet.write_formula("C3", "=1+1", None, 2)
        sheet.write_formula("D3", '="x"', None, "x")
        sheet.write_formula("E3", "=1/0", None, "#DIV/0!")
        sheet.write_rich_string("F3", "one ", book.add_format({"bold": True}), "two")
        sheet.write_blank("G3", None, book.add_format({"bold": True}))

    assert cells(path) == {
        1: {1: Cell(12.5)},
        3: {
            1: Cell("=1+1"), 2: Cell(True), 3: Cell(2.0, formula=True), 4: Cell("x", formula=True),
            5: Cell("#DIV/0!", formula=True, is_error=True), 6: Cell("one two"), 28: Cell("  a  "),
        },
    }  # fmt: skip


@pytest.mark.parametrize(
    ("cell", "value"),
    [
        ('<c r="A1"><v>1E-3</v></c>', Cell(0.001)),
        ('<c r="A1" t="inlineStr"><is><t>a</t><rPh><t>x</t></rPh><r><t>b</t></r></is></c>', Cell("ab")),
        ('<c r="A1" t="str"><v>a_x000D_b_x005F_x000D_</v></c>', Cell("a\rb_x000D_")),
        ('<c r="A1" t="s"><v>0</v></c>', Cell("words")),
        ('<c r="A1" t="b"><v>0</v></c>', Cell(False)),
        ('<c r="A1" t="d"><v>2024-05-31</v></c>', Cell("2024-05-31")),
        ('<c r="A1"><f>1+1</f></c>', Cell(None, formula=True)),
        ("<c><v>5</v></c>", Cell(5.0)),
    ],
)
def test_every_way_to_write_a_cell_is_read(book: Path, cell: str, value: Cell) -> None:
    assert cells(book, f'<row r="1">{cell}</row>') == {1: {1: value}}


def test_rows_and_cells_without_a_place_follow_each_other(book: Path) -> None:
    rows = (
        "<row><c><v>1</v></c><c><v>2</v></c></row>"
        '<row r="5"><c r="C5"><v>3</v></c><c><v>4</v></c></row><row/>'
    )

    assert cells(book, rows) == {1: {1: Cell(1.0), 2: Cell(2.0)}, 5: {3: Cell(3.0), 4: Cell(4.0)}}


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ('<row r="1048577"/>', "row 1048577 after row 0 on sheet Jobs"),
        ('<row r="0"/>', "row 0 after row 0 on sheet Jobs"),
        ('<row r="2"/><row r="2"/>', "row 2 after row 2 on sheet Jobs"),
        ('<row r="1"><c r="XFE1"/></row>', "a cell 'XFE1' in row 1 on sheet Jobs"),
        ('<row r="1"><c r="A2"/></row>', "a cell 'A2' in row 1 on sheet Jobs"),
        ('<row r="1"><c r="B1"/><c r="A1"/></row>', "a cell 'A1' in row 1 on sheet Jobs"),
        ('<row r="1"><c r="1A"/></row>', "a cell '1A' in row 1 on sheet Jobs"),
        ('<row r="x"/>', "a row 'x' on sheet Jobs"),
        ('<row r="1"><c r="A1"><c r="B1"/></c></row>', "a cell in another, in row 1 on sheet Jobs"),
        ('<row r="1"><c><v>nan</v></c></row>', "the damaged sheet Jobs (a cell of kind 'n' with 'nan')"),
        ('<row r="1"><c><v>1e999</v></c></row>', "the damaged sheet Jobs (a cell of kind 'n' with '1e999')"),
        ('<row r="1"><c t="q"><v>1</v></c></row>', "the damaged sheet Jobs (a cell of kind 'q' with '1')"),
        ('<row r="1"><c t="s"><v>9</v></c></row>', "text number '9' of 1 in row 1, column 1 on sheet Jobs"),
        ('<row r="1"><c t="s"><v>-1</v></c></row>', "text number '-1' of 1 in row 1, column 1 on sheet Jobs"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused(book: Path, rows: str, words: str) -> None:
    assert refusal(cells, book, rows) == [
        f"book.xlsx: found {words}, must be a workbook saved as .xlsx; save it anew"
    ]


def test_a_sheet_that_is_no_xml_is_refused(book: Path) -> None:
    (line,) = refusal(cells, book, "<row")

    assert line.startswith("book.xlsx: found the damaged sheet Jobs (not well-formed")


def test_too_many_cells_are_refused(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(safety.ELEMENTS_OF_INPUTS, "Jobs", -xml_check.SPARE_ELEMENTS + 300)

    assert refusal(cells, book, '<row r="1">' + "<c><v>1</v></c>" * 150 + "</row>") == [
        "book.xlsx: found more elements than its rows can have on sheet Jobs, must be a workbook that was built "
        "here; do not open it; ask the sender for a new copy"
    ]


def test_a_sheet_people_type_in_is_limited(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("workbook_builder.reader.safety.LARGEST_INPUTS", 100)

    (line,) = refusal(cells, book)

    assert line.endswith(
        " bytes on sheet Jobs, must be at most 100 bytes there; do not open it; ask the sender for a new copy"
    )


def test_the_texts_of_all_sheets_are_limited(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """They stand in memory at once."""
    with monkeypatch.context() as change:
        change.setattr("workbook_builder.reader.safety.LARGEST_TEXTS", 100)
        (line,) = refusal(cells, book)
        assert " bytes in 'xl/sharedStrings.xml', must be at most 100 bytes there; " in line
    monkeypatch.setattr("workbook_builder.reader.sheet_check.MOST_TEXTS", 0)
    (line,) = refusal(cells, book)

    assert "found over 0 texts in 'xl/sharedStrings.xml', must be at most 0; " in line


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("_rels/.rels", "no part '_rels/.rels'"),
        ("[Content_Types].xml", "no part '[Content_Types].xml'"),
        ("xl/workbook.xml", "no part 'xl/workbook.xml', to which '_rels/.rels' leads"),
        ("xl/sharedStrings.xml", "no part 'xl/sharedStrings.xml', to which 'xl/_rels/workbook.xml.rels' leads"),
        (SHEET, f"no part '{SHEET}', to which 'xl/_rels/workbook.xml.rels' leads"),
    ],
)
def test_a_workbook_without_a_part_it_needs_is_refused(book: Path, part: str, words: str) -> None:
    changed_zip(book, leave_out=part)

    assert refusal(cells, book) == [
        f"book.xlsx: found {words}, must be a workbook saved as .xlsx; save it anew"
    ]


def test_a_zip_of_other_things_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("_rels/.rels", "<Relationships/>")
        archive.writestr("[Content_Types].xml", "<Types/>")

    assert refusal(cells, path) == [
        "book.xlsx: found no workbook in it, must be a workbook saved as .xlsx; save it anew"
    ]
