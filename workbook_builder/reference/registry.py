"""Which function computes which rule, and from what.

A rule function takes its inputs by name: job fields, other rules and
parameters. A family serves several rules; the decorator then says which name
an argument stands for, or which number.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Registered:
    """One rule: the function, its inputs (argument to name or number), its words."""

    name: str
    function: Callable
    inputs: dict[str, str | float]
    words: tuple[str, ...]

    @property
    def needs(self) -> tuple[str, ...]:
        """Names that must be known before the rule is computed."""
        return tuple(name for name in self.inputs.values() if isinstance(name, str))


_RULES: dict[str, Registered] = {}


def rule(*names: str, words: tuple[str, ...] = (), **stands_for: str | float) -> Callable:
    """Registers a function for the rules named.

    words: what the codes of a choice, state or text rule mean. A keyword says
    what an argument stands for in these rules: another name, or a number.
    """

    def register(function: Callable) -> Callable:
        arguments = inspect.signature(function).parameters
        unknown = set(stands_for) - set(arguments)
        if unknown:
            raise TypeError(f"{function.__name__} has no argument {sorted(unknown)}")
        for name in names:
            if name in _RULES:
                raise TypeError(f"rule {name} has two functions")
            inputs = {argument: stands_for.get(argument, argument) for argument in arguments}
            _RULES[name] = Registered(name, function, inputs, tuple(words))
        return function

    return register


def registered() -> dict[str, Registered]:
    """Every rule that a loaded module of the reference registers."""
    return dict(_RULES)


def function_of(name: str) -> Callable:
    """The function that computes a rule. KeyError where there is none."""
    return _RULES[name].function
