"""Whether a formula, a reference or a defined name reaches out of the workbook or over too many cells."""

from __future__ import annotations

import re

from .faults import shown
from .limits import LARGEST_SPREAD, LAST_COLUMN, LAST_ROW, LONGEST_FORMULA
from .refused import CALL, LINKS, MACROS, WITHOUT, Refused, active, too_much

_FUNCTIONS = (
    "DDE", "WEBSERVICE", "RTD", "IMAGE", "PY", "CALL", "REGISTER", "REGISTER.ID", "SQL.REQUEST", "EXEC",
    "EXECUTE", "INITIATE", "POKE", "RUN", "EVALUATE", "FOPEN", "FWRITE", "FWRITELN", "FILES", "DIRECTORIES",
    "GET.CELL", "GET.DOCUMENT", "GET.WORKBOOK", "GET.WORKSPACE", "CUBEVALUE", "CUBEMEMBER", "CUBESET",
    "CUBESETCOUNT", "CUBERANKEDMEMBER", "CUBEKPIMEMBER", "CUBEMEMBERPROPERTY", "STOCKHISTORY",
)  # fmt: skip
"""Functions that run something, ask another program or fetch something."""

_ROOTS = (
    "DDE", "WEBSERVICE", "RTD", "IMAGE", "PY", "CALL", "REGISTER", "SQL.", "EXEC", "INITIATE", "POKE", "RUN",
    "EVALUATE", "FOPEN", "FWRITE", "FILES", "DIRECTORIES", "GET.", "CUBE", "STOCKHISTORY",
)  # fmt: skip
"""Pieces of these names: quickly looked for, since hardly a formula has one."""
_CALLED = re.compile(
    r"(?<![A-Z0-9_.])(?:_[A-Z]+\.)*(?:" + "|".join(map(re.escape, _FUNCTIONS)) + r")\s*\(", re.IGNORECASE
)
_TEXT = re.compile(r'"(?:[^"]|"")*"')
_QUOTED = re.compile(r"'(?:[^']|'')*'")
_OTHER_BOOK = re.compile(r"""(?<![\w\].\[,@])\[[^\[\]]+\][^\[\]()+*/,;:<>=&"{}^\s]*!""")
_SHAPE = bytes.maketrans(b"123456789\t\n\r", b"000000000   ")
_AUTOMATIC = re.compile(r"(?:_xlnm\.)?auto_?(?:open|close|activate|deactivate)", re.IGNORECASE)
_YES = ("1", "true")

_PLACE = re.compile(r"\$?([A-Za-z]{1,3})\$?([0-9]{1,7})")
_FEW_SHAPES = 20_000


class Formulas:
    """Looks at formulas; those that differ in digits only are looked at once."""

    def __init__(self) -> None:
        self._seen: set[bytes] = set()

    def check(self, text: str) -> None:
        """Raises Refused for a formula that reaches out, or is longer than one can be."""
        shape = text.encode("utf-8", "replace").translate(_SHAPE)
        if shape in self._seen:
            return
        if len(text) > LONGEST_FORMULA:
            raise too_much(f"a formula of {len(text):,} characters", f"at most {LONGEST_FORMULA:,}")
        bare = _TEXT.sub('""', text)
        if "[" in bare and (
            any("[" in name for name in _QUOTED.findall(bare)) or _OTHER_BOOK.search(_QUOTED.sub("''", bare))
        ):
            raise active(LINKS)
        if "|" in bare or "://" in bare or _calls(_QUOTED.sub("''", bare)):
            raise Refused(f"{CALL}, {shown(text)}", WITHOUT, "delete it")
        if len(self._seen) >= _FEW_SHAPES:
            self._seen.clear()
        self._seen.add(shape)


def _calls(formula: str) -> bool:
    large = formula.upper()
    return any(root in large for root in _ROOTS) and _CALLED.search(formula) is not None


def check_name(attributes: dict[str, str]) -> None:
    """Raises Refused for a defined name that is a macro."""
    flags = ("xlm", "vbProcedure", "function", "hlinkmacro")
    if _AUTOMATIC.match(attributes.get("name", "")) or any(attributes.get(flag) in _YES for flag in flags):
        raise active(MACROS)


def cells_in(reference: str) -> int | None:
    """Cells of a reference such as A1 or A1:C9, None where it is none in a sheet.

    >>> cells_in("B2:C4"), cells_in("A1"), cells_in("A1:XFE1")
    (6, 1, None)
    """
    first, _, last = reference.partition(":")
    corners = [_PLACE.fullmatch(corner) for corner in (first, last or first)]
    if None in corners:
        return None
    columns = [column_number(corner[1].upper()) for corner in corners]
    rows = [int(corner[2]) for corner in corners]
    if not 1 <= min(rows) <= max(rows) <= LAST_ROW or max(columns) > LAST_COLUMN:
        return None
    return (abs(rows[1] - rows[0]) + 1) * (abs(columns[1] - columns[0]) + 1)


def check_spread(what: str, reference: str) -> int:
    """Cells of the reference of something. Raises Refused for too many, and where it is none."""
    cells = cells_in(reference)
    if cells is None:
        raise Refused(f"{what} over {shown(reference)}")
    if cells > LARGEST_SPREAD:
        raise too_much(f"{what} over {cells:,} cells, {shown(reference)}", f"at most {LARGEST_SPREAD:,}")
    return cells


def column_number(letters: str) -> int:
    """Number of a column from its letters, A being 1."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number
