"""Material of a larger service."""

from __future__ import annotations

from .model import Column
from .package_lines import unless_blank
from .takeoff_pieces import FOUR, THREE, WASTE, flag, mils_of

SIZES = "{bare_conductor.size}"


def with_service(test: str) -> str:
    """1 where there is a larger service and a test of it holds."""
    return f'IF([new_service_a]="", 0, {flag(test)})'


LARGER_SERVICE = (
    Column("main_panels", "1"),
    Column(
        "service_conductor_ft",
        f'IF([service_conductor_size]="", 0, ({THREE}*{{service_run_ft}}'
        f"+IF({{emergency_disconnect}}=1, {FOUR}*{{service_feed_ft}}, 0))*{WASTE})",
    ),
    Column("service_electrode_ft", 'IF([service_electrode_size]="", 0, {electrode_run_ft})'),
    Column("meter_bases_small", with_service("[new_service_a]<={meter_small}")),
    Column("meter_bases_large", with_service("[new_service_a]>{meter_small}")),
    Column("mast_sets", "1"),
    Column("emergency_disconnects", "{emergency_disconnect}"),
    Column("service_rods", 'IF([electrode]="rods", {rods_driven}, 0)'),
    Column("service_clamps", flag('[electrode]<>"rods"')),
    Column("bonding_jumpers", "2"),
    Column("service_intersystem", "1"),
    Column("service_surge", "{surge_service}"),
    Column("service_inhibitors", flag('[material]="aluminum"')),
    Column("service_ground_bars", "{emergency_disconnect}"),
    Column(
        "service_mils",
        unless_blank("service_conductor_size", mils_of("[service_conductor_size]")),
    ),
    Column(
        "service_electrode_table",
        unless_blank(
            "service_mils",
            'INDEX({electrode_conductor.copper}, IF([material]="copper", '
            'COUNTIF({electrode_conductor.copper over}, "<"&[service_mils]), '
            'COUNTIF({electrode_conductor.aluminum over}, "<"&[service_mils])))',
        ),
    ),
    Column(
        "service_electrode_size",
        unless_blank(
            "service_electrode_table",
            'IF([electrode_largest]="", [service_electrode_table], INDEX('
            f"{SIZES}, MIN(MATCH([service_electrode_table], {SIZES}, 0), MATCH([electrode_largest], {SIZES}, 0))))",
        ),
    ),
)
