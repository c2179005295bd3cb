"""Folders of price files for tests, and workbooks in which cells of the books were typed over."""

from __future__ import annotations

import re
import shutil
import zipfile
from collections.abc import Mapping
from pathlib import Path
from xml.sax.saxutils import escape

from workbook_builder.code_tables.load import load
from workbook_builder.data import shipped
from workbook_builder.harness.engines.package import contents, open_archive
from workbook_builder.sheets.layout import Layout


def price_folder(path: Path, *changes: tuple[str, str, str]) -> Path:
    """The files that come with the package, in each change (file, old, new) one text put in place of another."""
    shutil.copytree(shipped("templates", "prices/settings.csv").parent, path)
    for name, old, new in changes:
        file = path / name
        text = file.read_text(encoding="utf-8")
        assert text.count(old) == 1, (name, old, text.count(old))
        file.write_text(text.replace(old, new), encoding="utf-8")
    return path


def typed(book: Path, out: Path, cells: Mapping[tuple[str, str], object]) -> Path:
    """A copy of a workbook with these values, by sheet and cell, typed into it; None clears a cell.

    Changed in the XML, as a spreadsheet program would leave it.
    """
    with open_archive(book) as archive, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        parts = contents(archive).sheets
        for name in archive.namelist():
            text = archive.read(name)
            for (sheet, cell), value in cells.items():
                if parts[sheet] == name:
                    text = _with_value(text.decode(), cell, value).encode()
            target.writestr(name, text)
    return out


def _with_value(text: str, cell: str, value: object) -> str:
    if value is None:
        kind, content = "", ""
    elif isinstance(value, str):
        kind, content = ' t="inlineStr"', f"<is><t>{escape(value)}</t></is>"
    else:
        kind, content = "", f"<v>{value}</v>"
    pattern = rf'<c r="{cell}"( s="[0-9]+")?[^>]*?(?:/>|>.*?</c>)'
    found, count = re.subn(pattern, lambda hit: f'<c r="{cell}"{hit[1] or ""}{kind}>{content}</c>', text)
    assert count == 1, cell
    return found


def book_cell(book: str, key: str, column: str) -> tuple[str, str]:
    """Sheet and cell of a number of a line, in a new workbook with the books of the package."""
    place = Layout(load(), rows=1).books[book]
    row = place.first_row + load().books.keys(book).index(key)
    return place.sheet, f"{place.letter_of(column)}{row}"


def setting_cell(name: str) -> tuple[str, str]:
    """Sheet and cell of a setting."""
    layout = Layout(load(), rows=1)
    return layout.settings.sheet, f"{layout.settings.letter_of('value')}{layout.setting_rows[name]}"
