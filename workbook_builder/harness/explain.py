"""Why a job has the result it has: rule, section, numbers and formula of each step, down to the entries."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from os import PathLike
from pathlib import Path

import pandas as pd

from ..code_tables.load import CodeTables, load
from ..code_tables.model import EDITIONS, Field
from ..exits import Usage
from ..reader.book_jobs import BookInputs, read_book
from ..reference.run import calculate_all
from ..sheets.compile import compile_book
from ..sheets.layout import PARAMETER_COLUMNS, SETTINGS, letter
from ..sheets.model import FIRST_ROW, JOB_GRID, JOB_NUMBER, ROW_STATE
from ..sheets.order import SHEETS
from .compare import agree
from .engines import available
from .explain_graph import Graph
from .formula_cells import formula_cells, is_as_built
from .verify import books_of, by_place, layout_of, recalculated_frames

ANSWERS = ("feeder_breaker_a", "feeder_size", "raceway_size", "option_chosen", "price_likely_usd")
"""The main answers of a job, in the order of the sheets."""
CHAIN_DEPTH = 2
SHOWN_VALUES = 12
"""So many values of a column of a table are shown."""
NEAREST = 3


@dataclass(frozen=True)
class Part:
    """Something that goes into a step: its name, its value with unit, and where it comes from."""

    name: str
    value: str
    source: str


@dataclass(frozen=True)
class Step:
    """One result: where it stands, its rule and section, its formula, what goes in.

    parts are entries, parameters, tables and the like; needs are other results,
    by name. remarks say where the workbook is not as built or not as the reference.
    """

    name: str
    value: str
    sheet: str
    cell: str
    title: str
    sentence: str
    section: str
    formula: str
    parts: tuple[Part, ...]
    needs: tuple[str, ...]
    remarks: tuple[str, ...]


class Explained:
    """A job of a workbook with its values. steps are made as they are asked for.

    clean: whether the row is ready and no step asked for has a remark. Raises
    Usage for an unknown job and for a `field` that is none, BadInput and what engines raise for a
    workbook that cannot be read or recalculated.
    """

    def __init__(
        self,
        path: str | PathLike[str],
        job: str,
        *,
        engine: str | None,
        field: str | None = None,
        progress: Callable[[str], object] | None = None,
    ) -> None:
        tell = progress or (lambda _: None)
        tell("reading the workbook")
        self.file = Path(path).name
        self.book: BookInputs = read_book(path)
        self.code: CodeTables = load()
        self.layout = layout_of(self.book)
        self.place = _place_of(self.book, self.file, job)
        self.row = FIRST_ROW + self.place
        self.graph = Graph(SHEETS, compile_book(SHEETS, self.layout), self.layout)
        if field is not None:
            self.check(field)
        self.formulas = formula_cells(path)
        tell("calculating the reference")
        raw, self.books = by_place(self.book), books_of(self.book)
        self.typed: Mapping[str, object] = raw[JOB_GRID].iloc[self.place].to_dict()
        jobs, _ = calculate_all(*raw.values(), overrides=self.book.overrides, books=self.books)
        self.reference: Mapping[str, object] = jobs.iloc[self.place].to_dict()
        self.values = self.reference
        self.engine = "the reference; no recalculation engine is installed"
        if engine:
            tell(f"recalculating with {engine}")
            self.values = recalculated_frames(path, engine=engine)[JOB_GRID].iloc[self.place].to_dict()
            self.engine = f"{engine} {available(engine) or ''}".strip()
        self.clean = self.state == "ready"
        edition = self.values.get("code_edition")
        self.edition = int(edition) if edition in EDITIONS else EDITIONS[-1]

    @property
    def job(self) -> str:
        return _words(self.typed.get(JOB_NUMBER))

    @property
    def state(self) -> str:
        return _words(self.values.get(ROW_STATE))

    def check(self, name: str) -> None:
        """Raises Usage where a name is no result and no entry of a job."""
        if name in self.graph.places:
            return
        if name in self.graph.others:
            raise Usage(
                f"{self.file}: {name} is a result of a circuit, on the sheet {self.graph.others[name]}; "
                "explain takes one of a job"
            )
        raise Usage(f"{self.file}: no field {name!r}; {_nearest(name, list(self.graph.places))}")

    def step(self, name: str) -> Step:
        place = self.graph.places[name]
        cell = f"{place.column.letter}{self.row}"
        row, number = self.row, _number_of(place.column.letter)
        built = place.column.at(self.row)
        there = self.formulas.get(place.sheet, {}).get((row, number))
        remarks = []
        if not is_as_built(there, built[1:], place.sheet):
            remarks.append(f"not as built, which is {built}")
        if not agree(self.values.get(name), self.reference.get(name)):
            remarks.append(f"the reference says {self._value(name, self.reference.get(name))}")
        self.clean = self.clean and not remarks
        needs = self.graph.needs(name, self.values)
        return Step(
            name=name,
            value=self._value(name, self.values.get(name)),
            sheet=place.sheet,
            cell=f"{place.sheet}!{cell}",
            title=place.rule.title,
            sentence=place.rule.sentence,
            section=place.rule.sections[self.edition],
            formula="no formula" if there is None else f"={there}",
            parts=tuple(self._parts(name, needs)),
            needs=tuple(one for one in needs if not self.graph.places[one].is_entry),
            remarks=tuple(remarks),
        )

    def short(self, name: str) -> Part:
        """Another result in one line."""
        place = self.graph.places[name]
        return Part(name, self._value(name, self.values.get(name)), f"{place.sheet}!{place.column.letter}{self.row}")

    def _value(self, name: str, value: object) -> str:
        rule = self.graph.places[name].rule
        field = self.graph.places[name].column.field
        if field is not None and field.kind == "date" and isinstance(value, int | float):
            return _words(self.typed.get(name))
        return _words(value, rule.unit)

    def _parts(self, name: str, needs: Sequence[str]) -> list[Part]:
        place = self.graph.places[name]
        if place.is_entry:
            return [self._entry(place.column.field)]
        parts = [self._entry(self.graph.places[one].column.field) for one in needs if self.graph.places[one].is_entry]
        for text in self.graph.texts(name):
            if text[0] == "{":
                parts.append(self._named(text[1:-1], text, place.sheet))
            elif ":" in text:
                columns = self.graph.columns_of(text, place.sheet)
                blank = sum(one not in needs for one in columns)
                if blank:
                    parts.append(Part(text, f"{len(columns)} columns", f"{blank} of them are 0 or blank"))
        return parts

    def _entry(self, field: Field) -> Part:
        cell = f"Jobs!{self.layout.grids[JOB_GRID].letters[field.name]}{self.book.mark_row + 1 + self.place}"
        place, typed = self.graph.places[field.name], self.typed.get(field.name)
        at = f"{place.sheet}!{place.column.letter}{self.row}"
        if typed is not None:
            source = f"{at}, typed in {cell}"
        elif field.default is not None or field.default_rule:
            default = field.default_rule or _words(field.default, field.unit)
            source = f"{at}; {cell} is blank, which takes {default}"
        else:
            source = f"{at}; {cell} is blank"
        return Part(field.name, self._value(field.name, self.values.get(field.name)), source)

    def _named(self, name: str, text: str, sheet: str) -> Part:
        code, cell = self.code, (self.graph.names.cell(text, sheet) or "").replace("{row}", str(self.row))
        cell = cell.replace("$", "")
        if name in code.parameters:
            return self._parameter(name)
        head, _, column = name.partition(".")
        if head in code.tables:
            table = code.tables[head]
            values = f"{len(table.rows)} rows"
            if column in table.header:
                values = _listed(table.column(column))
            source = self._sources(table.source, table.editions[self.edition].section)
            return Part(text, values, f"{cell.replace(chr(39), '')}: {table.title}; {source}")
        if name in self.books.settings:
            setting = self.books.settings[name]
            value = _words(setting.value, setting.unit if setting.unit != "text" else "")
            changed = [one for one in self.book.prices.changes if (one.sheet, one.key) == (SETTINGS, name)]
            built = f", built with {_words(changed[0].built)}" if changed else ""
            return Part(name, value, f"{cell}{built}; {setting.source}")
        if head == "all":
            return Part(text, "all rows", cell.replace("'", ""))
        return Part(text, "", cell.replace("'", ""))

    def _parameter(self, name: str) -> Part:
        parameter, row = self.code.parameters[name], self.layout.parameter_rows[name]
        published = parameter.values[self.edition]
        source = self._sources(parameter.source, parameter.editions[self.edition].section, parameter.status)
        if name in self.book.overrides:
            cell = f"Local rules!{letter(1 + PARAMETER_COLUMNS.index('override'))}{row}"
            reason = self.book.reasons.get(name, "no reason given")
            words = f"{cell}, a local rule in the place of {_words(published, parameter.unit)}: {reason}"
            return Part(name, _words(self.book.overrides[name], parameter.unit), words)
        shown = self.edition if parameter.varies else EDITIONS[0]
        cell = f"Local rules!{letter(1 + PARAMETER_COLUMNS.index(f'in_use_{shown}'))}{row}"
        return Part(name, _words(published, parameter.unit), f"{cell}; {source}")

    def _sources(self, names: Sequence[str], *words: str) -> str:
        """Section, status and titles of the sources, each once."""
        titles = [self.code.sources[one].title for one in names] or ["no source"]
        return "; ".join(dict.fromkeys([*words, *titles]))


def _place_of(book: BookInputs, file: str, job: str) -> int:
    """The place of a job among the rows, from 0; of two with one number the upper."""
    numbers = {_words(value): row for row, value in reversed(list(book.jobs[JOB_NUMBER].items())) if value is not None}
    for number, row in numbers.items():
        if number.casefold() == job.strip().casefold():
            return int(row) - book.mark_row - 1
    raise Usage(f"{file}: no job {job!r}; {_nearest(job, list(reversed(numbers)))}")


def _nearest(word: str, words: Sequence[str]) -> str:
    """The names most like one, or the first ones where none is."""
    plain = {one.casefold(): one for one in words}
    near = [plain[one] for one in get_close_matches(word.casefold(), list(plain), n=NEAREST, cutoff=0.5)]
    if near:
        return f"nearest: {', '.join(near)}"
    return f"there are {', '.join(words[:NEAREST])}{' and others' if len(words) > NEAREST else ''}" if words else "there is none"


def _number_of(letters: str) -> int:
    number = 0
    for one in letters:
        number = number * 26 + ord(one) - ord("A") + 1
    return number


def _listed(values: Sequence[object]) -> str:
    some = [_words(value) for value in values[:SHOWN_VALUES]]
    return ", ".join(some) + (f", ... ({len(values)} rows)" if len(values) > SHOWN_VALUES else "")


def _words(value: object, unit: str = "") -> str:
    """A value as people read it, with its unit; `blank` for none."""
    if value is None or value == "" or (isinstance(value, float) and pd.isna(value)):
        return "blank"
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, int | float):
        text = f"{value:.6f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)
        return f"{text} {unit}" if unit not in ("", "1", "size") else text
    return str(value)
