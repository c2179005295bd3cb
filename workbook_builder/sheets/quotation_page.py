"""The quotation for the client: scope, price, what is not in it, cautions, in plain words."""

from __future__ import annotations

from collections.abc import Sequence

from .job_page import JobPage, Line
from .layout import Layout
from .model import CompiledSheet

QUOTATION = "Quotation"
ROW_CELL = "$H$4"
DATE_CELL = "$C$7"
"""Where a person types the date of the offer."""

ADDED = "in_added"
FIRST_SCOPE = 10

SCOPE = (
    ("The present panel serves the new loads; no panel is added.", "option_chosen=existing spaces"),
    ("{two_circuit_breakers:0} two-circuit breakers make room in it.", "in_existing and two_circuit_breakers"),
    ("A panel of {added_spaces_chosen:0} spaces with a {added_bus_chosen_a:0} A bus is added ({panel_place}).", ADDED),
    ("It is fed by a breaker of {feeder_breaker_a:0} A in the main panel.", ADDED),
    ("Its feeder: {wiring}, {material}, {run_ft:0} ft one way.", ADDED),
    ("{moved_circuits:0} circuits move to it, to make room.", "in_added and moved_circuits"),
    ("Load management holds the vehicle supply at {set_point_whole_a:0} A in all.", "in_control"),
    ("The service grows from {service_a:0} A to {new_service_a:0} A: meter base, conductors, main panel.", "in_service"),
    ("New circuits, landed and labelled: {planned_2pole:0} two-pole and {add_1pole:0} one-pole.", ""),
    ("Each vehicle supply unit gets a breaker of {ev_breaker_a:0} A.", "new_ev_va"),
    ("Its circuit of {add_ev_run_ft:0} ft is run and connected.", "vehicle_sets"),
    ("The circuit of the heat pump, {add_heat_pump_run_ft:0} ft, is run, with a disconnect.", "heat_pump_sets"),
    ("Further work: {extra_work}.", "extra_work<>"),
    ("Permit, inspection, panel directory, torque record and readings.", ""),
    ("{wall_repairs:0} wall repairs by others, one coat of texture, no paint.", "in_added and wall_repairs"),
    ("{trench_ft:0} ft of trench, dug and filled again.", "in_added and trench_ft"),
)
"""Words and where they are shown."""

PRICE_TOP = 28
PRICE = (
    Line(f"A{PRICE_TOP}", "Price: {price_likely_usd:$} USD", look="price"),
    Line(f"A{PRICE_TOP + 1}", "Eight in ten jobs like this cost between {price_low_usd:$} and {price_high_usd:$} USD."),
)

EXCLUDED = (
    "The equipment itself: vehicle supply unit, heat pump, appliances, solar and storage.",
    "Wiring that is not named above, outlets and their boxes.",
    "Fees and work of the utility; paving, planting and painting.",
    "What is found behind walls and could not be seen, and changes the inspector asks for.",
)

CAUTIONS = (
    "The lugs on the line side of a panel stay live with its main switched off.",
    "Work on meter and service belongs to the utility and to licensed people.",
    "Local amendments and the inspector decide; this offer follows them.",
)

SCOPE_ROWS = len(SCOPE)
NUMBER_COLUMN, WORDS_COLUMN, COUNT_COLUMN = "JKL"
"""Beside the page: number of the printed line, every sentence of the scope, those that hold so far."""


def scope_lines() -> tuple[Line, ...]:
    """The scope, a cell each."""
    return tuple(
        Line(f"{WORDS_COLUMN}{FIRST_SCOPE + place}", words, when=when, look="words")
        for place, (words, when) in enumerate(SCOPE)
    )


HEAD = (
    Line("A6", "{site}", look="strong"),
    Line("A7", "Job {job_no}<, visit by {estimator}>"),
)


def lines() -> tuple[Line, ...]:
    """Every line that shows the job."""
    return (*HEAD, *scope_lines(), *PRICE)


def quotation_formulas(sheets: Sequence[CompiledSheet], layout: Layout) -> dict[str, str]:
    """Every formula of the page by the cell it stands in, no leading `=`."""
    page = JobPage(sheets, layout, ROW_CELL)
    formulas = page.head_formulas()
    formulas |= {line.cell: page.formula(line) for line in lines()}
    last = FIRST_SCOPE + SCOPE_ROWS - 1
    for row in range(FIRST_SCOPE, last + 1):
        before = f"${COUNT_COLUMN}{row - 1}+" if row > FIRST_SCOPE else ""
        formulas[f"{COUNT_COLUMN}{row}"] = f'{before}IF(${WORDS_COLUMN}{row}="", 0, 1)'
        formulas[f"A{row}"] = (
            f'IF(${NUMBER_COLUMN}{row}>${COUNT_COLUMN}${last}, "", INDEX(${WORDS_COLUMN}${FIRST_SCOPE}:'
            f"${WORDS_COLUMN}${last}, MATCH(${NUMBER_COLUMN}{row}, ${COUNT_COLUMN}${FIRST_SCOPE}:"
            f"${COUNT_COLUMN}${last}, 0)))"
        )
    formulas["A3"] = layout.setting_cell("company_name")
    formulas["C3"] = layout.setting_cell("company_licence")
    days = layout.setting_cell("valid_days")
    formulas["A8"] = f'"This offer holds for "&ROUND({days}, 0)&" days from the date."'
    return formulas
