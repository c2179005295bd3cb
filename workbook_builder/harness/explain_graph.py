"""What each calculated column of a job rests on: the names in its formula template, and what they stand for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..code_tables.model import Rule
from ..sheets.compile import input_rules
from ..sheets.formula import ColumnName, Named, parse, walk
from ..sheets.layout import Layout
from ..sheets.model import JOB_GRID, ROW_NUMBER, ROW_STATE, CompiledColumn, CompiledSheet, Sheet
from ..sheets.names import Names

DEEPEST, MOST_STEPS = 6, 60
"""How far below a result is looked, and how many steps are shown: less far where there are more."""
_UNSAID = ("choices", "names:", "messages:", "editions", "raw")


@dataclass(frozen=True)
class Place:
    """A column of jobs: its sheet, its compiled formula, its rule, its template."""

    sheet: str
    column: CompiledColumn
    rule: Rule
    template: str

    @property
    def is_entry(self) -> bool:
        return self.column.field is not None


class Graph:
    """The columns of the grid of jobs, in the order of the sheets, and what they rest on."""

    def __init__(self, sheets: Sequence[Sheet], compiled: Sequence[CompiledSheet], layout: Layout) -> None:
        self.layout, self.names = layout, Names(sheets, layout)
        self.sheets = {sheet.name: sheet for sheet in sheets}
        rules = dict(layout.code.rules) | input_rules(layout.code.job_fields)
        self.places: dict[str, Place] = {}
        self.others: dict[str, str] = {}
        for sheet, ready in zip(sheets, compiled, strict=True):
            columns = {column.name: column for column in ready.columns}
            for column in sheet.columns:
                if sheet.grid != JOB_GRID:
                    self.others[column.name] = sheet.name
                    continue
                place = Place(sheet.name, columns[column.name], rules[column.name], column.formula)
                self.places[column.name] = place
        self.others = {name: sheet for name, sheet in self.others.items() if name not in self.places}

    def texts(self, name: str) -> Iterator[str]:
        """The names in the template of a column as they stand there, each once."""
        seen = set()
        for node in walk(parse(self.places[name].template)):
            if isinstance(node, ColumnName | Named):
                text = f"[{node.name}]" if isinstance(node, ColumnName) else f"{{{node.name}}}"
                if text not in seen and not node.name.startswith(_UNSAID):
                    seen.add(text)
                    yield text

    def columns_of(self, text: str, sheet: str) -> list[str]:
        """The columns of jobs that `[name]`, `[first:last]` or `{all.name}` reads, in the order of the sheets."""
        if text[0] == "{" and not text.startswith("{all."):
            return []
        found = {name for grid, name in self.names.read_by(text, self.sheets[sheet]) if grid == JOB_GRID}
        return [name for name in self.places if name in found and name not in (ROW_NUMBER, ROW_STATE)]

    def needs(self, name: str, values: Mapping[str, object]) -> list[str]:
        """Columns that one rests on, in the order of its formula; of a run of columns those that are not 0 or blank."""
        found: list[str] = []
        if self.places[name].is_entry:
            return found
        for text in self.texts(name):
            columns = self.columns_of(text, self.places[name].sheet)
            if ":" in text:
                columns = [one for one in columns if values.get(one) not in (None, "", 0)]
            found += [one for one in columns if one != name]
        return list(dict.fromkeys(found))

    def tree(self, root: str, values: Mapping[str, object]) -> dict[str, list[str]]:
        """The columns below a result, each under one that is nearest to it; as deep as MOST_STEPS allows."""
        best: dict[str, list[str]] = {root: []}
        for depth in range(1, DEEPEST + 1):
            below = self._tree(root, depth, values)
            if len(below) > MOST_STEPS and depth > 1:
                break
            best = below
        return best

    def _tree(self, root: str, depth: int, values: Mapping[str, object]) -> dict[str, list[str]]:
        below: dict[str, list[str]] = {root: []}
        level = [root]
        for _ in range(depth):
            following: list[str] = []
            for name in level:
                for need in self.needs(name, values):
                    if need not in below and not self.places[need].is_entry:
                        below[name].append(need)
                        below[need] = []
                        following.append(need)
            level = following
        return below

    def chain(self, roots: Sequence[str], values: Mapping[str, object], *, depth: int) -> list[str]:
        """Roots and what they rest on down to a depth, in the order of the sheets."""
        found = {name for root in roots for name in self._tree(root, depth, values)}
        return [name for name in self.places if name in found]
