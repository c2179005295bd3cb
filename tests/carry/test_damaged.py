"""What can be read of a damaged workbook is carried; what cannot be placed is named with sheet, cell and value."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import openpyxl
import pytest

from workbook_builder.cli import BAD_INPUT, FINDINGS, FINE, run
from workbook_builder.code_tables.load import load
from workbook_builder.harness.verify import verify
from workbook_builder.reader.book_jobs import read_book
from workbook_builder.reader.book_prices import BOOK_SHEETS, SETTINGS

from ..reader.files import book_file, changed_zip, good_circuit, good_entries
from .books import assert_same, column, edited, held, row_of, small

JOB = good_entries(site="Old house", actual_hours=21.5, n_g_v=0.2)
PRICE = load().books.keys("price_book")[3]


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sound") / "old.xlsx"
    small(path, JOB, good_entries(job_no="J-2"), overrides={"working_width": 32.0})
    row = row_of(path, "Local rules", "working_width")
    return edited(path, {"Local rules": {f"{column(path, 'Local rules', 'reason')}{row}": "asked for"}})


@pytest.fixture
def old(sound: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(sound, tmp_path / "old.xlsx"))


def _carried(old: Path) -> tuple[int, dict[str, list[dict[str, object]]], Path]:
    new, report = old.with_name("new.xlsx"), old.with_name("report.json")
    code = run(["carry", str(old), "--out", str(new), "--json", str(report)])
    return code, json.loads(report.read_text(encoding="utf-8")), new


def _first_job(path: Path) -> dict[str, object]:
    return {name: value for name, value in held(path).lists["Jobs"].iloc[0].items() if value is not None}


def _refused(report: dict[str, list[dict[str, object]]], sheet: str) -> set[tuple[object, object]]:
    return {(one.get("cell"), one["value"]) for one in report["refused"] if one["sheet"] == sheet}


def test_names_that_were_overwritten_are_found_by_the_titles(old: Path) -> None:
    marks = {f"{column(old, 'Jobs', name)}9": "?" for name in ("job_no", "site", "main_spaces", "row_state")}
    edited(old, {"Jobs": marks})
    _, report, new = _carried(old)

    assert _first_job(new) == JOB
    assert not report["refused"] and not report["defaulted"]


def test_the_whole_row_of_names_is_gone(old: Path) -> None:
    book = openpyxl.load_workbook(old)
    cells = {cell.coordinate: None for cell in book["Jobs"][9]}
    edited(old, {"Jobs": cells})
    _, report, new = _carried(old)

    assert _first_job(new) == JOB
    assert not report["refused"]


def test_a_column_of_which_nothing_says_what_it_is(old: Path) -> None:
    """Its values are named; the field is blank in the new workbook."""
    at = column(old, "Jobs", "market")
    edited(old, {"Jobs": {f"{at}9": "flor_area", f"{at}4": "Something"}})
    code, report, new = _carried(old)

    assert code == FINDINGS
    assert _refused(report, "Jobs") == {(f"{at}10", "small"), (f"{at}11", "small")}
    assert _first_job(new) == {name: value for name, value in JOB.items() if name != "market"}
    assert ("Jobs", "market") in {(one["sheet"], one["field"]) for one in report["defaulted"]}
    assert any("market: found nothing" in fault for fault in report["not_valid"])


def test_names_in_another_order_and_a_field_that_is_unknown_today(tmp_path: Path) -> None:
    """As a workbook of another version has them: fewer fields, another order, one that is gone."""
    entries = good_entries(meter_colour="grey")
    old = book_file(
        tmp_path / "old.xlsx", {12: entries, 14: good_entries(job_no="J-2", meter_colour="blue")},
        columns=["row_state", *reversed(entries)], rules={11: ("gone_rule", 7, "own figure"), 12: ("working_width", 32, None)},
    )  # fmt: skip
    code, report, new = _carried(old)
    jobs = held(new).lists["Jobs"]

    assert code == FINDINGS
    assert jobs["job_no"].tolist() == [None, None, "J-1", None, "J-2"]
    assert {(one["sheet"], one["cell"], one["field"], one["value"]) for one in report["refused"]} == {
        ("Jobs", "B12", "meter_colour", "grey"), ("Jobs", "B14", "meter_colour", "blue"),
        ("Local rules", "C11", "override", 7), ("Local rules", "D11", "reason", "own figure"),
    }  # fmt: skip
    new_fields = {one.name for one in load().job_fields} - set(entries)
    assert new_fields == {one["field"] for one in report["defaulted"] if one["sheet"] == "Jobs"}
    assert {one["sheet"] for one in report["defaulted"]} == {"Jobs", "Circuits", "Price book"}
    assert read_book(new).overrides == {"working_width": 32.0}
    assert read_book(new).circuit_rows == 200


@pytest.mark.parametrize("gone", ["Jobs", "Circuits", "Local rules", "Price book", "Settings", "Inputs", "Start", "Lists"])
def test_a_sheet_that_is_gone(old: Path, gone: str) -> None:
    """Everything on the others is carried."""
    before = held(old)
    edited(old, {}, gone=(gone,))
    code, report, new = _carried(old)
    after = held(new)
    kept = {
        "Jobs": lambda one: one.lists["Jobs"].to_dict(), "Circuits": lambda one: one.lists["Circuits"].to_dict(),
        "Local rules": lambda one: one.rules, "Price book": lambda one: one.lines["price_book"],
        "Settings": lambda one: one.settings, "Factors": lambda one: one.lines["factors"],
    }  # fmt: skip
    typed_in = gone in kept

    assert code == (FINDINGS if typed_in else FINE)
    assert [one["sheet"] for one in report["refused"]] == ([gone] if typed_in else [])
    for sheet, part in kept.items():
        if sheet != gone:
            assert part(after) == part(before), sheet
    if gone not in ("Jobs", "Price book", "Inputs"):
        return
    proof = verify(new, engines=["ironcalc"])
    assert not proof.formula_faults
    assert not proof.engines[0].comparison.differences


def test_a_sheet_that_was_renamed_is_known_by_its_names(old: Path) -> None:
    book = openpyxl.load_workbook(old)
    book["Jobs"].title = "Jobs of spring"
    book.save(old)
    _, report, new = _carried(old)

    assert _first_job(new) == JOB
    assert not report["refused"]


def test_notes_beside_and_below_the_lists_and_on_own_sheets(old: Path) -> None:
    """Nothing that was typed is passed over in silence."""
    end = next(row for row in range(10, 40) if str(openpyxl.load_workbook(old)["Jobs"][f"B{row}"].value).startswith("end"))
    edited(old, {"Jobs": {"FZ10": "call back", "A11": "typed over", f"C{end}": "a note", f"B{end + 3}": "J-9"},
                 "Price book": {"Z12": 5}})  # fmt: skip
    book = openpyxl.load_workbook(old)
    book.create_sheet("My notes")["B2"] = "=1+1"
    book["My notes"]["B3"] = "remember"
    book.save(old)
    code, report, new = _carried(old)

    assert code == FINDINGS
    assert _refused(report, "Jobs") == {("FZ10", "call back"), ("A11", "typed over"), (f"C{end}", "a note")}
    assert _refused(report, "Price book") == {("Z12", 5)}
    assert _refused(report, "My notes") == {("B3", "remember")}
    assert [one["cell"] for one in report["changed"]] == [f"B{end + 3}"]
    assert held(new).lists["Jobs"]["job_no"].tolist() == ["J-1", "J-2", "J-9"]


def test_lines_of_the_books_that_cannot_be_placed(old: Path) -> None:
    """A line of another unit, a second line, a name that is unknown: named; the line as a new workbook has it."""
    units = load().books.keys("labour_units")
    rows = {name: row_of(old, sheet, key) for name, sheet, key in (
        ("unit", "Labour units", units[0]), ("twice", "Labour units", units[3]), ("gone", "Factors", load().books.keys("factors")[0]),
        ("setting", SETTINGS, "valid_days"),
    )}  # fmt: skip
    edited(old, {
        "Labour units": {f"C{rows['unit']}": "a dozen", f"E{rows['unit']}": 77, f"A{rows['twice']}": units[2]},
        "Factors": {f"A{rows['gone']}": "weather=wet", f"E{rows['gone']}": 1.3},
        SETTINGS: {f"A{rows['setting']}": "days_valid", f"D{rows['setting']}": 45},
    })  # fmt: skip
    code, report, new = _carried(old)
    ours, found = load().books, read_book(new).prices

    assert code == FINDINGS
    assert not found.changes and not found.faults
    assert found.books.lines["labour_units"] == ours.lines["labour_units"]
    assert (f"E{rows['unit']}", 77) in _refused(report, "Labour units")
    assert ("A" + str(rows["gone"]), "weather=wet") in _refused(report, "Factors")
    assert ("D" + str(rows["setting"]), 45) in _refused(report, SETTINGS)
    assert {one["field"] for one in report["defaulted"]} == {
        units[0], units[3], load().books.keys("factors")[0], "valid_days",
    }  # fmt: skip


def test_a_book_whose_column_of_numbers_is_lost(old: Path) -> None:
    """Where nothing but the numbers beside it says which it is, the built-in lines stand."""
    row = row_of(old, "Price book", PRICE)
    edited(old, {"Price book": {"E9": "best", f"E{row}": 1}})
    code, report, new = _carried(old)

    assert code == FINDINGS
    assert (f"E{row}", 1) in _refused(report, "Price book")
    assert read_book(new).prices.books.lines["price_book"][:-1] == load().books.lines["price_book"][:-1]


def test_dates_counted_from_1904(tmp_path: Path) -> None:
    """They are carried as the days they mean."""
    old = book_file(tmp_path / "old.xlsx", {10: good_entries(visit_date=40000), 11: good_entries(job_no="J-2", visit_date=3.5)})
    changed_zip(old, replace={"xl/workbook.xml": (b"<workbookPr ", b'<workbookPr date1904="1" ')})
    _, _, new = _carried(old)
    dates = held(new).lists["Jobs"]["visit_date"].tolist()

    assert dates[0].isoformat() == "2013-07-07"
    assert dates[1] == 3.5 + 1462


def test_a_workbook_in_which_nobody_types(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = openpyxl.Workbook()
    book.active["A1"] = "job_no"
    book.save(tmp_path / "old.xlsx")

    assert run(["carry", str(tmp_path / "old.xlsx"), "--out", str(tmp_path / "new.xlsx")]) == BAD_INPUT
    assert "no sheet that people type in" in capsys.readouterr().err
    assert not (tmp_path / "new.xlsx").exists()


def test_carried_once_more_nothing_changes(old: Path, tmp_path: Path) -> None:
    """A damaged workbook gives a sound one, which goes round whole."""
    edited(old, {"Jobs": {f"{column(old, 'Jobs', 'wiring')}10": "gold"}})
    _, _, new = _carried(old)
    assert run(["carry", str(new), "--out", str(tmp_path / "again.xlsx")]) == FINDINGS

    assert_same(new, tmp_path / "again.xlsx")
    assert set(BOOK_SHEETS.values()) < set(openpyxl.load_workbook(new, read_only=True).sheetnames)
    assert good_circuit()["label"] == held(new).lists["Circuits"]["label"][0]
