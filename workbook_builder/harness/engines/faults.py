"""What can go wrong when a workbook is recalculated."""

from __future__ import annotations

from collections.abc import Sequence
from os import PathLike, fspath

#: So many of an engine's last lines go into a message.
_LAST_LINES = 8


class NotAWorkbook(ValueError):
    """The file is not an .xlsx workbook that can be read."""

    def __init__(self, file: str | PathLike[str], reason: str) -> None:
        self.file = fspath(file)
        self.reason = reason
        super().__init__(f"{self.file}: not a readable .xlsx workbook: {reason}")


class EngineMissing(Exception):
    """The engine is not installed; the message says how to get it."""

    def __init__(self, *, engine: str, remedy: str) -> None:
        self.engine = engine
        self.remedy = remedy
        super().__init__(f"the engine {engine} is not installed: {remedy}")


class EngineFailed(Exception):
    """The engine gave no results, or results that cannot be trusted.

    `lines` are the engine's standard error lines; the message shows the last
    few of them.
    """

    def __init__(
        self,
        *,
        engine: str,
        file: str | PathLike[str],
        reason: str,
        lines: Sequence[str] = (),
    ) -> None:
        self.engine = engine
        self.file = fspath(file)
        self.reason = reason
        self.lines = list(lines)
        said = "".join(f"\n    {line}" for line in self.lines[-_LAST_LINES:])
        super().__init__(f"{engine}: {self.file}: {reason}{said}")
