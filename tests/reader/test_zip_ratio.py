"""How much a part may be packed: what programs write passes, what would fill the memory does not."""

from __future__ import annotations

import random
import zipfile
import zlib
from pathlib import Path

import pytest

from workbook_builder.reader.limits import LARGEST_RATIO, RATIO_FROM
from workbook_builder.reader.refused import Refused
from workbook_builder.reader.zip_check import open_zip

SIZE = 4_000_000


def part_of(ratio: float, size: int = SIZE) -> bytes:
    """Bytes that pack that many times smaller, to a hundredth: some that do not pack, the rest blanks."""
    noise = random.Random(1).randbytes(size)
    least, most = 0, size
    while most - least > 1:
        some = (least + most) // 2
        if size / packed(noise[:some] + b" " * (size - some)) > ratio:
            least = some
        else:
            most = some
    return noise[:most] + b" " * (size - most)


def packed(data: bytes) -> int:
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    return len(packer.compress(data)) + len(packer.flush())


def zip_with(path: Path, data: bytes) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as target:
        target.writestr("xl/workbook.xml", data)
    return path


@pytest.mark.parametrize("ratio", [90, 0.98 * LARGEST_RATIO])
def test_a_part_packed_as_programs_pack_passes(tmp_path: Path, ratio: float) -> None:
    """Formulas of a long grid pack 90 times; the allowance is above that, and is all used."""
    path = zip_with(tmp_path / "book.xlsx", part_of(ratio))

    with open_zip(path) as archive:
        part = archive.getinfo("xl/workbook.xml")

    assert part.file_size / part.compress_size == pytest.approx(ratio, rel=0.02)


def test_a_part_packed_more_is_refused(tmp_path: Path) -> None:
    path = zip_with(tmp_path / "book.xlsx", part_of(1.05 * LARGEST_RATIO))

    with pytest.raises(Refused, match="4,000,000 bytes packed into 1[0-9],[0-9]{3} in 'xl/workbook.xml'"):
        open_zip(path)


def test_a_small_part_may_be_packed_as_it_likes(tmp_path: Path) -> None:
    """Up to a million bytes of blanks do no harm, and blank sheets pack well; one byte more is looked at."""
    with open_zip(zip_with(tmp_path / "small.xlsx", b" " * RATIO_FROM)) as archive:
        part = archive.getinfo("xl/workbook.xml")
    assert part.file_size / part.compress_size > LARGEST_RATIO

    with pytest.raises(Refused):
        open_zip(zip_with(tmp_path / "large.xlsx", b" " * (RATIO_FROM + 1)))
