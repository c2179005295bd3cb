"""Reads the golden cases: published numbers with what they assume."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

FOLDER = Path(__file__).parent / "golden"


@dataclass(frozen=True)
class Case:
    """One published example. expect maps a result to (value, tolerance)."""

    name: str
    source: str
    job: Mapping[str, float | str]
    expect: Mapping[str, tuple[float | str, float]]


def cases() -> tuple[Case, ...]:
    """Every case of the folder, by path."""
    with (FOLDER / "base.toml").open("rb") as file:
        base = tomllib.load(file)
    found = []
    for path in sorted(FOLDER.rglob("*.toml")):
        if path.name == "base.toml":
            continue
        with path.open("rb") as file:
            data = tomllib.load(file)
        name = path.relative_to(FOLDER).with_suffix("").as_posix()
        job = {**base, **data.get("assumed", {}), **data["given"]}
        expect = {key: _expected(value) for key, value in data["expect"].items()}
        found.append(Case(name, f"{data['source']} {data['address']}", job, expect))
    return tuple(found)


def _expected(value: float | str | Mapping[str, float]) -> tuple[float | str, float]:
    if isinstance(value, Mapping):
        return value["value"], value["within"]
    return value, 0.0 if isinstance(value, str) else max(1e-6, abs(value) * 1e-9)
