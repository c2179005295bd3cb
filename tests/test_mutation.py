"""Mistakes planted in the formulas are found: a sample of the mutants, and the machinery that judges them.

`python -m tests.mutation` tries all of them.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from tests.mutation import equal
from tests.mutation.evaluate import survivors
from tests.mutation.frames import Frame
from tests.mutation.jobs import books_frame, entry_frame, error_frame, hand_frame, job_frame, rules_frame
from tests.mutation.mutants import Mutant, SheetFormulas
from tests.mutation.operators import Neighbours, mutations
from tests.mutation.report import WANTED, judge
from tests.mutation.run import Outcome, key_of, run
from workbook_builder.code_tables.load import load
from workbook_builder.harness.engines import available
from workbook_builder.sheets.compile import compile_book
from workbook_builder.sheets.formula import parse
from workbook_builder.sheets.layout import Layout
from workbook_builder.sheets.order import SHEETS

ONE_IN = 60
SHEET = {sheet.name: sheet for sheet in SHEETS}

needs_ironcalc = pytest.mark.skipif(available("ironcalc") is None, reason="ironcalc is not installed")


@needs_ironcalc
def test_a_sample_of_the_mutants_is_killed() -> None:
    """One mutant in 60 of every sheet; which ones is fixed by their names."""
    frames = (entry_frame(), error_frame(), hand_frame(), job_frame(), *map(rules_frame, (5, 7)), books_frame("odd"))
    outcome = run(frames, one_in=ONE_IN)

    verdict = judge(outcome, whole=False, sheets=SHEET)

    assert len(outcome.tried) > 200
    assert verdict.faults == []
    assert verdict.share >= WANTED, "survived: " + "; ".join(map(str, verdict.survived))


@cache
def _small() -> Frame:
    """A few jobs, enough to tell obvious mistakes apart."""
    whole = job_frame()
    return replace(whole, jobs=whole.jobs[:12], circuits=whole.circuits[:6])


def _mutant(change: str, cell: str) -> Mutant:
    return Mutant("Spaces", "spaces_free", "planted", change, cell, parse("[main_spaces]"))


@needs_ironcalc
def test_a_planted_survivor_is_reported_and_a_planted_mistake_is_not() -> None:
    """Adding nothing changes nothing; adding one does."""
    formulas = SheetFormulas(SHEET["Spaces"], _small().layout)
    column = next(one for one in SHEET["Spaces"].columns if one.name == "spaces_free")
    real = formulas.cell(column, parse(column.formula))
    same, wrong = _mutant("same", real.replace("-", "-0-")), _mutant("wrong", real.replace("-", "-1-"))

    found = survivors(_small(), SHEET["Spaces"], [same, wrong])

    assert found.alive == (same,)
    assert found.wrong == ()
    verdict = judge(Outcome([same, wrong], alive={key_of(same)}), given=[], whole=True, sheets=["Spaces"])
    assert verdict.survived == [same]
    assert not verdict.passed


@needs_ironcalc
def test_a_real_formula_that_does_not_give_the_reference_is_reported() -> None:
    """Were the workbook wrong, every mutant of the column would seem killed."""
    frame = replace(_small())
    frame.results["jobs"].loc[0, "spaces_free"] += 1

    found = survivors(frame, SHEET["Spaces"], [])

    assert found.wrong[0].startswith("Spaces.spaces_free, jobs, row ")


def _line(change: str = "same") -> equal.Line:
    return equal.Line("equal.csv", 2, ("Spaces", "spaces_free", "planted", change), "nothing is added")


def test_an_equal_mutant_is_accepted_only_with_its_line() -> None:
    same = _mutant("same", "1")
    outcome = Outcome([same], alive={key_of(same)})

    without = judge(outcome, given=[], whole=True, sheets=["Spaces"])
    with_line = judge(outcome, given=[_line()], whole=True, sheets=["Spaces"])
    by_pattern = judge(outcome, given=[_line(change="sa...")], whole=True, sheets=["Spaces"])

    assert (without.survived, without.passed) == ([same], False)
    assert (with_line.survived, with_line.passed) == ([], True)
    assert by_pattern.passed


def test_a_line_that_takes_a_killed_mutant_or_none_is_a_fault() -> None:
    killed = _mutant("wrong", "1")

    false = judge(Outcome([killed]), given=[_line(change="wrong")], whole=True, sheets=["Spaces"])
    idle = judge(Outcome([killed]), given=[_line(change="gone")], whole=True, sheets=["Spaces"])
    in_sample = judge(Outcome([killed]), given=[_line(change="gone")], whole=False, sheets=["Spaces"])

    assert false.faults == [
        "equal.csv, row 2: Spaces.spaces_free, planted: wrong is told apart, so it is not equal in effect"
    ]
    assert idle.faults == ["equal.csv, row 2: takes nothing; delete it"]
    assert in_sample.faults == []


def test_a_line_without_a_reason_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "equal.csv"
    path.write_text("sheet,column,operator,change,reason\nSpaces,a,b,c, \n", encoding="utf-8")

    with pytest.raises(ValueError, match=r"equal\.csv, row 2: no reason"):
        equal.lines(path)


def test_every_line_of_the_file_fits_some_mutant() -> None:
    """A mutant that is there no more takes its line with it."""
    layout = Layout(load(), rows=20)
    there = [one for sheet in SHEETS for one in SheetFormulas(sheet, layout).mutants()]

    idle = [line.row for line in equal.lines() if not any(map(line.fits, there))]

    assert idle == []


def test_mutants_are_written_as_the_compiler_writes() -> None:
    """The formula of an unchanged tree is the formula of the workbook."""
    layout = Layout(load(), rows=20)
    built = {sheet.name: {one.name: one.cell for one in sheet.columns} for sheet in compile_book(SHEETS, layout)}

    for sheet in SHEETS:
        formulas = SheetFormulas(sheet, layout)
        for column in sheet.columns:
            assert formulas.cell(column, parse(column.formula)) == built[sheet.name][column.name], column.name


@pytest.mark.parametrize(
    ("formula", "operator", "change"),
    [
        ("IF([a]>[b], 1, 2)", "comparison", "[a]>[b] -> [a]>=[b]"),
        ("IF([a]>[b], 1, 2)", "IF branches", "IF([a]>[b], 1, 2) -> IF([a]>[b], 2, 1)"),
        ("[a]+1", "lost one", "[a]+1 -> [a]"),
        ("[a]*[b]", "arithmetic", "[a]*[b] -> [a]/[b]"),
        ("MAX([a], [b])", "MAX and MIN", "MAX([a], [b]) -> MIN([a], [b])"),
        ("MATCH([a], {t.x}, 0)", "exact match", "MATCH([a], {t.x}, 0) -> MATCH([a], {t.x}, 1)"),
        ("INDEX({t.x}, 2)", "range one short", "{t.x} -> {t.x|short}"),
        ("ROUNDUP(ROUND([a], 6), 0)", "rounding", "ROUNDUP(ROUND([a], 6), 0) -> ROUNDDOWN(ROUND([a], 6), 0)"),
        ("AND([a]=1, [b]=2)", "AND and OR", "AND([a]=1, [b]=2) -> OR([a]=1, [b]=2)"),
        ("[a]+[c]", "neighbour column", "[c] -> [c beside]"),
        ('IF([a]="yes", 1, 0)', "text choice", '[a]="yes" -> [a]="no"'),
    ],
)  # fmt: skip
def test_each_operator_makes_its_mistake(formula: str, operator: str, change: str) -> None:
    near = Neighbours(
        column=lambda name: f"{name} beside",
        named=lambda _: None,
        choice=lambda _, value: {"yes": "no"}.get(value),
        range_end=lambda name: f"{name}|short",
    )

    found = {(one.operator, one.change) for one in mutations(parse(formula), near)}

    assert (operator, change) in found


def test_a_mutant_the_compiler_would_not_write_says_why() -> None:
    """A column that would need itself, and feet put beside amperes."""
    formulas = SheetFormulas(SHEET["Feeder"], Layout(load(), rows=20))
    circle = Mutant("Feeder", "feeder_load_a", "planted", "", "", parse("[feeder_breaker_a]"))
    units = Mutant("Feeder", "feeder_load_a", "planted", "", "", parse("[run_ft]"))
    fine = Mutant("Feeder", "feeder_load_a", "planted", "", "", parse("[service_a]"))

    assert formulas.refused(circle) == ["circle: feeder_load_a needs itself"]
    assert formulas.refused(units) == ["gives ft, the rule says A"]
    assert formulas.refused(fine) == []
