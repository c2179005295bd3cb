"""The file as a whole: order, marks, safety, looks, bytes and how it comes onto the disk."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import zipfile
from pathlib import Path

import openpyxl
import pandas as pd
import pytest
from openpyxl.worksheet.worksheet import Worksheet as ReadSheet
from xlsxwriter.worksheet import Worksheet

from tests.engine_words import unexplained
from tests.ooxml.checks_looks import LEAST_CONTRAST, contrast
from workbook_builder import __version__
from workbook_builder.sheets.model import CompiledSheet
from workbook_builder.writer import workbook as writer
from workbook_builder.writer.styles import STYLES
from workbook_builder.writer.workbook import write_workbook

from .conftest import BOOK_RESULTS, OVERRIDES, REASONS, Written
from .toy_book import BUILT_ON

ORDER = (
    "Start", "Jobs", "Circuits", "Inputs", "Circuit check", "Spaces", "Loads", "Feeder", "Raceway",
    "Sources", "Solar", "Options", "Takeoff", "Line costs", "Labour", "Price", "Actuals", "Readings", "Checks",
    "Directory", "Job sheet", "Estimate", "Quotation", "Portfolio",
    "Price book", "Labour units", "Factors", "Market rates", "Settings", "Line prices",
    "Local rules", "Load tables", "Wire tables", "Raceway tables", "Lists", "Provenance", "Rules",
)  # fmt: skip
PAGES = ("Start", "Directory", "Job sheet", "Estimate", "Quotation")
"""Sheets that are no grid, in portrait."""


def _write(path: Path, written: Written, **changes: object) -> None:
    given = {
        "layout": written.layout, "sheets": written.sheets, "jobs": written.jobs, "results": written.results,
        "circuits": written.circuits, "circuit_results": written.circuit_results, "book_results": BOOK_RESULTS, "built_on": BUILT_ON, "overrides": OVERRIDES, "reasons": REASONS,
    }  # fmt: skip
    write_workbook(path, **(given | changes))


def _sheet(written: Written, name: str) -> CompiledSheet:
    return next(sheet for sheet in written.sheets if sheet.name == name)


def _formulas(written: Written) -> list[str]:
    return [
        cell.value
        for page in written.formulas
        for row in page.iter_rows()
        for cell in row
        if cell.data_type == "f"
    ]


def test_sheets_in_order_none_hidden_nothing_merged(written: Written) -> None:
    assert tuple(written.formulas.sheetnames) == ORDER == written.summary.sheets
    for page in written.formulas:
        assert page.sheet_state == "visible"
        assert not page.merged_cells.ranges
        assert not any(column.hidden for column in page.column_dimensions.values())
        assert not any(row.hidden for row in page.row_dimensions.values())


def test_no_macro_no_external_link_no_embedded_object(written: Written) -> None:
    with zipfile.ZipFile(written.path) as archive:
        parts = archive.namelist()
        relations = [archive.read(part).decode() for part in parts if part.endswith(".rels")]

    assert not [part for part in parts if re.search("vba|external|embed|activeX|media", part)]
    assert not [text for text in relations if 'TargetMode="External"' in text]


def test_summary_counts_the_formulas(written: Written) -> None:
    count = len(_formulas(written))

    assert written.summary.formulas == count
    assert str(written.summary) == f"{len(ORDER)} sheets, {count:,} formulas, 3 jobs in 5 rows, 2 circuits in 4"


def test_formulas_are_short_and_need_no_prefix(written: Written) -> None:
    """The fast sheet class leaves the search for new functions out, so none may be used."""
    library = Worksheet()
    library.use_future_functions = True
    for formula in _formulas(written):
        assert len(formula) <= 255, formula
        assert library._prepare_formula(formula, True) == formula.removeprefix("=")


def test_nothing_volatile(written: Written) -> None:
    pattern = re.compile(r"\b(OFFSET|INDIRECT|TODAY|NOW|RAND|HYPERLINK|CELL|INFO)\(")

    assert not [formula for formula in _formulas(written) if pattern.search(formula)]


def test_marks_in_cells(written: Written) -> None:
    names = {name: value.attr_text for name, value in written.formulas.defined_names.items()}
    page = written.formulas["Start"]

    assert set(names) == {"canary", "built_by"}
    assert page[names["built_by"].partition("!")[2].replace("$", "")].value == f"workbook_builder {__version__}"
    canary = names["canary"].partition("!")[2].replace("$", "")
    assert page[canary].value == '=COUNTIF(Inputs!$C$10:$C$14, "ready")'
    assert written.values["Start"][canary].value == 3


def test_start_leads_to_every_sheet_and_back(written: Written) -> None:
    targets = {link.location.partition("!")[0].strip("'") for link in _links(written.formulas["Start"])}

    assert targets == set(ORDER[1:])
    for name in ORDER[1:]:
        locations = [link.location for link in _links(written.formulas[name])]
        assert "Start!A1" in locations
        for location in locations:
            assert location.partition("!")[0].strip("'") in ORDER


def _links(page: ReadSheet) -> list:
    found = [cell.hyperlink for row in page.iter_rows() for cell in row if cell.hyperlink]
    assert all(link.target is None for link in found)
    return found


@pytest.mark.parametrize("name", STYLES)
def test_each_style_can_be_read(name: str) -> None:
    style = STYLES[name]

    assert contrast(style.color, style.fill or "#FFFFFF") >= LEAST_CONTRAST


def test_every_sheet_prints_on_letter_with_its_header(written: Written) -> None:
    for page in written.formulas:
        setup = page.page_setup
        assert int(setup.paperSize) == 1
        assert page.print_area
        assert page.title in PAGES or setup.orientation == "landscape"
        assert page.title in PAGES or page.print_title_rows
        assert "not a design approval" in page.oddFooter.center.text
    for name in (sheet.name for sheet in written.sheets):
        assert written.formulas[name].print_title_cols == "$B:$B"
        assert written.formulas[name].print_title_rows == "$3:$9"


def test_same_input_same_bytes(tmp_path: Path, written: Written) -> None:
    _write(tmp_path / "again.xlsx", written)

    assert (tmp_path / "again.xlsx").read_bytes() == written.path.read_bytes()


def test_without_results_the_last_results_are_zero(tmp_path: Path, written: Written) -> None:
    _write(tmp_path / "book.xlsx", written, results=None, circuit_results=None)
    page = openpyxl.load_workbook(tmp_path / "book.xlsx", data_only=True)["Loads"]

    assert {cell.value for row in page["D10:H14"] for cell in row} == {0}


@pytest.mark.parametrize("fault", [RuntimeError("no"), KeyboardInterrupt()])
def test_a_failure_leaves_the_old_file(
    tmp_path: Path, written: Written, monkeypatch: pytest.MonkeyPatch, fault: BaseException
) -> None:
    """Whether it fails while drawing or while moving into place."""
    path = tmp_path / "book.xlsx"
    path.write_bytes(b"old")

    def fail(*_: object) -> None:
        raise fault

    with monkeypatch.context() as change:
        change.setattr(os, "replace", fail)
        with pytest.raises(type(fault)):
            _write(path, written)
    with monkeypatch.context() as change:
        change.setitem(writer._WRITERS, "Rules", fail)
        with pytest.raises(type(fault)):
            _write(path, written)

    assert path.read_bytes() == b"old"
    assert [file.name for file in tmp_path.iterdir()] == ["book.xlsx"]


def test_what_does_not_fit_is_refused_all_at_once(tmp_path: Path, written: Written) -> None:
    jobs = pd.concat([written.jobs] * 2).assign(colour="red")

    with pytest.raises(ValueError) as caught:
        _write(tmp_path / "book.xlsx", written, jobs=jobs)

    assert str(caught.value).split("\n") == [
        "6 jobs, the workbook has 5 rows; build with more rows",
        "3 rows of results for 6 jobs",
        "no such input field of jobs: colour",
    ]


def test_circuits_that_do_not_fit_are_refused_too(tmp_path: Path, written: Written) -> None:
    circuits = pd.concat([written.circuits] * 3).assign(wall="drywall")
    sheets = [sheet for sheet in written.sheets if sheet.name != "Circuit check"]

    with pytest.raises(ValueError) as caught:
        _write(tmp_path / "book.xlsx", written, circuits=circuits, circuit_results=None, sheets=sheets)

    assert str(caught.value).split("\n") == [
        "6 circuits, the workbook has 4 rows; build with more rows",
        "no such input field of circuits: wall",
        "circuits: there is no sheet Circuit check to calculate them",
        "results of jobs and of circuits are given together or not at all",
    ]


def test_a_workbook_without_circuits_has_blank_rows_for_them(tmp_path: Path, written: Written) -> None:
    _write(tmp_path / "book.xlsx", written, circuits=None, circuit_results=None)
    book = openpyxl.load_workbook(tmp_path / "book.xlsx", data_only=True)

    assert {cell.value for row in book["Circuit check"]["B10:H13"] for cell in row} <= {None, ""}
    assert [book["Circuits"][f"A{row}"].value or "" for row in range(10, 14)] == [""] * 4
    assert (book["Directory"]["A5"].value, book["Directory"]["H5"].value) == (None, "main")


def test_without_sheets_of_circuits_there_is_no_list_of_them(tmp_path: Path, written: Written) -> None:
    sheets = [sheet for sheet in written.sheets if sheet.name != "Circuit check"]
    _write(tmp_path / "book.xlsx", written, sheets=sheets, circuits=None, circuit_results=None)

    assert openpyxl.load_workbook(tmp_path / "book.xlsx").sheetnames == [
        name
        for name in ORDER
        if name not in ("Circuits", "Circuit check", "Directory", "Job sheet", "Portfolio")
    ]


def test_without_quantities_there_are_no_books(tmp_path: Path, written: Written) -> None:
    sheets = [sheet for sheet in written.sheets if sheet.name not in ("Takeoff", "Labour")]
    _write(tmp_path / "book.xlsx", written, sheets=sheets)
    names = openpyxl.load_workbook(tmp_path / "book.xlsx").sheetnames

    assert not {"Price book", "Labour units", "Factors", "Market rates", "Settings", "Line prices"} & set(names)


def test_progress_names_each_sheet(tmp_path: Path, written: Written) -> None:
    seen: list[str] = []
    _write(tmp_path / "book.xlsx", written, progress=seen.append)

    grids = [name for name in ORDER if name in {"Jobs", "Circuits", *(sheet.name for sheet in written.sheets)}]
    packing = [f"packing {name}" for name in ("the file", *grids)]
    assert seen == [*(f"writing {name}" for name in ORDER), *packing]


@pytest.mark.libreoffice
@pytest.mark.skipif(not shutil.which("soffice"), reason="LibreOffice is not installed")
def test_opens_in_libreoffice(tmp_path: Path, written: Written) -> None:
    done = subprocess.run(
        ["soffice", f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}", "--headless",
         "--convert-to", "pdf", "--outdir", str(tmp_path), str(written.path)],
        capture_output=True, text=True, timeout=180, check=True, stdin=subprocess.DEVNULL,
    )  # fmt: skip

    assert unexplained("libreoffice", done.stderr.splitlines()) == []
    assert (tmp_path / "book.pdf").stat().st_size > 10_000


@pytest.mark.gnumeric
@pytest.mark.skipif(not shutil.which("ssconvert"), reason="Gnumeric is not installed")
def test_opens_in_gnumeric(tmp_path: Path, written: Written) -> None:
    done = subprocess.run(
        ["ssconvert", "--recalc", str(written.path), str(tmp_path / "out.xlsx")],
        capture_output=True, text=True, timeout=180, check=True, stdin=subprocess.DEVNULL,
    )  # fmt: skip


    assert unexplained("gnumeric", done.stderr.splitlines()) == []
