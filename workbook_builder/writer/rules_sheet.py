"""Rules: every calculated column in words, with its sections and its formula."""

from __future__ import annotations

from collections.abc import Iterator

from ..code_tables.model import EDITIONS
from ..sheets.model import FIRST_ROW, CompiledColumn, CompiledSheet
from .context import Context
from .grids import IDS, role_of
from .listing import SIZE, ListColumn, points, write_header, write_line
from .page import head, link, print_setup, protect
from .sheet_class import PlainFormulaSheet
from .styles import UNIT_WORDS

TITLE = "Rules"
NOTE = (
    "Every calculated column: its rule in words, the section in each edition, "
    "and the formula of the first row as text."
)
HEADER_ROW = 4
COLUMNS = (
    ListColumn("sheet", 10),
    ListColumn("column", 27),
    ListColumn("title", 30),
    ListColumn("unit", 9),
    ListColumn("role", 13),
    ListColumn("rule in words", 58),
    *(ListColumn(f"section {edition}", 18) for edition in EDITIONS),
    ListColumn("formula of the first row", 62),
    ListColumn("go to", 13),
)


def write_rules(context: Context, sheet: PlainFormulaSheet) -> None:
    head(context, sheet, TITLE, NOTE, note_at=2)
    write_header(context, sheet, HEADER_ROW, COLUMNS)
    row = HEADER_ROW
    for row, (grid, column) in enumerate(calculated(context), start=HEADER_ROW + 1):
        rule = column.rule
        values = (
            grid.name, column.name, rule.title, UNIT_WORDS.get(rule.unit, rule.unit),
            role_of(column), rule.sentence, *rule.sections.values(),
            column.at(FIRST_ROW),
        )  # fmt: skip
        write_line(context, sheet, row, values, COLUMNS)
        cell = f"{column.letter}{FIRST_ROW}"
        link(context, sheet, row - 1, len(values), grid.name, f"{grid.name}!{cell}",
             cell=cell, size=SIZE)  # fmt: skip
    sheet.autofilter(HEADER_ROW - 1, 0, row - 1, len(COLUMNS) - 1)
    sheet.freeze_panes(HEADER_ROW, 2)
    protect(sheet)
    print_setup(
        context,
        sheet,
        last_row=row,
        last_column=len(COLUMNS) - 1,
        header_rows=(HEADER_ROW, HEADER_ROW),
        id_columns=2,
        width_points=points(COLUMNS),
    )


def calculated(context: Context) -> Iterator[tuple[CompiledSheet, CompiledColumn]]:
    """Every column but the id columns that the sheets of a grid repeat from the one with its entries."""
    for sheet in context.sheets:
        is_home = sheet.name == context.layout.grids[sheet.grid].home
        for column in sheet.columns:
            if is_home or column.name not in IDS:
                yield sheet, column
