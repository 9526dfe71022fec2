"""Invented practices in any number, small ones, each a little different: drawn from a seed, always the same.

    python tests/generated_group.py COUNT FOLDER

They share the starter's instruments, and each has its own chairs' worth of visits, promise, cycle and stock.
"""

from __future__ import annotations

import sys
from pathlib import Path
from random import Random

from kitdocs.practice.editing.edits import Edit
from kitdocs.practice.editing.yaml_text import replace_values
from kitdocs.starter import starter_texts

FIRST = ("North", "South", "East", "West", "Upper", "Lower", "Old", "New", "Long", "Far")
SECOND = ("Bay", "Hill", "Mill", "Lane", "Ford", "Field", "Wood", "Bridge", "Green", "Moor")
#: Records that the practices share.
SHARED = ("instruments.yaml",)


def in_folder(folder: Path) -> dict[str, bytes]:
    """What each file below a folder holds, to compare two that were published."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def write_group(folder: Path, count: int, *, seed: int = 1) -> tuple[str, ...]:
    """Write so many practices and the folder that they share; return the names of their folders."""
    texts = {name: data.decode() for name, data in starter_texts().items() if not name.startswith("schemas/")}
    common = folder / "common"
    common.mkdir(parents=True)
    for name in SHARED:
        (common / name).write_text(texts[name], "utf-8")
    names = tuple(f"practice-{number:03}" for number in range(1, count + 1))
    for number, name in enumerate(names):
        _write(folder / name, texts, number, Random(f"{seed} {name}"))
    return names


def _write(folder: Path, texts: dict[str, str], number: int, draw: Random) -> None:
    own = {name: text for name, text in texts.items() if name not in SHARED}
    title = f"{FIRST[number % 10]} {SECOND[number // 10 % 10]} Orthodontics {number // 100 + 1}"
    own["practice.yaml"] = _with(
        own["practice.yaml"],
        {"name": title, "common": "../common", "service": draw.choice(["90%", "95%", "97%"])},
    )
    busy = draw.uniform(0.5, 1.0)
    own["procedures.yaml"] = _with(
        own["procedures.yaml"],
        {"wire-change.per_day": round(16 * busy), "check.per_day": round(8 * busy)},
    )
    own["room.yaml"] = _with(own["room.yaml"], {"stages.wash.cycle": f"{draw.randint(30, 60)} min"})
    rows = own["stock.csv"].splitlines()
    own["stock.csv"] = "\n".join([rows[0], *(_counted(row, draw) for row in rows[1:])]) + "\n"
    for name, text in own.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")


def _with(text: str, values: dict[str, object]) -> str:
    edits = [Edit(path=tuple(path.split(".")), value=value) for path, value in values.items()]
    return replace_values(text, edits).text


def _counted(row: str, draw: Random) -> str:
    """A line of stock.csv with another number on hand, from none to far too many."""
    instrument, _, *rest = row.split(",")
    return ",".join([instrument, str(draw.choice([0, 2, 8, 60])), *rest])


if __name__ == "__main__":
    write_group(Path(sys.argv[2]), int(sys.argv[1]))
