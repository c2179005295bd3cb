"""Hours by difficulty, by package and of the way chosen, and how far they spread."""

from __future__ import annotations

from .model import Column
from .package_lines import PACKAGES, difficulties, likely_of, no_price, tasks, times, unless_blank, way_sum
from .takeoff_pieces import flag

FACTOR_NAMES = {
    "age": '"age "&[house_age]',
    "condition": 'IF([panel_condition]="crowded", "condition crowded", "condition sound")',
    "wall": '"wall "&[wall]',
    "access": '"access "&[access]',
}
"""The line of the factors that a job takes, for each kind of factor."""

PRODUCTS = {
    "panel": ("age", "condition"),
    "wall": ("age", "wall"),
    "run": ("access",),
    "route": ("age", "wall", "access"),
}
"""Which factors multiply the work of each difficulty."""

STATISTIC_OF = {"likely": "likely", "mean": "mean", "var": "variance"}
"""Ending of a column of hours, and the statistic of the labour unit."""

OVER_THE_CAP = "CHECK: difficulty is over the cap; offer this work by the hour"


def multiplied(difficulty: str, statistic: str) -> str:
    """The product of the factors of a difficulty."""
    return "*".join(f"[{factor}_{statistic}]" for factor in PRODUCTS[difficulty])


def factor(name: str) -> tuple[Column, ...]:
    """One kind of factor: its row, likely, mean, and variance over the square of the mean."""
    place = f"[{name}_place]"
    return (
        Column(f"{name}_place", f"MATCH({FACTOR_NAMES[name]}, {{factors.factor}}, 0)"),
        Column(f"{name}_likely", likely_of("factors", place)),
        Column(f"{name}_mean", f"INDEX({{factors.mean}}, {place})"),
        Column(
            f"{name}_rel",
            f"IF([{name}_mean]=0, 0, INDEX({{factors.variance}}, {place})/[{name}_mean]^2)",
        ),
    )


DIFFICULTY = (
    *(column for name in FACTOR_NAMES for column in factor(name)),
    *(
        Column(
            f"{name}_factor_{statistic}",
            f"MIN({{difficulty_cap}}, {multiplied(name, statistic)})",
        )
        for name in PRODUCTS
        for statistic in ("likely", "mean")
    ),
    Column(
        "difficulty_state",
        "IF(MAX("
        + ", ".join(f"ROUND({multiplied(name, 'mean')}, 6)" for name in PRODUCTS)
        + f')>{{difficulty_cap}}, "{OVER_THE_CAP}", "OK")',
    ),
)

HOURS = tuple(
    Column(
        f"{package}_{difficulty}_{statistic}_h",
        times(tasks(package, difficulty), STATISTIC_OF[statistic]),
    )
    for package in ("common", *PACKAGES)
    for difficulty in difficulties(package)
    for statistic in STATISTIC_OF
)


def package_hours(package: str, statistic: str) -> Column:
    """Hours of a package with its factors of difficulty."""
    parts = (
        f"[{package}_{name}_{statistic}_h]" + ("" if name == "none" else f"*[{name}_factor_{statistic}]")
        for name in difficulties(package)
    )
    return Column(f"{package}_hours_{statistic}", "+".join(parts))


PACKAGE_HOURS = tuple(
    package_hours(package, statistic) for package in ("common", *PACKAGES) for statistic in ("likely", "mean")
)


def in_way(difficulty: str, ending: str) -> str:
    """Sum over the packages of the way chosen that have work of a difficulty."""
    parts = [f"[common_{difficulty}_{ending}]"] if difficulty in difficulties("common") else []
    parts += [
        f"[in_{package}]*[{package}_{difficulty}_{ending}]"
        for package in PACKAGES
        if difficulty in difficulties(package)
    ]
    return "+".join(parts)


def touched(difficulty: str) -> Column:
    """Mean hours that the factors of a difficulty multiply."""
    formula = f"[{difficulty}_factor_mean]*({in_way(difficulty, 'mean_h')})"
    return Column(f"{difficulty}_touched_h", unless_blank("option_chosen", formula))


def lines_variance(difficulty: str) -> Column:
    """Variance of the hours of the tasks of a difficulty."""
    formula = in_way(difficulty, "var_h")
    if difficulty != "none":
        formula = f"[{difficulty}_factor_mean]^2*({formula})"
    return Column(f"lines_{difficulty}_var_h", unless_blank("option_chosen", formula))


def shared(name: str) -> str:
    """What one factor adds to the variance: it moves all the hours that it multiplies together."""
    hours = [f"[{difficulty}_touched_h]" for difficulty, factors in PRODUCTS.items() if name in factors]
    together = hours[0] if len(hours) == 1 else f"({'+'.join(hours)})"
    return f"[{name}_rel]*{together}^2"


CHOSEN = (
    Column(
        "in_existing",
        flag(
            'OR([option_chosen]="existing spaces", '
            'AND([option_chosen]="load control", [control_in_main]="yes"))'
        ),
    ),
    Column(
        "in_added",
        flag(
            'OR([option_chosen]="added panel", AND([option_chosen]="load control", [control_in_main]="no"), '
            'AND([option_chosen]="larger service", [panel_place]="other building"))'
        ),
    ),
    Column("in_control", flag('[option_chosen]="load control"')),
    Column("in_service", flag('[option_chosen]="larger service"')),
    no_price(way_sum("labour_hours", "common_hours_likely", "hours_likely")),
    way_sum("labour_mean_h", "common_hours_mean", "hours_mean"),
    *(touched(name) for name in PRODUCTS),
    *(lines_variance(name) for name in ("none", *PRODUCTS)),
    Column("shared_var_h", unless_blank("option_chosen", "+".join(shared(name) for name in FACTOR_NAMES))),
    Column(
        "labour_var_h",
        unless_blank(
            "option_chosen",
            "+".join(f"[lines_{name}_var_h]" for name in ("none", *PRODUCTS)) + "+[shared_var_h]",
        ),
    ),
)
