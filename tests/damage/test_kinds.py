"""Every kind of damage is found, at its place and in its class, and nothing else is said."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from workbook_builder.cli import FINDINGS, run
from workbook_builder.harness.engines import available
from workbook_builder.harness.report import as_text
from workbook_builder.harness.verify import verify

from ..parsed_once import parsed_once
from .entries import ENTRIES, LISTED, NO_MATTER
from .formulas import FORM_ONLY, FORMULAS
from .kind import DIFFERENT, FAILED, Kind, said
from .sheets import FOLLOWED, SHEETS
from .workbook import Workbook

ALL = (*FORMULAS, *SHEETS, *ENTRIES, *LISTED, *FOLLOWED, *FORM_ONLY, *NO_MATTER)
NO_FAULT = ("listed: ", "rule: ", "price: ")
LEAST = 60


@pytest.fixture(scope="module", autouse=True)
def _sheets_read_once() -> Iterator[None]:
    with parsed_once():
        yield


def test_there_are_enough_kinds_and_each_has_its_name() -> None:
    damaging = [one for one in ALL if one.says]

    assert len(damaging) >= LEAST
    assert len({one.name for one in ALL}) == len(ALL)


@pytest.mark.parametrize("one", ALL, ids=lambda one: one.name)
def test_damage_is_found_and_nothing_else(one: Kind, tmp_path: Path) -> None:
    book = Workbook()
    one.damage(book)
    engines = ["ironcalc"] if one.results else []

    report = verify(book.save(tmp_path / "book.xlsx"), engines=engines)

    assert said(report) == one.says
    faults = {line for line in one.says if not line.startswith(NO_FAULT)}
    assert report.clean is not bool(faults or one.results in (DIFFERENT, FAILED))
    assert as_text(report, shown=5).endswith("clean" if report.clean else "findings: see above")
    if one.results == FAILED:
        assert report.failed
    elif one.results:
        assert report.failed == []
        assert bool(report.engines[0].comparison.differences) is (one.results == DIFFERENT)


@pytest.mark.parametrize(
    "engine",
    [
        "ironcalc",
        pytest.param("libreoffice", marks=pytest.mark.libreoffice),
        pytest.param("gnumeric", marks=pytest.mark.gnumeric),
    ],
)
def test_the_untouched_book_is_clean(engine: str, tmp_path: Path) -> None:
    if available(engine) is None:
        pytest.skip(f"{engine} is not installed")

    report = verify(Workbook().save(tmp_path / "book.xlsx"), engines=[engine])

    assert said(report) == set()
    assert report.engines[0].comparison.differences == ()
    assert report.clean


def test_the_questions_are_answered_in_order_in_text_and_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One damage of each sort in one file: six headings, and a key for each."""
    book = Workbook()
    for name in ("sheet hidden", "formula deleted", "price changed", "entry of circuits: an unknown choice"):
        next(one for one in ALL if one.name == name).damage(book)
    path = book.save(tmp_path / "book.xlsx")

    assert run(["verify", str(path), "--engine", "ironcalc", "--json", str(tmp_path / "report.json")]) == FINDINGS
    lines = capsys.readouterr().out.splitlines()
    heads = [line.strip() for line in lines if line[:3].strip().isdigit()]
    report = json.loads((tmp_path / "report.json").read_text(encoding="utf-8"))

    assert [head.split()[0] for head in heads] == ["1", "2", "3", "4", "5", "6"]
    assert [line.split()[0] for line in lines if line.startswith("    ")][:4] == ["hidden", "book.xlsx,", "missing", "Price"]
    assert report["safe"] is True
    assert [one["kind"] for one in report["whole"]] == ["hidden"]
    assert len(report["input_faults"]) == 1
    assert [(one["kind"], one["sheet"]) for one in report["formula_faults"]] == [("missing", "Loads")]
    assert [one["sheet"] for one in report["changes"]] == ["Price book"]
    assert report["engines"][0]["comparison"]["differences"]
    assert report["clean"] is False
