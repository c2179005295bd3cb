"""Provenance: every value with its section, edition claims, sources and status."""

from __future__ import annotations

from collections.abc import Iterator

from ..code_tables.books import POINTS
from ..code_tables.model import Parameter, Table
from .books_sheet import PAGES
from .context import Context
from .listing import ListColumn, by_edition, finish, write_header, write_line
from .page import head, protect
from .sheet_class import PlainFormulaSheet
from .styles import UNIT_WORDS
from .values import plain

TITLE = "Provenance"
NOTE = (
    "Every line of the books and every setting, as built; then every value of the rules and tables: what each edition "
    "is known to say, and how sure it is. Sources stand below. On paper: from the rules on, without the notes."
)
HEADER_ROW = 4
COLUMNS = (
    ListColumn("name", 22),
    ListColumn("row", 18),
    ListColumn("what it is", 32),
    ListColumn("value", 33),
    ListColumn("unit", 19),
    ListColumn("claim and section", 42),
    ListColumn("status", 11),
    ListColumn("sources", 10),
    ListColumn("note", 110, on_paper=False),
)
OWN = "to be set"
"""Status of a line of a book and of a setting."""

WORDS = (
    ("read", "seen in a public page"),
    ("same", "seen or reported unchanged"),
    ("changed", "seen or reported with another value"),
    ("assumed same", "nobody has looked: rows of that edition carry a CHECK"),
    ("not read", "not available: whatever uses it stops"),
    ("confirmed", "the value stands in a listed public source"),
    ("partly confirmed", "part of the row or of the rule does"),
    ("memory", "written from memory"),
    ("common practice", "a fact of the trade without a source"),
    ("decision", "ours, where the rule leaves a choice open"),
    (OWN, "a number of the company, not of the code: its date and source stand in the note"),
)


def write_provenance(context: Context, sheet: PlainFormulaSheet) -> None:
    head(context, sheet, TITLE, NOTE, note_at=3)
    write_header(context, sheet, HEADER_ROW, COLUMNS)
    row = HEADER_ROW
    for row, values in enumerate(_values(context), start=HEADER_ROW + 1):
        write_line(context, sheet, row, values, COLUMNS)
    listed = row
    row = _write_words(context, sheet, row + 2)
    last = _write_sources(context, sheet, row + 1)
    protect(sheet)
    finish(
        context, sheet, COLUMNS, header_row=HEADER_ROW, last_listed=listed, last_row=last,
        first_row=HEADER_ROW + 1 + _count_of_books(context), frozen=2, title=TITLE,
    )  # fmt: skip


def _values(context: Context) -> Iterator[tuple[float | str, ...]]:
    """The books first: they are left off paper, since each prints with its sources on its own sheet."""
    if context.has_prices:
        yield from _books(context)
    for parameter in context.code.parameters.values():
        yield _parameter(parameter)
    for table in context.code.tables.values():
        yield from _rows(table)


def _count_of_books(context: Context) -> int:
    return sum(1 for _ in _books(context)) if context.has_prices else 0


def _books(context: Context) -> Iterator[tuple[float | str, ...]]:
    """Lines of the books and settings, as they were when the workbook was built."""
    books = context.code.books
    for book, lines in books.lines.items():
        unit = PAGES[book].unit
        for line in lines:
            value = "; ".join(f"{point}: {plain(getattr(line, point))}" for point in POINTS)
            note = f"{line.date}; {line.source}" if line.date else line.source
            each = f"{unit} per {line.unit}" if line.unit else unit
            yield (book, line.key, line.words, value, each, "", OWN, "", note)
    for setting in books.settings.values():
        unit = UNIT_WORDS.get(setting.unit, setting.unit)
        yield ("settings", setting.name, setting.meaning, plain(setting.value), unit, "", OWN, "", setting.source)


def _parameter(parameter: Parameter) -> tuple[float | str, ...]:
    value: float | str = next(iter(parameter.values.values()))
    if parameter.varies:
        value = "; ".join(f"{edition}: {plain(of)}" for edition, of in parameter.values.items())
    return (
        parameter.name, "parameter", parameter.meaning, value,
        UNIT_WORDS.get(parameter.unit, parameter.unit), _claims(parameter),
        parameter.status, " ".join(parameter.source), parameter.note,
    )  # fmt: skip


def _rows(table: Table) -> Iterator[tuple[float | str, ...]]:
    for cells, status in zip(table.rows, table.status, strict=True):
        values = [
            f"{column}: {plain(cell)}"
            for column, cell in zip(table.header[1:], cells[1:], strict=True)
            if cell is not None
        ]
        yield (
            table.name, f"{table.key} {plain(cells[0])}", table.title,
            "; ".join(values) or plain(cells[0]), UNIT_WORDS.get(table.unit, table.unit),
            _claims(table), status, " ".join(table.source), table.note,
        )  # fmt: skip


def _claims(entry: Parameter | Table) -> str:
    """What each edition is known to say, and where; once where all are alike."""
    return by_edition({
        edition: f"{claim.status}, {claim.section}" for edition, claim in entry.editions.items()
    })  # fmt: skip


def _write_words(context: Context, sheet: PlainFormulaSheet, row: int) -> int:
    """What the words of claim and status mean. Returns the next free row."""
    get = context.formats.get
    sheet.write_string(row - 1, 0, "What the words mean", get("title", font_size=11))
    for word, meaning in WORDS:
        row += 1
        sheet.write_string(row - 1, 0, word, get("text", font_size=9, bold=True))
        sheet.write_string(row - 1, 1, meaning, get("text", font_size=9))
    return row + 1


def _write_sources(context: Context, sheet: PlainFormulaSheet, row: int) -> int:
    """The sources; addresses are plain text, never links. Returns the last row."""
    get = context.formats.get
    sheet.write_string(row - 1, 0, "Sources", get("title", font_size=11))
    sheet.write_string(row, 0, "name", get("header", font_size=9))
    sheet.write_string(row, 1, "title and address", get("header", font_size=9))
    for at in range(2, len(COLUMNS)):
        sheet.write_blank(row, at, None, get("header", font_size=9))
    row += 1
    for source in context.code.sources.values():
        row += 1
        sheet.write_string(row - 1, 0, source.name, get("text", font_size=9, bold=True))
        sheet.write_string(row - 1, 1, source.title, get("text", font_size=9))
        for address in source.address.split():
            row += 1
            sheet.write_string(row - 1, 1, address, get("note", font_size=8))
    return row
