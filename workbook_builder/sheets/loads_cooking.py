"""Cooking by the demand table, for the house as it is and with planned loads.

The units are the range, the wall ovens (so many of one rating), the cooktop
and, with planned loads, the new range. A unit counts in column A, in column B
or over both; one of the floor or less stays outside the table.
"""

from __future__ import annotations

from collections.abc import Callable

from .model import Column

NOW = ("now_range_counted_kw", "cooktop_kw")
PLANNED = ("range_counted_kw", "cooktop_kw", "add_range_kw")


def total(single: tuple[str, ...], one: Callable[[str], str]) -> str:
    """The sum of `one` over the units, the ovens taken oven_count times."""
    first, *rest = [one(f"[{name}]") for name in single]
    return "+".join([first, f"[oven_count]*{one('[oven_each_kw]')}", *rest])


def counted(single: tuple[str, ...], test: str) -> str:
    """Number of units that pass a comparison."""
    return total(single, lambda name: f"({name}{test})")


def rated(single: tuple[str, ...], test: str) -> str:
    """Rating of the units that pass a comparison."""
    return total(single, lambda name: f"({name}{test})*{name}")


def raised(units: str, kw: str) -> str:
    """Column C for so many units, raised by their mean rating over the table's."""
    return (
        f"IF([{units}]=0, 0, INDEX({{cooking_demand.column_c}}, MATCH([{units}], {{cooking_demand.units}}, 1))"
        f"*(1+{{cooking_step_rate}}*INT(ROUND([{kw}]/[{units}]-{{cooking_c_limit}}"
        "+{cooking_major_fraction}, 6))))"
    )


def share(units: str, kw: str, column: str) -> str:
    """A rating times the percentage of its column."""
    return f"[{kw}]*INDEX({{cooking_demand.{column}}}, MATCH(MAX([{units}], 1), {{cooking_demand.units}}, 1))"


def case(prefix: str, single: tuple[str, ...]) -> dict[str, str]:
    """Every cooking column of one case, by its name without the prefix.

    Column A holds what is over the floor and not at or over its limit, column B
    what is left of the units up to its limit.
    """
    p = f"{prefix}cooking_"
    return {
        "nameplate_va": f"({total(single, lambda name: name)})*{{va_per_kw}}",
        "units": counted(single, ">{cooking_floor}"),
        "small_va": f"({rated(single, '<={cooking_floor}')})*{{va_per_kw}}",
        "table_kw": f"([{p}nameplate_va]-[{p}small_va])/{{va_per_kw}}",
        "a_units": f"MAX([{p}units]-({counted(single, '>={cooking_a_limit}')}), 0)",
        "a_kw": f"MAX([{p}table_kw]-({rated(single, '>={cooking_a_limit}')}), 0)",
        "b_units": f"[{p}units]-[{p}a_units]-({counted(single, '>{cooking_b_limit}')})",
        "b_kw": f"[{p}table_kw]-[{p}a_kw]-({rated(single, '>{cooking_b_limit}')})",
        "over_units": f"[{p}units]-[{p}a_units]-[{p}b_units]",
        "raised_kw": f"[{p}units]*{{cooking_c_limit}}+"
        + total(single, lambda name: f"MAX({name}-{{cooking_c_limit}}, 0)"),
        "over_raised_kw": f"[{p}raised_kw]-([{p}a_units]+[{p}b_units])*{{cooking_c_limit}}",
        "c_kw": raised(f"{p}units", f"{p}raised_kw"),
        "over_kw": raised(f"{p}over_units", f"{p}over_raised_kw"),
        "ab_kw": f"({share(f'{p}a_units', f'{p}a_kw', 'column_a')}"
        f"+{share(f'{p}b_units', f'{p}b_kw', 'column_b')})/{{percent}}+[{p}over_kw]",
        "demand_va": f"MIN([{p}c_kw], [{p}ab_kw])*{{va_per_kw}}+[{p}small_va]",
    }


def pairs() -> tuple[Column, ...]:
    """The columns of both cases, side by side."""
    now, planned = case("now_", NOW), case("", PLANNED)
    return tuple(
        Column(f"{prefix}cooking_{name}", formulas[name])
        for name in now
        for prefix, formulas in (("now_", now), ("", planned))
    )


COOKING_LOADS = (
    Column("oven_each_kw", "IF([oven_kw]=0, 0, [oven_kw]/[oven_count])"),
    Column("now_range_counted_kw", "[range_kw]"),
    Column("range_counted_kw", 'IF([drop_range]="yes", 0, [range_kw])'),
    *pairs(),
    Column("cooking_largest_kw", "MAX([range_kw], [oven_each_kw], [cooktop_kw], [add_range_kw])"),
    Column(
        "cooking_state",
        'IF([cooking_largest_kw]>{cooking_limit}, "STOP: a cooking unit is over the demand table", '
        "IF(MAX([cooking_units], [now_cooking_units])>ROWS({cooking_demand.units}), "
        '"STOP: more cooking units than the demand table holds", "OK"))',
    ),
)
