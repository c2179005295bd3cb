"""Jobs as a study has them, in the workbook and through a long list."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from workbook_builder.estimate.run import estimate
from workbook_builder.estimate.where import here
from workbook_builder.harness.engines import available
from workbook_builder.harness.verify import recalculated_frame

from ..benchmarks.homes import blocks, write_parquet
from ..books import write_book
from .files import cells

COUNT = 50


def test_a_long_list_gives_what_the_workbook_gives(tmp_path: Path) -> None:
    """Fifty homes of the benchmark, row by row in a recalculated workbook and in parts of twelve rows."""
    pytest.importorskip("pyarrow")
    if available("ironcalc") is None:
        pytest.skip("ironcalc is not installed")
    (jobs,) = blocks(COUNT)
    plain = pd.DataFrame({name: cells(jobs[name]) for name in jobs}, dtype=object)
    write_book(tmp_path / "book.xlsx", plain)
    write_parquet(tmp_path / "jobs.parquet", COUNT)
    estimate(tmp_path / "jobs.parquet", tmp_path / "out.parquet", where=here(1), size=12)

    found = pd.read_parquet(tmp_path / "out.parquet")
    book = recalculated_frame(tmp_path / "book.xlsx", engine="ironcalc")
    for name in found.columns:
        if found[name].dtype == float:
            expected = pd.to_numeric(book[name], errors="coerce")
            pd.testing.assert_series_equal(
                found[name], expected.reset_index(drop=True)[:COUNT], check_names=False, check_exact=False, rtol=1e-9
            )
        else:
            assert cells(found[name]) == [value or None for value in book[name][:COUNT]], name
