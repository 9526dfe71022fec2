"""A practice several times as large as the example: as many more procedures, sets, pouches and cassettes.

    python tests/bench/grown_practice.py TIMES FOLDER

A visit of a procedure becomes a visit of one of its copies, so the busy day stays nearly as busy as it is. The more
copies, the more the number of visits varies by chance, and on every day they have to fit the chairs: so a few are left
out. Chairs and instruments stay as they are: there are only so many colours that everybody can tell apart.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import yaml

ROOT = Path(__file__).parents[2]

#: Last letters of the codes of the copies. No code of the example has one of them, so that no two codes look alike.
LETTERS = "GJMQUVY"

#: Files that change.
GROWN = ("cassettes", "chairs", "pouches", "procedures", "room", "sets")

Record = dict[str, Any]


def grow(folder: Path, times: int) -> None:
    """Write the grown practice as a new folder, up to eight times as large."""
    shutil.copytree(ROOT / "example_practice", folder)
    read = {name: yaml.safe_load((folder / f"{name}.yaml").read_text("utf-8")) for name in GROWN}
    read["cassettes"] = copies(read["cassettes"], times, lambda record, number: record)
    read["sets"] = copies(read["sets"], times, _set)
    read["pouches"] = copies(read["pouches"], times, _coded)
    read["procedures"] = copies(read["procedures"], times, _procedure)
    for record in read["procedures"].values():
        record["per_day"] = round(kept_visits(times) * record["per_day"] / times, 3)
    for stage in read["room"]["stages"].values():
        sizes = {name: count for name, count in stage.get("capacity", {}).items() if name in read["cassettes"]}
        for number in range(times):
            if sizes:
                stage["capacity"].update({_id(name, number): count for name, count in sizes.items()})
    # PyYAML reads 12:30 as the number of minutes.
    read["room"]["restock"] = [
        at if isinstance(at, str) else f"{at // 60:02}:{at % 60:02}" for at in read["room"]["restock"]
    ]
    shelves = read["room"]["shelves"]
    read["room"]["shelves"] = {_id(name, number): shelf for number in range(times) for name, shelf in shelves.items()}
    for chair in read["chairs"].values():
        chair["drawer"] = {
            _id(pouch, number): count for number in range(times) for pouch, count in chair["drawer"].items()
        }
    for name, record in read.items():
        text = yaml.safe_dump(record, allow_unicode=True, sort_keys=False, width=10_000)
        (folder / f"{name}.yaml").write_text(text, "utf-8")


def kept_visits(times: int) -> float:
    """Return the share of the visits that are kept: 0.9 in a fourfold practice, 0.8 in an eightfold one."""
    return 1 - times / 40


def copies(records: Mapping[str, Record], times: int, changed: Callable[[Record, int], Record]) -> dict[str, Record]:
    """Return the records and their copies; a copy has its number in its id and its name."""
    grown = {}
    for number in range(times):
        for name, record in records.items():
            own = changed(dict(record), number) if number else dict(record)
            if number:
                own["name"] = _named(record["name"], number)
            grown[_id(name, number)] = own
    return grown


def _id(name: str, number: int) -> str:
    return f"{name}-{number + 1}" if number else name


def _named(name: str | Mapping[str, str], number: int) -> str | dict[str, str]:
    if isinstance(name, str):
        return f"{name} {number + 1}"
    return {language: f"{text} {number + 1}" for language, text in name.items()}


def _coded(record: Record, number: int) -> Record:
    """Return a set or pouch with a code of its own; where a copy stands is worked out."""
    kept = {key: value for key, value in record.items() if key != "place"}
    return {**kept, "code": f"{record['code']}{LETTERS[number - 1]}"}


def _set(record: Record, number: int) -> Record:
    return {**_coded(record, number), "cassette": _id(record["cassette"], number)}


def _procedure(record: Record, number: int) -> Record:
    add_ons = record.get("add_ons", {})
    renamed = (
        {_id(pouch, number): share for pouch, share in add_ons.items()}
        if isinstance(add_ons, dict)
        else [_id(pouch, number) for pouch in add_ons]
    )
    return {**record, "set": _id(record["set"], number), **({"add_ons": renamed} if add_ons else {})}


if __name__ == "__main__":
    grow(Path(sys.argv[2]), int(sys.argv[1]))
