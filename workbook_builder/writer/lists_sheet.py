"""Lists: the words of every drop-down, and the editions with what is unread."""

from __future__ import annotations

from ..code_tables.model import EDITIONS
from ..sheets.layout import LIST_FIRST_ROW, LIST_HEADER_ROW
from .context import Context
from .measure import width_for
from .page import head, keep_text, number_of, print_grid, protect
from .sheet_class import PlainFormulaSheet
from .styles import LINE
from .values import plain, write_value

TITLE = "Lists"
NOTE = "Words of the drop-downs on Circuits and Jobs, by field; at the right end the editions with their count of values that nobody has read."

_LINKS, _LINK_WIDTH = 3, 14


def write_lists(context: Context, sheet: PlainFormulaSheet) -> None:
    head(context, sheet, TITLE, NOTE, note_at=_LINKS)
    layout = context.layout
    fields = {field.name: field for place in layout.grids.values() for field in place.fields}
    columns = {
        layout.list_letters[name]: (name, fields[name].choices) for name in layout.list_letters
    }
    counts = {
        "edition": [float(edition) for edition in EDITIONS],
        "assumed": [float(len(context.code.assumed(edition))) for edition in EDITIONS],
        "unread": [float(len(context.code.unread(edition))) for edition in EDITIONS],
    }
    columns |= {layout.edition_letters[name]: (name, counts[name]) for name in counts}
    get = context.formats.get
    header = get("header", font_size=9, align="left")
    cell = get("table", align="left", border=1, border_color=LINE)
    longest, widths = 0, {}
    for letters, (name, values) in columns.items():
        at = number_of(letters)
        sheet.write_string(LIST_HEADER_ROW - 1, at, name, header)
        for row, value in enumerate(values, start=LIST_FIRST_ROW):
            write_value(sheet, row - 1, at, value, cell)
        texts = [name, *(plain(value) for value in values)]
        least = _LINK_WIDTH if at < _LINKS else 8
        widths[at] = max(least, *(width_for(text, size=10) for text in texts)) + 1
        sheet.set_column(at, at, widths[at])
        longest = max(longest, len(values))
    sheet.freeze_panes(LIST_HEADER_ROW, 0)
    protect(sheet)
    keep_text(sheet, LIST_HEADER_ROW + longest, max(map(number_of, columns)))
    print_grid(
        context,
        sheet,
        last_row=LIST_HEADER_ROW + longest,
        widths=[widths[at] for at in sorted(widths)],
        repeated=None,
        header_rows=(LIST_HEADER_ROW, LIST_HEADER_ROW),
        title=TITLE,
    )
