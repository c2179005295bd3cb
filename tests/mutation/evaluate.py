"""Calculates mutants of one sheet in columns of their own and says which of them nothing tells from the original."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import ironcalc

from workbook_builder.harness.compare import agree
from workbook_builder.harness.engines.cells import CellError
from workbook_builder.sheets.formula import parse
from workbook_builder.sheets.model import FIRST_ROW, Sheet

from .frames import Frame
from .mutants import Mutant, SheetFormulas

MOST_COLUMNS = 16_000
"""Columns of one sheet that may be filled; a workbook holds 16,384."""

STAGES = (10, 40)
"""Rows of the first rounds; a mutant that is alive then is tried on all rows."""


@dataclass(frozen=True)
class Survivors:
    """alive: mutants that gave the reference's result in every row. wrong: columns whose real formula did not."""

    alive: tuple[Mutant, ...]
    wrong: tuple[str, ...]


class Calculator:
    """One frame's workbook in the engine, for formulas of one sheet."""

    def __init__(self, frame: Frame, sheet: Sheet) -> None:
        self.frame, self.sheet = frame, sheet
        self._start, titles = frame.model
        self._at = titles.index(sheet.name)
        self._first = len(sheet.columns) + 8

    def values(self, cells: Sequence[str], rows: Sequence[int]) -> Iterator[list[object]]:
        """The value of each formula in each of the rows of the grid, counted from 0."""
        for start in range(0, len(cells), MOST_COLUMNS - self._first):
            some = cells[start : start + MOST_COLUMNS - self._first]
            model = ironcalc.load_from_bytes(self._start, "en")
            for at, cell in enumerate(some, start=self._first):
                for row in rows:
                    place = FIRST_ROW + row
                    model.update_cell_with_formula(self._at, place, at, "=" + cell.replace("{row}", str(place)))
            model.evaluate()
            for at in range(self._first, self._first + len(some)):
                yield [self._value(model, FIRST_ROW + row, at) for row in rows]

    def _value(self, model: ironcalc.Model, row: int, column: int) -> object:
        value = model.get_cell_value(self._at, row, column)
        is_error = (
            isinstance(value, str)
            and value.startswith("#")
            and model.get_cell_type(self._at, row, column) == ironcalc.CellType.ErrorValue
        )
        return CellError(value) if is_error else value


def survivors(frame: Frame, sheet: Sheet, mutants: Sequence[Mutant]) -> Survivors:
    """Tries the mutants of one sheet on one frame, a few rows first; and the real formulas of their columns on all.

    Without mutants the real formulas of all columns are tried.
    """
    calculator = Calculator(frame, sheet)

    def agrees(found: object, row: int, column: str) -> bool:
        return agree(found, expected[column][row]) or not frame.is_known(sheet.grid, row, column)

    expected = {column.name: frame.results[sheet.grid][column.name].tolist() for column in sheet.columns}
    count = frame.layout.rows_of(sheet.grid)
    order = random.Random(sheet.name).sample(range(count), count)
    formulas = SheetFormulas(sheet, frame.layout)
    wanted = {one.column for one in mutants} or set(expected)
    columns = [column for column in sheet.columns if column.name in wanted]
    real = [formulas.cell(column, parse(column.formula)) for column in columns]
    wrong = [
        f"{sheet.name}.{column.name}, {frame.name}, row {FIRST_ROW + row}: "
        f"found {found!r}, expected {expected[column.name][row]!r}"
        for column, values in zip(columns, calculator.values(real, order), strict=True)
        for row, found in zip(order, values, strict=True)
        if not agrees(found, row, column.name)
    ]
    alive, done = list(mutants), 0
    for until in (*STAGES, count):
        rows = order[done:until]
        done = until
        if not rows or not alive:
            break
        cells = [one.cell for one in alive]
        alive = [
            one
            for one, values in zip(alive, calculator.values(cells, rows), strict=True)
            if all(agrees(found, row, one.column) for row, found in zip(rows, values, strict=True))
        ]
    return Survivors(tuple(alive), tuple(wrong))
