"""Where parts are calculated: order kept, memory bounded, a lost worker told or replaced."""

from __future__ import annotations

import os
import signal
import threading
import time
from collections.abc import Iterator
from concurrent.futures import Future
from pathlib import Path

import pytest

from workbook_builder.cli import FINDINGS, run
from workbook_builder.estimate.cluster import on_cluster
from workbook_builder.estimate.run import estimate
from workbook_builder.estimate.where import Lost, here, in_order, workers_of

from ..benchmarks.homes import write_parquet
from .files import csv_file, jobs_like

PARTS, SIZE = 12, 100


def slow_square(number: int) -> int:
    """Later numbers take less time."""
    time.sleep(0.02 * (6 - number % 6))
    return number * number


def dies(number: int) -> int:
    if number == 3:
        os._exit(1)
    return number


@pytest.mark.parametrize("workers", [1, 2])
def test_results_come_in_the_order_of_the_tasks(workers: int) -> None:
    with here(workers) as calculate:
        assert list(calculate(slow_square, ((number,) for number in range(12)))) == [n * n for n in range(12)]
        assert list(calculate(slow_square, iter([]))) == []
        assert list(calculate(slow_square, iter([(5,)]))) == [25]


def test_tasks_are_made_only_as_results_are_taken() -> None:
    """So that a list of any length stays out of memory."""
    made = []

    def tasks() -> Iterator[tuple[int]]:
        for number in range(100):
            made.append(number)
            yield (number,)

    def submit(function: object, number: int) -> Future[int]:
        future: Future[int] = Future()
        future.set_result(number)
        return future

    results = in_order(submit, slow_square, tasks(), most=4)
    taken = [next(results) for _ in range(10)]

    assert taken == list(range(10))
    assert len(made) == 13


def test_a_process_that_dies_is_told() -> None:
    with here(2) as calculate, pytest.raises(Lost, match="a worker process ended before its work was done"):
        list(calculate(dies, ((number,) for number in range(8))))


def test_so_many_workers_as_are_wanted() -> None:
    assert workers_of(3) == 3
    assert 1 <= workers_of(None) <= 8


@pytest.fixture(scope="module")
def jobs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    pytest.importorskip("pyarrow")
    path = tmp_path_factory.mktemp("homes") / "jobs.parquet"
    write_parquet(path, PARTS * SIZE)
    return path


@pytest.fixture(scope="module")
def plain(jobs: Path) -> bytes:
    """The results without a cluster."""
    out = jobs.with_name("plain.parquet")
    estimate(jobs, out, where=here(1), size=SIZE)
    return out.read_bytes()


@pytest.mark.scale
def test_a_cluster_of_two_workers_gives_the_same_bytes(jobs: Path, plain: bytes, tmp_path: Path) -> None:
    pytest.importorskip("distributed")
    estimate(jobs, tmp_path / "out.parquet", where=on_cluster("local", 2), size=SIZE)

    assert (tmp_path / "out.parquet").read_bytes() == plain


@pytest.mark.scale
def test_a_worker_that_is_killed_loses_nothing(jobs: Path, plain: bytes, tmp_path: Path) -> None:
    """One of two is killed while parts are open; they are calculated again."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None, silence_logs="ERROR"
    ) as cluster:
        with distributed.Client(cluster, set_as_default=False) as client:
            pids = list(client.run(os.getpid).values())
        taken: list[str] = []
        killed = threading.Event()

        def progress(text: str) -> None:
            taken.append(text)
            if len(taken) == 4:
                os.kill(pids[0], signal.SIGKILL)
                killed.set()

        estimate(
            jobs,
            tmp_path / "out.parquet",
            where=on_cluster(cluster.scheduler_address, 2),
            size=SIZE,
            progress=progress,
        )

        assert killed.is_set()
        assert len(taken) >= PARTS
        with pytest.raises(ProcessLookupError):
            os.kill(pids[0], 0)
    assert (tmp_path / "out.parquet").read_bytes() == plain
    assert [path.name for path in tmp_path.iterdir()] == ["out.parquet"]


@pytest.mark.scale
def test_no_scheduler_at_the_address(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr("workbook_builder.estimate.cluster._SECONDS_TO_CONNECT", 2)
    jobs = csv_file(tmp_path / "jobs.csv", jobs_like(3))
    arguments = ["estimate", str(jobs), "--out", str(tmp_path / "out.csv"), "--cluster", "tcp://127.0.0.1:9"]

    assert run(arguments) == FINDINGS
    errors = capsys.readouterr().err
    assert errors.startswith("--cluster tcp://127.0.0.1:9: no scheduler answers (")
    assert errors.count("\n") == 1
    assert [path.name for path in tmp_path.iterdir()] == ["jobs.csv"]
