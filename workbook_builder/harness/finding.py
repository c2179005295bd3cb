"""One thing that verify has to say about a workbook."""

from __future__ import annotations

from dataclasses import dataclass

from ..reader.faults import shown

OVERWRITTEN, CHANGED, MISSING, SHIFTED, EXTRA, VALUE = (
    "overwritten", "changed", "missing", "shifted", "extra", "value",
)  # fmt: skip
"""The kinds of fault in a formula: a typed value where one was, another formula, a blank, the formula of another
row or column or one that points beside its place, one where none was built; and in a value that was built in."""


@dataclass(frozen=True)
class Finding:
    """kind says what sort of thing it is; cell is one cell, a run of cells `F12:F30`, or empty.

    column is the name of a column, sheet or defined name where there is one;
    found and expected are values or formulas, the latter with an equals sign.
    """

    kind: str
    sheet: str
    cell: str
    column: str
    found: object
    expected: object

    def __str__(self) -> str:
        place = f"{self.sheet}!{self.cell}" if self.cell else self.sheet
        where = f"{place} {self.column}" if self.column else place
        return f"{self.kind:<11} {where}: found {told(self.found)}, expected {told(self.expected)}"


def told(value: object) -> str:
    """A value or formula in a message, cut where it is long."""
    if isinstance(value, str) and value.startswith("=") and len(value) > 1:
        return value if len(value) <= 160 else value[:160] + "..."
    return shown(value)
