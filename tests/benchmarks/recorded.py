"""What a workbook is made of, taken down while it is written, so that other writers can write the same.

A sheet is a list of calls of XlsxWriter's own methods. The rows of the grids,
which are written from templates, are taken apart into a call for each cell.
Charts and defined names are left out, which is to the advantage of the others.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import wraps
from io import BytesIO
from typing import Any

import pandas as pd
from xlsxwriter.format import Format
from xlsxwriter.workbook import Workbook
from xlsxwriter.worksheet import Worksheet

from workbook_builder.code_tables.model import Field
from workbook_builder.writer import workbook as writer
from workbook_builder.writer.row_block import CellColumn, FormulaColumn, RowBlock
from workbook_builder.writer.sheet_class import PlainFormulaSheet
from workbook_builder.writer.values import cached, serial

LEFT_OUT = {"insert_chart", "put_rows", "put_formula", "text_number", "row_points"}
SAME_FONT = "default_format_properties"
"""The one option that all writers get, since it is in every style."""

Call = tuple[str, tuple[Any, ...], dict[str, Any]]


@dataclass
class Recorded:
    """The sheets by name in order; the font of the workbook; what each format says, by its identity."""

    sheets: dict[str, list[Call]] = field(default_factory=dict)
    font: dict[str, Any] = field(default_factory=dict)
    looks: dict[int, dict[str, Any]] = field(default_factory=dict)

    @property
    def cells(self) -> int:
        return sum(name.startswith("write_") for calls in self.sheets.values() for name, _, _ in calls)


def _taken_down(name: str, plain: Callable[..., Any]) -> Callable[..., Any]:
    @wraps(plain)
    def method(sheet: RecordingSheet, *arguments: Any, **more: Any) -> Any:
        if not sheet.inside:
            sheet.calls.append((name, arguments, more))
        sheet.inside += 1
        try:
            return plain(sheet, *arguments, **more)
        finally:
            sheet.inside -= 1

    return method


class RecordingSheet(PlainFormulaSheet):
    """Takes down what is called from outside."""

    inside = 0

    def __init__(self) -> None:
        super().__init__()
        self.calls: list[Call] = []

    def put_formula(self, row: int, column: int, formula: str, look: Format, value: float | str) -> None:
        self.calls.append(("write_formula", (row, column, formula, look, value), {}))
        super().put_formula(row, column, formula, look, value)

    def put_rows(self, block: RowBlock) -> None:
        self.calls.append(("put_rows", (block,), {}))
        super().put_rows(block)


for _name, _plain in vars(Worksheet).items():
    if callable(_plain) and not _name.startswith("_") and _name not in LEFT_OUT:
        setattr(RecordingSheet, _name, _taken_down(_name, _plain))


@contextmanager
def recording() -> Iterator[list[Workbook]]:
    """While it lasts, write_workbook takes down what it does; gives the workbooks it makes."""
    made: list[Workbook] = []

    class Kept(Workbook):
        def __init__(self, target: BytesIO, options: dict[str, Any]) -> None:
            super().__init__(target, options)
            self.given = options
            made.append(self)

        def close(self) -> None:
            # Formats change while they are written.
            self.looks = {id(one): dict(vars(one)) for one in self.formats}
            super().close()

    plain = writer.PlainFormulaSheet, writer.Workbook
    writer.PlainFormulaSheet, writer.Workbook = RecordingSheet, Kept
    try:
        yield made
    finally:
        writer.PlainFormulaSheet, writer.Workbook = plain


def recorded(*, layout: Any, **given: Any) -> Recorded:
    """What write_workbook makes of these arguments, cell by cell."""
    with recording() as made:
        writer.write_workbook("/dev/null", layout=layout, **given)
    entries = {
        place.sheet: (given["jobs"] if name == "jobs" else given.get("circuits"), place.fields)
        for name, place in layout.grids.items()
    }
    results = {"jobs": given.get("results"), "circuits": given.get("circuit_results")}
    grid_of = {sheet.name: sheet.grid for sheet in given["sheets"]}
    grid_of |= {place.sheet: name for name, place in layout.grids.items()}
    found = Recorded(font={SAME_FONT: made[0].given[SAME_FONT]}, looks=made[0].looks)
    for sheet in made[0].worksheets():
        calls: list[Call] = []
        for name, arguments, more in sheet.calls:
            if name == "put_rows":
                calls += _cells(arguments[0], results[grid_of[sheet.name]], *entries.get(sheet.name, (None, ())))
            else:
                calls.append((name, arguments, more))
        found.sheets[sheet.name] = calls
    return found


def _cells(
    block: RowBlock, results: pd.DataFrame | None, entries: pd.DataFrame | None, fields: tuple[Field, ...]
) -> Iterator[Call]:
    """A call for each cell of the block, column by column: of the formulas and of what was given, not of our XML."""
    for one in block.columns:
        values: list[Any] = [None if isinstance(one, CellColumn) else ""] * block.count
        if isinstance(one, FormulaColumn):
            given = results[one.name] if results is not None and one.name in results else []
            values = [0] * block.count if results is None else values
            values[: len(given)] = [cached(value) for value in given]
        elif fields:
            name = fields[one.at - 1].name
            given = entries[name].tolist() if entries is not None and name in entries else []
            values[: len(given)] = given
        else:
            values = list(range(1, block.count + 1))
        for down, value in enumerate(values):
            row = block.first + down
            if isinstance(one, FormulaColumn):
                formula = "=" + one.formula.replace("{row}", str(row + 1))
                yield "write_formula", (row, one.at, formula, one.look, value), {}
            else:
                yield _entry(row, one, value)


def _entry(row: int, one: CellColumn, value: Any) -> Call:
    if value is None or value == "" or (isinstance(value, float) and math.isnan(value)) or value is pd.NaT:
        return "write_blank", (row, one.at, None, one.look), {}
    if isinstance(value, bool):
        return "write_boolean", (row, one.at, value, one.look), {}
    if isinstance(value, dt.date):
        return "write_number", (row, one.at, serial(value), one.look), {}
    if isinstance(value, int | float):
        return "write_number", (row, one.at, value, one.look), {}
    return "write_string", (row, one.at, str(value), one.look), {}


class UnsearchedSheet(Worksheet):
    """A sheet of XlsxWriter that does not look for functions that need a prefix."""

    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
        return formula.removeprefix("=")


def replayed(book: Recorded, target: BytesIO, sheet_class: type[Worksheet] = Worksheet) -> Callable[[], None]:
    """A function that writes the same with XlsxWriter as it comes: its own classes, methods and options."""
    work = Workbook(target, dict(book.font))
    looks: dict[int, Format] = {}

    def own(value: Any) -> Any:
        if isinstance(value, dict):
            return {name: own(one) for name, one in value.items()}
        if not isinstance(value, Format):
            return value
        if id(value) not in looks:
            looks[id(value)] = new = work.add_format()
            kept = {"xf_format_indices", "dxf_format_indices", "xf_index", "dxf_index", "_format_key"}
            vars(new).update({name: one for name, one in book.looks[id(value)].items() if name not in kept})
        return looks[id(value)]

    plan = [
        (name, [(method, tuple(map(own, arguments)), own(more)) for method, arguments, more in calls])
        for name, calls in book.sheets.items()
    ]

    def write() -> None:
        for sheet, (_, calls) in zip([work.add_worksheet(name, sheet_class) for name, _ in plan], plan, strict=True):
            for method, arguments, more in calls:
                getattr(sheet, method)(*arguments, **more)
        work.close()

    return write

