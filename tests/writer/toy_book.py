"""A small book of grids whose formulas are simple but real, for tests of the writer."""

from __future__ import annotations

import pandas as pd

from workbook_builder.code_tables.load import load
from workbook_builder.sheets.compile import input_rules
from workbook_builder.sheets.layout import INPUTS, Layout, letter
from workbook_builder.sheets.model import CompiledColumn, CompiledSheet

BUILT_ON = "2026-03-01"
_RESULTS = {"state": '"CHECK: a person must look"', "number": "1234.5", "count": "3"}


def toy_layout(rows: int) -> Layout:
    return Layout(load(), rows=rows)


def toy_sheets(layout: Layout) -> tuple[CompiledSheet, ...]:
    """Inputs with every field, and a grid for each sheet that has rules."""
    code = layout.code
    rules = dict(code.rules) | input_rules(code.job_fields)
    fields = {field.name: field for field in code.job_fields}
    checks = [rule.name for rule in code.rules.values() if rule.sheet == INPUTS]
    names = ["job_no", "row_state"]
    names += [name for name in (*fields, *checks) if name not in names]
    columns = [
        CompiledColumn(
            name, letter(2 + place), _input_cell(layout, name), rules[name], False, fields.get(name)
        )
        for place, name in enumerate(names)
    ]
    grids = [CompiledSheet(INPUTS, "Inputs as used", "Entries with their defaults.", tuple(columns))]
    for name in dict.fromkeys(rule.sheet for rule in code.rules.values() if rule.sheet != INPUTS):
        columns = [
            CompiledColumn(column, at, f"{INPUTS}!${at}{{row}}", rules[column], True)
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


def _input_cell(layout: Layout, name: str) -> str:
    if name == "row_state":
        return 'IF($B{row}="", "", "ready")'
    if name not in layout.job_letters:
        return 'IF($C{row}="ready", "ok", "")'
    raw = f"INDEX({layout.raw_column(name)}, $A{{row}}+1)"
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


def toy_results(sheets: tuple[CompiledSheet, ...], jobs: pd.DataFrame) -> pd.DataFrame:
    """What the formulas of `toy_sheets` give for these jobs."""
    found: dict[str, object] = {}
    for sheet in sheets:
        for column in sheet.columns:
            if sheet.name == INPUTS and column.field is None:
                found[column.name] = "ok"
            elif sheet.name != INPUTS:
                found[column.name] = {"state": "CHECK: a person must look", "number": 1234.5,
                                      "count": 3}.get(column.rule.kind, "4/0")  # fmt: skip
    found |= {name: jobs[name] for name in jobs.columns} | {"row_state": "ready"}
    return pd.DataFrame(found, index=jobs.index)
