"""Which function computes which rule, and from what.

A rule function takes its inputs by name: job fields, other rules, parameters,
settings and what the books say. A family serves several rules; the decorator
then says which name an argument stands for, or which number, or which names.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import dataclass

Source = str | float | tuple[str, ...]


@dataclass(frozen=True)
class Registered:
    """One rule: the function, its inputs (argument to name, number or names), its words."""

    name: str
    function: Callable
    inputs: dict[str, Source]
    words: tuple[str, ...]

    @property
    def needs(self) -> tuple[str, ...]:
        """Names that must be known before the rule is computed."""
        names: list[str] = []
        for source in self.inputs.values():
            names += source if isinstance(source, tuple) else [source] if isinstance(source, str) else []
        return tuple(names)


_RULES: dict[str, Registered] = {}


def rule(*names: str, words: tuple[str, ...] = (), **stands_for: Source) -> Callable:
    """Registers a function for the rules named.

    words: what the codes of a choice, state or text rule mean. A keyword says
    what an argument stands for in these rules: another name, a number, or
    several names, whose values the function gets as a tuple.
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
