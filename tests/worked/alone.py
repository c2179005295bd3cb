"""Whether a module is worked out by itself, with nothing of the program in it."""

from __future__ import annotations

import ast
from pathlib import Path
from types import ModuleType


def taken_from_the_program(module: ModuleType) -> list[str]:
    """Names of the program's modules that a module imports, at any place in it."""
    tree = ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8"))
    imported = [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    imported += [one.name for node in ast.walk(tree) if isinstance(node, ast.Import) for one in node.names]
    return [name for name in imported if "workbook_builder" in name]
