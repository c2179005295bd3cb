"""Voltages measured at the added panel: what they should be, and what is off."""

from __future__ import annotations

from .model import Column, Sheet

RANGE = "{service_range}/{percent}"
TAKEN = "[l1_l2_v:n_g_v]"
EACH = "[l1_l2_reading:ground_reading]"
NOT_TAKEN = "not taken"
OUTSIDE = "CHECK: outside the service range"


def reading(name: str, dead: str, low: str, high: str) -> Column:
    """A hot conductor to another or to neutral or ground: taken, alive, inside the range."""
    at = f"[{name}_v]"
    return Column(
        f"{name}_reading",
        f'IF({at}="", "{NOT_TAKEN}", IF({at}<{{dead_below}}, "STOP: {dead}", '
        f'IF(OR({at}<[{low}], {at}>[{high}]), "{OUTSIDE}", "OK")))',
    )


def unless_not_taken(first: str, second: str, otherwise: str, formula: str) -> str:
    """`otherwise` where one of two readings was not taken."""
    return f'IF(OR([{first}]="", [{second}]=""), {otherwise}, {formula})'


def worst(last: str, *words: str) -> str:
    """The first of the words that one of the readings begins with."""
    formula = f'"{last}"'
    for word in reversed(words):
        formula = f'IF(COUNTIF({EACH}, "{word}*")>0, "{word}", {formula})'
    return formula


EXPECTED = (
    Column("line_low_v", f"[line_v]*(1-{RANGE})"),
    Column("line_high_v", f"[line_v]*(1+{RANGE})"),
    Column("leg_low_v", f"{{leg_voltage}}*(1-{RANGE})"),
    Column("leg_high_v", f"{{leg_voltage}}*(1+{RANGE})"),
    Column("readings_given", f'COUNTIF({TAKEN}, ">=0")'),
    Column("legs_apart_v", unless_not_taken("l1_n_v", "l2_n_v", '""', "ABS([l1_n_v]-[l2_n_v])")),
    Column(
        "legs_sum_holds",
        'IF([legs_apart_v]="", "no", IF(AND([line_v]<>{wye_voltage}, '
        'ROUND(ABS([l1_n_v]+[l2_n_v]-IF([l1_l2_v]="", [line_v], [l1_l2_v])), 6)<={legs_apart_most}), '
        '"yes", "no"))',
    ),
)

READINGS_TAKEN = (
    reading("l1_l2", "both hots stand on one leg, or a line is dead", "line_low_v", "line_high_v"),
    *(reading(name, "dead", "leg_low_v", "leg_high_v") for name in ("l1_n", "l2_n", "l1_g", "l2_g")),
    Column(
        "n_g_reading",
        f'IF([n_g_v]="", "{NOT_TAKEN}", IF([n_g_v]>{{neutral_ground_most}}, '
        '"CHECK: high: look for a loose neutral or a load on the ground", "OK"))',
    ),
    Column(
        "lost_neutral_reading",
        'IF([legs_apart_v]="", "OK", IF([legs_apart_v]<={legs_apart_most}, "OK", '
        'IF([legs_sum_holds]="yes", "STOP: lost neutral: one leg high, the other low", '
        '"CHECK: the legs differ; look for a loose connection")))',
    ),
    Column(
        "ground_reading",
        unless_not_taken(
            "l1_n_v",
            "l1_g_v",
            '"OK"',
            'IF(ROUND(ABS([l1_n_v]-[l1_g_v]), 6)<={legs_apart_most}, "OK", '
            '"CHECK: line to ground differs from line to neutral: look at the ground path")',
        ),
    ),
)

RESULT = (
    Column("reading_result", worst("OK", "STOP", "CHECK", NOT_TAKEN)),
    Column(
        "advice_unless_stop",
        'IF([reading_result]="CHECK", "Take the reading again under load; find the cause before leaving.", '
        f'IF([reading_result]="{NOT_TAKEN}", "Take and record every reading when the panel is energized.", '
        '"Nothing to do."))',
    ),
    Column(
        "reading_advice",
        'IF([reading_result]="STOP", '
        '"Switch off, do not leave energized; find the fault before anything else.", [advice_unless_stop])',
    ),
)

READINGS = Sheet(
    name="Readings",
    title="Readings at the added panel",
    note="What was measured at the added panel against what it should be, and what to do where it is off.",
    columns=(*EXPECTED, *READINGS_TAKEN, *RESULT),
)
