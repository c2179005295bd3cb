"""Finds the files that come with the package: templates and samples."""

from __future__ import annotations

from pathlib import Path

HERE = Path(__file__).parent


def shipped(folder: str, name: str) -> Path:
    """A file of templates or samples, in the installed package or in a checkout.

    Raises FileNotFoundError naming both places where it was looked for.
    """
    places = [HERE / folder / name, HERE.parent / folder / name]
    for place in places:
        if place.is_file():
            return place
    raise FileNotFoundError(f"{folder}/{name} is neither at {places[0]} nor at {places[1]}")
