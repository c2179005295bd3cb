"""The report of verify as a table for people."""

from __future__ import annotations

from collections.abc import Sequence

from ..reader.faults import one_line
from .verify import Report

SAFE, WHOLE, ENTRIES, FORMULAS, CHANGED, RESULTS = (
    "1 safe to open", "2 whole", "3 entries", "4 formulas", "5 changed", "6 results",
)  # fmt: skip
"""The questions in their order, each a heading."""


def as_text(report: Report, *, shown: int) -> str:
    """The whole report; of each kind of finding the first `shown`, with how many more."""
    words = [f"{report.jobs} jobs, {report.rows} rows"]
    if report.circuit_rows:
        words.append(f"{report.circuits} circuits, {report.circuit_rows} rows")
    lines = [f"{report.file}: {', '.join(words)}, {report.formulas:,} formulas"]
    lines += _part(SAFE, "yes" if report.safe else "no", "", (), shown)
    lines += _part(WHOLE, "sheets, columns and rows are there", "not as built", report.whole, shown)
    if report.unread:
        lines += _part(ENTRIES, "", "reasons why they were not read", report.unread, shown)
    else:
        lines += _part(ENTRIES, "valid", "not valid", report.input_faults, shown)
    lines += _part(FORMULAS, "as built", "not as built", report.formula_faults, shown)
    lines += _changed(report, shown)
    lines += _results(report, shown)
    lines.append("clean" if report.clean else "findings: see above")
    return "\n".join(one_line(line) for line in lines)


def _changed(report: Report, shown: int) -> list[str]:
    """What is not as built and no fault: local rules, books and settings, words and order of sheets."""
    if not (report.overrides or report.changes or report.listed):
        return _part(CHANGED, "nothing in local rules, books and settings", "", (), shown)
    lines = [f"  {'changed by local rule':<24} {name} = {value}" for name, value in report.overrides.items()]
    if report.changes:
        lines += _part("changed in the books", "", "not as built, which is no fault", report.changes, shown)
    if report.listed:
        lines += _part("changed beside them", "", "not as built, which is no fault", report.listed, shown)
    return [f"  {CHANGED:<24} listed, not blamed", *lines]


def _results(report: Report, shown: int) -> list[str]:
    lines = [f"  {RESULTS:<24} {_verdict(report)}"]
    for one in report.engines:
        words = (
            f"{one.comparison.cells:,} cells in {one.comparison.columns} columns equal the reference "
            f"({one.seconds:.1f} s)"
        )
        lines += _part(f"{one.engine} {one.version}", words, "different", one.comparison.differences, shown)
    lines += [f"  {'not recalculated':<24} {line}" for text in report.failed for line in text.split("\n")]
    lines += [f"  {engine:<24} skipped, not installed" for engine in report.skipped]
    return lines


def _verdict(report: Report) -> str:
    if report.unread:
        return "not compared, since the entries were not read"
    if report.failed and not report.engines:
        return "not compared"
    if not report.engines:
        return "not asked for"
    if any(one.comparison.differences for one in report.engines):
        return "not equal to the reference"
    return "equal to the reference"


def _part(title: str, good: str, bad: str, findings: Sequence[object], shown: int) -> list[str]:
    if not findings:
        return [f"  {title:<24} {good}"]
    lines = [f"  {title:<24} {len(findings)} {bad}"]
    lines += [f"    {finding}" for finding in findings[:shown]]
    if len(findings) > shown:
        lines.append(f"    and {len(findings) - shown} more")
    return lines
