"""Booked against estimated hours and material, for the job and for finished jobs in houses of its age."""

from __future__ import annotations

from .model import Column, Sheet

MATERIAL = "([material_usd]+[likely_consumables_usd]+[likely_tax_usd])"
SAME_AGE = "{all.house_age}, [house_age]"
LEAST = "{finished_jobs_least}"


def both(first: str, second: str, formula: str) -> str:
    """Blank where one of two columns is."""
    return f'IF(OR([{first}]="", [{second}]=""), "", {formula})'


def counted(name: str) -> str:
    """Hours of a job that can be compared, else 0."""
    return f'IF([hours_ratio]="", 0, [{name}])'


ACTUALS = Sheet(
    name="Actuals",
    title="Booked against estimated",
    note="What finished jobs booked against their estimate; a correction is suggested, nothing is changed by itself.",
    columns=(
        Column("hours_over", both("actual_hours", "labour_hours", "[actual_hours]-[labour_hours]")),
        Column(
            "hours_ratio",
            both(
                "actual_hours",
                "labour_hours",
                'IF([labour_hours]=0, "", [actual_hours]/[labour_hours])',
            ),
        ),
        Column(
            "material_over_usd",
            both("actual_material_usd", "material_usd", f"[actual_material_usd]-{MATERIAL}"),
        ),
        Column(
            "material_ratio",
            both(
                "actual_material_usd",
                "material_usd",
                f'IF(ROUND({MATERIAL}, 6)=0, "", [actual_material_usd]/{MATERIAL})',
            ),
        ),
        Column(
            "cost_over_usd",
            both("hours_over", "material_over_usd", "[hours_over]*[rate_likely_usd]+[material_over_usd]"),
        ),
        Column("counted_hours", counted("labour_hours")),
        Column("booked_hours", counted("actual_hours")),
        Column("band_jobs", f'COUNTIFS({SAME_AGE}, {{all.counted_hours}}, ">0")'),
        Column("band_booked_h", f"SUMIFS({{all.booked_hours}}, {SAME_AGE})"),
        Column("band_counted_h", f"SUMIFS({{all.counted_hours}}, {SAME_AGE})"),
        Column(
            "suggested_factor",
            f'IF(OR([band_jobs]<{LEAST}, [band_counted_h]=0), "", [band_booked_h]/[band_counted_h])',
        ),
        Column(
            "suggestion",
            'IF([band_jobs]=0, "No finished job yet.", '
            f'[band_jobs]&IF([suggested_factor]="", " of "&{LEAST}&" finished jobs: no suggestion yet.", '
            '" finished jobs: labour times "&FIXED(ROUND([suggested_factor], 2), 2)'
            '&" would have been right; nothing is changed by itself."))',
        ),
    ),
)
"""Rows that are not ready hold "" in the columns of hours, which SUMIFS and COUNTIFS pass over."""
