"""The job sheet: two printed pages for the file, the site and the inspector."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..code_tables.load import CodeTables
from .directory import columns_of
from .job_page import JobPage, Line
from .layout import Layout
from .model import CompiledSheet

JOB_SHEET = "Job sheet"
ROW_CELL = "$J$4"

HEAD = (
    Line("A6", "{site}", look="strong"),
    Line("A7", "<Estimator: {estimator}>"),
    Line("C6", "Edition {code_edition}"),
    Line("D5", "{job_status}", look="state"),
    Line("D6", "{stops:0} STOP, {checks_open:0} CHECK"),
    Line("A8", "{option_chosen}", look="strong"),
    Line("A9", "{option_reason}"),
    Line("A10", "First to settle: {first_finding}"),
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
    Line("A21", "{wiring}< {raceway_size}>, {run_ft:0} ft", when="in_added", look=BOX),
    Line("A22", "│", when="in_added", look=ARROW),
    Line("A23", "Added panel: {added_bus_chosen_a:0} A bus, {added_spaces_chosen:0} spaces", when="in_added", look=BOX),
    Line("C14", "Larger service {new_service_a:0} A, {service_conductor_size} {material}", when="in_service", look=BOX),
    Line("C16", "Sources {source_counted_a:0} A, breaker {source_breaker_a:0} A", when="source_place=main panel", look=BOX),
    Line("C23", "Sources {source_counted_a:0} A, breaker {source_breaker_a:0} A", when="source_place=added panel", look=BOX),
    Line("C12", "Sources {source_counted_a:0} A on the supply side", when="source_place=supply side", look=BOX),
    Line("C18", "Load management at {set_point_whole_a:0} A<, set by {set_point_by}>", when="in_control", look=BOX),
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
    ("Raceway", "{wiring}< {raceway_size}>", "{raceway_fill_percent:0} % of {fill_limit_percent:0} %", "Chapter 9"),
    ("Voltage drop", "{voltage_drop_percent:2} %", "target {drop_limit_percent:2} %", "215.2"),
    ("Smallest cover", "{cover_in:0} in", "{cover_case}", "300.5"),
    ("Each vehicle circuit", "{ev_breaker_a:0} A, {ev_connection}",
     "copper {ev_size_raceway} in raceway<, NM-B {ev_size_cable}>", "625.41, 210.19"),
    ("Heat-pump circuit", "<{hp_breaker_a:0} A>", "<copper {hp_size_raceway}><, NM-B {hp_size_cable}>", "440.22, 440.35"),
)
"""What, its size, what decides it, section."""

ONLY_WHERE = {
    **{what: "in_added" for what, *_ in SIZES[1:]},
    "Electrode conductor": "in_added and is_building",
    "Raceway": "in_added and is_raceway",
    "Smallest cover": "in_added and trench_ft",
    "Each vehicle circuit": "new_ev_va",
    "Heat-pump circuit": "add_heat_pump_kva",
}
"""Sizes that are shown only where the columns are more than 0."""

BAR_TOP = 40
BARS = (("As it is", "existing_load_a"), ("With the planned loads", "total_load_a"), ("Service", "service_a"))
BAR_NAMES, BAR_VALUES = "J", "K"

WAYS_TOP = 52
WAYS = ("existing spaces", "added panel", "load control", "larger service")

CAUTIONS_TOP, SIGN_ROW = 60, 67
SECOND_PAGE = 69
FINDINGS_TOP, FINDINGS_ROWS = 71, 14
MOVES_TOP, MOVES_ROWS = 89, 10
DIRECTORY_TOP, DIRECTORY_ROWS = 103, 21
ALL_FIRST = 60
"""First row of all checks beside the page."""

NUMBER_COLUMN, TITLE_COLUMN, FINDING_COLUMN, COUNT_COLUMN = "JKLM"
FIRST_PLACE, SECOND_PLACE, OTHER_SPACE = "OPQ"
"""Beside the page: places in the list of circuits; of a circuit that leaves its place and its two spaces."""
SIZE_CELL = f"${FIRST_PLACE}${DIRECTORY_TOP - 1}"
"""Spaces of the added panel, 0 where the way has none."""

LATER_SPACES = "Spaces after these are on Circuits."
SUGGESTED = ", suggested"
NOTHING_OPEN = "Nothing open."
MOVES_NOTE = Line(
    f"A{MOVES_TOP + MOVES_ROWS}",
    "{moved_circuits:0} circuits move; {listed_moves:0} have the action move on Circuits.",
    when="in_added and moved_circuits",
)


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
        MOVES_NOTE,
        Line(f"A{WAYS_TOP + 5}", "Price {price_likely_usd:$} USD, range {price_low_usd:$} to {price_high_usd:$} USD",
             look="strong"),
        *(Line(f"{BAR_VALUES}{BAR_TOP + place}", f"{{{name}}}", look="note")
          for place, (_, name) in enumerate(BARS) if name == "total_load_a"),
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
    formulas[f"{BAR_VALUES}{BAR_TOP + 2}"] = (
        f'IF({ROW_CELL}=0, "", IF({page.value("in_service")}=1, {page.value("new_service_a")}, {page.value("service_a")}))'
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
            none = f'IF({ROW_CELL}=0, "", "{NOTHING_OPEN}")' if place == 0 and at == "A" else '""'
            formulas[f"{at}{row}"] = (
                f"IF({number}>${COUNT_COLUMN}${last}, {none}, INDEX({whole}, MATCH({number}, {count}, 0)))"
            )
    formulas[f"A{FINDINGS_TOP + FINDINGS_ROWS}"] = (
        f'IF(${COUNT_COLUMN}${last}>{FINDINGS_ROWS}, "and "&(${COUNT_COLUMN}${last}-{FINDINGS_ROWS})&" more on Checks", "")'
    )
    whole = columns_of(sheets, layout)
    return formulas | _directory(page, whole) | _moves(whole)


def spaces() -> tuple[tuple[int, str, str, str], ...]:
    """(space, column of its circuit, column of its number, row) of the spaces that are printed."""
    return tuple(
        (2 * place + side + 1, "AD"[side], "BC"[side], str(DIRECTORY_TOP + place))
        for place in range(DIRECTORY_ROWS)
        for side in (0, 1)
    )


def _directory(page: JobPage, whole: Mapping[str, str]) -> dict[str, str]:
    """The spaces of the added panel, as many as it has: label and breaker of each."""
    size = page.value("added_spaces_chosen")
    formulas = {
        SIZE_CELL.replace("$", ""): f'IF({ROW_CELL}=0, 0, IF({page.value("in_added")}=0, 0, IF({size}="", 0, {size})))',
        f"A{DIRECTORY_TOP + DIRECTORY_ROWS}": f'IF({SIZE_CELL}>{2 * DIRECTORY_ROWS}, "{LATER_SPACES}", "")',
    }
    for space, at, number, row in spaces():
        key = f'{ROW_CELL}&"|added|{space}"'
        first = f"MATCH({key}, {whole['space_key']}, 0)"
        second = f"MATCH({key}, {whole['second_space_key']}, 0)"
        helper = FIRST_PLACE if at == "A" else SECOND_PLACE
        found = f"${helper}{row}"
        formulas[f"{helper}{row}"] = f"IFERROR({first}, IFERROR({second}, 0))"
        formulas[f"{number}{row}"] = f'IF({space}>{SIZE_CELL}, "", {space})'
        label = f"INDEX({whole['label']}, {found})"
        breaker = f"INDEX({whole['breaker_a']}, {found})"
        formulas[f"{at}{row}"] = f'IF({found}=0, "", {label}&", "&{breaker}&" A")'
    return formulas


def _moves(whole: Mapping[str, str]) -> dict[str, str]:
    """Circuits that leave the main panel: label, breaker, space they leave and space they get."""
    formulas = {}
    for place in range(MOVES_ROWS):
        row = MOVES_TOP + place
        found = f"${FIRST_PLACE}{row}"
        formulas[f"{FIRST_PLACE}{row}"] = (
            f'IF({SIZE_CELL}=0, 0, IFERROR(MATCH({ROW_CELL}&"|leaves|{place + 1}", {whole["leaves_key"]}, 0), 0))'
        )
        of = {name: f"INDEX({column}, {found})" for name, column in whole.items()}
        before, after = f"${SECOND_PLACE}{row}", f"${OTHER_SPACE}{row}"
        leaves = f'IF({of["panel"]}="main", {of["position"]}, {of["from_position"]})'
        listed = f'IF({of["panel"]}="main", "", {of["position"]})'
        shown = {
            "A": of["label"],
            "B": f'{of["breaker_a"]}&" A, "&{of["poles"]}&"-pole"',
            SECOND_PLACE: leaves,
            OTHER_SPACE: listed,
            "C": f'IF({before}="", "", "from space "&{before})',
            "D": f'IF({after}="", "to space "&{of["suggested_position"]}&"{SUGGESTED}", "to space "&{after})',
        }
        formulas |= {f"{at}{row}": f'IF({found}=0, "", {formula})' for at, formula in shown.items()}
    return formulas
