"""A kind of damage: what is done to a workbook, and all that verify must say of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from workbook_builder.harness.verify import Report

from .workbook import Workbook

EQUAL, DIFFERENT, FAILED = "equal", "different", "failed"


@dataclass(frozen=True)
class Kind:
    """says: every finding, in the words of `said`. results: what recalculating must show, None for not asked."""

    name: str
    damage: Callable[[Workbook], object]
    says: frozenset[str]
    results: str | None = None


def kind(name: str, damage: Callable[[Workbook], object], *says: str, results: str | None = None) -> Kind:
    return Kind(name, damage, frozenset(says), results)


def said(report: Report) -> set[str]:
    """Each finding as part, kind, place and name; entries, rules and changes by their place."""
    found = set()
    for part, findings in (
        ("whole", report.whole), ("formulas", report.formula_faults), ("listed", report.listed),
    ):  # fmt: skip
        for one in findings:
            place = f"{one.sheet}!{one.cell}" if one.cell else one.sheet
            found.add(f"{part}: {one.kind} {place} {one.column}".rstrip())
    for part, lines in (("entries", report.input_faults), ("unread", report.unread)):
        for line in lines:
            place = line.partition(": found ")[0].split(", ")[1:]
            found.add(f"{part}: " + ", ".join(one for one in place if not one.startswith("row ")))
    found |= {f"rule: {name}" for name in report.overrides}
    found |= {f"price: {one.sheet}!{one.cell}" for one in report.changes}
    return found
