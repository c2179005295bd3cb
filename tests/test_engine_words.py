"""LibreOffice and Gnumeric open what is built without a word that is not explained."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.engine_words import EXPLAINED, unexplained
from workbook_builder.cli import FINE, run
from workbook_builder.harness.engines import available, recalculate


@pytest.mark.parametrize("engine", [pytest.param(engine, marks=getattr(pytest.mark, engine)) for engine in EXPLAINED])
def test_the_built_workbook_opens_without_a_warning(engine: str, tmp_path: Path) -> None:
    if not available(engine):
        pytest.skip(f"{engine} is not installed")
    book, lines = tmp_path / "book.xlsx", []
    assert run(["build", "--rows", "25", "--circuit-rows", "60", "--out", str(book)]) == FINE

    recalculate(book, engine=engine, sheets=["Start"], stderr_lines=lines)

    assert unexplained(engine, lines) == []


@pytest.mark.parametrize(
    ("engine", "line"),
    [
        ("libreoffice", "warn:oox: unknown element in styles"),
        ("gnumeric", "Unexpected element 'guard' in state : "),
        ("gnumeric", "At B7: 'Jobs!$A$1,Jobs!$B$2' Multiple expressions are not supported in this context"),
    ],
)
def test_another_line_is_not_explained(engine: str, line: str) -> None:
    assert unexplained(engine, [line, ""]) == [line]
