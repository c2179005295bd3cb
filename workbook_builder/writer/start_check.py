"""The master check of Start: how many rows are ready, wrong, missing something."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from ..sheets.layout import JOBS, quoted
from ..sheets.model import FIRST_ROW, JOB_NUMBER, ROW_STATE, CompiledSheet
from .context import Context
from .values import column as values_of
from .values import is_blank

_BEYOND = "STOP: jobs stand in rows that are not calculated"
_WRONG = "STOP: rows with an error"
_MISSING = "CHECK: rows miss an entry"
_UNEXPLAINED = "CHECK: local rules without a reason"
_ENTRIES_FINE = "OK: every row in use is ready"

_STOPS = "STOP: settle the cells that say so"
_CHECKS = "CHECK: look at the cells that say so"
_NONE_READY = "CHECK: no row is calculated yet"
_FINDINGS_FINE = "OK: no cell says STOP or CHECK"


@dataclass(frozen=True)
class CheckLine:
    """One line: label, formula, its last result, the defined name of the cell."""

    label: str
    formula: str
    value: float | str
    name: str = ""
    number_format: str = "0"
    is_state: bool = False


def check_lines(
    context: Context, first_row: int, overrides: str, reasons: str
) -> tuple[CheckLine, ...]:
    """The lines of the check, from first_row down; the cells refer to each other."""
    states = context.states()
    ready, wrong, missing, typed, _, unexplained = (
        f"$C${first_row + place}" for place in range(6)
    )
    number = context.layout.job_letters[JOB_NUMBER]
    job_numbers = f"{JOBS}!${number}${FIRST_ROW}:${number}${context.layout.last_row}"
    count = _counts(context)
    entries = (
        f'IF({typed}>{ready}+{wrong}+{missing}, "{_BEYOND}", IF({wrong}>0, "{_WRONG}", '
        f'IF({missing}>0, "{_MISSING}", IF({unexplained}>0, "{_UNEXPLAINED}", "{_ENTRIES_FINE}"))))'
    )
    lines = [
        CheckLine("Rows ready", f'COUNTIF({states}, "ready")', count["ready"], "canary"),
        CheckLine("Rows with an error", f'COUNTIF({states}, "error:*")', count["error"]),
        CheckLine("Rows that miss an entry", f'COUNTIF({states}, "missing:*")', count["missing"]),
        CheckLine("Job numbers typed", f"COUNTA({job_numbers})", count["typed"]),
        CheckLine("Local rules in use", f"COUNTA({overrides})", count["local"]),
        CheckLine("Local rules without a reason", f'SUMPRODUCT(({overrides}<>"")*({reasons}=""))', count["unexplained"]),
        CheckLine("State of the entries", entries, _entries(context, count), is_state=True),
    ]  # fmt: skip
    grids = [sheet for sheet in context.sheets if _has_states(sheet)]
    sums = {}
    for word in ("STOP", "CHECK"):
        top = first_row + len(lines)
        lines += [_said(context, sheet, word) for sheet in grids]
        sums[word] = f"SUM($C${top}:$C${top + len(grids) - 1})>0" if grids else "FALSE"
    findings = (
        f'IF({sums["STOP"]}, "{_STOPS}", IF({sums["CHECK"]}, "{_CHECKS}", '
        f'IF({ready}=0, "{_NONE_READY}", "{_FINDINGS_FINE}")))'
    )
    found = _findings(context, count, lines)
    return (*lines, CheckLine("State of the findings", findings, found, is_state=True))


def _has_states(sheet: CompiledSheet) -> bool:
    return any(column.rule.kind == "state" for column in sheet.columns)


def _said(context: Context, sheet: CompiledSheet, word: str) -> CheckLine:
    """How many cells of a sheet begin with the word; the id columns are left out."""
    columns = [column for column in sheet.columns if column.name not in (JOB_NUMBER, ROW_STATE)]
    first, last = columns[0].letter, columns[-1].letter
    block = f"{quoted(sheet.name)}!${first}${FIRST_ROW}:${last}${context.layout.last_row}"
    said = 0
    if context.results is not None:
        said = sum(
            isinstance(value, str) and value.upper().startswith(word)
            for column in columns
            for value in values_of(context.results, column.name, context.layout.rows)
        )
    return CheckLine(f"{word} on {sheet.name}, cells", f'COUNTIF({block}, "{word}*")', said)


def _counts(context: Context) -> Counter[str]:
    """Last results of the counts; all 0 where there are no results."""
    count: Counter[str] = Counter()
    if context.results is None:
        return count
    for state in values_of(context.results, ROW_STATE, context.layout.rows):
        count[str(state).partition(":")[0]] += 1
    given = context.jobs[JOB_NUMBER] if JOB_NUMBER in context.jobs.columns else ()
    count["typed"] = sum(not is_blank(value) for value in given)
    count["local"] = len(context.overrides)
    count["unexplained"] = sum(not context.reasons.get(name) for name in context.overrides)
    return count


def _entries(context: Context, count: Counter[str]) -> float | str:
    if context.results is None:
        return 0
    if count["typed"] > count["ready"] + count["error"] + count["missing"]:
        return _BEYOND
    if count["error"]:
        return _WRONG
    if count["missing"]:
        return _MISSING
    return _UNEXPLAINED if count["unexplained"] else _ENTRIES_FINE


def _findings(context: Context, count: Counter[str], lines: list[CheckLine]) -> float | str:
    if context.results is None:
        return 0
    for word, words in (("STOP", _STOPS), ("CHECK", _CHECKS)):
        if any(line.value for line in lines if line.label.startswith(f"{word} on ")):
            return words
    return _FINDINGS_FINE if count["ready"] else _NONE_READY
