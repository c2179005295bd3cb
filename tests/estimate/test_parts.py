"""A list read in parts gives what it gives read whole, to the last bit, whatever the size of a part."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from workbook_builder.data import shipped
from workbook_builder.estimate.run import ALL, ANSWERS, columns_of, estimate
from workbook_builder.estimate.where import here
from workbook_builder.reader import sources
from workbook_builder.reader.csv_jobs import read_circuits, read_jobs
from workbook_builder.reader.write_csv import write_results
from workbook_builder.reference.columns import calculate_columns, together_columns
from workbook_builder.reference.plan import plan, steps_for
from workbook_builder.reference.run import calculate_all

from ..job_frames import random_circuits, random_jobs

SIZES = (7, 100, 10_000)


@pytest.fixture(scope="module")
def lists(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Some 150 jobs and their circuits on the edges of the rules, as CSV files."""
    folder = tmp_path_factory.mktemp("lists")
    jobs = random_jobs(150, seed=31)
    circuits = random_circuits(jobs, seed=32)
    fits = (circuits["action"] != "move") | (circuits["panel"] == "added")
    circuits = circuits[fits & (circuits["position"].fillna(1) + 2 * (circuits["poles"] - 1) <= 80)]
    jobs.to_csv(folder / "jobs.csv", index=False)
    circuits.to_csv(folder / "circuits.csv", index=False)
    return folder / "jobs.csv", folder / "circuits.csv"


@pytest.fixture(scope="module")
def whole(lists: tuple[Path, Path]) -> pd.DataFrame:
    """What the reference gives for the whole list at once."""
    jobs = read_jobs(lists[0])
    return calculate_all(jobs, read_circuits(lists[1], jobs=jobs))[0]


@pytest.mark.parametrize("streamed", [False, True])
@pytest.mark.parametrize("columns", [ANSWERS, ALL])
@pytest.mark.parametrize("size", SIZES)
def test_every_size_of_parts_gives_the_same_file(
    *, lists: tuple[Path, Path], whole: pd.DataFrame, size: int, columns: str, streamed: bool, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """As the whole list calculated at once is written, byte by byte; circuits and sums over all jobs, too."""
    if streamed:
        monkeypatch.setattr(sources, "is_short", lambda path: False)
    write_results(whole[list(columns_of(columns))], tmp_path / "expected.csv")
    jobs, circuits = lists
    out = tmp_path / "out.csv"
    done = estimate(jobs, out, circuits=circuits, columns=columns, where=here(1), size=size)

    assert out.read_bytes() == (tmp_path / "expected.csv").read_bytes()
    assert (done.jobs, done.columns) == (len(whole), len(columns_of(columns)))


@pytest.mark.parametrize("size", SIZES)
def test_parquet_has_the_same_values(
    lists: tuple[Path, Path], whole: pd.DataFrame, size: int, tmp_path: Path
) -> None:
    """Numbers as double to the last bit, words as text, blanks as null."""
    pytest.importorskip("pyarrow")
    jobs, circuits = lists
    out = tmp_path / "out.parquet"
    estimate(jobs, out, circuits=circuits, columns=ALL, where=here(1), size=size)
    found = pd.read_parquet(out)

    assert list(found.columns) == list(columns_of(ALL))
    for name, column in found.items():
        expected = whole[name].reset_index(drop=True)
        if column.dtype == np.float64:
            assert np.array_equal(column.to_numpy(), expected.to_numpy(np.float64), equal_nan=True), name
        else:
            texts = column.astype(object)
            assert texts.where(texts.notna(), "").tolist() == expected.tolist(), name


def test_json_in_parts_is_json(lists: tuple[Path, Path], tmp_path: Path) -> None:
    estimate(lists[0], tmp_path / "parts.json", where=here(1), size=40)
    estimate(lists[0], tmp_path / "whole.json", where=here(1))

    assert (tmp_path / "parts.json").read_bytes() == (tmp_path / "whole.json").read_bytes()
    assert len(pd.read_json(tmp_path / "parts.json")) == 150


def test_several_processes_give_the_same_file(lists: tuple[Path, Path], tmp_path: Path) -> None:
    jobs, circuits = lists
    for workers in (1, 2):
        out = tmp_path / f"out{workers}.csv"
        estimate(jobs, out, circuits=circuits, columns=ALL, where=here(workers), size=40)

    assert (tmp_path / "out1.csv").read_bytes() == (tmp_path / "out2.csv").read_bytes()


def test_only_what_is_asked_for_is_calculated() -> None:
    """What an answer comes from, in order, and not what nobody asks for."""
    steps = steps_for(frozenset(columns_of(ANSWERS)))
    names = [step.rule.name for step in steps]

    assert "price_likely_usd" in names
    assert not {"hours_ratio", "cost_over_usd", "bending_space_in"} & set(names)
    assert len(names) < len(plan().alone)
    seen: set[str] = set()
    for step in steps:
        computed = {name for name in step.how.needs if name in {one.name for one, _ in plan().alone}}
        assert computed <= seen, step.rule.name
        seen = (seen | {step.rule.name}) - set(step.done)


def test_one_column_alone_is_the_same(whole: pd.DataFrame, lists: tuple[Path, Path]) -> None:
    jobs = read_jobs(lists[0])
    circuits = read_circuits(lists[1], jobs=jobs).reset_index(drop=True)
    for name in ("total_load_va", "price_high_usd", "stops"):
        found = calculate_columns(jobs.reset_index(drop=True), circuits, [name]).columns

        assert list(found) == [name]
        assert np.array_equal(found[name], whole[name].to_numpy(), equal_nan=True)


def test_columns_of_the_whole_list_are_no_answers() -> None:
    """So answers take one way through the list."""
    assert not set(together_columns()) & set(columns_of(ANSWERS))
    assert set(together_columns()) < set(columns_of(ALL))


def test_letters_beyond_ascii_in_a_late_part(tmp_path: Path) -> None:
    """The byte-order mark stands before the first part."""
    jobs = read_jobs(shipped("samples", "jobs.csv"))
    jobs.loc[jobs.index[-1], "site"] = "Élan"
    jobs.to_csv(tmp_path / "jobs.csv", index=False)
    estimate(tmp_path / "jobs.csv", tmp_path / "out.csv", where=here(1), size=5)

    content = (tmp_path / "out.csv").read_bytes()
    assert content.startswith(b"\xef\xbb\xbfjob_no,site,")
    assert content.count(b"\xef\xbb\xbf") == 1
    assert "Élan" in content.decode("utf-8-sig")
