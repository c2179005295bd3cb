"""The entries as used: what was typed in Jobs, checked, with its default where blank.

Every cell of a row is blank where no job number is typed. An entry that is not
valid reads "invalid", a required one that is blank reads "missing".
"""

from __future__ import annotations

from collections.abc import Mapping

from ..code_tables.load import load
from ..code_tables.model import Field
from .model import JOB_NUMBER, ROW_STATE, Column, Sheet

JOB_FORMULA = (
    'IFERROR(IF([raw.job_no]&""="", "", IF(LEN([raw.job_no]&"")>20, "invalid", [raw.job_no]&"")), "invalid")'
)

DEFAULTS: Mapping[str, str] = {
    "main_bus_a": "SUM([service_a])",
    "oven_count": "(SUM([oven_kw])>0)*1",
    "other_fixed_count": "(SUM([other_fixed_kva])>0)*1",
    "other_fixed_neutral_kva": "SUM([other_fixed_kva])",
    "ev_count": "(SUM([ev_a])>0)*1",
    "add_heat_zones": "(SUM([add_heat_kw])>0)*1",
    "moved_breaker_a": "[moved_wire_breaker_a]",
    "raceway_in": "SUM([run_ft])*12",
    "exposed_ft": "[run_exposed_ft]",
}
"""Defaults that come from other entries; SUM passes over an entry that is not valid."""

LEFT_BLANK = ("largest_motor_kva", "metered_season_kva", "move_kva", "move_neutral_kva")
"""Fields whose default is worked out where it is used."""


def plain(value: float) -> str:
    """A number of the contract as it stands in a formula."""
    return str(int(value)) if float(value).is_integer() else str(value)


def default_of(field: Field) -> str:
    """What a blank entry takes, as a piece of formula."""
    if field.required:
        return '"missing"'
    if field.default_rule and field.name not in LEFT_BLANK:
        return DEFAULTS[field.name]
    if field.default is None:
        return '""'
    return plain(field.default) if isinstance(field.default, float) else f'"{field.default}"'


def number_value(field: Field, raw: str) -> str:
    """The entry where it stands in its range, and is whole where it must be.

    MIN and MAX pass over text, so that a text never equals what they give.
    """
    inner = f"INT({raw})" if field.whole else raw
    inner = f"MAX({inner}, {plain(field.minimum)})"
    if field.maximum is not None:
        inner = f"MIN({inner}, {plain(field.maximum)})"
    return f'IF({inner}={raw}, {raw}, "invalid")'


def choice_value(field: Field, raw: str) -> str:
    """The list's own spelling, or the default by its place in the list.

    The division refuses entries that only match as a pattern, such as `*`.
    """
    looks_like_number = any(str(choice).isdigit() for choice in field.choices)
    entry = f'{raw}&""' if looks_like_number and not field.numeric else raw
    members = f"{{choices.{field.name}}}"
    place = f"MATCH({entry}, {members}, 0)/SUMPRODUCT(({members}={entry})*1)"
    if field.default is None:
        return f"INDEX({members}, {place})"
    default = field.choices.index(field.default) + 1
    return f'INDEX({members}, IF({raw}="", {default}, {place}))'


def field_formula(field: Field) -> str:
    """The template of one entry: blank row, blank entry, checked entry."""
    raw = f"[raw.{field.name}]"
    if field.name == JOB_NUMBER:
        return JOB_FORMULA
    if field.kind == "text":
        value = f'{raw}&""'
    elif field.kind == "date":
        value = f'IF(ISTEXT({raw}), "invalid", {raw})'
    elif field.kind == "choice":
        value = choice_value(field, raw)
    else:
        value = number_value(field, raw)
    default = default_of(field)
    if default == '""':
        return f'IFERROR(IF(OR([job_no]="", {raw}=""), "", {value}), "invalid")'
    if field.kind != "choice" or field.required:
        value = f'IF({raw}="", {default}, {value})'
    return f'IF([job_no]="", "", IFERROR({value}, "invalid"))'


FIELDS = load().job_fields
ENTRIES = f"visit_date:{FIELDS[-1].name}"
"""The entries that can be invalid or missing; job_no is looked at by itself."""
CHECKS = "check_job_no:check_cable_raceway"

ROW_FORMULA = (
    'IF([job_no]="", "", IF([entries_invalid]>0, "error: "&[first_invalid]&IF([entries_invalid]>1, '
    '" (and "&([entries_invalid]-1)&" more)", ""), IF([entries_missing]>0, '
    f'"missing: "&INDEX({{names:{ENTRIES}}}, 1, MATCH("missing", [{ENTRIES}], 0))&'
    'IF([entries_missing]>1, " (and "&([entries_missing]-1)&" more)", ""), "ready")))'
)


def check(name: str, formula: str) -> Column:
    """A cross-check: `formula` says "invalid" or "ok" for a row that holds a job."""
    return Column(name, f'IF([job_no]="", "", {formula})', guarded=False)


def both(first: str, second: str, broken: str) -> str:
    """A comparison of two numbers, "ok" where either is not there."""
    return f'IF(OR(ISTEXT([{first}]), ISTEXT([{second}])), "ok", IF({broken}, "invalid", "ok"))'


def part_of_move(name: str, alone: str) -> str:
    """A part of move_kva is at most that; `alone` is the answer where move_kva is blank."""
    return (
        f'IF(ISTEXT([{name}]), "ok", IF([move_kva]="", {alone}, '
        f'IF(ISTEXT([move_kva]), "ok", IF([{name}]>[move_kva], "invalid", "ok"))))'
    )


CROSS_CHECKS = (
    check(
        "check_job_no",
        'IF([job_no]="invalid", "ok", '
        'IF(IFERROR(SUMPRODUCT(({raw.job_no}&""=[job_no])*1), 0)>1, "invalid", "ok"))',
    ),
    check("check_spaces_used", both("main_spaces_used", "main_spaces", "[main_spaces_used]>[main_spaces]")),
    check(
        "check_two_circuit",
        both("two_circuit_spaces", "main_spaces_used", "[two_circuit_spaces]>[main_spaces_used]"),
    ),
    check(
        "check_metered",
        'IF([load_method]="metered peak", IF([metered_peak_kw]="", "invalid", "ok"), "ok")',
    ),
    check(
        "check_optional",
        'IF(ISTEXT([service_a]), "ok", '
        'IF(AND([load_method]="dwelling optional", [service_a]<{optional_minimum}), "invalid", "ok"))',
    ),
    check("check_oven_count", both("oven_kw", "oven_count", "AND([oven_kw]>0, [oven_count]<1)")),
    check(
        "check_other_count",
        both("other_fixed_kva", "other_fixed_count", "AND([other_fixed_kva]>0, [other_fixed_count]<1)"),
    ),
    check("check_ev_count", both("ev_a", "ev_count", "AND([ev_a]>0, [ev_count]<1)")),
    check(
        "check_other_neutral",
        both("other_fixed_neutral_kva", "other_fixed_kva", "[other_fixed_neutral_kva]>[other_fixed_kva]"),
    ),
    check("check_move_neutral", part_of_move("move_neutral_kva", '"invalid"')),
    check(
        "check_move_continuous",
        part_of_move("move_continuous_kva", 'IF([move_continuous_kva]>0, "invalid", "ok")'),
    ),
    check(
        "check_cable_metal",
        'IF(OR([wiring]<>"NM-B cable", [material]="copper", [material]="invalid"), "ok", "invalid")',
    ),
    check(
        "check_cable_raceway",
        'IF([moved_in_raceway]="yes", '
        'IF(IFERROR(INDEX({wiring_method.kind}, MATCH([wiring], {wiring_method.wiring}, 0)), "")="cable", '
        '"invalid", "ok"), "ok")',
    ),
)

COUNTS = (
    Column(
        "entries_invalid",
        f'IF([job_no]="", "", IF([job_no]="invalid", 1, 0)+COUNTIF([{ENTRIES}], "invalid")'
        f'+COUNTIF([{CHECKS}], "invalid"))',
        guarded=False,
    ),
    Column(
        "entries_missing",
        f'IF([job_no]="", "", COUNTIF([{ENTRIES}], "missing"))',
        guarded=False,
    ),
    Column(
        "first_invalid",
        'IF([job_no]="", "", IF([entries_invalid]=0, "", '
        'IF([job_no]="invalid", INDEX({messages:job_no:visit_date}, 1, 1), '
        f'IFERROR(INDEX({{messages:{ENTRIES}}}, 1, MATCH("invalid", [{ENTRIES}], 0)), '
        f'INDEX({{messages:{CHECKS}}}, 1, MATCH("invalid", [{CHECKS}], 0))))))',
        guarded=False,
    ),
    Column(
        "moved_wire_breaker_a",
        'IF([job_no]="", "", '
        "IFERROR(INDEX({moved_wire.breaker_a}, MATCH([moved_wire], {moved_wire.size}, 0)), 0))",
        guarded=False,
    ),
    Column(
        "run_exposed_ft",
        'IF([job_no]="", "", IFERROR(MAX([run_ft]-[trench_ft], 0), 0))',
        guarded=False,
    ),
)

INPUTS = Sheet(
    name="Inputs",
    title="Entries as used",
    note="What the job says after its defaults; change nothing here, type in Jobs.",
    columns=(
        Column(JOB_NUMBER, JOB_FORMULA, guarded=False),
        Column(ROW_STATE, ROW_FORMULA, guarded=False),
        *(
            Column(field.name, field_formula(field), guarded=False)
            for field in FIELDS
            if field.name != JOB_NUMBER
        ),
        Column("edition_index", "MATCH([code_edition], {editions.edition}, 0)"),
        *CROSS_CHECKS,
        *COUNTS,
    ),
)
