"""Tells a person at a terminal what is being done; silent in a pipe."""

from __future__ import annotations

import sys
import time
from typing import TextIO


class Progress:
    """Call it with a line of text as each step begins. Used as a context manager,
    it clears its line at the end."""

    def __init__(self, *, stream: TextIO | None = None) -> None:
        self.stream = sys.stderr if stream is None else stream
        self.shows = self.stream.isatty()
        self.start = time.monotonic()

    def __call__(self, text: str) -> None:
        if self.shows:
            self.stream.write(f"\r\x1b[K{time.monotonic() - self.start:5.1f} s  {text} ...")
            self.stream.flush()

    def __enter__(self) -> Progress:
        return self

    def __exit__(self, *_: object) -> None:
        if self.shows:
            self.stream.write("\r\x1b[K")
            self.stream.flush()
