"""Command print: pages, their text, and what is refused before anything is written."""

from __future__ import annotations

import csv
import zipfile
from pathlib import Path

import openpyxl
import pytest

from tests import pdf
from workbook_builder.cli import BAD_INPUT, FINDINGS, FINE, run
from workbook_builder.data import shipped
from workbook_builder.harness.engines import EngineFailed, available, libreoffice, recalculate
from workbook_builder.harness.engines.faults import NotAWorkbook
from workbook_builder.harness.page_copies import copy_pages
from workbook_builder.harness.print_jobs import PAGES_EACH
from workbook_builder.reader.csv_jobs import read_jobs
from workbook_builder.reference.run import calculate

AMPERSAND = "R&D 4"
"""A job number with the sign that begins a code in a footer."""

needs_libreoffice = [
    pytest.mark.libreoffice,
    pytest.mark.skipif(
        not available("libreoffice") or not pdf.THERE, reason="LibreOffice or poppler-utils is missing"
    ),
]


@pytest.fixture(scope="module")
def jobs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three of the sample jobs, and one with a number of its own."""
    with open(shipped("samples", "jobs.csv"), newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["job_no"] in ("Q-102", "Q-105", "Q-113", "Q-116")]
    rows[-1]["job_no"] = AMPERSAND
    path = tmp_path_factory.mktemp("print") / "jobs.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return path


@pytest.fixture(scope="module")
def book(jobs: Path) -> Path:
    path = jobs.with_name("book.xlsx")
    assert run(["build", "--jobs", str(jobs), "--rows", "6", "--circuit-rows", "2", "--out", str(path)]) == FINE
    return path


@pytest.fixture(scope="module")
def unready(book: Path) -> Path:
    """The workbook as a person left it, saved by another program: the second job lost an entry."""
    path = book.with_name("unready.xlsx")
    typed = openpyxl.load_workbook(book)
    sheet = typed["Jobs"]
    names = {cell.value: cell.column for row in sheet.iter_rows(max_row=12) for cell in row if cell.value == "market"}
    row = next(cell.row for cell in sheet["B"] if cell.value == "Q-105")
    sheet.cell(row, names["market"]).value = None
    typed.save(path)
    return path


def _print(*arguments: object) -> int:
    return run(["print", *map(str, arguments)])


class TestWithLibreOffice:
    """What comes out on paper."""

    pytestmark = needs_libreoffice

    @pytest.mark.parametrize("page", PAGES_EACH)
    def test_each_job_has_its_pages_and_nothing_else_is_printed(
        self, page: str, book: Path, jobs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        out = tmp_path / "out.pdf"

        assert _print(book, "--page", page, "--out", out) == FINE
        results = calculate(read_jobs(jobs))
        texts = pdf.texts(out)
        each = PAGES_EACH[page]
        assert len(texts) == len(results) * each
        assert all(map(pdf.is_letter, pdf.sizes(out)))
        for place, (number, site, price) in enumerate(
            zip(results["job_no"], results["site"], results["price_likely_usd"], strict=True)
        ):
            own = texts[place * each : (place + 1) * each]
            assert number in own[0]
            assert site in own[0]
            assert (f"{price:,.2f}" if page == "Estimate" else f"{price:,.0f} USD") in "".join(own)
            for count, text in enumerate(own, start=1):
                footer = text.strip().splitlines()[-1]
                assert footer.startswith(f"{page}, {number} ")
                assert footer.endswith(f"page {count} of {each}")
        assert f"{page} of 4 jobs, {4 * each} pages" in capsys.readouterr().out

    def test_what_is_printed_was_calculated_now(self, book: Path, tmp_path: Path) -> None:
        """The bars of the chart are those of the job, not the ones kept in the file."""
        assert _print(book, "--jobs", "q-113", "--out", tmp_path / "out.pdf") == FINE
        first = pdf.texts(tmp_path / "out.pdf")[0]
        row = calculate(read_jobs(book.with_name("jobs.csv"))).set_index("job_no").loc["Q-113"]

        assert row["option_chosen"] == "larger service"
        for amperes in (row["existing_load_va"] / row["line_v"], row["total_load_a"], row["new_service_a"]):
            bars = first.partition("Load against the service")[2].partition("Ways to serve")[0]
            assert f"{amperes:.0f}" in bars.split()
        assert "-987654321" not in first

    def test_jobs_come_in_the_order_asked_for(self, book: Path, tmp_path: Path) -> None:
        out = tmp_path / "out.pdf"

        assert _print(book, "--page", "Quotation", "--jobs", AMPERSAND, "Q-102", AMPERSAND, "--out", out) == FINE
        assert ["R&D 4" in text for text in pdf.texts(out)] == [True, False]

    def test_a_job_that_is_not_ready_is_left_out_and_told(
        self, unready: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        out = tmp_path / "out.pdf"

        assert _print(unready, "--page", "Quotation", "--out", out) == FINDINGS
        said = capsys.readouterr().out
        assert "unready.xlsx, Q-105: not printed, missing: " in said
        assert "Quotation of 3 jobs, 3 pages" in said
        assert not any("Q-105" in text for text in pdf.texts(out))

    def test_a_workbook_saved_by_libreoffice_prints_too(self, book: Path, tmp_path: Path) -> None:
        lines: list[str] = []
        saved = libreoffice.convert(
            book, suffix="xlsx", export="xlsx:Calc MS Excel 2007 XML", file="book.xlsx",
            folder=tmp_path, timeout=300, stderr_lines=lines,
        )  # fmt: skip

        assert _print(saved, "--jobs", "Q-102", "Q-105", "--out", tmp_path / "out.pdf") == FINE
        texts = pdf.texts(tmp_path / "out.pdf")
        assert [text.strip().splitlines()[-1].split("  ")[0] for text in texts] == [
            "Job sheet, Q-102", "Job sheet, Q-102", "Job sheet, Q-105", "Job sheet, Q-105",
        ]  # fmt: skip


@pytest.fixture
def engine_there(monkeypatch: pytest.MonkeyPatch) -> None:
    """LibreOffice said to be there, and not to be started."""

    def no_start(*_: object, **__: object) -> Path:
        raise EngineFailed(engine="libreoffice", file="book.xlsx", reason="it wrote no file")

    monkeypatch.setattr(libreoffice, "version", lambda: "7.4")
    monkeypatch.setattr(libreoffice, "convert", no_start)


REFUSED = {
    "unknown job": (
        ["--jobs", "Q-102", "Q-999", "x"],
        "book.xlsx, Jobs, job_no: found no 'Q-999', 'x'; must be one of its job numbers: Q-102, Q-105, Q-113, R&D 4",
    ),
    "unknown page": (["--page", "Loads"], "--page: found 'Loads', must be one of: Job sheet, Estimate, Quotation"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_is_not_there_is_refused_in_one_line(
    case: str, book: Path, tmp_path: Path, engine_there: None, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments, words = REFUSED[case]

    assert _print(book, *arguments, "--out", tmp_path / "out.pdf") == BAD_INPUT
    error = capsys.readouterr().err
    assert words in error
    assert len(error.splitlines()) == 1
    assert list(tmp_path.iterdir()) == []


def test_another_ending_is_refused(book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert _print(book, "--out", tmp_path / "out.xlsx") == BAD_INPUT
    assert "must end in .pdf" in capsys.readouterr().err


def test_without_libreoffice_it_says_so(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(libreoffice, "program", lambda: None)

    assert _print(book, "--out", tmp_path / "out.pdf") == BAD_INPUT
    error = capsys.readouterr().err
    assert error == f"the engine libreoffice is not installed: {libreoffice.REMEDY}\n"


def test_a_file_that_is_not_safe_is_refused(
    book: Path, tmp_path: Path, engine_there: None, capsys: pytest.CaptureFixture[str]
) -> None:
    unsafe = tmp_path / "unsafe.xlsx"
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(unsafe, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.namelist():
            new.writestr(part, old.read(part))
        new.writestr("xl/vbaProject.bin", b"\0")

    assert _print(unsafe, "--out", tmp_path / "out.pdf") == BAD_INPUT
    assert "unsafe.xlsx" in capsys.readouterr().err
    assert not (tmp_path / "out.pdf").exists()


def test_no_ready_job_is_refused(
    unready: Path, tmp_path: Path, engine_there: None, capsys: pytest.CaptureFixture[str]
) -> None:
    assert _print(unready, "--jobs", "Q-105", "--out", tmp_path / "out.pdf") == BAD_INPUT
    assert "unready.xlsx: no job to print is ready; Q-105: missing: " in capsys.readouterr().err


def test_a_failure_leaves_the_old_pdf(book: Path, tmp_path: Path, engine_there: None) -> None:
    out = tmp_path / "out.pdf"
    out.write_bytes(b"old")

    assert _print(book, "--out", out) == FINDINGS
    assert out.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [out]


def test_copies_differ_from_the_page_in_their_pick_only(book: Path, tmp_path: Path) -> None:
    """Cells of a copy are those of the page, its drawing and chart its own, the print area with it."""
    target = tmp_path / "copies.xlsx"
    copy_pages(book, target, page="Job sheet", jobs=["Q-105", AMPERSAND], pages_each=2)
    copied, built = openpyxl.load_workbook(target), openpyxl.load_workbook(book)
    page = built["Job sheet"]

    assert copied.sheetnames == [*built.sheetnames, "Job sheet 1", "Job sheet 2"]
    assert [copied[name].sheet_state for name in built.sheetnames] == ["hidden"] * len(built.sheetnames)
    for title, number in (("Job sheet 1", "Q-105"), ("Job sheet 2", AMPERSAND)):
        sheet = copied[title]
        differing = {
            cell.coordinate: sheet[cell.coordinate].value
            for row in page.iter_rows()
            for cell in row
            if cell.value != sheet[cell.coordinate].value
        }
        assert differing == {"A5": number}
        assert sheet.sheet_state == "visible"
        assert sheet.print_area == page.print_area.replace("'Job sheet'", f"'{title}'")
        (chart,) = sheet._charts
        assert chart.series[0].val.numRef.f == f"'{title}'!$K$40:$K$42"
        assert chart.series[0].cat.strRef.f == f"'{title}'!$J$40:$J$42"
    assert not any(copied[name].print_area for name in built.sheetnames)


def test_a_page_without_print_area_or_pick_is_refused(book: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(book) as archive:
        parts = {part: archive.read(part) for part in archive.namelist()}
    for what, (old, new) in {
        "no print area": ("_xlnm.Print_Area", "_xlnm.Print_Are"),
        "no cell A5": ('<c r="A5"', '<c r="AA5"'),
    }.items():
        changed = tmp_path / "changed.xlsx"
        with zipfile.ZipFile(changed, "w", zipfile.ZIP_DEFLATED) as archive:
            for part, data in parts.items():
                archive.writestr(part, data.replace(old.encode(), new.encode()) if part.endswith("xml") else data)
        with pytest.raises(NotAWorkbook, match=what):
            copy_pages(changed, tmp_path / "copies.xlsx", page="Job sheet", jobs=["Q-105"], pages_each=2)


@pytest.mark.parametrize("engine", ["ironcalc"])
def test_each_copy_calculates_its_own_job(engine: str, book: Path, jobs: Path, tmp_path: Path) -> None:
    """Another engine finds in each copy the site of its job."""
    if not available(engine):
        pytest.skip(f"{engine} is not installed")
    copy_pages(book, tmp_path / "copies.xlsx", page="Quotation", jobs=["Q-113", "Q-105"], pages_each=1)
    grids = recalculate(tmp_path / "copies.xlsx", engine=engine, sheets=["Quotation 1", "Quotation 2"])
    sites = calculate(read_jobs(jobs)).set_index("job_no")["site"]

    assert [grid[5][0] for grid in grids.values()] == [sites["Q-113"], sites["Q-105"]]
