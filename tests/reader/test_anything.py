"""Whatever is in a file, it is read or refused: no other error, and nothing written."""

from __future__ import annotations

import random
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from workbook_builder.code_tables.load import load
from workbook_builder.reader.book_jobs import read_book
from workbook_builder.reader.cells import parsed
from workbook_builder.reader.csv_jobs import read_circuits, read_jobs
from workbook_builder.reader.faults import BadInput

from .files import FIELDS, GOOD, book_file, good_entries, jobs_file

SAME_FOLDER = settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
NAMES = st.sampled_from([*FIELDS[:20], "wirng", "", " job_no", "\ufeffjob_no"])
TEXTS = st.text(st.characters(codec="utf-8"), max_size=12) | st.sampled_from(
    [*GOOD.values(), "1,5", "=1", "#N/A", "1e5", "-", '"', ";", "9" * 400, "2024-02-30"]
)


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    """A folder that holds the file to read and nothing else afterwards."""
    yield tmp_path

    assert [path.name for path in tmp_path.iterdir()] == ["given"]


def refused(read, path: Path, **named) -> bool:
    """Whether reading refuses the file, in words and one line a fault; else it reads it."""
    try:
        read(path, **named)
    except BadInput as refusal:
        assert refusal.faults
        lines = str(refusal).split("\n")
        assert len(lines) == len(refusal.faults)
        assert all(": found " in line and ", must be " in line for line in lines)
        assert all(line.isprintable() for line in lines)
        return True
    return False


@SAME_FOLDER
@given(data=st.binary(max_size=300))
@example(data=b"PK\x05\x06" + bytes(18))
@example(data=b"\xef\xbb\xbf")
@example(data=b"job_no\n\xff")
def test_any_bytes_are_refused(folder: Path, data: bytes) -> None:
    """As a list and as a workbook: no run of a few bytes is either."""
    path = folder / "given"
    path.write_bytes(data)

    assert refused(read_jobs, path)
    assert refused(read_circuits, path, jobs=pd.DataFrame({"job_no": []}))
    assert refused(read_book, path)


@SAME_FOLDER
@given(
    header=st.lists(NAMES, min_size=1, max_size=8),
    rows=st.lists(st.lists(TEXTS, max_size=9), max_size=4),
)
def test_any_table_is_read_or_refused(folder: Path, header: list[str], rows: list[list[str]]) -> None:
    """None of these has all required fields, so every one is refused."""
    path = folder / "given"
    path.write_text("\n".join(",".join(row) for row in [header, *rows]), encoding="utf-8", newline="")

    assert refused(read_jobs, path)


@SAME_FOLDER
@given(changes=st.dictionaries(st.sampled_from(FIELDS), TEXTS, max_size=6))
def test_any_entry_is_read_or_refused(folder: Path, changes: dict[str, str]) -> None:
    """What is read holds numbers, words, dates and blanks only."""
    path = jobs_file(folder / "given", changes)
    if not refused(read_jobs, path):
        kinds = {type(value).__name__ for value in read_jobs(path).iloc[0]}

        assert kinds <= {"str", "float", "date", "NoneType"}


@given(text=st.text(), field=st.sampled_from(load().job_fields))
def test_a_cell_has_a_value_or_a_complaint(text: str, field) -> None:
    """A number field gives a number or says why not."""
    value, complaint = parsed(text, field)
    if complaint is None and value is not None and (field.kind == "number" or field.numeric):
        assert isinstance(value, float)
    if complaint:
        assert complaint.expected
        assert complaint.todo


@pytest.mark.parametrize("seed", range(60))
def test_a_workbook_with_broken_bytes_is_read_or_refused(folder: Path, seed: int) -> None:
    """Bytes of the zip, then bytes of one of its parts."""
    path = folder / "given"
    book_file(path, {10: good_entries()}, rules={10: ("unit_load", 2, "why")})
    chance = random.Random(seed)
    if seed % 2:
        data = bytearray(path.read_bytes())
        for _ in range(chance.randint(1, 5)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        path.write_bytes(bytes(data[: chance.choice([len(data), len(data) - 30, len(data) // 2])]))
    else:
        with zipfile.ZipFile(path) as archive:
            parts = {name: bytearray(archive.read(name)) for name in archive.namelist()}
        part = chance.choice([name for name in parts if "theme" not in name and "docProps" not in name])
        for _ in range(chance.randint(1, 4)):
            parts[part][chance.randrange(len(parts[part]))] = chance.choice(b"<>&\"'0159AZ \x00\xff")
        with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
            for name, data in parts.items():
                archive.writestr(name, bytes(data))

    if not refused(read_book, path):
        assert len(read_book(path).jobs) <= 1
