"""Half-up rounding at six decimals agrees with decimal rounding of a number's shortest text."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Context, Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook_builder.reference.rounding import round6, whole_below


def by_decimal(value: float) -> float:
    """The rule, one number at a time."""
    step = Decimal("0.000001")
    return float(Decimal(repr(value)).quantize(step, ROUND_HALF_UP, Context(prec=60)))


EDGES = [
    0.0,
    0.0000005,
    0.00000049999999,
    0.1 * 3 * 100,
    1.0000005,
    2.0000005,
    2.5000005,
    2.6750005,
    0.1 + 0.2,
    1 / 3,
    29.999999499999,
    29.9999995,
    125.0000005,
    99999999.9999995,
    100000000.0000005,
    123456789.1234565,
    999999999.9999995,
    1000000000.0,
    9999999999.999999,
    1e15,
]


@pytest.mark.parametrize("value", EDGES)
def test_edges_round_as_their_text(value: float) -> None:
    assert by_decimal(value) == float(round6(value))
    assert by_decimal(-value) == float(round6(-value))


@pytest.mark.parametrize("value", EDGES)
def test_neighbours_of_edges_round_as_their_text(value: float) -> None:
    """One float up or down from a tie is no tie."""
    for near in (np.nextafter(value, np.inf), np.nextafter(value, -np.inf)):
        assert by_decimal(float(near)) == float(round6(near))


@given(st.floats(min_value=-1e9, max_value=1e9, allow_nan=False))
def test_any_float_rounds_as_its_text(value: float) -> None:
    assert by_decimal(value) == float(round6(value))


@given(st.integers(min_value=-(10**15), max_value=10**15))
def test_any_tie_rounds_away_from_zero(millionths: int) -> None:
    """Every number that ends in half a millionth, to a thousand million."""
    away = 1 if millionths >= 0 else -1
    tie = float(Decimal(2 * millionths + away).scaleb(-6) / 2)

    assert by_decimal(tie) == float(round6(tie))


@given(st.lists(st.floats(min_value=-1e9, max_value=1e9), max_size=30))
def test_an_array_rounds_as_each_of_its_numbers(values: list[float]) -> None:
    assert [by_decimal(value) for value in values] == round6(np.array(values, dtype=float)).tolist()


@given(st.floats(min_value=-1e9, max_value=1e9))
def test_rounding_twice_changes_nothing(value: float) -> None:
    once = round6(value)

    assert float(once) == float(round6(once))


def test_blank_stays_blank_and_shape_is_kept() -> None:
    rounded = round6(np.array([[np.nan, 2e8 + 0.5], [1.0000005, -0.0000001]]))

    assert rounded.shape == (2, 2)
    assert np.isnan(rounded[0, 0])
    assert rounded[1].tolist() == [1.000001, 0.0]


def test_noise_under_a_whole_number_is_not_rounded_down() -> None:
    """2.9999999 is 3 at six decimals, 2.999999 is not."""
    assert whole_below(np.array([2.9999999, 2.999999, 3.0])).tolist() == [3.0, 2.0, 3.0]
