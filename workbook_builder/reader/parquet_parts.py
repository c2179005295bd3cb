"""A long list in a Parquet file, read in parts of so many rows and never whole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from difflib import get_close_matches
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pandas as pd

from ..code_tables.model import Field
from .arrow import needed
from .cells import Complaint
from .csv_table import MOST_COLUMNS, unusable
from .faults import BadInput, Fault, shown
from .parts import Rows, as_plain, typed

if TYPE_CHECKING:
    import pyarrow as pa

_A_FILE = "a Parquet file"
_FIRST_DAY = datetime(1900, 1, 1)
_KINDS = {"number": "numbers", "date": "dates without time zone", "words": "text"}


@dataclass(frozen=True)
class ParquetPart:
    """Some rows of a Parquet file as an Arrow stream, the first of them with this number."""

    file: str
    content: bytes
    first: int
    fields: tuple[Field, ...]

    def read(self) -> Rows:
        """The rows as columns; as plain cells where one of them cannot be used. The first row is 1."""
        pa = needed("pyarrow", _A_FILE)
        (batch,) = pa.ipc.open_stream(self.content)
        numbers = pd.RangeIndex(self.first, self.first + batch.num_rows)
        names = batch.schema.names
        columns: dict[str, pd.Series] = {}
        faults: list[Fault] = []
        empty = np.ones(batch.num_rows, dtype=bool)
        for one in self.fields:
            if one.name in names:
                columns[one.name], told = self._column(batch.column(one.name), one)
                faults += told
                if empty.any():
                    empty &= columns[one.name].isna().to_numpy()
        frame = pd.DataFrame(columns, copy=False)
        frame.index = numbers
        if empty.any():
            frame = frame[~empty]
        if faults:
            absent = frozenset(one.name for one in self.fields) - set(names)
            return Rows(as_plain(frame), faults, absent)
        return Rows(frame)

    def only(self, name: str) -> ParquetPart:
        return replace(self, fields=tuple(one for one in self.fields if one.name == name))

    def plain(self) -> Rows:
        rows = self.read()
        names = [one.name for one in self.fields]
        return Rows(as_plain(rows.frame, names), rows.faults, frozenset(names) - set(rows.frame.columns))

    def _column(self, column: pa.Array, one: Field) -> tuple[pd.Series, list[Fault]]:
        import pyarrow as pa
        import pyarrow.compute as pc

        if one.kind == "number" or one.numeric:
            try:
                values = column.cast(pa.float64()).to_numpy(zero_copy_only=False)
            except pa.ArrowInvalid:
                words = "a number of more digits than can be kept"
                raise BadInput([Fault(self.file, None, None, one.name, None, words, one.expected)]) from None
            return pd.Series(values, copy=False), []
        if one.kind == "date":
            days = pd.Series(column.cast(pa.timestamp("us")).to_numpy(zero_copy_only=False), copy=False)
            early = np.flatnonzero((days < _FIRST_DAY).to_numpy())
            complaint = Complaint("a date from 1900-01-01 on", "check the year")
            return days, [self._fault(place, one, days[place].date(), complaint) for place in early.tolist()]
        if not pa.types.is_dictionary(column.type):
            column = column.cast(pa.string()).dictionary_encode()
        if column.indices.type != pa.int32():
            column = column.cast(pa.dictionary(pa.int32(), column.type.value_type))
        places = pc.fill_null(column.indices, -1).to_numpy()
        texts = column.dictionary.cast(pa.string()).to_pylist()
        values, complaints = typed([text or "" for text in texts], places, one)
        faults = []
        if complaints:
            for place in np.flatnonzero(np.isin(places, list(complaints))).tolist():
                bad = int(places[place])
                faults.append(self._fault(place, one, texts[bad], complaints[bad]))
        return values, faults

    def _fault(self, place: int, one: Field, value: str | date, complaint: Complaint) -> Fault:
        return Fault(
            self.file, None, self.first + place, one.name, None, shown(value), complaint.expected, complaint.todo
        )


@dataclass
class ParquetSource:
    """A Parquet file of jobs or circuits. BadInput on opening it where it is none."""

    path: Path
    fields: tuple[Field, ...]
    faults: list[Fault] = field(default_factory=list)

    def __init__(self, path: str | PathLike[str], fields: Sequence[Field]) -> None:
        self.path, self.fields, self.file = Path(path), tuple(fields), Path(path).name
        self.faults = []
        pa = needed("pyarrow", _A_FILE)
        parquet = needed("pyarrow.parquet", _A_FILE)
        if self.path.is_dir():
            raise unusable(str(path), "a folder", _A_FILE, "give the path of the file in it")
        try:
            with parquet.ParquetFile(self.path) as opened:
                schema = opened.schema_arrow
        except FileNotFoundError:
            raise unusable(str(path), "no such file", _A_FILE, "check the path") from None
        except (pa.ArrowException, OSError) as fault:
            raise self._unreadable(fault) from None
        self._check(schema)

    def _unreadable(self, fault: Exception) -> Exception:
        return unusable(self.file, f"no readable file ({str(fault).splitlines()[0][:100]})", _A_FILE, "write it anew")

    def _check(self, schema: pa.Schema) -> None:
        """Lists what is wrong with names and types of the columns."""
        if len(schema) > MOST_COLUMNS:
            raise unusable(self.file, f"{len(schema):,} columns", f"at most {MOST_COLUMNS}", "leave out the others")
        known = {one.name: one for one in self.fields}
        for column in schema:
            if column.name not in known:
                near = get_close_matches(column.name.casefold().replace(" ", "_"), list(known), n=1, cutoff=0.6)
                self._fault(
                    None, f"the column name {shown(column.name)}", "a field name",
                    f"did you mean {near[0]}?" if near else "delete the column, or see the blank template",
                )  # fmt: skip
            elif schema.names.count(column.name) > 1:
                if column.name not in {fault.field for fault in self.faults}:
                    times = schema.names.count(column.name)
                    self._fault(column.name, f"the column {times} times", "there once", "delete the others")
            elif wanted := _wrong_type(column.type, known[column.name]):
                self._fault(column.name, f"a column of type {column.type}", wanted, "convert the column")
        for one in self.fields:
            if one.required and one.name not in schema.names:
                self._fault(one.name, "no such column", "there, since it is required", f"add a column {one.name}")

    def _fault(self, name: str | None, found: str, expected: str, todo: str) -> None:
        self.faults.append(Fault(self.file, None, None, name, None, found, expected, todo))

    def parts(self, size: int) -> Iterator[ParquetPart]:
        """Parts of so many rows each. None where a column cannot be used."""
        pa = needed("pyarrow", _A_FILE)
        parquet = needed("pyarrow.parquet", _A_FILE)
        if self.faults:
            return
        names = [one.name for one in self.fields]
        first = 1
        try:
            with parquet.ParquetFile(self.path) as opened:
                columns = [name for name in opened.schema_arrow.names if name in names]
                for batch in opened.iter_batches(batch_size=size, columns=columns, use_threads=False):
                    sink = pa.BufferOutputStream()
                    with pa.ipc.new_stream(sink, batch.schema) as stream:
                        stream.write_batch(batch)
                    yield ParquetPart(self.file, sink.getvalue().to_pybytes(), first, self.fields)
                    first += batch.num_rows
        except (pa.ArrowException, OSError) as fault:
            raise self._unreadable(fault) from None


def _wrong_type(kind: pa.DataType, one: Field) -> str:
    """What a column must hold where its type does not fit; else nothing."""
    from pyarrow import types

    if types.is_null(kind):
        return ""
    if one.kind == "number" or one.numeric:
        fits = types.is_integer(kind) or types.is_floating(kind) or types.is_decimal(kind)
        return "" if fits else _KINDS["number"]
    if one.kind == "date":
        fits = types.is_date(kind) or (types.is_timestamp(kind) and kind.tz is None)
        return "" if fits else _KINDS["date"]
    inner = kind.value_type if types.is_dictionary(kind) else kind
    if types.is_integer(inner):
        return ""
    return "" if types.is_string(inner) or types.is_large_string(inner) else _KINDS["words"]
