"""Turns declarations into formulas, or refuses them with every fault at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from graphlib import CycleError, TopologicalSorter

from ..code_tables.model import EDITIONS, Field, Rule
from .formula import (
    Call,
    ColumnName,
    FormulaError,
    Named,
    Node,
    Operation,
    Text,
    dialect_faults,
    parse,
    rounded,
    typed_in,
    walk,
    write,
)
from .layout import INPUTS, GridPlace, Layout, quoted
from .model import (
    JOB_NUMBER,
    Column,
    CompiledColumn,
    CompiledSheet,
    DeclarationError,
    Sheet,
)
from .names import Names, choices_of, plain_name, rule_unit
from .units import ANY, UnitCheck

LONGEST = 255
"""Longest formula we write; a longer one cannot be read in its cell."""

MEASURED_ROWS = 500
"""Length is judged in workbooks up to this size; beyond, row numbers only get longer."""

MARKERS = ("", "invalid", "missing", "ok")

ENTRIES_BAND = "Entries"
"""Band of the fields of a list that is not divided into groups."""

PLACES = {"number": 6, "fine": 12}
"""Decimals to which calculated numbers are rounded, by the kind of their rule."""


def compile_book(
    sheets: Iterable[Sheet], layout: Layout, *, complete: bool = True
) -> tuple[CompiledSheet, ...]:
    """All sheets with their formulas.

    complete: every rule of these sheets must have its column.

    Raises DeclarationError naming every unknown name, circle, function outside
    the dialect, typed-in constant, stray reference, unit that does not work
    out, constant that is no choice, and formula that is too long.
    """
    sheets = tuple(sheets)
    names = Names(sheets, layout)
    faults = list(names.twice)
    rules = {
        grid: dict(layout.code.rules) | input_rules(place.fields, sheet=place.home)
        for grid, place in layout.grids.items()
    }
    compiled = tuple(_sheet(sheet, names, rules[sheet.grid], faults) for sheet in sheets)
    faults += _circles(sheets, names)
    if complete:
        given = {sheet.name for sheet in sheets}
        faults += [
            f"{rule.sheet}.{rule.name}: the rule has no column"
            for rule in layout.code.rules.values()
            if rule.sheet in given and not names.has(rule.name)
        ]
    if faults:
        raise DeclarationError("\n".join(faults))
    return compiled


def input_rules(fields: Iterable[Field], *, sheet: str = INPUTS) -> dict[str, Rule]:
    """A rule for each input field as used: the entry, or its default."""
    rules = {}
    for field in fields:
        default = field.default_rule or ("" if field.default is None else _plain(field.default))
        sentence = f"{field.name} must be {field.expected}"
        if default:
            sentence += f"; blank takes {default}"
        kind = "number" if field.kind in ("number", "date") or field.numeric else "text"
        rules[field.name] = Rule(
            name=field.name, sheet=sheet, band=field.group or ENTRIES_BAND, title=field.title, unit=field.unit,
            kind=kind, sentence=sentence, sections=dict.fromkeys(EDITIONS, "entry"),
        )  # fmt: skip
    return rules


def message(field: Field) -> str:
    """What the row status says where the entry is not valid."""
    return f"{field.name} must be {field.expected}"


def _plain(value: float | str) -> str:
    return str(int(value)) if isinstance(value, float) and value.is_integer() else str(value)


def _sheet(
    sheet: Sheet, names: Names, rules: Mapping[str, Rule], faults: list[str]
) -> CompiledSheet:
    place = names.layout.grids[sheet.grid]
    columns = _copies(sheet, place, names, rules, faults) if sheet.name != place.home else []
    for column in sheet.columns:
        where = f"{sheet.name}.{column.name}"
        if column.name not in rules:
            faults.append(f"{where}: no rule and no input field of that name")
            continue
        columns.append(_column(sheet, column, names, rules[column.name], where, faults))
    return CompiledSheet(sheet.name, sheet.title, sheet.note, tuple(columns), sheet.grid)


def _copies(
    sheet: Sheet, place: GridPlace, names: Names, rules: Mapping[str, Rule], faults: list[str]
) -> list[CompiledColumn]:
    """Job number and state of the row, which every sheet repeats in B and C."""
    copies = []
    for at, name in (("B", JOB_NUMBER), ("C", place.state)):
        found = names.places[sheet.grid].get(name)
        if found is None:
            faults.append(f"{sheet.name}: no {place.home}.{name} to repeat")
            continue
        cell = f"{quoted(found[0])}!${found[1]}{{row}}"
        copies.append(CompiledColumn(name, at, cell, rules[name], True))
    return copies


def _column(
    sheet: Sheet, column: Column, names: Names, rule: Rule, where: str, faults: list[str]
) -> CompiledColumn:
    place = names.layout.grids[sheet.grid]
    entries = {field.name: field for field in place.fields} if sheet.name == place.home else {}
    field = entries.get(column.name)
    at = names.places[sheet.grid][column.name][1]
    try:
        tree = parse(column.formula)
    except FormulaError as fault:
        faults.append(f"{where}: {fault}")
        return CompiledColumn(column.name, at, "", rule, False, field)
    cells: dict[str, str] = {}
    for node in walk(tree):
        if isinstance(node, ColumnName | Named):
            text = f"[{node.name}]" if isinstance(node, ColumnName) else f"{{{node.name}}}"
            cell = names.cell(text, sheet.name)
            if cell is None:
                faults.append(f"{where}: {names.why_not(text, sheet.name)}")
            cells[text] = cell or "#NAME?"
    faults += [f"{where}: {text}" for text in tree_faults(tree, names, rule, is_entry=field is not None)]
    plain_copy = isinstance(tree, ColumnName) and "!" in cells.get(f"[{tree.name}]", "")
    if rule.kind in PLACES and field is None:
        tree = rounded(tree, PLACES[rule.kind])
    cell = write(tree, cells)
    if column.guarded:
        state = names.cell(f"[{place.state}]", sheet.name)
        cell = f'IF({state}="ready", {cell}, "")'
    longest = len(cell.replace("{row}", str(place.last_row))) + 1
    if longest > LONGEST and max(one.rows for one in names.layout.grids.values()) <= MEASURED_ROWS:
        faults.append(f"{where}: {longest} characters, the most is {LONGEST}")
    return CompiledColumn(column.name, at, cell, rule, plain_copy, field)


def tree_faults(tree: Node, names: Names, rule: Rule, *, is_entry: bool) -> list[str]:
    """What is wrong with a formula whose names are known: constants, units, noise, words, brackets."""
    faults = _choice_faults(tree, names) + dialect_faults(tree)
    if is_entry:
        return faults
    constants = [f"typed-in constant {text}; make it a parameter" for text in typed_in(tree)]
    return constants + _unit_faults(tree, names, rule) + _noise_faults(tree) + faults


def _unit_faults(tree: Node, names: Names, rule: Rule) -> list[str]:
    check = UnitCheck(names.unit)
    found = check.of(tree)
    wanted = rule_unit(rule)
    if found not in (wanted, ANY):
        check.faults.append(f"gives {found}, the rule says {wanted}")
    return check.faults


def _noise_faults(tree: Node) -> list[str]:
    """A round-down of an unrounded quotient or product picks sizes by noise."""
    return [
        f"{node.function} of a number that is not rounded first"
        for node in walk(tree)
        if isinstance(node, Call)
        and node.function in ("INT", "ROUNDUP", "ROUNDDOWN")
        and not (isinstance(node.arguments[0], Call) and node.arguments[0].function == "ROUND")
    ]


def _choice_faults(tree: Node, names: Names) -> list[str]:
    faults = []
    for node in walk(tree):
        match node:
            case Operation("=" | "<>", ColumnName(name) | Named(name), Text(value)):
                plain = plain_name(name)
                choices = choices_of(plain, names.fields)
                if choices and value not in choices and value not in MARKERS:
                    faults.append(f"{value!r} is no choice of {plain}")
    return faults


def _circles(sheets: Iterable[Sheet], names: Names) -> list[str]:
    """A column that needs itself; one that reads a whole column needs all its rows."""
    graph: dict[tuple[str, str], set[tuple[str, str]]] = {}
    for sheet in sheets:
        for column in sheet.columns:
            try:
                tree = parse(column.formula)
            except FormulaError:
                continue
            uses: set[tuple[str, str]] = set()
            for node in walk(tree):
                if isinstance(node, ColumnName | Named):
                    text = f"[{node.name}]" if isinstance(node, ColumnName) else f"{{{node.name}}}"
                    uses |= names.read_by(text, sheet)
            if column.guarded:
                uses.add((sheet.grid, names.layout.grids[sheet.grid].state))
            graph[sheet.grid, column.name] = uses
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as fault:
        return ["circle: " + " needs ".join(name for _, name in fault.args[1])]
    return []
