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
from tempfile import TemporaryFile
from typing import TextIO

_EVERY = 0.05
_PAGE = os.sysconf("SC_PAGE_SIZE")


@dataclass(frozen=True)
class Measured:
    """seconds on the clock; processor_s of all processes; peak_mb of all of them at one time; what was printed."""

    seconds: float
    processor_s: float
    peak_mb: float
    printed: str = ""


def measured(arguments: Sequence[str], *, module: str = "workbook_builder") -> Measured:
    """Runs `python -m` with the module and these arguments, as measured_command."""
    return measured_command([sys.executable, "-m", module, *arguments])


def measured_command(command: Sequence[str]) -> Measured:
    """Runs a command. CalledProcessError where it fails.

    Memory is looked at every twentieth of a second (Linux); elsewhere it is
    the largest single process.
    """
    with TemporaryFile("w+", encoding="utf-8") as printed:
        return _measured(command, printed)


def _measured(command: Sequence[str], printed: TextIO) -> Measured:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.monotonic()
    process = subprocess.Popen(command, stdout=printed, stdin=subprocess.DEVNULL)
    peak = 0
    while process.poll() is None:
        peak = max(peak, _resident(process.pid))
        time.sleep(_EVERY)
    seconds = time.monotonic() - start
    if process.returncode:
        raise subprocess.CalledProcessError(process.returncode, command)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    printed.seek(0)
    return Measured(seconds, used, (peak or after.ru_maxrss * 1024) / 1e6, printed.read())


def _resident(pid: int) -> int:
    """Bytes that a process and all below it hold; pages that they share count in each."""
    try:
        pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
        children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    except (OSError, IndexError):
        return 0
    return pages * _PAGE + sum(_resident(int(child)) for child in children)
