"""Where everything stands: cells of tables, parameters, lists and the input grids.

Both the compiler, which turns names into addresses, and the writer, which puts
values at those addresses, ask here and nowhere else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from ..code_tables.load import CodeTables
from ..code_tables.model import EDITIONS, Field
from .model import CIRCUIT_GRID, CIRCUIT_STATE, FIRST_ROW, JOB_GRID, MARK_ROW, ROW_STATE

JOBS, INPUTS, LISTS, LOCAL_RULES = "Jobs", "Inputs", "Lists", "Local rules"
CIRCUITS, CIRCUIT_CHECK = "Circuits", "Circuit check"
TABLE_SHEETS = ("Load tables", "Wire tables", "Raceway tables")

BOOK_SHEETS = {
    "price_book": "Price book",
    "labour_units": "Labour units",
    "factors": "Factors",
    "market": "Market rates",
}
SETTINGS, LINE_PRICES = "Settings", "Line prices"

BOOK_COLUMNS = (
    "key", "words", "unit", "low", "likely", "high", "copper", "date", "source",
    "state", "mean", "variance", "built_low", "built_likely", "built_high",
)  # fmt: skip
"""Columns of every book from A, a line a row from FIRST_ROW; low, likely and high are typed in."""

SETTING_COLUMNS = ("name", "meaning", "unit", "value", "source", "state", "used", "built_value")
"""Columns of Settings from A, a setting a row from FIRST_ROW; value is typed in, used is what counts."""

SPARE_PRICES = 30
"""Blank rows at the end of the price book, for sizes that a company adds."""

LINE_ROWS = {"Takeoff": 5, "Labour": 14}
"""On Line prices, for the quantities of these sheets: first of the rows of LINE_STATISTICS.

A line stands in the column that its quantity has on its sheet.
"""
LINE_STATISTICS = ("key", "place", "likely", "mean", "variance")
LINES_MISSING, OUT_OF_ORDER = "B", "C"
"""Columns of Line prices in which, in rows of places, lines that no book has and everything amiss are counted."""

PARAMETER_COLUMNS = (
    "name", "meaning", "unit",
    *(f"published_{edition}" for edition in EDITIONS),
    "override", "reason", "state",
    *(f"in_use_{edition}" for edition in EDITIONS),
    "section", "status", "source", "note",
)  # fmt: skip
"""Columns of the Local rules sheet from A, each parameter a row from FIRST_ROW."""

LIST_HEADER_ROW, LIST_FIRST_ROW = 3, 4

CIRCUIT_ROWS = 200
"""Rows of the circuit list where nothing else is asked for."""


def letter(number: int) -> str:
    """Column letters of a 1-based column number: 1 A, 26 Z, 27 AA."""
    text = ""
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(65 + rest) + text
    return text


def quoted(sheet: str) -> str:
    """A sheet name as it stands before `!`."""
    return f"'{sheet}'" if " " in sheet else sheet


@dataclass(frozen=True)
class TablePlace:
    """A code table on its sheet: 1-based rows, key in column A, values from B.

    title_row, then a row of words (unit, section, source), then header_row,
    then first_row to last_row; the status of each row stands in status_letter.
    """

    sheet: str
    title_row: int
    header_row: int
    first_row: int
    last_row: int
    letters: Mapping[str, str]
    status_letter: str

    def column(self, name: str) -> str:
        at = self.letters[name]
        return f"{quoted(self.sheet)}!${at}${self.first_row}:${at}${self.last_row}"

    def block(self) -> str:
        first, last = self._ends()
        return f"{quoted(self.sheet)}!${first}${self.first_row}:${last}${self.last_row}"

    def header(self) -> str:
        first, last = self._ends()
        return f"{quoted(self.sheet)}!${first}${self.header_row}:${last}${self.header_row}"

    def _ends(self) -> tuple[str, str]:
        values = list(self.letters.values())[1:]
        return values[0], values[-1]


@dataclass(frozen=True)
class BookPlace:
    """A book on its sheet: 1-based rows, columns as in BOOK_COLUMNS, blank rows included."""

    sheet: str
    first_row: int
    last_row: int
    columns: tuple[str, ...]

    def letter_of(self, name: str) -> str:
        return letter(1 + self.columns.index(name))

    def column(self, name: str) -> str:
        """All rows of a column, as in a formula on another sheet."""
        at = self.letter_of(name)
        return f"{quoted(self.sheet)}!${at}${self.first_row}:${at}${self.last_row}"

    def cell(self, name: str, row: int) -> str:
        return f"{quoted(self.sheet)}!${self.letter_of(name)}${row}"


@dataclass(frozen=True)
class GridPlace:
    """An input grid; the calculated sheets of the same rows begin at FIRST_ROW too.

    sheet is where people type, home the calculated sheet with the entries as
    used, state its column that says whether a row is ready. letters are the
    columns of the input sheet: the copy of the state in A, then the fields.
    """

    sheet: str
    home: str
    state: str
    fields: tuple[Field, ...]
    rows: int

    @cached_property
    def letters(self) -> dict[str, str]:
        places = {field.name: letter(2 + place) for place, field in enumerate(self.fields)}
        return {self.state: "A"} | places

    @property
    def last_row(self) -> int:
        return FIRST_ROW + self.rows - 1

    @property
    def end_row(self) -> int:
        """The row after the input grid that says where it ends."""
        return self.last_row + 1

    def raw_column(self, field: str) -> str:
        """Whole input column, from the row of names to the end row."""
        at = self.letters[field]
        return f"{quoted(self.sheet)}!${at}${MARK_ROW}:${at}${self.end_row}"


class Layout:
    """Addresses of one workbook with `rows` job rows and `circuit_rows` circuit rows.

    book_rows and setting_rows say how many rows each book has and where each
    setting stands, in a workbook that is there already; a new one takes them
    from the books of `code`.
    """

    def __init__(
        self,
        code: CodeTables,
        *,
        rows: int,
        circuit_rows: int = CIRCUIT_ROWS,
        book_rows: Mapping[str, int] | None = None,
        setting_rows: Mapping[str, int] | None = None,
    ) -> None:
        self.code = code
        self.grids = {
            JOB_GRID: GridPlace(JOBS, INPUTS, ROW_STATE, code.job_fields, rows),
            CIRCUIT_GRID: GridPlace(
                CIRCUITS, CIRCUIT_CHECK, CIRCUIT_STATE, code.circuit_fields, circuit_rows
            ),
        }
        jobs = self.grids[JOB_GRID]
        self.rows, self.last_row, self.end_row = rows, jobs.last_row, jobs.end_row
        self.tables = _table_places(code)
        self.parameter_rows = {
            name: FIRST_ROW + place for place, name in enumerate(code.parameters)
        }
        book_rows = {**_new_book_rows(code), **(book_rows or {})}
        self.books = {
            name: BookPlace(sheet, FIRST_ROW, FIRST_ROW - 1 + book_rows[name], BOOK_COLUMNS)
            for name, sheet in BOOK_SHEETS.items()
        }
        self.setting_rows = dict(
            setting_rows or {name: FIRST_ROW + place for place, name in enumerate(code.books.settings)}
        )
        self.settings = BookPlace(SETTINGS, FIRST_ROW, max(self.setting_rows.values()), SETTING_COLUMNS)
        self.job_letters = jobs.letters
        # Circuits first: their formulas are the longest, and near columns have short names.
        choice_fields = [
            field for field in (*code.circuit_fields, *code.job_fields) if field.choices
        ]
        self.list_letters = {
            field.name: letter(1 + place) for place, field in enumerate(choice_fields)
        }
        self._list_ends = {
            field.name: LIST_FIRST_ROW + len(field.choices) - 1 for field in choice_fields
        }
        first = len(choice_fields) + 2
        self.edition_letters = {
            name: letter(first + place)
            for place, name in enumerate(("edition", "assumed", "unread"))
        }
        """Edition list on Lists: edition, number of values assumed the same, not read."""

    def rows_of(self, grid: str) -> int:
        """Rows of the grid of jobs or of circuits."""
        return self.grids[grid].rows

    def raw_column(self, field: str, grid: str = JOB_GRID) -> str:
        """Whole input column of a grid, from the row of names to the end row."""
        return self.grids[grid].raw_column(field)

    def choices(self, field: str) -> str:
        at = self.list_letters[field]
        return f"{LISTS}!${at}${LIST_FIRST_ROW}:${at}${self._list_ends[field]}"

    def edition_column(self, name: str) -> str:
        at = self.edition_letters[name]
        return f"{LISTS}!${at}${LIST_FIRST_ROW}:${at}${LIST_FIRST_ROW + len(EDITIONS) - 1}"

    def setting_cell(self, name: str) -> str:
        """The value in use of a setting."""
        return self.settings.cell("used", self.setting_rows[name])

    def out_of_order_cell(self) -> str:
        """How many lines and settings are out of order or missing."""
        row = min(LINE_ROWS.values()) + LINE_STATISTICS.index("place")
        return f"{quoted(LINE_PRICES)}!${OUT_OF_ORDER}${row}"

    def parameter_cell(self, name: str) -> str:
        """The value in use of a parameter that is the same in every edition."""
        at = letter(1 + PARAMETER_COLUMNS.index(f"in_use_{EDITIONS[0]}"))
        return f"{quoted(LOCAL_RULES)}!${at}${self.parameter_rows[name]}"

    def parameter_range(self, name: str) -> str:
        """The values in use of a parameter, an edition a column."""
        first = letter(1 + PARAMETER_COLUMNS.index(f"in_use_{EDITIONS[0]}"))
        last = letter(1 + PARAMETER_COLUMNS.index(f"in_use_{EDITIONS[-1]}"))
        row = self.parameter_rows[name]
        return f"{quoted(LOCAL_RULES)}!${first}${row}:${last}${row}"


def _new_book_rows(code: CodeTables) -> dict[str, int]:
    """Rows of each book in a new workbook, spare ones included."""
    return {
        name: len(lines) + (SPARE_PRICES if name == "price_book" else 0)
        for name, lines in code.books.lines.items()
    }


def _table_places(code: CodeTables) -> dict[str, TablePlace]:
    places: dict[str, TablePlace] = {}
    for sheet in TABLE_SHEETS:
        row = 4
        for table in code.tables.values():
            if table.sheet != sheet:
                continue
            places[table.name] = TablePlace(
                sheet=sheet,
                title_row=row,
                header_row=row + 2,
                first_row=row + 3,
                last_row=row + 2 + len(table.rows),
                letters={name: letter(1 + at) for at, name in enumerate(table.header)},
                status_letter=letter(1 + len(table.header)),
            )
            row += len(table.rows) + 5
    return places
