"""Solar, storage and generator inlet: what each bus and the feeder take of them."""

from __future__ import annotations

from .feeder_load import RATINGS
from .model import Column, Sheet

FAR_END = "{bus_far_end_rate}"
BREAKER_LEAST = "ROUND([source_output_a]*(1+{continuous_rate}), 6)"
PASSED = '[main_bus_route]<>"no test passes"'
AS_PANEL = (
    'OR([source_at]="main panel far end", AND(OR([source_at]="added panel far end", '
    '[source_at]="added panel elsewhere"), [feeder_at]="far end"))'
)


def by_breakers(passes: str, fails: str) -> str:
    """The test of the sum of breakers, where that sum is known."""
    return (
        f'IF([main_breakers_after_a]="", {fails}, '
        f"IF([main_breakers_after_a]<=[main_bus_a], {passes}, {fails}))"
    )


OUTPUT = (
    Column("source_output_a", "[pv_output_a]+[storage_output_a]"),
    Column(
        "source_counted_a",
        'IF([source_limit_a]="", [source_output_a], MIN([source_output_a], [source_limit_a]))',
    ),
    Column("source_rated_a", "[source_counted_a]*(1+{continuous_rate})"),
    Column(
        "source_breaker_a",
        f'IF(OR([source_output_a]=0, {BREAKER_LEAST}>MAX({RATINGS})), "", '
        f'INDEX({RATINGS}, COUNTIF({RATINGS}, "<"&{BREAKER_LEAST})+1))',
    ),
    Column(
        "source_place",
        'IF([source_output_a]=0, "none", IF([source_at]="supply side", "supply side", '
        'IF(OR([source_at]="main panel far end", [source_at]="main panel elsewhere"), '
        '"main panel", "added panel")))',
    ),
)

MAIN_BUS = (
    Column(
        "main_bus_factor",
        'IF(OR(AND([source_place]="main panel", [source_at]="main panel far end"), '
        f'AND([source_place]="added panel", [feeder_at]="far end")), {FAR_END}, 1)',
    ),
    Column("main_bus_allowed_a", "[main_bus_a]*[main_bus_factor]"),
    Column(
        "main_bus_sum_a",
        'IF(OR([source_place]="none", [source_place]="supply side"), 0, [service_a]+[source_rated_a])',
    ),
    Column(
        "main_breakers_known",
        'IF(OR([main_breakers_sum_a]="", [feeder_breaker_a]="", '
        'AND([planned_in]="main panel", [planned_spaces]>0), '
        'AND([generator_inlet_a]>0, [inlet_at]="main panel"), '
        'AND([source_place]="main panel", [source_breaker_a]="")), "no", "yes")',
    ),
    Column(
        "main_breakers_after_a",
        'IF([main_breakers_known]="no", "", [main_breakers_sum_a]+[feeder_breaker_a]'
        '+IF([source_place]="main panel", [source_breaker_a], 0))',
    ),
    Column(
        "main_bus_check",
        'IF([source_place]="none", "OK", '
        'IF(AND([source_place]="supply side", [source_counted_a]>[service_a]), "STOP", '
        f'IF({PASSED}, IF(OR([existing_source]="yes", '
        'AND([main_feed]="centre", [main_bus_route]="120 percent")), "CHECK", "OK"), "STOP")))',
    ),
    Column(
        "main_bus_route",
        'IF(OR([source_place]="none", [source_place]="supply side"), [source_place], '
        'IF([main_bus_sum_a]<=[main_bus_a], "100 percent", '
        'IF([main_bus_sum_a]<=[main_bus_allowed_a], "120 percent", '
        + by_breakers('"sum of breakers"', '"no test passes"')
        + ")))",
    ),
    Column("max_source_output_a", f"MAX(([main_bus_a]*{FAR_END}-[service_a])/(1+{{continuous_rate}}), 0)"),
    Column("place_factor", f"IF({AS_PANEL}, {FAR_END}, 1)"),
    Column(
        "place_output_a",
        'IF([source_at]="supply side", [service_a], '
        "MAX([main_bus_a]*[place_factor]-[service_a], 0)/(1+{continuous_rate}))",
    ),
    Column(
        "existing_bus_allowed_a",
        f'[main_bus_a]*IF([source_at]="main panel elsewhere", 1, {FAR_END})',
    ),
    Column(
        "existing_breakers_a",
        'IF(OR([main_breakers_sum_a]="", [source_breaker_a]="", [planned_spaces]>0, [generator_inlet_a]>0), '
        '"", [main_breakers_sum_a]+[source_breaker_a])',
    ),
    Column(
        "existing_bus_check",
        'IF([source_place]="none", "OK", '
        'IF([source_place]="supply side", IF([source_counted_a]<=[service_a], "OK", "STOP"), '
        'IF(ROUND([service_a]+[source_rated_a], 6)<=[existing_bus_allowed_a], "OK", '
        'IF([existing_breakers_a]="", "STOP", IF([existing_breakers_a]<=[main_bus_a], "OK", "STOP")))))',
    ),
)

ADDED_BUS = (
    Column("added_bus_factor", f'IF([source_at]="added panel far end", {FAR_END}, 1)'),
    Column(
        "added_bus_check",
        'IF([source_place]<>"added panel", "OK", '
        'IF(OR([feeder_breaker_a]="", [added_bus_chosen_a]=""), "STOP", '
        "IF(ROUND([feeder_breaker_a]+[source_rated_a], 6)"
        '<=ROUND([added_bus_chosen_a]*[added_bus_factor], 6), "OK", "STOP")))',
    ),
    Column(
        "feeder_source_state",
        'IF(OR([source_place]<>"added panel", [feeder_ampacity_a]=""), "OK", '
        'IF([feeder_ampacity_a]<[source_rated_a], "STOP: the feeder carries less than the source", "OK"))',
    ),
)

INLET = (
    Column(
        "inlet_state",
        'IF([generator_inlet_a]=0, "OK", IF([interlock]="no", '
        '"STOP: an inlet needs a listed interlock or transfer equipment", '
        '"CHECK: a set with its neutral bonded is bonded twice through an interlock"))',
    ),
    Column("hold_down", 'IF(OR([generator_inlet_a]>0, [storage_output_a]>0), "yes", "no")'),
)

SOURCES = Sheet(
    name="Sources",
    title="Solar, storage and generator inlet",
    note="What the main bus, the added bus and the feeder take of solar, storage and a generator inlet.",
    columns=(*OUTPUT, *MAIN_BUS, *ADDED_BUS, *INLET),
)
