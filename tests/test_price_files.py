"""--prices: a good folder changes the price, a bad one is refused by file, row and field and nothing is written."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from workbook_builder.cli import BAD_INPUT, FINE, run
from workbook_builder.code_tables.books import COLUMNS
from workbook_builder.data import shipped

from .price_files import price_folder

JOBS = shipped("samples", "jobs.csv")
PERMIT = ("price_book.csv", ",25,120,300,no,2024", ",125,220,400,no,2024")
HOURS = ("labour_units.csv", "job,0.75,1.25,2,", "job,1.75,2.25,3,")
WAGES = ("market.csv", ",26,30.38,34.37,", ",36,40.38,44.37,")
TAX = ("settings.csv", "material,%,7,", "material,%,9,")
AGE = ("factors.csv", "1990,1.05,1.1,1.2", "1990,1.25,1.3,1.4")


def _prices(out: Path) -> dict[str, float]:
    found = json.loads(out.read_text(encoding="utf-8"))
    return {job["job_no"]: job["price_likely_usd"] for job in found}


def _estimate(tmp_path: Path, *changes: tuple[str, str, str]) -> dict[str, float]:
    folder = price_folder(tmp_path / "prices", *changes)
    out = tmp_path / "out.json"
    assert run(["estimate", str(JOBS), "--prices", str(folder), "--out", str(out)]) == FINE
    return _prices(out)


@pytest.fixture(scope="module")
def as_shipped(tmp_path_factory: pytest.TempPathFactory) -> dict[str, float]:
    out = tmp_path_factory.mktemp("prices") / "out.json"
    assert run(["estimate", str(JOBS), "--out", str(out)]) == FINE
    return _prices(out)


def test_the_shipped_files_give_the_shipped_prices(tmp_path: Path, as_shipped: dict[str, float]) -> None:
    assert _estimate(tmp_path) == as_shipped


def test_a_file_that_the_folder_lacks_is_the_shipped_one(tmp_path: Path, as_shipped: dict[str, float]) -> None:
    folder = price_folder(tmp_path / "prices", TAX)
    for name in COLUMNS:
        if name != "settings":
            (folder / f"{name}.csv").unlink()
    out = tmp_path / "out.json"

    assert run(["estimate", str(JOBS), "--prices", str(folder), "--out", str(out)]) == FINE
    assert all(price > as_shipped[job] for job, price in _prices(out).items())


def _selling_factor(job: dict[str, str]) -> float:
    """Overhead, contingency by age of the house, profit, as the settings come."""
    contingency = {"newer": 0.05, "middle": 0.10, "older": 0.20}[job["house_age"]]
    return 1.35 * (1 + contingency) / 0.9


def test_a_dearer_permit_raises_each_price_by_what_is_put_on_it(tmp_path: Path, as_shipped: dict[str, float]) -> None:
    """100 USD more at low, likely and high are 100 USD more at the mean."""
    dearer = _estimate(tmp_path, PERMIT)

    with JOBS.open(newline="", encoding="utf-8-sig") as file:
        for job in csv.DictReader(file):
            number = job["job_no"]
            assert dearer[number] - as_shipped[number] == pytest.approx(100 * _selling_factor(job), abs=0.011)


@pytest.mark.parametrize("change", [PERMIT, HOURS, TAX], ids=["price", "labour unit", "setting"])
def test_what_every_job_takes_changes_every_price(
    change: tuple[str, str, str], tmp_path: Path, as_shipped: dict[str, float]
) -> None:
    found = _estimate(tmp_path, change)

    assert all(found[job] > price for job, price in as_shipped.items())


@pytest.mark.parametrize(("change", "field", "word"), [(WAGES, "market", "medium"), (AGE, "house_age", "middle")],
                         ids=["rate", "factor"])  # fmt: skip
def test_a_rate_or_factor_changes_the_jobs_that_take_it(
    change: tuple[str, str, str], field: str, word: str, tmp_path: Path, as_shipped: dict[str, float]
) -> None:
    found = _estimate(tmp_path, change)

    with JOBS.open(newline="", encoding="utf-8-sig") as file:
        taken = {job["job_no"] for job in csv.DictReader(file) if job[field] == word}
    assert {job for job, price in found.items() if price != as_shipped[job]} <= taken
    assert any(found[job] > as_shipped[job] for job in taken)


BAD: dict[str, tuple[tuple[str, str, str], str]] = {
    "decimal comma": (
        ("price_book.csv", ",25,120,300,no,2024", ',"25,5",120,300,no,2024'),
        "price_book.csv, row 2, permit, low: found '25,5', expected a number of 0 or more",
    ),
    "words": (
        ("price_book.csv", ",25,120,300,no,2024", ",25,about 120,300,no,2024"),
        "price_book.csv, row 2, permit, likely: found 'about 120', expected a number of 0 or more",
    ),
    "blank number": (
        ("labour_units.csv", "job,0.75,1.25,2,", "job,0.75,,2,"),
        "labour_units.csv, row 2, L01, likely: found nothing, expected a number of 0 or more",
    ),
    "negative": (
        ("market.csv", ",26,30.38,34.37,", ",-26,30.38,34.37,"),
        "market.csv, row 3, medium, low: found '-26', expected a number of 0 or more",
    ),
    "not finite": (
        ("market.csv", ",26,30.38,34.37,", ",26,30.38,inf,"),
        "market.csv, row 3, medium, high: found 'inf', expected a number of 0 or more",
    ),
    "low above likely": (
        ("price_book.csv", ",25,120,300,no,2024", ",125,120,300,no,2024"),
        "price_book.csv, row 2, permit, low, likely, high: found 125, 120, 300, expected numbers that rise",
    ),
    "likely above high": (
        ("factors.csv", "1990,1.05,1.1,1.2", "1990,1.05,1.3,1.2"),
        "factors.csv, row 3, age middle, low, likely, high: found 1.05, 1.3, 1.2, expected numbers that rise",
    ),
    "line twice": (
        ("price_book.csv", 'disposal,"Disposal, dump fee"', 'Label Set,"Disposal, dump fee"'),
        "price_book.csv, row 4, item: found 'Label Set', expected each name once; it stands in row 3",
    ),
    "line missing": (
        ("labour_units.csv", "L03,Permit filing", "L3,Permit filing"),
        "labour_units.csv, unit_id: found no row 'L03', expected every line of templates/prices",
    ),
    "line unknown": (
        ("labour_units.csv", "L03,Permit filing", "L3,Permit filing"),
        "labour_units.csv, row 4, unit_id: found 'L3', expected a name of templates/prices",
    ),
    "no name": (
        ("price_book.csv", 'label set,"Labels', ',"Labels'),
        "price_book.csv, row 3, item: found nothing, expected a name",
    ),
    "no source": (
        ("market.csv", '"from memory, 0.77 to 0.87 of the national median"', ""),
        "market.csv, row 2, small, source: found nothing, expected text",
    ),
    "copper": (
        ("price_book.csv", ",25,120,300,no,2024", ",25,120,300,some,2024"),
        "price_book.csv, row 2, permit, copper: found 'some', expected yes or no",
    ),
    "another unit": (
        ("price_book.csv", "residential\",each,", "residential\",box,"),
        "price_book.csv, row 2, permit, unit: found 'box', expected 'each'",
    ),
    "a cell too many": (
        ("price_book.csv", ",25,120,300,no,2024", ",25,120,300,,no,2024"),
        "price_book.csv, row 2, all columns: found 10 cells, expected 9",
    ),
    "another header": (
        ("settings.csv", "setting,meaning,unit,value,source", "setting,meaning,unit,amount,source"),
        "settings.csv, row 1, columns: found setting, meaning, unit, amount, source, "
        "expected setting, meaning, unit, value, source",
    ),
    "setting beyond its limit": (
        ("settings.csv", 'selling price",%,10,', 'selling price",%,100,'),
        "settings.csv, row 7, profit_percent, value: found '100', expected a number from 0 to 90",
    ),
    "setting as text": (
        ("settings.csv", "material,%,7,", "material,text,seven,"),
        "settings.csv, row 5, tax_percent, unit: found 'text', expected '%'",
    ),
    "setting unknown": (
        ("settings.csv", "tax_percent,", "tax,"),
        "settings.csv, row 5, setting: found 'tax', expected a name of templates/prices",
    ),
    "setting twice": (
        ("settings.csv", "valid_days,", "company_name,"),
        "settings.csv, row 4, setting: found 'company_name', expected each name once; it stands in row 2",
    ),
    "invisible character": (
        ("price_book.csv", "label set,", "label\u200b set,"),
        "price_book.csv, row 3, item: found 'label\\u200b set', expected at most 500 characters, all of them visible",
    ),
}  # fmt: skip


@pytest.mark.parametrize("command", ["build", "estimate"])
@pytest.mark.parametrize("kind", BAD)
def test_a_bad_file_is_refused_by_row_and_field(
    kind: str, command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    change, words = BAD[kind]
    folder = price_folder(tmp_path / "prices", change)
    out = tmp_path / ("out.xlsx" if command == "build" else "out.csv")
    jobs = ["--jobs", str(JOBS)] if command == "build" else [str(JOBS)]

    assert run([command, *jobs, "--prices", str(folder), "--out", str(out)]) == BAD_INPUT
    assert words in capsys.readouterr().err.splitlines()
    assert [path.name for path in tmp_path.iterdir()] == ["prices"]


def test_every_fault_of_every_file_is_a_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    chosen = ("words", "blank number", "negative", "likely above high", "setting as text")
    folder = price_folder(tmp_path / "prices", *(BAD[kind][0] for kind in chosen))

    assert run(["estimate", str(JOBS), "--prices", str(folder), "--out", str(tmp_path / "out.csv")]) == BAD_INPUT
    assert set(capsys.readouterr().err.splitlines()) == {BAD[kind][1] for kind in chosen}


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "price_book.csv, row 1, columns: found nothing, expected item, description"),
        ("item,Caf\u00e9".encode("latin-1"), "price_book.csv, the file: found 'utf-8' codec"),
        (b'item,"desc"ription\n', "price_book.csv, the file: found "),
    ],
)
def test_a_file_that_is_no_table_is_refused(
    content: bytes, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = price_folder(tmp_path / "prices")
    (folder / "price_book.csv").write_bytes(content)

    assert run(["build", "--prices", str(folder), "--out", str(tmp_path / "out.xlsx")]) == BAD_INPUT
    assert words in capsys.readouterr().err
    assert not (tmp_path / "out.xlsx").exists()


@pytest.mark.parametrize("make", [False, True])
def test_a_folder_without_price_files_is_refused(
    make: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "nothing"
    if make:
        folder.mkdir()

    assert run(["build", "--prices", str(folder), "--out", str(tmp_path / "out.xlsx")]) == BAD_INPUT
    assert ("none of price_book.csv" if make else "no such folder") in capsys.readouterr().err
