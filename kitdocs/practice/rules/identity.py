"""Things that must be told apart: ids, codes, colours, marks, names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import get_args

from kitdocs.practice.codes import look_alike
from kitdocs.practice.draft import Draft
from kitdocs.practice.kinds import ChairMark
from kitdocs.practice.locations import Path
from kitdocs.practice.model import Chair
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import Values, error, table, where
from kitdocs.practice.values import Text

#: Tables whose ids are used for the same thing (a card, a photo, a place in a load) and must differ.
_ONE_FAMILY: tuple[tuple[tuple[str, ...], ...], ...] = (
    (("cassettes",), ("room", "pouch_sizes")),
    (("instruments",), ("sets",), ("pouches",)),
)

_KIND = {
    "cassettes": "cassette",
    "pouch_sizes": "pouch",
    "instruments": "instrument",
    "sets": "set",
    "pouches": "pouch",
}


def ids_are_used_once(practice: Draft) -> Iterator[Problem]:
    """A cassette and a pouch size never share an id; nor do instruments, sets and pouches."""
    for family in _ONE_FAMILY:
        first: dict[str, Path] = {}
        for path in family:
            for id_ in table(practice, path):
                if id_ in first:
                    other, kind = where(practice, *first[id_]), _KIND[path[-1]]
                    yield error(practice, "same-id", (*path, id_), at_key=True, id=id_, where=other, kind=kind)
                else:
                    first[id_] = (*path, id_)


#: Names of devices, which Windows gives to no file, whatever follows the dot. Source: Microsoft, Naming Files, Paths,
#: and Namespaces (from memory).
_DEVICES = {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10))}


def ids_can_name_files(practice: Draft) -> Iterator[Problem]:
    """No id is the name of a device on Windows, because pages are named after ids."""
    tables = ("chairs", "instruments", "sets", "pouches", "procedures")
    paths = [("pages", page.id) for page in practice.pages]
    paths += [(stem, id_) for stem in tables for id_ in table(practice, (stem,))]
    for path in paths:
        if path[1] in _DEVICES:
            yield error(practice, "reserved-id", path, at_key=True, id=path[1])


def codes_differ(practice: Draft) -> Iterator[Problem]:
    """No two codes of sets and pouches are equal or easily taken for each other."""
    coded: list[tuple[Path, str]] = [
        ((stem, id_, "code"), record.code)
        for stem, records in (("sets", practice.sets), ("pouches", practice.pouches))
        for id_, record in records.items()
    ]
    for (path, code), (later, other) in combinations(coded, 2):
        if code == other or look_alike(code, other):
            rule = "same-code" if code == other else "look-alike-code"
            yield error(practice, rule, later, code=other, other=code, id=path[1], where=where(practice, *path))


def chairs_differ(practice: Draft) -> Iterator[Problem]:
    """No two chairs have one name, one colour or one mark; where marks run out, no two have both in common."""
    enough = len(practice.chairs) <= len(get_args(ChairMark))
    for (id_, chair), (later, other) in combinations(practice.chairs.items(), 2):
        colour, mark = _same_colour(chair, other), other.mark == chair.mark
        alike = {"colour": colour, "mark": mark} if enough else {"look": colour and mark}
        for field, same in {**alike, "name": _same_words(chair.name, other.name)}.items():
            if same:
                first: Values = {"id": id_, "mark": chair.mark, "where": where(practice, "chairs", id_)}
                at = "mark" if field == "look" else field
                yield error(practice, f"same-{field}", ("chairs", later, at), **first)


def _same_colour(one: Chair, other: Chair) -> bool:
    return other.colour.hex == one.colour.hex or _same_words(one.colour.name, other.colour.name)


def sets_in_one_cassette_have_their_own_marks(practice: Draft) -> Iterator[Problem]:
    """Closed, two cassettes of one size look the same: only the mark tells which set is inside."""
    first: dict[tuple[str, str], str] = {}
    for id_, set_ in practice.sets.items():
        key = (set_.cassette, set_.mark)
        if key in first:
            other: Values = {"set": first[key], "where": where(practice, "sets", first[key])}
            yield error(practice, "same-cassette-mark", ("sets", id_, "mark"), cassette=set_.cassette, **other)
        else:
            first[key] = id_


def _same_words(one: Text, two: Text) -> bool:
    """Whether two names read the same in any language."""
    languages = {language for text in (one, two) for language, _ in text.by_language} or {""}
    return any(_words(one, language) == _words(two, language) != "" for language in languages)


def _words(text: Text, language: str) -> str:
    words: Mapping[str, str] = dict(text.by_language)
    return (text.plain or words.get(language, "")).casefold()
