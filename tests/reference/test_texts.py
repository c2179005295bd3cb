"""Sentences with numbers: the first case that holds, each distinct one built once."""

from __future__ import annotations

import numpy as np
import pytest

from workbook_builder.reference.actuals import suggestion
from workbook_builder.reference.choice import Choice, spell
from workbook_builder.reference.options_service import set_point_stop
from workbook_builder.reference.texts import begins_with, first_text, whole_text


def said(text: Choice) -> list[str]:
    return spell(text.words, text.codes).tolist()


def test_the_first_case_that_holds_speaks() -> None:
    yes = np.array([True, True, False])
    text = first_text((~yes[::-1], "last"), (yes, "first {}", np.array([1.0, 2.0, 3.0])))

    assert said(text) == ["last", "first 2", ""]


def test_texts_stand_in_texts_and_a_blank_one_stays_blank() -> None:
    inner = Choice.of(("a", "b"), ["b", "", "a"])
    every = np.ones(3, dtype=bool)

    assert said(first_text((every, "{}", inner))) == ["b", "", "a"]
    assert said(first_text((every, "{} {}.", inner, np.array([1, 2, 3])))) == ["b 1.", " 2.", "a 3."]


def test_numbers_of_any_count_are_told_apart() -> None:
    draw = np.random.default_rng(1)
    columns = [draw.integers(-5, 6, 500).astype(float) for _ in range(3)]
    text = first_text((np.ones(500, dtype=bool), "{}, {}, {}", *columns))

    assert said(text) == [f"{a:.0f}, {b:.0f}, {c:.0f}" for a, b, c in zip(*columns, strict=True)]
    assert len(text.words) == len(set(text.words))


def test_no_rows_and_one_number_for_all_rows() -> None:
    assert said(first_text((np.zeros(0, dtype=bool), "{}", 400.0))) == []
    assert said(first_text((np.array([True, False]), "{} A", 400.0))) == ["400 A", ""]


@pytest.mark.parametrize(("value", "text"), [(0.0, "0"), (-2.0, "-2"), (12345.0, "12345"), (np.nan, "")])
def test_numbers_are_written_whole(value: float, text: str) -> None:
    assert whole_text(value) == text


def test_a_blank_begins_with_nothing() -> None:
    assert begins_with(Choice.of(("Yes.",), ["", "Yes."]), "").tolist() == [False, True]


def test_a_parameter_that_is_no_whole_number_is_said_as_it_is() -> None:
    """The sentences say that N is the parameter: a local rule of 6.5 A is not 7 A."""
    low = set_point_stop(
        new_ev_va=np.array([7200.0]), ev_set_point_a=np.array([6.0]), ev_units=np.array([1.0]), control_minimum=6.5
    )
    few = suggestion(band_jobs=np.array([2.0]), finished_jobs_least=4.5, suggested_factor=np.array([np.nan]))

    assert said(low) == ["No: the set point leaves less than 6.5 A to each vehicle."]
    assert said(few) == ["2 of 4.5 finished jobs: no suggestion yet."]
