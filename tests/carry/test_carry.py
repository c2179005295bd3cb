"""carry: what was typed into an old workbook stands in the new one, and every value is accounted for."""

from __future__ import annotations

import hashlib
import json
import os
import re
import zipfile
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from xml.sax.saxutils import escape

import pandas as pd
import pytest

from workbook_builder.cli import BAD_INPUT, FINDINGS, FINE, run
from workbook_builder.code_tables.load import load
from workbook_builder.harness.engines.package import contents, open_archive
from workbook_builder.harness.verify import verify
from workbook_builder.reader.book_jobs import read_book
from workbook_builder.reader.csv_jobs import read_circuits, read_jobs

from ..reader.files import good_circuit, good_entries
from .books import (
    HERE,
    PREVIOUS,
    THIS,
    assert_clean_with_same_results,
    assert_same,
    column,
    edited,
    held,
    row_of,
    small,
)

TEXTS = (
    "=cmd|' /C calc'!A0", "+1", "-1", "@x", "\t=1", "\r=1", " =1 ", "first\nsecond\r\nthird", 'say "so"', "'quoted",
    "_x0041_", "\x01\x1f", "\u65e5\u672c \u0301e \U0001f50c \u202eabc", "<a>&amp;</a>", "#N/A", "TRUE", "1e5", " ", "x" * 32_000,
)  # fmt: skip


PRICE = load().books.keys("price_book")[3]


def _carry(old: Path, new: Path, *options: str) -> tuple[int, dict[str, list[dict[str, object]]]]:
    before = hashlib.sha256(old.read_bytes()).hexdigest()
    code = run(["carry", str(old), "--out", str(new), "--json", str(new.with_suffix(".json")), *options])
    assert hashlib.sha256(old.read_bytes()).hexdigest() == before
    return code, json.loads(new.with_suffix(".json").read_text(encoding="utf-8"))


def _told(report: dict[str, list[dict[str, object]]], kind: str) -> set[tuple[object, ...]]:
    return {(one["sheet"], one.get("cell"), one["value"]) for one in report[kind]}


def _is_clean(path: Path) -> bool:
    return verify(path, engines=["ironcalc"]).clean


def test_the_samples_go_round(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every entry and every recalculated result is the same; nothing is refused, changed or defaulted."""
    run(["build", "--out", str(tmp_path / "old.xlsx")])
    code, report = _carry(tmp_path / "old.xlsx", tmp_path / "new.xlsx")

    assert code == FINE, report
    assert not any(report[kind] for kind in ("refused", "changed", "not_valid", "defaulted"))
    assert "19 jobs in 100 rows, 45 circuits in 200" in capsys.readouterr().out
    assert_same(tmp_path / "old.xlsx", tmp_path / "new.xlsx")
    assert_clean_with_same_results(tmp_path / "old.xlsx", tmp_path / "new.xlsx")
    samples = read_jobs(HERE.parents[1] / "samples" / "jobs.csv")
    entered = int(samples.notna().sum().sum())
    assert sum(one["sheet"] == "Jobs" for one in report["carried"]) == entered


def test_from_the_previous_release(tmp_path: Path) -> None:
    """The lists it was built from are in the new workbook; what is unknown today is named with its value."""
    code, report = _carry(PREVIOUS, tmp_path / "new.xlsx")
    jobs = read_jobs(HERE / "previous_jobs.csv")
    circuits = read_circuits(HERE / "previous_circuits.csv", jobs=jobs)
    new = read_book(tmp_path / "new.xlsx")

    assert code == FINDINGS
    for given, found in ((jobs, new.jobs), (circuits, new.circuits)):
        pd.testing.assert_frame_equal(given.reset_index(drop=True), found.reset_index(drop=True), check_dtype=False)
    assert new.overrides == {"working_width": 32.0}
    assert new.reasons == {
        "working_width": "Asked for by the inspector in the demo town", "feeder_minimum": "60 A is what we stock",
    }  # fmt: skip
    assert _told(report, "refused") == {("Local rules", "H82", 1200), ("Local rules", "I82", "Own figure")}
    assert [one["sheet"] for one in report["defaulted"]] == [*["Jobs"] * 7, "Price book"], "seven entries are new"
    assert (new.rows, new.circuit_rows) == (6, 20)
    assert not new.prices.changes
    assert _is_clean(tmp_path / "new.xlsx")


def test_from_this_release(tmp_path: Path) -> None:
    """Own prices, an added line and own settings are carried; beside them stands what a new workbook has."""
    code, report = _carry(THIS, tmp_path / "new.xlsx")
    old, new = read_book(THIS), read_book(tmp_path / "new.xlsx")

    assert code == FINE, report
    assert_same(THIS, tmp_path / "new.xlsx")
    assert_clean_with_same_results(THIS, tmp_path / "new.xlsx")
    assert {(one.key, one.column, one.found) for one in new.prices.changes} == {
        (one.key, one.column, one.found) for one in old.prices.changes
    }
    assert len(new.prices.changes) == 8


def test_an_earlier_book_with_other_prices_shows_them_as_changed(tmp_path: Path) -> None:
    """Also where the old workbook was built with these prices: as built is what this version has."""
    old = small(tmp_path / "old.xlsx")
    row = row_of(old, "Price book", PRICE)
    edited(old, {"Price book": {f"{at}{row}": value for at, value in zip("DEFMNO", (1, 2, 3) * 2, strict=True)}})
    assert not read_book(old).prices.changes
    code, _ = _carry(old, tmp_path / "new.xlsx")
    found = read_book(tmp_path / "new.xlsx").prices

    assert code == FINE
    assert [(one.key, one.column, one.found) for one in found.changes] == [
        (PRICE, "low", 1.0), (PRICE, "likely", 2.0), (PRICE, "high", 3.0),
    ]  # fmt: skip


def test_any_text_goes_unchanged(tmp_path: Path) -> None:
    """In every text field of jobs and circuits, in reasons, in a setting and in lines of the price book."""
    code = load()
    fields = [one.name for one in code.job_fields if one.kind == "text" and one.name != "job_no"]
    listed = [one.name for one in code.circuit_fields if one.kind == "text" and one.name != "job_no"]
    old = small(
        tmp_path / "old.xlsx",
        *(good_entries(job_no=f"J-{at}", **dict.fromkeys(fields, text)) for at, text in enumerate(TEXTS, 1)),
        circuits=[good_circuit(**dict.fromkeys(listed, text)) for text in TEXTS],
    )
    spare = 10 + len(code.books.lines["price_book"])
    own, reasons = {}, {}
    for row, text in enumerate(TEXTS, start=spare):
        own |= {f"A{row}": f"own|{row}", f"B{row}": text, f"D{row}": 1, f"E{row}": 2, f"F{row}": 3, f"I{row}": text}
        reasons[f"I{10 + row - spare}"] = text
    _with_texts(old, {"Price book": own, "Settings": {"D10": TEXTS[0]}, "Local rules": reasons})
    _carry(old, tmp_path / "new.xlsx")
    new = held(tmp_path / "new.xlsx")

    assert_same(old, tmp_path / "new.xlsx")
    for name in fields:
        assert tuple(new.lists["Jobs"][name]) == TEXTS
    for name in listed:
        assert tuple(new.lists["Circuits"][name]) == TEXTS
    assert tuple(one["words"] for one in new.lines["price_book"][-len(TEXTS) :]) == TEXTS
    assert new.settings["company_name"]["value"] == TEXTS[0]
    assert tuple(one["reason"] for one in new.rules.values()) == TEXTS


def _with_texts(path: Path, cells: dict[str, dict[str, object]]) -> None:
    """Texts put into cells as texts, whatever they look like."""
    with open_archive(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
        sheets = contents(archive).sheets
    for sheet, values in cells.items():
        xml = parts[sheets[sheet]].decode()
        for cell, value in values.items():
            kind, inner = ("n", f"<v>{value}</v>") if not isinstance(value, str) else (
                "inlineStr", f'<is><t xml:space="preserve">{escape(_coded(value))}</t></is>'
            )
            start = xml.index(f'<c r="{cell}"')
            end = xml.index(">", start)
            closed = end + 1 if xml[end - 1] == "/" else xml.index("</c>", start) + 4
            xml = f'{xml[:start]}<c r="{cell}" t="{kind}">{inner}</c>{xml[closed:]}'
        parts[sheets[sheet]] = xml.encode()
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as target:
        for name, data in parts.items():
            target.writestr(name, data)


def _coded(text: str) -> str:
    """Characters that XML cannot hold, as workbooks write them."""
    plain = text.replace("_x0041_", "_x005F_x0041_")
    return "".join(f"_x{ord(one):04X}_" if ord(one) < 0x20 and one not in "\t\n" else one for one in plain)


def test_entries_of_the_wrong_kind_are_carried_as_typed(tmp_path: Path) -> None:
    """They are told with their place in the new workbook; a truth value stays one, a number as text a text."""
    jobs = [
        good_entries(floor_area_ft2="two thousand", wiring="gold", range_kw=True, main_spaces=85.0, visit_date="soon"),
        good_entries(job_no=101.0, visit_date=date(2024, 5, 31), service_a="200", site=5.5),
        {"site": "no number"},
    ]
    old = small(tmp_path / "old.xlsx", *jobs, circuits=[good_circuit(poles=3.0, job_no="none such", breaker_a="x")])
    price, spare = row_of(old, "Price book", PRICE), 10 + len(load().books.lines["price_book"])
    edited(old, {
        "Price book": {f"D{price}": "cheap", f"E{price}": None, f"D{spare}": 5, f"H{spare}": 2024},
        "Labour units": {"D10": True},
        "Settings": {"D12": "much", "D10": 7},
        "Local rules": {"H10": "more", "H11": 5},
    })  # fmt: skip
    code, report = _carry(old, tmp_path / "new.xlsx")

    assert code == FINDINGS
    assert not report["refused"] and not report["changed"]
    assert_same(old, tmp_path / "new.xlsx")
    assert _without_file(report["not_valid"]) == _without_file(read_book(tmp_path / "new.xlsx").faults)
    assert _without_file(report["not_valid"]) == _without_file(read_book(old).faults)
    assert len(report["not_valid"]) > 15


def _without_file(faults: Iterable[object]) -> list[str]:
    return sorted(str(one).partition(", ")[2] for one in faults)


def test_formulas_and_error_values_among_the_entries(tmp_path: Path) -> None:
    """A formula is carried as its last result, an error value as text; one without a result is refused. All are told."""
    old = small(tmp_path / "old.xlsx", good_entries(range_kw=8.0, oven_kw=4.0, site="here", estimator="me"))
    at = {name: f"{column(old, 'Jobs', name)}10" for name in ("range_kw", "oven_kw", "site", "estimator")}
    _with_cells(old, "Jobs", {
        at["range_kw"]: "<f>4*3</f><v>12</v>", at["oven_kw"]: "<f>2+2</f>",
        at["site"]: '" t="e"><v>#N/A</v>', at["estimator"]: '" t="str"><f>"a"&amp;"b"</f><v>ab</v>',
    })  # fmt: skip
    code, report = _carry(old, tmp_path / "new.xlsx")
    (job,) = held(tmp_path / "new.xlsx").lists["Jobs"].to_dict("records")

    assert code == FINDINGS
    assert (job["range_kw"], job["oven_kw"], job["site"], job["estimator"]) == (12.0, None, "#N/A", "ab")
    assert _told(report, "refused") == {("Jobs", at["oven_kw"], "=2+2")}
    assert _told(report, "changed") == {
        ("Jobs", at["range_kw"], 12), ("Jobs", at["site"], "#N/A"), ("Jobs", at["estimator"], "ab"),
    }  # fmt: skip
    assert "4*3" in str(report["changed"])


def _with_cells(path: Path, sheet: str, cells: dict[str, str]) -> None:
    """Cells replaced in the XML; what stands before `">` goes into the tag."""
    with open_archive(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
        part = contents(archive).sheets[sheet]
    xml = parts[part].decode()
    for cell, inner in cells.items():
        opening, content = inner.split(">", 1) if inner.startswith('"') else ("", inner)
        tag = f'<c r="{cell}{opening or chr(34)}>'
        xml, count = re.subn(rf'<c r="{cell}"[^>]*?(/>|>.*?</c>)', lambda _, t=tag, c=content: f"{t}{c}</c>", xml, count=1)
        assert count == 1
    parts[part] = xml.encode()
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as target:
        for name, data in parts.items():
            target.writestr(name, data)


@pytest.mark.parametrize("place", ["itself", "link", "hard link"])
def test_the_old_workbook_is_never_written(tmp_path: Path, place: str, capsys: pytest.CaptureFixture[str]) -> None:
    old, out = small(tmp_path / "old.xlsx"), tmp_path / "out.xlsx"
    before = old.read_bytes()
    if place == "link":
        out.symlink_to(old)
    elif place == "hard link":
        os.link(old, out)

    assert run(["carry", str(old), "--out", str(old if place == "itself" else out)]) == BAD_INPUT
    assert "the old workbook itself" in capsys.readouterr().err
    assert old.read_bytes() == before


@pytest.mark.parametrize("name", ["old.xlsx", "new.xlsx"])
def test_the_report_does_not_take_the_place_of_a_workbook(
    tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    old = small(tmp_path / "old.xlsx")
    before = old.read_bytes()

    assert run(["carry", str(old), "--out", str(tmp_path / "new.xlsx"), "--json", str(tmp_path / name)]) == BAD_INPUT
    assert "give the report another one" in capsys.readouterr().err
    assert old.read_bytes() == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["old.xlsx"]


def test_rows_as_asked_for(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Blank rows stay where there is room, else they are left out; too few rows are refused."""
    old = small(tmp_path / "old.xlsx", good_entries(), {}, {}, good_entries(job_no="J-2"), rows=9, circuit_rows=7)

    def rows_after(*options: str) -> tuple[list[int], int, int]:
        code, _ = _carry(old, tmp_path / "new.xlsx", *options)
        new = read_book(tmp_path / "new.xlsx")
        assert code == FINE
        return list(new.jobs.index), new.rows, new.circuit_rows

    assert rows_after() == ([10, 13], 9, 7)
    assert rows_after("--rows", "4", "--circuit-rows", "1") == ([10, 13], 4, 1)
    assert rows_after("--rows", "2", "--circuit-rows", "30") == ([10, 11], 2, 30)
    capsys.readouterr()
    for option, words in ((["--rows", "1"], "2 jobs need"), (["--rows", "0"], "from 1 to"), (["--circuit-rows", "7000"], "6,000")):
        assert run(["carry", str(old), "--out", str(tmp_path / "other.xlsx"), *option]) == BAD_INPUT
        assert words in capsys.readouterr().err
    assert not (tmp_path / "other.xlsx").exists()


@pytest.mark.parametrize(
    ("content", "words"),
    [(None, "no such file"), (b"", "must be a workbook"), (b"PK\x03\x04 no zip", "must be a workbook")],
)
def test_what_is_no_workbook_is_refused(
    tmp_path: Path, content: bytes | None, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    old = tmp_path / "old.xlsx"
    if content is not None:
        old.write_bytes(content)

    assert run(["carry", str(old), "--out", str(tmp_path / "new.xlsx")]) == BAD_INPUT
    errors = capsys.readouterr().err
    assert words in errors and errors.count("\n") == 1
    assert not (tmp_path / "new.xlsx").exists()
