"""Pieces of formula about texts."""

from __future__ import annotations


def begins(name: str, word: str) -> str:
    """A test that the text of a column begins with a word."""
    return f'IFERROR(FIND("{word}", [{name}]), 0)=1'
