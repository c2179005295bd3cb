"""What a workbook held when it was built: every sheet, formula, value and name, for comparing with what came back."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

import pandas as pd

from ..code_tables.load import load
from ..reader.safety import parsed_part
from ..sheets.books import book_formulas
from ..sheets.compile import compile_book
from ..sheets.layout import (
    BOOK_COLUMNS,
    BOOK_SHEETS,
    LIST_HEADER_ROW,
    LISTS,
    LOCAL_RULES,
    PARAMETER_COLUMNS,
    SETTING_COLUMNS,
    SETTINGS,
    TABLE_SHEETS,
    Layout,
)
from ..sheets.model import FIRST_ROW, MARK_ROW, ROW_NUMBER, UNIT_ROW, CompiledSheet
from ..sheets.order import SHEETS
from ..writer.context import PROVENANCE, RULES, START
from ..writer.grid_header import RULE_LINK
from ..writer.grids import heading_of
from ..writer.workbook import write_workbook
from .engines.cells import position
from .file_cells import FileCells, Place, read_cells

WORDS_ONLY = (PROVENANCE, RULES)
"""Sheets that no formula reads; what stands on them is not compared."""
COMPUTED_ON_START = ("Built by", "Built on", "Last verification")
"""Labels on Start beside which stands what differs from build to build."""
_STYLES = "xl/styles.xml"
_VALUES_OF_RULES = ("name", "unit", "published_")


class BuiltFormula(NamedTuple):
    """A formula at the place where it was built; text has no equals sign, column is its name or empty."""

    row: int
    column: int
    text: str
    name: str = ""


@dataclass(frozen=True)
class Built:
    """A workbook as it was built with these rows; cells has every sheet but the grids and the books.

    unlocked: cells that are open for typing, of the lists only those in which
    something was written.
    """

    layout: Layout
    sheets: tuple[CompiledSheet, ...]
    cells: FileCells
    unlocked: Mapping[str, frozenset[Place]]

    @property
    def order(self) -> tuple[str, ...]:
        return tuple(self.cells.sheets)

    @cached_property
    def grids(self) -> dict[str, CompiledSheet]:
        return {sheet.name: sheet for sheet in self.sheets}

    @cached_property
    def entry_sheets(self) -> dict[str, str]:
        """The grid of each sheet that people type a list in."""
        return {place.sheet: grid for grid, place in self.layout.grids.items()}

    @cached_property
    def books(self) -> Mapping[str, Mapping[str, str]]:
        return book_formulas(self.sheets, self.layout)

    def is_protected(self, sheet: str) -> bool:
        """Whether a sheet was protected against slips of the hand."""
        return sheet in self.grids or sheet in BOOK_SHEETS.values() or self.cells.sheets[sheet].is_protected

    def marks(self, sheet: str) -> dict[str, int]:
        """The names in the row of marks of a sheet and their columns; none where it has no such row."""
        if sheet in self.grids:
            names = (ROW_NUMBER, *(column.name for column in self.grids[sheet].columns))
        elif sheet in self.entry_sheets:
            place = self.layout.grids[self.entry_sheets[sheet]]
            names = (place.state, *(field.name for field in place.fields))
        else:
            names = {
                LOCAL_RULES: PARAMETER_COLUMNS,
                SETTINGS: SETTING_COLUMNS,
                **dict.fromkeys(BOOK_SHEETS.values(), BOOK_COLUMNS),
            }.get(sheet, ())
        return {name: at for at, name in enumerate(names, start=1)}

    def formulas(self, sheet: str) -> Iterator[BuiltFormula]:
        """Every formula of a sheet, of a grid column by column."""
        if sheet in self.grids:
            last = self.layout.grids[self.grids[sheet].grid].last_row
            for at, column in enumerate(self.grids[sheet].columns, start=2):
                cell, name = column.cell, column.name
                for row in range(FIRST_ROW, last + 1):
                    yield BuiltFormula(row, at, cell.replace("{row}", str(row)), name)
        elif sheet in BOOK_SHEETS.values():
            names = {at: name for name, at in self.marks(sheet).items()}
            for cell, text in self.books[sheet].items():
                row, at = position(cell)
                yield BuiltFormula(row, at, text, names[at])
        else:
            names = {at: name for name, at in self.marks(sheet).items()}
            for (row, at), text in self.cells.sheets[sheet].formulas.items():
                yield BuiltFormula(row, at, text, names.get(at, "") if row > MARK_ROW else "")

    def values(self, sheet: str) -> dict[Place, object]:
        """What was written into cells that are nobody's to type in, marks left out."""
        if sheet in self.grids:
            compiled = self.grids[sheet]
            found: dict[Place, object] = {}
            for at, column in enumerate(compiled.columns, start=2):
                heading = heading_of(compiled, column, {column.name: at})
                rule = RULE_LINK if heading.more else heading.rule
                words = (heading.title, heading.unit, heading.role, rule, heading.section)
                found |= {(UNIT_ROW - 1 + down, at): word for down, word in enumerate(words) if word}
            rows = self.layout.rows_of(compiled.grid)
            return found | {(FIRST_ROW + place, 1): float(place + 1) for place in range(rows)}
        has_marks = bool(self.marks(sheet))
        return {
            place: value
            for place, value in self.cells.sheets[sheet].values.items()
            if place not in self.unlocked[sheet] and not (has_marks and place[0] == MARK_ROW)
        }

    def is_value(self, sheet: str, row: int, column: int, built: object) -> bool:
        """Whether what stands in a cell decides something, so that another is a fault; else it is only read."""
        if (sheet in self.grids or sheet in self.entry_sheets) and row < FIRST_ROW:
            return row == UNIT_ROW
        if sheet in TABLE_SHEETS:
            return (row, column) in self.table_cells[sheet]
        if sheet == LISTS:
            return row >= LIST_HEADER_ROW
        if sheet in (LOCAL_RULES, SETTINGS) and row >= FIRST_ROW:
            names = PARAMETER_COLUMNS if sheet == LOCAL_RULES else SETTING_COLUMNS
            return column <= len(names) and names[column - 1].startswith(_VALUES_OF_RULES)
        return not isinstance(built, str) and built is not None

    @cached_property
    def table_cells(self) -> dict[str, dict[Place, str]]:
        """The cells of the code tables, blank ones too, with table and column."""
        found: dict[str, dict[Place, str]] = {sheet: {} for sheet in TABLE_SHEETS}
        for name, place in self.layout.tables.items():
            for at, column in enumerate((*place.letters, "status"), start=1):
                for row in range(place.header_row, place.last_row + 1):
                    found[place.sheet][row, at] = f"{name}.{column}"
        return found


def built_as(layout: Layout) -> Built:
    """The workbook that a layout gives; kept for the next one of the same rows."""
    return _built(
        layout.rows,
        layout.rows_of("circuits"),
        tuple((name, place.last_row - place.first_row + 1) for name, place in layout.books.items()),
        tuple(layout.setting_rows.items()),
    )


@lru_cache(maxsize=2)
def _built(
    rows: int, circuit_rows: int, book_rows: tuple[tuple[str, int], ...], setting_rows: tuple[tuple[str, int], ...]
) -> Built:
    layout = Layout(
        load(), rows=rows, circuit_rows=circuit_rows, book_rows=dict(book_rows), setting_rows=dict(setting_rows)
    )
    sheets = compile_book(SHEETS, layout)
    blank = {*(sheet.name for sheet in sheets), *BOOK_SHEETS.values(), *WORDS_ONLY}
    with TemporaryDirectory() as folder:
        path = Path(folder) / "built.xlsx"
        write_workbook(
            path, layout=layout, sheets=sheets, jobs=pd.DataFrame(), results=None, built_on="2026-01-01",
            leave_blank=blank,
        )  # fmt: skip
        cells = read_cells(path, foreign=False, styles=True)
        with zipfile.ZipFile(path) as archive:
            open_styles = _unlocked(archive)
    entry_sheets = {place.sheet for place in layout.grids.values()}
    unlocked = {}
    for title, sheet in cells.sheets.items():
        of = sheet.values if title in entry_sheets else sheet.styles
        unlocked[title] = frozenset(place for place in of if sheet.styles[place] in open_styles)
        sheet.styles.clear()
    start = cells.sheets[START]
    for (row, column), value in list(start.values.items()):
        if value in COMPUTED_ON_START and column == 2:
            start.values.pop((row, 3), None)
    return Built(layout, sheets, cells, unlocked)


def _unlocked(archive: zipfile.ZipFile) -> set[int]:
    """Numbers of the formats of cells that are open for typing."""
    formats = next(one for one in parsed_part(archive, _STYLES) if one.tag.endswith("}cellXfs"))
    return {
        number
        for number, one in enumerate(formats)
        if any(part.tag.endswith("}protection") and part.get("locked") == "0" for part in one)
    }
