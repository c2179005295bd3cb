"""Half-up rounding at six and at twelve decimals agrees with decimal rounding of a number's shortest text."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Context, Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook_builder.reference.rounding import round6, round12, whole_below


def by_decimal(value: float, places: int = 6) -> float:
    """The rule, one number at a time."""
    step = Decimal(1).scaleb(-places)
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


FINE_EDGES = [
    0.0,
    5e-13,
    4.9999999999999e-13,
    0.1 + 0.2,
    1 / 3,
    2 / 3,
    0.0000124999995,
    1.0000000000005,
    2.0000000000025,
    99.9999999999995,
    100.0000000000005,
    512.1234567890125,
    999.9999999999995,
    2048.000000000001,
    4503.599627370495,
    8191.999999999999,
    9999.999999999998,
    10000.000000000002,
]


@pytest.mark.parametrize("value", FINE_EDGES)
def test_fine_edges_and_their_neighbours_round_as_their_text(value: float) -> None:
    for one in (value, np.nextafter(value, np.inf), np.nextafter(value, -np.inf)):
        assert by_decimal(float(one), 12) == float(round12(one))
        assert by_decimal(-float(one), 12) == float(round12(-one))


@given(st.floats(min_value=-2e4, max_value=2e4, allow_nan=False))
def test_any_float_rounds_as_its_text_at_twelve(value: float) -> None:
    assert by_decimal(value, 12) == float(round12(value))


@given(st.integers(min_value=-(10**14), max_value=10**14))
def test_any_tie_rounds_away_from_zero_at_twelve(steps: int) -> None:
    """Every number under a hundred that ends in half of the last place."""
    away = 1 if steps >= 0 else -1
    tie = Decimal(2 * steps + away).scaleb(-12) / 2

    assert float(round12(float(tie))) == float(Decimal(steps + away).scaleb(-12))


@given(st.integers(min_value=-(10**16), max_value=10**16))
def test_a_number_of_twelve_decimals_or_near_one_stays_it(steps: int) -> None:
    """Noise of a sum, an eighth of the last place, goes; a float of thousands has none so small."""
    exact = float(Decimal(steps).scaleb(-12))
    noisy = exact + 1.25e-13

    assert float(round12(exact)) == exact
    assert float(round12(noisy)) == by_decimal(noisy, 12)


@pytest.mark.parametrize("value", [1e4, 12345.678901234567, 1e9 / 7, 1e300, np.inf])
def test_what_is_too_large_for_twelve_decimals_stays_as_it_is(value: float) -> None:
    assert float(round12(value)) == value
    assert float(round12(-value)) == -value


def test_blank_stays_blank_at_twelve_and_every_number_counts_for_itself() -> None:
    given = np.array([[np.nan, 1e300], [512.1234567890125, 2 / 3], [0.0, -1e-13]])
    rounded = round12(given)

    assert rounded.shape == (3, 2)
    assert np.isnan(rounded[0, 0])
    assert rounded.ravel()[1:].tolist() == [1e300, 512.123456789013, 0.666666666667, 0.0, 0.0]
