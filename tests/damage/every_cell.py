"""Every value that was built into the sheets of tables and rules, changed at once; what verify names of it."""

from __future__ import annotations

import re
import tempfile
from functools import cache
from pathlib import Path

from workbook_builder.harness.engines.cells import position
from workbook_builder.harness.judge import judge
from workbook_builder.harness.verify import look
from workbook_builder.sheets.layout import LOCAL_RULES, PARAMETER_COLUMNS, TABLE_SHEETS, Layout, letter

from .workbook import Workbook, built

Cell = tuple[str, int, int]
_CELL = re.compile(r'<c r="([A-Z]+[0-9]+)"( s="[0-9]+")?([^>]*?)(?:/>|>(.*?)</c>)', re.DOTALL)


def cells_to_change() -> set[Cell]:
    """Names of columns, values, blanks and statuses of every code table; published values of every parameter."""
    layout = built().layout
    published = [at for at, name in enumerate(PARAMETER_COLUMNS, start=1) if name.startswith("published_")]
    rules = {(LOCAL_RULES, row, at) for row in layout.parameter_rows.values() for at in published}
    return rules | {(sheet, *place) for sheet in TABLE_SHEETS for place in built().table_cells[sheet]}


def all_changed(book: Workbook, cells: set[Cell]) -> None:
    """A number becomes the next one, a text gets a word more, a blank becomes a number."""
    for sheet in {one[0] for one in cells}:
        own = {(row, column) for title, row, column in cells if title == sheet}
        seen = set()

        def anew(
            hit: re.Match[str], own: set[tuple[int, int]] = own, seen: set[tuple[int, int]] = seen
        ) -> str:
            place = position(hit[1])
            if place not in own:
                return hit[0]
            seen.add(place)
            style = hit[2] or ""
            if 't="' in hit[3]:
                return f'<c r="{hit[1]}"{style} t="inlineStr"><is><t>not as built</t></is></c>'
            number = re.search(r"<v>([^<]*)</v>", hit[4] or "")
            return f'<c r="{hit[1]}"{style}><v>{float(number[1]) + 1 if number else 7}</v></c>'

        book[sheet] = _CELL.sub(anew, book[sheet])
        for row, column in sorted(own - seen):
            book.put(sheet, f"{letter(column)}{row}", 7)


@cache
def named_by_verify() -> tuple[set[Cell], Layout]:
    """The cells that verify names when every one of them is changed in one file, and the layout of that file."""
    book = Workbook()
    all_changed(book, cells_to_change())
    with tempfile.TemporaryDirectory() as folder:
        looked = look(book.save(Path(folder) / "changed.xlsx"))
    found = judge(looked.cells, looked.built, looked.places)
    return {cell for one in found.faults for cell in _cells(one.sheet, one.cell)}, built().layout


def _cells(sheet: str, cells: str) -> set[Cell]:
    """The cells of a finding, one or a run of them."""
    first, _, last = cells.partition(":")
    (top, left), (bottom, right) = position(first), position(last or first)
    return {(sheet, row, column) for row in range(top, bottom + 1) for column in range(left, right + 1)}
