"""The command `explain`: each step with its rule, section, numbers and formula, in plain text of the asked width."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import openpyxl
import pandas as pd
import pytest

from workbook_builder.cli import BAD_INPUT, FINDINGS, FINE, run
from workbook_builder.code_tables.load import load
from workbook_builder.harness import verify
from workbook_builder.harness.explain import ANSWERS, Explained
from workbook_builder.harness.explain_graph import Graph
from workbook_builder.reference.run import calculate_all
from workbook_builder.sheets.compile import compile_book
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.order import SHEETS

from .books import write_book
from .reader.files import good_circuit, good_entries
from .test_verify import with_formula

JOBS = (
    good_entries(code_edition=2017.0, add_ev_a=48.0, run_ft=60.0, wiring="PVC 40", site="=not\x1b[31m run"),
    good_entries(job_no="J-20", add_heat_pump_kva=6.0, option_wanted="added panel", feeder_breaker_wanted_a=100.0),
    good_entries(job_no="J-3", market=None),
)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("explain") / "book.xlsx"
    write_book(
        path, pd.DataFrame(list(JOBS), dtype=object), circuits=pd.DataFrame([good_circuit()], dtype=object),
        overrides={"feeder_minimum": 50.0},
    )  # fmt: skip
    return path


@pytest.fixture(scope="module")
def expected() -> pd.DataFrame:
    return calculate_all(
        pd.DataFrame(list(JOBS), dtype=object), pd.DataFrame([good_circuit()], dtype=object),
        overrides={"feeder_minimum": 50.0},
    )[0]  # fmt: skip


def _shown(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    code = run(["explain", *map(str, arguments)])
    return code, capsys.readouterr().out


def _number(value: object) -> str:
    return f"{value:.6f}".rstrip("0").rstrip(".")


def _flat(text: str) -> str:
    return " ".join(text.split())


def test_one_result_down_to_its_entries(
    book: Path, expected: pd.DataFrame, capsys: pytest.CaptureFixture[str]
) -> None:
    """Value, cell, rule, section, formula; typed entries and defaults with their cells; parameters with their source."""
    code, text = _shown(capsys, book, "j-1", "feeder_breaker_a")
    sheets = openpyxl.load_workbook(book)
    feeder, jobs = sheets["Feeder"], sheets["Jobs"]
    at = {cell.value: cell.column_letter for cell in feeder[9]}
    typed = {cell.value: cell.column_letter for cell in jobs[9]}
    flat, rule = _flat(text), load().rules["feeder_breaker_a"]

    assert code == FINE
    assert "Job J-1, row 10, edition 2017; values of ironcalc" in flat
    assert f"feeder_breaker_a = {_number(expected['feeder_breaker_a'][0])} A Feeder!{at['feeder_breaker_a']}10" in flat
    assert f"{rule.title}: {rule.sentence} [{rule.sections[2017]}]" in flat
    assert feeder[f"{at['feeder_breaker_a']}10"].value in flat
    assert "feeder_breaker_wanted_a = 0 A Inputs!" in flat
    assert f"Jobs!{typed['feeder_breaker_wanted_a']}10 is blank, which takes 0 A" in flat
    assert "add_ev_a = 48 A Inputs!" in flat
    assert f"typed in Jobs!{typed['add_ev_a']}10" in flat
    assert f"feeder_load_a = {_number(expected['feeder_load_a'][0])} A" in flat
    assert "Standard ampere ratings" in flat and "Table 240.6(A)" in flat


def test_each_step_is_opened_once_and_indented(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, text = _shown(capsys, book, "J-1", "raceway_size")
    flat = _flat(text)
    opened = {
        name: flat.count(f" {rule.title}: {rule.sentence[:40]}") for name, rule in load().rules.items()
        if f"{name} = " in flat
    }  # fmt: skip

    assert text.splitlines()[2].startswith("raceway_size = ")
    assert set(opened.values()) <= {0, 1}
    assert sum(opened.values()) > 10
    assert max(len(line) - len(line.lstrip()) for line in text.splitlines()) >= 6


def test_the_main_answers_in_the_order_of_the_sheets(
    book: Path, expected: pd.DataFrame, capsys: pytest.CaptureFixture[str]
) -> None:
    code, text = _shown(capsys, book, "J-20")
    places = [text.index(f"\n{name} = ") for name in ANSWERS]
    order = [name.upper() for name in (sheet.name for sheet in SHEETS)]
    headings = [line for line in text.splitlines() if line in order]

    assert code == FINE
    assert places == sorted(places)
    assert headings == [name for name in order if name in headings]
    for name in ANSWERS:
        value = expected[name][1]
        words = value if isinstance(value, str) else _number(value)
        assert f"\n{name} = {words or 'blank'}" in text
    assert "feeder_breaker_a = 100 A" in text


def test_a_local_rule_is_named_with_what_it_replaces(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, text = _shown(capsys, book, "J-1", "feeder_needed_a")

    assert "feeder_minimum = 50 A Local rules!H" in _flat(text)
    assert f"a local rule in the place of {_number(load().parameters['feeder_minimum'].values[2017])} A" in _flat(text)


@pytest.mark.parametrize("width", [50, 72, 132])
def test_plain_text_as_wide_as_the_terminal(book: Path, width: int) -> None:
    """In a pipe, too; texts of the workbook cannot steer the terminal."""
    ended = subprocess.run(
        [sys.executable, "-m", "workbook_builder", "explain", str(book), "J-1", "feeder_size"],
        capture_output=True, text=True, encoding="utf-8", env={**os.environ, "COLUMNS": str(width)},
    )  # fmt: skip

    assert ended.returncode == FINE, ended.stderr
    assert max(map(len, ended.stdout.splitlines())) <= width
    assert all(line.isprintable() for line in ended.stdout.splitlines())


def test_a_text_cannot_steer_the_terminal(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, text = _shown(capsys, book, "J-1", "site")

    assert "=not\\x1b[31m run" in text
    assert "\x1b" not in text


@pytest.mark.parametrize(
    ("job", "field", "words"),
    [
        ("J-2", None, "no job 'J-2'; nearest: J-20"),
        ("nothing like it", None, "no job 'nothing like it'; there are J-1, J-20, J-3"),
        ("J-1", "feeder_braker_a", "no field 'feeder_braker_a'; nearest: feeder_breaker_a"),
        ("J-1", "circuit_va", "circuit_va is a result of a circuit, on the sheet Circuit check"),
    ],
)
def test_an_unknown_job_or_field(
    book: Path, job: str, field: str | None, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["explain", str(book), job, *([field] if field else [])]) == BAD_INPUT
    shown = capsys.readouterr()
    assert words in shown.err and shown.err.count("\n") == 1
    assert shown.out == ""


def test_a_job_that_is_not_ready_says_why(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, text = _shown(capsys, book, "J-3", "total_load_a")

    assert code == FINDINGS
    assert "The row is not ready, so nothing is calculated: missing: market" in _flat(text)


def test_a_changed_formula_is_told(book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The formula that is there is shown, its value, the one that was built and what the reference says."""
    changed = with_formula(book, tmp_path / "changed.xlsx", "Feeder", "feeder_needed_a", "12+1")
    code, text = _shown(capsys, changed, "J-1", "feeder_breaker_a")

    assert code == FINDINGS
    assert "=12+1" in text
    assert "feeder_needed_a = 13 A" in text
    assert "DIFFERS: not as built, which is =IF(" in text
    assert text.count("DIFFERS: the reference says") == 2


def test_without_an_engine_the_values_are_the_reference_s(
    book: Path, expected: pd.DataFrame, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(verify, "available", lambda _: None)
    code, text = _shown(capsys, book, "J-1", "feeder_load_a")

    assert code == FINE
    assert "values of the reference; no recalculation engine is installed" in _flat(text)
    assert f"feeder_load_a = {_number(expected['feeder_load_a'][0])} A" in text


def test_every_result_and_entry_can_be_explained(book: Path) -> None:
    job = Explained(book, "J-1", engine=None)
    for name in job.graph.places:
        step = job.step(name)
        assert step.sentence and step.section and step.formula.startswith("="), name
        assert not step.remarks, (name, step.remarks)
    assert job.clean


def test_what_a_result_rests_on_is_what_its_formula_reads() -> None:
    """Cells of the same row in the formula, found by their addresses, are the needs found by name."""
    layout = Layout(load(), rows=10)
    compiled = compile_book(SHEETS, layout)
    graph = Graph(SHEETS, compiled, layout)
    letters = {
        (sheet.name, column.letter): column.name for sheet in compiled if sheet.grid == "jobs" for column in sheet.columns
    }
    everything = dict.fromkeys(graph.places, 1)
    checked = 0
    for name, place in graph.places.items():
        if place.is_entry or "{row}:" in place.column.cell:
            continue
        read = {
            letters.get(((sheet or place.sheet).strip("'"), at))
            for sheet, at in re.findall(r"(?:('[^']+'|\w+)!)?\$([A-Z]+)\{row\}", place.column.cell)
        }
        found = {one for one in graph.needs(name, everything)}
        # What is read as a whole column has no address in this row.
        whole = {text[5:-1].rpartition(".")[2] for text in graph.texts(name) if text.startswith("{all.")}
        extra = {"row_state", "edition_index", None, name}
        assert read - extra == found - extra - (whole - read), name
        checked += 1
    assert checked > 900
