"""The books of prices, labour units, factors and wages as columns, with mean and variance.

A line has three points: low, likely, high. Its distribution is the beta
distribution between low and high whose mode is likely and whose two shapes
add up to six.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from workbook_builder.code_tables.books import (
    BOOKS,
    FACTORS,
    LABOUR_UNITS,
    LIMITS,
    MARKET,
    PRICE_BOOK,
    SETTINGS,
    BookLine,
    Books,
    Setting,
)
from workbook_builder.code_tables.load import load
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.rounding import round6, round12

INPUTS = {PRICE_BOOK: "price_book", LABOUR_UNITS: "labour_units", FACTORS: "factors", MARKET: "markets"}
"""Names by which rules get the books."""

STATISTICS = ("likely", "mean", "variance")
"""What a rule may ask of the price or labour unit of a line, as `line.mean`."""

OK, STOP, SPARE = "OK", "STOP", ""
"""States of a row; the workbook says behind STOP what is wrong."""


TEXT_UNIT = "text"


def line_mean(low: np.ndarray, likely: np.ndarray, high: np.ndarray) -> np.ndarray:
    """Mean of a line of three points.

    Section: own rule.
    Inputs: low, likely, high [any unit]. Result: [the same unit].

    Example: (low + 4 likely + high) / 6, https://search.r-project.org/CRAN/refmans/mc2d/html/pert.html
    >>> float(line_mean(np.array(2.0), np.array(3.0), np.array(10.0)))
    4.0
    """
    return round6((low + 4.0 * likely + high) / 6.0)


def line_variance(low: np.ndarray, mean: np.ndarray, high: np.ndarray) -> np.ndarray:
    """Variance of a line of three points.

    Section: own rule.
    Inputs: low, mean, high [any unit]. Result: [the unit squared].
    Limits: from the mean rounded at six decimals, and rounded at twelve decimals itself.

    >>> float(line_variance(np.array(2.0), np.array(4.0), np.array(11.0)))
    2.0
    """
    return round12((mean - low) * (high - mean) / 7.0)


def sum_of_lines(quantities: Iterable[np.ndarray], units: Iterable[float]) -> np.ndarray:
    """Cost or hours of some lines: each quantity times its price or hours, added.

    >>> sum_of_lines((np.array([1.0, 2.0]), np.array([3.0, 0.0])), (10.0, 5.0)).tolist()
    [25.0, 20.0]
    """
    return round12(sum(quantity * unit for quantity, unit in zip(quantities, units, strict=True)))


def variance_of_lines(quantities: Iterable[np.ndarray], variances: Iterable[float]) -> np.ndarray:
    """Variance of the same sum, where no two lines depend on each other.

    >>> variance_of_lines((np.array([1.0, 2.0]), np.array([3.0, 0.0])), (10.0, 5.0)).tolist()
    [55.0, 40.0]
    """
    pairs = zip(quantities, variances, strict=True)
    return round12(sum(np.square(quantity) * variance for quantity, variance in pairs))


def line_state(key: str, points: Sequence[float]) -> str:
    """OK where a line has a name and three numbers that are not negative and rise; blank on a spare row.

    Section: own rule.
    Inputs: key [text], low, likely, high [any unit], NaN for a number that is missing.
    Result: [text], one of the states.

    >>> [line_state("a", (1, 1, 2)), line_state("", (np.nan,) * 3), line_state("a", (2, 1, 3))]
    ['OK', '', 'STOP']
    """
    low, likely, high = points
    if not key:
        return SPARE if np.isnan(points).all() else STOP
    return OK if 0 <= low <= likely <= high < np.inf else STOP


@dataclass(frozen=True, eq=False)
class Book:
    """One book as columns. Place 1 is its first line; place 0 stands for no line and holds 0.

    likely, mean and variance are 0 where the state is not OK.
    """

    keys: tuple[str, ...]
    states: tuple[str, ...]
    likely: np.ndarray
    mean: np.ndarray
    variance: np.ndarray
    places: Mapping[str, int]

    @classmethod
    def of(cls, lines: Iterable[BookLine]) -> Book:
        """The lines in their order. Of lines with one key, letters' case aside, the first counts.

        >>> line = BookLine("Bolt", "A bolt", "each", 1.0, 2.0, 9.0, False, "", "made up")
        >>> book = Book.of([line])
        >>> book.mean.tolist(), book.place_of(Choice(("bolt", "nut"), np.array([0, 1, -1]))).tolist()
        ([0.0, 3.0], [1, 0, 0])
        """
        lines = tuple(lines)
        keys = tuple(line.key for line in lines)
        points = np.array([(line.low, line.likely, line.high) for line in lines], dtype=np.float64)
        low, likely, high = points.reshape(-1, 3).T
        states = tuple(line_state(key, three) for key, three in zip(keys, points, strict=True))
        right = np.array([state == OK for state in states], dtype=bool)
        mean = np.where(right, line_mean(low, likely, high), 0.0)
        variance = np.where(right, line_variance(low, mean, high), 0.0)
        places: dict[str, int] = {}
        for place, key in enumerate(keys, start=1):
            if key:
                places.setdefault(key.lower(), place)
        columns = (np.append(0.0, column) for column in (np.where(right, likely, 0.0), mean, variance))
        return cls(keys, states, *columns, places)

    def place(self, key: str) -> int:
        """Place of the first line with this key; 0 where there is none."""
        return self.places.get(key.lower(), 0)

    def place_of(self, key: Choice) -> np.ndarray:
        """Place of the line of each row; 0 for a blank and where there is no such line."""
        row = [self.place(word) for word in key.words]
        return np.array([*row, 0, 0], dtype=np.int64)[key.codes]

    def bad(self) -> int:
        """Number of lines that are used and whose state is not OK."""
        return self.states.count(STOP)


def setting_state(setting: Setting) -> str:
    """OK where the number of a setting is there and within its limits, and for every text.

    Section: own rule.
    Inputs: setting. Result: [text], one of the states.
    """
    if setting.unit == TEXT_UNIT:
        return OK
    low, high = LIMITS.get(setting.name, (0, np.inf))
    return OK if low <= _number(setting) <= high and _number(setting) < np.inf else STOP


def _number(setting: Setting) -> float:
    """The number of a setting; NaN where there is none, such as for a text or a truth."""
    is_number = isinstance(setting.value, int | float) and not isinstance(setting.value, bool)
    return float(setting.value) if is_number else np.nan


def setting_values(books: Books) -> dict[str, float]:
    """The settings that are numbers, by name: one that is out of order is the least that it may be.

    So nothing is divided by nothing; a price there is none while a setting is out of order.
    """
    numbers = (one for one in books.settings.values() if one.unit != TEXT_UNIT)
    return {
        one.name: _number(one) if setting_state(one) == OK else float(LIMITS.get(one.name, (0.0,))[0])
        for one in numbers
    }


def with_settings(books: Books, values: Mapping[str, float | str]) -> Books:
    """The books with these numbers in place of those of the settings; other names count for nothing."""
    settings = {
        name: replace(one, value=float(values[name])) if name in values else one
        for name, one in books.settings.items()
    }
    return Books(books.lines, settings)


def _lines() -> dict[str, dict[str, str]]:
    """The key in its book of every line with a fixed price, and of every line of work."""
    return {
        PRICE_BOOK: {line.name: line.item for line in load().takeoff_lines if not line.by_size},
        LABOUR_UNITS: {task.name: task.unit_id for task in load().work_lines},
    }


def book_values(books: Books) -> dict[str, object]:
    """What rules get from the books, by name: the books, and `line.likely` and so on for every line.

    Also how many settings are out of order, and how many lines with a fixed key have none in their book.
    """
    found = {name: Book.of(books.lines[name]) for name in BOOKS}
    values: dict[str, object] = {INPUTS[name]: book for name, book in found.items()}
    values["settings_bad"] = [setting_state(one) for one in books.settings.values()].count(STOP)
    without_key = 0
    for name, lines in _lines().items():
        for line, key in lines.items():
            place = found[name].place(key)
            without_key += place == 0
            for statistic in STATISTICS:
                values[f"{line}.{statistic}"] = float(getattr(found[name], statistic)[place])
    return values | {"lines_without_key": without_key}


def book_statistics(books: Books) -> dict[str, pd.DataFrame]:
    """What is calculated for the books themselves.

    A frame for each book of three-point lines, by its name, with key, state,
    mean and variance of every row; `settings` with key and state; and
    `takeoff_lines` and `work_lines`, one row a line with a fixed price and a
    line of work, by the name of the line, with key, place (0 for none), likely, mean
    and variance.
    """
    found = {name: Book.of(books.lines[name]) for name in BOOKS}
    frames = {
        name: pd.DataFrame(
            {"key": book.keys, "state": book.states, "mean": book.mean[1:], "variance": book.variance[1:]}
        )
        for name, book in found.items()
    }
    states = {name: setting_state(one) for name, one in books.settings.items()}
    frames[SETTINGS] = pd.DataFrame({"key": list(states), "state": list(states.values())})
    for name, (book, lines) in zip(("takeoff_lines", "work_lines"), _lines().items(), strict=True):
        places = [found[book].place(key) for key in lines.values()]
        columns = {statistic: getattr(found[book], statistic)[places] for statistic in STATISTICS}
        frames[name] = pd.DataFrame({"key": list(lines.values()), "place": places} | columns, index=list(lines))
    return frames
