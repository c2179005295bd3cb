"""What is wrong with a file that people filled in, cell by cell and in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

LONGEST_SHOWN = 60
"""So many characters of an entry are repeated in a message."""
MOST_FAULTS = 1_000
"""So many faults of a list are told."""


@dataclass(frozen=True)
class Fault:
    """One thing to put right.

    row is the row a person sees, the first being 1; cell is an address such as
    F12, given where the file is a workbook. found says what stands there,
    expected what must stand there ("a number from 1 to 84") and todo what to
    do about it; empty where expected says it already. A part that is not known
    is None: a fault of the whole file has neither row nor field.
    """

    file: str
    sheet: str | None
    row: int | None
    field: str | None
    cell: str | None
    found: str
    expected: str
    todo: str = ""

    def __str__(self) -> str:
        place = [self.file]
        if self.cell is not None:
            place.append(f"{self.sheet}!{self.cell}")
        elif self.sheet is not None:
            place.append(self.sheet)
        if self.row is not None:
            place.append(f"row {self.row}")
        if self.field is not None:
            place.append(self.field)
        todo = f"; {self.todo}" if self.todo else ""
        return one_line(f"{', '.join(place)}: found {self.found}, must be {self.expected}{todo}")


class BadInput(Exception):
    """A file that cannot be used, with every fault found in it, a line each."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))

    def __reduce__(self) -> tuple[type[BadInput], tuple[tuple[Fault, ...]]]:
        """It comes whole out of another process."""
        return type(self), (self.faults,)


def in_order(faults: Iterable[Fault], fields: Sequence[str]) -> list[Fault]:
    """Faults by row and, in a row, in the order of `fields`; the file's own first.

    Beyond MOST_FAULTS of them, the last says that there are more.
    """
    places = {name: place for place, name in enumerate(fields)}

    def key(fault: Fault) -> tuple[int, int]:
        place = -1 if fault.field is None else places.get(fault.field, len(places))
        return fault.row or 0, place

    ordered = sorted(faults, key=key)
    if len(ordered) > MOST_FAULTS:
        more = f"over {MOST_FAULTS:,} faults"
        ordered[MOST_FAULTS:] = [
            Fault(ordered[0].file, ordered[0].sheet, None, None, None, more, "none",
                  "mend these first; the others are not listed")
        ]  # fmt: skip
    return ordered


def one_line(text: str) -> str:
    """A text in which nothing is unprintable, whatever a file calls itself."""
    return text if text.isprintable() else "".join(
        letter if letter.isprintable() else _escaped(letter) for letter in text
    )


def shown(value: object) -> str:
    """An entry as it is repeated in a message: one line, nothing unprintable.

    >>> shown("12 kW"), shown(12.0), shown(None), shown("a\\nb")
    ("'12 kW'", '12', 'nothing', "'a\\\\x0ab'")
    """
    if value is None or value == "":
        return "nothing"
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    if not isinstance(value, str):
        return str(value)
    cut = value if len(value) <= LONGEST_SHOWN else value[:LONGEST_SHOWN] + "..."
    return f"'{one_line(cut)}'"


def _escaped(letter: str) -> str:
    number = ord(letter)
    if number < 0x100:
        return f"\\x{number:02x}"
    return f"\\u{number:04x}" if number < 0x10000 else f"\\U{number:08x}"
