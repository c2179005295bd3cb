"""The program that runs an engine written for Python, apart from the caller.

Such an engine can be stopped when it hangs, keeps its memory and its messages
to itself, and cannot take the caller down with it. Arguments: the engine, the
workbook, the file to write. The results go out as JSON: for each sheet a list
of [row, column, value], an error value as {"error": "#N/A"}.
"""

from __future__ import annotations

import json
import sys
from importlib import import_module
from pathlib import Path

from .cells import CellError


def main(arguments: list[str]) -> int:
    """Compute one workbook and write its cells; return the exit code."""
    module, book, target = arguments
    cells = import_module(f".{module}", __package__).cells_of(Path(book))
    plain = {
        title: [[row, column, _plain(value)] for row, column, value in found]
        for title, found in cells.items()
    }
    Path(target).write_text(json.dumps(plain), encoding="utf-8")
    return 0


def _plain(value: object) -> object:
    return {"error": str(value)} if isinstance(value, CellError) else value


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
