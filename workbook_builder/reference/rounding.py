"""Half-up rounding at six decimals, the same as a spreadsheet's ROUND, and at twelve.

Every calculated number is rounded once before it meets a limit, a table or a
round-up, so that binary noise never decides a size. Hours and variances keep
twelve decimals.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Context, Decimal

import numpy as np

PLACES = 6
FINE_PLACES = 12
NUMERIC = ("number", "fine", "count")
"""Kinds of rules whose columns hold numbers."""

_DIGITS = 15
"""A decimal of so many digits is the shortest text of the float nearest to it, whatever the digits."""

_EXACT_WHOLE = 2.0**52
_CONTEXT = Context(prec=60)


def round6(value: np.ndarray | float) -> np.ndarray:
    """Rounds half away from zero at six decimals.

    Section: own rule; conductor and overcurrent sizes meet table limits exactly.
    Inputs: value [any unit]. Result: [the same unit].
    Limits: agrees with decimal rounding of the shortest text of the number.
    Under 1e8 a number with seven decimals has at most fifteen digits, so a tie
    is the one float nearest to it and a comparison decides; from there on the
    text itself is rounded. From 1e10 a float holds no seventh decimal.

    Example: a half of the last place goes up, where binary rounding goes down.
    >>> float(round6(1.0000005)), float(round6(-2.5000005))
    (1.000001, -2.500001)
    """
    return _half_up(value, PLACES)


def round12(value: np.ndarray | float) -> np.ndarray:
    """Rounds half away from zero at twelve decimals.

    Section: own rule; hours and variances are multiplied by rates and prices afterwards, so what six
    decimals drop of them would be seen in cents. A sum over many lines loses here what the order of
    its terms leaves behind in binary numbers.
    Inputs: value [any unit]. Result: [the same unit].
    Limits: as round6, with a comparison under 100. From 10000 on a float holds no twelve decimals
    and stays as it is.

    >>> float(round12(2 / 3)), float(round12(0.0000000000005)), float(round12(12345.678))
    (0.666666666667, 1e-12, 12345.678)
    >>> sum([0.1] * 3) * 10 - 3 == 0, float(round12(sum([0.1] * 3) * 10 - 3))
    (False, 0.0)
    """
    return _half_up(value, FINE_PLACES)


def rounded(kind: str, value: object) -> object:
    """A result of a rule of this kind as it is kept: a number at six decimals, a fine one at twelve.

    >>> float(rounded("number", 2 / 3)), float(rounded("fine", 2 / 3)), rounded("count", 2)
    (0.666667, 0.666666666667, 2)
    """
    rounding = {"number": round6, "fine": round12}.get(kind)
    return value if rounding is None else rounding(value)


def _half_up(value: np.ndarray | float, places: int) -> np.ndarray:
    """Half away from zero at so many decimals; a number too large to hold them stays as it is."""
    scale = 10.0**places
    given = np.asarray(value, dtype=np.float64)
    size = np.abs(given)
    with np.errstate(over="ignore"):
        below = np.floor(size * scale)
    tie = (2.0 * below + 1.0) / (2.0 * scale)
    found = np.copysign((below + (size >= tie)) / scale, given) + 0.0
    large = size >= 10.0 ** (_DIGITS - 1 - places)
    if np.any(large):
        holds = size < 10.0 ** (_DIGITS + 1 - places)
        found = np.atleast_1d(np.where(large & ~holds, given, found))
        flat = np.atleast_1d(given)
        for place in np.flatnonzero(large & holds & ~_is_clear(size, tie, scale)):
            found.flat[place] = _by_text(float(flat.flat[place]), places)
        found = found.reshape(given.shape)
    return found


def _is_clear(size: np.ndarray, tie: np.ndarray, scale: float) -> np.ndarray:
    """Where a size is so far from the tie beside it that its text says what the comparison says."""
    with np.errstate(invalid="ignore"):
        return (size < _EXACT_WHOLE / scale) & (np.abs(size - tie) > 4.0 * np.spacing(size))


def cents(value: np.ndarray | float) -> np.ndarray:
    """Rounds half away from zero at two decimals what is rounded at six decimals first.

    Section: own rule.
    Inputs: value [USD]. Result: [USD].
    Limits: as round6.

    Example: 1.005 is a half in decimals, and a little less as a binary number.
    >>> float(cents(1.005)), float(cents(2.6749999)), float(cents(-1.005))
    (1.01, 2.68, -1.01)
    """
    given = round6(value)
    size = np.abs(given)
    below = np.floor(size * 100.0)
    tie = (2.0 * below + 1.0) / 200.0
    return np.copysign((below + (size >= tie)) / 100.0, given) + 0.0


def whole_above(value: np.ndarray | float) -> np.ndarray:
    """The whole number at or over a value that is rounded at six decimals first.

    Section: own rule.
    Inputs: value [any unit]. Result: [the same unit].
    Limits: 3.0000001 counts as 3, since it is 3 at six decimals.

    >>> float(whole_above(3.0000001)), float(whole_above(3.01))
    (3.0, 4.0)
    """
    return np.ceil(round6(value))


def whole_below(value: np.ndarray | float) -> np.ndarray:
    """The whole number at or under a value that is rounded at six decimals first.

    Section: own rule.
    Inputs: value [any unit]. Result: [the same unit].
    Limits: 2.9999999 counts as 3, since it is 3 at six decimals.

    >>> float(whole_below(2.9999999)), float(whole_below(2.99))
    (3.0, 2.0)
    """
    return np.floor(round6(value))


def _by_text(value: float, places: int) -> float:
    """The same of the shortest text of one number."""
    return float(Decimal(repr(value)).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP, _CONTEXT))
