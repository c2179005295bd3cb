"""What stands on the pages of a PDF, by the tools of poppler-utils."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

THERE = all(map(shutil.which, ("pdftotext", "pdfinfo")))
LETTER = (612, 792)
"""Letter paper in points."""


def texts(path: Path) -> list[str]:
    """The text of every page, in the order of lines on paper."""
    said = _run("pdftotext", "-layout", str(path), "-")
    return said.split("\f")[:-1]


def sizes(path: Path) -> list[tuple[float, float]]:
    """Width and height of every page in points, as it is turned."""
    said = _run("pdfinfo", "-f", "1", "-l", "100000", str(path))
    found = re.findall(r"^Page +\d+ size: +([\d.]+) x ([\d.]+) pts", said, re.MULTILINE)
    return [(float(wide), float(high)) for wide, high in found]


def is_letter(size: tuple[float, float]) -> bool:
    """Whether a page is letter paper, upright or lying, to the point."""
    return all(abs(found - wanted) < 1 for found, wanted in zip(sorted(size), LETTER, strict=True))


def _run(*command: str) -> str:
    done = subprocess.run(
        command, capture_output=True, text=True, encoding="utf-8", check=True, timeout=120, stdin=subprocess.DEVNULL
    )
    return done.stdout
