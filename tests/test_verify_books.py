"""verify with the books of the workbook: what is typed there counts, is listed, and stops where it is out of order."""

from __future__ import annotations

import json
from pathlib import Path

import pandas as pd
import pytest

from workbook_builder.cli import FINDINGS, FINE, run
from workbook_builder.code_tables.load import load
from workbook_builder.harness.engines import available, recalculate
from workbook_builder.harness.verify import recalculated_frame, verify
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.model import JOB_GRID

from .books import write_book
from .price_files import book_cell, price_folder, setting_cell, typed
from .test_verify import with_cell

JOB = {
    "job_no": "A1", "house_age": "middle", "market": "medium", "service_a": 200.0,
    "main_spaces": 30.0, "main_spaces_used": 30.0, "floor_area_ft2": 2000.0, "move_1pole": 1.0,
}  # fmt: skip
PERMIT = book_cell("price_book", "permit", "likely")
ENGINES = [
    "ironcalc",
    pytest.param("libreoffice", marks=pytest.mark.libreoffice),
    pytest.param("gnumeric", marks=pytest.mark.gnumeric),
]
LAYOUT = Layout(load(), rows=1)
SPARE = LAYOUT.books["price_book"].first_row + len(load().books.lines["price_book"])
"""The first blank row of the price book."""


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("books") / "book.xlsx"
    write_book(path, pd.DataFrame([JOB, JOB | {"job_no": "A2", "house_age": "older", "market": "small"}], dtype=object))
    return path


def _books_on_start(rows: list[list[object]]) -> tuple[object, object]:
    """Words and number of STOP of the line for books and settings."""
    return next((row[2], row[5]) for row in rows if len(row) > 5 and row[1] == "Books and settings")


@pytest.fixture(scope="module")
def plain(book: Path) -> pd.DataFrame:
    """What an engine finds in the book as it is built."""
    return recalculated_frame(book, engine="ironcalc")


def _price(path: Path) -> float:
    return recalculated_frame(path, engine="ironcalc")["price_likely_usd"][0]


@pytest.mark.parametrize("engine", ENGINES)
def test_the_books_as_built_are_clean(book: Path, engine: str) -> None:
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")

    report = verify(book, engines=[engine])

    assert report.engines[0].comparison.differences == ()
    assert (report.clean, report.changes) == (True, [])


CHANGES = {
    "price": {book_cell("price_book", "permit", "low"): 125, PERMIT: 220,
              book_cell("price_book", "permit", "high"): 400},
    "labour unit": {book_cell("labour_units", "L01", "high"): 6},
    "rate": {book_cell("market", "medium", "high"): 44.5},
    "setting": {setting_cell("tax_percent"): 9.5},
    "factor": {book_cell("factors", "age middle", "high"): 1.5},
}  # fmt: skip


@pytest.mark.parametrize("kind", CHANGES)
def test_a_changed_number_changes_the_results_and_is_listed(
    kind: str, book: Path, plain: pd.DataFrame, tmp_path: Path
) -> None:
    changed = typed(book, tmp_path / "changed.xlsx", CHANGES[kind])

    found: dict[str, dict[str, pd.DataFrame]] = {}
    report = verify(changed, engines=["ironcalc"], found_by=found)

    assert report.engines[0].comparison.differences == ()
    assert report.clean
    assert [(one.sheet, one.cell, one.found) for one in report.changes] == [
        (*place, value) for place, value in CHANGES[kind].items()
    ]
    # The way that is chosen for this job has no work that the age of the house makes harder.
    column = "added_panel_price_usd" if kind == "factor" else "price_likely_usd"
    assert found["ironcalc"][JOB_GRID][column][0] > plain[column][0]


@pytest.mark.parametrize("engine", ENGINES)
def test_every_engine_counts_all_changes(engine: str, book: Path, tmp_path: Path) -> None:
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")
    cells = {place: value for of_kind in CHANGES.values() for place, value in of_kind.items()}
    changed = typed(book, tmp_path / "changed.xlsx", cells)

    report = verify(changed, engines=[engine])

    assert report.engines[0].comparison.differences == ()
    assert report.clean
    assert len(report.changes) == len(cells)


def test_a_dearer_permit_by_what_is_put_on_it(book: Path, plain: pd.DataFrame, tmp_path: Path) -> None:
    """100 USD more, with overhead of 35, contingency of 10 and profit of 10 percent of the price."""
    changed = typed(book, tmp_path / "changed.xlsx", CHANGES["price"])

    assert _price(changed) - plain["price_likely_usd"][0] == pytest.approx(100 * 1.35 * 1.1 / 0.9, abs=0.011)


def test_changes_are_told_in_text_and_json_and_are_no_findings(
    book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    changed = typed(book, tmp_path / "changed.xlsx", {PERMIT: 130, setting_cell("company_name"): "Acme"})

    assert run(["verify", str(changed), "--engine", "ironcalc", "--json", str(tmp_path / "report.json")]) == FINE
    said = capsys.readouterr().out
    assert "changed in the books     2 not as built, which is no fault" in said
    assert f"Price book!{PERMIT[1]} permit, likely: 130, built with 120" in said
    assert "company_name, value: 'Acme', built with 'Your company'" in said
    assert said.rstrip().endswith("clean")
    assert json.loads((tmp_path / "report.json").read_text(encoding="utf-8"))["changes"][0] == {
        "sheet": "Price book", "cell": PERMIT[1], "key": "permit", "column": "likely", "built": 120.0, "found": 130.0,
    }  # fmt: skip


NO_NUMBER = "STOP: a number is missing or negative"
BAD = {
    "low above likely": ("permit", "low", 121, "STOP: low, likely and high do not rise", "low, likely and high that rise"),
    "blank": ("label set", "likely", None, NO_NUMBER, "a number of 0 or more"),
    "text": ("disposal", "likely", "much", NO_NUMBER, "a number of 0 or more"),
    "negative": ("breaker 1-pole", "low", -5, NO_NUMBER, "a number of 0 or more"),
}  # fmt: skip
"""Line of the price book, column, what is typed, the state of the line and what the reader expects."""


def _with_bad(book: Path, out: Path, *kinds: str) -> Path:
    chosen = (BAD[kind] for kind in kinds)
    return typed(book, out, {book_cell("price_book", key, column): value for key, column, value, *_ in chosen})


@pytest.mark.parametrize("engine", ENGINES)
def test_a_line_out_of_order_stops_in_words(engine: str, book: Path, tmp_path: Path) -> None:
    """On the book, on Start and on Price, each kind of fault on a line of its own; the cells are named."""
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")
    changed = _with_bad(book, tmp_path / "changed.xlsx", *BAD)

    grids = recalculate(changed, engine=engine, sheets=["Price book", "Start"])
    frame = recalculated_frame(changed, engine=engine)

    place = LAYOUT.books["price_book"]
    for key, _, _, words, _ in BAD.values():
        row = int(book_cell("price_book", key, "key")[1][1:])
        state, mean, variance = (
            grids["Price book"][row - 1][place.columns.index(name)] for name in ("state", "mean", "variance")
        )
        assert (state, mean, variance) == (words, 0, 0)
    words, stops = _books_on_start(grids["Start"])
    assert stops == len(BAD)
    assert words.startswith("STOP")
    assert frame["books_bad"][0] == len(BAD)
    assert frame["price_state"][0] == "STOP: a line of the price books or a setting is out of order"


@pytest.mark.parametrize("kind", BAD)
def test_a_line_out_of_order_is_a_fault_of_the_entries_alone(kind: str, book: Path, tmp_path: Path) -> None:
    """The cell is named, and the reference, which has the same line, comes to the same results."""
    key, column, _, _, expected = BAD[kind]
    changed = _with_bad(book, tmp_path / "changed.xlsx", kind)

    report = verify(changed, engines=["ironcalc"])

    (fault,) = report.input_faults
    at = book_cell("price_book", key, "likely" if kind == "low above likely" else column)[1]
    assert fault.startswith(f"changed.xlsx, Price book!{at}, row {at[1:]}")
    assert expected in fault
    assert not report.clean
    assert report.formula_faults == []
    assert report.engines[0].comparison.differences == ()


@pytest.mark.parametrize("engine", ENGINES)
def test_lines_added_in_blank_rows_count(engine: str, book: Path, tmp_path: Path) -> None:
    """A second line without a number is a STOP; a row with numbers and no name is one too."""
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")
    rows = {
        SPARE: ("feeder breaker|500", 500, 900, 1500),
        SPARE + 1: ("bare copper|300", None, 5, 7),
        SPARE + 4: (None, 1, 2, 3),
    }
    cells = {
        ("Price book", f"{at}{row}"): value for row, line in rows.items() for at, value in zip("ADEF", line, strict=True)
    }
    changed = typed(book, tmp_path / "changed.xlsx", cells)

    report = verify(changed, engines=[engine])

    assert report.engines[0].comparison.differences == ()
    assert report.formula_faults == []
    assert len(report.input_faults) == 2
    assert recalculated_frame(changed, engine=engine)["books_bad"][0] == 2
    assert any(f"Price book!E{SPARE} feeder breaker|500, likely: 900" in str(one) for one in report.changes)


@pytest.mark.parametrize("engine", ENGINES)
def test_an_added_size_gets_its_price_below_blank_rows(engine: str, tmp_path: Path) -> None:
    """A bus that the shipped book has no panel for: without a price first, then with the one typed in."""
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")
    job = JOB | {"main_spaces_used": 20.0, "add_1pole": 1.0, "added_bus_wanted_a": 150.0}
    write_book(tmp_path / "book.xlsx", pd.DataFrame([job], dtype=object))
    row = SPARE + 2
    cells = dict(zip([("Price book", f"{at}{row}") for at in "ADEF"], ("panel indoor|150", 100, 150, 200), strict=True))
    changed = typed(tmp_path / "book.xlsx", tmp_path / "changed.xlsx", cells)

    report = verify(changed, engines=[engine])
    before, after = (recalculated_frame(path, engine=engine) for path in (tmp_path / "book.xlsx", changed))

    assert report.clean, report.engines
    assert (before["added_panels_place"][0], before["added_missing"][0]) == (0, 1)
    assert after["added_panels_place"][0] == row - LAYOUT.books["price_book"].first_row + 1
    assert (after["added_panels_usd"][0], after["added_missing"][0]) == (150, 0)


def test_a_setting_out_of_order_stops_on_its_sheet(book: Path, tmp_path: Path) -> None:
    sheet, cell = setting_cell("profit_percent")
    changed = typed(book, tmp_path / "changed.xlsx", {(sheet, cell): 95})

    report = verify(changed, engines=["ironcalc"])
    grids = recalculate(changed, engine="ironcalc", sheets=["Settings", "Start"])

    state = grids["Settings"][int(cell[1:]) - 1][LAYOUT.settings.columns.index("state")]
    assert state == "STOP: the number must be from 0 to 90"
    assert _books_on_start(grids["Start"]) == ("STOP: lines of the books or settings are out of order", 1)
    assert [one.partition(": ")[2] for one in report.input_faults] == [
        "found 95, must be a number from 0 to 90; type the number"
    ]


def test_a_changed_formula_on_a_book_is_located(book: Path, tmp_path: Path) -> None:
    """mean of the first line, then a cell of Line prices."""
    for sheet, cell, column in (("Price book", "K10", "mean"), ("Line prices", None, "mean of Takeoff")):
        if cell is None:
            frames = verify(book, engines=[])
            assert frames.clean
            cell = _first_line_mean()
        changed = with_cell(book, tmp_path / "changed.xlsx", sheet, cell, "7")

        report = verify(changed, engines=["ironcalc"])

        assert [(one.sheet, one.cell, one.found) for one in report.formula_faults] == [(sheet, cell, "=7")]
        assert (sheet, cell, column) in {
            (one.sheet, one.cell, one.column) for one in report.engines[0].comparison.differences
        }


def _first_line_mean() -> str:
    from workbook_builder.sheets.compile import compile_book
    from workbook_builder.sheets.layout import LINE_ROWS
    from workbook_builder.sheets.order import SHEETS

    takeoff = next(sheet for sheet in compile_book(SHEETS, LAYOUT) if sheet.name == "Takeoff")
    first = next(line.name for line in load().takeoff_lines if not line.by_size)
    return f"{takeoff.letter_of(first)}{LINE_ROWS['Takeoff'] + 3}"


def test_a_longer_price_book_and_another_order_of_settings_verify_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Rows of the book and places of the settings come from the workbook."""
    folder = price_folder(tmp_path / "prices")
    added = "".join(f'bare copper|{size},"Bare copper, {size}",ft,4,5,6,yes,2026,our supplier\n' for size in range(800, 850))
    with (folder / "price_book.csv").open("a", encoding="utf-8") as file:
        file.write(added)
    settings = folder / "settings.csv"
    header, *rows = settings.read_text(encoding="utf-8").splitlines()
    settings.write_text("\n".join([header, *reversed(rows)]) + "\n", encoding="utf-8")
    book = tmp_path / "book.xlsx"

    assert run(["build", "--prices", str(folder), "--out", str(book)]) == FINE
    assert run(["verify", str(book), "--engine", "ironcalc"]) == FINE
    assert capsys.readouterr().out.rstrip().endswith("clean")


def test_a_workbook_built_with_own_prices_has_nothing_changed(tmp_path: Path) -> None:
    folder = price_folder(tmp_path / "prices", ("price_book.csv", ",25,120,300,no,2024", ",125,220,400,no,2024"))
    book = tmp_path / "book.xlsx"
    run(["build", "--prices", str(folder), "--out", str(book)])

    report = verify(book, engines=["ironcalc"])

    assert (report.clean, report.changes) == (True, [])


def test_a_name_typed_over_is_named(book: Path, tmp_path: Path) -> None:
    changed = typed(book, tmp_path / "changed.xlsx", {("Labour units", "A10"): "L1"})

    assert run(["verify", str(changed), "--engine", "ironcalc"]) == FINDINGS
    faults = verify(changed, engines=[]).input_faults
    assert [fault.partition(", ")[2].partition(":")[0] for fault in faults] == [
        "Labour units!A10, row 10, key", "Labour units, key",
    ]  # fmt: skip
