"""The benchmarks run, and print every line; how long anything takes is not asked."""

from __future__ import annotations

import pytest

from workbook_builder.harness.engines import ENGINES

from . import __main__ as benchmarks


def _lines(capsys: pytest.CaptureFixture[str], *arguments: str) -> list[str]:
    benchmarks.main([*arguments, "--quick"])
    return capsys.readouterr().out.strip().splitlines()


def _starts(lines: list[str]) -> list[str]:
    return [line.strip().split("  ")[0] for line in lines]


def test_build_is_set_against_other_writers_of_the_same_cells(capsys: pytest.CaptureFixture[str]) -> None:
    lines = _lines(capsys, "build")

    assert _starts(lines) == [
        f"build, 4 jobs; {benchmarks.PACKED}", "XlsxWriter as it comes",
        "XlsxWriter without its search of formulas", "openpyxl, write-only", "our writer",
        "the command build, reading and reference included", "our writer against openpyxl", "cells",
    ]  # fmt: skip
    assert "1.00 of XlsxWriter" in lines[1]
    assert int(lines[-1].split()[-1].replace(",", "")) > 100_000


def test_growth_and_estimate(capsys: pytest.CaptureFixture[str]) -> None:
    lines = [line for line in _lines(capsys, "growth", "estimate") if line]

    assert _starts(lines)[1:3] == ["4 jobs", "8 jobs"]
    assert all("MB in memory" in line and "MB on disk" in line for line in lines[1:3])
    assert _starts(lines)[-2:] == ["parquet", "csv"]


@pytest.mark.libreoffice
@pytest.mark.gnumeric
def test_engines_and_verify(capsys: pytest.CaptureFixture[str]) -> None:
    lines = [line for line in _lines(capsys, "engines", "verify") if line]

    assert _starts(lines)[1:] == [
        *("formulas" if engine in benchmarks.SLOW else f"{engine}, 4 jobs" for engine in ENGINES),
        "verify, 4 jobs", "LibreOffice converts the file",
        "verify --engine libreoffice",
    ]  # fmt: skip


def test_a_part_that_is_none_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        benchmarks.main(["bild"])

    assert "no part 'bild'; there are build, engines, verify, growth, estimate" in capsys.readouterr().err
