"""Material of an added panel: its feeder, its panel, the circuits moved to it and the run."""

from __future__ import annotations

from .model import Column
from .takeoff_pieces import FOUR, THREE, WASTE, flag, mils_of, up

ELBOWS = "IF([is_inside]=1, {elbows_building}, IF([is_building]=1, {elbows_trench}, 0))"
RODS = '[electrode]="rods"'


def elbows(other: int) -> str:
    """Elbows of a run whose trade size is on the right side of large_raceway."""
    return f"IF(OR([is_raceway]=0, [is_nipple]=1, [is_large_raceway]={other}), 0, {ELBOWS})"


def at_building(test: str) -> str:
    """1 where the panel stands in another building and a test of the feeder breaker holds."""
    return f'IF(OR([is_building]=0, [feeder_breaker_a]=""), 0, {flag(test)})'


FEEDER = (
    Column("feeder_breakers", "1"),
    Column("added_panels", "1"),
    Column("phase_ft", "2*[conductor_ft]"),
    Column("neutral_ft", "[conductor_ft]"),
    Column("ground_ft", "[conductor_ft]"),
    Column(
        "cable_ft",
        f'IF(OR([is_raceway]=1, [feeder_size]=""), 0, ([run_ft]+2*{{cable_make_up_ft}})*{WASTE})',
    ),
    Column(
        "raceway_lengths",
        'IF(OR([is_raceway]=0, [raceway_size]=""), 0, '
        + up(f"([raceway_ft]-IF([riser_lengths]>0, 2*{{riser_ft}}, 0))*{WASTE}/{{length_ft}}")
        + ")",
    ),
    Column(
        "riser_lengths",
        'IF(AND([wiring]="PVC 40", [trench_ft]>0, [raceway_size]<>""), '
        + up("2*{riser_ft}/{length_ft}")
        + ", 0)",
    ),
    Column(
        "moved_wire_ft",
        f"({THREE}*[spliced_circuits]+MAX([move_2pole_used]-[listed_reaches_2pole], 0))"
        f'*(IF([moved_ext_ft]="", 0, [moved_ext_ft])+{{splice_ft}})*{WASTE}',
    ),
    Column("electrode_ft", 'IF([gec_size]="", 0, {electrode_run_ft})'),
)
"""Lines of the price book that depend on a size of the job."""

PANEL = (
    Column("backboards", "1"),
    Column("ground_bar_kits", "1"),
    Column("surge_devices", "IF([is_building]=0, {surge_feeder}, 0)"),
    Column("moved_1pole_breakers", "[moved_1pole_total]-[moved_arc_fault]"),
    Column("moved_protected", "[moved_arc_fault]"),
    Column("moved_2pole_breakers", "[move_2pole_used]"),
    Column("handle_ties", "ROUNDDOWN(ROUND([listed_shared]/2, 6), 0)"),
    Column(
        "filler_plates",
        "MAX([moved_1pole_total]+2*[move_2pole_used]+[spaces_freed]+[spaces_free]-[incoming_spaces]"
        "-[spaces_free], 0)",
    ),
    Column("wire_connectors", up(f"{THREE}*[spliced_circuits]*{WASTE}")),
    Column("aluminum_connectors", f"{THREE}*[listed_aluminum]"),
    Column("oxide_inhibitors", flag('OR([material]="aluminum", [listed_aluminum]>0)')),
    Column(
        "moved_nipples",
        flag('AND([moved_circuits]>0, [moved_in_raceway]="no", [panel_place]="same wall")'),
    ),
)

FITTINGS = (
    Column("adapters_small", "2*" + flag("AND([is_raceway]=1, [is_large_raceway]=0)")),
    Column("adapters_large", "2*[is_large_raceway]"),
    Column("locknuts", "2*[is_raceway]"),
    Column(
        "bushings",
        f'IF(OR([is_raceway]=0, [feeder_size]=""), 0, IF([feeder_mils]>={mils_of("{bushing_size}")}, 2, 0))',
    ),
    Column("elbows_small", elbows(1)),
    Column("elbows_large", elbows(0)),
    Column(
        "bodies_small",
        flag('AND([is_raceway]=1, [is_nipple]=0, [is_large_raceway]=0, [panel_place]<>"same wall")'),
    ),
    Column(
        "bodies_large",
        flag('AND([is_large_raceway]=1, [is_nipple]=0, [panel_place]<>"same wall")'),
    ),
    Column("expansion_fittings", 'IF([expansion_fitting]="yes", 1+[is_building], 0)'),
    Column(
        "straps",
        "IF(OR([is_raceway]=0, [is_nipple]=1), 0, " + up("[exposed_ft]/{strap_spacing_ft}") + "+2)",
    ),
)

RUN = (
    Column("nm_connectors", 'IF([wiring]="NM-B cable", 2, 0)'),
    Column("large_connectors", 'IF(OR([wiring]="SER cable", [wiring]="MC cable"), 2, 0)'),
    Column("staples", "IF([is_raceway]=1, 0, " + up("[run_ft]/{staple_spacing_ft}") + f"+{FOUR})"),
    Column(
        "nail_plates",
        "IF(OR([is_raceway]=1, [is_inside]=0, [is_finished]=0), 0, "
        + up("[run_ft]/{plate_spacing_ft}")
        + ")",
    ),
    Column("sealants", "[is_inside]+2*[is_building]"),
    Column("duct_seals", "2*[is_building]"),
    Column("phase_tapes", "1"),
    Column("disconnects_small", at_building("[feeder_breaker_a]<={disconnect_small}")),
    Column("disconnects_large", at_building("[feeder_breaker_a]>{disconnect_small}")),
    Column("rods", f"IF(AND([is_building]=1, {RODS}), {{rods_driven}}, 0)"),
    Column("electrode_clamps", flag('AND([is_building]=1, [electrode]<>"rods")')),
    Column("intersystem_terminals", "[is_building]"),
    Column("warning_tapes", flag("[trench_ft]>0")),
    Column("trencher_days", 'IF([trench_by]="hand", 0, ' + up("[trench_ft]/{half_day_ft}") + ")"),
    Column(
        "wall_repairs",
        'IF(OR([is_inside]=0, [is_finished]=0, [access]="easy"), 0, '
        'IF([access]="normal", {repairs_normal}, {repairs_hard}))',
    ),
)

ADDED_PANEL = (*FEEDER, *PANEL, *FITTINGS, *RUN)
