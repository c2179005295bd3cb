"""The master check of Start: how many rows are ready, wrong, missing something."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from ..sheets.layout import quoted
from ..sheets.model import CIRCUIT_GRID, FIRST_ROW, JOB_GRID, JOB_NUMBER, CompiledSheet
from .context import Context
from .values import column as values_of
from .values import is_blank

_BEYOND = "STOP: rows in use are not calculated"
_WRONG = "STOP: rows with an error"
_MISSING = "CHECK: rows miss an entry"
_UNEXPLAINED = "CHECK: local rules without a reason"
_ENTRIES_FINE = "OK: every row in use is ready"

_BOOKS = "STOP: lines of the books or settings are out of order"
_BOOKS_FINE = "OK: every line of the books and every setting can be used"

_STOPS = "STOP: settle the cells that say so"
_CHECKS = "CHECK: look at the cells that say so"
_NONE_READY = "CHECK: no row is calculated yet"
_FINDINGS_FINE = "OK: no cell says STOP or CHECK"

_LABELS = {
    JOB_GRID: ("Rows ready", "Rows with an error", "Rows that miss an entry", "Job numbers typed"),
    CIRCUIT_GRID: (
        "Circuits ready", "Circuits with an error", "Circuits that miss an entry", "Circuits typed",
    ),
}  # fmt: skip
_COUNTED = ("ready", "error", "missing", "typed")


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
    counts = {grid: _counts(context, grid) for grid in context.grids}
    lines: list[CheckLine] = []
    cells: dict[str, list[str]] = {word: [] for word in _COUNTED}
    for grid in context.grids:
        for word, line in zip(_COUNTED, _row_lines(context, grid, counts[grid]), strict=True):
            cells[word].append(f"$C${first_row + len(lines)}")
            lines.append(line)
    beyond, _, unexplained = (f"$C${first_row + len(lines) + place}" for place in range(3))
    known = "-".join(cell for word in _COUNTED[:-1] for cell in cells[word])
    found = sum(counts.values(), Counter())
    local = _local(context)
    lost = found["typed"] - found["ready"] - found["error"] - found["missing"]
    entries = (
        f'IF({beyond}>0, "{_BEYOND}", IF({"+".join(cells["error"])}>0, "{_WRONG}", '
        f'IF({"+".join(cells["missing"])}>0, "{_MISSING}", '
        f'IF({unexplained}>0, "{_UNEXPLAINED}", "{_ENTRIES_FINE}"))))'
    )
    lines += [
        CheckLine("Rows that are not calculated", f"{'+'.join(cells['typed'])}-{known}", lost),
        CheckLine("Local rules in use", f"COUNTA({overrides})", local["local"]),
        CheckLine("Local rules without a reason", f'SUMPRODUCT(({overrides}<>"")*({reasons}=""))', local["unexplained"]),
        CheckLine("State of the entries", entries, _entries(context, found, lost, local), is_state=True),
    ]  # fmt: skip
    if context.has_prices:
        lines += _book_lines(context, first_row + len(lines))
    grids = [sheet for sheet in context.sheets if _has_states(sheet)]
    sums = {}
    for word in ("STOP", "CHECK"):
        top = first_row + len(lines)
        lines += [_said(context, sheet, word) for sheet in grids]
        sums[word] = f"SUM($C${top}:$C${top + len(grids) - 1})>0" if grids else "FALSE"
    findings = (
        f'IF({sums["STOP"]}, "{_STOPS}", IF({sums["CHECK"]}, "{_CHECKS}", '
        f'IF({cells["ready"][0]}=0, "{_NONE_READY}", "{_FINDINGS_FINE}")))'
    )
    state = _findings(context, counts[JOB_GRID]["ready"], lines)
    return (*lines, CheckLine("State of the findings", findings, state, is_state=True))


def _row_lines(context: Context, grid: str, count: Mapping[str, int]) -> list[CheckLine]:
    """How many rows of a grid are ready, wrong, incomplete, and in use."""
    states, place = context.states(grid), context.layout.grids[grid]
    at = place.letters[JOB_NUMBER]
    typed = f"COUNTA({quoted(place.sheet)}!${at}${FIRST_ROW}:${at}${place.last_row})"
    formulas = (
        f'COUNTIF({states}, "ready")', f'COUNTIF({states}, "error:*")', f'COUNTIF({states}, "missing:*")', typed,
    )  # fmt: skip
    canary = ("canary" if grid == JOB_GRID else "", "", "", "")
    return [
        CheckLine(label, formula, count[word], name)
        for label, formula, word, name in zip(_LABELS[grid], formulas, _COUNTED, canary, strict=True)
    ]


def _book_lines(context: Context, row: int) -> list[CheckLine]:
    """How many lines of the books, and settings, say STOP; the count stands in `row`."""
    places = (*context.layout.books.values(), context.layout.settings)
    count = "+".join(f'COUNTIF({place.column("state")}, "STOP*")' for place in places)
    given = context.book_results or {}
    bad = sum(str(value).startswith("STOP") for cells in given.values() for value in cells.values())
    state = (_BOOKS if bad else _BOOKS_FINE) if given else 0
    return [
        CheckLine("Lines of the books out of order", count, bad),
        CheckLine("State of the books", f'IF($C${row}>0, "{_BOOKS}", "{_BOOKS_FINE}")', state, is_state=True),
    ]


def _has_states(sheet: CompiledSheet) -> bool:
    return any(column.rule.kind == "state" for column in sheet.columns)


def _said(context: Context, sheet: CompiledSheet, word: str) -> CheckLine:
    """How many cells of a sheet begin with the word, from its first state to its last.

    Entries are not looked at: a circuit may be called "Check valve".
    """
    place, results = context.layout.grids[sheet.grid], context.rows[sheet.grid].results
    states = [at for at, column in enumerate(sheet.columns) if column.rule.kind == "state"]
    columns = sheet.columns[states[0] : states[-1] + 1]
    block = f"{quoted(sheet.name)}!${columns[0].letter}${FIRST_ROW}:${columns[-1].letter}${place.last_row}"
    said = 0
    if results is not None:
        said = sum(
            isinstance(value, str) and value.upper().startswith(word)
            for column in columns
            for value in values_of(results, column.name, place.rows)
        )
    return CheckLine(f"{word} on {sheet.name}, cells", f'COUNTIF({block}, "{word}*")', said)


def _counts(context: Context, grid: str) -> Counter[str]:
    """Last results of the counts of rows; all 0 where there are no results."""
    count: Counter[str] = Counter()
    rows, place = context.rows[grid], context.layout.grids[grid]
    if rows.results is None:
        return count
    for state in values_of(rows.results, place.state, place.rows):
        count[str(state).partition(":")[0]] += 1
    given = rows.entries[JOB_NUMBER] if JOB_NUMBER in rows.entries.columns else ()
    count["typed"] = sum(not is_blank(value) for value in given)
    return count


def _local(context: Context) -> Counter[str]:
    """Last results of the counts of local rules."""
    if context.rows[JOB_GRID].results is None:
        return Counter()
    unexplained = sum(not context.reasons.get(name) for name in context.overrides)
    return Counter(local=len(context.overrides), unexplained=unexplained)


def _entries(context: Context, found: Mapping[str, int], lost: int, local: Mapping[str, int]) -> float | str:
    if context.rows[JOB_GRID].results is None:
        return 0
    if lost:
        return _BEYOND
    if found["error"]:
        return _WRONG
    if found["missing"]:
        return _MISSING
    return _UNEXPLAINED if local["unexplained"] else _ENTRIES_FINE


def _findings(context: Context, ready: int, lines: list[CheckLine]) -> float | str:
    if context.rows[JOB_GRID].results is None:
        return 0
    for word, words in (("STOP", _STOPS), ("CHECK", _CHECKS)):
        if any(line.value for line in lines if line.label.startswith(f"{word} on ")):
            return words
    return _FINDINGS_FINE if ready else _NONE_READY
