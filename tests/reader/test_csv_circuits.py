"""What a list of circuits may hold, and what is said about what it may not."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.reader.csv_jobs import read_circuits, read_jobs

from .files import CIRCUIT, csv_file, jobs_file, refusal


@pytest.fixture
def jobs(tmp_path: Path) -> pd.DataFrame:
    return read_jobs(jobs_file(tmp_path / "jobs.csv", {}, {"job_no": "Maple 5"}))


def test_good_circuits_give_numbers_words_and_blanks(tmp_path: Path, jobs: pd.DataFrame) -> None:
    path = csv_file(
        tmp_path / "circuits.csv",
        [CIRCUIT | {"wire": "2/0", "protection": "afci"}, CIRCUIT | {"job_no": "maple 5", "position": "3"}],
    )

    frame = read_circuits(path, jobs=jobs)

    assert list(frame.columns) == [field.name for field in load().circuit_fields]
    first, second = frame.to_dict("records")
    assert (first["poles"], first["wire"], first["protection"]) == (1.0, "2/0", "AFCI")
    assert first["position"] is None
    assert (second["job_no"], second["position"]) == ("Maple 5", 3.0)


def test_a_header_alone_is_a_house_without_a_circuit_list(tmp_path: Path, jobs: pd.DataFrame) -> None:
    path = tmp_path / "circuits.csv"
    path.write_text(",".join(CIRCUIT) + "\n")

    assert read_circuits(path, jobs=jobs).empty


BAD_ENTRIES = {
    ("job_no", "Mapel 5"): "'Mapel 5', must be the number of a job in the list of jobs; "
    "did you mean Maple 5?",
    ("job_no", "Oak"): "'Oak', must be the number of a job in the list of jobs",
    ("job_no", ""): "nothing, must be text of 1 to 20 characters; fill it in",
    ("panel", "sub"): "'sub', must be one of main, added",
    ("panel", ""): "nothing, must be one of main, added; fill it in",
    ("position", "0"): "0, must be a whole number from 1 to 84",
    ("position", "85"): "85, must be a whole number from 1 to 84",
    ("position", "1.5"): "1.5, must be a whole number from 1 to 84",
    ("position", "3-5"): "'3-5', must be a whole number from 1 to 84; "
    "write the number in digits, such as 12.5",
    ("poles", "3"): "3, must be one of 1, 2",
    ("breaker_a", "20 A"): "'20 A', must be a number from 15 to 200 A; write 20 alone, without unit or sign",
    ("label", "=x"): "'=x', must be text that does not look like a formula; "
    "begin it with a letter or a digit instead of = + - @ or a tab",
    ("wire", "16"): "'16', must be one of 14, 12, 10, 8, 6, 4, 3, 2, 1, 1/0, 2/0, 3/0, 4/0",
    ("load_va", "-1"): "-1, must be a number of 0 or more VA",
}


@pytest.mark.parametrize(("field", "entry"), BAD_ENTRIES)
def test_an_entry_that_does_not_fit_is_refused(
    tmp_path: Path, jobs: pd.DataFrame, field: str, entry: str
) -> None:
    path = csv_file(tmp_path / "circuits.csv", [CIRCUIT, CIRCUIT | {field: entry}])

    assert refusal(read_circuits, path, jobs=jobs) == [
        f"circuits.csv, row 3, {field}: found {BAD_ENTRIES[field, entry]}"
    ]


BROKEN = {
    "no room for the second pole": (
        {"poles": "2", "position": "84"},
        "position: found 84, must be at most two under the highest space number for 2 poles",
    ),
    "moved within the panel": ({"action": "move"}, "panel: found 'main', must be added where action is move"),
}


@pytest.mark.parametrize("kind", BROKEN)
def test_a_broken_check_between_entries_is_refused(tmp_path: Path, jobs: pd.DataFrame, kind: str) -> None:
    changes, words = BROKEN[kind]
    path = csv_file(tmp_path / "circuits.csv", [CIRCUIT | {"position": ""}, CIRCUIT | changes])

    assert refusal(read_circuits, path, jobs=jobs) == [f"circuits.csv, row 3, {words}"]


def test_all_faults_come_at_once_by_row_and_field(tmp_path: Path, jobs: pd.DataFrame) -> None:
    path = csv_file(
        tmp_path / "circuits.csv",
        [CIRCUIT | {"action": "sell", "panel": "sub", "poles": "x"}, CIRCUIT, CIRCUIT | {"job_no": "Oak"}],
    )

    assert [line.split(":")[0] for line in refusal(read_circuits, path, jobs=jobs)] == [
        "circuits.csv, row 2, panel", "circuits.csv, row 2, poles", "circuits.csv, row 2, action",
        "circuits.csv, row 4, job_no",
    ]  # fmt: skip


def test_a_required_column_that_is_not_there_is_told_once(tmp_path: Path, jobs: pd.DataFrame) -> None:
    rows = [{name: text for name, text in CIRCUIT.items() if name != "label"}] * 2

    assert refusal(read_circuits, csv_file(tmp_path / "circuits.csv", rows), jobs=jobs) == [
        "circuits.csv, row 1, label: found no such column, must be there, since it is required; "
        "add a column label"
    ]
