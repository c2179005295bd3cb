"""The command line: exit codes, messages, and that nothing is written on refusal."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from workbook_builder.cli import BAD_INPUT, FINDINGS, FINE, run
from workbook_builder.code_tables.load import load
from workbook_builder.data import shipped

GOOD = {
    "job_no": "A1", "house_age": "middle", "market": "medium", "service_a": "200",
    "main_spaces": "30", "main_spaces_used": "30", "floor_area_ft2": "2000",
}  # fmt: skip


def _jobs(path: Path, *rows: dict[str, str], encoding: str = "utf-8") -> Path:
    names = list(dict.fromkeys(name for row in rows for name in row))
    with path.open("w", newline="", encoding=encoding) as file:
        writer = csv.DictWriter(file, names)
        writer.writeheader()
        writer.writerows(rows)
    return path


def test_build_without_jobs_makes_the_sample_workbook(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = tmp_path / "book.xlsx"

    assert run(["build", "--out", str(book)]) == FINE
    assert book.is_file()
    assert "19 jobs in 100 rows, 45 circuits in 200" in capsys.readouterr().out


CIRCUIT = {
    "job_no": "A1", "panel": "main", "poles": "1", "breaker_a": "20", "label": "Kitchen", "action": "keep",
}  # fmt: skip


def test_build_takes_jobs_with_and_without_circuits(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    jobs, book = _jobs(tmp_path / "jobs.csv", GOOD), str(tmp_path / "book.xlsx")
    circuits = _jobs(tmp_path / "circuits.csv", *[CIRCUIT] * 150)

    assert run(["build", "--jobs", str(jobs), "--out", book]) == FINE
    assert "1 jobs in 100 rows, 0 circuits in 200" in capsys.readouterr().out
    assert run(["build", "--jobs", str(jobs), "--circuits", str(circuits), "--out", book]) == FINE
    assert "150 circuits in 250" in capsys.readouterr().out
    assert run(["build", "--jobs", str(jobs), "--circuits", str(circuits), "--circuit-rows", "150", "--out", book]) == FINE
    assert "150 circuits in 150" in capsys.readouterr().out


@pytest.mark.parametrize("command", ["build", "estimate"])
def test_a_fault_in_the_circuits_is_refused(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    jobs = _jobs(tmp_path / "jobs.csv", GOOD)
    circuits = _jobs(tmp_path / "circuits.csv", CIRCUIT, {**CIRCUIT, "job_no": "A9", "poles": "3"})
    out = tmp_path / ("out.xlsx" if command == "build" else "out.csv")
    arguments = ["--jobs", str(jobs)] if command == "build" else [str(jobs)]

    assert run([command, *arguments, "--circuits", str(circuits), "--out", str(out)]) == BAD_INPUT
    errors = capsys.readouterr().err
    assert "circuits.csv, row 3, job_no" in errors
    assert "circuits.csv, row 3, poles" in errors
    assert not out.exists()


def test_estimate_takes_the_circuits_into_account(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    jobs = _jobs(tmp_path / "jobs.csv", GOOD)
    moves = [{**CIRCUIT, "panel": "added", "action": "move", "load_va": "900"}] * 3
    circuits = _jobs(tmp_path / "circuits.csv", *moves)

    out = str(tmp_path / "out.json")
    assert run(["estimate", str(jobs), "--circuits", str(circuits), "--columns", "all", "--out", out]) == FINE
    assert "1 jobs with 3 circuits" in capsys.readouterr().out
    (found,) = json.loads((tmp_path / "out.json").read_text(encoding="utf-8"))
    assert (found["listed_moves"], found["listed_move_va"], found["moved_1pole_total"]) == (3, 2700, 3)


FAULTS = {
    "unknown field": ({**GOOD, "flor_area": "3"}, "row 1: found the column name 'flor_area'"),
    "missing required": ({**GOOD, "market": ""}, "row 2, market"),
    "text in number": ({**GOOD, "floor_area_ft2": "two thousand"}, "row 2, floor_area_ft2"),
    "out of range": ({**GOOD, "floor_area_ft2": "99"}, "row 2, floor_area_ft2"),
    "unknown choice": ({**GOOD, "wiring": "gold wire"}, "row 2, wiring"),
    "decimal comma": ({**GOOD, "range_kw": "8,5"}, "row 2, range_kw"),
    "formula-like text": ({**GOOD, "site": "=1+1"}, "row 2, site"),
    "not whole": ({**GOOD, "move_1pole": "1.5"}, "row 2, move_1pole"),
    "cross-check": ({**GOOD, "main_spaces_used": "31"}, "row 2, main_spaces_used"),
}


@pytest.mark.parametrize("command", ["build", "estimate"])
@pytest.mark.parametrize("kind", FAULTS)
def test_a_fault_is_refused_by_row_and_field(
    kind: str, command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job, words = FAULTS[kind]
    jobs, out = _jobs(tmp_path / "jobs.csv", job), tmp_path / ("out.xlsx" if command == "build" else "out.csv")
    arguments = ["--jobs", str(jobs)] if command == "build" else [str(jobs)]

    code = run([command, *arguments, "--out", str(out)])

    assert code == BAD_INPUT
    assert words in capsys.readouterr().err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["jobs.csv"]


def test_a_duplicate_job_number_is_refused_in_both_rows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    jobs = _jobs(tmp_path / "jobs.csv", GOOD, {**GOOD, "job_no": "a1"})

    assert run(["build", "--jobs", str(jobs), "--out", str(tmp_path / "out.xlsx")]) == BAD_INPUT
    errors = capsys.readouterr().err
    assert "row 2, job_no" in errors
    assert "row 3, job_no" in errors


def test_every_fault_of_a_file_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    jobs = _jobs(
        tmp_path / "jobs.csv",
        {**GOOD, "floor_area_ft2": "x", "range_kw": "-1"},
        {**GOOD, "job_no": "A2", "wiring": "gold", "service_a": ""},
    )

    assert run(["build", "--jobs", str(jobs), "--out", str(tmp_path / "out.xlsx")]) == BAD_INPUT
    errors = capsys.readouterr().err
    for words in ("row 2, floor_area_ft2", "row 2, range_kw", "row 3, wiring", "row 3, service_a"):
        assert words in errors


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        ("job_no,site\nA1,Caf\u00e9\n".encode("latin-1"), "UTF-8"),
        (b"\x00\x01\x02", "jobs.csv"),
    ],
)
def test_a_file_that_is_no_list_is_refused(
    content: bytes, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "jobs.csv").write_bytes(content)

    assert run(["estimate", str(tmp_path / "jobs.csv"), "--out", str(tmp_path / "out.csv")]) == BAD_INPUT
    assert words in capsys.readouterr().err
    assert not (tmp_path / "out.csv").exists()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["build", "--out", "book.xls"], "must end in .xlsx"),
        (["build", "--out", "book.xlsx", "--rows", "3"], "at least as many rows"),
        (["build", "--out", "book.xlsx", "--circuit-rows", "3"], "circuits need at least as many rows"),
        (["build", "--out", "book.xlsx", "--circuits", "nothing.csv"], "nothing.csv"),
        (["verify", "nothing.xlsx"], "nothing.xlsx"),
        (["verify", "nothing.xlsx", "--engine", "abacus"], "engine 'abacus'"),
        (["estimate", "nothing.csv", "--out", "x.csv"], "nothing.csv"),
    ],
)
def test_a_request_that_cannot_be_carried_out(
    arguments: list[str], words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)

    assert run(arguments) == BAD_INPUT
    assert words in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_estimate_writes_every_result(tmp_path: Path) -> None:
    out = tmp_path / "results.csv"

    assert run(["estimate", str(shipped("samples", "jobs.csv")), "--out", str(out)]) == FINE
    with out.open(newline="", encoding="utf-8-sig") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 19
    assert {row["row_state"] for row in rows} == {"ready"}
    assert all(float(row["total_load_a"]) > 0 for row in rows)


def test_estimate_writes_the_answers_or_every_column(tmp_path: Path) -> None:
    """The job and the result fields of the contract; with `all` the steps and the entries behind them, too."""
    jobs = _jobs(tmp_path / "jobs.csv", GOOD)
    found = {}
    for columns in ("answers", "all"):
        out = tmp_path / f"{columns}.json"
        assert run(["estimate", str(jobs), "--columns", columns, "--out", str(out)]) == FINE
        (found[columns],) = json.loads(out.read_text(encoding="utf-8"))
    answers = ["job_no", "site", "row_state", *(name for _, name, _, _ in load().result_fields)]

    assert list(found["answers"]) == list(dict.fromkeys(answers))
    assert list(found["all"])[: len(found["answers"])] == list(found["answers"])
    assert {name: found["all"][name] for name in found["answers"]} == found["answers"]
    assert {"suggestion", "hours_ratio", "floor_area_ft2"} <= set(found["all"])


def test_verify_reports_as_text_and_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book, report = tmp_path / "book.xlsx", tmp_path / "report.json"
    run(["build", "--out", str(book)])

    assert run(["verify", str(book), "--engine", "ironcalc", "--json", str(report)]) == FINE
    assert capsys.readouterr().out.rstrip().endswith("clean")
    found = json.loads(report.read_text(encoding="utf-8"))
    assert found["clean"] is True
    assert found["engines"][0]["comparison"]["cells"] > 40000


def test_verify_of_a_changed_workbook_has_findings(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from .test_verify import with_formula

    book = tmp_path / "book.xlsx"
    run(["build", "--rows", "19", "--circuit-rows", "45", "--out", str(book)])
    changed = with_formula(book, tmp_path / "changed.xlsx", "Loads", "total_load_a", "1+1")

    assert run(["verify", str(changed), "--engine", "ironcalc"]) == FINDINGS
    assert "Loads!" in capsys.readouterr().out
