"""A small workbook as it is built, taken apart so that a test can damage it in its XML."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable
from functools import cache
from html import unescape
from pathlib import Path
from tempfile import TemporaryDirectory
from xml.sax.saxutils import escape

import pandas as pd

from workbook_builder.code_tables.load import load
from workbook_builder.harness.built import Built, built_as
from workbook_builder.harness.engines.cells import position
from workbook_builder.sheets.layout import Layout, letter
from workbook_builder.sheets.model import FIRST_ROW

from ..books import write_book
from ..lean import without_idle_texts, without_rows

JOB = {
    "job_no": "A1", "house_age": "middle", "market": "medium", "service_a": 200.0,
    "main_spaces": 30.0, "main_spaces_used": 20.0, "floor_area_ft2": 2000.0, "move_1pole": 1.0,
}  # fmt: skip
CIRCUIT = {
    "job_no": "A1", "panel": "main", "position": 1.0, "poles": 1.0, "breaker_a": 20.0,
    "label": "Kitchen", "action": "keep",
}  # fmt: skip
ROWS, CIRCUIT_ROWS = 3, 2
"""Two jobs and a circuit, and a blank row under each."""
FIRST, SECOND, BLANK, END = FIRST_ROW, FIRST_ROW + 1, FIRST_ROW + 2, FIRST_ROW + ROWS
WORDS_ONLY = ("Provenance", "Rules")
_BOOK = "xl/workbook.xml"


@cache
def built() -> Built:
    return built_as(Layout(load(), rows=ROWS, circuit_rows=CIRCUIT_ROWS))


@cache
def _parts() -> dict[str, bytes]:
    fields = [field.name for field in load().circuit_fields]
    jobs = pd.DataFrame([JOB, JOB | {"job_no": "A2", "floor_area_ft2": 1500.0}], dtype=object)
    circuits = pd.DataFrame([dict.fromkeys(fields) | CIRCUIT], dtype=object)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "book.xlsx"
        write_book(path, jobs, rows=ROWS, circuits=circuits, circuit_rows=CIRCUIT_ROWS)
        with zipfile.ZipFile(path) as archive:
            parts = {name: archive.read(name) for name in archive.namelist()}
    return without_idle_texts(without_rows(parts, WORDS_ONLY))


class Workbook:
    """The parts of a workbook, and ways to change them as people, programs and accidents do."""

    def __init__(self) -> None:
        self.parts = dict(_parts())
        titles = re.findall(r'<sheet name="([^"]+)"', self.book)
        self.files = {title: f"xl/worksheets/sheet{n}.xml" for n, title in enumerate(titles, start=1)}

    @property
    def book(self) -> str:
        return self.parts[_BOOK].decode()

    @book.setter
    def book(self, text: str) -> None:
        self.parts[_BOOK] = text.encode()

    def __getitem__(self, title: str) -> str:
        return self.parts[self.files[title]].decode()

    def __setitem__(self, title: str, text: str) -> None:
        self.parts[self.files[title]] = text.encode()

    def swap_text(self, title: str | None, old: str, new: str, *, count: int = 1) -> None:
        """Put one text in place of another, in a sheet or, with None, in the part that lists the sheets."""
        text = self.book if title is None else self[title]
        assert old in text, old
        text = text.replace(old, new, count)
        if title is None:
            self.book = text
        else:
            self[title] = text

    def _cell(self, title: str, cell: str, change: Callable[[str, str], str]) -> None:
        """change gets the style and the content of the cell and returns it anew."""

        def anew(hit: re.Match[str]) -> str:
            return change(hit[1] or "", hit[2] or "")

        text, count = re.subn(
            rf'<c r="{cell}"( s="[0-9]+")?[^>]*?(?:/>|>(.*?)</c>)', anew, self[title], count=1, flags=re.DOTALL
        )
        if not count:
            text = self._with_new_cell(title, cell, change("", ""))
        self[title] = text

    def _with_new_cell(self, title: str, cell: str, written: str) -> str:
        """A cell at the end of its row, or in a new row at the end of the sheet."""
        row, text = position(cell)[0], self[title]
        found = re.search(rf'<row r="{row}"[^>]*?(?:/>|>(.*?)</row>)', text, flags=re.DOTALL)
        if found is None:
            return text.replace("</sheetData>", f'<row r="{row}">{written}</row></sheetData>')
        start = re.match(r"<row[^>]*?/?>", found[0])[0].rstrip("/>")
        cells = re.findall(r"<c [^>]*?/>|<c .*?</c>", found[1] or "", flags=re.DOTALL)
        at = position(cell)[1]
        before = [one for one in cells if position(re.search(r'r="([A-Z0-9]+)"', one)[1])[1] < at]
        row_text = "".join([start, ">", *before, written, *cells[len(before) :], "</row>"])
        return text[: found.start()] + row_text + text[found.end() :]

    def formula(self, title: str, cell: str) -> str:
        """The formula in a cell."""
        found = re.search(rf'<c r="{cell}"[^>]*><f>([^<]*)</f>', self[title])
        assert found, (title, cell)
        return unescape(found[1])

    def put_formula(self, title: str, cell: str, formula: str, value: str = "0") -> None:
        self._cell(title, cell, lambda style, _: f'<c r="{cell}"{style}><f>{escape(formula)}</f><v>{value}</v></c>')

    def change(self, title: str, cell: str, old: str, new: str) -> None:
        """One piece of a formula for another."""
        formula = self.formula(title, cell)
        assert old in formula, formula
        self.put_formula(title, cell, formula.replace(old, new, 1))

    def put(self, title: str, cell: str, value: object) -> None:
        """A number or text; None clears the cell; an error value as such, in a list of one."""

        def written(style: str, _: str) -> str:
            if value is None:
                return f'<c r="{cell}"{style}/>'
            if isinstance(value, list):
                return f'<c r="{cell}"{style} t="e"><v>{value[0]}</v></c>'
            if isinstance(value, bool):
                return f'<c r="{cell}"{style} t="b"><v>{int(value)}</v></c>'
            if isinstance(value, str):
                return f'<c r="{cell}"{style} t="inlineStr"><is><t>{escape(value)}</t></is></c>'
            return f'<c r="{cell}"{style}><v>{value}</v></c>'

        self._cell(title, cell, written)

    def content(self, title: str, cell: str) -> str:
        """The XML of a cell without its address and style."""
        found = re.search(rf'<c r="{cell}"(?: s="[0-9]+")?([^>]*?(?:/>|>.*?</c>))', self[title], flags=re.DOTALL)
        return found[1] if found else "/>"

    def put_content(self, title: str, cell: str, content: str) -> None:
        self._cell(title, cell, lambda style, _: f'<c r="{cell}"{style}{content}')

    def row(self, title: str, row: int) -> str:
        found = re.search(rf'<row r="{row}"[^>]*?(?:/>|>.*?</row>)', self[title], flags=re.DOTALL)
        assert found, (title, row)
        return found[0]

    def drop_row(self, title: str, row: int) -> None:
        """The row is gone and those below move up; no formula follows."""
        self[title] = self[title].replace(self.row(title, row), "", 1)
        self.move_rows(title, row + 1, -1)

    def move_rows(self, title: str, first: int, down: int) -> None:
        """Rows from first on stand further down, or up; no formula follows."""

        def moved(hit: re.Match[str]) -> str:
            number = int(hit[2])
            return f"{hit[1]}{number + down if number >= first else number}{hit[3]}"

        self[title] = re.sub(r'(<(?:row|c) r="[A-Z]*)([0-9]+)(")', moved, self[title])

    def swap_columns(self, title: str, one: int, other: int, rows: range) -> None:
        """What stands in two columns changes places; no formula follows."""
        for row in rows:
            cells = f"{letter(one)}{row}", f"{letter(other)}{row}"
            first, second = (self.content(title, cell) for cell in cells)
            self.put_content(title, cells[0], second)
            self.put_content(title, cells[1], first)

    def everywhere(self, old: str, new: str) -> None:
        """What a spreadsheet program does in all formulas when something moves."""
        for title in self.files:
            self[title] = self[title].replace(old, new)

    def save(self, path: Path) -> Path:
        with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as target:
            for name, data in self.parts.items():
                target.writestr(name, data)
        return path


@cache
def at(sheet: str, column: str) -> str:
    """Letters of a column of a sheet with marks."""
    return letter(built().marks(sheet)[column])


def here(sheet: str, column: str, row: int = FIRST) -> tuple[str, str]:
    """Sheet and cell of a column in a row."""
    return sheet, f"{at(sheet, column)}{row}"
