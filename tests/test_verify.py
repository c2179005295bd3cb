"""verify: the sample workbook is clean in every engine, and a changed one is not."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

import pandas as pd
import pytest

from workbook_builder.cli import run
from workbook_builder.code_tables.load import load
from workbook_builder.harness.compare import agree
from workbook_builder.harness.engines import CellError, available, recalculate
from workbook_builder.harness.engines.package import contents, open_archive
from workbook_builder.harness.verify import recalculated_frame, verify
from workbook_builder.sheets.compile import compile_book
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.model import FIRST_ROW
from workbook_builder.sheets.order import SHEETS

from .books import write_book


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sample") / "sample.xlsx"
    assert run(["build", "--out", str(path)]) == 0
    return path


@pytest.fixture(scope="module")
def short(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample jobs and circuits without blank rows below them."""
    path = tmp_path_factory.mktemp("short") / "short.xlsx"
    assert run(["build", "--rows", "19", "--circuit-rows", "45", "--out", str(path)]) == 0
    return path


def with_formula(book: Path, out: Path, sheet: str, column: str, formula: str) -> Path:
    """A copy of a workbook with another formula in the first row of one column."""
    layout = Layout(load(), rows=100)
    letters = {c.name: c.letter for s in compile_book(SHEETS, layout) if s.name == sheet for c in s.columns}
    return with_cell(book, out, sheet, f"{letters[column]}{FIRST_ROW}", formula)


def with_cell(book: Path, out: Path, sheet: str, cell: str, formula: str) -> Path:
    """A copy of a workbook with another formula in one cell, changed in the XML."""
    with open_archive(book) as archive:
        part = contents(archive).sheets[sheet]
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
            for name in archive.namelist():
                data = archive.read(name)
                if name == part:
                    text, count = re.subn(
                        rf'(<c r="{cell}"[^>]*><f>)[^<]*(</f>)', rf"\g<1>{formula}\g<2>", data.decode()
                    )
                    assert count == 1
                    data = text.encode()
                target.writestr(name, data)
    return out


@pytest.mark.parametrize(
    "engine",
    [
        "ironcalc",
        pytest.param("libreoffice", marks=pytest.mark.libreoffice),
        pytest.param("gnumeric", marks=pytest.mark.gnumeric),
    ],
)
def test_the_sample_workbook_equals_the_reference(sample: Path, engine: str) -> None:
    """Zero differences over every calculated column. `formulas`, which is slow, has the generated jobs."""
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")

    report = verify(sample, engines=[engine])

    assert report.engines[0].comparison.differences == ()
    assert report.engines[0].comparison.columns > len(load().rules)
    assert report.clean


def test_cached_values_are_the_results_of_the_reference(short: Path) -> None:
    """What a preview or pandas shows without recalculating is what an engine finds."""
    from workbook_builder.harness.engines.xml_grid import read_grids

    columns = {c.name: (s.name, n) for s in compile_book(SHEETS, Layout(load(), rows=100)) for n, c in enumerate(s.columns, 1)}
    grids = read_grids(short)
    found = recalculated_frame(short, engine="ironcalc")

    for name in ("total_load_a", "feeder_size", "raceway_fill_percent", "moved_state", "ev_set_point_a"):
        sheet, at = columns[name]
        for place in range(16):
            assert agree(grids[sheet][FIRST_ROW - 1 + place][at], found[name][place])


def test_a_changed_formula_is_located(short: Path, tmp_path: Path) -> None:
    changed = with_formula(short, tmp_path / "changed.xlsx", "Feeder", "feeder_load_a", "7")

    report = verify(changed, engines=["ironcalc"])

    assert [(one.sheet, one.column) for one in report.formula_faults] == [("Feeder", "feeder_load_a")]
    assert ("Feeder", "feeder_load_a") in {(one.sheet, one.column) for one in report.engines[0].comparison.differences}
    assert not report.clean


def test_a_formula_that_gives_an_error_is_a_difference(short: Path, tmp_path: Path) -> None:
    changed = with_formula(short, tmp_path / "changed.xlsx", "Raceway", "conductor_count", "1/0")

    report = verify(changed, engines=["ironcalc"])

    assert any(isinstance(one.found, CellError) for one in report.engines[0].comparison.differences)


def test_results_typed_over_are_missing_formulas(short: Path, tmp_path: Path) -> None:
    """A value in place of a formula is found even where it is the right value."""
    out = tmp_path / "changed.xlsx"
    with open_archive(short) as archive, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        part = contents(archive).sheets["Loads"]
        for name in archive.namelist():
            data = archive.read(name)
            if name == part:
                text, count = re.subn(r'(<c r="D10"[^>]*>)<f>[^<]*</f>', r"\1", data.decode())
                assert count == 1
                data = text.encode()
            target.writestr(name, data)

    report = verify(out, engines=["ironcalc"])

    assert [(one.kind, one.sheet, one.cell) for one in report.formula_faults] == [("overwritten", "Loads", "D10")]


FAULTS = [
    ("floor_area_ft2", "two thousand", "error: floor_area_ft2 must be a number from 100 to 20000 ft2"),
    ("floor_area_ft2", "2,5", "error: floor_area_ft2 must be a number from 100 to 20000 ft2"),
    ("floor_area_ft2", 99, "error: floor_area_ft2 must be a number from 100 to 20000 ft2"),
    ("wiring", "gold", "error: wiring must be one of PVC 40, PVC 80, EMT"),
    ("move_1pole", 1.5, "error: move_1pole must be a whole number from 0 to 40"),
    ("main_spaces_used", 31, "error: main_spaces_used must be at most main_spaces"),
    ("material", "aluminum", "error: material must be copper where wiring is NM-B cable"),
    ("market", None, "missing: market"),
    ("job_no", "F7", "error: job_no must be different in every row"),
]


@pytest.mark.parametrize(
    "engine",
    [
        "ironcalc",
        pytest.param("libreoffice", marks=pytest.mark.libreoffice),
        pytest.param("gnumeric", marks=pytest.mark.gnumeric),
    ],
)
def test_a_fault_typed_into_jobs_shows_in_words_and_blanks_its_row(engine: str, tmp_path: Path) -> None:
    """Each kind of fault in a row of its own; good rows stand between and stay right."""
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")
    good = {"house_age": "middle", "market": "medium", "service_a": 200, "main_spaces": 30, "main_spaces_used": 20, "floor_area_ft2": 2000}
    rows = []
    for place, (field, value, _) in enumerate(FAULTS):
        wiring = {"wiring": "NM-B cable"} if field == "material" else {}
        rows.append({**good, **wiring, "job_no": f"F{place}", field: value})
        rows.append({**good, "job_no": f"G{place}"})
    write_book(tmp_path / "book.xlsx", pd.DataFrame(rows, dtype=object))

    grid = recalculate(tmp_path / "book.xlsx", engine=engine, sheets=["Jobs", "Loads"])
    loads = Layout(load(), rows=len(rows) + 2)
    at = next(n for s in compile_book(SHEETS, loads) if s.name == "Loads" for n, c in enumerate(s.columns, 1) if c.name == "total_load_a")
    for place, (_, _, words) in enumerate(FAULTS):
        bad, fine = FIRST_ROW - 1 + 2 * place, FIRST_ROW + 2 * place
        duplicated = grid["Jobs"][bad][1] == "F7"
        assert grid["Jobs"][bad][0].startswith("error: job_no" if duplicated else words)
        assert grid["Loads"][bad][at] in (None, "")
        assert grid["Jobs"][fine][0] == "ready"
        assert grid["Loads"][fine][at] > 0
