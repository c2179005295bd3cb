"""The values an engine hands back, and the grids they lie in.

A grid is a list of rows from A1, so the cell in row r and column c (both
counted from 1) is `grid[r - 1][c - 1]`; every row of a grid is equally long.
A value is None (blank), int, float, str, bool or `CellError`. Whole numbers
come as int whichever engine computed them, so that results of two engines
compare and print alike.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from functools import cache

Grid = list[list[object]]
Cell = tuple[int, int, object]

#: Above this a float no longer tells neighbouring whole numbers apart.
_EXACT = 2**53

#: A grid larger than this is a stray cell far outside the data.
_MOST_CELLS = 50_000_000

_REFERENCE = re.compile(r"\$?([A-Za-z]{1,3})\$?([0-9]+)")

_COLUMNS: dict[str, int] = {}
"""Columns met before, by letters without a `$`."""


class CellError(str):
    """An error value of a cell, equal to its spelling in Excel: `#DIV/0!`."""

    __slots__ = ()

    def __repr__(self) -> str:
        return f"CellError({str(self)!r})"


def number(value: float) -> object:
    """Return `value` as int when it is whole, else as float.

    A spreadsheet has no infinity and no NaN: an engine that returns one has
    run out of range, which Excel shows as `#NUM!`.

    >>> number(3.0), number(0.25), number(float("inf"))
    (3, 0.25, CellError('#NUM!'))
    """
    value = float(value)
    if not math.isfinite(value):
        return CellError("#NUM!")
    if value.is_integer() and abs(value) < _EXACT:
        return int(value)
    return value


@cache
def column_number(letters: str) -> int:
    """Return the number of a column, counted from 1.

    >>> column_number("A"), column_number("Z"), column_number("AA")
    (1, 26, 27)
    """
    total = 0
    for letter in letters.upper():
        total = total * 26 + ord(letter) - ord("A") + 1
    return total


@cache
def column_letters(column: int) -> str:
    """Return the letters of a column counted from 1.

    >>> column_letters(1), column_letters(26), column_letters(27)
    ('A', 'Z', 'AA')
    """
    letters = ""
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def position(reference: str) -> tuple[int, int]:
    """Return (row, column) of a reference such as `B7` or `$B$7`.

    Raises ValueError when the text is not a reference to one cell.

    >>> position("B7"), position("$AA$10")
    ((7, 2), (10, 27))
    """
    letters = reference.rstrip("0123456789")
    if letters in _COLUMNS and letters != reference:
        return int(reference[len(letters) :]), _COLUMNS[letters]
    match = _REFERENCE.fullmatch(reference)
    if match is None:
        raise ValueError(f"{reference!r} is not a reference to one cell")
    column = column_number(match[1])
    if letters == match[1]:
        _COLUMNS[letters] = column
    return int(match[2]), column


def cell_name(row: int, column: int) -> str:
    """Return the A1 name of a cell.

    >>> cell_name(7, 2)
    'B7'
    """
    return f"{column_letters(column)}{row}"


def value_at(grid: Grid, row: int, column: int) -> object:
    """Return the value in a row and column counted from 1, None beyond the edge."""
    if row > len(grid) or column > len(grid[row - 1]):
        return None
    return grid[row - 1][column - 1]


def grid_of(cells: Iterable[Cell], *, rows: int = 0, columns: int = 0) -> Grid:
    """Lay (row, column, value) out as a grid of at least `rows` by `columns`.

    Raises ValueError when the cells lie so far apart that the grid would not
    fit in memory.

    >>> grid_of([(2, 1, "x")], columns=2)
    [[None, None], ['x', None]]
    """
    filled = [cell for cell in cells if cell[2] is not None]
    rows = max([rows, *(row for row, _, _ in filled)])
    columns = max([columns, *(column for _, column, _ in filled)])
    if rows * columns > _MOST_CELLS:
        raise ValueError(f"the cells reach to {cell_name(rows, columns)}: too far")
    grid: Grid = [[None] * columns for _ in range(rows)]
    for row, column, value in filled:
        grid[row - 1][column - 1] = value
    return grid
