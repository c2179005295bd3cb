"""Resolves the names of templates to cells and units."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ..code_tables.model import Rule
from .layout import INPUTS, JOBS, Layout, letter, quoted
from .model import JOB_NUMBER, MARK_ROW, ROW_STATE, RULE_ROW, Sheet
from .units import ANY, PLAIN, TEXT, Unit, table_units, unit

KEY_UNITS = {"rating_a": "A", "upper_c": "C", "bus_a": "A"}


class Names:
    """Every name a template may use, with the cell it stands for.

    places maps a column name to (sheet, letter). A plain name means the same
    job's row on whatever sheet the column stands.
    """

    def __init__(self, sheets: Iterable[Sheet], layout: Layout) -> None:
        self.layout = layout
        self.code = layout.code
        self.fields = {field.name: field for field in self.code.job_fields}
        self.places: dict[str, tuple[str, str]] = {}
        self.twice: list[str] = []
        for sheet in sheets:
            own = [column.name for column in sheet.columns]
            offset = 2 if sheet.name == INPUTS else 4
            for place, name in enumerate(own):
                if name in self.places:
                    self.twice.append(f"{sheet.name}.{name}: the name stands on {self.places[name][0]} too")
                self.places[name] = (sheet.name, letter(offset + place))

    def cell(self, name: str, sheet: str) -> str | None:
        """What `[name]` or `{name}` is on a sheet; None where it is unknown."""
        inner = name[1:-1]
        return self._column(inner, sheet) if name[0] == "[" else self._named(inner, sheet)

    def _column(self, name: str, sheet: str) -> str | None:
        if name.startswith("raw."):
            field = name[4:]
            if sheet != INPUTS or field not in self.layout.job_letters:
                return None
            return f"INDEX({self.layout.raw_column(field)}, $A{{row}}+1)"
        if ":" in name:
            ends = [self.places.get(end) for end in name.split(":")]
            if None in ends or any(end[0] != sheet for end in ends):
                return None
            (_, first), (_, last) = ends
            return f"${first}{{row}}:${last}{{row}}"
        if name == ROW_STATE and sheet != INPUTS:
            return "$C{row}"
        if name not in self.places:
            return None
        at_sheet, at = self.places[name]
        return f"${at}{{row}}" if at_sheet == sheet else f"{quoted(at_sheet)}!${at}{{row}}"

    def _named(self, name: str, sheet: str) -> str | None:
        layout = self.layout
        if name in self.code.parameters:
            if not self.code.parameters[name].varies:
                return layout.parameter_cell(name)
            return f"INDEX({layout.parameter_range(name)}, 1, {self._column('edition_index', sheet)})"
        if name in layout.tables:
            return layout.tables[name].block()
        head, _, rest = name.partition(".")
        if head in layout.tables:
            place = layout.tables[head]
            if rest == "header":
                return place.header()
            return place.column(rest) if rest in place.letters else None
        if head == "choices" and rest in layout.list_letters:
            return layout.choices(rest)
        if head == "raw" and rest in layout.job_letters:
            return layout.raw_column(rest)
        if head == "editions" and rest in layout.edition_letters:
            return layout.edition_column(rest)
        if head.startswith(("names:", "messages:")):
            kind, first, last = head.split(":")
            row = MARK_ROW if kind == "names" else RULE_ROW
            ends = [self.places.get(first), self.places.get(last)]
            if None in ends or any(end[0] != sheet for end in ends):
                return None
            return f"${ends[0][1]}${row}:${ends[1][1]}${row}"
        return None

    def unit(self, name: str) -> Unit:
        """The unit of `[name]` or `{name}`; ANY where it is unknown or raw."""
        inner = name[1:-1]
        if name[0] == "[":
            if inner.startswith("raw."):
                return ANY
            if ":" in inner:
                return ANY
            if inner in (JOB_NUMBER, ROW_STATE):
                return TEXT
            if inner in self.code.rules:
                return rule_unit(self.code.rules[inner])
            if inner in self.fields:
                return field_unit(self.fields[inner])
            return ANY
        if inner in self.code.parameters:
            return unit(self.code.parameters[inner].unit)
        head, _, rest = inner.partition(".")
        if head in self.code.tables:
            return self._table_unit(head, rest)
        if head == "choices":
            return field_unit(self.fields[rest]) if rest in self.fields else ANY
        if head == "editions":
            return PLAIN
        return ANY if head == "raw" else TEXT

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


def rule_unit(rule: Rule) -> Unit:
    return unit(rule.unit) if rule.kind in ("number", "count") else TEXT


def field_unit(field: object) -> Unit:
    if field.kind == "number" or field.numeric:
        return unit(field.unit)
    return PLAIN if field.kind == "date" else TEXT


def choices_of(name: str, fields: Mapping[str, object]) -> tuple[str, ...]:
    """The words of a choice field, for text constants compared with it."""
    field = fields.get(name)
    return field.choices if field is not None and not field.numeric else ()


__all__ = ["JOBS", "Names", "choices_of", "field_unit", "rule_unit"]
