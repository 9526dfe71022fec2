"""A practice folder becomes a `Practice`, or everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar

from kitdocs.practice.locations import SourceLocations
from kitdocs.practice.model import Practice
from kitdocs.practice.printed import PRINTED, PrintRecord
from kitdocs.practice.problems import PracticeError, at_most, in_order
from kitdocs.practice.reading.changes import apply
from kitdocs.practice.reading.folder import Folder, read_folder
from kitdocs.practice.reading.shapes import shaped, unshaped
from kitdocs.practice.rules import RULES
from kitdocs.practice.rules.accepting import accept

_V = TypeVar("_V")


def read_practice(folder: Path | str, changes: Mapping[str, str] = MappingProxyType({})) -> Practice:
    """The practice that `folder` describes; its `problems` are the warnings, in order of place.

    `changes` are what-ifs: values by path (``{"procedures.wire-change.per_day": "45"}``), written as
    they would be in the file, that hold instead of what is written there.

    Raises `PracticeError` with every problem when there is any error.
    """
    found = read_folder(Path(folder))
    if not found.files:
        raise PracticeError(found.problems)
    found.problems += apply(changes, found.files)
    practice = _checked(_practice(found))
    if any(problem.severity == "error" for problem in practice.problems):
        raise PracticeError(practice.problems)
    return _in_one_order(practice)


def _in_one_order(practice: Practice) -> Practice:
    """Pouches and instruments by id in the order of their own files, whatever the order of the keys that name them.

    So a drawer is read the same way at every chair, and moving a key about changes no card and no figure.
    """
    pouches, instruments = practice.pouches, practice.instruments
    chairs = {
        id_: chair.model_copy(update={"drawer": _in_order_of(pouches, chair.drawer)})
        for id_, chair in practice.chairs.items()
    }
    procedures = {
        id_: of.model_copy(
            update={"add_ons": _in_order_of(pouches, of.add_ons), "needs": _in_order_of(instruments, of.needs)}
        )
        for id_, of in practice.procedures.items()
    }
    return replace(practice, chairs=MappingProxyType(chairs), procedures=MappingProxyType(procedures))


def _in_order_of(file: Mapping[str, Any], named: Mapping[str, _V]) -> Mapping[str, _V]:
    return MappingProxyType({id_: named[id_] for id_ in file if id_ in named})


def _practice(found: Folder) -> Practice:
    """Every file's records, with `UNREAD` for what is broken, and the problems of each value by itself."""
    places = _places(found)
    problems = list(found.problems)
    records: dict[str, Any] = {}
    for stem, file in found.files.items():
        if file.data is None:
            records[stem] = unshaped(stem, None)
        else:
            records[stem], more = shaped(stem, file, places)
            problems += more
    return Practice(
        folder=found.path,
        settings=records.pop("practice"),
        printed=PrintRecord(runs=records.pop(PRINTED)),
        **records,
        pages=found.pages,
        words=MappingProxyType(found.words),
        photos=MappingProxyType(found.photos),
        places=places,
        problems=tuple(problems),
    )


def _places(found: Folder) -> SourceLocations:
    keys, values = {}, dict(found.places)
    for file in found.files.values():
        keys.update(file.keys)
        values.update(file.values)
    return SourceLocations(keys=MappingProxyType(keys), values=MappingProxyType(values))


def _checked(practice: Practice) -> Practice:
    """The practice after every rule; each rule sees what was found before it."""
    for rule in RULES:
        practice = replace(practice, problems=(*practice.problems, *at_most(rule(practice))))
    return replace(practice, problems=in_order(accept(practice.problems, practice.settings, practice.places)))
