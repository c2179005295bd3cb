"""Results in pieces: each piece is made where its block is calculated and put into the file in order."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryFile
from typing import TYPE_CHECKING

import numpy as np

from ..reference.choice import Choice
from ..reference.columns import NUMBER, WORDS
from ..writer.on_disk import replacing
from .arrow import needed
from .write_csv import BYTE_ORDER_MARK, JSON_BETWEEN, JSON_END, JSON_HEAD, csv_head, csv_rows, json_rows

if TYPE_CHECKING:
    import pyarrow as pa

FORMS = (".csv", ".json", ".parquet")
_COPIED = 2**20

Columns = Mapping[str, np.ndarray | Choice]


def piece(columns: Columns, path: Path, kinds: Mapping[str, str]) -> bytes:
    """Rows as the file has them. kinds: number, words or text of each column.

    Numbers are double, words dictionaries, texts strings, blanks null in
    Parquet; as write_results else. ValueError for a number that is not finite.
    """
    form = path.suffix.lower()
    if form == ".csv":
        return csv_rows(columns, file=path.name).encode()
    if form == ".json":
        return json_rows(columns, file=path.name).encode()
    pa = needed("pyarrow", "a Parquet file")
    arrays = [_array(column, f"{path.name}, {name}") for name, column in columns.items()]
    batch = pa.record_batch(arrays, schema=_schema(kinds))
    sink = pa.BufferOutputStream()
    with pa.ipc.new_stream(sink, batch.schema) as stream:
        stream.write_batch(batch)
    return sink.getvalue().to_pybytes()


@contextmanager
def results_file(path: Path, kinds: Mapping[str, str]) -> Iterator[Callable[[bytes], None]]:
    """Call it with each piece in order. The file is in its place when the block ends, or not at all."""
    opened = {".csv": _csv_file, ".json": _json_file, ".parquet": _parquet_file}[path.suffix.lower()]
    with opened(path, kinds) as add:
        yield add


@contextmanager
def _csv_file(path: Path, kinds: Mapping[str, str]) -> Iterator[Callable[[bytes], None]]:
    """With a byte-order mark before it where a letter is beyond ASCII, which only the end tells."""
    with replacing(path) as file, TemporaryFile(dir=path.resolve().parent) as held:
        held.write(csv_head(kinds).encode())
        beyond = not all(map(str.isascii, kinds))

        def add(content: bytes) -> None:
            nonlocal beyond
            beyond = beyond or not content.isascii()
            held.write(content)

        yield add
        held.seek(0)
        file.write(BYTE_ORDER_MARK if beyond else b"")
        while content := held.read(_COPIED):
            file.write(content)


@contextmanager
def _json_file(path: Path, kinds: Mapping[str, str]) -> Iterator[Callable[[bytes], None]]:
    with replacing(path) as file:
        before = JSON_HEAD

        def add(content: bytes) -> None:
            nonlocal before
            file.write(before + content)
            before = JSON_BETWEEN

        yield add
        file.write(JSON_END)


@contextmanager
def _parquet_file(path: Path, kinds: Mapping[str, str]) -> Iterator[Callable[[bytes], None]]:
    pa = needed("pyarrow", "a Parquet file")
    parquet = needed("pyarrow.parquet", "a Parquet file")
    with replacing(path) as file:
        words = [name for name, kind in kinds.items() if kind == WORDS]
        writer = parquet.ParquetWriter(file, _schema(kinds), use_dictionary=words)
        try:

            def add(content: bytes) -> None:
                writer.write_table(pa.Table.from_batches(list(pa.ipc.open_stream(content))))

            yield add
        finally:
            writer.close()


def _schema(kinds: Mapping[str, str]) -> pa.Schema:
    import pyarrow as pa

    words = pa.dictionary(pa.int32(), pa.string())
    types = {NUMBER: pa.float64(), WORDS: words}
    return pa.schema([(name, types.get(kind, pa.string())) for name, kind in kinds.items()])


def _array(column: np.ndarray | Choice, where: str) -> pa.Array:
    import pyarrow as pa

    if not isinstance(column, Choice):
        if column.dtype == object:
            return pa.array([value or None for value in column.tolist()], type=pa.string())
        if np.isinf(column).any():
            raise ValueError(f"{where}: the number is not finite")
        return pa.array(column, mask=np.isnan(column))
    words, codes = _spoken(column)
    return pa.DictionaryArray.from_arrays(pa.array(codes, mask=codes < 0), pa.array(words, type=pa.string()))


def _spoken(column: Choice) -> tuple[list[str], np.ndarray]:
    """The words that occur, each once, in their order, and the codes of them; -1 for blank.

    >>> words, codes = _spoken(Choice(("a", "b", "a"), np.array([2, -1, 0, 2])))
    >>> words, codes.tolist()
    (['a'], [0, -1, 0, 0])
    """
    spelled = [*column.words, "invalid", ""]
    used = np.zeros(len(spelled), dtype=bool)
    used[column.codes] = True
    words = list(dict.fromkeys(word for word, here in zip(spelled, used.tolist(), strict=True) if here and word))
    place = {word: number for number, word in enumerate(words)}
    return words, np.array([place.get(word, -1) for word in spelled], dtype=np.int32)[column.codes]
