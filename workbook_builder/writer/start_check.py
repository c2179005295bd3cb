"""The master check of Start: what is looked at, line by line, and the one cell that sums it up.

Every line has words that begin with OK, CHECK or STOP, and four counts: in
use, ready, STOP and CHECK. The master cell takes the first words that say
STOP, where there are none the first that say CHECK.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from ..sheets.checks import CHECKS
from ..sheets.layout import BOOK_SHEETS, LOCAL_RULES, quoted
from ..sheets.model import FIRST_ROW, JOB_GRID, JOB_NUMBER, MARK_ROW, CompiledSheet
from .context import Context
from .local_rules import may_be, override_range
from .values import cached, is_blank
from .values import column as values_of

WORDS, IN_USE, READY, STOP, CHECK = "C", "D", "E", "F", "G"
"""Columns of the lines on Start."""

ALL_FINE = "OK: nothing to settle and nothing to look at"
_BAD_ROWS = "STOP: rows are wrong or not calculated; column A of {sheet} says why"
_SHORT_ROWS = "CHECK: rows miss an entry; column A of {sheet} says which"
_FINE_ROWS = "OK: every row in use is ready"
_NONE_READY = "CHECK: no job is calculated yet"
_NOT_USED = "STOP: local rules that are not used; see the states on Local rules"
_UNEXPLAINED = "CHECK: local rules without a reason"
_EXPLAINED = "OK: every local rule has its reason"
_BAD_BOOKS = "STOP: lines of the books or settings are out of order"
_FINE_BOOKS = "OK: every line of the books and every setting can be used"
_STOPS = "STOP: settle what the jobs say on Checks"
_CHECKS = "CHECK: look at what the jobs say on Checks"
_NO_FINDING = "OK: no job has a STOP or a CHECK"
NOTHING_OPEN = "Nothing open."


@dataclass(frozen=True)
class Cell:
    """A formula without `=`, and its last result."""

    formula: str
    value: float | str


@dataclass(frozen=True)
class CheckLine:
    """One line: its label, the sheet it leads to, its words and its counts by column."""

    label: str
    sheet: str
    words: Cell
    counts: dict[str, Cell]


def check_lines(context: Context, first_row: int) -> list[CheckLine]:
    """The lines of the check, from first_row down; their formulas refer to one another."""
    lines: list[CheckLine] = []
    for grid in context.grids:
        lines.append(_rows(context, grid, first_row + len(lines)))
    lines.append(_local(context, first_row + len(lines)))
    if context.has_prices:
        lines.append(_books(context, first_row + len(lines)))
    if _checks(context) is not None:
        lines.append(_findings(context, first_row + len(lines)))
    if context.rows[JOB_GRID].results is None:
        return [_without_results(line) for line in lines]
    return lines


def master(context: Context, first_row: int, lines: list[CheckLine]) -> CheckLine:
    """The one cell, with all STOP and all CHECK of the lines below it."""
    last = first_row + len(lines) - 1
    words = f"${WORDS}${first_row}:${WORDS}${last}"
    found = f'INDEX({words}, MATCH("{{word}}*", {words}, 0))'
    formula = (
        f'IF(COUNTIF({words}, "STOP*")>0, {found.format(word="STOP")}, '
        f'IF(COUNTIF({words}, "CHECK*")>0, {found.format(word="CHECK")}, "{ALL_FINE}"))'
    )
    said = [str(line.words.value) for line in lines]
    first = [text for word in ("STOP", "CHECK") for text in said if text.startswith(word)]
    value = 0 if context.rows[JOB_GRID].results is None else (first or [ALL_FINE])[0]
    counts = {
        at: Cell(f"SUM(${at}${first_row}:${at}${last})", sum(float(line.counts[at].value) for line in lines))
        for at in (STOP, CHECK)
    }
    return CheckLine("Master check", "", Cell(formula, value), counts)


def first_finding(context: Context, first_row: int, lines: Sequence[CheckLine]) -> Cell | None:
    """What to settle first: a STOP of entries, rules or books; else job and words of the first STOP or CHECK.

    lines: what is looked at, from first_row down; the last of them are the findings of the jobs. The master
    check, three rows above them, has the words of the first STOP.
    """
    row = first_row + len(lines) - 1
    sums_up = f"${WORDS}${first_row - 3}"
    formula = f"IF(SUM(${STOP}${first_row}:${STOP}${row - 1})>0, {sums_up}, {{then}})"
    said = next((line.words.value for line in lines[:-1] if float(line.counts[STOP].value) > 0), None)
    cell = _first_of_the_jobs(context, row)
    if cell is None:
        return None
    return Cell(formula.format(then=cell.formula), cell.value if said is None or cell.value == 0 else said)


def _first_of_the_jobs(context: Context, row: int) -> Cell | None:
    """Job and words of the first STOP, else of the first CHECK; row is the one of the findings."""
    sheet = _checks(context)
    if sheet is None:
        return None
    status = _whole(context, sheet, "job_status")
    place = f'MATCH(IF(${STOP}${row}>0, "STOP", "CHECK"), {status}, 0)'
    job, words = (_whole(context, sheet, name) for name in (JOB_NUMBER, "first_finding"))
    formula = f'IF(${STOP}${row}+${CHECK}${row}=0, "{NOTHING_OPEN}", INDEX({job}, {place})&": "&INDEX({words}, {place}))'
    results = context.rows[JOB_GRID].results
    if results is None:
        return Cell(formula, 0)
    said = list(results["job_status"])
    for word in ("STOP", "CHECK"):
        if word in said:
            found = results.iloc[said.index(word)]
            return Cell(formula, f"{found[JOB_NUMBER]}: {found['first_finding']}")
    return Cell(formula, NOTHING_OPEN)


def said_on(context: Context, sheet: CompiledSheet, word: str) -> Cell | None:
    """How many cells of a sheet begin with the word, from its first state to its last; None without states.

    Entries are not looked at: a circuit may be called "Check valve".
    """
    place, results = context.layout.grids[sheet.grid], context.rows[sheet.grid].results
    states = [at for at, column in enumerate(sheet.columns) if column.rule.kind == "state"]
    if not states:
        return None
    columns = sheet.columns[states[0] : states[-1] + 1]
    block = f"{quoted(sheet.name)}!${columns[0].letter}${FIRST_ROW}:${columns[-1].letter}${place.last_row}"
    said = 0
    for column in columns if results is not None else ():
        if column.name in results.columns and results[column.name].dtype != "float64":
            counts = Counter(results[column.name].tolist()).items()
            said += sum(count for value, count in counts if isinstance(value, str) and value.upper().startswith(word))
    return Cell(f'COUNTIF({block}, "{word}*")', said)


def _rows(context: Context, grid: str, row: int) -> CheckLine:
    """Rows of an input grid: in use, ready, wrong or not calculated, and those that miss an entry.

    The ranges run from the row of names to the row that ends the grid, neither of which
    is ever moved, so that rows added, deleted or cut between them count as they should.
    """
    place = context.layout.grids[grid]
    sheet, at = quoted(place.sheet), place.letters[JOB_NUMBER]
    states = f"{sheet}!$A${MARK_ROW}:$A${place.end_row}"
    typed = f"{sheet}!${at}${MARK_ROW}:${at}${place.end_row}"
    count = _counted(context, grid)
    bad, short = _BAD_ROWS.format(sheet=place.sheet), _SHORT_ROWS.format(sheet=place.sheet)
    fine = f'"{_FINE_ROWS}"' if grid != JOB_GRID else f'IF(${READY}${row}=0, "{_NONE_READY}", "{_FINE_ROWS}")'
    none = grid == JOB_GRID and not count["ready"]
    words = bad if count["error"] else short if count["missing"] else _NONE_READY if none else _FINE_ROWS
    return CheckLine(
        place.sheet, place.sheet,
        Cell(f'IF(${STOP}${row}>0, "{bad}", IF(${CHECK}${row}>0, "{short}", {fine}))', words),
        {
            # The first row of the range holds names; the last one the words that end the grid, beside an empty state.
            IN_USE: Cell(f"COUNTA({typed})-2", count["typed"]),
            READY: Cell(f'COUNTIF({context.states(grid)}, "ready")', count["ready"]),
            STOP: Cell(
                f'COUNTIF({states}, "error:*")+SUMPRODUCT(({typed}<>"")*({states}=""))-1', count["error"]
            ),
            CHECK: Cell(f'COUNTIF({states}, "missing:*")', count["missing"]),
        },
    )  # fmt: skip


def _counted(context: Context, grid: str) -> Counter[str]:
    count: Counter[str] = Counter()
    rows, place = context.rows[grid], context.layout.grids[grid]
    if rows.results is not None:
        for state in values_of(rows.results, place.state, place.rows):
            count[str(state).partition(":")[0]] += 1
    given = rows.entries[JOB_NUMBER] if JOB_NUMBER in rows.entries.columns else ()
    count["typed"] = sum(not is_blank(value) for value in given)
    return count


def _local(context: Context, row: int) -> CheckLine:
    overrides, reasons, states = (override_range(context, name) for name in ("override", "reason", "state"))
    used = {name: may_be(context, context.code.parameters[name], value) for name, value in context.overrides.items()}
    bad, explained = len(used) - sum(used.values()), sum(used[name] and bool(context.reasons.get(name)) for name in used)
    unexplained = sum(not context.reasons.get(name) for name in context.overrides)
    return CheckLine(
        LOCAL_RULES, LOCAL_RULES,
        Cell(
            f'IF(${STOP}${row}>0, "{_NOT_USED}", IF(${CHECK}${row}>0, "{_UNEXPLAINED}", "{_EXPLAINED}"))',
            _NOT_USED if bad else _UNEXPLAINED if unexplained else _EXPLAINED,
        ),
        {
            IN_USE: Cell(f"COUNTA({overrides})", len(context.overrides)),
            READY: Cell(f'SUMPRODUCT(({states}="OK")*({reasons}<>""))', explained),
            STOP: Cell(f'COUNTIF({states}, "STOP*")', bad),
            CHECK: Cell(f'SUMPRODUCT(({overrides}<>"")*({reasons}=""))', unexplained),
        },
    )  # fmt: skip


def _books(context: Context, row: int) -> CheckLine:
    """Lines of the books, and settings, whose state says OK or STOP."""
    places = (*context.layout.books.values(), context.layout.settings)
    fine, bad = (
        "+".join(f'COUNTIF({place.column("state")}, "{word}*")' for place in places)
        for word in ("OK", "STOP")
    )
    values = [str(value) for cells in (context.book_results or {}).values() for value in cells.values()]
    stops, ready = (sum(value.startswith(word) for value in values) for word in ("STOP", "OK"))
    return CheckLine(
        "Books and settings", next(iter(BOOK_SHEETS.values())),
        Cell(f'IF(${STOP}${row}>0, "{_BAD_BOOKS}", "{_FINE_BOOKS}")', _BAD_BOOKS if stops else _FINE_BOOKS),
        {
            IN_USE: Cell(f"${READY}${row}+${STOP}${row}", ready + stops),
            READY: Cell(fine, ready),
            STOP: Cell(bad, stops),
            CHECK: Cell("0", 0),
        },
    )  # fmt: skip


def _findings(context: Context, row: int) -> CheckLine:
    """Jobs calculated and jobs that are OK; all STOP and all CHECK that count."""
    sheet = _checks(context)
    assert sheet is not None
    results = context.rows[JOB_GRID].results
    totals = {
        name: 0 if results is None else sum(amount for amount in results[name].map(_number))
        for name in ("stops", "checks_open")
    }
    done, fine = 0, 0
    if results is not None:
        done = _counted(context, JOB_GRID)["ready"]
        fine = int(results["job_status"].eq("OK").sum())
    words = (
        _STOPS
        if totals["stops"]
        else _CHECKS
        if totals["checks_open"]
        else _NO_FINDING
        if done
        else _NONE_READY
    )
    return CheckLine(
        "Findings of the jobs", CHECKS.name,
        Cell(
            f'IF(${STOP}${row}>0, "{_STOPS}", IF(${CHECK}${row}>0, "{_CHECKS}", '
            f'IF(${IN_USE}${row}=0, "{_NONE_READY}", "{_NO_FINDING}")))',
            words,
        ),
        {
            IN_USE: Cell(f'COUNTIF({context.states(JOB_GRID)}, "ready")', done),
            READY: Cell(f'COUNTIF({_whole(context, sheet, "job_status")}, "OK")', fine),
            STOP: Cell(f"SUM({_whole(context, sheet, 'stops')})", totals["stops"]),
            CHECK: Cell(f"SUM({_whole(context, sheet, 'checks_open')})", totals["checks_open"]),
        },
    )  # fmt: skip


def _number(value: object) -> float:
    found = cached(value)
    return 0 if isinstance(found, str) else found


def _checks(context: Context) -> CompiledSheet | None:
    return next((sheet for sheet in context.sheets if sheet.name == CHECKS.name), None)


def _whole(context: Context, sheet: CompiledSheet, name: str) -> str:
    """All rows of a column of Checks."""
    at, last = sheet.letter_of(name), context.layout.grids[sheet.grid].last_row
    return f"{quoted(sheet.name)}!${at}${FIRST_ROW}:${at}${last}"


def _without_results(line: CheckLine) -> CheckLine:
    return CheckLine(
        line.label, line.sheet, Cell(line.words.formula, 0),
        {at: Cell(cell.formula, 0) for at, cell in line.counts.items()},
    )  # fmt: skip
