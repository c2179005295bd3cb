"""Every engine computes what Excel documents, cleanly and within its time.

The expected values are those that the documentation of Excel's functions
gives for such arguments; none of them was copied from an engine.
"""

from __future__ import annotations

import shutil
import tempfile
import threading
from importlib import metadata
from pathlib import Path

import pytest
import xlsxwriter

from workbook_builder.harness.engines import (
    ENGINES,
    CellError,
    EngineFailed,
    EngineMissing,
    available,
    recalculate,
)

MARKS = {"libreoffice": pytest.mark.libreoffice, "gnumeric": pytest.mark.gnumeric}
EACH_ENGINE = [pytest.param(name, marks=MARKS.get(name, ())) for name in ENGINES]

#: Formula and the value that Excel documents. `Table data` holds
#:        A     B   C   D   E
#:   1   size   60  75  90
#:   2   14     15  20  25  a|1
#:   3   12     20  25  30  a|2
#:   4   10     30  35  40  b|1
#: with the sizes as text; B6 is a formula that gives "", C6 one that gives 7.
#: The names `sizes` and `headings` are A2:A4 and B1:D1, `in_use` is A7, 3.
CASES = {
    "text": ('="a"&"b"', "ab"),
    "text with markup": ('="5 < 6 & ""six"""', '5 < 6 & "six"'),
    "text that looks like an error": ('="#N/A"', "#N/A"),
    "text of digits stays text": ('="007"&""', "007"),
    "empty text": ('=""', ""),
    "copy of empty text": ("='Table data'!$B$6", ""),
    "blank cell counts as zero": ("='Table data'!$Z$99", 0),
    "blank cell equals empty text": ("='Table data'!$Z$99=\"\"", True),
    "whole number": ("=6*7", 42),
    "fraction": ("=1/3", pytest.approx(1 / 3, rel=1e-14)),
    "large number": ("=2^40", 2**40),
    "more than 15 digits": ("=2^60", 2**60),
    "small number": ("=1/3000000000000", pytest.approx(1 / 3e12, rel=1e-14)),
    "true": ("=2>1", True),
    "false": ("=2<1", False),
    "not available": ("=NA()", CellError("#N/A")),
    "division by zero": ("=1/0", CellError("#DIV/0!")),
    "text in arithmetic": ('="a"*1', CellError("#VALUE!")),
    "no match": ("=MATCH(\"8\", 'Table data'!$A$2:$A$4, 0)", CellError("#N/A")),
    "root of a negative": ("=SQRT(-1)", CellError("#NUM!")),
    "index beyond": ("=INDEX('Table data'!$B$2:$D$4, 9, 1)", CellError("#REF!")),
    "truth value joined": ('="is "&(2>1)', "is TRUE"),
    "either, with an error": ("=OR(2>1, NA())", CellError("#N/A")),
    "truth values compared": ("=(1<2)=(3<4)", True),
    "joined digits in arithmetic": ("=(1&2)*2", 24),
    "per cent of a sum": ("=(1+2)%", 0.03),
    "power of a power": ("=2^3^2", 64),
    "error caught": ('=IFERROR(1/0, "over")', "over"),
    "no error to catch": ('=IFERROR(3, "over")', 3),
    "broadcast by heading": (
        "=SUMPRODUCT(('Table data'!$B$2:$D$4<26)*('Table data'!$B$1:$D$1=75))+1",
        3,
    ),
    "two-way look-up": (
        "=INDEX('Table data'!$B$2:$D$4, MATCH(\"12\", sizes, 0), MATCH(90, headings, 0))",
        30,
    ),
    "key of two parts": (
        "=INDEX('Table data'!$D$2:$D$4, MATCH(\"b|\"&1, 'Table data'!$E$2:$E$4, 0))",
        40,
    ),
    "count below": ("=COUNTIF('Table data'!$C$2:$C$4, \"<\"&25)", 1),
    "count up to": ("=COUNTIF('Table data'!$C$2:$C$4, \"<=\"&25)", 2),
    "next size up": (
        "=INDEX('Table data'!$A$2:$A$4, COUNTIF('Table data'!$D$2:$D$4, \"<\"&26)+1)",
        "12",
    ),
    "sum by condition": (
        "=SUMIF('Table data'!$B$2:$B$4, \">15\", 'Table data'!$D$2:$D$4)",
        70,
    ),
    "sum skips empty text": ("=SUM('Table data'!$B$6:$C$6)", 7),
    "workbook name": ("=in_use+1", 4),
    "up to a multiple": ("=CEILING(7.2, 5)", 10),
    "round up after noise": ("=ROUNDUP(ROUND(0.1*3*10, 6), 0)", 3),
    "grouped digits": ("=FIXED(1234.5, 2)", "1,234.50"),
    "day number": ("=DATE(2026, 1, 31)", 46053),
}

#: Where an engine is known to differ; a test says so when it stops to.
DEVIATIONS = {
    ("libreoffice", "root of a negative"): "its own code 502 is written as #VALUE!",
    ("libreoffice", "index beyond"): "its own code 502 is written as #VALUE!",
    ("libreoffice", "truth value joined"): "joins TRUE as 1",
    ("libreoffice", "more than 15 digits"): "writes 15 significant digits",
    ("ironcalc", "either, with an error"): "stops at the first TRUE",
    ("ironcalc", "truth value joined"): "loses the brackets of the comparison",
    ("ironcalc", "truth values compared"): "loses the brackets of the second one",
    ("ironcalc", "joined digits in arithmetic"): "loses the brackets of the join",
    ("ironcalc", "per cent of a sum"): "loses the brackets of the sum",
    ("gnumeric", "power of a power"): "works from right to left",
}


def need(engine):
    """Skip the test when the engine is not installed."""
    if available(engine) is None:
        pytest.skip(f"the engine {engine} is not installed")


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    """A workbook with the cases in Cases!A, each with a false old result."""
    path = tmp_path_factory.mktemp("engines") / "book.xlsx"
    false_results = [-1, "old", True, "#REF!"]
    with xlsxwriter.Workbook(path) as workbook:
        cases = workbook.add_worksheet("Cases")
        data = workbook.add_worksheet("Table data")
        workbook.add_worksheet("Empty")
        for row, (formula, _) in enumerate(CASES.values()):
            cases.write_formula(row, 0, formula, None, false_results[row % 4])
        data.write_row(0, 0, ["size", 60, 75, 90])
        for row, line in enumerate((("14", 15, 20, 25), ("12", 20, 25, 30), ("10", 30, 35, 40)), start=1):
            data.write_string(row, 0, line[0])
            data.write_row(row, 1, line[1:])
        data.write_column(1, 4, ["a|1", "a|2", "b|1"])
        data.write_formula(5, 1, '=IF(1=1, "", 5)', None, 99)
        data.write_formula(5, 2, "=3+4", None, 99)
        data.write_number(6, 0, 3)
        workbook.define_name("sizes", "='Table data'!$A$2:$A$4")
        workbook.define_name("headings", "='Table data'!$B$1:$D$1")
        workbook.define_name("in_use", "='Table data'!$A$7")
        workbook.define_name("canary", "='Table data'!$C$6")
    return path


@pytest.fixture(scope="module")
def results(book):
    """Return a function that gives an engine's results, computed once."""
    known = {}

    def of(engine):
        need(engine)
        if engine not in known:
            known[engine] = recalculate(book, engine=engine)
        return known[engine]

    return of


def small_book(path, formulas, *, canary=None, title="Sheet"):
    """Write a workbook with formulas, {A1 name: formula}, all with old result 1."""
    with xlsxwriter.Workbook(path) as workbook:
        sheet = workbook.add_worksheet(title)
        for name, formula in formulas.items():
            sheet.write_formula(name, formula, None, 1)
        if canary:
            workbook.define_name("canary", canary)
    return path


def each_case():
    """Yield every pair of engine and case, a known deviation marked."""
    for engine in ENGINES:
        for name in CASES:
            marks = [MARKS[engine]] if engine in MARKS else []
            reason = DEVIATIONS.get((engine, name))
            if reason:
                marks.append(pytest.mark.xfail(reason=reason, strict=True))
            yield pytest.param(engine, name, marks=marks, id=f"{engine}-{name}")


@pytest.mark.parametrize(("engine", "name"), list(each_case()))
def test_result_is_the_documented_one(results, engine, name):
    """Value and kind of a result are those Excel documents."""
    expected = CASES[name][1]
    found = results(engine)["Cases"][list(CASES).index(name)][0]

    assert expected == found
    for kind in (bool, CellError, str):
        assert isinstance(expected, kind) == isinstance(found, kind)


@pytest.mark.parametrize("engine", EACH_ENGINE)
def test_inputs_and_shape_are_the_same_for_every_engine(results, engine):
    """Grids reach as far as the file is filled, with what is typed in it."""
    expected = [
        ["size", 60, 75, 90, None],
        ["14", 15, 20, 25, "a|1"],
        ["12", 20, 25, 30, "a|2"],
        ["10", 30, 35, 40, "b|1"],
        [None] * 5,
        [None, "", 7, None, None],
        [3, None, None, None, None],
    ]
    found = results(engine)

    assert ["Cases", "Table data", "Empty"] == list(found)
    assert expected == found["Table data"]
    assert [] == found["Empty"]
    assert len(CASES) == len(found["Cases"])


@pytest.mark.parametrize("engine", EACH_ENGINE)
def test_only_the_sheets_asked_for_come_back_silently(book, engine, capfd):
    """`sheets` chooses and orders; nothing is printed; progress is told."""
    need(engine)
    told, lines = [], []
    found = recalculate(
        book,
        engine=engine,
        sheets=["Empty", "Cases"],
        progress=told.append,
        stderr_lines=lines,
    )

    assert ["Empty", "Cases"] == list(found)
    assert ("", "") == capfd.readouterr()
    assert f"{engine}: computing {len(CASES) + 2} formulas" == told[-1]
    assert not [line for line in lines if "it/s" in line]


@pytest.mark.parametrize("engine", EACH_ENGINE)
def test_user_folders_and_temporary_folder_stay_clean(book, engine, tmp_path, monkeypatch):
    """An engine runs without a usable home and leaves nothing behind."""
    need(engine)
    monkeypatch.setenv("HOME", "/nonexistent/home")
    monkeypatch.setenv("XDG_CONFIG_HOME", "/nonexistent/config")
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    before = book.read_bytes()
    found = recalculate(book, engine=engine, sheets=["Table data"])

    assert 7 == found["Table data"][5][2]
    assert [] == list(tmp_path.iterdir())
    assert before == book.read_bytes()


@pytest.mark.parametrize("engine", EACH_ENGINE)
def test_two_runs_do_not_disturb_each_other(book, engine):
    """Two runs of one engine at the same time both succeed."""
    need(engine)
    found = []

    def run():
        found.append(recalculate(book, engine=engine)["Table data"][5][2])

    threads = [threading.Thread(target=run) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert [7, 7] == found


@pytest.mark.parametrize("engine", EACH_ENGINE)
def test_engine_that_takes_too_long_is_ended(book, engine, tmp_path, monkeypatch):
    """A run that outlasts its time fails by name, and no process stays."""
    need(engine)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    with pytest.raises(EngineFailed, match=f"{engine}: .*no answer within 0.001 s"):
        recalculate(book, engine=engine, timeout=0.001)

    assert [] == list(tmp_path.iterdir())
    assert [] == processes_that_mention(tmp_path)


def processes_that_mention(path):
    """Return the command lines, as far as /proc shows them, that hold a path."""
    lines = []
    for entry in Path("/proc").glob("[0-9]*/cmdline"):
        try:
            line = entry.read_bytes()
        except OSError:
            continue
        if str(path).encode() in line:
            lines.append(line)
    return lines


def test_keep_rows_computes_headings_and_kept_rows_only(tmp_path):
    """`formulas` leaves the rows out that are not kept, below the first kept."""
    need("formulas")
    rows = {f"A{row}": f"={row}*10" for row in (1, 4, 5, 6, 7)}
    book = small_book(tmp_path / "b.xlsx", {**rows, "B1": "=SUM($A$4:$A$7)"})
    found = recalculate(book, engine="formulas", keep_rows={"Sheet": {5, 7}})

    expected = [10, None, None, 40, 50, None, 70]
    assert expected == [row[0] for row in found["Sheet"]]
    assert 40 + 50 + 70 == found["Sheet"][0][1]


def test_formula_that_cannot_be_read_is_named(tmp_path):
    """`formulas` stops at a structured reference, and the message says where."""
    need("formulas")
    book = small_book(tmp_path / "b.xlsx", {"A1": "=1+1", "B2": "=SUM(jobs[va])"})
    with pytest.raises(EngineFailed, match=r"cannot read the formula in Sheet!B2: ="):
        recalculate(book, engine="formulas")


@pytest.mark.parametrize("engine", EACH_ENGINE)
def test_missing_engine_is_named_with_its_remedy(book, engine, monkeypatch):
    """Without its program or package, an engine is not available."""

    def not_installed(name):
        raise metadata.PackageNotFoundError(name)

    monkeypatch.setattr(shutil, "which", lambda _: None)
    monkeypatch.setattr(metadata, "version", not_installed)

    assert available(engine) is None
    with pytest.raises(EngineMissing, match=f"{engine} is not installed: install"):
        recalculate(book, engine=engine)
