"""Resolves the names of templates to cells and units."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ..code_tables.model import Rule
from .layout import Layout, letter, quoted
from .model import (
    CIRCUIT_GRID,
    CIRCUIT_JOB_ROW,
    FIRST_ROW,
    JOB_GRID,
    JOB_NUMBER,
    MARK_ROW,
    ROW_NUMBER,
    ROW_STATE,
    RULE_ROW,
    Sheet,
)
from .names_books import BookNames
from .units import ANY, PLAIN, TEXT, Unit, table_units, unit

KEY_UNITS = {"rating_a": "A", "upper_c": "C", "bus_a": "A"}

EDITION = "edition_index"
"""The column that says which value of a parameter a job takes."""

PREFIXES = {"job": JOB_GRID, "circuit": CIRCUIT_GRID}
"""{all.job.name} and {all.circuit.name} say which grid is meant, as job_no needs."""


class Names:
    """Every name a template may use, with the cell it stands for.

    places maps, for each grid, a column name to (sheet, letter). A plain name
    means the same row of the grid on whatever sheet the column stands.
    """

    def __init__(self, sheets: Iterable[Sheet], layout: Layout) -> None:
        self.layout = layout
        self.code = layout.code
        self.fields = {
            field.name: field for field in (*self.code.circuit_fields, *self.code.job_fields)
        }
        self.grids: dict[str, str] = {}
        self.places: dict[str, dict[str, tuple[str, str]]] = {grid: {} for grid in layout.grids}
        self.twice: list[str] = []
        self.order: dict[str, list[str]] = {}
        self.books = BookNames(layout, self.order, self.places[JOB_GRID])
        for sheet in sheets:
            self.grids[sheet.name] = sheet.grid
            self.order[sheet.name] = [column.name for column in sheet.columns]
            offset = 2 if sheet.name == layout.grids[sheet.grid].home else 4
            for place, column in enumerate(sheet.columns):
                self._add(column.name, sheet, letter(offset + place))

    def _add(self, name: str, sheet: Sheet, at: str) -> None:
        shared = name == JOB_NUMBER
        for grid, found in self.places.items():
            if name in found and (grid == sheet.grid or not shared):
                self.twice.append(f"{sheet.name}.{name}: the name stands on {found[name][0]} too")
        self.places[sheet.grid][name] = (sheet.name, at)

    def has(self, name: str) -> bool:
        """Whether any sheet has a column of that name."""
        return any(name in found for found in self.places.values())

    def cell(self, name: str, sheet: str) -> str | None:
        """What `[name]` or `{name}` is on a sheet; None where it cannot be used there."""
        inner = name[1:-1]
        return self._column(inner, sheet) if name[0] == "[" else self._named(inner, sheet)

    def why_not(self, name: str, sheet: str) -> str:
        """Why `cell` gives None, in words."""
        inner, grid = name[1:-1], self.grids[sheet]
        others = [other for other, found in self.places.items() if other != grid and inner in found]
        if name[0] == "[" and others:
            job = f"[job.{inner}] or " if grid == CIRCUIT_GRID else ""
            return f"{name} stands on the grid of {others[0]}; write {job}{{all.{inner}}}"
        if inner.startswith("job.") and grid == JOB_GRID and self.has(inner[4:]):
            return f"{name} is for the grid of circuits; write [{inner[4:]}]"
        if name[0] == "{" and self.books.has(inner):
            return f"unknown name {name}: {self.books.why_not(inner)}"
        return f"unknown name {name}"

    def _column(self, name: str, sheet: str) -> str | None:
        grid = self.grids[sheet]
        place, places = self.layout.grids[grid], self.places[grid]
        if name == ROW_NUMBER:
            return "$A{row}"
        if name.startswith("raw."):
            field = name[4:]
            if sheet != place.home or field == place.state or field not in place.letters:
                return None
            return f"INDEX({place.raw_column(field)}, $A{{row}}+1)"
        if name.startswith("job."):
            whole = self._whole(JOB_GRID, name[4:], sheet)
            row = self._column(CIRCUIT_JOB_ROW, sheet)
            if grid != CIRCUIT_GRID or whole is None or row is None:
                return None
            return f"INDEX({whole}, {row})"
        if ":" in name:
            if not self._between(grid, name):
                return None
            (at_sheet, first), (_, last) = (places[end] for end in name.split(":"))
            front = "" if at_sheet == sheet else f"{quoted(at_sheet)}!"
            return f"{front}${first}{{row}}:${last}{{row}}"
        if name == place.state and sheet != place.home:
            return "$C{row}"
        if name not in places:
            return None
        at_sheet, at = places[name]
        return f"${at}{{row}}" if at_sheet == sheet else f"{quoted(at_sheet)}!${at}{{row}}"

    def _between(self, grid: str, name: str) -> list[str]:
        """The columns of `first:last`; none where they stand on two sheets or the other way round."""
        first, _, last = name.partition(":")
        at_sheet = self.places[grid].get(first, ("", ""))[0]
        order = self.order.get(at_sheet, [])
        if last not in order:
            return []
        return order[order.index(first) : order.index(last) + 1]

    def _whole(self, grid: str, name: str, sheet: str) -> str | None:
        """A calculated column in all rows of its grid."""
        place = self.layout.grids[grid]
        home = sheet if self.grids[sheet] == grid else place.home
        at_sheet, at = (home, "A") if name == ROW_NUMBER else self.places[grid].get(name, ("", ""))
        if not at:
            return None
        front = "" if at_sheet == sheet else f"{quoted(at_sheet)}!"
        return f"{front}${at}${FIRST_ROW}:${at}${place.last_row}"

    def _all(self, rest: str, sheet: str) -> tuple[str, str] | None:
        """(grid, column) of {all.rest}: the sheet's own grid goes before the other."""
        head, _, name = rest.partition(".")
        own = self.grids[sheet]
        grids = [PREFIXES[head]] if name and head in PREFIXES else sorted(self.places, key=lambda grid: grid != own)
        for grid in grids:
            if (name or rest) == ROW_NUMBER or (name or rest) in self.places[grid]:
                return grid, name or rest
        return None

    def _named(self, name: str, sheet: str) -> str | None:
        layout, grid = self.layout, self.grids[sheet]
        if name in self.code.parameters:
            if not self.code.parameters[name].varies:
                return layout.parameter_cell(name)
            edition = EDITION if grid == JOB_GRID else f"job.{EDITION}"
            return f"INDEX({layout.parameter_range(name)}, 1, {self._column(edition, sheet)})"
        if name in layout.tables:
            return layout.tables[name].block()
        head, _, rest = name.partition(".")
        if head in layout.tables:
            place = layout.tables[head]
            if rest == "header":
                return place.header()
            return place.column(rest) if rest in place.letters else None
        if self.books.has(name):
            return self.books.cell(name)
        if head == "choices" and rest in layout.list_letters:
            return layout.choices(rest)
        if head == "raw" and rest in layout.grids[grid].letters:
            return layout.raw_column(rest, grid)
        if head == "all":
            found = self._all(rest, sheet)
            return self._whole(*found, sheet) if found else None
        if head == "editions" and rest in layout.edition_letters:
            return layout.edition_column(rest)
        if head.startswith(("names:", "messages:")):
            kind, first, last = head.split(":")
            row = MARK_ROW if kind == "names" else RULE_ROW
            ends = [self.places[grid].get(first), self.places[grid].get(last)]
            if None in ends or any(end[0] != sheet for end in ends):
                return None
            return f"${ends[0][1]}${row}:${ends[1][1]}${row}"
        return None

    def read_by(self, name: str, sheet: Sheet) -> set[tuple[str, str]]:
        """The columns, as (grid, name), that `[name]` or `{name}` reads on a sheet."""
        inner, grid = name[1:-1], sheet.grid
        if name[0] == "{":
            if inner in self.code.parameters and self.code.parameters[inner].varies:
                return self.read_by(f"[{EDITION}]" if grid == JOB_GRID else f"[job.{EDITION}]", sheet)
            found = self._all(inner[4:], sheet.name) if inner.startswith("all.") else None
            return {found} if found else set()
        if inner.startswith("job."):
            return {(JOB_GRID, inner[4:]), (CIRCUIT_GRID, CIRCUIT_JOB_ROW)}
        if ":" in inner:
            return {(grid, one) for one in self._between(grid, inner)}
        return set() if inner.startswith("raw.") else {(grid, inner)}

    def unit(self, name: str) -> Unit:
        """The unit of `[name]` or `{name}`; ANY where it is unknown or raw."""
        inner = name[1:-1]
        if name[0] == "[" and ":" in inner:
            units = {self._column_unit(one) for grid in self.places for one in self._between(grid, inner)}
            return units.pop() if len(units) == 1 else ANY
        if name[0] == "[":
            return self._column_unit(inner.removeprefix("job."))
        if inner in self.code.parameters:
            return unit(self.code.parameters[inner].unit)
        head, _, rest = inner.partition(".")
        if head in self.code.tables:
            return self._table_unit(head, rest)
        if self.books.has(inner):
            return self.books.unit(inner)
        if head == "choices":
            return field_unit(self.fields[rest]) if rest in self.fields else ANY
        if head == "all":
            return self._column_unit(plain_name(rest))
        if head == "editions":
            return PLAIN
        return ANY if head == "raw" else TEXT

    def _column_unit(self, name: str) -> Unit:
        if name == ROW_NUMBER:
            return PLAIN
        if name in (JOB_NUMBER, ROW_STATE):
            return TEXT
        if name in self.code.rules:
            return rule_unit(self.code.rules[name])
        return field_unit(self.fields[name]) if name in self.fields else ANY

    def _table_unit(self, name: str, column: str) -> Unit:
        table = self.code.tables[name]
        if column == "header":
            return TEXT
        values = table.block() if column == "" else [table.column(column)] if column in table.header else []
        if any(isinstance(value, str) for row in values for value in row):
            return TEXT
        if column == table.key:
            return unit(KEY_UNITS.get(column, table_units(table.unit)(column) if "," in table.unit else ""))
        return unit(table_units(table.unit)(column))


def plain_name(name: str) -> str:
    """A column's name without what says where it is read: `job.x`, `all.x`, `all.circuit.x`.

    >>> plain_name("all.job.job_no"), plain_name("job.wall"), plain_name("wall")
    ('job_no', 'wall', 'wall')
    """
    return name.rpartition(".")[2] if name.partition(".")[0] in ("all", *PREFIXES) else name


def rule_unit(rule: Rule) -> Unit:
    return unit(rule.unit) if rule.kind in ("number", "fine", "count") else TEXT


def field_unit(field: object) -> Unit:
    if field.kind == "number" or field.numeric:
        return unit(field.unit)
    return PLAIN if field.kind == "date" else TEXT


def choices_of(name: str, fields: Mapping[str, object]) -> tuple[str, ...]:
    """The words of a choice field, for text constants compared with it."""
    field = fields.get(name)
    return field.choices if field is not None and not field.numeric else ()


__all__ = ["Names", "choices_of", "field_unit", "plain_name", "rule_unit"]
