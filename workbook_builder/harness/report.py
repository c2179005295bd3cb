"""The report of verify as a table for people."""

from __future__ import annotations

from collections.abc import Sequence

from ..reader.faults import one_line
from .verify import Report


def as_text(report: Report, *, shown: int) -> str:
    """The whole report; of each kind of finding the first `shown`, with how many more."""
    words = [f"{report.jobs} jobs, {report.rows} rows"]
    if report.circuit_rows:
        words.append(f"{report.circuits} circuits, {report.circuit_rows} rows")
    lines = [f"{report.file}: {', '.join(words)}, {report.formulas:,} formulas"]
    lines += _part("entries", "valid", "not valid", report.input_faults, shown)
    lines += _part("formulas", "as built", "not as built", report.formula_faults, shown)
    for one in report.engines:
        title = f"{one.engine} {one.version}"
        words = (
            f"{one.comparison.cells:,} cells in {one.comparison.columns} columns equal the reference "
            f"({one.seconds:.1f} s)"
        )
        lines += _part(title, words, "different", one.comparison.differences, shown)
    lines += [f"  {'changed by local rule':<24} {name} = {value}" for name, value in report.overrides.items()]
    if report.changes:
        lines += _part("changed in the books", "", "not as built, which is no fault", report.changes, shown)
    lines += [f"  {engine:<24} skipped, not installed" for engine in report.skipped]
    lines.append("clean" if report.clean else "findings: see above")
    return "\n".join(one_line(line) for line in lines)


def _part(title: str, good: str, bad: str, findings: Sequence[object], shown: int) -> list[str]:
    if not findings:
        return [f"  {title:<24} {good}"]
    lines = [f"  {title:<24} {len(findings)} {bad}"]
    lines += [f"    {finding}" for finding in findings[:shown]]
    if len(findings) > shown:
        lines.append(f"    and {len(findings) - shown} more")
    return lines
