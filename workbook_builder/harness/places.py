"""Where in a file stands what was built: sheets by name, columns and rows by their marks.

So that a column in another place, a row that somebody inserted or a list that
grew is not taken for damage, and what is lost is named.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from difflib import SequenceMatcher

from ..reader.entries import END_OF_ROWS
from ..sheets.layout import BOOK_SHEETS, LOCAL_RULES, SETTINGS
from ..sheets.model import CIRCUIT_GRID, FIRST_ROW, JOB_GRID, MARK_ROW, ROW_NUMBER
from .built import WORDS_ONLY, Built
from .file_cells import FileCells, Place, SheetCells
from .formula_form import Ref

JOB_NUMBER = "job_no"
MOST_ROWS = {JOB_GRID: 12_000, CIRCUIT_GRID: 6_000}


@dataclass(frozen=True)
class SheetPlace:
    """One built sheet in the file: its title there, and where its rows and columns are.

    rows and columns lead from where something was built to where it is, for
    those that moved; lost are those that are not there, new the file's rows
    that were not built. marks are the names found and their columns, mark_row
    their row (0 where there is none). unmarked are built columns whose mark
    is not there, doubled marks that stand twice, with the cells' columns.
    """

    title: str
    rows: Mapping[int, int] = field(default_factory=dict)
    columns: Mapping[int, int] = field(default_factory=dict)
    lost_rows: frozenset[int] = frozenset()
    lost_columns: frozenset[int] = frozenset()
    new_rows: tuple[int, ...] = ()
    mark_row: int = MARK_ROW
    unmarked: Mapping[str, int] = field(default_factory=dict)
    doubled: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    down: int = 0
    """How far rows have moved that have no place of their own."""

    def row(self, row: int) -> int:
        return self.rows.get(row, row + self.down)

    def column(self, column: int) -> int:
        return self.columns.get(column, column)

    def is_there(self, row: int, column: int) -> bool:
        return row not in self.lost_rows and column not in self.lost_columns

    @property
    def is_moved(self) -> bool:
        return bool(self.down) or any(a != b for a, b in (*self.rows.items(), *self.columns.items()))


@dataclass(frozen=True)
class Places:
    """All sheets of a file by the title they were built with."""

    sheets: Mapping[str, SheetPlace]

    @property
    def moved(self) -> tuple[str, ...]:
        """Sheets of which something, or the title, is not where it was built."""
        return tuple(name for name, place in self.sheets.items() if place.is_moved or place.title != name)

    def leads(self, unmoved: Collection[tuple[str, int]] = ()) -> Callable[[Ref], Ref]:
        """A function that leads a reference as built to where its target is now.

        unmoved: rows of sheets that are to be taken where they were built.
        """
        sheets = self.sheets

        def lead(ref: Ref) -> Ref:
            place = sheets.get(ref.sheet)
            if place is None:
                return ref
            row = ref.row + place.down if (ref.sheet, ref.row) in unmoved else place.row(ref.row)
            return Ref(place.title, row, place.column(ref.column), ref.fixed_row, ref.fixed_column)

        return lead


def find_places(file: FileCells, built: Built) -> Places:
    """Where everything is."""
    titles = _titles(file, built)
    places = {}
    for name, title in titles.items():
        cells = file.sheets[title]
        if name in built.grids:
            grid = built.grids[name].grid
            places[name] = _grid(cells, title, built.marks(name), built.layout.rows_of(grid))
        elif name in built.entry_sheets:
            grid = built.entry_sheets[name]
            places[name] = _entries(cells, title, built.marks(name), built.layout.grids[grid].end_row)
        elif name == LOCAL_RULES:
            places[name] = _rules(cells, title, built)
        elif name in (SETTINGS, *BOOK_SHEETS.values()):
            places[name] = _marked(cells, title, built.marks(name), "name" if name == SETTINGS else "key")
        elif name in WORDS_ONLY:
            places[name] = SheetPlace(title)
        else:
            places[name] = _page(cells, title, built, name)
    return Places(places)


def rows_calculated(file: FileCells, grids: Mapping[str, tuple[str, ...]]) -> dict[str, int]:
    """How many rows each grid has on its calculated sheets, by the numbers in front of them; 0 for unknown.

    grids: the names of the calculated sheets of each grid.
    """
    found = {}
    for grid, names in grids.items():
        lasts: Counter[int] = Counter()
        for name in names:
            cells = file.sheets.get(name)
            if cells is not None:
                mark_row = _mark_row(cells, {ROW_NUMBER: 1, JOB_NUMBER: 2}, ROW_NUMBER)
                column = next((c for (r, c), v in cells.values.items() if r == mark_row and v == ROW_NUMBER), 1)
                numbers = [
                    int(value)
                    for (row, at), value in cells.values.items()
                    if at == column and row > mark_row and _is_count(value) and value <= MOST_ROWS[grid]
                ]
                if mark_row and numbers:
                    lasts[max(numbers)] += 1
        found[grid] = lasts.most_common(1)[0][0] if lasts else 0
    return found


def _is_count(value: object) -> bool:
    return isinstance(value, float) and value.is_integer() and value >= 1


def _titles(file: FileCells, built: Built) -> dict[str, str]:
    """The title in the file of each built sheet that can be found there; renamed ones by what stands on them."""
    titles = {name: name for name in built.order if name in file.sheets}
    strangers = [title for title in file.sheets if title not in titles]
    for name in built.order:
        if name in titles:
            continue
        likely = max(strangers, key=lambda title: _likeness(built, name, file.sheets[title]), default=None)
        if likely is not None and _likeness(built, name, file.sheets[likely]) > 0.6:
            titles[name] = likely
            strangers.remove(likely)
    return {name: titles[name] for name in built.order if name in titles}


def _likeness(built: Built, name: str, cells: SheetCells) -> float:
    """How much of what was built on a sheet stands on another, from 0 to 1."""
    marks = built.marks(name)
    if marks:
        there = {value for (row, _), value in cells.values.items() if isinstance(value, str)}
        return len(there & set(marks)) / len(marks)
    values = built.values(name)
    return sum(cells.values.get(at) == value for at, value in values.items()) / max(len(values), 1)


def _mark_row(cells: SheetCells, marks: Mapping[str, int], first: str) -> int:
    """The row with most of the names, of those with the first one or, where none has it, of all; 0 for none."""
    found: dict[int, set[object]] = {}
    for (row, _), value in cells.values.items():
        if isinstance(value, str) and value in marks:
            found.setdefault(row, set()).add(value)
    least = max(2, len(marks) // 3)
    rows = {row: len(names) + len(marks) * (first in names) for row, names in found.items() if len(names) >= least}
    return max(rows, key=lambda row: (rows[row], row), default=0)


def _columns(cells: SheetCells, marks: Mapping[str, int], mark_row: int) -> dict[str, object]:
    """columns, unmarked, doubled and lost_columns of a sheet with a row of marks.

    A built column without its mark is taken to be where it was built, or as far
    from there as the column before it, unless another one stands there.
    """
    if not mark_row:
        return {"mark_row": 0}
    found: dict[str, list[int]] = {}
    for (row, column), value in sorted(cells.values.items()) if marks else ():
        if row == mark_row and isinstance(value, str) and value in marks:
            found.setdefault(value, []).append(column)
    columns = {
        at: min(found[name], key=lambda column, at=at: abs(column - at))
        for name, at in marks.items()
        if name in found
    }
    taken = {column: None for all_of in found.values() for column in all_of}
    unmarked, lost, right = {}, set(), 0
    for name, at in marks.items():
        if at in columns:
            right = columns[at] - at
        else:
            unmarked[name] = at
            if at + right in taken:
                lost.add(at)
            else:
                columns[at] = at + right
    doubled = {name: tuple(all_of) for name, all_of in found.items() if len(all_of) > 1}
    return {
        "mark_row": mark_row, "columns": columns, "unmarked": unmarked, "doubled": doubled,
        "lost_columns": frozenset(lost),
    }  # fmt: skip


def _grid(cells: SheetCells, title: str, marks: Mapping[str, int], count: int) -> SheetPlace:
    """A calculated grid: rows by the numbers in front of them."""
    mark_row = _mark_row(cells, marks, JOB_NUMBER)
    parts = _columns(cells, marks, mark_row)
    if not mark_row:
        return SheetPlace(title, **parts)
    at = parts["columns"].get(1, 1)
    down = mark_row - MARK_ROW
    rows: dict[int, int] = {}
    last = max((row for row, _ in (*cells.values, *cells.formulas)), default=0)
    for row in range(mark_row + 1, last + 1):
        number = cells.values.get((row, at))
        if _is_count(number) and number <= count:
            rows.setdefault(FIRST_ROW - 1 + int(number), row)
    filled = {row for row, column in cells.formulas if column != at}
    taken = set(rows.values())
    lost = set()
    for row in range(FIRST_ROW, FIRST_ROW + count):
        if row not in rows:
            near = rows.get(row - 1, row - 1 + down) + 1
            if near in filled and near not in taken:
                rows[row] = near
                taken.add(near)
            else:
                lost.add(row)
    new = tuple(row for row in range(mark_row + 1, max(taken, default=mark_row)) if row not in taken)
    return SheetPlace(title, rows=_moved(rows, down), lost_rows=frozenset(lost), new_rows=new, down=down, **parts)


def _entries(cells: SheetCells, title: str, marks: Mapping[str, int], end_row: int) -> SheetPlace:
    """An input sheet: from the row of names to the end row."""
    mark_row = _mark_row(cells, marks, JOB_NUMBER)
    parts = _columns(cells, marks, mark_row)
    if not mark_row:
        return SheetPlace(title, **parts)
    down = mark_row - MARK_ROW
    at = parts["columns"].get(marks[JOB_NUMBER], marks[JOB_NUMBER])
    ends = [
        row for (row, column), value in cells.values.items()
        if column == at and row > mark_row and isinstance(value, str) and value.casefold().startswith(END_OF_ROWS)
    ]  # fmt: skip
    end = min(ends, default=end_row + down)
    rows = {end_row: end, end_row - 1: end - 1}
    return SheetPlace(title, rows=_moved(rows, down), down=down, **parts)


def _rules(cells: SheetCells, title: str, built: Built) -> SheetPlace:
    """Local rules: a row for each parameter, by its name."""
    marks = built.marks(LOCAL_RULES)
    mark_row = _mark_row(cells, marks, "name")
    parts = _columns(cells, marks, mark_row)
    if not mark_row:
        return SheetPlace(title, **parts)
    down, at = mark_row - MARK_ROW, parts["columns"].get(1, 1)
    there: dict[object, int] = {}
    for (row, column), value in sorted(cells.values.items()):
        if column == at and row > mark_row:
            there.setdefault(value, row)
    rows = {row: there[name] for name, row in built.layout.parameter_rows.items() if name in there}
    taken, lost = set(rows.values()), set()
    for row in built.layout.parameter_rows.values():
        if row not in rows:
            near = rows.get(row - 1, row - 1 + down) + 1
            if near in taken or not any(place[0] == near for place in (*cells.values, *cells.formulas)):
                lost.add(row)
            else:
                rows[row] = near
    return SheetPlace(title, rows=_moved(rows, down), lost_rows=frozenset(lost), down=down, **parts)


def _marked(cells: SheetCells, title: str, marks: Mapping[str, int], first: str) -> SheetPlace:
    """A book or the settings: rows stay in their order under the row of names."""
    mark_row = _mark_row(cells, marks, first)
    return SheetPlace(title, down=mark_row - MARK_ROW if mark_row else 0, **_columns(cells, marks, mark_row))


def _page(cells: SheetCells, title: str, built: Built, name: str) -> SheetPlace:
    """A sheet without marks: row by row, or by what stands in the rows where that fits better."""
    then, now = _by_row(built.values(name), built.cells.sheets[name].formulas), _by_row(cells.values, cells.formulas)
    last = max((*then, *now), default=0)
    before = [then.get(row, frozenset()) for row in range(1, last + 1)]
    after = [now.get(row, frozenset()) for row in range(1, last + 1)]
    apart = sum(not one <= other for one, other in zip(before, after, strict=True))
    if apart <= max(3, last // 20):
        return SheetPlace(title, mark_row=0)
    shared = _only_shared(before, after)
    rows: dict[int, int] = {}
    for tag, i, j, k, m in SequenceMatcher(None, *shared, autojunk=False).get_opcodes():
        if tag == "equal" or (tag == "replace" and j - i == m - k):
            rows |= {1 + i + step: 1 + k + step for step in range(j - i)}
    if sum(not before[a - 1] <= after[b - 1] for a, b in rows.items()) + len(before) - len(rows) >= apart:
        return SheetPlace(title, mark_row=0)
    lost = frozenset(row for row in then if row not in rows)
    taken = set(rows.values())
    new = tuple(row for row in range(1, max(taken) + 1) if row not in taken)
    return SheetPlace(title, rows=_moved(rows, 0), lost_rows=lost, new_rows=new, mark_row=0)


def _by_row(values: Mapping[Place, object], formulas: Mapping[Place, str]) -> dict[int, frozenset[object]]:
    """What stands in each row: values with their columns, and in which columns there are formulas."""
    rows: dict[int, set[object]] = {}
    for (row, column), value in values.items():
        rows.setdefault(row, set()).add((column, value))
    for row, column in formulas:
        rows.setdefault(row, set()).add((column, None))
    return {row: frozenset(found) for row, found in rows.items()}


def _only_shared(
    before: list[frozenset[object]], after: list[frozenset[object]]
) -> tuple[list[frozenset[object]], list[frozenset[object]]]:
    """Both lists of rows, each row without what stands nowhere on the other side."""
    then, now = frozenset().union(*before), frozenset().union(*after)
    return [row & now for row in before], [row & then for row in after]


def _moved(rows: Mapping[int, int], down: int) -> dict[int, int]:
    """Only the rows that are not where `down` says."""
    return {row: there for row, there in rows.items() if there != row + down}
