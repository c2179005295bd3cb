"""A worksheet that writes formulas as they come, and the rows of a grid from a template.

The library looks through every formula for functions that need a prefix. No
formula of this workbook uses one (a test holds that), so the search, which
takes most of the writing time, is left out.
"""

from __future__ import annotations

from io import StringIO

from xlsxwriter.format import Format
from xlsxwriter.utility import xl_rowcol_to_cell_fast
from xlsxwriter.worksheet import CellFormulaTuple, Worksheet

from .row_block import ROW, RowBlock

ROWS_GO_HERE = "<!--rows-->"
"""Stands in the XML of a sheet where a block of rows is to be put in; no text of a cell can hold it."""


class PlainFormulaSheet(Worksheet):
    """Takes formulas without future functions, arrays and braces only.

    block: rows that are written from a template. apart: they are put into the
    file later, ROWS_GO_HERE stands where.
    """

    block: RowBlock | None = None
    apart: bool = False

    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
        return formula.removeprefix("=")

    def put_formula(
        self, row: int, column: int, formula: str, look: Format, value: float | str
    ) -> None:
        """A formula with its last result, at a place counted from 0."""
        self._check_dimensions(row, column)
        self.table[row][column] = CellFormulaTuple(formula.removeprefix("="), look, value)

    def put_rows(self, block: RowBlock) -> None:
        """The one block of rows of this sheet. No other cell may be written into these rows.

        Heights are set before or after; they must be the same in all rows.
        """
        self.block = block
        for row, column in zip((block.first, block.last), block.span, strict=True):
            self._check_dimensions(row, column)

    def text_number(self, text: str) -> int:
        """The number of a text in the list of texts that the sheets share."""
        return self.str_table._get_shared_string_index(text)

    def row_points(self, first: int, last: int) -> float:
        """Height of the rows first to last, counted from 1, in points."""
        usual = [self.default_row_height]
        return 0.75 * sum(self.row_sizes.get(row - 1, usual)[0] for row in range(first, last + 1))

    def _write_rows(self) -> None:
        """The rows above the block, the block, and the rows below it."""
        block = self.block
        if block is None:
            super()._write_rows()
            return
        top, bottom = self.dim_rowmin, self.dim_rowmax
        self.dim_rowmax = block.first - 1
        super()._write_rows()
        block.set_template(self._row_tag(block), self._escape_data)
        for text in (ROWS_GO_HERE,) if self.apart else block.xml():
            self.fh.write(text)
        self.dim_rowmin, self.dim_rowmax = block.last + 1, bottom
        super()._write_rows()
        self.dim_rowmin = top

    def _row_tag(self, block: RowBlock) -> str:
        """The start tag of the rows of the block."""
        info = self.row_info.get(block.first)
        if any(self.row_info.get(row) != info for row in range(block.first, block.last + 1)):
            raise ValueError(f"{self.name}: rows {block.first + 1} to {block.last + 1} differ in height or look")
        usual, self.fh = self.fh, StringIO()
        first, last = block.span
        self._write_row(block.first, f"{first + 1}:{last + 1}", info)
        tag, self.fh = self.fh.getvalue(), usual
        return tag.replace(f'r="{block.first + 1}"', f'r="{ROW}"', 1)

    def _write_cell(self, row: int, col: int, cell: tuple) -> None:
        """An empty text as last result is written as text, as spreadsheets do."""
        if not isinstance(cell, CellFormulaTuple) or cell.value != "":
            super()._write_cell(row, col, cell)
            return
        place = xl_rowcol_to_cell_fast(row, col)
        style = f' s="{cell.format._get_xf_index()}"' if cell.format else ""
        formula = self._escape_data(cell.formula)
        self.fh.write(f'<c r="{place}"{style} t="str"><f>{formula}</f><v></v></c>')
