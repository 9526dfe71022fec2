"""Short ways of writing contents and needs, spelled out before anything is checked.

- In the `contents` of a set or pouch, ``mirror: 2`` is two of it, side by side; ``2 mirror`` is read in the same way.
- `needs` may be a list of what every visit needs, with single entries in it: ``[all of the set, bird-beak: 12%]``.
- In `needs`, ``all of the set: always`` is everything in the procedure's set, as many as lie in it. What is written
  beside it about one instrument holds instead; ``never`` leaves it out.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping
from typing import Any, TypeAlias

from kitdocs.practice.locations import Path, SourceLocation, SourceLocations
from kitdocs.practice.needs import ALL_OF_THE_SET, COUNT_FIRST, MOST_OF_ONE, NEVER, Need, need
from kitdocs.practice.problems import Problem, problem_at
from kitdocs.practice.reading.yaml_file import YamlFile
from kitdocs.practice.values import ID_PATTERN, as_id

_COUNT_FIRST = re.compile(COUNT_FIRST)

#: A file's records by id, as read.
_Records: TypeAlias = dict[str, Any]


def spread(files: Mapping[str, YamlFile]) -> list[Problem]:
    """Spell out counts in contents and lists of needs, in `files` by stem. What cannot be meant is a problem."""
    problems: list[Problem] = []
    for stem in ("sets", "pouches"):
        for id_, record in _records(files[stem], "contents"):
            problems += _spread_contents(files[stem], (stem, id_, "contents"), record)
    for id_, record in _records(files["procedures"], "needs"):
        problems += _spread_needs(files["procedures"], ("procedures", id_, "needs"), record)
    return problems


def fill_in(files: Mapping[str, YamlFile]) -> list[Problem]:
    """Put what is in the set in the place of `all of the set`, in `files` by stem, once `spread` has been there."""
    return [
        problem
        for id_, record in _records(files["procedures"], "needs")
        if isinstance(record["needs"], dict)
        for problem in _fill_in(files, ("procedures", id_, "needs"), record)
    ]


def _records(file: YamlFile, field: str) -> Iterator[tuple[str, _Records]]:
    """Yield each record with the field, copied first: the same may stand in several places of the file."""
    if isinstance(file.data, dict):
        for id_, record in file.data.items():
            if isinstance(record, dict) and isinstance(record.get(field), list | dict):
                file.data[id_] = copied = dict(record)
                yield id_, copied


def _spread_contents(file: YamlFile, path: Path, record: _Records) -> Iterator[Problem]:
    if not isinstance(record["contents"], list):
        return
    items = [_count_first(item) for item in record["contents"]]
    if not any(isinstance(item, dict) for item in items):
        return
    written = _places(file)
    spelled: list[Any] = []
    places: list[SourceLocation] = []
    for n, item in enumerate(items):
        if not isinstance(item, dict) or not item:
            spelled.append(item)
            places.append(written.value(*path, n))
            continue
        for name, count in item.items():
            right = isinstance(count, int) and not isinstance(count, bool) and 1 <= count <= MOST_OF_ONE
            if not right:
                place = written.value(*path, n, name)
                yield problem_at(place, (*path, len(spelled)), "how-many", name=name, most=MOST_OF_ONE)
            many = count if right else 1
            spelled += [name] * many
            places += [written.key(*path, n, name)] * many
    record["contents"] = spelled
    file.values.update({(*path, n): place for n, place in enumerate(places)})


def _count_first(item: Any) -> Any:
    """Return ``2 mirror`` as what it means, ``mirror: 2``; any other item as it is."""
    match = _COUNT_FIRST.fullmatch(item) if isinstance(item, str) else None
    return {match[2]: int(match[1])} if match else item


def _spread_needs(file: YamlFile, path: Path, record: _Records) -> Iterator[Problem]:
    items = record["needs"]
    if not isinstance(items, list):
        return
    written = _places(file)
    needs: dict[str, Any] = {}
    for n, item in enumerate(items):
        for name, often in item.items() if isinstance(item, dict) else ((item, "always"),):
            if not isinstance(name, str):
                yield problem_at(written.value(*path, n), (*path, n), "needs-list")
                continue
            at = (*path, name)
            key, value = written.key(*path, n, name), written.value(*path, n, name)
            if name in needs:
                yield problem_at(key, at, "same-key.yaml", key=name, line=file.keys[at].line)
            else:
                needs[name] = often
                file.keys[at], file.values[at] = key, value
    record["needs"] = needs


def _fill_in(files: Mapping[str, YamlFile], path: Path, record: _Records) -> Iterator[Problem]:
    """Yield what is wrong with `all of the set` in the needs at `path`, and put the set's contents in its place."""
    file, instruments = files["procedures"], files["instruments"].data
    known = instruments if isinstance(instruments, dict) else {}
    record["needs"] = needs = dict(record["needs"])
    written = _places(file)
    at = (*path, ALL_OF_THE_SET)
    for key in [key for key in needs if key != ALL_OF_THE_SET and key not in known and _means_the_set(key)]:
        yield problem_at(written.key(*path, key), (*path, key), "all-of-the-set.misspelt", key=key)
        file.keys[at], file.values[at] = written.key(*path, key), written.value(*path, key)
        needs.setdefault(ALL_OF_THE_SET, needs.pop(key))
    if ALL_OF_THE_SET not in needs:
        return
    often = _often(needs.pop(ALL_OF_THE_SET))
    if isinstance(often, str):
        yield problem_at(written.value(*at), at, "all-of-the-set.often", why=often)
    held = _contents(files["sets"], record.get("set"))
    for name, count in held.items():
        if name not in needs and (name in known or not known):
            needs[name] = Need(often.share if isinstance(often, Need) else 1.0, count)
            named = (*path, name)
            file.keys[named], file.values[named] = written.key(*at), written.value(*at)
    for name in [name for name, often in needs.items() if often == NEVER and (name in held or not held)]:
        del needs[name]


def _places(file: YamlFile) -> SourceLocations:
    return SourceLocations(keys=file.keys, values=file.values)


def _means_the_set(key: str) -> bool:
    """Whether somebody meant `all of the set` by a key that is nearly it."""
    words = as_id(key)
    looks_like = bool(difflib.get_close_matches(words, ("all-of-the-set", "whole-set"), n=1, cutoff=0.75))
    return looks_like and (" " in key or bool(re.fullmatch(ID_PATTERN, key)))


def _often(written: Any) -> Need | str:
    """Return how often all of the set is needed, or what is wrong with how that is written."""
    try:
        often = need(written)
    except ValueError as error:
        return str(error)
    return often if often.count == 1 else f"'{written}' says how many, and that is what lies in the set"


def _contents(sets: YamlFile, id_: Any) -> dict[str, int]:
    """Return how many of each instrument lie in a set; nothing where that cannot be read."""
    record = sets.data.get(id_) if isinstance(sets.data, dict) and isinstance(id_, str) else None
    contents = record.get("contents") if isinstance(record, dict) else None
    held: dict[str, int] = {}
    for name in contents if isinstance(contents, list) else ():
        if isinstance(name, str):
            held[name] = held.get(name, 0) + 1
    return held
