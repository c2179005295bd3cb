"""Pieces of checks: the words beside the first test that holds, and what holds only where a panel is added."""

from __future__ import annotations

from .model import Column


def same(name: str, state: str) -> Column:
    """A check that another sheet has made."""
    return Column(name, f"[{state}]")


def findings(*pairs: tuple[str, str], otherwise: str = '"OK"') -> str:
    """The words beside the first test that holds."""
    formula = otherwise
    for test, words in reversed(pairs):
        formula = f'IF({test}, "{words}", {formula})'
    return formula


def finding(name: str, *pairs: tuple[str, str]) -> Column:
    """A check made here: the words beside the first test that holds, else OK."""
    return Column(name, findings(*pairs))


def with_panel(formula: str) -> str:
    """OK where no panel is added."""
    return f'IF([in_added]=0, "OK", {formula})'


def panel_same(name: str, state: str) -> Column:
    """A check that another sheet has made, where a panel is added."""
    return Column(name, with_panel(f"[{state}]"))


def panel_finding(name: str, *pairs: tuple[str, str]) -> Column:
    """A check made here, where a panel is added."""
    return Column(name, with_panel(findings(*pairs)))


def any_of(*tests: str) -> str:
    """One of the tests holds."""
    return f"OR({', '.join(tests)})"


def all_of(*tests: str) -> str:
    """All of the tests hold."""
    return f"AND({', '.join(tests)})"


def recorded(entry: str, stop: str, check: str) -> tuple[tuple[str, str], ...]:
    """A yes that is wanted once readings are taken, and that a no stops."""
    return (
        (f'[{entry}]="no"', f"STOP: {stop}"),
        (all_of("[readings_given]>0", f'[{entry}]=""'), f"CHECK: {check}"),
    )
