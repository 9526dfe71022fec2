"""A practice folder read without its design: what procedures need, whatever sets and pouches it has, if any.

A design is `sets.yaml`, `pouches.yaml`, and what names them: `set` and `add_ons` of a procedure, `drawer` of a chair.
Only what is to be kept is read of it. While the rest is read, each procedure has a set of its own that holds all it
needs, so that every rule has what it looks at; what the rules say of those sets is not told.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import Any

from kitdocs.practice.locations import SourceLocation
from kitdocs.practice.model import Practice
from kitdocs.practice.needs import ALL_OF_THE_SET, need
from kitdocs.practice.problems import PracticeError, Problem, nearest, path_of, problem_at
from kitdocs.practice.reading.folder import Folder, read_folder
from kitdocs.practice.reading.reader import practice_of, read_practice
from kitdocs.practice.reading.spelled_out import fill_in, spread
from kitdocs.practice.reading.text_file import file_problem
from kitdocs.practice.reading.yaml_file import YamlFile
from kitdocs.practice.rules.looking import error

_DESIGN = ("sets", "pouches")
_STAND_IN = "design-of-"

#: What is said of a design, wherever in the folder it is said.
RULES_OF_A_DESIGN = ("unused", "no-capacity", "unknown-photo", "accepts-nothing", "unused-words")
#: What a kept set or pouch leaves open, and what is proposed beside it will hold.
_LEFT_OPEN = ("not-covered", "not-enough", "drawer-lacks")


@dataclass(frozen=True, slots=True, kw_only=True)
class Undesigned:
    """What a folder says beside its design, and what of the design is kept.

    `practice` has the kept sets and pouches only. A procedure whose set is not kept has '' for its set; kept add-ons
    and drawers stand where the folder has them.
    """

    practice: Practice
    whole: Practice | None
    """With the folder's own design; None when it has none that could be read."""


def read_undesigned(folder: str | Path, keep: Collection[str] = ()) -> Undesigned:
    """Read a practice folder whose design is missing, or is to be thought of anew, but for the ids in `keep`.

    Raise `PracticeError` with every problem when there is any error beside the design.
    """
    found = read_folder(Path(folder))
    if not found.files:
        raise PracticeError(found.problems)
    _empty_where_missing(found)
    found.problems += spread(found.files)
    if unknown := _needs_of_no_set(found):
        raise PracticeError([*(problem for problem in found.problems if _told(problem, keep)), *unknown])
    found.problems += fill_in(found.files)
    kept = _kept(found, keep)
    found.problems = [problem for problem in found.problems if _told(problem, kept)]
    if meant := _implants_carried_over(found, kept):
        raise PracticeError(meant)
    _stand_in(found, kept)
    read = practice_of(found, lambda problem: _told(problem, kept))
    return Undesigned(practice=_without_stand_ins(read, kept), whole=_as_it_is(folder))


def _as_it_is(folder: str | Path) -> Practice | None:
    try:
        return read_practice(folder)
    except PracticeError:
        return None


def _empty_where_missing(found: Folder) -> None:
    """A design that is not there is an empty one."""
    for stem in _DESIGN:
        if not isinstance(found.files[stem].data, dict):
            found.files[stem] = YamlFile(data={})


def _needs_of_no_set(found: Folder) -> list[Problem]:
    """Where a procedure needs all of a set that there is none of, nobody knows what it needs."""
    sets = found.files["sets"].data
    return [
        problem_at(
            found.files["procedures"].values.get(("procedures", id_, "needs"), SourceLocation(file="procedures.yaml")),
            ("procedures", id_, "needs"),
            "needs-wanted.of-a-set",
        )
        for id_, record in _records(found.files["procedures"].data)
        if isinstance(record.get("needs"), dict) and ALL_OF_THE_SET in record["needs"] and record.get("set") not in sets
    ]


def _kept(found: Folder, keep: Collection[str]) -> frozenset[str]:
    known = {id_: stem for stem in _DESIGN for id_ in found.files[stem].data}
    unknown = [id_ for id_ in keep if id_ not in known]
    if unknown:
        raise PracticeError(
            file_problem("sets.yaml", ("sets",), "keep-unknown", id=id_, nearest=nearest(id_, known)) for id_ in unknown
        )
    return frozenset(keep)


def _told(problem: Problem, kept: Collection[str]) -> bool:
    path = path_of(problem.path)
    if problem.rule in (*RULES_OF_A_DESIGN, *_LEFT_OPEN):
        return False
    if path[0] in _DESIGN:
        return len(path) > 1 and path[1] in kept
    of_design = (path[0] == "procedures" and path[2:3] in (("set",), ("add_ons",))) or (
        path[0] == "chairs" and path[2:3] == ("drawer",)
    )
    return not of_design


def _stand_in(found: Folder, kept: Collection[str]) -> None:
    """Give each procedure a set of its own, in the plain data, and leave nothing of the design but what is kept."""
    data = {stem: file.data for stem, file in found.files.items()}
    once = {i for i, record in _records(data["instruments"]) if record.get("single_use")}
    cassette = _any_cassette(data["cassettes"])
    for stem in _DESIGN:
        data[stem] = {id_: record for id_, record in data[stem].items() if id_ in kept}
    for n, (id_, record) in enumerate(_records(data["procedures"])):
        needs = record.get("needs")
        needed = _pieces(needs, once) if isinstance(needs, dict) else []
        if record.get("set") not in kept:
            record["set"] = f"{_STAND_IN}{id_}"
            data["sets"][record["set"]] = {
                "name": id_,
                "code": f"K{n}",
                "cassette": cassette,
                "mark": "one-bar",
                "contents": needed or [next(iter(data["instruments"] or {"": 0}))],
            }
        _keep_only(record, "add_ons", kept)
    for _, chair in _records(data["chairs"]):
        _keep_only(chair, "drawer", kept)
    for stem in _DESIGN:
        found.files[stem].data = data[stem]


def _implants_carried_over(found: Folder, kept: Collection[str]) -> list[Problem]:
    """What a set or pouch says of implants stays true of the one instrument in it, though the pack goes.

    With more than one in it, nobody knows which is meant: that is a problem.
    """
    problems = []
    instruments = found.files["instruments"].data or {}
    for stem in _DESIGN:
        for id_, pack in _records(found.files[stem].data):
            contents = pack.get("contents")
            if id_ in kept or pack.get("implant_related") is not True or not isinstance(contents, list):
                continue
            inside = [i for i in dict.fromkeys(contents) if isinstance(instruments.get(i), dict)]
            if len(inside) == 1:
                instruments[inside[0]]["implant_related"] = True
            elif not any(instruments[i].get("implant_related") for i in inside):
                place = found.files[stem].values.get((stem, id_, "implant_related"))
                problems.append(
                    problem_at(place or SourceLocation(file=f"{stem}.yaml"), (stem, id_), "implant-in-what")
                )
    return problems


def _records(table: Any) -> list[tuple[str, dict[str, Any]]]:
    return [(id_, record) for id_, record in table.items() if isinstance(record, dict)] if table else []


def _pieces(needs: Mapping[str, Any], once: Collection[str]) -> list[str]:
    """Return what is needed, each as often as it is needed at once."""
    pieces: list[str] = []
    for id_, written in needs.items():
        if id_ in once:
            continue
        try:
            pieces += [id_] * need(written).count
        except ValueError:  # told where it is written
            pieces.append(id_)
    return pieces


def _any_cassette(cassettes: Any) -> str:
    steel = [id_ for id_, record in _records(cassettes) if record.get("material") != "aluminium"]
    return next(iter(steel), next(iter(cassettes or {}), ""))


def _keep_only(record: dict[str, Any], field: str, kept: Collection[str]) -> None:
    named = record.get(field)
    if isinstance(named, dict):
        record[field] = {id_: value for id_, value in named.items() if id_ in kept}


def _without_stand_ins(read: Practice, kept: Collection[str]) -> Practice:
    procedures = {
        id_: record if record.set in kept else record.model_copy(update={"set": ""})
        for id_, record in read.procedures.items()
    }
    sets = {id_: record for id_, record in read.sets.items() if id_ in kept}
    return replace(read, sets=MappingProxyType(sets), procedures=MappingProxyType(procedures))


def states_every_price(practice: Practice) -> bool:
    """Return whether all that a design is made of has a price; if not, what it costs cannot be told."""
    needed = {i for procedure in practice.procedures.values() for i in procedure.needs}
    prices = [one.price for i, one in practice.instruments.items() if i in needed and not one.single_use]
    return None not in prices and all(cassette.price is not None for cassette in practice.cassettes.values())


def missing_for_a_proposal(practice: Practice) -> tuple[Problem, ...]:
    """Report what a proposal needs to know and the folder does not say: what procedures need, and sizes of pouch."""
    once = {i for i, instrument in practice.instruments.items() if instrument.single_use}
    problems = [
        error(practice, "needs-wanted.none", ("procedures", p), at_key=True)
        for p, record in practice.procedures.items()
        if not set(record.needs) - once
    ]
    if not practice.room.pouch_sizes:
        problems.append(error(practice, "pouch-sizes-wanted", ("room",)))
    return tuple(problems)
