"""Looks at the cells of a worksheet as its XML passes: where they stand, how many, what they refer to."""

from __future__ import annotations

import re
from xml.parsers import expat

from .faults import shown
from .formula_check import cells_in, check_spread, column_number
from .limits import (
    DEEPEST,
    LARGEST_CELL,
    LARGEST_REACH,
    LARGEST_SPREAD,
    LAST_COLUMN,
    LAST_FILLED_COLUMN,
    LAST_FILLED_ROW,
    LAST_ROW,
    MOST_ROWS,
    MOST_SPREAD_FORMULAS,
    MOST_TEXTS,
)
from .refused import Refused, too_much
from .xml_check import Look

_ROW = re.compile(r"[0-9]{1,7}")
_LETTERS = re.compile(r"[A-Z]{1,3}")
_DIGITS = "0123456789"
_INSIDE_CELL = {"v", "is", "f", "c"}
_OTHER_FORMULAS = {"formula", "formula1", "formula2"}
_ONE_FOR_MANY = {"mergeCell": "cells merged", "hyperlink": "a link"}


class _Columns(dict):
    """Numbers of columns by their letters, None for letters that are no column."""

    def __missing__(self, letters: str) -> int | None:
        number = column_number(letters) if _LETTERS.fullmatch(letters) else None
        self[letters] = number = number if number and number <= LAST_COLUMN else None
        return number


class WorkbookLook(Look):
    """The look at the sheets and texts of one workbook; what it counts, it counts over all of them.

    texts: how many texts the last part of texts had. last_filled: the last row with a
    filled cell of the sheet that passed last.
    """

    def __init__(self) -> None:
        super().__init__()
        self.texts = 0
        self.last_filled = 0
        self._reach = self._spread = self._spread_formulas = 0
        self._columns = _Columns()

    def begin(self, parser: expat.XMLParserType, root: str) -> None:
        super().begin(parser, root)
        if root == "worksheet":
            self._begin_sheet(parser)
        elif root == "sst":
            self._begin_texts(parser)

    def _begin_texts(self, parser: expat.XMLParserType) -> None:
        plain = parser.StartElementHandler
        tags, self.texts = self.tags, 0

        def start(name: str, attributes: dict[str, str]) -> None:
            if tags[name] == "si":
                self.texts += 1
                if self.texts > MOST_TEXTS:
                    raise too_much(f"over {MOST_TEXTS:,} texts", f"at most {MOST_TEXTS:,}")
            plain(name, attributes)

        parser.StartElementHandler = start

    def _begin_sheet(self, parser: expat.XMLParserType) -> None:
        """The handlers of a sheet, in one piece, since they run for every cell."""
        tags, columns, texts = self.tags, self._columns, []
        check = self.formulas.check
        depth, elements = 1, self.elements
        rows = row = column = 0
        row_text, last_row, last_column = "0", 0, 0
        in_cell = filled = is_number_of_text = False
        cell_from = 0

        def start(name: str, attributes: dict[str, str]) -> None:
            nonlocal depth, elements, rows, row, column, row_text
            nonlocal in_cell, filled, is_number_of_text, cell_from
            depth += 1
            elements -= 1
            if depth > DEEPEST or elements < 0:
                raise self.beyond(depth)
            tag = tags[name]
            if tag == "c":
                address = attributes.get("r")
                if address is None:
                    column += 1
                else:
                    letters = address.rstrip(_DIGITS)
                    number = columns[letters]
                    if number is None or number <= column or address[len(letters) :] != row_text:
                        raise Refused(f"a cell {shown(address)} in row {row}")
                    column = number
                if in_cell:
                    raise Refused(f"a cell in another, in row {row}")
                if column > LAST_COLUMN:
                    raise Refused(f"a cell beyond the last column, in row {row}")
                in_cell, filled = True, False
                is_number_of_text = attributes.get("t") == "s"
                cell_from = parser.CurrentByteIndex
            elif tag == "row":
                text = attributes.get("r")
                last, row = row, row + 1 if text is None else self._row(text)
                row_text, column, rows = str(row), 0, rows + 1
                if not last < row <= LAST_ROW:
                    raise Refused(f"row {row} after row {last}")
                if rows > MOST_ROWS:
                    raise too_much(f"over {MOST_ROWS:,} rows", f"at most {MOST_ROWS:,}")
            elif tag in _INSIDE_CELL:
                filled = True
                if tag == "f":
                    if len(attributes) > 1:
                        self._formula(attributes)
                    texts.clear()
                    parser.CharacterDataHandler = texts.append
                elif is_number_of_text and tag == "v":
                    texts.clear()
                    parser.CharacterDataHandler = texts.append
            elif tag in _OTHER_FORMULAS:
                texts.clear()
                parser.CharacterDataHandler = texts.append
            else:
                self._once(tag, attributes)
                self.element(tag, attributes)

        def end(name: str) -> None:
            nonlocal depth, in_cell, last_row, last_column
            depth -= 1
            tag = tags[name]
            if tag == "f" or tag in _OTHER_FORMULAS:
                parser.CharacterDataHandler = None
                check("".join(texts))
            elif tag == "v":
                if is_number_of_text and in_cell:
                    parser.CharacterDataHandler = None
                    self._number_of_text("".join(texts), row, column)
            elif tag == "c":
                in_cell = False
                if filled:
                    last_row = row
                    if column > last_column:
                        last_column = column
                    if column > LAST_FILLED_COLUMN or row > LAST_FILLED_ROW:
                        raise _far(row, column)
                if parser.CurrentByteIndex - cell_from > LARGEST_CELL:
                    raise too_much(
                        f"over {LARGEST_CELL:,} bytes in a cell of row {row}", f"at most {LARGEST_CELL:,}"
                    )
            elif depth == 0:
                self.elements, self.last_filled = elements, last_row
                self._reach += last_row * last_column
                if self._reach > LARGEST_REACH:
                    raise _far(last_row, last_column)

        parser.StartElementHandler = start
        parser.EndElementHandler = end

    @staticmethod
    def _row(text: str) -> int:
        if not _ROW.fullmatch(text):
            raise Refused(f"a row {shown(text)}")
        return int(text)

    def _formula(self, attributes: dict[str, str]) -> None:
        """A formula that may stand for more than its own cell."""
        if "ref" in attributes:
            check_spread("a formula", attributes["ref"])
            if attributes.get("t") != "shared":
                self._spread_formulas += 1
                if self._spread_formulas > MOST_SPREAD_FORMULAS:
                    raise too_much(
                        f"over {MOST_SPREAD_FORMULAS:,} formulas spread over cells",
                        f"at most {MOST_SPREAD_FORMULAS:,}",
                    )

    def _number_of_text(self, text: str, row: int, column: int) -> None:
        number = text.strip()
        if number and not (_ROW.fullmatch(number) and int(number) < self.texts):
            raise Refused(f"text number {shown(number)} of {self.texts} in row {row}, column {column}")

    def _once(self, tag: str, attributes: dict[str, str]) -> None:
        """Elements that stand outside the rows and name cells."""
        if tag in _ONE_FOR_MANY:
            self._spread += check_spread(_ONE_FOR_MANY[tag], attributes.get("ref", ""))
            if self._spread > LARGEST_SPREAD:
                raise too_much(
                    f"over {LARGEST_SPREAD:,} merged or linked cells", f"at most {LARGEST_SPREAD:,}"
                )
        elif tag == "dimension":
            reference = attributes.get("ref", "")
            if reference and cells_in(reference) is None:
                raise Refused(f"the extent {shown(reference)}")
        elif tag == "col" and not _is_column(attributes.get("max", "1")):
            raise Refused(f"the column {shown(attributes['max'])}")


def _is_column(text: str) -> bool:
    return _ROW.fullmatch(text) is not None and 1 <= int(text) <= LAST_COLUMN


def _far(row: int, column: int) -> Refused:
    return too_much(
        f"a filled cell in row {row:,}, column {column:,}",
        f"filled up to row {LAST_FILLED_ROW:,} and column {LAST_FILLED_COLUMN:,}, "
        f"{LARGEST_REACH:,} cells on all sheets",
    )
