"""Every mutant of a sheet: the formula that a cell would hold if one mistake had been made in its template."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from workbook_builder.code_tables.model import Rule
from workbook_builder.sheets.compile import PLACES, input_rules, tree_faults
from workbook_builder.sheets.formula import ColumnName, Named, Node, parse, rounded, walk, write
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.model import JOB_GRID, Column, Sheet
from workbook_builder.sheets.names import Names, choices_of, plain_name
from workbook_builder.sheets.order import SHEETS
from workbook_builder.sheets.units import ANY

from .operators import SHORT, Mutation, Neighbours, mutations

_LAST_ROW = re.compile(r"\$(\d+)$")


@dataclass(frozen=True)
class Mutant:
    """One mistake in one column: the changed tree, and cell, its formula with `{row}`, no leading `=`."""

    sheet: str
    column: str
    operator: str
    change: str
    cell: str
    tree: Node

    @property
    def names(self) -> tuple[str, str, str, str]:
        """What a mutant is, whatever rows its workbook has."""
        return self.sheet, self.column, self.operator, self.change

    def __str__(self) -> str:
        return f"{self.sheet}.{self.column}, {self.operator}: {self.change}"


class SheetFormulas:
    """The columns of one sheet as trees, and the formulas of trees as the compiler would write them."""

    def __init__(self, sheet: Sheet, layout: Layout, sheets: Sequence[Sheet] = SHEETS) -> None:
        self.sheet, self.layout = sheet, layout
        self.names = Names(sheets, layout)
        place = layout.grids[sheet.grid]
        self.rules = dict(layout.code.rules) | input_rules(place.fields, sheet=place.home)
        self.fields = {field.name for field in place.fields} if sheet.name == place.home else set()
        self.sheets = {one.name: one for one in sheets}
        self.places = {column.name: one.name for one in sheets if one.grid == sheet.grid for column in one.columns}

    def cell(self, column: Column, tree: Node) -> str:
        """The formula of a tree that stands for this column, guarded and rounded as the compiler does."""
        cells = {}
        for node in walk(tree):
            if isinstance(node, ColumnName | Named):
                text = f"[{node.name}]" if isinstance(node, ColumnName) else f"{{{node.name}}}"
                cells[text] = self._place(text)
        rule = self.rules[column.name]
        if rule.kind in PLACES and column.name not in self.fields:
            tree = rounded(tree, PLACES[rule.kind])
        cell = write(tree, cells)
        if column.guarded:
            state = self._place(f"[{self.layout.grids[self.sheet.grid].state}]")
            cell = f'IF({state}="ready", {cell}, "")'
        return cell

    def _place(self, text: str) -> str:
        if SHORT in text:
            whole = self._place(text.replace(SHORT, ""))
            return _LAST_ROW.sub(lambda found: f"${int(found[1]) - 1}", whole)
        found = self.names.cell(text, self.sheet.name)
        if found is None:
            raise KeyError(f"{self.sheet.name}: {self.names.why_not(text, self.sheet.name)}")
        return found

    def mutants(self) -> list[Mutant]:
        """All mutants of all columns; one whose formula is that of another is left out."""
        near = Neighbours(self._column_beside, self._named_beside, self._other_choice, self._short)
        found: list[Mutant] = []
        for column in self.sheet.columns:
            tree = parse(column.formula)
            cells = {self.cell(column, tree)}
            for one in mutations(tree, near):
                cell = self.cell(column, one.tree)
                if cell not in cells:
                    cells.add(cell)
                    found.append(self._mutant(column, one, cell))
        return found

    def _mutant(self, column: Column, one: Mutation, cell: str) -> Mutant:
        return Mutant(self.sheet.name, column.name, one.operator, one.change, cell, one.tree)

    def refused(self, mutant: Mutant) -> list[str]:
        """Why the compiler would not write this mutant; nothing where it would.

        It looks at units, words, constants and brackets, and for a column that
        needs itself.
        """
        rule, entry = self.rules[mutant.column], mutant.column in self.fields
        faults = tree_faults(mutant.tree, self.names, rule, is_entry=entry)
        seen: set[tuple[str, str]] = set()
        todo = list(self._read_by(mutant.tree, self.sheet))
        me = (self.sheet.grid, mutant.column)
        while todo:
            one = todo.pop()
            if one not in seen:
                seen.add(one)
                todo += self.uses.get(one, ())
        return [*faults, f"circle: {mutant.column} needs itself"] if me in seen else faults

    def _read_by(self, tree: Node, sheet: Sheet) -> set[tuple[str, str]]:
        found: set[tuple[str, str]] = set()
        for node in walk(tree):
            if isinstance(node, ColumnName | Named) and SHORT not in node.name:
                text = f"[{node.name}]" if isinstance(node, ColumnName) else f"{{{node.name}}}"
                found |= self.names.read_by(text, sheet)
        return found

    @cached_property
    def uses(self) -> dict[tuple[str, str], set[tuple[str, str]]]:
        """What each column of the workbook reads."""
        found = {}
        for sheet in self.sheets.values():
            state = (sheet.grid, self.layout.grids[sheet.grid].state)
            for column in sheet.columns:
                read = self._read_by(parse(column.formula), sheet)
                found[sheet.grid, column.name] = read | {state} if column.guarded else read
        return found

    def _rule(self, name: str) -> Rule | None:
        return self.rules.get(plain_name(name))

    def _column_beside(self, name: str) -> str | None:
        """The nearest column of the same sheet with the same unit and kind, the right one first."""
        head, plain = name.rpartition(".")[0], plain_name(name)
        if head == "job":
            sheet = self.names.places[JOB_GRID].get(plain, ("",))[0]
        else:
            sheet = self.places.get(plain, "")
        if head == "raw" or not sheet:
            return None
        order = [column.name for column in self.sheets[sheet].columns]
        at = order.index(plain)
        for step in range(1, len(order)):
            for other in (at + step, at - step):
                if 0 <= other < len(order) and self._alike(plain, order[other]):
                    return f"{head}.{order[other]}" if head else order[other]
        return None

    def _alike(self, one: str, other: str) -> bool:
        first, second = (self.names.unit(f"[{name}]") for name in (one, other))
        if ANY in (first, second) or first != second:
            return False
        kinds = [rule.kind for name in (one, other) if (rule := self._rule(name))]
        return len(kinds) == 2 and (kinds[0] == kinds[1] or first.kind == "number")

    def _named_beside(self, name: str) -> str | None:
        """Another parameter or setting of the same unit, another column of the same table."""
        code = self.layout.code
        for known in (code.parameters, code.books.settings):
            if name in known:
                return self._beside(name, list(known), "{%s}")
        head, _, rest = name.partition(".")
        if head in code.tables and rest not in ("", "header"):
            found = self._beside(rest, list(code.tables[head].header), "{" + head + ".%s}")
            return f"{head}.{found}" if found else None
        if head in self.layout.books and rest in ("likely", "mean"):
            return f"{head}.{'mean' if rest == 'likely' else 'likely'}"
        return None

    def _beside(self, name: str, order: list[str], form: str) -> str | None:
        at, own = order.index(name), self.names.unit(form % name)
        for step in range(1, len(order)):
            for other in (at + step, at - step):
                if 0 <= other < len(order) and self.names.unit(form % order[other]) == own:
                    return order[other]
        return None

    def _other_choice(self, name: str, value: str) -> str | None:
        choices = choices_of(plain_name(name), self.names.fields)
        if value not in choices:
            return None
        return choices[(choices.index(value) + 1) % len(choices)]

    def _short(self, name: str) -> str | None:
        """A range without its last row, or a row of cells without its last cell."""
        head, _, rest = name.partition(".")
        if name in self.layout.tables or (head in self.layout.tables and rest != "header"):
            return name + SHORT
        if name.count(":") != 1 or head == "line":
            return None
        first, last = name.split(":")
        sheet = self.places.get(first)
        if sheet is None:
            return None
        order = [column.name for column in self.sheets[sheet].columns]
        at = order.index(last) - 1
        return f"{first}:{order[at]}" if at > order.index(first) else None
