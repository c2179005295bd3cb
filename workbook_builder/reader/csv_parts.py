"""A long list in a CSV file, read in parts of so many lines and never whole."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice
from os import PathLike
from pathlib import Path

import numpy as np
import pandas as pd

from ..code_tables.model import Field
from .cells import trimmed
from .csv_jobs import frame_of_table
from .csv_table import (
    A_TABLE,
    LONGEST_LINE,
    MOST_COLUMNS,
    MOST_LINES,
    CsvTable,
    check_header,
    check_separator,
    check_start,
    filled,
    keep_rows,
    long_line,
    nul_byte,
    read_records,
    read_start,
    unusable,
    wrong_byte,
)
from .faults import BadInput, Fault
from .parts import Rows, as_plain, typed

_OPEN_LINES = 1_000
"""So many more lines a part takes while a quotation mark seems to be open."""
_CHUNK = 2**20


@dataclass(frozen=True)
class CsvPart:
    """Some lines of a CSV file, the first of them with this number."""

    file: str
    text: str
    first: int
    names: tuple[str, ...]
    fields: tuple[Field, ...]

    def read(self) -> Rows:
        """The rows as columns; a part with a fault cell by cell, as read_jobs does."""
        records = self._all_of_one_width()
        if records is None:
            return self.plain()
        cells = dict(zip(self.names, zip(*records, strict=True), strict=True))
        columns = {}
        for one in self.fields:
            if one.name in cells:
                places, texts = pd.factorize(np.array(cells[one.name], dtype=object))
                columns[one.name], complaints = typed(texts.tolist(), places, one)
                if complaints:
                    return self.plain()
        lines = pd.RangeIndex(self.first, self.first + len(records))
        frame = pd.DataFrame(columns, copy=False)
        frame.index = lines
        return Rows(frame)

    def _all_of_one_width(self) -> list[list[str]] | None:
        """The records where each is one line, as wide as the header and with an entry in its first column."""
        lines = csv.reader(io.StringIO(self.text, newline=""), strict=True)
        try:
            records = list(lines)
        except csv.Error:
            return None
        width = len(self.names)
        whole = lines.line_num == len(records) and all(len(cells) == width for cells in records)
        key = self.names.index("job_no") if "job_no" in self.names else 0
        return records if whole and records and all(trimmed(cells[key]) for cells in records) else None

    def only(self, name: str) -> CsvPart:
        return replace(self, fields=tuple(one for one in self.fields if one.name == name))

    def plain(self) -> Rows:
        table = CsvTable(self.file)
        absent = frozenset(one.name for one in self.fields) - set(self.names)
        try:
            keep_rows(table, read_records(self.text, table, first=self.first), self.names, self.fields)
            frame, refused = frame_of_table(table, self.fields)
        except BadInput as many:
            return Rows(as_plain(pd.DataFrame({one.name: [] for one in self.fields})), list(many.faults), absent)
        return Rows(frame, table.faults + refused, absent)


@dataclass
class CsvSource:
    """A CSV file of jobs or circuits. BadInput on opening it where it is no table."""

    path: Path
    fields: tuple[Field, ...]
    faults: list[Fault] = field(default_factory=list)

    def __init__(self, path: str | PathLike[str], fields: Sequence[Field]) -> None:
        self.path, self.fields = Path(path), tuple(fields)
        self.file = self.path.name
        check_start(self.file, read_start(self.path, 16))
        table = CsvTable(self.file)
        self._header, self._names = self._head(table)
        self.faults = table.faults

    def _head(self, table: CsvTable) -> tuple[int, tuple[str, ...]]:
        """Lines that the header ends on, and the names in it."""
        reader = csv.reader(self._lines(), strict=True)
        try:
            header = next((cells for cells in reader if cells), None)
        except csv.Error as fault:
            raise unusable(
                self.file, f"a quotation mark out of place or without its pair ({fault})", A_TABLE,
                "double each quotation mark inside such a text", 1,
            ) from None  # fmt: skip
        if header is None:
            raise unusable(self.file, "no text", A_TABLE, "begin it with a row of field names")
        line, width = reader.line_num, max(filled(header), 1)
        if width > MOST_COLUMNS:
            raise unusable(
                self.file, f"{width:,} columns", f"a table of at most {MOST_COLUMNS}", "delete the others", line
            )
        names = [trimmed(cell) for cell in header[:width]]
        check_separator(self.file, names, line)
        check_header(table, names, line, self.fields)
        return line, tuple(names)

    def parts(self, size: int) -> Iterator[CsvPart]:
        """Parts of about so many lines each, cut where no quotation mark is open."""
        first = self._header + 1
        lines: list[str] = []
        is_open = False
        for line in islice(self._lines(), self._header, None):
            lines.append(line)
            is_open ^= line.count('"') % 2 == 1
            if len(lines) >= size and (not is_open or len(lines) >= size + _OPEN_LINES):
                yield self._part(lines, first)
                first, lines, is_open = first + len(lines), [], False
        if lines:
            yield self._part(lines, first)

    def _part(self, lines: list[str], first: int) -> CsvPart:
        return CsvPart(self.file, "".join(lines), first, self._names, self.fields)

    def _lines(self) -> Iterator[str]:
        """Each line with its end."""
        with open(self.path, encoding="utf-8-sig", newline="") as file:
            number = blank = 0
            while True:
                try:
                    line = file.readline(LONGEST_LINE + 1)
                except UnicodeDecodeError:
                    raise self._wrong_byte() from None
                number += 1
                if "\0" in line:
                    raise nul_byte(self.file, number)
                if len(line) > LONGEST_LINE:
                    raise long_line(self.file, number)
                if not line:
                    return
                blank = blank + 1 if line.isspace() else 0
                if blank > MOST_LINES:
                    words = f"over {MOST_LINES:,} empty lines on end"
                    raise unusable(self.file, words, A_TABLE, "delete empty lines", number)
                yield line

    def _wrong_byte(self) -> BadInput:
        """Where the first byte stands that is not UTF-8."""
        decoder = codecs.getincrementaldecoder("utf-8")()
        ends = io.IncrementalNewlineDecoder(None, translate=True)
        line = 1
        with open(self.path, "rb") as file:
            while True:
                chunk = file.read(_CHUNK)
                try:
                    text = decoder.decode(chunk, final=not chunk)
                except UnicodeDecodeError as fault:
                    before = fault.object[: fault.start].decode()
                    line += ends.decode(before, final=True).count("\n")
                    return wrong_byte(self.file, fault.object[fault.start], line)
                line += ends.decode(text).count("\n")
                if not chunk:
                    return unusable(self.file, "text that changed while it was read", A_TABLE, "try again")
