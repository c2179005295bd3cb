"""Local rules: every parameter, and the two cells in which a user may change it."""

from __future__ import annotations

import math
from collections.abc import Mapping

from ..code_tables.fields import TRADE_SIZED
from ..code_tables.model import EDITIONS, Claim, Parameter
from ..sheets.layout import LOCAL_RULES, PARAMETER_COLUMNS, letter
from ..sheets.model import (
    BAND_ROW,
    FIRST_ROW,
    MARK_ROW,
    NAME_ROW,
    ROLE_ROW,
    RULE_ROW,
    SECTION_ROW,
    UNIT_ROW,
)
from .context import Context
from .grids import colour_states
from .measure import height_for, lines
from .page import head, keep_text, print_grid, protect
from .sheet_class import PlainFormulaSheet
from .styles import ACCENT, INPUT_LINE, SMALL_SIZE, UNIT_WORDS
from .values import write_value

TITLE = "Local rules"
NOTE = (
    "For a local amendment, type its value in column H and why in column I: "
    "every edition then uses it. Clear both to go back."
)
TEXT_UNIT = "size"
_WIDTHS = {
    "name": 27, "meaning": 40, "unit": 11, "override": 10, "reason": 24, "state": 30,
    "section": 36, "status": 16, "source": 13, "note": 110,
}  # fmt: skip
_LAST_PRINTED = "section"
_BANDS = (
    ("name", "Parameter"),
    (f"published_{EDITIONS[0]}", "Published value, by edition"),
    ("override", "Your change"),
    (f"in_use_{EDITIONS[0]}", "Value in use, by edition"),
    ("section", "Where it comes from"),
)
_WORDS = {
    "name": "Name used in the rules.",
    "meaning": "What the number does.",
    "unit": "",
    "override": "Blank: the published value is used.",
    "state": "OK, or why the published value is used all the same.",
    "reason": "Amendment, date, who said so.",
    "section": "Section of the code, by edition where it moved.",
    "status": "How sure the value is; see Provenance.",
    "source": "Public sources; addresses on Provenance.",
    "note": "",
}


def write_local_rules(context: Context, sheet: PlainFormulaSheet) -> int:
    """The parameters. Returns how many formulas the sheet has."""
    head(context, sheet, TITLE, NOTE, note_at=3)
    _header(context, sheet)
    for name, parameter in context.code.parameters.items():
        _parameter(context, sheet, parameter, context.layout.parameter_rows[name])
    sheet.freeze_panes(FIRST_ROW - 1, 1)
    last = FIRST_ROW + len(context.code.parameters) - 1
    colour_states(context, sheet, place("state"), place("state"), FIRST_ROW, last, ("OK", "STOP"))
    protect(sheet)
    keep_text(sheet, FIRST_ROW + len(context.code.parameters), len(PARAMETER_COLUMNS))
    print_grid(
        context,
        sheet,
        last_row=FIRST_ROW + len(context.code.parameters) - 1,
        widths=[_width(name) for name in PARAMETER_COLUMNS[: place(_LAST_PRINTED) + 1]],
        repeated=0,
        title=TITLE,
    )
    return len(context.code.parameters) * (len(EDITIONS) + 1)


def stop_of(parameter: Parameter) -> str:
    """What the state says of an override that is not used."""
    size = "a trade size" if parameter.name in TRADE_SIZED else "a conductor size"
    return f"STOP: not {size if parameter.unit == TEXT_UNIT else parameter.limits}; not used"


def may_be(context: Context, parameter: Parameter, value: object) -> bool:
    """Whether an override can be used."""
    if parameter.unit == TEXT_UNIT:
        return value in _sizes(context, parameter)[1]
    return isinstance(value, (int, float)) and parameter.least <= value <= parameter.most


def _sizes(context: Context, parameter: Parameter) -> tuple[str, tuple[object, ...]]:
    """Cells and values of the sizes that a parameter may have."""
    table, column = ("raceway_diameter", "trade_size") if parameter.name in TRADE_SIZED else ("ampacity", "size")
    return context.layout.tables[table].column(column), context.code.tables[table].column(column)


def _test(context: Context, parameter: Parameter, cell: str) -> str:
    """Whether an override that is typed can be used, as a formula."""
    if parameter.unit == TEXT_UNIT:
        return f"SUMPRODUCT(({_sizes(context, parameter)[0]}={cell})*1)>0"
    most = "1" if parameter.most == math.inf else f"({cell}<={parameter.most:.12g})"
    return f"IF(ISNUMBER({cell}), ({cell}>={parameter.least:.12g})*{most}, 0)=1"


def _limits(parameter: Parameter) -> dict[str, object]:
    """The same for the check of what is typed."""
    if parameter.most == math.inf:
        return {"criteria": ">=", "value": parameter.least}
    return {"criteria": "between", "minimum": parameter.least, "maximum": parameter.most}


def sections(claims: Mapping[int, Claim]) -> str:
    """Sections of every edition in one text, editions that agree side by side in it."""
    editions: dict[str, list[str]] = {}
    for edition, claim in claims.items():
        editions.setdefault(claim.section, []).append(str(edition))
    if len(editions) == 1:
        return next(iter(editions))
    return "; ".join(f"{', '.join(of)}: {section}" for section, of in editions.items())


def place(column: str) -> int:
    """0-based place of a column of this sheet."""
    return PARAMETER_COLUMNS.index(column)


def override_range(context: Context, column: str) -> str:
    """The cells of `override`, `reason` or `state`, for counting them on Start."""
    at = letter(place(column) + 1)
    last = FIRST_ROW + len(context.code.parameters) - 1
    return f"'{LOCAL_RULES}'!${at}${FIRST_ROW}:${at}${last}"


def _width(column: str) -> float:
    return _WIDTHS.get(column, 9)


def _title(column: str) -> str:
    for prefix in ("published_", "in_use_"):
        if column.startswith(prefix):
            return column.removeprefix(prefix)
    return {"name": "Parameter", "override": "Override"}.get(column, column.capitalize())


def _role(column: str) -> str:
    if column in ("override", "reason"):
        return "input"
    return "calculated" if column.startswith("in_use_") else "table"


def _header(context: Context, sheet: PlainFormulaSheet) -> None:
    get = context.formats.get
    starts = dict(_BANDS)
    small = {"font_size": SMALL_SIZE, "text_wrap": True}
    for at, column in enumerate(PARAMETER_COLUMNS):
        edge = {"left": 1, "left_color": ACCENT} if column in starts else {}
        sheet.set_column(at, at, _width(column))
        for row, text, look in (
            (BAND_ROW, starts.get(column, ""), get("band", font_size=9)),
            (NAME_ROW, _title(column), get("header", font_size=9, text_wrap=True, **edge)),
            (UNIT_ROW, "", get("role", **small, **edge)),
            (ROLE_ROW, _role(column), get("role", **small, **edge)),
            (RULE_ROW, _WORDS.get(column, ""), get("text", **small, **edge, valign="top")),
            (SECTION_ROW, "", get("text", **small, **edge)),
            (MARK_ROW, column, get("mark", **small, bottom=1, bottom_color=ACCENT, **edge)),
        ):
            if text:
                sheet.write_string(row - 1, at, text, look)
            else:
                sheet.write_blank(row - 1, at, None, look)
    words = max(lines(text, width=_width(column), size=SMALL_SIZE) for column, text in _WORDS.items())
    for row, height in (
        (BAND_ROW, 16), (NAME_ROW, 16), (UNIT_ROW, 6), (ROLE_ROW, 14),
        (RULE_ROW, height_for(words, size=SMALL_SIZE)), (SECTION_ROW, 6), (MARK_ROW, 25),
    ):  # fmt: skip
        sheet.set_row(row - 1, height)


def _parameter(
    context: Context, sheet: PlainFormulaSheet, parameter: Parameter, row: int
) -> None:
    get = context.formats.get
    wrapped = get("table", text_wrap=True, font_size=9, align="left", indent=1, border=1, border_color="#C9D1DA")
    number = get("table", align="right", border=1, border_color="#C9D1DA")
    entry = get("input", align="right", border=1, border_color=INPUT_LINE, locked=False,
                num_format="@" if parameter.unit == TEXT_UNIT else "General")  # fmt: skip
    words = get("input", text_wrap=True, font_size=9, border=1, border_color=INPUT_LINE, locked=False)
    used = get("formula", align="right", border=1, border_color="#C9D1DA")
    texts = {
        "name": parameter.name,
        "meaning": parameter.meaning,
        "unit": UNIT_WORDS.get(parameter.unit, parameter.unit),
        "section": sections(parameter.editions),
        "status": parameter.status,
        "source": " ".join(parameter.source),
        "note": parameter.note,
    }
    for column, text in texts.items():
        write_value(sheet, row - 1, place(column), text, wrapped)
    changed = context.overrides.get(parameter.name)
    write_value(sheet, row - 1, place("override"), changed, entry)
    write_value(sheet, row - 1, place("reason"), context.reasons.get(parameter.name), words)
    override, state = (f"${letter(place(column) + 1)}{row}" for column in ("override", "state"))
    stop = stop_of(parameter)
    used_too = changed is not None and may_be(context, parameter, changed)
    sheet.put_formula(
        row - 1,
        place("state"),
        f'IF({override}="", "", IF({_test(context, parameter, override)}, "OK", "{stop}"))',
        get("formula", align="left", text_wrap=True, font_size=9, border=1, border_color="#C9D1DA"),
        "" if changed is None else "OK" if used_too else stop,
    )
    for edition in EDITIONS:
        published = place(f"published_{edition}")
        value = parameter.values[edition]
        write_value(sheet, row - 1, published, value, number)
        sheet.put_formula(
            row - 1,
            place(f"in_use_{edition}"),
            f'IF({state}="OK", {override}, {letter(published + 1)}{row})',
            used,
            changed if used_too else value,
        )
    if parameter.unit != TEXT_UNIT:
        sheet.data_validation(
            row - 1, place("override"), row - 1, place("override"),
            {"validate": "decimal", **_limits(parameter),
             "input_title": "Override",
             "input_message": f"{parameter.meaning}. Replaces the published value in every edition; "
                              "give the reason beside it.",
             "error_title": "Override", "error_message": f"{parameter.limits.capitalize()}, or blank."},
        )  # fmt: skip
    sheet.set_row(row - 1, height_for(max(
        lines(text, width=_width(column) - 1, size=9) for column, text in texts.items()
    ), size=9))  # fmt: skip
