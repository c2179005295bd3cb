"""Every sheet of the workbook as it prints: letter paper, nothing empty, nothing cut, every sheet there."""

from __future__ import annotations

import re
import shutil
import struct
from dataclasses import replace
from pathlib import Path

import pytest

from tests import pdf, pictures
from tests.clipped import clipped, lines, looks_of, texts_of
from tests.font import Font, font_file
from tests.ooxml.package import Package
from workbook_builder.cli import FINE, run
from workbook_builder.harness.engines import available

pytestmark = pytest.mark.libreoffice

needs_printing = pytest.mark.skipif(
    not available("libreoffice") or not pdf.THERE, reason="LibreOffice or poppler-utils is missing"
)
needs_font = pytest.mark.skipif(not (font_file(False) and font_file(True)), reason="no font as wide as Arial")


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The workbook of the sample jobs."""
    path = tmp_path_factory.mktemp("paper") / "book.xlsx"
    assert run(["build", "--out", str(path)]) == FINE
    return path


@pytest.fixture(scope="module")
def printed(book: Path) -> Path:
    return pictures.print_book(book, book.parent)


def faults_of(texts: list[str]) -> list[str]:
    """Pages with nothing but their footer, and pages on which a number did not fit its column."""
    found = []
    for number, text in enumerate(texts, start=1):
        *above, footer = [line.strip() for line in text.splitlines() if line.strip()] or [""]
        if not above:
            found.append(f"page {number}: nothing but {footer!r}")
        found += [f"page {number}: {cut}" for cut in re.findall(r".*###.*", text)]
    return found


@needs_printing
def test_every_page_is_letter_paper_with_something_on_it(printed: Path) -> None:
    sizes = pdf.sizes(printed)

    assert len(sizes) > 100
    assert {size for size in sizes if not pdf.is_letter(size)} == set()
    assert faults_of(pdf.texts(printed)) == []


@needs_printing
def test_every_sheet_is_printed_in_its_order(book: Path, printed: Path) -> None:
    titles = pdf.titles_of(book)
    pages = pdf.pages_of(printed, titles)

    assert list(pages) == titles
    assert [number for numbers in pages.values() for number in numbers] == list(range(1, len(pdf.sizes(printed)) + 1))
    assert {title: pages[title] for title in ("Directory", "Quotation") if len(pages[title]) != 1} == {}
    assert len(pages["Job sheet"]) == 2


@needs_printing
@pytest.mark.skipif(not shutil.which("pdftoppm"), reason="pdftoppm is missing")
def test_pictures_are_named_by_sheet_and_page(printed: Path, book: Path, tmp_path: Path) -> None:
    """Long sheets in their first pages and the last; README's pictures are PNG files of a readable size."""
    titles = pdf.titles_of(book)
    counts = pictures.draw(printed, titles, tmp_path)

    assert sum(pages for pages, _ in counts.values()) == len(pdf.sizes(printed))
    for place, title in enumerate(titles, start=1):
        pages, drawn = counts[title]
        names = {path.name for path in tmp_path.glob(f"{place:02}-*")}
        numbers = {1, 2, 3, pages} if pages > 3 else set(range(1, pages + 1))
        assert names == {f"{place:02}-{title.replace(' ', '-')}-{number}.png" for number in numbers}
        assert drawn == len(numbers)
    for path in pictures.draw_for_readme(printed, titles, tmp_path):
        wide, high = struct.unpack(">II", path.read_bytes()[16:24])
        assert 600 < wide < 1300
        assert 300 < high < 1300


@needs_font
def test_no_text_of_the_workbook_is_cut(book: Path) -> None:
    """Titles, headers, rules, notes and listings: wrapped ones fit their rows, others their columns."""
    package, fonts = Package(book), {bold: Font(path) for bold in (False, True) if (path := font_file(bold))}
    looks, texts = looks_of(package), texts_of(package)
    every_row, cut = range(1, 2_000_000), []
    for title, root in package.sheets():
        cut += clipped(title, root, rows=every_row, looks=looks, texts=texts, fonts=fonts)

    assert cut == []


@needs_font
def test_a_text_that_is_cut_is_found(book: Path) -> None:
    """Larger letters are cut in header rows, wrapped or not."""
    package, fonts = Package(book), {bold: Font(path) for bold in (False, True) if (path := font_file(bold))}
    large = [replace(look, size=look.size * 1.6) for look in looks_of(package)]
    root = package.root(package.sheet_parts["Loads"])
    cut = list(clipped("Loads", root, rows=range(3, 10), looks=large, texts=texts_of(package), fonts=fonts))

    assert any(" lines of " in one for one in cut)
    assert any(" points in " in one for one in cut)


@needs_font
def test_widths_of_the_font_are_the_published_ones() -> None:
    """A is 667, m 833, blank 278 of 1000 in the metrics of Helvetica, which Arial follows; bold A 722."""
    font, bold = Font(font_file(False)), Font(font_file(True))

    assert [round(font.points(sign, 1000)) for sign in "Am "] == [667, 833, 278]
    assert round(bold.points("A", 1000)) == 722
    assert lines("Am Am Am", 33, 10, font) == 2
    assert lines("AAAAAA", 20, 10, font) == 3


def test_an_empty_page_and_a_number_that_does_not_fit_are_found() -> None:
    footer = "Jobs     An estimating aid      page 2 of 9\n"

    assert faults_of([f"Load\n 12 A\n\n{footer}"]) == []
    assert len(faults_of([f"\n\n{footer}", f"Load\n ### \n{footer}"])) == 2
