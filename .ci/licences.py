"""Licences of everything that is shipped with kitdocs or needed to run it, written to .ci/LICENCES.md.

Run it where kitdocs is installed: the names come from .ci/lock.txt, the licences from what each package says of itself.
"""

from __future__ import annotations

import re
from importlib.metadata import PackageNotFoundError, metadata
from pathlib import Path

HERE = Path(__file__).parent
SHIPPED = (
    ("kitdocs, its templates, styles, scripts, words, drawings and example", "MIT (LICENSE)"),
    ("Atkinson Hyperlegible, the typeface in sheets and pages", "OFL-1.1"),
)
#: What a package does not say of itself in short: the licences of libraries inside its wheels.
INSIDE = {"pi-heif": "; its wheels hold libheif and libde265, LGPL-3.0"}


def locked() -> list[str]:
    """The names of the packages in the lock file."""
    return sorted(set(re.findall(r"^([a-z0-9-]+)==", (HERE / "lock.txt").read_text("utf-8"), re.M)))


def licence(name: str) -> str:
    """What a package says of its licence, in the shortest form that it has."""
    try:
        about = metadata(name)
    except PackageNotFoundError:
        return "not installed here: needed on another system or Python only"
    short = about.get("License-Expression") or (about.get("License") or "").strip()
    if short and "\n" not in short and len(short) < 60:
        return short
    named = [c.rpartition(" :: ")[2] for c in about.get_all("Classifier") or () if c.startswith("License ::")]
    return ", ".join(named) or "see the package"


def main() -> None:
    rows = [*SHIPPED, *((name, licence(name) + INSIDE.get(name, "")) for name in locked())]
    table = "\n".join(f"| {name} | {kind} |" for name, kind in rows)
    head = "# Licences\n\nWritten by `python .ci/licences.py`: what is shipped, then what is needed.\n"
    head += "\n| part | licence |\n|---|---|"
    (HERE / "LICENCES.md").write_text(f"{head}\n{table}\n", "utf-8")


if __name__ == "__main__":
    main()
