"""Reads every data file of this package once and refuses what has no provenance."""

from __future__ import annotations

import csv
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from .books import Books, load_books
from .fields import read_fields, read_result_fields
from .model import (
    CLAIMS,
    DIFFICULTIES,
    EDITIONS,
    PACKAGES,
    STATUSES,
    Claim,
    CodeTableError,
    Field,
    Parameter,
    Rule,
    Source,
    Table,
    TakeoffLine,
    WorkLine,
)

HERE = Path(__file__).parent
KINDS = ("number", "fine", "count", "size", "choice", "state", "text")


@dataclass(frozen=True)
class CodeTables:
    """Everything this package knows, keyed by name, in file order."""

    tables: Mapping[str, Table]
    parameters: Mapping[str, Parameter]
    rules: Mapping[str, Rule]
    sources: Mapping[str, Source]
    job_fields: tuple[Field, ...]
    circuit_fields: tuple[Field, ...]
    result_fields: tuple[tuple[str, str, str, str], ...]
    takeoff_lines: tuple[TakeoffLine, ...]
    work_lines: tuple[WorkLine, ...]
    books: Books

    def with_books(self, books: Books) -> CodeTables:
        """The same tables and rules with other prices, units and settings."""
        return replace(self, books=books)

    def assumed(self, edition: int) -> tuple[str, ...]:
        """Names of tables and parameters that nobody has read in that edition."""
        return self._claimed(edition, "assumed same")

    def unread(self, edition: int) -> tuple[str, ...]:
        """Names of tables and parameters that are not available in that edition."""
        return self._claimed(edition, "not read")

    def _claimed(self, edition: int, status: str) -> tuple[str, ...]:
        entries = [*self.tables.values(), *self.parameters.values()]
        return tuple(entry.name for entry in entries if entry.editions[edition].status == status)


@lru_cache(maxsize=1)
def load() -> CodeTables:
    """All code tables. Raises CodeTableError with every fault of every file."""
    faults: list[str] = []
    sources = {row["name"]: Source(**row) for row in _rows("sources.csv")}
    tables = {
        path.stem: table
        for path in sorted((HERE / "tables").glob("*.csv"))
        if (table := _table(path, sources, faults))
    }
    parameters: dict[str, Parameter] = {}
    for number, row in enumerate(_rows("parameters.csv"), start=2):
        if row["name"] in parameters:
            faults.append(f"parameters.csv, row {number}: {row['name']} stands twice")
        parameters[row["name"]] = _parameter(row, number, sources, faults)
    rules: dict[str, Rule] = {}
    for path in sorted((HERE / "rules").glob("*.csv")):
        for number, row in enumerate(_rows(f"rules/{path.name}"), start=2):
            if row["name"] in rules:
                faults.append(f"{path.name}, row {number}: {row['name']} stands twice")
            rules[row["name"]] = _rule(row, f"{path.name}, row {number}", faults)
    books = load_books()
    takeoff = tuple(
        TakeoffLine(row["line"], row["package"], row["item"], row["by_size"] == "yes")
        for row in _rows("takeoff_lines.csv")
    )
    work = tuple(
        WorkLine(row["line"], row["package"], row["difficulty"], row["unit_id"])
        for row in _rows("work_lines.csv")
    )
    _check_lines(takeoff, work, rules, books, faults)
    if faults:
        raise CodeTableError("\n".join(faults))
    titles = {row["field"]: row["title"] for row in _rows("contract/titles.csv")}
    return CodeTables(
        tables=tables,
        parameters=parameters,
        rules=rules,
        sources=sources,
        job_fields=read_fields("job_fields", titles),
        circuit_fields=read_fields("circuit_fields", titles),
        result_fields=read_result_fields(),
        takeoff_lines=takeoff,
        work_lines=work,
        books=books,
    )


def _check_lines(
    takeoff: tuple[TakeoffLine, ...],
    work: tuple[WorkLine, ...],
    rules: Mapping[str, Rule],
    books: Books,
    faults: list[str],
) -> None:
    """Every line has its rule and its price or labour unit."""
    items, units = set(books.keys("price_book")), set(books.keys("labour_units"))
    for line in takeoff:
        if line.name not in rules:
            faults.append(f"takeoff_lines.csv: {line.name} has no rule")
        if line.package not in PACKAGES:
            faults.append(f"takeoff_lines.csv, {line.name}: package {line.package!r}, expected {PACKAGES}")
        if not line.by_size and line.item not in items:
            faults.append(f"takeoff_lines.csv, {line.name}: {line.item!r} is not in the price book")
    for task in work:
        if task.name not in rules:
            faults.append(f"work_lines.csv: {task.name} has no rule")
        if task.package not in PACKAGES or task.difficulty not in DIFFICULTIES:
            faults.append(f"work_lines.csv, {task.name}: {task.package}, {task.difficulty}")
        if task.unit_id not in units:
            faults.append(f"work_lines.csv, {task.name}: {task.unit_id!r} is not among the labour units")


def _rows(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _table(path: Path, sources: Mapping[str, Source], faults: list[str]) -> Table | None:
    with path.with_suffix(".toml").open("rb") as file:
        head = tomllib.load(file)
    with path.open(newline="", encoding="utf-8") as file:
        header, *rows = list(csv.reader(file))
    if header[-1] != "status":
        faults.append(f"{path.name}: the last column is {header[-1]!r}, expected status")
        return None
    for number, row in enumerate(rows, start=2):
        if len(row) != len(header):
            faults.append(f"{path.name}, row {number}: {len(row)} cells, expected {len(header)}")
        elif row[-1] not in STATUSES:
            faults.append(f"{path.name}, row {number}: status {row[-1]!r}, expected {STATUSES}")
    for name in ("title", "unit", "sheet", "source", "note"):
        if not head.get(name):
            faults.append(f"{path.stem}.toml: {name} is empty")
    faults += [
        f"{path.stem}.toml: source {name!r} is not in sources.csv"
        for name in head.get("source", ())
        if name not in sources
    ]
    numbers = [_is_number_column(header[place], rows, place) for place in range(len(header))]
    return Table(
        name=path.stem,
        title=head["title"],
        unit=head["unit"],
        columns=head["columns"],
        sheet=head["sheet"],
        source=tuple(head["source"]),
        note=head["note"],
        invariants=tuple(head["invariants"]),
        editions=_claims(
            path.stem,
            {int(edition): claim for edition, claim in head["editions"].items()},
            faults,
        ),
        header=tuple(header[:-1]),
        rows=tuple(
            tuple(_cell(row[place], numbers[place]) for place in range(len(header) - 1))
            for row in rows
        ),
        status=tuple(row[-1] for row in rows),
    )


TEXT_COLUMNS = ("size", "trade_size", "wiring", "kind", "impedance", "cover", "insulation",
                "cover_case", "service_copper", "service_aluminum")  # fmt: skip


def _is_number_column(name: str, rows: list[list[str]], place: int) -> bool:
    """Sizes are text even where they look like numbers: `14`, `1/0`, `250`."""
    if name in TEXT_COLUMNS:
        return False
    values = [row[place] for row in rows if row[place] != ""]
    return all(_number(value) is not None for value in values)


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def _cell(text: str, is_number: bool) -> float | str | None:
    if text == "":
        return None
    return _number(text) if is_number else text


def _claims(
    name: str, found: Mapping[int, Mapping[str, str]], faults: list[str]
) -> dict[int, Claim]:
    claims: dict[int, Claim] = {}
    for edition in EDITIONS:
        claim = found.get(edition, {"status": "", "section": ""})
        if claim["status"] not in CLAIMS:
            faults.append(f"{name}: edition {edition} claims {claim['status']!r}, expected {CLAIMS}")
        if not claim["section"]:
            faults.append(f"{name}: edition {edition} has no section")
        claims[edition] = Claim(claim["status"], claim["section"])
    return claims


def _parameter(
    row: Mapping[str, str], number: int, sources: Mapping[str, Source], faults: list[str]
) -> Parameter:
    where = f"parameters.csv, row {number}, {row['name']}"
    source = tuple(row["source"].split())
    if row["status"] not in STATUSES:
        faults.append(f"{where}: status {row['status']!r}, expected {STATUSES}")
    if not row["meaning"]:
        faults.append(f"{where}: meaning is empty")
    if row["status"] in ("confirmed", "partly confirmed") and not source:
        faults.append(f"{where}: {row['status']} without a source")
    faults += [f"{where}: source {name!r} is not in sources.csv" for name in source if name not in sources]
    is_text = row["unit"] == "size"
    values = {e: row[str(e)] if is_text else float(row[str(e)]) for e in EDITIONS}
    least, most = float(row["least"] or 0), float(row["most"] or math.inf)
    if not is_text and not all(least <= value <= most for value in values.values()):
        faults.append(f"{where}: {sorted(set(values.values()))} are not all from {least} to {most}")
    return Parameter(
        name=row["name"],
        meaning=row["meaning"],
        unit=row["unit"],
        values=values,
        editions=_claims(
            where,
            {e: {"status": row[f"claim_{e}"], "section": row[f"section_{e}"]} for e in EDITIONS},
            faults,
        ),
        status=row["status"],
        source=source,
        note=row["note"],
        least=least,
        most=most,
    )


def _rule(row: Mapping[str, str], where: str, faults: list[str]) -> Rule:
    for name in ("name", "sheet", "band", "title", "sentence", *(f"section_{e}" for e in EDITIONS)):
        if not row[name]:
            faults.append(f"{where}, {row['name']}: {name} is empty")
    if row["kind"] not in KINDS:
        faults.append(f"{where}, {row['name']}: kind {row['kind']!r}, expected {KINDS}")
    return Rule(
        name=row["name"],
        sheet=row["sheet"],
        band=row["band"],
        title=row["title"],
        unit=row["unit"],
        kind=row["kind"],
        sentence=row["sentence"],
        sections={edition: row[f"section_{edition}"] for edition in EDITIONS},
    )
