"""Run an engine as a program of its own, and never leave it behind."""

from __future__ import annotations

import os
import signal
import subprocess
from collections.abc import Mapping, Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path

from .faults import EngineFailed


def run_program(
    command: Sequence[str | os.PathLike[str]],
    *,
    engine: str,
    file: str | os.PathLike[str],
    folder: Path,
    timeout: float,
    settings: Mapping[str, str] | None = None,
    stderr_lines: list[str] | None = None,
) -> str:
    """Run `command` to its end and return what it printed.

    The program gets `folder` as its home, its temporary and its working
    folder, and `settings` on top of the environment. It runs in a process
    group of its own, which is ended as a whole when `timeout` seconds are
    over or this call is interrupted. Its standard error lines are added to
    `stderr_lines`.

    Raises EngineFailed, naming `engine` and `file`, when the program cannot be
    started, takes too long or ends with a code other than 0.
    """

    def failed(reason: str, lines: Sequence[str] = ()) -> EngineFailed:
        return EngineFailed(engine=engine, file=file, reason=reason, lines=lines)

    try:
        process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            encoding="utf-8",
            errors="replace",
            cwd=folder,
            env=_environment(folder, settings or {}),
            start_new_session=True,
        )
    except OSError as fault:
        raise failed(f"cannot be started: {fault}") from fault
    hung = False
    try:
        output, errors = process.communicate(timeout=timeout)
    except subprocess.TimeoutExpired:
        hung = True
        _end(process)
        output, errors = process.communicate()
    except BaseException:
        _end(process)
        process.communicate()
        raise
    lines = [line.rstrip() for line in errors.splitlines() if line.strip()]
    if stderr_lines is not None:
        stderr_lines.extend(lines)
    if hung:
        raise failed(f"no answer within {timeout:g} seconds", lines)
    if process.returncode != 0:
        raise failed(f"ended with code {process.returncode}", lines)
    return output


@cache
def version_text(program: str) -> str:
    """Return what `program --version` prints, "" when it cannot be run."""
    try:
        answer = subprocess.run(
            [program, "--version"],
            check=False,
            capture_output=True,
            text=True,
            timeout=60,
            stdin=subprocess.DEVNULL,
        )
    except (OSError, subprocess.TimeoutExpired):
        return ""
    return answer.stdout


def _environment(folder: Path, settings: Mapping[str, str]) -> dict[str, str]:
    """Return an environment that keeps the program out of the user's folders.

    Texts must not depend on the user's language, so the locale is fixed too.
    """
    home = folder / "home"
    home.mkdir(exist_ok=True)
    home_names = ("HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME", "XDG_DATA_HOME")
    return {
        **os.environ,
        **dict.fromkeys(home_names, str(home)),
        **dict.fromkeys(("TMPDIR", "TMP", "TEMP"), str(folder)),
        "LC_ALL": "C.UTF-8",
        **settings,
    }


def _end(process: subprocess.Popen[str]) -> None:
    """End a process that has not been waited for, with all its children."""
    with suppress(ProcessLookupError, PermissionError):  # it has just ended
        if hasattr(os, "killpg"):
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()
