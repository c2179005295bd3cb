"""Directory: every engine finds the circuits of the panel that is picked, and says what it does not show."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import openpyxl
import pandas as pd
import pytest

from tests.sheets.toy_circuits import TOY_SHEETS
from workbook_builder.code_tables.load import load
from workbook_builder.harness.compare import agree
from workbook_builder.harness.engines import available, recalculate
from workbook_builder.harness.engines.xml_grid import read_grids
from workbook_builder.sheets.compile import LONGEST, compile_book
from workbook_builder.sheets.directory import LAST_ROW, TOP_ROW, directory_formulas
from workbook_builder.sheets.formula import FUNCTIONS
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.model import CompiledSheet
from workbook_builder.writer import directory_sheet
from workbook_builder.writer.workbook import write_workbook

from .toy_book import BUILT_ON, toy_jobs

ENGINES = [
    "formulas",
    "ironcalc",
    pytest.param("libreoffice", marks=pytest.mark.libreoffice),
    pytest.param("gnumeric", marks=pytest.mark.gnumeric),
]
ROWS, CIRCUIT_ROWS = 4, 8
FIELDS = [field.name for field in load().circuit_fields]


@dataclass(frozen=True)
class Case:
    """Job and panel picked, the circuits, and what the page must show by cell."""

    job: str
    panel: str
    circuits: list[dict[str, object]]
    shown: dict[str, object]


def _circuit(label: str, position: float | None, poles: float = 1.0, **changes: object) -> dict[str, object]:
    return {
        "job_no": "J-002", "panel": "main", "position": position, "poles": poles,
        "breaker_a": 20.0, "label": label, "action": "keep", **changes,
    }  # fmt: skip


LIST = [
    _circuit("Kitchen", 1.0),
    _circuit("Range", 2.0, 2.0, breaker_a=50.0),
    _circuit("Old heater", 5.0, action="remove"),
    _circuit("Den", 3.0, panel="added", action="move"),
    _circuit("Other house", 7.0, job_no="J-001"),
    _circuit("Last", 41.0, job_no="j-002"),
]
CASES = {
    "main panel": Case("J-002", "main", LIST, {
        "A5": "J-002", "A6": "=not a formula", "H6": "OK", "J4": 2,
        "A10": "Kitchen", "B10": 20, "C10": "A", "H10": "Range", "G10": 50, "F10": "A",
        "H11": "Range (second pole)", "G11": 50, "F11": "B", "A11": "", "B11": "", "C11": "",
        "A12": "", "A13": "", "A30": "Last", "C30": "A", "H30": "",
    }),
    "added panel": Case("J-002", "added", LIST, {"A11": "Den", "C11": "B", "A10": "", "H10": "", "H6": "OK"}),
    "case of letters": Case("j-001", "main", LIST, {"A13": "Other house", "A10": "", "J4": 1}),
    "no such job": Case("J-009", "main", LIST, {"H6": "STOP: no such job is ready", "A10": "", "A6": "", "J4": 0}),
    "nothing picked": Case("", "main", LIST, {"H6": "", "A10": "", "J4": 0}),
    "twice in one space": Case("J-002", "main", [*LIST, _circuit("Again", 1.0)], {
        "H6": "STOP: a space is taken twice or beyond the panel", "J5": 2, "A10": "Kitchen",
    }),
    "without a space": Case("J-002", "main", [*LIST, _circuit("Lost", None)], {
        "H6": "CHECK: circuits without a space: 1", "J6": 1,
    }),
    "beyond the page": Case("J-002", "main", [*LIST, _circuit("Far", 43.0)], {
        "H6": "CHECK: circuits in later spaces: 1", "J7": 1,
    }),
}  # fmt: skip


def _frame(circuits: list[dict[str, object]]) -> pd.DataFrame:
    return pd.DataFrame([{**dict.fromkeys(FIELDS), **one} for one in circuits], dtype=object)


def _book(
    path: Path,
    circuits: pd.DataFrame,
    *,
    results: pd.DataFrame | None = None,
    circuit_results: pd.DataFrame | None = None,
) -> tuple[tuple[CompiledSheet, ...], Layout]:
    layout = Layout(load(), rows=ROWS, circuit_rows=CIRCUIT_ROWS)
    sheets = compile_book(TOY_SHEETS, layout, complete=False)
    write_workbook(
        path, layout=layout, sheets=sheets, jobs=toy_jobs(3), results=results, circuits=circuits,
        circuit_results=circuit_results, built_on=BUILT_ON,
    )  # fmt: skip
    return sheets, layout


def _at(grid: list[list[object]], cell: str) -> object:
    value = grid[int(cell[1:]) - 1][ord(cell[0]) - 65]
    return "" if value is None else value


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("name", CASES)
def test_the_page_shows_the_panel_that_is_picked(
    name: str, engine: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")
    if engine == "formulas" and name != "main panel":
        pytest.skip("slow, and its formulas are the same in every case")
    case = CASES[name]
    monkeypatch.setattr(directory_sheet, "first_pick", lambda _: (case.job, case.panel))
    _book(tmp_path / "book.xlsx", _frame(case.circuits))

    grid = recalculate(tmp_path / "book.xlsx", engine=engine)["Directory"]

    assert {cell: _at(grid, cell) for cell in case.shown} == case.shown


@pytest.mark.parametrize("name", ["main panel", "twice in one space", "without a space", "beyond the page"])
def test_last_results_are_what_an_engine_finds(name: str, tmp_path: Path) -> None:
    """The first job with circuits is picked; previews show its directory."""
    circuits = _frame([one for one in CASES[name].circuits if one["job_no"] != "J-001"])
    sheets, layout = _book(tmp_path / "bare.xlsx", circuits)
    found = recalculate(tmp_path / "bare.xlsx", engine="ironcalc")
    frames = {}
    for grid, count in (("jobs", 3), ("circuits", len(circuits))):
        frames[grid] = pd.DataFrame({
            column.name: [found[sheet.name][9 + place][at] for place in range(count)]
            for sheet in sheets if sheet.grid == grid
            for at, column in enumerate(sheet.columns, start=1)
        }, dtype=object)  # fmt: skip
    path = tmp_path / "book.xlsx"
    _book(path, circuits, results=frames["jobs"], circuit_results=frames["circuits"])

    cached, engine = read_grids(path)["Directory"], recalculate(path, engine="ironcalc")["Directory"]
    assert _at(cached, "A5") == "J-002"
    for cell in directory_formulas(sheets, layout):
        assert agree(_at(cached, cell), _at(engine, cell)), cell


def test_only_the_two_cells_to_pick_in_are_open(tmp_path: Path) -> None:
    _book(tmp_path / "book.xlsx", _frame(LIST))
    page = openpyxl.load_workbook(tmp_path / "book.xlsx")["Directory"]

    assert page.protection.sheet
    assert page.protection.password is None
    assert [c.coordinate for row in page.iter_rows() for c in row if not c.protection.locked] == ["A5", "H5"]
    assert {str(rule.sqref): rule.formula1 for rule in page.data_validations.dataValidation} == {
        "A5": "Jobs!$B$10:$B$13", "H5": "Lists!$A$4:$A$5",
    }  # fmt: skip


def test_the_page_has_42_spaces_on_one_letter_page(tmp_path: Path) -> None:
    _book(tmp_path / "book.xlsx", _frame(LIST))
    page = openpyxl.load_workbook(tmp_path / "book.xlsx")["Directory"]
    rows = range(TOP_ROW, LAST_ROW + 1)

    assert [page[f"D{row}"].value for row in rows] == list(range(1, 42, 2))
    assert [page[f"E{row}"].value for row in rows] == list(range(2, 43, 2))
    assert page.print_area == f"'Directory'!$A$1:$H${LAST_ROW}"
    assert (page.page_setup.fitToWidth or 1, page.page_setup.fitToHeight or 1) == (1, 1)
    assert page.sheet_properties.pageSetUpPr.fitToPage


def test_formulas_are_short_and_in_the_dialect() -> None:
    layout = Layout(load(), rows=500, circuit_rows=500)
    formulas = directory_formulas(compile_book(TOY_SHEETS, layout, complete=False), layout)

    assert len(formulas) == 42 * 4 + 6
    assert max(map(len, formulas.values())) < LONGEST
    assert {name for text in formulas.values() for name in re.findall(r"([A-Z]+)\(", text)} <= FUNCTIONS
