"""A practice folder, read as a `Practice`, or as everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar

from kitdocs.extensions import extensions
from kitdocs.practice.draft import Draft, RoomDraft, SettingsDraft
from kitdocs.practice.locations import Path as ValuePath
from kitdocs.practice.locations import SourceLocations
from kitdocs.practice.model import Practice
from kitdocs.practice.printed import PRINTED, PrintRecord
from kitdocs.practice.problems import PracticeError, Problem, at_most, in_order, path_of
from kitdocs.practice.reading.changes import apply
from kitdocs.practice.reading.folder import Folder, read_folder
from kitdocs.practice.reading.named import called_in, names_in, with_ids_by_name
from kitdocs.practice.reading.shapes import SINGLE, Shaped, shaped, unshaped
from kitdocs.practice.reading.spelled_out import fill_in, spread
from kitdocs.practice.reading.teaching import which_set
from kitdocs.practice.reading.whole_proposal import is_whole, put_in
from kitdocs.practice.rules import RULES
from kitdocs.practice.rules.accepting import accept
from kitdocs.practice.schema import SHAPES
from kitdocs.practice.settings import Settings
from kitdocs.practice.values import CURRENCY, as_id

_V = TypeVar("_V")

_TABLES = tuple(stem for stem in SHAPES if stem not in (*SINGLE, PRINTED))
_SETTINGS = tuple(field.name for field in fields(SettingsDraft) if field.name != "read")
_ROOM = tuple(field.name for field in fields(RoomDraft) if field.name != "read")


def read_practice(folder: Path | str, changes: Mapping[str, str] = MappingProxyType({})) -> Practice:
    """Return the practice that `folder` describes; its `problems` are the warnings, in order of place.

    `changes` are what-ifs: values by path (``{"procedures.wire-change.per_day": "45"}``), written as
    they would be in the file, that hold instead of what is written there. A whole proposal is one, too:
    ``{"proposal": "cheapest"}`` of the folder's own proposal.yaml, ``{"leaner/proposal.yaml": ""}`` the chosen of
    another.

    Raise `PracticeError` with every problem when there is any error.
    """
    found = read_folder(Path(folder))
    if not found.files:
        raise PracticeError(found.problems)
    found.problems += spread(found.files)
    if any(map(is_whole, changes)):
        found.problems += fill_in(found.files)  # what is needed stays as it is, whatever the sets will be
        for where, name in changes.items():
            found.problems += put_in(where, name, found.path, found.files) if is_whole(where) else ()
    found.problems += apply({where: value for where, value in changes.items() if not is_whole(where)}, found.files)
    found.problems += spread(found.files)  # what a change has written
    found.problems += fill_in(found.files)
    return practice_of(found)


def practice_of(found: Folder, told: Callable[[Problem], bool] = lambda problem: True) -> Practice:
    """Return the practice of the files that were read and spelled out; only the problems that are `told` count.

    Raise `PracticeError` with every problem when there is any error.
    """
    places = _places(found)
    context = {CURRENCY: _currency(found)}
    shapes = {
        stem: shaped(stem, file, places, context) if file.data is not None else unshaped(stem)
        for stem, file in found.files.items()
    }
    problems = tuple(filter(told, (_set_named(problem, found) for problem in _checked(_draft(found, shapes, places)))))
    if any(problem.severity == "error" for problem in problems):
        raise PracticeError(problems)
    return _in_one_order(_practice(found, shapes, places, problems))


def _set_named(problem: Problem, found: Folder) -> Problem:
    """Where a procedure has no set, the remedy lists those that there are."""
    path = path_of(problem.path)
    if problem.rule != "missing" or (path[0], *path[2:]) != ("procedures", "set"):
        return problem
    sets = found.files["sets"].data
    return replace(problem, remedy=which_set(list(sets) if isinstance(sets, dict) else []))


def _currency(found: Folder) -> str | None:
    """Return the currency that practice.yaml names; None when it names none that can be read."""
    settings = found.files["practice"].data
    written_ = (
        settings.get("currency", Settings.model_fields["currency"].default) if isinstance(settings, dict) else None
    )
    return written_ if isinstance(written_, str) else None


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
        id_: record.model_copy(
            update={"add_ons": _in_order_of(pouches, record.add_ons), "needs": _in_order_of(instruments, record.needs)}
        )
        for id_, record in practice.procedures.items()
    }
    return replace(practice, chairs=MappingProxyType(chairs), procedures=MappingProxyType(procedures))


def _in_order_of(file: Mapping[str, Any], named: Mapping[str, _V]) -> Mapping[str, _V]:
    return MappingProxyType({id_: named[id_] for id_ in file if id_ in named})


def _draft(found: Folder, shapes: Mapping[str, Shaped], places: SourceLocations) -> Draft:
    """Gather the whole records of every file, and the problems of each value by itself."""
    settings, room = shapes["practice"].parts, shapes["room"].parts
    tables = {stem: MappingProxyType(shapes[stem].parts) for stem in _TABLES}
    return Draft(
        settings=SettingsDraft(read=settings, **{name: settings[name] for name in _SETTINGS if name in settings}),
        room=RoomDraft(read=room, **{name: room[name] for name in _ROOM if name in room}),
        **tables,
        names=names_in(found.files),
        called=called_in(found.files),
        ids=_ids(places),
        pages=found.pages,
        words=MappingProxyType(found.words),
        photos=MappingProxyType(found.photos),
        drawings=MappingProxyType(found.drawings),
        places=places,
        broken=frozenset(path for shape in shapes.values() for path in shape.broken),
        problems=(
            *found.problems,
            *with_ids_by_name((problem for shape in shapes.values() for problem in shape.problems), found.files),
        ),
    )


def _ids(places: SourceLocations) -> Mapping[ValuePath, frozenset[str]]:
    named: dict[ValuePath, set[str]] = {}
    for key in places.keys:
        if len(key) == 2 or (len(key) == 3 and key[0] == "room"):
            named.setdefault(key[:-1], set()).update((str(key[-1]), as_id(str(key[-1]))))
    return MappingProxyType({path: frozenset(ids) for path, ids in named.items()})


def _practice(
    found: Folder, shapes: Mapping[str, Shaped], places: SourceLocations, problems: tuple[Problem, ...]
) -> Practice:
    """Build the practice of a folder in which every file is whole."""
    return Practice(
        folder=found.path,
        settings=shapes["practice"].whole,
        room=shapes["room"].whole,
        proposal=shapes["proposal"].whole,
        **{stem: shapes[stem].whole for stem in _TABLES},
        printed=PrintRecord(runs=shapes[PRINTED].whole),
        pages=found.pages,
        words=MappingProxyType(found.words),
        photos=MappingProxyType(found.photos),
        drawings=MappingProxyType(found.drawings),
        places=places,
        problems=problems,
    )


def _places(found: Folder) -> SourceLocations:
    keys, values = {}, dict(found.places)
    for file in found.files.values():
        keys.update(file.keys)
        values.update(file.values)
    return SourceLocations(keys=MappingProxyType(keys), values=MappingProxyType(values))


def _checked(draft: Draft) -> tuple[Problem, ...]:
    """Return every problem after every rule; each rule sees what was found before it."""
    for rule in (*RULES, *(added for _, added in extensions("rules"))):
        if found := at_most(rule(draft)):
            draft = replace(draft, problems=(*draft.problems, *found))
    return in_order(accept(draft.problems, draft.settings, draft.places))
