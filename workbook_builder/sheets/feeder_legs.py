"""Voltage drop of each leg to neutral, with the current that the other leg leaves in the neutral."""

from __future__ import annotations

from .model import Column

SINE = "SQRT(1-{power_factor}^2)"
WYE = "[line_v]={wye_voltage}"


def of_neutral(table: str) -> str:
    """A value of the neutral from one of the two tables, blank where there is no neutral."""
    return (
        f'IF([neutral_size]="", "", INDEX({{{table}}}, MATCH([neutral_size], {{ampacity.size}}, 0), '
        f"MATCH([impedance_key], {{{table}.header}}, 0)))"
    )


def impedance(part: str) -> str:
    """Resistance and reactance seen at the power factor."""
    return f"[{part}_resistance]*{{power_factor}}+[{part}_reactance]*{SINE}"


TURNED = f"{{wye_half_root}}*([neutral_reactance]*{{power_factor}}-[neutral_resistance]*{SINE})"
HALF = f"({impedance('neutral')})/2"
"""What the turn of 120 degrees makes of the neutral: minus half its impedance, and plus or minus the rest."""


def crossed(formula: str) -> str:
    """0 where the legs are opposite, blank where there is no neutral."""
    return f'IF({WYE}, IF([neutral_size]="", "", {formula}), 0)'


def current(leg: str) -> str:
    """Current of a leg at its voltage to neutral."""
    return f"[leg_{leg}_va]/[leg_v]"


def drop(own: str, other: str) -> str:
    """Drop of a leg: its own current in hot and neutral, and the other one's in the neutral."""
    return (
        (
            'IF([feeder_size]="", "", [run_ft]/{feet_per_kft}*([leg_OWN_a]*([hot_impedance]+[neutral_impedance])'
            f"+[leg_OTHER_a]*IF({WYE}, [neutral_cross_OWN], -[neutral_impedance]))"
            "/[leg_v]*{percent})"
        )
        .replace("OWN", own)
        .replace("OTHER", other)
    )


LEG_DROP = (
    Column("hot_impedance", f'IF([feeder_size]="", "", {impedance("feeder")})'),
    Column("neutral_resistance", of_neutral("ac_resistance")),
    Column("neutral_reactance", of_neutral("ac_reactance")),
    Column("neutral_impedance", f'IF([neutral_size]="", "", {impedance("neutral")})'),
    Column("leg_v", f"IF({WYE}, {{leg_voltage}}, [line_v]/2)"),
    Column("leg_a_a", current("a")),
    Column("leg_b_a", current("b")),
    Column("neutral_cross_a", crossed(f"{TURNED}-{HALF}")),
    Column("neutral_cross_b", crossed(f"-({TURNED}+{HALF})")),
    Column("drop_leg_a_percent", drop("a", "b")),
    Column("drop_leg_b_percent", drop("b", "a")),
)
