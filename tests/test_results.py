"""The command `results`: what an engine makes of a workbook, in a file that runs nothing when it is opened."""

from __future__ import annotations

import csv
import json
from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from workbook_builder.cli import BAD_INPUT, FINDINGS, FINE, run
from workbook_builder.code_tables.load import load
from workbook_builder.reader.write_csv import FORMULA_STARTS, guarded
from workbook_builder.reference.run import calculate_all

from .books import write_book
from .reader.files import good_circuit, good_entries
from .test_verify import with_formula

TEXTS = (
    "=cmd|' /C calc'!A0", "+1", "-1", "@x", "\t=1", "\r=1", " =1", '"=1', "'=1", "\u201c=1", "\u00a0@x",
    "first\n=second", 'say "so"', "a,b;c", "Stra\u00dfe \u65e5\u672c \U0001f50c", "x" * 32_000,
)  # fmt: skip


def _book(path: Path, *jobs: dict[str, object], circuits: list[dict[str, object]] | None = None) -> Path:
    write_book(path, pd.DataFrame(list(jobs), dtype=object), circuits=pd.DataFrame(circuits or [], dtype=object))
    return path


def _records(path: Path) -> list[dict[str, str]]:
    with path.open(newline="", encoding="utf-8-sig") as file:
        return list(csv.DictReader(file))


def _unguarded(cell: str) -> str:
    """A text as README says that it is got back."""
    return cell[1:] if cell.startswith("'") and guarded(cell[1:]) != cell[1:] else cell


def test_every_result_of_every_row_that_holds_an_entry(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The contract's first; a row that is not ready says why; circuits in a file beside."""
    circuits = [good_circuit(), good_circuit(label="Bath", job_no="none such")]
    jobs = [good_entries(visit_date=date(2024, 5, 31)), {}, good_entries(job_no="J-2", market=None), {"site": "no number"}]
    book = _book(tmp_path / "book.xlsx", *jobs, circuits=circuits)

    assert run(["results", str(book), "--out", str(tmp_path / "r.csv"), "--engine", "ironcalc"]) == FINDINGS
    rows, listed = _records(tmp_path / "r.csv"), _records(tmp_path / "r-circuits.csv")
    fields = [field for _, field, _, _ in load().result_fields if field != "row_state"]
    assert list(rows[0])[: 3 + len(fields)] == ["job_no", "site", "row_state", *fields]
    assert [row["row_state"] for row in rows] == ["ready", "missing: market", "missing: job_no in row 13"]
    assert (rows[0]["visit_date"], rows[1]["total_load_a"]) == ("2024-05-31", "")
    assert [row["circuit_state"] for row in listed] == ["ready", "error: job_no must be the number of a job that is ready"]
    assert "Jobs!J12, row 12, market: found nothing" in capsys.readouterr().out


def test_values_are_those_of_the_reference(tmp_path: Path) -> None:
    jobs = [good_entries(add_ev_a=48.0, run_ft=60.0), good_entries(job_no="J-2", add_heat_pump_kva=6.0)]
    book = _book(tmp_path / "book.xlsx", *jobs, circuits=[good_circuit()])
    expected, _ = calculate_all(pd.DataFrame(jobs, dtype=object), pd.DataFrame([good_circuit()], dtype=object))

    assert run(["results", str(book), "--out", str(tmp_path / "r.json")]) == FINE
    found = json.loads((tmp_path / "r.json").read_text(encoding="utf-8"))
    assert found["clean"] and found["engine"].startswith("ironcalc")
    assert set(found["jobs"][0]) == set(expected.columns)
    assert len(found["circuits"]) == 1
    for name in expected.columns:
        for job, value in zip(found["jobs"], expected[name], strict=True):
            if value == "" or pd.isna(value):
                assert job[name] is None, name
            elif isinstance(value, str):
                assert job[name] == value, name
            else:
                assert job[name] == pytest.approx(value, abs=2e-6), name


@pytest.mark.parametrize("text", TEXTS)
def test_a_text_runs_nothing_and_can_be_got_back(text: str) -> None:
    cell = guarded(text)

    assert not cell.lstrip(" \u00a0\"\u201c").startswith(FORMULA_STARTS)
    assert _unguarded(cell) == text


def test_hostile_texts_in_the_file(tmp_path: Path) -> None:
    """JSON is exact; the CSV gives each text back and no cell of it begins as a formula."""
    jobs = [good_entries(job_no=f"J-{place}", site=text) for place, text in enumerate(TEXTS)]
    book = _book(tmp_path / "book.xlsx", *jobs)
    for kind in ("csv", "json"):
        run(["results", str(book), "--out", str(tmp_path / f"r.{kind}")])
    rows = _records(tmp_path / "r.csv")
    exact = json.loads((tmp_path / "r.json").read_text(encoding="utf-8"))["jobs"]

    assert tuple(job["site"] for job in exact) == TEXTS
    assert tuple(_unguarded(row["site"]) for row in rows) == TEXTS
    assert min(float(job["service_spare_a"]) for job in exact) == min(float(row["service_spare_a"]) for row in rows)
    assert not any(
        value.startswith(FORMULA_STARTS) and not _is_number(value) for row in rows for value in row.values()
    )


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def test_a_negative_number_stays_a_number(tmp_path: Path) -> None:
    book = _book(tmp_path / "book.xlsx", good_entries(service_a=60.0, floor_area_ft2=9000.0, heat_kw=30.0))
    run(["results", str(book), "--out", str(tmp_path / "r.csv")])
    (row,) = _records(tmp_path / "r.csv")

    assert row["service_spare_a"].startswith("-") and float(row["service_spare_a"]) < 0


def test_what_differs_is_told_and_still_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Error values are named."""
    book = _book(tmp_path / "book.xlsx", good_entries())
    changed = with_formula(book, tmp_path / "changed.xlsx", "Loads", "total_load_a", "1/0")

    assert run(["results", str(changed), "--out", str(tmp_path / "r.json")]) == FINDINGS
    assert "Loads!" in capsys.readouterr().out
    found = json.loads((tmp_path / "r.json").read_text(encoding="utf-8"))
    assert found["clean"] is False
    assert found["jobs"][0]["total_load_a"] == {"error": "#DIV/0!"}
    assert any("total_load_a" in finding for finding in found["findings"])
    assert run(["results", str(changed), "--out", str(tmp_path / "r.csv")]) == FINDINGS
    assert _records(tmp_path / "r.csv")[0]["total_load_a"] == "#DIV/0!"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["nothing.xlsx", "--out", "r.csv"], "nothing.xlsx"),
        (["nothing.xlsx", "--out", "r.txt"], "written as .csv or .json"),
        (["nothing.xlsx", "--out", "r.csv", "--engine", "abacus"], "engine 'abacus'"),
        (["nothing.xlsx", "--out", "r.csv", "--engine", "all"], "one engine"),
    ],
)
def test_a_request_that_cannot_be_carried_out(
    arguments: list[str], words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)

    assert run(["results", *arguments]) == BAD_INPUT
    errors = capsys.readouterr().err
    assert words in errors and errors.count("\n") == 1
    assert list(tmp_path.iterdir()) == []
