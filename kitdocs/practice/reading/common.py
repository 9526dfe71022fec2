"""Records that several practices share: a folder beside theirs, which a practice names as `common: ../common`.

Instruments and cassettes are put together field by field: what the practice writes of a record holds, and the shared
record says the rest. A shared instrument that nothing of the practice names is left out. Pages, sentences, photos and
drawings of the practice replace shared ones. A place in a record that is put together names both files
(`SourceLocation.also`).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from kitdocs.practice.locations import Path as ValuePath
from kitdocs.practice.locations import SourceLocation
from kitdocs.practice.problems import Problem
from kitdocs.practice.reading.text_file import TextFile, read_text
from kitdocs.practice.reading.yaml_file import YamlFile, read_yaml
from kitdocs.practice.settings import COMMON_PATTERN

#: Tables whose records can be shared.
SHARED = ("instruments", "cassettes")
#: Folders inside the shared one of which practices read something.
FOLDERS = ("pages", "photos", "drawings")
#: What a file that is not there, or empty, is told; where its records are shared, it need not be.
_LACKING = ("no-file", "empty-file")


def common_named(settings: Any) -> str:
    """Return how the data of practice.yaml names the shared folder (``../common``); '' where it names none."""
    named = settings.get("common") if isinstance(settings, Mapping) else None
    return named if isinstance(named, str) and re.fullmatch(COMMON_PATTERN, named) else ""


def common_folder(folder: Path) -> Path | None:
    """Return the shared folder that a practice folder names, where there is one."""
    source = read_text(folder, "practice.yaml", ("practice",))
    named = common_named(read_yaml(source).data) if isinstance(source, TextFile) else ""
    shared = beside(folder, named) if named else None
    return shared if shared and shared.is_dir() else None


def beside(folder: Path, named: str) -> Path:
    """Return the folder that is named from within another: ``../common``."""
    return folder.resolve().parent / named.removeprefix("../")


def shared_text(folder: Path, named: str, name: str, at: ValuePath) -> TextFile | Problem | None:
    """Return a text of the shared folder, its name as seen from the practice; None where there is no such file."""
    if not (beside(folder, named) / name).exists():
        return None
    found = read_text(folder.resolve().parent, f"{named.removeprefix('../')}/{name}", at)
    if isinstance(found, Problem):
        return as_shared(found)
    return replace(found, name=f"../{found.name}")


def as_shared(problem: Problem) -> Problem:
    """Return a problem of a file beside the practice folder with its name as seen from the practice."""
    return replace(problem, place=replace(problem.place, file=f"../{problem.place.file}"))


def put_together(stem: str, own: YamlFile, source: TextFile | Problem, named: set[str]) -> YamlFile:
    """Return a table of the practice with the shared one; `named` is every word that the practice's files hold."""
    if isinstance(source, Problem):
        return replace(own, problems=[*own.problems, source])
    shared = read_yaml(source)
    if own.data is None and all(problem.rule in _LACKING for problem in own.problems):
        own = YamlFile(data={})
    if not isinstance(own.data, dict) or not isinstance(shared.data, dict):
        return replace(own, problems=[*own.problems, *shared.problems])
    whole = replace(own, problems=[*own.problems, *shared.problems])
    taken = {id_ for id_ in shared.data if stem != "instruments" or id_ in own.data or id_ in named}
    whole.data = {id_: _record(shared.data[id_], own.data.get(id_)) for id_ in shared.data if id_ in taken}
    whole.data |= {id_: record for id_, record in own.data.items() if id_ not in whole.data}
    whole.keys = _places(stem, own.keys, shared.keys, own.keys, taken)
    whole.values = _places(stem, own.values, shared.values, own.keys, taken)
    for table in (whole.keys, whole.values):
        for path in [path for path in table if path[:2] in shared.keys and path[:2] in own.keys]:
            of_practice = not table[path].file.startswith("../")
            other = shared.keys[path[:2]] if of_practice else own.keys[path[:2]]
            table[path] = replace(table[path], also=str(other))
    return whole


def _record(shared: Any, own: Any) -> Any:
    if own is None:
        return shared
    return {**shared, **own} if isinstance(shared, dict) and isinstance(own, dict) else own


def _places(
    stem: str,
    own: Mapping[ValuePath, SourceLocation],
    shared: Mapping[ValuePath, SourceLocation],
    fields: Mapping[ValuePath, SourceLocation],
    taken: set[str],
) -> dict[ValuePath, SourceLocation]:
    """Return the places of the shared table without those of fields that the practice writes, and its own."""
    kept = {
        path: place
        for path, place in shared.items()
        if path == (stem,) or (path[1] in taken and (len(path) < 3 or path[:3] not in fields))
    }
    return {**kept, **own}


def words_in(data: Any) -> Iterator[str]:
    """Yield every key and text in plain data."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, Mapping):
        for key, part in data.items():
            yield str(key)
            yield from words_in(part)
    elif isinstance(data, list | tuple):
        for part in data:
            yield from words_in(part)
