"""What LibreOffice and Gnumeric say on standard error about a sound workbook, with the cause of each line."""

from __future__ import annotations

import re
from collections.abc import Iterable

EXPLAINED = {
    "libreoffice": (
        # Java is not installed; nothing in the workbook needs it. It says so at each start.
        r"Warning: failed to launch javaldx - java may not function correctly",
    ),
    "gnumeric": (
        # It reads header rows or header columns of a printed page, not both together.
        r"At A1: '.+!\$[A-Z]+:\$[A-Z]+,.+!\$\d+:\$\d+' Multiple expressions are not supported in this context",
        # It does not know the cells that are text on purpose; the message takes two lines.
        r"Unexpected element 'ignoredErrors' in state : ?",
        r"\tworksheet",
    ),
}
"""By engine, the lines that are no fault of the file; nothing that is calculated is left out."""


def unexplained(engine: str, lines: Iterable[str]) -> list[str]:
    """The lines for which no cause is known."""
    known = [re.compile(line) for line in EXPLAINED[engine]]
    return [line for line in lines if line.strip() and not any(one.fullmatch(line) for one in known)]
