"""Results that an engine did not compute are refused, and bad calls are named."""

from __future__ import annotations

import types

import pytest
import xlsxwriter

from workbook_builder.harness import engines
from workbook_builder.harness.engines import (
    CellError,
    EngineFailed,
    NotAWorkbook,
    available,
    libreoffice,
    recalculate,
    xml_grid,
)


@pytest.fixture
def book(tmp_path):
    """A workbook whose formulas hold false old results, and whose last sheet has none."""
    path = tmp_path / "book.xlsx"
    with xlsxwriter.Workbook(path) as workbook:
        cases = workbook.add_worksheet("Cases")
        cases.write_formula("A1", "=1+1", None, -1)
        cases.write_formula("A2", '="a"&"b"', None, "old")
        data = workbook.add_worksheet("Table data")
        data.write_formula("B6", '=IF(1=1, "", 5)', None, 99)
        data.write_formula("C6", "=3+4", None, 99)
        workbook.add_worksheet("Empty")
        workbook.define_name("canary", "='Table data'!$C$6")
    return path


def small_book(path, formulas, *, canary=None, title="Sheet"):
    """Write a workbook with formulas, {A1 name: formula}, all with old result 1."""
    with xlsxwriter.Workbook(path) as workbook:
        sheet = workbook.add_worksheet(title)
        for name, formula in formulas.items():
            sheet.write_formula(name, formula, None, 1)
        if canary:
            workbook.define_name("canary", canary)
    return path


@pytest.mark.libreoffice
def test_engine_told_not_to_recalculate_is_found_out(book, monkeypatch):
    """LibreOffice set to keep old results is refused as stale."""
    if available("libreoffice") is None:
        pytest.skip("the engine libreoffice is not installed")
    monkeypatch.setattr(libreoffice, "RECALCULATE_ALWAYS", "1")
    with pytest.raises(EngineFailed, match="stale: Cases!A1 "):
        recalculate(book, engine="libreoffice")


def pretend(monkeypatch, change=lambda grids: None):
    """Put in an engine that does not compute: it reads the copy, then `change`s it."""

    def compute(book, *, sizes, **_):
        grids = xml_grid.read_grids(book, sheets=sizes, sizes=sizes)
        change(grids)
        return grids

    fake = types.SimpleNamespace(NAME="pretender", REMEDY="", version=lambda: "1", compute=compute)
    monkeypatch.setitem(engines._MODULES, "pretender", fake)


def test_engine_that_returns_the_old_results_is_found_out(book, monkeypatch):
    """What lies in the file is never taken for a result."""
    pretend(monkeypatch)
    with pytest.raises(EngineFailed, match=r"pretender: .*book\.xlsx: stale: Cases!A1"):
        recalculate(book, engine="pretender")


def test_one_stale_cell_on_a_sheet_not_asked_for_is_found_out(book, monkeypatch):
    """Staleness is looked for in every formula cell of the workbook."""

    def all_but_one(grids):
        grids["Cases"] = [[1] for _ in grids["Cases"]]
        grids["Table data"][5][2] = 7

    pretend(monkeypatch, all_but_one)
    with pytest.raises(EngineFailed, match="stale: Table data!B6 "):
        recalculate(book, engine="pretender", sheets=["Empty"])


def test_lost_formula_is_found_out(tmp_path, monkeypatch):
    """A formula cell without any value is no result."""
    book = small_book(tmp_path / "b.xlsx", {"B2": "=1+1", "C2": "=1+2"})
    pretend(monkeypatch, lambda grids: grids.update(Sheet=[[None] * 3, [0, 2, None]]))
    with pytest.raises(EngineFailed, match="no result for the formula in Sheet!C2"):
        recalculate(book, engine="pretender")


def test_canary_that_is_no_formula_or_an_error_is_refused(tmp_path, monkeypatch):
    """The canary has to be a formula that gives a value."""
    book = small_book(tmp_path / "b.xlsx", {"A1": "=1/0"}, canary="=Sheet!$A$1")
    error = CellError("#DIV/0!")
    pretend(monkeypatch, lambda grids: grids.update(Sheet=[[error]]))
    with pytest.raises(EngineFailed, match="canary in Sheet!A1 did not come alive"):
        recalculate(book, engine="pretender")
    book = small_book(tmp_path / "c.xlsx", {"A1": "=1/0"}, canary="=Sheet!$B$1")
    with pytest.raises(EngineFailed, match="canary in Sheet!B1 is not a formula"):
        recalculate(book, engine="pretender")


def test_unknown_engine_and_sheet_are_refused_by_name(book, monkeypatch):
    """The message names what is unknown and what there is."""
    with pytest.raises(ValueError, match="no engine 'abacus'; there are formulas, "):
        recalculate(book, engine="abacus")
    pretend(monkeypatch)
    with pytest.raises(ValueError, match="no sheet 'Nope'; there are Cases, Table"):
        recalculate(book, engine="pretender", sheets=["Nope"])


def test_file_that_is_no_workbook_is_refused(tmp_path, monkeypatch):
    """A text file is not handed to an engine."""
    path = tmp_path / "notes.xlsx"
    path.write_text("not a zip")
    pretend(monkeypatch)
    with pytest.raises(NotAWorkbook, match=r"notes\.xlsx: not a readable"):
        recalculate(path, engine="pretender")
