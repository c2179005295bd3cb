"""Solar array for the yearly use, and whether the present bus takes it."""

from __future__ import annotations

from .model import Column, Sheet


def unless_blank(name: str, formula: str) -> str:
    """Blank where the value that is needed is blank."""
    return f'IF([{name}]="", "", {formula})'


SOLAR = Sheet(
    name="Solar",
    title="Solar array",
    note="The array that covers the wanted share of the yearly use, and whether the present bus takes it.",
    columns=(
        Column(
            "use_kwh",
            unless_blank("annual_kwh", "[annual_kwh]+[ev_miles]*[ev_kwh_per_mile]+[heat_pump_kwh]"),
        ),
        Column("wanted_kwh", unless_blank("use_kwh", "[use_kwh]*[offset_percent]/{percent}")),
        Column("array_kw", unless_blank("wanted_kwh", "[wanted_kwh]/[yield_kwh_per_kw]")),
        Column(
            "module_count",
            unless_blank("array_kw", "ROUNDUP(ROUND([array_kw]*{va_per_kw}/[module_w], 6), 0)"),
        ),
        Column("array_built_kw", unless_blank("module_count", "[module_count]*[module_w]/{va_per_kw}")),
        Column("array_yield_kwh", unless_blank("array_built_kw", "[array_built_kw]*[yield_kwh_per_kw]")),
        Column(
            "inverter_a",
            unless_blank("array_built_kw", "[array_built_kw]*{va_per_kw}/{array_ratio}/[line_v]"),
        ),
        Column(
            "panel_array_kw",
            "MAX([max_source_output_a]-[storage_output_a], 0)*[line_v]*{array_ratio}/{va_per_kw}",
        ),
        Column("solar_output_a", unless_blank("inverter_a", "[inverter_a]+[storage_output_a]")),
        Column(
            "solar_counted_a",
            unless_blank(
                "solar_output_a",
                'IF([source_limit_a]="", [solar_output_a], MIN([solar_output_a], [source_limit_a]))',
            ),
        ),
        Column(
            "solar_state",
            'IF([inverter_a]="", "OK", IF([solar_counted_a]>[place_output_a], '
            '"CHECK: the array wanted is more than the bus takes there", '
            "IF(AND([pv_output_a]>0, [pv_output_a]<[inverter_a]), "
            '"CHECK: the inverter entered is smaller than the array wants", "OK")))',
        ),
    ),
)
