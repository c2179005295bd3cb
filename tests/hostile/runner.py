"""Runs the command line in a child of its own for each request, and says what it took.

The imports are done once, in the process that forks; so a child takes the time
and the memory of its request, and what the imports take of memory besides.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import traceback
from dataclasses import dataclass
from pathlib import Path

SECONDS, MEGABYTES = 20.0, 500
"""What refusing a file may take."""
_HARD_SECONDS, _HARD_BYTES = 60, 3 << 30
"""Where a child is ended, for the tests to go on."""
_BROKE = 99
ROOT = Path(__file__).parents[2]


@dataclass(frozen=True)
class Ended:
    """How a run of the command line ended; seconds of processor, megabytes at most."""

    code: int
    out: str
    err: str
    seconds: float
    megabytes: float


class Runner:
    """A process that forks for every request. Used as a context manager."""

    def __enter__(self) -> Runner:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.hostile.runner"],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )  # fmt: skip
        return self

    def __exit__(self, *_: object) -> None:
        self._process.stdin.close()
        self._process.wait()
        self._process.stdout.close()

    def __call__(self, *arguments: str | Path) -> Ended:
        self._process.stdin.write(json.dumps([str(one) for one in arguments]) + "\n")
        self._process.stdin.flush()
        return Ended(**json.loads(self._process.stdout.readline()))


def _serve() -> None:
    import workbook_builder.harness.verify
    import workbook_builder.reader.csv_jobs
    import workbook_builder.writer.on_disk  # noqa: F401

    for line in sys.stdin:
        print(json.dumps(_run(json.loads(line))), flush=True)


def _run(arguments: list[str]) -> dict[str, object]:
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        child = os.fork()
        if child == 0:
            os.dup2(out.fileno(), 1)
            os.dup2(err.fileno(), 2)
            os._exit(_call(arguments))
        _, status, used = os.wait4(child, 0)
        texts = []
        for file in (out, err):
            file.seek(0)
            texts.append(file.read().decode(errors="replace"))
    return {
        "code": os.waitstatus_to_exitcode(status),
        "out": texts[0],
        "err": texts[1],
        "seconds": used.ru_utime + used.ru_stime,
        "megabytes": used.ru_maxrss / 1024 / (1024 if sys.platform == "darwin" else 1),
    }


def _call(arguments: list[str]) -> int:
    import resource

    from workbook_builder.cli import run

    resource.setrlimit(resource.RLIMIT_CPU, (_HARD_SECONDS, _HARD_SECONDS))
    resource.setrlimit(resource.RLIMIT_AS, (_HARD_BYTES, _HARD_BYTES))
    sys.stdout = open(1, "w", encoding="utf-8", closefd=False)
    sys.stderr = open(2, "w", encoding="utf-8", errors="backslashreplace", closefd=False)
    try:
        code = run(arguments)
    except BaseException:
        traceback.print_exc()
        code = _BROKE
    sys.stdout.flush()
    sys.stderr.flush()
    return code


if __name__ == "__main__":
    _serve()
