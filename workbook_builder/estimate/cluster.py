"""Parts calculated on a cluster of Dask workers, on this machine or others."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, contextmanager
from typing import Any

from ..reader.arrow import needed
from .where import Lost, Run, in_order

LOCAL = "local"
_PARTS_A_WORKER = 2
_SECONDS_TO_CONNECT = 30
_LARGEST_PART = "1 GiB"
"""A part goes with its task, so that it is not lost with a worker; the library warns of more."""


@contextmanager
def on_cluster(address: str, workers: int) -> Iterator[Run]:
    """The workers at a scheduler's address, or so many started for this run where it is `local`.

    A part whose worker is lost is calculated again by another. Lost where the
    scheduler is not there or a part is lost again and again.
    """
    distributed = needed("distributed", "--cluster")
    dask = needed("dask", "--cluster")
    with ExitStack() as held:
        held.enter_context(dask.config.set({"distributed.admin.large-graph-warning-threshold": _LARGEST_PART}))
        try:
            if address == LOCAL:
                cluster = distributed.LocalCluster(
                    n_workers=workers, threads_per_worker=1, dashboard_address=None, silence_logs="ERROR"
                )
                held.enter_context(cluster)
                address = cluster.scheduler_address
            client = distributed.Client(address, timeout=_SECONDS_TO_CONNECT, set_as_default=False)
            held.enter_context(client)
        except (OSError, ValueError) as fault:
            raise Lost(f"--cluster {address}: no scheduler answers ({_first_line(fault)})") from None

        def run(function: Callable[..., Any], tasks: Iterable[tuple]) -> Iterator[Any]:
            def submit(function: Callable[..., Any], *task: object) -> Any:
                return client.submit(function, *task, pure=False)

            most = _PARTS_A_WORKER * max(len(client.scheduler_info()["workers"]), workers)
            try:
                yield from in_order(submit, function, tasks, most=most)
            except (distributed.KilledWorker, distributed.CancelledError) as fault:
                raise Lost(f"--cluster {address}: the work was lost ({_first_line(fault)})") from None

        yield run


def _first_line(fault: Exception) -> str:
    return (str(fault).splitlines() or [type(fault).__name__])[0][:100]
