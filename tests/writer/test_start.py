"""Start: what it says, and that its one cell names the first thing to settle."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import openpyxl
import pandas as pd
import pytest
from openpyxl.worksheet.worksheet import Worksheet as ReadSheet

from workbook_builder.harness import engines
from workbook_builder.writer.measure import points
from workbook_builder.writer.workbook import write_workbook

from ..books import write_book
from ..sheets.test_checks import JOB
from .conftest import OVERRIDES, REASONS, Written
from .toy_book import BUILT_ON, toy_circuits, toy_jobs, toy_layout, toy_sheets

ENGINES = [
    "ironcalc",
    pytest.param("libreoffice", marks=pytest.mark.libreoffice),
    pytest.param("gnumeric", marks=pytest.mark.gnumeric),
]
Line = tuple[object, object, object, object, object]


def _lines(rows: list[list[object]] | list[tuple[object, ...]]) -> dict[str, Line]:
    """The lines of the master check by label: words, in use, ready, STOP, CHECK."""
    found: dict[str, Line] = {}
    for row in rows:
        if row[1] == "Cautions":
            break
        if row[1]:
            found[str(row[1])] = tuple(row[2:7])  # type: ignore[assignment]
    return found


def _kept(written: Written) -> dict[str, Line]:
    return _lines(list(written.values["Start"].iter_rows(values_only=True)))


def test_master_check_has_its_last_results(written: Written) -> None:
    found = _kept(written)

    assert found["Jobs"] == ("OK: every row in use is ready", 3, 3, 0, 0)
    assert found["Circuits"] == ("OK: every row in use is ready", 2, 2, 0, 0)
    assert found["Local rules"] == ("CHECK: local rules without a reason", 2, 1, 0, 1)
    assert found["Books and settings"] == (
        "STOP: lines of the books or settings are out of order",
        4,
        3,
        1,
        0,
    )
    assert found["Findings of the jobs"][0].startswith("STOP: settle")
    assert found["Master check"] == (
        "STOP: lines of the books or settings are out of order",
        None,
        None,
        10,
        10,
    )


def test_each_line_leads_to_what_it_looks_at(written: Written) -> None:
    page = written.formulas["Start"]
    targets = {
        str(cell.value): cell.hyperlink.location.partition("!")[0].strip("'")
        for row in page.iter_rows(max_row=12, min_col=2, max_col=2) for cell in row if cell.hyperlink
    }  # fmt: skip

    assert targets == {
        "Jobs": "Jobs", "Circuits": "Circuits", "Local rules": "Local rules",
        "Books and settings": "Price book", "Findings of the jobs": "Checks",
    }  # fmt: skip


def test_the_list_of_sheets_counts_what_they_say(written: Written) -> None:
    page = written.values["Start"]
    rows = {row[1]: row for row in page.iter_rows(min_row=15, values_only=True)}
    spaces = next(sheet for sheet in written.sheets if sheet.name == "Spaces")
    states = [column for column in spaces.columns if column.rule.kind == "state"]

    assert rows["Spaces"][5:7] == (0, 3 * len(states))
    assert rows["Circuit check"][5:7] == (0, 0)
    assert rows["Portfolio"][5:7] == (None, None)


@pytest.mark.parametrize(
    "words",
    ["stay live with the main", "checked on a live source before", "meter and service work",
     "local amendments and the inspector decide", "not a design approval"],
)  # fmt: skip
def test_cautions_are_on_start_and_stand_out(written: Written, words: str) -> None:
    cells = [cell for row in written.formulas["Start"].iter_rows(max_row=25) for cell in row
             if words in str(cell.value).lower()]  # fmt: skip

    assert cells
    assert cells[0].font.color.rgb == "FF8B0000"
    assert cells[0].fill.fgColor.rgb == "FFFDE3E1"


@pytest.mark.parametrize(
    "words",
    ["Three steps", "What it is", "Who may rely on it", "How to report it", "Verified by", "Colours and roles",
     "Sheets", "Editions of the electrical code"],
)  # fmt: skip
def test_start_has_its_parts(written: Written, words: str) -> None:
    labels = [row[1] for row in written.formulas["Start"].iter_rows(values_only=True)]

    assert labels.count(words) == 1


def test_three_steps_and_what_to_report(written: Written) -> None:
    rows = list(written.formulas["Start"].iter_rows(values_only=True))
    labels = [str(row[1]) for row in rows]
    first = labels.index("How to report it")
    report = " ".join(str(row[2]) for row in rows[first : first + 4])

    assert [label[0] for label in labels if label[:1].isdigit() and label[1:3] == "  "] == ["1", "2", "3"]
    for asked in ("sheet", "cell", "job number", "expected", "section", "edition", "Built by"):
        assert asked in report


def test_nothing_is_called_verified_that_was_not(tmp_path: Path, written: Written) -> None:
    given = "2026-03-02, all engines, no difference"
    path = tmp_path / "book.xlsx"
    write_workbook(
        path, layout=written.layout, sheets=written.sheets, jobs=written.jobs, results=None,
        built_on=BUILT_ON, verified=given,
    )  # fmt: skip
    texts = {row[1]: row[2] for row in openpyxl.load_workbook(path)["Start"].iter_rows(values_only=True)}
    kept = {row[1]: row[2] for row in written.formulas["Start"].iter_rows(values_only=True)}

    assert texts["Verified by"] == given
    assert str(kept["Verified by"]).startswith("Not verified yet.")


def test_no_text_of_start_is_cut(written: Written) -> None:
    """Nothing wraps; a text runs over the blank cells at its right and no further."""
    page = written.formulas["Start"]
    for row in page.iter_rows(min_row=2):
        for cell in row:
            if not isinstance(cell.value, str) or cell.data_type == "f":
                continue
            room = 0.0
            for at in range(cell.column, 8):
                if at > cell.column and page.cell(cell.row, at).value is not None:
                    break
                room += _width(page, at) * 5.25
            bold = bool(cell.font.bold)

            assert points(cell.value, size=cell.font.size, bold=bold) <= room, cell.coordinate


def _width(page: ReadSheet, at: int) -> float:
    runs = (run for run in page.column_dimensions.values() if run.min <= at <= run.max)
    return next(runs).width


JOB_NUMBERS = ("A-1", "A-2", "A-3")
FINE = {"option_wanted": "existing spaces"}
MASTER: dict[str, tuple[list[dict[str, object]], dict[str, object], dict[str, Line], str]] = {
    # Existing spaces with every nameplate known: nothing is open.
    "all OK": (
        [FINE, FINE], {},
        {
            "Master check": ("OK: nothing to settle and nothing to look at", "", "", 0, 0),
            "Jobs": ("OK: every row in use is ready", 2, 2, 0, 0),
            "Findings of the jobs": ("OK: no job has a STOP or a CHECK", 2, 2, 0, 0),
        },
        "Nothing open.",
    ),
    # A panel whose interrupting rating is not known cannot be compared with the fault current.
    "CHECK only": (
        [FINE, FINE | {"panel_kaic": None}, FINE | {"panel_kaic": None}], {},
        {
            "Master check": ("CHECK: look at what the jobs say on Checks", "", "", 0, 2),
            "Findings of the jobs": ("CHECK: look at what the jobs say on Checks", 3, 1, 0, 2),
        },
        "A-2: CHECK: fault current not compared with the rating",
    ),
    # Nobody works before absence of voltage is proved; the CHECK of an earlier job comes after it.
    "a STOP behind a CHECK": (
        [FINE | {"panel_kaic": None}, FINE, FINE | {"dead_test_done": "no"}], {},
        {
            "Master check": ("STOP: settle what the jobs say on Checks", "", "", 1, 1),
            "Findings of the jobs": ("STOP: settle what the jobs say on Checks", 3, 1, 1, 1),
        },
        "A-3: STOP: nobody works before absence of voltage is proved",
    ),
    # Entries come first: what is not calculated says nothing.
    "a row with an error": (
        [FINE, FINE | {"service_a": -5.0}], {},
        {
            "Master check": ("STOP: rows are wrong or not calculated; column A of Jobs says why", "", "", 1, 0),
            "Jobs": ("STOP: rows are wrong or not calculated; column A of Jobs says why", 2, 1, 1, 0),
            "Findings of the jobs": ("OK: no job has a STOP or a CHECK", 1, 1, 0, 0),
        },
        "STOP: rows are wrong or not calculated; column A of Jobs says why",
    ),
    "a row that misses an entry": (
        [FINE, FINE | {"house_age": None}], {},
        {
            "Master check": ("CHECK: rows miss an entry; column A of Jobs says which", "", "", 0, 1),
            "Jobs": ("CHECK: rows miss an entry; column A of Jobs says which", 2, 1, 0, 1),
        },
        "Nothing open.",
    ),
    "a local rule without a reason": (
        [FINE], {"unit_load": 3.0},
        {
            "Master check": ("CHECK: local rules without a reason", "", "", 0, 1),
            "Local rules": ("CHECK: local rules without a reason", 1, 0, 0, 1),
        },
        "Nothing open.",
    ),
    "no job": (
        [], {},
        {
            "Master check": ("CHECK: no job is calculated yet", "", "", 0, 0),
            "Jobs": ("CHECK: no job is calculated yet", 0, 0, 0, 0),
        },
        "Nothing open.",
    ),
}  # fmt: skip


@cache
def _recalculated(name: str, engine: str) -> list[list[object]]:
    jobs, overrides, _, _ = MASTER[name]
    numbered = [JOB | job | {"job_no": number} for job, number in zip(jobs, JOB_NUMBERS, strict=False)]
    frame = pd.DataFrame(numbered, dtype=object) if numbered else pd.DataFrame({"job_no": []}, dtype=object)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "book.xlsx"
        write_book(path, frame, rows=4, overrides=overrides)
        return engines.recalculate(path, engine=engine, sheets=["Start"])["Start"]


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("name", MASTER)
def test_master_check_names_the_first_thing_to_settle(name: str, engine: str) -> None:
    """STOP before CHECK before OK, entries before rules, rules before books, books before findings."""
    if engines.available(engine) is None:
        pytest.skip(f"{engine} is not installed")
    _, _, expected, first = MASTER[name]
    found = _lines(_recalculated(name, engine))

    assert found["First to settle"][0] == first
    for label, wanted in expected.items():
        assert [shown or 0 for shown in found[label]] == [value or 0 for value in wanted], label


@pytest.mark.parametrize("engine", ["formulas", *ENGINES])
def test_master_check_and_row_states_come_alive(tmp_path: Path, engine: str) -> None:
    """Every engine counts ready, wrong and incomplete rows alike."""
    if engines.available(engine) is None:
        pytest.skip(f"{engine} is not installed")
    layout = toy_layout(4)
    inputs, check, *others = toy_sheets(layout)
    states = 'IF($B{row}="", "", IF($A{row}=1, "error: a", IF($A{row}=2, "missing: b", "ready")))'
    columns = tuple(
        replace(column, cell=states) if column.name == "row_state" else column for column in inputs.columns
    )
    typed = tuple(
        replace(column, cell=states) if column.name == "circuit_state" else column for column in check.columns
    )
    sheets = (replace(inputs, columns=columns), replace(check, columns=typed), *others[:2])
    path = tmp_path / "book.xlsx"
    write_workbook(
        path, layout=layout, sheets=sheets, jobs=toy_jobs(3), results=None, built_on=BUILT_ON,
        circuits=toy_circuits(4), overrides=OVERRIDES, reasons=REASONS,
    )  # fmt: skip
    grids = engines.recalculate(path, engine=engine)
    found = _lines(grids["Start"])
    sheets_said = {row[1]: row[5:7] for row in grids["Start"][15:]}

    assert [row[0] for row in grids["Jobs"][9:13]] == ["error: a", "missing: b", "ready", ""]
    assert [row[0] for row in grids["Circuits"][9:13]] == ["error: a", "missing: b", "ready", "ready"]
    assert tuple(found["Jobs"][1:]) == (3, 1, 1, 1)
    assert tuple(found["Circuits"][1:]) == (4, 2, 1, 1)
    assert tuple(found["Local rules"][1:]) == (2, 1, 0, 1)
    assert found["Master check"][0] == "STOP: rows are wrong or not calculated; column A of Jobs says why"
    assert tuple(found["Master check"][3:]) == (2, 3)
    assert sheets_said["Spaces"][1] > 0
