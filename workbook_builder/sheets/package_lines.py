"""Which quantities a package is made of, and pieces of formula about their sums."""

from __future__ import annotations

from ..code_tables.load import load
from .model import Column

PERMIT = "permits"
"""The one quantity of every way that is no material and stands by itself."""

PACKAGES = ("existing", "added", "control", "service")
"""The packages that a way may have beside the one of every way; in_NAME is 1 where it has."""


def fixed_lines(package: str) -> tuple[str, ...]:
    """Material of a package that always takes the same line of the price book."""
    return tuple(
        line.name
        for line in load().takeoff_lines
        if line.package == package and not line.by_size and line.name != PERMIT
    )


def sized_lines(package: str) -> tuple[str, ...]:
    """Material of a package whose line of the price book depends on a size of the job."""
    return tuple(line.name for line in load().takeoff_lines if line.package == package and line.by_size)


def tasks(package: str, difficulty: str) -> tuple[str, ...]:
    """Work of a package that one factor of difficulty multiplies."""
    return tuple(
        line.name for line in load().work_lines if line.package == package and line.difficulty == difficulty
    )


def difficulties(package: str) -> tuple[str, ...]:
    """The difficulties that the work of a package has, in the order of the file."""
    found = (line.difficulty for line in load().work_lines if line.package == package)
    return tuple(dict.fromkeys(found))


def span(names: tuple[str, ...], ending: str = "") -> str:
    """`first:last` of columns that stand beside one another, `name` of a single one."""
    ends = [f"{name}{ending}" for name in (names[0], names[-1])]
    return ends[0] if len(names) == 1 else ":".join(ends)


def times(names: tuple[str, ...], statistic: str) -> str:
    """Sum of quantity times likely or mean of its line, of quantity squared times variance.

    One-row ranges of two sheets multiply alike in every engine; a range of one
    cell is written as a product.
    """
    at, line = f"[{span(names)}]", f"{{line.{statistic}:{span(names)}}}"
    if len(names) == 1:
        return f"{at}^2*{line}" if statistic == "variance" else f"{at}*{line}"
    return f"SUMPRODUCT({at}, {at}, {line})" if statistic == "variance" else f"SUMPRODUCT({at}, {line})"


def cents(formula: str) -> str:
    """An amount rounded half up to cents."""
    return f"ROUND(ROUND({formula}, 6), 2)"


def likely_of(book: str, place: str) -> str:
    """The likely number of a row of a book, 0 where the row is not in order."""
    return f'IF(INDEX({{{book}.state}}, {place})="OK", INDEX({{{book}.likely}}, {place}), 0)'


def way_sum(name: str, common: str, ending: str, packages: tuple[str, ...] = PACKAGES) -> Column:
    """A column of the way chosen: every way's amount and that of each package it has."""
    parts = "".join(f"+[in_{package}]*[{package}_{ending}]" for package in packages)
    return Column(name, unless_blank("option_chosen", f"[{common}]{parts}"))


def no_price(column: Column) -> Column:
    """The column, blank while a line of the books or a setting is out of order."""
    return Column(column.name, f'IF([books_bad]>0, "", {column.formula})')


def unless_blank(name: str, formula: str) -> str:
    """Blank where the column is blank."""
    return f'IF([{name}]="", "", {formula})'
