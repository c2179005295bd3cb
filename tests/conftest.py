"""The order in which tests run and how they are shared out, so that no worker ends long after the others."""

from __future__ import annotations

import pytest

LONGEST = (
    "tests/test_differential.py::test_generated_jobs_agree_in_formulas",
    "tests/test_verify_circuits.py::test_both_grids_equal_the_reference",
    "tests/test_differential.py",
    "tests/carry/",
    "tests/hostile/test_fuzz.py",
    "tests/test_mutation.py",
    "tests/damage/",
    "tests/benchmarks/",
    "tests/test_table_mutation.py",
    "tests/reference/test_properties.py",
    "tests/test_coverage.py",
    "tests/test_cli.py",
)
"""What takes longest, beginnings of names; it runs first, in this order."""


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The longest first, all others in the order in which they were found."""
    items.sort(key=lambda item: _place(item.nodeid))


def _place(name: str) -> int:
    return next((at for at, one in enumerate(LONGEST) if name.startswith(one)), len(LONGEST))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> object:
    """A worker that is done takes tests from the end of another's list.

    With pieces of a size that is settled beforehand, the long tests at the
    beginning would all be of one piece, and another long one would come last.
    """
    from xdist.scheduler import WorkStealingScheduling

    return WorkStealingScheduling(config, log) if config.getoption("dist") == "load" else None
