"""Parses a sheet that is the same in many files only once, for tests that change little of a workbook."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from contextlib import contextmanager

from workbook_builder.harness import file_cells
from workbook_builder.harness.file_cells import SheetCells


@contextmanager
def parsed_once() -> Iterator[None]:
    """Within, the cells of a sheet are those of an earlier one where its bytes and the texts are the same.

    What cannot be read, or stood in one file only so far, is parsed as ever.
    """
    kept: dict[object, SheetCells] = {}
    seen: set[object] = set()
    parse = file_cells._sheet

    def sheet(archive: zipfile.ZipFile, part: str, strings: tuple[str, ...], styles: bool) -> SheetCells:
        try:
            key = archive.read(part), hash(strings), styles
        except Exception:
            return parse(archive, part, strings, styles)
        if (cells := kept.get(key)) is None:
            cells = parse(archive, part, strings, styles)
            if hash(key) in seen:
                kept[key] = cells
            seen.add(hash(key))
        return cells

    file_cells._sheet = sheet
    try:
        yield
    finally:
        file_cells._sheet = parse
