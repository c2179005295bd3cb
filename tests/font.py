"""How wide a text is, read from the font that LibreOffice draws Arial with: a second opinion on widths."""

from __future__ import annotations

import shutil
import struct
import subprocess
from functools import cache
from pathlib import Path

METRIC_ALIKE = ("LiberationSans", "Arial", "Arimo")
"""Fonts that are as wide as Arial, letter by letter."""


@cache
def font_file(bold: bool) -> Path | None:
    """The file of Arial or of one as wide, None where there is none."""
    finder = shutil.which("fc-match")
    if finder is None:
        return None
    wanted = f"Arial:style={'Bold' if bold else 'Regular'}"
    done = subprocess.run([finder, "-f", "%{file}", wanted], capture_output=True, text=True, check=True, timeout=60)
    path = Path(done.stdout)
    return path if path.name.startswith(METRIC_ALIKE) and path.suffix == ".ttf" else None


class Font:
    """The widths of a TrueType font, from its tables head, hhea, hmtx and cmap (format 4)."""

    def __init__(self, path: Path) -> None:
        self._data = path.read_bytes()
        (count,) = struct.unpack_from(">H", self._data, 4)
        self._tables = {}
        for at in range(12, 12 + 16 * count, 16):
            name, _, start, _ = struct.unpack_from(">4sLLL", self._data, at)
            self._tables[name.decode()] = start
        (self._em,) = struct.unpack_from(">H", self._data, self._tables["head"] + 18)
        (self._metrics,) = struct.unpack_from(">H", self._data, self._tables["hhea"] + 34)
        self._glyphs = self._map()
        self._widths: dict[str, float] = {}

    def points(self, text: str, size: float) -> float:
        """Length of a text on one line at a font size, in points, without kerning."""
        return sum(map(self._width, text)) * size

    def _width(self, sign: str) -> float:
        """Width of a sign as part of the font size."""
        if sign not in self._widths:
            glyph = min(self._glyphs.get(ord(sign), 0), self._metrics - 1)
            (wide,) = struct.unpack_from(">H", self._data, self._tables["hmtx"] + 4 * glyph)
            self._widths[sign] = wide / self._em
        return self._widths[sign]

    def _map(self) -> dict[int, int]:
        """Glyph by character."""
        start = self._tables["cmap"]
        (count,) = struct.unpack_from(">H", self._data, start + 2)
        for at in range(start + 4, start + 4 + 8 * count, 8):
            platform, _, offset = struct.unpack_from(">HHL", self._data, at)
            if platform == 3 and struct.unpack_from(">H", self._data, start + offset) == (4,):
                return self._segments(start + offset)
        raise ValueError("no map of characters in format 4")

    def _segments(self, at: int) -> dict[int, int]:
        (twice,) = struct.unpack_from(">H", self._data, at + 6)
        count = twice // 2
        ends = struct.unpack_from(f">{count}H", self._data, at + 14)
        starts = struct.unpack_from(f">{count}H", self._data, at + 16 + twice)
        deltas = struct.unpack_from(f">{count}H", self._data, at + 16 + 2 * twice)
        ranges = at + 16 + 3 * twice
        found = {}
        for place, (first, last, delta) in enumerate(zip(starts, ends, deltas, strict=True)):
            (offset,) = struct.unpack_from(">H", self._data, ranges + 2 * place)
            for code in range(first, min(last, 0xFFFE) + 1):
                glyph = code
                if offset:
                    (glyph,) = struct.unpack_from(">H", self._data, ranges + 2 * place + offset + 2 * (code - first))
                found[code] = (glyph + delta) % 65536 if glyph or not offset else 0
        return found
