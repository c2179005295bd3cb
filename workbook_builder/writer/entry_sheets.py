"""Jobs and Circuits: the grids that people type in."""

from __future__ import annotations

from dataclasses import dataclass

from ..code_tables.model import Field
from ..sheets.compile import ENTRIES_BAND
from ..sheets.layout import GridPlace, letter
from ..sheets.model import CIRCUIT_GRID, FIRST_ROW, JOB_GRID, MARK_ROW
from .column_widths import entry_width
from .context import Context
from .entry_help import default_words, validation
from .grid_header import Heading, bands, fitted, write_headings
from .grids import ROW_HEIGHT, colour_states
from .page import head, keep_text, print_grid
from .row_block import BlockColumn, CellColumn, FormulaColumn, LastResults, RowBlock
from .sheet_class import PlainFormulaSheet
from .styles import ACCENT, INPUT_LINE, entry_format
from .values import BLANK_CELL, entry_cell

END_WORDS = "end of rows: insert new rows above this line"
BEYOND = "error: this row is not calculated, build with more rows"
FROZEN_COLUMNS = 2
_JOB_COLUMN = 1
_RULE_LINES = 7


@dataclass(frozen=True)
class EntrySheet:
    """One input grid: its words and its look."""

    grid: str
    title: str
    note: str


JOBS_SHEET = EntrySheet(
    JOB_GRID,
    "Jobs",
    "One job a row. Type in the yellow cells only; blank takes the default in row 8. "
    "Column A says what is missing or wrong.",
)
CIRCUITS_SHEET = EntrySheet(
    CIRCUIT_GRID,
    "Circuits",
    "One circuit a row, of any job; a job needs none. Type in the yellow cells only. "
    "Column A says what is missing or wrong.",
)


def write_jobs(context: Context, sheet: PlainFormulaSheet) -> int:
    """The input grid of jobs. Returns how many formulas it has."""
    return _write(context, sheet, JOBS_SHEET)


def write_circuits(context: Context, sheet: PlainFormulaSheet) -> int:
    """The input grid of circuits. Returns how many formulas it has."""
    return _write(context, sheet, CIRCUITS_SHEET)


def _write(context: Context, sheet: PlainFormulaSheet, page: EntrySheet) -> int:
    place = context.layout.grids[page.grid]
    fields = place.fields
    headings = fitted([
        Heading(place.state, "State", "State of the row", "", "state",
                "Filled by the workbook: ready, or in words what is missing or wrong. "
                "Only rows that are ready are calculated.", "do not type here", 34),
        *(_heading(field) for field in fields),
    ], rule_lines=_RULE_LINES)  # fmt: skip
    head(context, sheet, page.title, page.note, note_at=FROZEN_COLUMNS)
    write_headings(context, sheet, headings)
    firsts = {first for first, _ in bands(headings)}
    sheet.put_rows(RowBlock(FIRST_ROW - 1, place.rows, [
        _states(context, sheet, page.grid),
        *(_field(context, sheet, page.grid, field, at, first=at in firsts)
          for at, field in enumerate(fields, start=1)),
    ]))  # fmt: skip
    _write_end(context, sheet, place)
    sheet.freeze_panes(FIRST_ROW - 1, FROZEN_COLUMNS)
    sheet.autofilter(MARK_ROW - 1, 0, place.last_row - 1, len(fields))
    keep_text(sheet, place.last_row, len(fields))
    sheet.set_default_row(ROW_HEIGHT)
    sheet.set_zoom(90)
    print_grid(
        context,
        sheet,
        last_row=context.printed_row(page.grid),
        widths=[heading.width for heading in headings],
        repeated=_JOB_COLUMN,
        title=page.title,
    )
    return place.rows


def _heading(field: Field) -> Heading:
    return Heading(
        name=field.name,
        band=field.group.capitalize() or ENTRIES_BAND,
        title=field.title,
        unit=field.unit,
        role="input",
        rule=field.meaning,
        section=default_words(field),
        width=entry_width(field),
    )


def state_formula(context: Context, grid: str) -> str:
    """The row's state, looked up by place, so that sorting breaks nothing; `{row}` stands for its number."""
    last = letter(1 + len(context.layout.grids[grid].fields))
    states = context.states(grid)
    # The grid starts below the mark row, hence the row number less that row.
    place = f"ROW()-{MARK_ROW}"
    found = f"INDEX({states}, {place})"
    return (
        f'IF(COUNTA($B{{row}}:${last}{{row}})=0, "", '
        f'IF({place}>ROWS({states}), "{BEYOND}", '
        f'IF({found}="", "missing: job_no", {found})))'
    )


def _states(context: Context, sheet: PlainFormulaSheet, grid: str) -> BlockColumn:
    look = context.formats.get("formula", align="left", border=1, border_color=INPUT_LINE)
    place = context.layout.grids[grid]
    colour_states(context, sheet, 0, 0, FIRST_ROW, place.last_row, ("ready", "missing", "error"))
    results = LastResults(context.rows[grid].results, place.state, {}, sheet._escape_data)
    return FormulaColumn(0, look, state_formula(context, grid), results)


def _field(
    context: Context, sheet: PlainFormulaSheet, grid: str, field: Field, at: int, *, first: bool
) -> BlockColumn:
    is_number = field.kind == "number" or field.numeric
    properties = {
        "num_format": entry_format(unit=field.unit, number=is_number, date=field.kind == "date"),
        **({"align": "right"} if is_number else {"align": "left", "indent": 1}),
        "border": 1,
        "border_color": INPUT_LINE,
        "locked": False,
    }
    if first:
        properties |= {"left": 1, "left_color": ACCENT}
    look = context.formats.get("input", **properties)
    entries, place = context.rows[grid].entries, context.layout.grids[grid]
    given = entries[field.name].tolist() if field.name in entries.columns else []
    cells = [entry_cell(sheet, row, field, value) for row, value in enumerate(given, start=FIRST_ROW)]
    sheet.data_validation(
        FIRST_ROW - 1, at, place.last_row - 1, at, validation(context.layout, field, grid)
    )
    return CellColumn(at, look, cells + [BLANK_CELL] * (place.rows - len(cells)))


def _write_end(context: Context, sheet: PlainFormulaSheet, place: GridPlace) -> None:
    look = context.formats.get("end", font_size=8, locked=False)
    row = place.end_row - 1
    sheet.set_row(row, 12)
    for at in range(len(place.fields) + 1):
        sheet.write_blank(row, at, None, look)
    sheet.write_string(row, 1, END_WORDS, look)
