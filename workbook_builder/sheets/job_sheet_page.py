"""The job sheet: two printed pages for the file, the site and the inspector."""

from __future__ import annotations

from collections.abc import Sequence

from ..code_tables.load import CodeTables
from .directory import columns_of
from .job_page import JobPage, Line
from .layout import Layout
from .model import CompiledSheet

JOB_SHEET = "Job sheet"
ROW_CELL = "$J$4"

HEAD = (
    Line("A6", "{site}", look="strong"),
    Line("A7", "Estimator: {estimator}"),
    Line("C6", "Edition {code_edition}"),
    Line("D5", "{job_status}", look="state"),
    Line("D6", "{stops:0} STOP, {checks_open:0} CHECK"),
    Line("D7", "{first_finding}"),
    Line("A8", "{option_chosen}", look="strong"),
    Line("A9", "{option_reason}"),
)

BOX, ARROW = "box", "arrow"
DIAGRAM_TOP = 12
DIAGRAM = (
    Line("A12", "Utility and meter", look=BOX),
    Line("A13", "│", look=ARROW),
    Line("A14", "Service {service_a:0} A, {line_v:0} V", look=BOX),
    Line("A15", "│", look=ARROW),
    Line("A16", "Main panel: {main_bus_a:0} A bus, {main_spaces:0} spaces", look=BOX),
    Line("A17", "│", when="in_added", look=ARROW),
    Line("A18", "Feeder breaker {feeder_breaker_a:0} A", when="in_added", look=BOX),
    Line("A19", "│", when="in_added", look=ARROW),
    Line("A20", "{feeder_size} {material}, neutral {neutral_size}, ground {egc_size}", when="in_added", look=BOX),
    Line("A21", "{wiring} {raceway_size}, {run_ft:0} ft", when="in_added", look=BOX),
    Line("A22", "│", when="in_added", look=ARROW),
    Line("A23", "Added panel: {added_bus_chosen_a:0} A bus, {added_spaces_chosen:0} spaces", when="in_added", look=BOX),
    Line("C14", "Larger service {new_service_a:0} A, {service_conductor_size} {material}", when="in_service", look=BOX),
    Line("C16", "Sources {source_counted_a:0} A, breaker {source_breaker_a:0} A", when="source_place=main panel", look=BOX),
    Line("C23", "Sources {source_counted_a:0} A, breaker {source_breaker_a:0} A", when="source_place=added panel", look=BOX),
    Line("C12", "Sources {source_counted_a:0} A on the supply side", when="source_place=supply side", look=BOX),
    Line("C18", "Load management at {set_point_whole_a:0} A", when="in_control", look=BOX),
    Line("C20", "Generator inlet {generator_inlet_a:0} A", when="generator_inlet_a", look=BOX),
)
"""The one-line diagram, from the utility down; boxes of the right column stand beside what they connect to."""

SIZES_TOP = 27
SIZES = (
    ("Load with the planned loads", "{total_load_a:0} A", "{load_method}", "220"),
    ("Feeder breaker", "{feeder_breaker_a:0} A", "load {feeder_load_a:0} A", "215.3"),
    ("Ungrounded conductors", "{feeder_size} {material}", "by {size_governed_by}", "215.2, 310.16"),
    ("Grounded conductor", "{neutral_size} {material}", "{neutral}", "220.61"),
    ("Grounding conductor", "{egc_size} {material}", "by the breaker", "250.122"),
    ("Electrode conductor", "{gec_size}", "{electrode}", "250.66"),
    ("Raceway", "{wiring} {raceway_size}", "{raceway_fill_percent:0} % of {fill_limit_percent:0} %", "Chapter 9"),
    ("Voltage drop", "{voltage_drop_percent:2} %", "target {drop_limit_percent:2} %", "215.2"),
    ("Smallest cover", "{cover_in:0} in", "{cover_case}", "300.5"),
)
"""What, its size, what decides it, section."""

ONLY_WHERE = {"Electrode conductor": "is_building", "Raceway": "is_raceway", "Smallest cover": "trench_ft"}
"""Sizes that are shown only where the column is more than 0."""

BAR_TOP = 38
BARS = (("As it is", "existing_load_a"), ("With the planned loads", "total_load_a"), ("Service", "service_a"))
BAR_NAMES, BAR_VALUES = "J", "K"

WAYS_TOP = 51
WAYS = ("existing spaces", "added panel", "load control", "larger service")

DIRECTORY_TOP, DIRECTORY_ROWS = 60, 15
FINDINGS_TOP, FINDINGS_ROWS = 79, 14
ALL_FIRST = 60
"""First row of all checks beside the page."""

NUMBER_COLUMN, TITLE_COLUMN, FINDING_COLUMN, COUNT_COLUMN = "JKLM"


def lines() -> tuple[Line, ...]:
    """Every line that shows the job, the directory and the findings left out."""
    found = [*HEAD, *DIAGRAM]
    for row, (what, size, why, _) in enumerate(SIZES, start=SIZES_TOP):
        shown = ONLY_WHERE.get(what, "")
        found += [Line(f"B{row}", size, when=shown), Line(f"C{row}", why, when=shown)]
    for row, way in enumerate(WAYS, start=WAYS_TOP):
        name = way.replace(" ", "_")
        found += [
            Line(f"B{row}", f"{{{name}_feasible}}"),
            Line(f"C{row}", f"{{{name}_price_usd:$}} USD", when=f"{name}_feasible=yes"),
            Line(f"D{row}", f"{{{name}_reason}}"),
        ]
    found += [
        Line(f"A{WAYS_TOP + 5}", "Price {price_likely_usd:$} USD, range {price_low_usd:$} to {price_high_usd:$} USD",
             look="strong"),
        *(Line(f"{BAR_VALUES}{BAR_TOP + place}", f"{{{name}}}", look="note")
          for place, (_, name) in enumerate(BARS) if name != "existing_load_a"),
    ]  # fmt: skip
    return tuple(found)


def checks(code: CodeTables) -> tuple[tuple[str, str], ...]:
    """Name and title of every check, in order."""
    return tuple(
        (rule.name, rule.title) for rule in code.rules.values() if rule.sheet == "Checks" and rule.kind == "state"
    )


def job_sheet_formulas(sheets: Sequence[CompiledSheet], layout: Layout) -> dict[str, str]:
    """Every formula of the page by the cell it stands in, no leading `=`."""
    page = JobPage(sheets, layout, ROW_CELL)
    formulas = page.head_formulas()
    formulas |= {line.cell: page.formula(line) for line in lines()}
    formulas[f"{BAR_VALUES}{BAR_TOP}"] = (
        f'IF({ROW_CELL}=0, "", ROUND({page.value("existing_load_va")}/{page.value("line_v")}, 6))'
    )
    every = checks(layout.code)
    last = ALL_FIRST + len(every) - 1
    for row, (name, _) in enumerate(every, start=ALL_FIRST):
        state, before = f"${FINDING_COLUMN}{row}", f"${COUNT_COLUMN}{row - 1}+" if row > ALL_FIRST else ""
        formulas[f"{FINDING_COLUMN}{row}"] = f'IF({ROW_CELL}=0, "OK", {page.value(name)})'
        formulas[f"{COUNT_COLUMN}{row}"] = f'{before}IF({state}="OK", 0, 1)'
    count = f"${COUNT_COLUMN}${ALL_FIRST}:${COUNT_COLUMN}${last}"
    for place in range(FINDINGS_ROWS):
        row = FINDINGS_TOP + place
        number = f"${NUMBER_COLUMN}{row}"
        for at, source in (("A", TITLE_COLUMN), ("B", FINDING_COLUMN)):
            whole = f"${source}${ALL_FIRST}:${source}${last}"
            formulas[f"{at}{row}"] = (
                f'IF({number}>${COUNT_COLUMN}${last}, "", INDEX({whole}, MATCH({number}, {count}, 0)))'
            )
    formulas[f"A{FINDINGS_TOP + FINDINGS_ROWS}"] = (
        f'IF(${COUNT_COLUMN}${last}>{FINDINGS_ROWS}, "and "&(${COUNT_COLUMN}${last}-{FINDINGS_ROWS})&" more on Checks", "")'
    )
    return formulas | _directory(sheets, layout)


def spaces() -> tuple[tuple[int, str, str], ...]:
    """(space, column of its circuit, row) of the spaces of the added panel that are printed."""
    return tuple(
        (2 * place + side + 1, "AD"[side], str(DIRECTORY_TOP + place))
        for place in range(DIRECTORY_ROWS)
        for side in (0, 1)
    )


def _directory(sheets: Sequence[CompiledSheet], layout: Layout) -> dict[str, str]:
    """What stands in each space of the added panel: label and breaker."""
    whole = columns_of(sheets, layout)
    formulas = {}
    for space, at, row in spaces():
        key = f'{ROW_CELL}&"|added|{space}"'
        first = f"MATCH({key}, {whole['space_key']}, 0)"
        second = f"MATCH({key}, {whole['second_space_key']}, 0)"
        helper = "O" if at == "A" else "P"
        found = f"${helper}{row}"
        formulas[f"{helper}{row}"] = f"IFERROR({first}, IFERROR({second}, 0))"
        label = f"INDEX({whole['label']}, {found})"
        breaker = f"INDEX({whole['breaker_a']}, {found})"
        formulas[f"{at}{row}"] = f'IF({found}=0, "", {label}&", "&{breaker}&" A")'
    return formulas
