"""Where the folders that travel with kitdocs are: inside the wheel, or beside the package in a checkout."""

from __future__ import annotations

from pathlib import Path
from typing import Literal


def shipped_folder(name: Literal["site_templates", "example_practice"]) -> Path:
    """The folder of that name that came with this kitdocs."""
    package = Path(__file__).parent
    inside = package / "data" / name
    return inside if inside.is_dir() else package.parent / name


def shipped_languages() -> tuple[str, ...]:
    """The languages that kitdocs has words for."""
    return tuple(sorted(path.name for path in (shipped_folder("site_templates") / "words").iterdir() if path.is_dir()))
