"""How a command ends: its exit code, or a request that cannot be carried out."""

from __future__ import annotations

FINE, FINDINGS, BAD_INPUT = 0, 1, 2
SHOWN = 20
"""So many findings of a kind are printed; the files have them all."""


class Usage(Exception):
    """A request that cannot be carried out, in one line."""
