"""Settings: the numbers and words of the company that are no line of a book."""

from __future__ import annotations

import math

from ..code_tables.books import LIMITS, Setting
from ..sheets.layout import SETTING_COLUMNS
from .books_sheet import MONEY, amount_validation, finish, write_formulas
from .context import Context
from .grid_header import Heading, bands, fitted, write_headings
from .grids import colour_states
from .measure import height_for, lines, width_for
from .page import head, number_of
from .sheet_class import PlainFormulaSheet
from .styles import ACCENT, INPUT_LINE, LINE, UNIT_WORDS
from .values import write_value

TITLE = "Settings"
NOTE = (
    "Put your own values into the yellow cells: tax, overhead, profit, contingency, waste and how you work. "
    "What you change counts at once in every job."
)
TEXT_UNIT, MONEY_UNIT = "text", "USD"
LONGEST_TEXT = 200
_SIZE = 9
_TYPED = ("value", "source")
_TEXT_COLUMNS = ("name", "meaning", "unit", "source")
_HEADINGS = {
    "name": ("Setting", "Setting", "table", "Name used in the rules.", 25),
    "meaning": ("Setting", "What it is", "table", "The setting in words.", 48),
    "unit": ("Setting", "Unit", "table", "", 9),
    "value": ("Your value", "Value", "input", "The value that counts.", 20),
    "source": ("About the setting", "Source", "table", "Where the value comes from.", 58),
    "state": ("Calculated", "State", "state", "OK, or in words what is wrong.", 40),
    "used": ("Calculated", "Value in use", "formula", "The value, or where it is out of order the least it may be.", 20),
    "built_value": ("When built", "Value", "table", "To see what was changed.", 20),
}
"""Band, title, role, rule and width of each column."""


def write_settings(context: Context, sheet: PlainFormulaSheet) -> int:
    """The settings, one a row. Returns how many formulas the sheet has."""
    place = context.layout.settings
    longest = max(width_for(name, size=_SIZE) for name in context.layout.setting_rows) + 1
    headings = fitted([
        Heading(
            column, band, title, "", role, rule,
            "A number of 0 or more, or a text." if column == "value" else "",
            max(width, longest) if column == "name" else width,
        )
        for column, (band, title, role, rule, width) in _HEADINGS.items()
    ])  # fmt: skip
    widths = {heading.name: heading.width for heading in headings}
    firsts = {SETTING_COLUMNS[first] for first, _ in bands(headings)}
    head(context, sheet, TITLE, NOTE, note_at=4)
    write_headings(context, sheet, headings)
    for name, row in context.layout.setting_rows.items():
        setting = context.code.books.settings[name]
        _write_setting(context, sheet, setting, row, firsts)
        texts = (getattr(setting, column) for column in _TEXT_COLUMNS)
        most = max(
            lines(text, width=widths[column], size=_SIZE) for column, text in zip(_TEXT_COLUMNS, texts, strict=True)
        )
        sheet.set_row(row - 1, max(16, height_for(most, size=_SIZE)))
    state = SETTING_COLUMNS.index("state")
    look = context.formats.get("formula", border=1, border_color=LINE, align="left", font_size=_SIZE, indent=1,
                               left=1, left_color=ACCENT)  # fmt: skip
    formulas = write_formulas(context, sheet, lambda *_: look)
    colour_states(context, sheet, state, state, place.first_row, place.last_row, ("OK", "STOP"))
    finish(context, sheet, headings, last_row=place.last_row,
           printed=(place.last_row, len(SETTING_COLUMNS) - 1))  # fmt: skip
    return formulas


def _write_setting(
    context: Context, sheet: PlainFormulaSheet, setting: Setting, row: int, firsts: set[str]
) -> None:
    is_text = setting.unit == TEXT_UNIT
    built = (context.built_books or context.code.books).settings[setting.name]
    values = {
        "name": setting.name, "meaning": setting.meaning, "unit": UNIT_WORDS.get(setting.unit, setting.unit),
        "value": setting.value, "source": setting.source, "built_value": built.value,
    }  # fmt: skip
    for column, value in values.items():
        properties = {"border": 1, "border_color": INPUT_LINE if column in _TYPED else LINE}
        if column in firsts:
            properties |= {"left": 1, "left_color": ACCENT}
        if column in _TEXT_COLUMNS:
            properties |= {"align": "left", "font_size": _SIZE, "text_wrap": column != "name"}
            properties |= {"indent": 1} if column == "source" else {}
        else:
            number = "@" if is_text else MONEY if setting.unit == MONEY_UNIT else "General"
            properties |= {"align": "left" if is_text else "right", "num_format": number}
        if column in _TYPED:
            properties["locked"] = False
        look = context.formats.get("input" if column in _TYPED else "table", **properties)
        write_value(sheet, row - 1, SETTING_COLUMNS.index(column), value, look)
    _validate(context, sheet, setting, row)


def _validate(context: Context, sheet: PlainFormulaSheet, setting: Setting, row: int) -> None:
    at = number_of(context.layout.settings.letter_of("value"))
    title = setting.name if len(setting.name) <= 32 else "Setting"
    if setting.unit == TEXT_UNIT:
        words = f"At most {LONGEST_TEXT} characters."
        rule = {
            "validate": "length", "criteria": "<=", "value": LONGEST_TEXT, "ignore_blank": True,
            "input_title": title, "input_message": f"{setting.meaning}. {words}",
            "error_title": title, "error_message": words, "error_type": "stop",
        }  # fmt: skip
    else:
        low, high = LIMITS.get(setting.name, (0, math.inf))
        unit = UNIT_WORDS.get(setting.unit, setting.unit)
        meaning = f"{setting.meaning}{f', in {unit}' if unit else ''}."
        rule = amount_validation(title, meaning, low, None if high == math.inf else high)
    sheet.data_validation(row - 1, at, row - 1, at, rule)
