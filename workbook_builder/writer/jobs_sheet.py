"""Jobs: the only grid people type in."""

from __future__ import annotations

from ..code_tables.model import Field
from ..sheets.layout import letter
from ..sheets.model import FIRST_ROW, MARK_ROW, ROW_STATE
from .context import Context
from .entry_help import default_words, validation
from .grid_header import Heading, bands, fitted, total_points, write_headings
from .grids import colour_states
from .page import head, keep_text, print_setup
from .sheet_class import PlainFormulaSheet
from .styles import ACCENT, INPUT_LINE, entry_format
from .values import column as values_of
from .values import write_entry

TITLE = "Jobs"
NOTE = (
    "One job a row. Type in the yellow cells only; blank takes the default in row 8. "
    "Column A says what is missing or wrong."
)
END_WORDS = "end of rows: insert new rows above this line"
BEYOND = "error: this row is not calculated, build with more rows"
FROZEN_COLUMNS = 2
_SITE_WIDTH = 46
_PRINT_SCALE = 60
_RULE_LINES = 5
_WIDTHS = {"text": 18, "date": 12, "choice": 13, "number": 11}


def write_jobs(context: Context, sheet: PlainFormulaSheet) -> int:
    """The input grid. Returns how many formulas it has."""
    fields = context.code.job_fields
    headings = fitted([
        Heading(ROW_STATE, "State", "State of the row", "", "state",
                "Filled by the workbook: ready, or in words what is missing or wrong. "
                "Only rows that are ready are calculated.", "do not type here", 34),
        *(_heading(field) for field in fields),
    ], rule_lines=_RULE_LINES)  # fmt: skip
    head(context, sheet, TITLE, NOTE, note_at=FROZEN_COLUMNS)
    write_headings(context, sheet, headings)
    _write_states(context, sheet, len(fields))
    firsts = {first for first, _ in bands(headings)}
    for at, field in enumerate(fields, start=1):
        _write_field(context, sheet, field, at, first=at in firsts)
    _write_end(context, sheet, len(fields))
    last = context.layout.last_row
    sheet.freeze_panes(FIRST_ROW - 1, FROZEN_COLUMNS)
    sheet.autofilter(MARK_ROW - 1, 0, last - 1, len(fields))
    keep_text(sheet, last, len(fields))
    sheet.set_zoom(90)
    print_setup(
        context,
        sheet,
        last_row=context.printed_row,
        last_column=len(fields),
        header_rows=(3, 9),
        id_columns=FROZEN_COLUMNS,
        width_points=total_points(headings),
        scale=_PRINT_SCALE,
    )
    return context.layout.rows


def _heading(field: Field) -> Heading:
    return Heading(
        name=field.name,
        band=field.group.capitalize(),
        title=field.title,
        unit=field.unit,
        role="input",
        rule=field.meaning,
        section=default_words(field),
        width=_SITE_WIDTH if field.name == "site" else _WIDTHS.get(field.kind, 11),
    )


def state_formula(context: Context, row: int) -> str:
    """The row's state, looked up by place, so that sorting breaks nothing."""
    last = letter(1 + len(context.code.job_fields))
    states = context.states()
    # The grid starts below the mark row, hence the row number less that row.
    place = f"ROW()-{MARK_ROW}"
    found = f"INDEX({states}, {place})"
    return (
        f'IF(COUNTA($B{row}:${last}{row})=0, "", '
        f'IF({place}>ROWS({states}), "{BEYOND}", '
        f'IF({found}="", "missing: job_no", {found})))'
    )


def _write_states(context: Context, sheet: PlainFormulaSheet, columns: int) -> None:
    look = context.formats.get("formula", align="left", border=1, border_color=INPUT_LINE)
    results = values_of(context.results, ROW_STATE, context.layout.rows)
    for row, value in enumerate(results, start=FIRST_ROW):
        sheet.put_formula(row - 1, 0, state_formula(context, row), look, value)
    colour_states(
        context, sheet, 0, 0, FIRST_ROW, context.layout.last_row, ("ready", "missing", "error")
    )


def _write_field(
    context: Context, sheet: PlainFormulaSheet, field: Field, at: int, *, first: bool
) -> None:
    is_number = field.kind == "number" or field.numeric
    properties = {
        "num_format": entry_format(unit=field.unit, number=is_number, date=field.kind == "date"),
        "align": "right" if is_number else "left",
        "border": 1,
        "border_color": INPUT_LINE,
        "locked": False,
    }
    if first:
        properties |= {"left": 1, "left_color": ACCENT}
    look = context.formats.get("input", **properties)
    given = context.jobs[field.name].tolist() if field.name in context.jobs.columns else []
    for place in range(context.layout.rows):
        value = given[place] if place < len(given) else None
        write_entry(sheet, FIRST_ROW - 1 + place, at, field, value, look)
    sheet.data_validation(
        FIRST_ROW - 1, at, context.layout.last_row - 1, at, validation(context.layout, field)
    )


def _write_end(context: Context, sheet: PlainFormulaSheet, columns: int) -> None:
    look = context.formats.get("end", font_size=8, locked=False)
    row = context.layout.end_row - 1
    sheet.set_row(row, 12)
    for at in range(columns + 1):
        sheet.write_blank(row, at, None, look)
    sheet.write_string(row, 1, END_WORDS, look)


