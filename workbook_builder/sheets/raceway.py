"""Raceway of the feeder, the circuits moved through it, and the run."""

from __future__ import annotations

from .feeder_size import SIZES
from .model import Column, Sheet

FOUR = "(2+1+1)"
"""Two hots, a neutral, a grounding conductor."""
THREE = "(1+1+1)"
"""A hot, a neutral, a grounding conductor."""

BORES = "{raceway_diameter}"
OF_BORE = "({raceway_diameter.header}=[raceway_bore])"


def no_cable(formula: str) -> str:
    """Blank for a cable."""
    return f'IF([wiring_kind]="cable", "", {formula})'


def insulated(row: str) -> str:
    """Area of the conductor at a position of the area table, in the insulation chosen."""
    return f"INDEX({{conductor_area}}, {row}, MATCH([insulation], {{conductor_area.header}}, 0))"


def grounding(row: str) -> str:
    """Area of a grounding conductor, bare where it is not insulated."""
    return f'IF([insulated_egc]="no", INDEX({{bare_conductor.area_in2}}, {row}), {insulated(row)})'


def sized(size: str) -> str:
    """Area of a feeder conductor by its size, blank for a cable."""
    row = f"MATCH([{size}], {{conductor_area.size}}, 0)"
    return f'IF(OR([wiring_kind]="cable", [{size}]=""), "", {insulated(row)})'


def moved(formula: str) -> str:
    """Blank for a cable, and where no moved circuit is in the raceway."""
    return f'IF([moved_inside]="", "", IF([moved_inside]=0, "", {formula}))'


CONDUCTORS = (
    Column(
        "moved_inside",
        no_cable('IF([moved_in_raceway]="yes", [moved_1pole_total]+[move_2pole_used], 0)'),
    ),
    Column(
        "current_carrying_conductors",
        no_cable("2+IF([line_v]={wye_voltage}, 1, 0)+2*[moved_inside]"),
    ),
    Column(
        "conductor_count",
        no_cable(
            f'{FOUR}+IF([moved_in_raceway]="yes", {THREE}*[moved_1pole_total]+{FOUR}*[move_2pole_used], 0)'
        ),
    ),
    Column("hot_area_in2", sized("feeder_size")),
    Column("neutral_area_in2", sized("neutral_size")),
    Column("egc_position", f'IF([egc_size]="", "", MATCH([egc_size], {SIZES}, 0))'),
    Column(
        "egc_area_in2",
        f'IF(OR([wiring_kind]="cable", [egc_position]=""), "", {grounding("[egc_position]")})',
    ),
    Column(
        "moved_egc_position",
        "MIN(MATCH(INDEX({equipment_ground.copper}, "
        f'COUNTIF({{equipment_ground.rating_a}}, "<"&[moved_breaker_a])+1), {SIZES}, 0), '
        f"MATCH([moved_wire], {SIZES}, 0))",
    ),
    Column("moved_egc_size", f"INDEX({SIZES}, [moved_egc_position])"),
    Column("moved_wire_in2", insulated(f"MATCH([moved_wire], {SIZES}, 0)")),
    Column("moved_egc_in2", grounding("[moved_egc_position]")),
    Column(
        "moved_area_in2",
        'IF([moved_inside]="", "", IF([moved_inside]=0, 0, '
        "(2*[moved_1pole_total]+(2+1)*[move_2pole_used])*[moved_wire_in2]+[moved_inside]*[moved_egc_in2]))",
    ),
    Column(
        "conductor_area_in2",
        'IF(OR([hot_area_in2]="", [egc_area_in2]=""), "", '
        "2*[hot_area_in2]+[neutral_area_in2]+[egc_area_in2]+[moved_area_in2])",
    ),
)

BORE = (
    Column(
        "fill_limit_percent",
        no_cable(
            "IF([raceway_in]<={nipple_length}, {nipple_fill}, "
            "INDEX({fill_limit.percent}, MATCH([conductor_count], {fill_limit.conductors_from}, 1)))"
        ),
    ),
    Column(
        "raceway_bore",
        no_cable('IF(AND([wiring]="PVC 40", [panel_place]="other building"), "PVC 80", [wiring])'),
    ),
    Column(
        "raceway_index",
        f'IF([conductor_area_in2]="", "", SUMPRODUCT(({BORES}>0)*'
        f"(PI()/2/2*{BORES}*{BORES}*[fill_limit_percent]/{{percent}}<[conductor_area_in2])*{OF_BORE})+1)",
    ),
    Column(
        "raceway_size",
        f'IF([raceway_index]="", "", IF([raceway_index]>SUMPRODUCT(({BORES}>0)*{OF_BORE}), "", '
        "INDEX({raceway_diameter.trade_size}, [raceway_index])))",
    ),
    Column(
        "raceway_bore_in",
        f'IF([raceway_size]="", "", INDEX({BORES}, [raceway_index], '
        "MATCH([raceway_bore], {raceway_diameter.header}, 0)))",
    ),
    Column(
        "raceway_fill_percent",
        'IF([raceway_size]="", "", '
        "[conductor_area_in2]/(PI()/2/2*[raceway_bore_in]*[raceway_bore_in])*{percent})",
    ),
    Column(
        "raceway_state",
        'IF([raceway_index]="", "OK", IF([raceway_size]="", '
        '"STOP: no trade size of this raceway holds the conductors", "OK"))',
    ),
    Column(
        "conductor_od_in",
        'IF(OR([wiring_kind]="cable", [feeder_size]=""), "", INDEX({conductor_diameter}, '
        "MATCH([feeder_size], {conductor_diameter.size}, 0), MATCH([insulation], {conductor_diameter.header}, 0)))",
    ),
    Column(
        "jam_ratio",
        'IF(OR([raceway_bore_in]="", [raceway_in]<={nipple_length}, [neutral_size]<>[feeder_size]), "", '
        "[raceway_bore_in]/[conductor_od_in])",
    ),
    Column(
        "jam_advice",
        'IF([jam_ratio]="", "", IF(AND([jam_ratio]>={jam_least}, [jam_ratio]<={jam_most}), '
        '"At this ratio three conductors alone may jam in bends; beside a fourth it is rare. Lubricate.", ""))',
    ),
)

MOVED = (
    Column(
        "moved_terminal_a",
        f"INDEX({{ampacity}}, MATCH([moved_wire], {SIZES}, 0), "
        'MATCH("copper "&IF([terminals]="75 C", {terminal_marked}, {terminal_unmarked}), '
        "{ampacity.header}, 0))+0",
    ),
    Column(
        "moved_wire_ampacity_a",
        moved(
            f"MIN([moved_terminal_a], [correction]*INDEX({{ampacity}}, MATCH([moved_wire], {SIZES}, 0), "
            'MATCH("copper "&[insulation_c], {ampacity.header}, 0)))'
        ),
    ),
    Column(
        "moved_limit_a",
        'IF([moved_1pole_total]+[move_2pole_used]>0, IFERROR(INDEX({small_conductor.copper}, '
        'MATCH([moved_wire], {small_conductor.size}, 0)), ""), "")',
    ),
    Column(
        "moved_ampacity_state",
        'IF([moved_wire_ampacity_a]="", "OK", IF([moved_wire_ampacity_a]<[moved_breaker_a], '
        '"STOP: the moved conductors carry less than their breaker", "OK"))',
    ),
    Column(
        "moved_state",
        'IF([moved_ampacity_state]<>"OK", [moved_ampacity_state], IF([moved_limit_a]="", "OK", '
        "IF([moved_limit_a]<[moved_breaker_a], "
        '"STOP: the breaker is too large for the moved conductors", "OK")))',
    ),
)

RUN = (
    Column(
        "cover_in",
        'IF(OR([trench_ft]=0, [burial_column]=""), "", '
        "INDEX({burial_cover}, MATCH([cover_case], {burial_cover.cover_case}, 0), "
        "MATCH([burial_column], {burial_cover.header}, 0)))",
    ),
    Column(
        "expansion_in",
        'IF(OR([wiring]="PVC 40", [wiring]="PVC 80"), [exposed_ft]*{pvc_expansion}'
        '*([temp_change_f]+IF([in_sun]="yes", {sun_temperature}, 0)), "")',
    ),
    Column(
        "expansion_fitting",
        'IF([expansion_in]="", "", IF([expansion_in]>={expansion_limit}, "yes", "no"))',
    ),
    Column(
        "bending_space_in",
        'IF([feeder_size]="", "", 0+INDEX({bending_space.inches}, MATCH([feeder_size], {bending_space.size}, 0)))',
    ),
)

RACEWAY = Sheet(
    name="Raceway",
    title="Raceway and run",
    note="What stands in the raceway, the trade size that holds it, and the run through ground and sun.",
    columns=(*CONDUCTORS, *BORE, *MOVED, *RUN),
)
