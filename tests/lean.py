"""Makes a built workbook smaller, so that a test which reads it many times reads only what it asks about."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Collection, Mapping
from pathlib import Path

_TEXTS = "xl/sharedStrings.xml"
_SHEETS = "xl/worksheets/"
_OF_TEXT = re.compile(rb'(t="s"><v>)(\d+)(</v>)')
_TITLE = re.compile(rb'<sheet name="([^"]*)"')
_ROWS = re.compile(rb"<sheetData>.*</sheetData>", re.DOTALL)


def file_of(parts: Mapping[str, bytes], title: str) -> str:
    """The part of a sheet."""
    titles = [one.decode() for one in _TITLE.findall(parts["xl/workbook.xml"])]
    return f"{_SHEETS}sheet{titles.index(title) + 1}.xml"


def without_rows(parts: Mapping[str, bytes], titles: Collection[str]) -> dict[str, bytes]:
    """The workbook with nothing in the cells of these sheets."""
    files = {file_of(parts, title) for title in titles}
    return {
        name: _ROWS.sub(b"<sheetData/>", data) if name in files else data for name, data in parts.items()
    }


def without_idle_texts(parts: Mapping[str, bytes]) -> dict[str, bytes]:
    """The workbook without the shared texts that no cell has; the others are numbered anew."""
    sheets = [name for name in parts if name.startswith(_SHEETS)]
    used = [int(found[1]) for name in sheets for found in _OF_TEXT.findall(parts[name])]
    start, *texts = re.split(rb"(?=<si>|</sst>)", parts[_TEXTS])
    end = texts.pop()
    kept = sorted(set(used))
    place = {number: at for at, number in enumerate(kept)}
    counts = b'count="%d" uniqueCount="%d"' % (len(used), len(kept))
    start = re.sub(rb'count="\d+" uniqueCount="\d+"', counts, start)

    def anew(found: re.Match[bytes]) -> bytes:
        return b"%s%d%s" % (found[1], place[int(found[2])], found[3])

    lean = dict(parts)
    lean[_TEXTS] = b"".join([start, *(texts[number] for number in kept), end])
    return lean | {name: _OF_TEXT.sub(anew, parts[name]) for name in sheets}


def trim(path: Path, titles: Collection[str]) -> None:
    """Writes the workbook anew with nothing in the cells of these sheets."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, data in without_idle_texts(without_rows(parts, titles)).items():
            archive.writestr(name, data)
