"""Where parts are calculated: in this process, in several, or on a cluster. Results come in order."""

from __future__ import annotations

import multiprocessing
import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from itertools import islice
from typing import Any, Protocol

MOST_WORKERS = 8
"""So many processes are started where nobody says how many."""
_WAITING = 2
"""Parts given out at once for each worker, so that none waits and memory is bounded."""


class Lost(Exception):
    """A worker or the cluster ended before the work was done."""


class _Future(Protocol):
    def result(self) -> Any: ...


Run = Callable[[Callable[..., Any], Iterable[tuple]], Iterator[Any]]
"""Calls a function with each tuple of arguments; results in the order of the tuples."""


def workers_of(wanted: int | None) -> int:
    """As many as are wanted, else one a core up to MOST_WORKERS."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return wanted or min(cores, MOST_WORKERS)


@contextmanager
def here(workers: int) -> Iterator[Run]:
    """In this process, or in several where there is more than one part and more than one is wanted."""
    pool: ProcessPoolExecutor | None = None

    def run(function: Callable[..., Any], tasks: Iterable[tuple]) -> Iterator[Any]:
        nonlocal pool
        tasks = iter(tasks)
        first = list(islice(tasks, 2))
        if workers == 1 or len(first) < 2:
            for task in _again(first, tasks):
                yield function(*task)
            return
        pool = pool or ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("spawn"))
        try:
            yield from in_order(pool.submit, function, _again(first, tasks), most=_WAITING * workers)
        except BrokenProcessPool:
            raise Lost(
                "a worker process ended before its work was done, perhaps for lack of memory; try --workers 1"
            ) from None

    try:
        yield run
    finally:
        if pool is not None:
            pool.shutdown(cancel_futures=True)


def in_order(
    submit: Callable[..., _Future], function: Callable[..., Any], tasks: Iterable[tuple], *, most: int
) -> Iterator[Any]:
    """Results in the order of the tasks, of which so many are given out at once."""
    given: deque[_Future] = deque()
    for task in tasks:
        given.append(submit(function, *task))
        if len(given) >= most:
            yield given.popleft().result()
    while given:
        yield given.popleft().result()


def _again(first: list[tuple], rest: Iterator[tuple]) -> Iterator[tuple]:
    while first:
        yield first.pop(0)
    yield from rest
