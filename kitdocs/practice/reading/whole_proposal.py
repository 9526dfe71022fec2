"""What-if of a whole design: a proposal that proposal.yaml keeps stands in the place of the folder's sets and pouches.

Sets and pouches are replaced, but for those that the proposal keeps; of procedures and chairs only `set`, `add_ons` and
`drawer` are. What procedures need stays as the folder has it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from kitdocs.practice.locations import Path as ValuePath
from kitdocs.practice.locations import SourceLocation
from kitdocs.practice.problems import Problem, nearest, problem_at
from kitdocs.practice.reading.changes import FILE
from kitdocs.practice.reading.text_file import read_text
from kitdocs.practice.reading.yaml_file import YamlFile, read_yaml

#: How a proposal of the folder itself is asked for: ``proposal=cheapest``.
OWN = "proposal"
RECORD = "proposal.yaml"


def is_whole(where: str) -> bool:
    """Whether a change names a file of proposals, or the folder's own, instead of a value."""
    return where == OWN or Path(where).name == RECORD


def put_in(where: str, name: str, folder: Path, files: dict[str, YamlFile]) -> list[Problem]:
    """Replace the design in `files` (by stem) by a proposal; without a name, by the one that was chosen.

    The changed practice keeps the proposals, with this one as the chosen. What cannot be put in is a problem.
    """
    asked = f"{where}={name}" if name else where
    start = SourceLocation(file=FILE, line=1, column=1, text=asked)
    found = _file(where, folder, files)
    if isinstance(found, Problem):
        return [replace(found, place=start)]
    record = found.data if isinstance(found.data, dict) else {}
    designs = record.get("made_of")
    if not isinstance(designs, dict) or not designs:
        return [problem_at(start, (OWN,), "change.no-designs", file=RECORD if where == OWN else where)]
    chosen = name or str(record.get("chosen"))
    design = designs.get(chosen)
    if not isinstance(design, dict):
        return [problem_at(start, (OWN,), "change.no-proposal", name=chosen, nearest=nearest(chosen, designs))]
    place = SourceLocation(file=FILE, line=1, column=len(asked) - len(name) + 1 if name else 1, text=asked)
    files[OWN] = replace(found, data={**record, "chosen": chosen})
    _replace(design, files, place)
    return []


def _file(where: str, folder: Path, files: Mapping[str, YamlFile]) -> YamlFile | Problem:
    if where == OWN:
        return files[OWN]
    path = Path(where) if Path(where).is_file() else folder / where
    read = read_text(path.parent, path.name, (OWN,))
    if isinstance(read, Problem):
        return read
    file = read_yaml(read)
    return file.problems[0] if file.problems else file


def _replace(design: Mapping[str, Any], files: Mapping[str, YamlFile], place: SourceLocation) -> None:
    kept = design.get("kept") or ()
    for stem in ("sets", "pouches"):
        own = files[stem].data if isinstance(files[stem].data, dict) else {}
        files[stem].data = {id_: record for id_, record in own.items() if id_ in kept}
        for places in (files[stem].keys, files[stem].values):
            for path in [path for path in places if path[1:2] and path[1] not in kept]:
                del places[path]
        for id_, record in (design.get(stem) or {}).items():
            _put(files[stem], (stem, id_), record, place)
    for id_, record in _records(files["procedures"]):
        takes = (design.get("procedures") or {}).get(id_)
        if isinstance(takes, dict):
            for field in ("set", "add_ons"):
                _put(files["procedures"], ("procedures", id_, field), takes.get(field), place, record)
    for id_, record in _records(files["chairs"]):
        drawer = (design.get("drawers") or {}).get(id_)
        _put(files["chairs"], ("chairs", id_, "drawer"), drawer, place, record)


def _records(file: YamlFile) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield each record, copied first: the same may stand in several places of the file."""
    for id_, record in (file.data if isinstance(file.data, dict) else {}).items():
        if isinstance(record, dict):
            file.data[id_] = copied = dict(record)
            yield id_, copied


def _put(
    file: YamlFile, path: ValuePath, value: Any, place: SourceLocation, holder: dict[str, Any] | None = None
) -> None:
    """Put a value where a path leads, with its places; None takes out what is there."""
    holder = file.data if holder is None else holder
    key = str(path[-1])
    holder.pop(key, None)
    for places in (file.keys, file.values):
        for inner in [inner for inner in places if inner[: len(path)] == path]:
            del places[inner]
    if value is None:
        return
    holder[key] = value
    file.keys[path] = file.values[path] = place
    for inner in _inside(value, path):
        file.values[inner] = place
        if isinstance(inner[-1], str):
            file.keys[inner] = place


def _inside(value: Any, path: ValuePath) -> Iterator[ValuePath]:
    entries = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, one in entries:
        yield (*path, key)
        yield from _inside(one, (*path, key))
