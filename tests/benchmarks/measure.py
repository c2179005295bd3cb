"""Runs a command and measures it: seconds, processor seconds, and the memory of it and its children together."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

_EVERY = 0.05
_PAGE = os.sysconf("SC_PAGE_SIZE")


@dataclass(frozen=True)
class Measured:
    """seconds on the clock; processor_s of all processes; peak_mb of all of them at one time."""

    seconds: float
    processor_s: float
    peak_mb: float


def measured(arguments: Sequence[str]) -> Measured:
    """Runs `python -m workbook_builder` with these arguments. CalledProcessError where it fails.

    Memory is looked at every twentieth of a second (Linux); elsewhere it is
    the largest single process.
    """
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.monotonic()
    command = [sys.executable, "-m", "workbook_builder", *arguments]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    peak = 0
    while process.poll() is None:
        peak = max(peak, _resident(process.pid))
        time.sleep(_EVERY)
    seconds = time.monotonic() - start
    if process.returncode:
        raise subprocess.CalledProcessError(process.returncode, command)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Measured(seconds, used, max(peak, after.ru_maxrss * 1024 if not peak else 0) / 1e6)


def _resident(pid: int) -> int:
    """Bytes that a process and all below it hold; pages that they share count in each."""
    try:
        pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
        children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    except (OSError, IndexError):
        return 0
    return pages * _PAGE + sum(_resident(int(child)) for child in children)
