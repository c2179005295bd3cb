"""Times one writer on the cells of one workbook.

python -m tests.benchmarks.writers own|stock|unsearched|openpyxl JOBS.csv [ROWS CIRCUIT_ROWS]

Prints one line of JSON: processor seconds, cells, bytes. Only writing is
timed, up to the closed file; reading, calculating and taking down are not.
"""

from __future__ import annotations

import gc
import json
import sys
import time
from collections.abc import Callable
from copy import copy
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import openpyxl
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from workbook_builder.cli import FEWEST_CIRCUITS, FEWEST_ROWS, SPARE_ROWS
from workbook_builder.code_tables.load import load
from workbook_builder.harness.book_values import book_values
from workbook_builder.reader.csv_jobs import read_jobs
from workbook_builder.reference.run import calculate_all
from workbook_builder.sheets.compile import compile_book
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.order import SHEETS
from workbook_builder.writer.workbook import write_workbook

from .recorded import Recorded, UnsearchedSheet, recorded, replayed

_ALIGN = {1: "left", 2: "center", 3: "right"}
_UPRIGHT = {1: "top", 2: "center", 3: "bottom"}


def given(jobs_file: Path, rows: int | None = None, circuit_rows: int | None = None) -> dict[str, Any]:
    """What `build` gives to the writer, with as many rows as it takes by itself or these."""
    import pandas as pd

    code = load()
    jobs = read_jobs(jobs_file)
    circuits = pd.DataFrame(columns=[field.name for field in code.circuit_fields], dtype=object)
    results, circuit_results = calculate_all(jobs, circuits, books=code.books)
    rows = rows or max(len(jobs) + SPARE_ROWS, FEWEST_ROWS)
    layout = Layout(code, rows=rows, circuit_rows=circuit_rows or FEWEST_CIRCUITS)
    sheets = compile_book(SHEETS, layout)
    return {
        "layout": layout, "sheets": sheets, "jobs": jobs, "results": results, "circuits": circuits,
        "circuit_results": circuit_results, "book_results": book_values(code.books, sheets, layout),
        "built_on": "2026-01-02",
    }  # fmt: skip


def own(jobs: dict[str, Any], target: Path) -> Callable[[], None]:
    """This program's writer, file on the disk and all."""
    return lambda: write_workbook(target, **jobs)


def stock(book: Recorded, target: Path, sheet_class: type[Worksheet] = Worksheet) -> Callable[[], None]:
    """XlsxWriter as it comes."""
    buffer = BytesIO()
    write = replayed(book, buffer, sheet_class)

    def done() -> None:
        write()
        target.write_bytes(buffer.getvalue())

    return done


def write_only(book: Recorded, target: Path) -> Callable[[], None]:
    """openpyxl in its write-only mode: values, formulas without their results, and the style of each cell.

    A style is made once for each look and copied to its cells, which is the quick way.
    """
    rows: list[tuple[str, dict[int, dict[int, tuple[Any, int | None]]]]] = []
    looks: dict[int, Format] = {}
    for name, calls in book.sheets.items():
        cells: dict[int, dict[int, tuple[Any, int | None]]] = {}
        for method, arguments, _ in calls:
            if method.startswith("write_") and not isinstance(arguments[0], str):
                row, column, value, *more = arguments
                look = next((one for one in more if isinstance(one, Format)), None)
                if method == "write_url":
                    value = next((one for one in more if isinstance(one, str)), value)
                cells.setdefault(row, {})[column] = value, id(look) if look else None
                if look:
                    looks[id(look)] = look
        rows.append((name, {row: dict(sorted(cells[row].items())) for row in sorted(cells)}))

    def write() -> None:
        work = openpyxl.Workbook(write_only=True)
        styles: dict[int | None, Any] = {}
        for name, there in rows:
            sheet = work.create_sheet(name)
            for key, look in looks.items() if not styles else ():
                styles[key] = _styled(WriteOnlyCell(sheet), look)._style
            for number in range(max(there, default=-1) + 1):
                given = there.get(number, {})
                line: list[Any] = [None] * (max(given, default=-1) + 1)
                for column, (value, key) in given.items():
                    cell = line[column] = WriteOnlyCell(sheet, value)
                    if key is not None:
                        cell._style = copy(styles[key])
                sheet.append(line)
        work.save(target)

    return write


def _styled(cell: WriteOnlyCell, look: Format) -> WriteOnlyCell:
    def colour(value: Any) -> str | None:
        return value._rgb_hex_value() if value else None

    cell.font = Font(name=look.font_name, size=look.font_size, bold=bool(look.bold), italic=bool(look.italic),
                     color=colour(look.font_color))  # fmt: skip
    fill = colour(look.bg_color or look.fg_color)
    if fill:
        cell.fill = PatternFill("solid", start_color=fill)
    cell.alignment = Alignment(
        horizontal=_ALIGN.get(look.text_h_align), vertical=_UPRIGHT.get(look.text_v_align), indent=look.indent,
        wrap_text=bool(look.text_wrap),
    )  # fmt: skip
    sides = {
        side: Side("thin", color=colour(getattr(look, f"{side}_color")))
        for side in ("left", "right", "top", "bottom")
        if getattr(look, side)
    }
    cell.border = Border(**sides)
    cell.protection = Protection(locked=bool(look.locked))
    cell.number_format = look.num_format if isinstance(look.num_format, str) else "General"
    return cell


def unsearched(book: Recorded, target: Path) -> Callable[[], None]:
    """XlsxWriter without its search of every formula for functions that need a prefix, most of its time here."""
    return stock(book, target, UnsearchedSheet)


MAKERS = {"stock": stock, "unsearched": unsearched, "openpyxl": write_only}
WRITERS = ("own", *MAKERS)


def main() -> None:
    name, jobs = sys.argv[1], given(Path(sys.argv[2]), *map(int, sys.argv[3:]))
    with TemporaryDirectory() as folder:
        target = Path(folder) / "book.xlsx"
        if name == "own":
            write, cells = own(jobs, target), 0
        else:
            book = recorded(**jobs)
            write, cells = MAKERS[name](book, target), book.cells
        gc.collect()
        gc.freeze()
        start = time.process_time()
        write()
        used = time.process_time() - start
        print(json.dumps({"processor_s": used, "cells": cells, "bytes": target.stat().st_size}))


if __name__ == "__main__":
    main()
