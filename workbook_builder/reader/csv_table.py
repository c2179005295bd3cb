"""A text file with a row of field names and a record a row, checked as a file.

What the cells mean is not looked at here.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from os import PathLike
from pathlib import Path

from ..code_tables.model import Field
from .cells import trimmed
from .faults import MOST_FAULTS, BadInput, Fault, in_order, shown

LARGEST_FILE = 10_000_000
"""Bytes. A list of ten thousand jobs with every field filled in takes about as many."""
MOST_LINES = 30_000
LONGEST_LINE = 200_000
"""Characters; a job with every field filled in to the longest that is taken has 30,000."""
LONGEST_CELL = csv.field_size_limit()
MOST_COLUMNS = 500

A_TABLE = "a table of field names and values, separated by commas"
_SAVE_AS = "save it as CSV UTF-8 (comma delimited)"
_UTF16 = (b"\xff\xfe", b"\xfe\xff")
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")


@dataclass
class CsvTable:
    """Cells of a file by row number and field name, and what is wrong with it.

    columns has the field names of the file in its own order; rows that have
    another number of cells than the header are faults and not among the rows.
    """

    file: str
    columns: list[str] = field(default_factory=list)
    rows: dict[int, dict[str, str]] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def fault(self, row: int | None, name: str | None, found: str, expected: str, todo: str) -> None:
        self.faults.append(Fault(self.file, None, row, name, None, found, expected, todo))


def read_table(path: str | PathLike[str], fields: Sequence[Field]) -> CsvTable:
    """The cells of a file; faults of header and rows are listed in the result.

    Row numbers are lines as a text editor counts them, the header being 1.
    A row with nothing in it is left out, and so is a column with neither name
    nor value. Raises BadInput where the file cannot be read as a table at all.
    """
    path = Path(path)
    table = CsvTable(path.name)
    records = read_records(_text(path), table)
    if not records:
        raise unusable(table.file, "no text", A_TABLE, "begin it with a row of field names")
    header_line, header = records[0]
    width = width_of(header, [cells for _, cells in records[1:]])
    if width > MOST_COLUMNS:
        raise unusable(
            table.file, f"{width:,} columns", f"a table of at most {MOST_COLUMNS}", "delete the others",
            header_line,
        )  # fmt: skip
    names = [trimmed(cell) for cell in header[:width]]
    check_separator(table.file, names, header_line)
    check_header(table, names, header_line, fields)
    keep_rows(table, records[1:], names, fields)
    table.columns = names
    return table


def keep_rows(
    table: CsvTable, records: Iterable[tuple[int, list[str]]], names: Sequence[str], fields: Sequence[Field]
) -> None:
    """Put records with anything in them among the rows, or among the faults where their length is wrong.

    BadInput where there are too many faults to tell.
    """
    width = len(names)
    for line, cells in records:
        if not any(trimmed(cell) for cell in cells):
            continue
        if len(table.faults) > MOST_FAULTS:
            raise BadInput(in_order(table.faults, [field.name for field in fields]))
        if len(cells) > width and not any(trimmed(cell) for cell in cells[width:]):
            cells = cells[:width]
        if len(cells) != width:
            more = "a comma inside a text needs quotation marks round the text"
            fewer = "put a comma for each blank cell"
            table.fault(
                line, None, _count(len(cells), "cell"), f"{_count(width, 'cell')}, as in the header",
                more if len(cells) > width else fewer,
            )  # fmt: skip
            continue
        table.rows[line] = dict(zip(names, cells, strict=True))


def unusable(file: str, found: str, expected: str, todo: str, row: int | None = None) -> BadInput:
    return BadInput([Fault(file, None, row, None, None, found, expected, todo)])


def _text(path: Path) -> str:
    data = read_start(path, LARGEST_FILE + 1)
    name = path.name
    if len(data) > LARGEST_FILE:
        raise unusable(name, f"over {LARGEST_FILE:,} bytes", A_TABLE, "split it into several files")
    check_start(name, data)
    if (at := data.find(0)) >= 0:
        raise nul_byte(name, line_of(data, at))
    if (lines := line_of(data, len(data)) - 1) > MOST_LINES:
        raise unusable(
            name, f"{lines:,} lines", f"a table of at most {MOST_LINES:,}", "delete empty lines, or split it"
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        # The decoder counts from after the byte-order mark.
        at = fault.start + (3 if data.startswith(b"\xef\xbb\xbf") else 0)
        raise wrong_byte(name, data[at], line_of(data, at)) from None


def read_start(path: Path, size: int) -> bytes:
    """So many bytes of a file, or all it has. BadInput where it cannot be read."""
    if path.is_dir():
        raise unusable(str(path), "a folder", "a CSV file", "give the path of the file in it")
    try:
        with path.open("rb") as file:
            return file.read(size)
    except FileNotFoundError:
        raise unusable(str(path), "no such file", "a CSV file", "check the path") from None
    except (OSError, ValueError) as fault:
        raise unusable(str(path), f"no readable file ({fault})", "a CSV file", "check the path") from None


def check_start(name: str, data: bytes) -> None:
    """BadInput where a file that begins so is empty or no text."""
    if not data:
        raise unusable(name, "an empty file", A_TABLE, "begin it with a row of field names")
    if data.startswith(_WORKBOOKS):
        raise unusable(name, "a workbook or archive", A_TABLE, f"open it and {_SAVE_AS}")
    if data.startswith(_UTF16):
        raise unusable(name, "text in UTF-16", "text in UTF-8", _SAVE_AS)


def nul_byte(name: str, line: int) -> BadInput:
    """A NUL byte on a line."""
    return unusable(name, "a NUL byte", "text in UTF-8", f"the file is damaged or no text; {_SAVE_AS}", line)


def wrong_byte(name: str, byte: int, line: int) -> BadInput:
    """A byte on a line that is not UTF-8."""
    return unusable(name, f"the byte 0x{byte:02X}", "text in UTF-8", _SAVE_AS, line)


def long_line(name: str, line: int, length: int | None = None) -> BadInput:
    """A line that is longer than any list has; its length where it is known."""
    long = f"over {LONGEST_LINE:,}" if length is None else f"{length:,}"
    return unusable(name, f"a line of {long} characters", f"at most {LONGEST_LINE:,}", _SAVE_AS, line)


def line_of(data: bytes, at: int) -> int:
    """The line on which a byte stands, as a text editor counts."""
    ends = data.count(b"\n", 0, at) + data.count(b"\r", 0, at) - data.count(b"\r\n", 0, at)
    return ends + 1


def read_records(text: str, table: CsvTable, *, first: int = 1) -> list[tuple[int, list[str]]]:
    """(line on which it starts, cells) of every record that is not an empty line.

    first: number of the first line. The faults of the quotation marks go to the table.
    """
    lines = csv.reader(_lines(text, table.file), strict=True)
    records: list[tuple[int, list[str]]] = []
    start = first
    while True:
        try:
            cells = next(lines)
        except StopIteration:
            return records
        except csv.Error as fault:
            if "field limit" in str(fault):
                raise unusable(
                    table.file, f"an entry of over {LONGEST_CELL:,} characters", A_TABLE,
                    "shorten it, or close its quotation mark", start,
                ) from None  # fmt: skip
            table.fault(
                start, None, f"a quotation mark out of place or without its pair ({fault})",
                "text without quotation marks, or wholly inside a pair of them",
                "double each quotation mark inside such a text; rows from here on were not read",
            )  # fmt: skip
            if not records and first == 1:
                raise BadInput(table.faults) from None
            return records
        if cells:
            records.append((start, cells))
        start = first + lines.line_num


def _lines(text: str, file: str) -> Iterator[str]:
    """Each line with its end."""
    for number, line in enumerate(io.StringIO(text, newline=""), start=1):
        if len(line) > LONGEST_LINE:
            raise long_line(file, number, len(line))
        yield line


def width_of(header: Sequence[str], rows: Sequence[Sequence[str]]) -> int:
    """Columns of the table without those at the right that have no name and no value."""
    most = len(header)
    return max([1, filled(header), *(filled(cells[:most]) for cells in rows)])


def filled(cells: Sequence[str]) -> int:
    """How many cells there are up to the last one that is not blank."""
    for place in range(len(cells), 0, -1):
        if trimmed(cells[place - 1]):
            return place
    return 0


def check_separator(file: str, names: Sequence[str], line: int) -> None:
    first = names[0]
    for mark, word in ((";", "semicolons"), ("\t", "tabs"), ("|", "bars")):
        if len(names) == 1 and mark in first or first.casefold() == f"sep={mark}":
            raise unusable(
                file, f"columns separated by {word}", "separated by commas",
                f"{_SAVE_AS} with a comma as the list separator, and decimal points", line,
            )  # fmt: skip


def check_header(
    table: CsvTable, names: Sequence[str], line: int, fields: Sequence[Field]
) -> None:
    known = [field.name for field in fields]
    for place, name in enumerate(names, start=1):
        if name == "":
            table.fault(
                line, None, f"no name over column {place}, which has values",
                "a field name", "name the column or delete its values",
            )  # fmt: skip
        elif name not in known:
            near = get_close_matches(name.casefold().replace(" ", "_"), known, n=1, cutoff=0.6)
            table.fault(
                line, None, f"the column name {shown(name)}", "a field name",
                f"did you mean {near[0]}?" if near else "delete the column, or see the blank template",
            )  # fmt: skip
    for name in known:
        if names.count(name) > 1:
            table.fault(
                line, name, f"the column {names.count(name)} times", "there once",
                "delete the columns that do not count",
            )  # fmt: skip
    for field_ in fields:
        if field_.required and field_.name not in names:
            table.fault(
                line, field_.name, "no such column", "there, since it is required",
                f"add a column {field_.name}",
            )  # fmt: skip


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" + ("" if number == 1 else "s")
