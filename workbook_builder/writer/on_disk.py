"""Puts a file in place in one move, so that a reader never sees half of it."""

from __future__ import annotations

import os
import secrets
from pathlib import Path


def replace_file(path: str | os.PathLike[str], content: bytes) -> Path:
    """Write `content` to `path`, through a file beside it. Returns the real path.

    Where anything fails the old file stays as it was and nothing is left
    beside it.
    """
    target = Path(os.path.realpath(path))
    beside = target.with_name(f".{target.name}.{secrets.token_hex(4)}.tmp")
    try:
        with open(beside, "xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)
    return target


def _sync_folder(folder: Path) -> None:
    """So that the new name survives a power cut; not every system can."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)
