"""Draws the sheets of a workbook as they print: `python -m tests.pictures [DIR] [--book FILE] [--readme DIR]`.

LibreOffice recalculates and prints the workbook, poppler-utils draw the pages.
Pictures are named by sheet and page, `03-Circuits-1.png`; of a long sheet the
first pages and the last are drawn, all are counted.
"""

from __future__ import annotations

import argparse
import re
import shutil
import struct
import subprocess
import sys
import tempfile
import zlib
from pathlib import Path

import numpy as np

from tests import pdf
from workbook_builder.harness.engines import available, libreoffice

ROOT = Path(__file__).parent.parent
SAMPLE = ROOT / "samples" / "panel-capacity.xlsx"
SMALL, CLEAR = 60, 110
"""Dots an inch of the pictures of all sheets, and of those for README."""
FIRST_DRAWN = 3
"""So many first pages of a sheet are drawn, and its last."""
LARGEST, LARGEST_ALL = 150_000, 600_000
"""Bytes of a picture for README, and of all of them."""

README = {"Start": "", "Jobs": "", "Job sheet": "", "Options": "option_chosen", "Checks": ""}
"""Sheets shown in README, and words on the page that is shown; the first page where there are none."""
FOOTER_IN = 0.7
"""Inches at the foot of a page that README's pictures leave out."""


def print_book(book: Path, folder: Path) -> Path:
    """The workbook as a PDF, recalculated, in `folder`."""
    lines: list[str] = []
    return libreoffice.convert(
        book, suffix="pdf", export="pdf:calc_pdf_Export", file=str(book), folder=folder, timeout=600,
        stderr_lines=lines,
    )  # fmt: skip


def draw(printed: Path, titles: list[str], folder: Path) -> dict[str, tuple[int, int]]:
    """Pictures of every sheet in `folder`; returns how many pages and pictures each sheet has."""
    counts = {}
    for title, numbers in pdf.pages_of(printed, titles).items():
        last = [numbers[-1]] if len(numbers) > FIRST_DRAWN else []
        chosen = numbers[:FIRST_DRAWN] + last
        counts[title] = len(numbers), len(chosen)
        for number in chosen:
            place = numbers.index(number) + 1
            name = f"{titles.index(title) + 1:02}-{title.replace(' ', '-')}-{place}"
            _draw(printed, number, SMALL, folder / name, "-png")
    return counts


def draw_for_readme(printed: Path, titles: list[str], folder: Path) -> list[Path]:
    """A picture of each sheet of README, in few colours so that it is small. ValueError where it is not."""
    pages, texts, made = pdf.pages_of(printed, titles), pdf.texts(printed), []
    for title, words in README.items():
        shown = next(number for number in pages[title] if words in texts[number - 1])
        target = folder / f"{title.lower().replace(' ', '-')}.png"
        with tempfile.TemporaryDirectory() as name:
            drawn = Path(name) / "page"
            _draw(printed, shown, CLEAR, drawn)
            target.write_bytes(_png(_pixels(drawn.with_suffix(".ppm"))))
        made.append(target)
    sizes = [path.stat().st_size for path in made]
    if max(sizes) > LARGEST or sum(sizes) > LARGEST_ALL:
        raise ValueError(f"pictures of {sizes} bytes, at most {LARGEST} each and {LARGEST_ALL} in all")
    return made


def _draw(printed: Path, page: int, dots: int, target: Path, *options: str) -> None:
    subprocess.run(
        ["pdftoppm", "-r", str(dots), "-f", str(page), "-l", str(page), "-singlefile", *options, printed, target],
        check=True, timeout=120, stdin=subprocess.DEVNULL,
    )  # fmt: skip


def _pixels(path: Path) -> np.ndarray:
    """Rows x columns x 3 of a page in PPM, without its footer and its white edge but a little."""
    data = path.read_bytes()
    found = re.match(rb"P6\s+(\d+)\s+(\d+)\s+255\s", data)
    if found is None:
        raise ValueError(f"{path}: no PPM")
    wide, high = int(found[1]), int(found[2])
    pixels = np.frombuffer(data, np.uint8, offset=found.end()).reshape(high, wide, 3)
    pixels = pixels[: high - round(FOOTER_IN * CLEAR)]
    dark = pixels.min(axis=2) < 250
    rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    edge = 8
    return pixels[max(rows[0] - edge, 0) : rows[-1] + edge, max(columns[0] - edge, 0) : columns[-1] + edge]


def _png(pixels: np.ndarray) -> bytes:
    """A picture in the 256 colours that stand most in it; the same pixels give the same bytes."""
    codes = pixels.astype(np.int64) @ (65536, 256, 1)
    found, counts = np.unique(codes, return_counts=True)
    kept = np.sort(found[np.argsort(-counts, kind="stable")[:256]])

    def parts(code: np.ndarray) -> np.ndarray:
        return np.stack([code // 65536, code // 256 % 256, code % 256], axis=-1)

    nearest = [((parts(kept) - parts(one)) ** 2).sum(axis=1).argmin() for one in found]
    indices = np.array(nearest, np.uint8)[np.searchsorted(found, codes)]
    high, wide = indices.shape
    lines = np.concatenate([np.zeros((high, 1), np.uint8), indices], axis=1).tobytes()
    palette = parts(kept).astype(np.uint8).tobytes()

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", wide, high, 8, 3, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"PLTE", palette)
        + chunk(b"IDAT", zlib.compress(lines, 9)) + chunk(b"IEND", b"")
    )  # fmt: skip


def main() -> int:
    parser = argparse.ArgumentParser(prog="pictures", description="Draw the sheets of a workbook as they print.")
    parser.add_argument("folder", nargs="?", type=Path, default=ROOT / "artefacts", help="default: artefacts")
    parser.add_argument("--book", type=Path, default=SAMPLE, help="workbook to draw; default: the sample")
    parser.add_argument("--readme", action="store_true", help="only the pictures of README, into samples/pictures")
    options = parser.parse_args()
    if not available("libreoffice") or not pdf.THERE or not shutil.which("pdftoppm"):
        print("pictures need LibreOffice and poppler-utils", file=sys.stderr)
        return 2
    folder = ROOT / "samples" / "pictures" if options.readme else options.folder
    folder.mkdir(parents=True, exist_ok=True)
    titles = pdf.titles_of(options.book)
    with tempfile.TemporaryDirectory(prefix="pictures-") as name:
        printed = print_book(options.book.resolve(), Path(name).resolve())
        if options.readme:
            for path in draw_for_readme(printed, titles, folder):
                print(f"{path.relative_to(ROOT)}: {path.stat().st_size:,} bytes")
            return 0
        counts = draw(printed, titles, folder)
    for title, (pages, drawn) in counts.items():
        print(f"{title}: {pages} pages" + (f", {drawn} drawn" if drawn < pages else ""))
    pages, drawn = map(sum, zip(*counts.values(), strict=True))
    print(f"{folder}: {drawn} pictures of {pages} pages")
    return 0


if __name__ == "__main__":
    sys.exit(main())
