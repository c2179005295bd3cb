"""A small book of grids whose formulas are simple but real, for tests of the writer."""

from __future__ import annotations

import pandas as pd

from workbook_builder.code_tables.load import load
from workbook_builder.sheets.compile import input_rules
from workbook_builder.sheets.layout import CIRCUIT_CHECK, INPUTS, Layout, letter
from workbook_builder.sheets.model import CIRCUIT_GRID, JOB_GRID, CompiledColumn, CompiledSheet

BUILT_ON = "2026-03-01"
_RESULTS = {"state": '"CHECK: a person must look"', "number": "1234.5", "count": "3"}


def toy_layout(rows: int, circuit_rows: int = 4) -> Layout:
    return Layout(load(), rows=rows, circuit_rows=circuit_rows)


def toy_sheets(layout: Layout) -> tuple[CompiledSheet, ...]:
    """The two sheets of entries with every field, and a grid for each other sheet that has rules."""
    code = layout.code
    grids = [_home(layout, JOB_GRID, "Inputs as used"), _home(layout, CIRCUIT_GRID, "Circuits as used")]
    homes = {place.home for place in layout.grids.values()}
    for name in dict.fromkeys(rule.sheet for rule in code.rules.values() if rule.sheet not in homes):
        columns = [
            CompiledColumn(column, at, f"{INPUTS}!${at}{{row}}", (code.rules | input_rules(code.job_fields))[column], True)
            for column, at in (("job_no", "B"), ("row_state", "C"))
        ]
        own = [rule for rule in code.rules.values() if rule.sheet == name]
        columns += [
            CompiledColumn(
                rule.name, letter(4 + place),
                f'IF($C{{row}}="ready", {_RESULTS.get(rule.kind, chr(34) + "4/0" + chr(34))}, "")',
                rule, False,
            )
            for place, rule in enumerate(own)
        ]  # fmt: skip
        grids.append(CompiledSheet(name, name, f"About {name}, in one line.", tuple(columns)))
    return tuple(grids)


def _home(layout: Layout, grid: str, title: str) -> CompiledSheet:
    """The sheet with the entries of one grid: job number, state, fields, then its rules."""
    place, code = layout.grids[grid], layout.code
    rules = dict(code.rules) | input_rules(place.fields, sheet=place.home)
    fields = {field.name: field for field in place.fields}
    own = [rule.name for rule in code.rules.values() if rule.sheet == place.home]
    names = dict.fromkeys(("job_no", place.state, *fields, *own))
    columns = [
        CompiledColumn(
            name, letter(2 + at), _input_cell(layout, grid, name), rules[name], False, fields.get(name)
        )
        for at, name in enumerate(names)
    ]
    return CompiledSheet(place.home, title, "Entries with their defaults.", tuple(columns), grid)


def _input_cell(layout: Layout, grid: str, name: str) -> str:
    place = layout.grids[grid]
    if name == place.state:
        return 'IF($B{row}="", "", "ready")'
    if name not in place.letters:
        return 'IF($C{row}="ready", "ok", "")'
    raw = f"INDEX({place.raw_column(name)}, $A{{row}}+1)"
    return f'IF({raw}="", "", {raw})'


def toy_jobs(count: int) -> pd.DataFrame:
    """Invented jobs, with sizes that look like numbers and like fractions."""
    return pd.DataFrame(
        {
            "job_no": f"J-{number:03d}", "site": "=not a formula" if number == 2 else "Elm house",
            "visit_date": "2026-02-03", "house_age": "middle", "market": "medium",
            "service_a": 200, "main_spaces": 40, "main_spaces_used": 38,
            "floor_area_ft2": 2000.5 + number, "moved_wire": "12", "egc_wanted": "1/0",
            "growth_percent": 25.0, "option_wanted": None,
        }
        for number in range(1, count + 1)
    )  # fmt: skip


def toy_circuits(count: int) -> pd.DataFrame:
    """Invented circuits of the second job."""
    return pd.DataFrame(
        {
            "job_no": "J-002", "panel": "main", "position": float(number), "poles": 1.0,
            "breaker_a": 20.0, "label": "Check valve pump" if number == 1 else f"Room {number}",
            "action": "keep", "wire": "12", "multiwire_group": None,
        }
        for number in range(1, count + 1)
    )  # fmt: skip


def toy_results(sheets: tuple[CompiledSheet, ...], entries: pd.DataFrame, grid: str = JOB_GRID) -> pd.DataFrame:
    """What the formulas of `toy_sheets` give for these jobs or circuits."""
    found: dict[str, object] = {}
    for sheet in sheets:
        if sheet.grid == grid:
            for column in sheet.columns:
                if sheet.name in (INPUTS, CIRCUIT_CHECK):
                    found[column.name] = "ok" if column.field is None else ""
                elif column.name not in found:
                    found[column.name] = {"state": "CHECK: a person must look", "number": 1234.5,
                                          "count": 3}.get(column.rule.kind, "4/0")  # fmt: skip
    state = "row_state" if grid == JOB_GRID else "circuit_state"
    found |= {name: entries[name] for name in entries.columns} | {state: "ready"}
    return pd.DataFrame(found, index=entries.index)
