"""Rules: every calculated column in words, with its sections and its formula."""

from __future__ import annotations

from ..sheets.model import FIRST_ROW
from .context import Context
from .grids import role_of
from .listing import SIZE, ListColumn, by_edition, finish, write_header, write_line
from .page import head, link, protect
from .rule_rows import RULES_HEADER_ROW, calculated, first_calculated_row
from .sheet_class import PlainFormulaSheet
from .styles import UNIT_WORDS

TITLE = "Rules"
NOTE = (
    "Every entry as used, then every calculated column: its rule in words, its section, by edition where they differ, "
    "and the formula of the first row as text. On paper: what is calculated, up to its section."
)
COLUMNS = (
    ListColumn("sheet", 11),
    ListColumn("column", 22),
    ListColumn("title", 29),
    ListColumn("unit", 8),
    ListColumn("rule in words", 90),
    ListColumn("section", 27),
    ListColumn("role", 16, on_paper=False),
    ListColumn("go to", 22, on_paper=False),
    ListColumn("formula of the first row", 150, on_paper=False),
)
_LINK = [column.title for column in COLUMNS].index("go to")


def write_rules(context: Context, sheet: PlainFormulaSheet) -> None:
    head(context, sheet, TITLE, NOTE, note_at=2)
    write_header(context, sheet, RULES_HEADER_ROW, COLUMNS)
    row = RULES_HEADER_ROW
    for row, (grid, column) in enumerate(calculated(context), start=RULES_HEADER_ROW + 1):
        rule = column.rule
        cell = f"{column.letter}{FIRST_ROW}"
        values = (
            grid.name, column.name, rule.title, UNIT_WORDS.get(rule.unit, rule.unit), rule.sentence,
            by_edition(rule.sections), role_of(column), f"{grid.name}!{cell}", column.at(FIRST_ROW),
        )  # fmt: skip
        write_line(context, sheet, row, values, COLUMNS)
        link(context, sheet, row - 1, _LINK, grid.name, values[_LINK], cell=cell, size=SIZE)
    protect(sheet)
    finish(
        context, sheet, COLUMNS, header_row=RULES_HEADER_ROW, last_listed=row, first_row=first_calculated_row(context), last_row=row,
        frozen=2, title=TITLE,
    )  # fmt: skip
