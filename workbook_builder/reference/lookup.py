"""Looks values up in the code tables, a whole column of jobs at a time.

Sizes are positions: 1 for the first row of the table, 0 for blank.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from workbook_builder.code_tables.load import load
from workbook_builder.reference.choice import Choice

METALS = ("copper", "aluminum")
TEMPERATURES = (60.0, 75.0, 90.0)
_STRIDE = float(2**20)


@lru_cache(maxsize=256)
def words(table: str, column: str) -> tuple[str, ...]:
    """The words of a table column, top to bottom."""
    return tuple(str(value) for value in load().tables[table].column(column))


@lru_cache(maxsize=256)
def numbers(table: str, column: str) -> np.ndarray:
    """The numbers of a table column, top to bottom; NaN where none is printed."""
    values = load().tables[table].column(column)
    return np.array([np.nan if value is None else float(value) for value in values])


def sizes() -> tuple[str, ...]:
    """Conductor sizes, smallest first."""
    return words("ampacity", "size")


def trade_sizes() -> tuple[str, ...]:
    """Trade sizes of raceways, smallest first."""
    return words("raceway_diameter", "trade_size")


def raceways() -> tuple[str, ...]:
    """Raceways of Chapter 9 Table 4."""
    return load().tables["raceway_diameter"].header[1:]


def ampacity_columns() -> tuple[str, ...]:
    """Columns of Table 310.16: metal and temperature."""
    return load().tables["ampacity"].header[1:]


def burial_columns() -> tuple[str, ...]:
    """Columns of Table 300.5."""
    return load().tables["burial_cover"].header[1:]


def size_position(size: str | float) -> int:
    """Position of a size written as text or number. ValueError names what was found.

    >>> size_position("14"), size_position(12.0), size_position("1/0")
    (1, 2, 10)
    """
    text = f"{size:g}" if isinstance(size, int | float) else str(size).strip()
    if text not in sizes():
        raise ValueError(f"{size!r} is no conductor size; expected one of {', '.join(sizes())}")
    return sizes().index(text) + 1


def trade_size_position(size: str | float) -> int:
    """Position of a trade size written as text or number. ValueError names what was found.

    >>> trade_size_position(1), trade_size_position("1-1/2")
    (3, 5)
    """
    text = f"{size:g}" if isinstance(size, int | float) else str(size).strip()
    if text not in trade_sizes():
        raise ValueError(f"{size!r} is no trade size; expected one of {', '.join(trade_sizes())}")
    return trade_sizes().index(text) + 1


def position_of(chosen: Choice) -> np.ndarray:
    """Positions of sizes chosen by word; 0 for blank."""
    places = {word: size_position(word) for word in chosen.words}
    return chosen.pick(places, missing=0).astype(np.int64)


def at_position(table: str, column: str, position: np.ndarray) -> np.ndarray:
    """The value in a column at a position; NaN for a position of 0 or past the end."""
    column_values = np.concatenate([[np.nan], numbers(table, column), [np.nan]])
    return column_values[np.clip(position, 0, len(column_values) - 1)]


def by_metal(table: str, metal: Choice, position: np.ndarray, column: str = "{}") -> np.ndarray:
    """The value in the column of each job's metal at a position; NaN as in at_position."""
    copper, aluminum = (at_position(table, column.format(name), position) for name in METALS)
    return np.where(metal.is_("aluminum"), aluminum, copper)


def first_row_from(table: str, column: str, least: np.ndarray) -> np.ndarray:
    """Position of the first row whose value is at or above `least`.

    One more than the number of rows where there is none, or `least` is NaN.
    """
    return np.searchsorted(numbers(table, column), least, side="left") + 1


def rows_under(table: str, column: str, value: np.ndarray) -> np.ndarray:
    """Number of rows whose value is under `value`."""
    return np.searchsorted(numbers(table, column), value, side="left")


def last_row_from(table: str, column: str, value: np.ndarray) -> np.ndarray:
    """Position of the last row that starts at or under `value`; at least the first row."""
    return np.maximum(np.searchsorted(numbers(table, column), value, side="right"), 1)


@lru_cache(maxsize=4)
def _ampacity_block() -> np.ndarray:
    """Ampacity by column (copper 60, 75, 90, aluminum 60, 75, 90, none) and position."""
    columns = [numbers("ampacity", f"{m} {t:g}") for m in METALS for t in TEMPERATURES]
    columns.append(np.full(len(sizes()), np.nan))
    return np.array(columns)


@lru_cache(maxsize=4)
def _ampacity_steps() -> np.ndarray:
    """The same, each column as the largest value so far, laid end to end, a stride apart."""
    filled = np.where(np.isnan(_ampacity_block()), -1.0, _ampacity_block())
    rising = np.maximum.accumulate(filled, axis=1)
    rising[-1] = -1.0
    return (rising + _STRIDE * np.arange(len(rising))[:, None]).ravel()


def ampacity_column(metal: Choice, column_c: np.ndarray) -> np.ndarray:
    """Which column of the ampacity block; the empty one for a temperature not printed."""
    place = np.searchsorted(TEMPERATURES, column_c)
    place = np.minimum(place, len(TEMPERATURES) - 1)
    known = np.asarray(TEMPERATURES)[place] == column_c
    start = np.where(metal.is_("aluminum"), len(TEMPERATURES), 0)
    return np.where(known, start + place, len(_ampacity_block()) - 1)


def ampacity(metal: Choice, column_c: np.ndarray, position: np.ndarray) -> np.ndarray:
    """Ampacity of a size [A] in a temperature column [C]; NaN where none is printed.

    Source: Table 310.16.

    >>> float(ampacity(Choice.of(METALS, "copper"), 75, np.array(14))[0])
    255.0
    """
    inside = np.clip(position, 1, len(sizes()))
    found = _ampacity_block()[ampacity_column(metal, column_c), inside - 1]
    return np.where(inside == position, found, np.nan)


def size_from(metal: Choice, column_c: np.ndarray, amperes: np.ndarray) -> np.ndarray:
    """Position of the smallest size with an ampacity at or above `amperes` [A].

    One more than the number of sizes where there is none, or `amperes` is NaN.
    """
    return _search(metal, column_c, amperes, "left")


def size_over(metal: Choice, column_c: np.ndarray, amperes: np.ndarray) -> np.ndarray:
    """Position of the smallest size with an ampacity over `amperes` [A]."""
    return _search(metal, column_c, amperes, "right")


def _search(metal: Choice, column_c: np.ndarray, amperes: np.ndarray, side: str) -> np.ndarray:
    count = len(sizes())
    column = ampacity_column(metal, column_c)
    wanted = np.clip(amperes, 0.0, _STRIDE / 2) + column * _STRIDE
    passed = np.searchsorted(_ampacity_steps(), wanted, side=side) - column * count
    return np.clip(passed, 0, count) + 1


def circular_mils(position: np.ndarray) -> np.ndarray:
    """Circular mils of a size [cmil]; NaN for blank. Source: Chapter 9 Table 8."""
    return at_position("bare_conductor", "circular_mils", position)


def mils_of_size(size: np.ndarray | float) -> np.ndarray:
    """Circular mils [cmil] of a parameter that is a size, given as its position."""
    return circular_mils(np.asarray(size).astype(np.int64))


def size_words(position: np.ndarray) -> Choice:
    """Conductor sizes as words; blank for a position of 0."""
    return Choice(sizes(), np.subtract(position, 1))


def trade_size_words(position: np.ndarray) -> Choice:
    """Trade sizes as words; blank for a position of 0."""
    return Choice(trade_sizes(), np.subtract(position, 1))


def size_of_mils(mils: np.ndarray) -> np.ndarray:
    """Position of the smallest size with at least so many circular mils [cmil]."""
    return first_row_from("bare_conductor", "circular_mils", mils)


@lru_cache(maxsize=64)
def size_column(table: str, column: str) -> np.ndarray:
    """Positions of the sizes printed in a column, with a blank (0) before and after."""
    printed = load().tables[table].column(column)
    return np.array([0, *(0 if size is None else size_position(size) for size in printed), 0])


def grounding_size(metal: Choice, breaker_a: np.ndarray) -> np.ndarray:
    """Position of the equipment grounding size for a breaker [A]; 0 where there is none.

    Source: Table 250.122.
    """
    row = first_row_from("equipment_ground", "rating_a", breaker_a)
    copper, aluminum = (size_column("equipment_ground", name)[row] for name in METALS)
    return np.where(metal.is_("aluminum"), aluminum, copper)


def electrode_size(metal: Choice, mils: np.ndarray) -> np.ndarray:
    """Position of the copper electrode conductor for conductors of that metal and so many circular mils
    [cmil]; of the last row for NaN.

    Source: Table 250.66.
    """
    copper, aluminum = (rows_under("electrode_conductor", f"{name} over", mils) for name in METALS)
    return size_column("electrode_conductor", "copper")[np.where(metal.is_("aluminum"), aluminum, copper)]


def impedance_columns() -> tuple[str, ...]:
    """Columns of Chapter 9 Table 9: metal and conduit."""
    return load().tables["ac_resistance"].header[1:]


@lru_cache(maxsize=16)
def impedance_block(power_factor: float) -> np.ndarray:
    """Effective impedance [ohm/kft] by column of Table 9 and position.

    Source: Chapter 9 Table 9 note 2: R times the power factor plus X times the
    sine of that angle.
    """
    sine = np.sqrt(1.0 - power_factor**2)
    columns = [
        numbers("ac_resistance", name) * power_factor + numbers("ac_reactance", name) * sine
        for name in impedance_columns()
    ]
    return np.array(columns)


def by_column(table: str, column: Choice, position: np.ndarray) -> np.ndarray:
    """The value at a position in the column chosen; NaN for a blank size."""
    block = np.array([numbers(table, name) for name in column.words])
    inside = np.clip(position, 1, block.shape[1])
    return np.where(inside == position, block[column.codes, inside - 1], np.nan)


@lru_cache(maxsize=64)
def _by_word(table: str, column: str) -> dict[str, float | str]:
    found = load().tables[table]
    pairs = zip(found.column(found.key), found.column(column), strict=True)
    return {str(word): value for word, value in pairs if value is not None}


def number_of(table: str, column: str, chosen: Choice) -> np.ndarray:
    """The number in a column for the word chosen; NaN where none is printed."""
    return chosen.pick(_by_word(table, column))


def has_word(table: str, column: str, word: str, chosen: Choice) -> np.ndarray:
    """True where the column says `word` for the word chosen."""
    values = _by_word(table, column)
    return chosen.pick({key: value == word for key, value in values.items()}, missing=0) > 0


def is_cable(wiring: Choice) -> np.ndarray:
    """True for a cable, False for a raceway."""
    return has_word("wiring_method", "kind", "cable", wiring)
