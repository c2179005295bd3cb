"""The pages of one job show, recalculated, what the writer kept in them, and their lists hold every line."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from workbook_builder.cli import run
from workbook_builder.code_tables.load import load
from workbook_builder.harness.engines import ENGINES, available, recalculate
from workbook_builder.sheets import estimate_page, job_sheet_page, portfolio_page, quotation_page
from workbook_builder.sheets.compile import compile_book
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.order import SHEETS

PAGES = (
    job_sheet_page.JOB_SHEET, estimate_page.ESTIMATE, quotation_page.QUOTATION, portfolio_page.PORTFOLIO,
)  # fmt: skip
FAST = [engine for engine in ENGINES if engine != "formulas"]


@pytest.fixture(scope="module")
def sample_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The workbook of the sample jobs."""
    path = tmp_path_factory.mktemp("pages") / "book.xlsx"
    assert run(["build", "--out", str(path), "--rows", "25", "--circuit-rows", "60"]) == 0
    return path


def _marked(engine: str):
    marks = [getattr(pytest.mark, engine)] if engine in ("libreoffice", "gnumeric") else []
    return pytest.param(engine, marks=marks)


@pytest.mark.parametrize("engine", [_marked(engine) for engine in FAST])
def test_pages_recalculated_are_what_was_kept(engine: str, sample_book: Path) -> None:
    if not available(engine):
        pytest.skip(f"{engine} is not installed")
    grids = recalculate(sample_book, engine=engine, sheets=list(PAGES))
    kept = openpyxl.load_workbook(sample_book, data_only=True)
    formulas = openpyxl.load_workbook(sample_book)
    differences = []
    for page in PAGES:
        for cells in formulas[page].iter_rows():
            for cell in cells:
                if not str(cell.value).startswith("="):
                    continue
                grid = grids[page]
                inside = cell.row <= len(grid) and cell.column <= len(grid[0])
                found = grid[cell.row - 1][cell.column - 1] if inside else None
                expected = kept[page][cell.coordinate].value
                if not _same(found, expected):
                    differences.append((page, cell.coordinate, found, expected))

    assert differences == []


def test_every_formula_of_a_page_stands_in_its_cell(sample_book: Path) -> None:
    """No word of the page was written over it."""
    layout = Layout(load(), rows=25, circuit_rows=60)
    sheets = compile_book(SHEETS, layout)
    formulas = openpyxl.load_workbook(sample_book)
    wanted = {
        job_sheet_page.JOB_SHEET: job_sheet_page.job_sheet_formulas(sheets, layout),
        estimate_page.ESTIMATE: estimate_page.estimate_formulas(sheets, layout),
        quotation_page.QUOTATION: quotation_page.quotation_formulas(sheets, layout),
        portfolio_page.PORTFOLIO: portfolio_page.portfolio_formulas(sheets, layout),
    }

    lost = [
        (page, cell) for page, cells in wanted.items() for cell in cells
        if not str(formulas[page][cell].value).startswith("=")
    ]  # fmt: skip

    assert lost == []
    assert all(len(cells) > 20 for cells in wanted.values())


def _same(found: object, expected: object) -> bool:
    if isinstance(found, (int, float)) and isinstance(expected, (int, float)):
        return abs(found - expected) <= 1e-9 * max(1.0, abs(expected))
    return (found or "") == (expected or "")


def test_the_amounts_of_the_estimate_add_up_to_its_material(sample_book: Path) -> None:
    """The sum of the printed lines is the material of the price to the cent."""
    page = openpyxl.load_workbook(sample_book, data_only=True)[estimate_page.ESTIMATE]
    rows = range(estimate_page.FIRST, estimate_page.FIRST + estimate_page.LIST_ROWS)
    printed = [(page[f"E{row}"].value, page[f"F{row}"].value) for row in rows]

    assert round(sum(value for value, kind in printed if kind == "USD"), 2) == page["D11"].value
    assert sum(value for value, kind in printed if kind == "h") == pytest.approx(page["E24"].value, abs=1e-5)
