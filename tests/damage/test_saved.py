"""What other programs save is clean where it was, and damage is found in it all the same."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from workbook_builder.data import shipped
from workbook_builder.harness.engines import available
from workbook_builder.harness.verify import verify

from .formulas import COPY, COPY_TEXT, FIRST, SUM, SUM_TEXT
from .kind import said
from .workbook import Workbook, built, here


def by_openpyxl(book: Path, folder: Path) -> Path:
    out = folder / book.name
    openpyxl.load_workbook(book).save(out)
    return out


def by_libreoffice(book: Path, folder: Path) -> Path:
    if available("libreoffice") is None:
        pytest.skip("libreoffice is not installed")
    profile = (folder / "profile").as_uri()
    subprocess.run(
        ["soffice", f"-env:UserInstallation={profile}", "--headless", "--convert-to", "xlsx", "--outdir", folder, book],
        check=True, capture_output=True, timeout=300,
    )  # fmt: skip
    return folder / book.name


def by_gnumeric(book: Path, folder: Path) -> Path:
    if available("gnumeric") is None:
        pytest.skip("gnumeric is not installed")
    out = folder / book.name
    subprocess.run(["ssconvert", book, out], check=True, capture_output=True, timeout=300)
    return out


SAVERS = [
    by_openpyxl,
    pytest.param(by_libreoffice, marks=pytest.mark.libreoffice),
    pytest.param(by_gnumeric, marks=pytest.mark.gnumeric),
]
Saver = Callable[[Path, Path], Path]


@pytest.mark.parametrize("save", SAVERS)
def test_a_saved_book_is_clean(save: Saver, tmp_path: Path) -> None:
    """Formulas are the same in form, blank cells are blank, and the results are right."""
    (tmp_path / "saved").mkdir()
    saved = save(Workbook().save(tmp_path / "book.xlsx"), tmp_path / "saved")

    report = verify(saved, engines=["ironcalc"])

    assert said(report) == set()
    assert report.engines[0].comparison.differences == ()
    assert report.clean


@pytest.mark.parametrize("save", SAVERS[1:])
def test_the_sample_saved_by_another_program_is_clean(save: Saver, tmp_path: Path) -> None:
    (tmp_path / "saved").mkdir()
    book = Path(shutil.copy(shipped("samples", "panel-capacity.xlsx"), tmp_path))

    report = verify(save(book, tmp_path / "saved"), engines=["ironcalc"])

    assert report.failed == []
    assert report.engines[0].comparison.differences == ()
    assert (report.whole, report.input_faults, report.formula_faults) == ([], [], [])


@pytest.mark.parametrize("save", SAVERS)
def test_damage_is_found_in_what_another_program_saved(save: Saver, tmp_path: Path) -> None:
    """Gnumeric shows every sheet again."""
    table = built().layout.tables["cooking_demand"]
    area = here("Jobs", "floor_area_ft2", FIRST + 1)
    book = Workbook()
    book.put(*SUM, 4500)
    book.change(*COPY, ", 6)", ", 5)")
    book.put("Load tables", f"B{table.first_row}", 81)
    book.put(*area, 99)
    book.swap_text(None, '<sheet name="Feeder"', '<sheet name="Feeder" state="hidden"')
    (tmp_path / "saved").mkdir()

    report = verify(save(book.save(tmp_path / "book.xlsx"), tmp_path / "saved"), engines=[])

    hidden = {"whole: hidden Feeder"} if save is not by_gnumeric else set()
    assert said(report) == hidden | {
        f"entries: {area[0]}!{area[1]}, floor_area_ft2",
        f"formulas: overwritten {SUM_TEXT}",
        f"formulas: changed {COPY_TEXT}",
        f"formulas: value Load tables!B{table.first_row} cooking_demand.column_a",
    }
