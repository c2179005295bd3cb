"""The library that reads and writes Parquet files, which comes with an extra."""

from __future__ import annotations

from importlib import import_module
from types import ModuleType

EXTRA = "pip install 'workbook_builder[scale]'"


class ExtraMissing(Exception):
    """A library that comes with the extra `scale` is not installed."""


def needed(module: str, what: str) -> ModuleType:
    """A module of the extra. ExtraMissing, which names what it is needed for, where it is not installed."""
    try:
        return import_module(module)
    except ImportError as fault:
        missing = fault.name or module
        raise ExtraMissing(f"{what} needs {missing.partition('.')[0]}, which is not installed: {EXTRA}") from None
