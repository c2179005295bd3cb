"""Half-up rounding at six decimals, the same as a spreadsheet's ROUND.

Every calculated number is rounded once before it meets a limit, a table or a
round-up, so that binary noise never decides a size.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Context, Decimal

import numpy as np

PLACES = 6
_SCALE = 10.0**PLACES
_STEP = Decimal(1).scaleb(-PLACES)
_EXACT_BELOW = 1e8
_WHOLE_FROM = 1e10
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
    given = np.asarray(value, dtype=np.float64)
    size = np.abs(given)
    below = np.floor(size * _SCALE)
    tie = (2.0 * below + 1.0) / (2.0 * _SCALE)
    rounded = np.copysign((below + (size >= tie)) / _SCALE, given) + 0.0
    large = size >= _EXACT_BELOW
    if np.any(large):
        rounded = np.atleast_1d(rounded)
        flat = np.atleast_1d(given)
        for place in np.flatnonzero(large):
            rounded.flat[place] = _by_text(float(flat.flat[place]))
        rounded = rounded.reshape(given.shape)
    return rounded


def without_noise(value: np.ndarray | float) -> np.ndarray:
    """A sum of products of two numbers as it is in decimals, twelve of them, before six decide.

    Section: own rule; a sum over many lines that ends in half a millionth must not fall to
    one side by the order of its terms, since a rate or a price multiplies it afterwards.
    Inputs: value [any unit]. Result: [the same unit].
    Limits: changes nothing from about 9000 on, where a float holds no twelve decimals.

    >>> sum([0.1] * 3) * 10 - 3 == 0, float(without_noise(sum([0.1] * 3) * 10 - 3))
    (False, 0.0)
    """
    return np.round(value, 12)


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


def _by_text(value: float) -> float:
    if not np.isfinite(value) or abs(value) >= _WHOLE_FROM:
        return value
    return float(Decimal(repr(value)).quantize(_STEP, ROUND_HALF_UP, _CONTEXT))
