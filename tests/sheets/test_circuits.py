"""What the circuit sheet says of a short list, worked out by hand and recalculated by an engine."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pandas as pd
import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.harness.engines import CellError, available, recalculate
from workbook_builder.sheets.compile import compile_book
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.model import CIRCUIT_GRID, FIRST_ROW
from workbook_builder.sheets.order import SHEETS
from workbook_builder.writer.workbook import write_workbook

SAMPLES = Path(__file__).parents[2] / "samples" / "jobs.csv"
FEW = {"panel": "main", "poles": 1, "breaker_a": 20, "action": "keep"}
MAIN, ADDED = "Q-101", "Q-103"

CIRCUITS = (
    *({"job_no": MAIN, "label": f"in {space}", "position": space, "load_va": 100} for space in range(1, 7)),
    {"job_no": MAIN.lower(), "label": "on 5 too", "position": 5},
    {"job_no": MAIN, "label": "7 and 9", "position": 7, "poles": 2},
    {"job_no": MAIN, "label": "on 9 too", "position": 9},
    {"job_no": MAIN, "label": "gone from 1", "position": 1, "action": "remove", "poles": 2},
    {"job_no": MAIN, "label": "beyond", "position": 80},
    {"job_no": MAIN, "label": "second pole beyond", "position": 83, "poles": 2},
    {"job_no": MAIN, "label": "moved nowhere", "action": "move"},
    {"job_no": "none", "label": "no job"},
    {"job_no": MAIN, "label": ""},
    {"job_no": MAIN, "label": "pattern", "position": 21, "multiwire_group": "*"},
    {"job_no": MAIN, "label": "letter k", "position": 22, "multiwire_group": "k"},
    {"job_no": MAIN, "label": "letter K", "position": 25, "multiwire_group": "K"},
    *(
        {"job_no": ADDED, "label": label, "panel": "added", "action": "move", "load_va": va, "poles": poles,
         "multiwire_group": group}
        for label, va, poles, group in (
            ("small", 300, 1, ""), ("first of b", 500, 1, "b"), ("large", 1200, 1, ""),
            ("first of a", 900, 1, "a"), ("second of b", 400, 1, "b"), ("second of a", 800, 1, "a"),
            ("two 1", 4000, 2, ""), ("two 2", 4000, 2, ""), ("two 3", 4000, 2, ""), ("middle", 700, 1, ""),
        )
    ),
)  # fmt: skip


def _jobs() -> pd.DataFrame:
    """The sample jobs as they stand in their file, without their dates."""
    fields = {field.name: field for field in load().job_fields if field.kind != "date"}
    frame = pd.read_csv(SAMPLES, dtype=str, keep_default_na=False).reindex(
        columns=list(fields), fill_value=""
    )
    for name, field in fields.items():
        if field.kind == "number" or field.numeric:
            frame[name] = pd.to_numeric(frame[name]).astype(object)
    return frame.astype(object).mask(frame.isna() | frame.eq(""), None)


@cache
def _found() -> pd.DataFrame:
    """The circuit sheet recalculated, by label."""
    if available("ironcalc") is None:
        pytest.skip("ironcalc is not installed")
    names = [field.name for field in load().circuit_fields]
    entries = pd.DataFrame([FEW | circuit for circuit in CIRCUITS], columns=names, dtype=object)
    entries = entries.mask(entries.isna() | entries.eq(""), None)
    jobs = _jobs()
    layout = Layout(load(), rows=len(jobs) + 1, circuit_rows=len(entries) + 1)
    sheets = compile_book(SHEETS, layout)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "book.xlsx"
        write_workbook(
            path,
            layout=layout,
            sheets=sheets,
            jobs=jobs,
            results=None,
            circuits=entries,
            built_on="2026-01-02",
        )
        grids = recalculate(path, engine="ironcalc")
    sheet = next(sheet for sheet in sheets if sheet.grid == CIRCUIT_GRID)
    rows = grids[sheet.name][FIRST_ROW - 1 :][: len(entries)]
    frame = pd.DataFrame([row[1:] for row in rows], dtype=object).iloc[:, : len(sheet.columns)]
    frame.columns = [column.name for column in sheet.columns]
    return frame.set_index("label")


def test_no_cell_is_an_error() -> None:
    found = _found()

    assert not [value for name in found for value in found[name] if isinstance(value, CellError)]


def test_legs_follow_the_rows_of_the_panel() -> None:
    assert [_found().at[f"in {space}", "circuit_leg"] for space in range(1, 7)] == list("AABBAA")


@pytest.mark.parametrize(
    ("label", "others", "state"),
    [
        ("in 1", 0, "OK"),
        ("in 5", 1, "STOP: two circuits stand in one space"),
        ("on 5 too", 1, "STOP: two circuits stand in one space"),
        ("7 and 9", 1, "STOP: two circuits stand in one space"),
        ("on 9 too", 1, "STOP: two circuits stand in one space"),
        ("gone from 1", 0, "OK"),
        ("beyond", 0, "STOP: the position is beyond the panel"),
    ],
)
def test_a_space_holds_one_circuit_that_stays(label: str, others: int, state: str) -> None:
    assert (_found().at[label, "same_space"], _found().at[label, "position_state"]) == (others, state)


@pytest.mark.parametrize(
    ("label", "state"),
    [
        ("in 1", "ready"),
        ("second pole beyond",
         "error: position must leave room for the second pole: at most two under the highest space number for 2 poles"),
        ("moved nowhere", "error: panel must be added where action is move"),
        ("no job", "error: job_no must be the number of a job that is ready"),
        ("missing", "missing: label"),
    ],
)  # fmt: skip
def test_a_row_says_what_it_lacks(label: str, state: str) -> None:
    assert _found().at[label, "circuit_state"] == state


@pytest.mark.parametrize(
    ("label", "members", "other_leg", "state"),
    [
        ("pattern", 1, 0, "CHECK: the other circuit is not listed"),
        ("letter k", 2, 0, "STOP: circuits that share a neutral stand on one leg"),
        ("letter K", 2, 0, "STOP: circuits that share a neutral stand on one leg"),
    ],
)
def test_marks_of_shared_neutrals_are_no_patterns(
    label: str, members: int, other_leg: int, state: str
) -> None:
    row = _found().loc[label]

    assert (row["group_members"], row["group_other_leg"], row["multiwire_state"]) == (
        members,
        other_leg,
        state,
    )


def test_suggested_positions_pair_the_neutrals_and_balance_the_rest() -> None:
    """Two-pole circuits fill rows 1 to 4; then b, b, a, a; then 1200, 700, 300 by falling load."""
    placed = ("two 1", "two 2", "two 3", "first of b", "second of b", "first of a", "second of a",
              "large", "middle", "small")  # fmt: skip
    found = {label: _found().at[label, "suggested_position"] for label in placed}

    assert list(found.values()) == [1, 2, 5, 9, 11, 12, 10, 13, 15, 16]


def test_only_circuits_that_stay_in_the_added_panel_are_placed() -> None:
    assert _found().at["in 1", "suggested_position"] == ""
    assert _found().at["in 1", "to_place"] == "no"
