"""Puts a file in place in one move, so that a reader never sees half of it."""

from __future__ import annotations

import os
import secrets
import stat
from contextlib import suppress
from pathlib import Path

UNFINISHED = ".unfinished-"
"""In the name of a file beside the target: what a program that was killed leaves behind, to be deleted."""
_LONGEST_NAME = 200
"""Bytes of the target's name that go into that name; file systems take 255."""


def replace_file(path: str | os.PathLike[str], content: bytes) -> Path:
    """Write `content` to `path`, through a file beside it. Returns the real path.

    At any moment there is the old file or the whole new one. Where anything
    fails the old file stays as it was and nothing is left beside it; the new
    one has the permissions of the old. What is no ordinary file, such as a
    pipe, is written to. Raises OSError that names `path`.
    """
    target = Path(os.path.realpath(path))
    try:
        mode = _mode(target)
        if mode is not None and not stat.S_ISREG(mode) and not stat.S_ISDIR(mode):
            Path(path).write_bytes(content)
            return target
        _replace(target, content, mode)
    except OSError as fault:
        raise OSError(fault.errno, fault.strerror or str(fault), os.fspath(path)) from fault
    _sync_folder(target.parent)
    return target


def _replace(target: Path, content: bytes, mode: int | None) -> None:
    start = os.fsdecode(os.fsencode(target.name)[:_LONGEST_NAME])
    beside = target.with_name(f"{start}{UNFINISHED}{secrets.token_hex(4)}")
    file = open(beside, "xb")
    try:
        with file:
            if mode is not None:
                os.chmod(beside, stat.S_IMODE(mode))
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, target)
    except BaseException:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise


def _mode(target: Path) -> int | None:
    """Kind and permissions of the file that is there."""
    try:
        return target.stat().st_mode
    except FileNotFoundError:
        return None


def _sync_folder(folder: Path) -> None:
    """So that the new name survives a power cut; not every system can."""
    if os.name != "posix":
        return
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
