"""Puts a file in place in one move, so that a reader never sees half of it."""

from __future__ import annotations

import os
import secrets
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

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
    with replacing(path) as file:
        file.write(content)
    return Path(os.path.realpath(path))


@contextmanager
def replacing(path: str | os.PathLike[str]) -> Iterator[BinaryIO]:
    """A file to write to, which takes the place of `path` when the block ends; as replace_file.

    An OSError of the block that names another file goes through as it is.
    """
    target = Path(os.path.realpath(path))
    try:
        mode = _mode(target)
        if mode is not None and not stat.S_ISREG(mode) and not stat.S_ISDIR(mode):
            with open(path, "wb") as file:
                yield file
            return
        with _beside(target, mode) as file:
            yield file
    except OSError as fault:
        if fault.filename is not None and not _is_beside(fault.filename, target):
            raise
        raise OSError(fault.errno, fault.strerror or str(fault), os.fspath(path)) from fault
    _sync_folder(target.parent)


def _is_beside(name: object, target: Path) -> bool:
    """Whether a file is the target or the one written beside it."""
    return Path(os.fsdecode(name)).parent == target.parent and (
        os.fsdecode(name) == str(target) or UNFINISHED in os.fsdecode(name)
    )


@contextmanager
def _beside(target: Path, mode: int | None) -> Iterator[BinaryIO]:
    start = os.fsdecode(os.fsencode(target.name)[:_LONGEST_NAME])
    beside = target.with_name(f"{start}{UNFINISHED}{secrets.token_hex(4)}")
    file = open(beside, "xb")
    try:
        with file:
            if mode is not None:
                os.chmod(beside, stat.S_IMODE(mode))
            yield file
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
