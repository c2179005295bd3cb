"""Judges formulas and built-in values of a workbook against what was built, a line for each run of rows.

A formula is judged by its form (formula_form), its references led to where
their targets are now (places). So what another program writes in its own way,
and what followed a row or column that moved, is the same formula.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from ..sheets.layout import BOOK_SHEETS, letter
from ..sheets.model import FIRST_ROW
from .built import WORDS_ONLY, Built, BuiltFormula
from .file_cells import FileCells, Place, SheetCells
from .finding import CHANGED, EXTRA, MISSING, OVERWRITTEN, SHIFTED, VALUE, Finding
from .formula_cells import same_form
from .formula_form import Form, NoForm, Ref, copied, form_of, led, moved
from .places import Places, SheetPlace

MOST_FINDINGS = 100_000
"""So many findings about formulas and values are listed."""


@dataclass(frozen=True)
class _Fault:
    """A fault in one cell of the file; `like` is the same for cells whose fault is the same."""

    kind: str
    row: int
    column: int
    name: str
    found: object
    expected: object
    like: object = None


@dataclass(frozen=True)
class Judgement:
    """faults: what is not as built and counts; words: texts that are not as built and only read."""

    faults: list[Finding]
    words: list[Finding]


def judge(file: FileCells, built: Built, places: Places) -> Judgement:
    """Every formula and value of every sheet that is there."""
    lead = places.leads()
    lasts = {(grid.sheet, grid.last_row) for grid in built.layout.grids.values()}
    appended = places.leads(lasts)
    moved_sheets = places.moved
    alias = {name: place.title for name, place in places.sheets.items() if name not in file.sheets}
    faults: list[Finding] = []
    words: list[Finding] = []
    for name, place in places.sheets.items():
        if name in WORDS_ONLY or (built.marks(name) and not place.mark_row):
            continue
        sheet = _Sheet(name, place, file.sheets[place.title], built, (lead, appended), moved_sheets, alias)
        found = list(sheet.formula_faults())
        values, texts = sheet.value_faults()
        faults += runs(name, [*found, *values, *sheet.extra_formulas()])
        words += runs(name, texts)
        if len(faults) > MOST_FINDINGS:
            break
    return Judgement(faults[:MOST_FINDINGS], words[:MOST_FINDINGS])


class _Sheet:
    """One sheet under judgement."""

    def __init__(
        self,
        name: str,
        place: SheetPlace,
        cells: SheetCells,
        built: Built,
        leads: tuple[Callable[[Ref], Ref], ...],
        moved_sheets: tuple[str, ...],
        alias: Mapping[str, str],
    ) -> None:
        self._name, self._place, self._cells, self._built = name, place, cells, built
        self._lead, self._leads, self._moved = leads[0], leads, moved_sheets
        self._own_moved = name in moved_sheets
        self._alias = alias
        self._formula_places: set[Place] = set()
        self._neighbours: dict[Form, str] | None = None

    def formula_faults(self) -> Iterator[_Fault]:
        place, cells = self._place, self._cells
        if self._name in self._built.entry_sheets:
            yield from self._state_faults()
            return
        is_still = not (place.is_moved or place.lost_rows or place.lost_columns or self._moved or cells.spread)
        for one in self._built.formulas(self._name):
            if is_still and cells.formulas.get((one.row, one.column)) == one.text:
                self._formula_places.add((one.row, one.column))
                continue
            if not place.is_there(one.row, one.column):
                continue
            at = place.row(one.row), place.column(one.column)
            self._formula_places.add(at)
            there = cells.formulas.get(at)
            if there is None or at in cells.spread or not self._is_same(one, there):
                yield self._fault(one, there, at)

    def _state_faults(self) -> Iterator[_Fault]:
        """The state in front of each row that the input sheet has now; a blank row put in needs none."""
        place, cells, grid = self._place, self._cells, self._built.layout.grids[self._built.entry_sheets[self._name]]
        first = next(self._built.formulas(self._name))
        for row in range(place.mark_row + 1, place.row(grid.end_row)):
            one = first._replace(row=row, text=copied(first.text, row - first.row - place.down, 0))
            at = row, place.column(first.column)
            self._formula_places.add(at)
            there = cells.formulas.get(at)
            same = there is not None and at not in cells.spread and self._is_own_row(one, there)
            if not same and not (there is None and self._is_blank_row(row)):
                yield self._fault(one, there, at)

    def _is_own_row(self, one: BuiltFormula, there: str) -> bool:
        """Whether a state looks at its own row, whatever that is now."""
        sheet, down = self._name, self._place.down

        def lead(ref: Ref) -> Ref:
            own = replace(ref, sheet=self._place.title, row=ref.row + down, column=self._place.column(ref.column))
            return own if ref.sheet == sheet else self._lead(ref)

        try:
            return self._form(there) == led(form_of(one.text, sheet), lead)
        except NoForm:
            return False

    def _is_blank_row(self, row: int) -> bool:
        """Whether a row of an input sheet, put in by hand, has nothing in its columns at all."""
        return not any(
            (row, self._place.column(column)) in self._cells.values
            for column in self._built.marks(self._name).values()
        )

    def _is_same(self, one: BuiltFormula, there: str) -> bool:
        """Whether a formula is the one that was built; rows added under the last one may be left out of a range."""
        text = one.text
        if not self._own_moved and not any(title in text for title in self._moved) and same_form(there, text):
            return True
        try:
            form, built = self._form(there), form_of(text, self._name)
            return any(form == led(built, lead) for lead in self._leads)
        except NoForm:
            return False

    def _form(self, text: str) -> Form:
        """The form of a formula of the file; a title that no sheet has any longer is the one it was built with."""
        form = form_of(text, self._place.title)
        return led(form, self._renamed) if self._alias else form

    def _renamed(self, ref: Ref) -> Ref:
        return replace(ref, sheet=self._alias.get(ref.sheet, ref.sheet))

    def _fault(self, one: BuiltFormula, there: str | None, at: Place) -> _Fault:
        row, column = at
        if there is None:
            value = self._cells.values.get(at)
            kind = MISSING if value is None else OVERWRITTEN
            return _Fault(kind, row, column, one.name, value, "=" + one.text)
        try:
            found = self._form(there)
        except NoForm:
            return _Fault(CHANGED, row, column, one.name, "=" + there, "=" + one.text, there)
        kind = SHIFTED if self._is_shifted(one, found, at) else CHANGED
        return _Fault(kind, row, column, one.name, "=" + there, "=" + one.text, moved(found, -row, -column))

    def _is_shifted(self, one: BuiltFormula, found: Form, at: Place) -> bool:
        """As built but beside its place, of another row, or of another column of the sheet."""
        own = form_of(one.text, self._name)
        if at in self._cells.spread:
            return False
        if found == led(own, self._renamed):
            return True
        expected = led(own, self._lead)
        if _is_moved(found, expected):
            return True
        if self._neighbours is None:
            self._neighbours = self._columns_here()
        return moved(found, FIRST_ROW - at[0], 0) in self._neighbours

    def _columns_here(self) -> dict[Form, str]:
        """The forms of all columns of a grid in its first row."""
        if self._name not in self._built.grids:
            return {}
        row = self._place.row(FIRST_ROW)
        forms = {}
        for column in self._built.grids[self._name].columns:
            form = led(form_of(column.at(FIRST_ROW)[1:], self._name), self._lead)
            forms[moved(form, FIRST_ROW - row, 0)] = column.name
        return forms

    def extra_formulas(self) -> Iterator[_Fault]:
        """Formulas where none was built, and none may be typed."""
        name = self._name
        typed_in = name in self._built.entry_sheets or name in BOOK_SHEETS.values()
        open_cells = self._built.unlocked[name]
        back = {self._place.row(row): row for row, _ in open_cells}
        for at, text in self._cells.formulas.items():
            if at in self._formula_places or (typed_in and at not in self._values):
                continue
            if (back.get(at[0], at[0]), at[1]) in open_cells:
                continue
            if at[0] in self._place.new_rows:
                continue
            yield _Fault(EXTRA, *at, "", "=" + text, self._values.get(at), text)

    def value_faults(self) -> tuple[list[_Fault], list[_Fault]]:
        """Values that are not as built: those that count, and texts that are only read."""
        built, name, place = self._built, self._name, self._place
        self._values: dict[Place, object] = {}
        faults: list[_Fault] = []
        words: list[_Fault] = []
        for (row, column), value in built.values(name).items():
            if not place.is_there(row, column):
                continue
            at = place.row(row), place.column(column)
            self._values[at] = value
            found = self._cells.values.get(at)
            if at in self._cells.formulas or _equal(found, value):
                continue
            counts = built.is_value(name, row, column, value)
            fault = _Fault(VALUE if counts else "words", *at, self._label(row, column), found, value, at)
            (faults if counts else words).append(fault)
        for (row, column), label in built.table_cells.get(name, {}).items():
            at = place.row(row), place.column(column)
            if place.is_there(row, column) and at not in self._values and at in self._cells.values:
                faults.append(_Fault(VALUE, *at, label, self._cells.values[at], None, at))
        return faults, words

    def _label(self, row: int, column: int) -> str:
        name = self._name
        table = self._built.table_cells.get(name, {}).get((row, column))
        if table:
            return table
        marks = {at: mark for mark, at in self._built.marks(name).items()}
        return marks.get(column, "")


def _is_moved(found: Form, expected: Form) -> bool:
    """Whether a form is the other one of another row or column: every loose reference as far away."""
    if len(found) != len(expected):
        return False
    for one, other in zip(found, expected, strict=True):
        if one != other:
            if not isinstance(one, Ref) or not isinstance(other, Ref):
                return False
            down, right = one.row - other.row, one.column - other.column
            return found == moved(expected, down, right)
    return False


def _equal(found: object, built: object) -> bool:
    if isinstance(found, str) and isinstance(built, str):
        return found.split() == built.split()
    if isinstance(found, float) and isinstance(built, float):
        return math.isclose(found, built, rel_tol=1e-12, abs_tol=0)
    return type(found) is type(built) and found == built


def runs(sheet: str, faults: list[_Fault]) -> list[Finding]:
    """One finding for each run of neighbouring rows with the same fault in a column, in the order of the cells."""
    found: list[tuple[Place, Finding]] = []
    by_column = sorted(faults, key=lambda fault: (fault.column, fault.row))
    at = 0
    while at < len(by_column):
        first, last = by_column[at], at
        while last + 1 < len(by_column) and _goes_on(by_column[last], by_column[last + 1]):
            last += 1
        cell = f"{letter(first.column)}{first.row}"
        if last > at:
            cell += f":{letter(first.column)}{by_column[last].row}"
        finding = Finding(first.kind, sheet, cell, first.name, first.found, first.expected)
        found.append(((first.row, first.column), finding))
        at = last + 1
    return [finding for _, finding in sorted(found, key=lambda one: one[0])]


def _goes_on(one: _Fault, other: _Fault) -> bool:
    return (one.column, one.row + 1, one.kind, one.like) == (other.column, other.row, other.kind, other.like)
