"""A worksheet that writes formulas as they come.

The library looks through every formula for functions that need a prefix. No
formula of this workbook uses one (a test holds that), so the search, which
takes most of the writing time, is left out.
"""

from __future__ import annotations

from xlsxwriter.format import Format
from xlsxwriter.utility import xl_rowcol_to_cell_fast
from xlsxwriter.worksheet import CellFormulaTuple, Worksheet


class PlainFormulaSheet(Worksheet):
    """Takes formulas without future functions, arrays and braces only."""

    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
        return formula.removeprefix("=")

    def put_formula(
        self, row: int, column: int, formula: str, look: Format, value: float | str
    ) -> None:
        """A formula with its last result, at a place counted from 0."""
        self._check_dimensions(row, column)
        self.table[row][column] = CellFormulaTuple(formula.removeprefix("="), look, value)

    def row_points(self, first: int, last: int) -> float:
        """Height of the rows first to last, counted from 1, in points."""
        usual = [self.default_row_height]
        return 0.75 * sum(self.row_sizes.get(row - 1, usual)[0] for row in range(first, last + 1))

    def _write_cell(self, row: int, col: int, cell: tuple) -> None:
        """An empty text as last result is written as text, as spreadsheets do."""
        if not isinstance(cell, CellFormulaTuple) or cell.value != "":
            super()._write_cell(row, col, cell)
            return
        place = xl_rowcol_to_cell_fast(row, col)
        style = f' s="{cell.format._get_xf_index()}"' if cell.format else ""
        formula = self._escape_data(cell.formula)
        self.fh.write(f'<c r="{place}"{style} t="str"><f>{formula}</f><v></v></c>')
