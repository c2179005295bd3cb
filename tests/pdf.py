"""What stands on the pages of a PDF, by the tools of poppler-utils."""

from __future__ import annotations

import re
import shutil
import subprocess
import zipfile
from pathlib import Path

import defusedxml.ElementTree

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


def titles_of(book: Path) -> list[str]:
    """Titles of a workbook's sheets in order."""
    with zipfile.ZipFile(book) as archive:
        root = defusedxml.ElementTree.fromstring(archive.read("xl/workbook.xml"))
    return [str(one.get("name")) for one in root.iter() if one.tag.endswith("}sheet")]


def pages_of(path: Path, titles: list[str]) -> dict[str, list[int]]:
    """Page numbers of each sheet, in the order of the PDF, by the title in the footer.

    ValueError for a page whose last line begins with no title.
    """
    found: dict[str, list[int]] = {}
    for number, text in enumerate(texts(path), start=1):
        footer = text.rstrip().rpartition("\n")[2]
        title = re.split(r"\s{2,}", footer.strip())[0]
        if title not in titles:
            raise ValueError(f"page {number} ends with {footer!r}")
        found.setdefault(title, []).append(number)
    return found
