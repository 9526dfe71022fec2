"""The source of kitdocs as trees, each file parsed once for all tests that look at how the code is built."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

PACKAGE = Path(__file__).parent.parent / "kitdocs"


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


@cache
def modules(part: str = "") -> tuple[Path, ...]:
    """The files of one part of kitdocs, of all of it by default; a part may be a single module."""
    folder = PACKAGE / part
    return tuple(sorted(folder.rglob("*.py"))) if folder.is_dir() else (PACKAGE / f"{part}.py",)
