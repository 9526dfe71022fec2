"""Every id that is named somewhere exists, and is of the kind that is meant."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kitdocs.practice.draft import Draft
from kitdocs.practice.locations import Path, SourceLocation
from kitdocs.practice.message import message
from kitdocs.practice.problems import Problem, near, nearest, written
from kitdocs.practice.room import MachineStage, machines
from kitdocs.practice.rules.looking import Values, error, ids, warning

#: What the members of a table are called, and the file in which they are written.
_CALLED: dict[Path, tuple[str, str]] = {
    ("chairs",): ("chair", "chairs.yaml"),
    ("instruments",): ("instrument", "instruments.yaml"),
    ("cassettes",): ("cassette", "cassettes.yaml"),
    ("sets",): ("set", "sets.yaml"),
    ("pouches",): ("pouch", "pouches.yaml"),
    ("procedures",): ("procedure", "procedures.yaml"),
    ("room", "pouch_sizes"): ("pouch size", "room.yaml, under 'pouch_sizes'"),
    ("room", "stages"): ("stage", "room.yaml, under 'stages'"),
}


def chairs_name_known_pouches(practice: Draft) -> Iterator[Problem]:
    """chairs → drawer pouches."""
    yield from _unknown(practice, "chairs")
    for id_, chair in practice.chairs.items():
        for pouch in chair.drawer:
            yield from _wrong_kind(practice, ("chairs", id_, "drawer", pouch), pouch, "drawer")


def instruments_name_known_stages(practice: Draft) -> Iterator[Problem]:
    """instruments → stages."""
    return _unknown(practice, "instruments")


def sets_name_known_things(practice: Draft) -> Iterator[Problem]:
    """sets → cassette, instruments."""
    return _unknown(practice, "sets")


def pouches_name_known_things(practice: Draft) -> Iterator[Problem]:
    """pouches → size, instruments."""
    return _unknown(practice, "pouches")


def procedures_name_known_things(practice: Draft) -> Iterator[Problem]:
    """procedures → set, add-ons, instruments, chairs."""
    yield from _unknown(practice, "procedures")
    for id_, procedure in practice.procedures.items():
        for pouch in procedure.add_ons:
            yield from _wrong_kind(practice, ("procedures", id_, "add_ons", pouch), pouch, "add-on")


def _unknown(practice: Draft, *stems: str) -> Iterator[Problem]:
    """Yield a problem for each name in the files `stems` whose record is not in its table, where that was read."""
    names = [name for name in practice.names if name.path[0] in stems]
    known = {name.table: ids(practice, *map(str, name.table)) for name in names}
    broken = {problem.path for problem in practice.problems if problem.severity == "error"}
    unread = {table for table in known if _is_unread(table, broken)}
    told: set[tuple[SourceLocation, str]] = set()
    for name in names:
        if name.id in known[name.table] or name.table in unread:
            continue
        kind, file = _CALLED[name.table]
        near = nearest(name.id, known[name.table], practice.called.get(name.table, {}))
        values: Values = {"kind": kind, "id": name.id, "file": file, "nearest": near}
        problem = error(practice, "unknown-id.in-file", name.path, at_key=name.at_key, **values)
        if (problem.place, name.id) not in told:  # `mirrr: 2` is one mistake
            yield problem
        told.add((problem.place, name.id))


def _is_unread(table: Path, broken: set[str]) -> bool:
    """Whether the table's file could not be read at all; then its ids are not known to be missing."""
    return any(written(table[:length]) in broken for length in range(1, len(table) + 1))


def _wrong_kind(practice: Draft, path: Path, pouch: str, wanted: str) -> Iterator[Problem]:
    kind = practice.pouches[pouch].kind if pouch in practice.pouches else ""
    if kind and kind != wanted:
        of_kind = sorted(id_ for id_, other in practice.pouches.items() if other.kind == wanted)
        yield error(practice, f"wrong-kind.{kind}", path, at_key=True, pouch=pouch, nearest=nearest(pouch, of_kind))


def machines_hold_known_sizes(practice: Draft) -> Iterator[Problem]:
    """stages' capacity → cassettes and pouch sizes."""
    if not (_file_read(practice, "cassettes") and _file_read(practice, "room.pouch_sizes")):
        return
    known = ids(practice, "cassettes") | ids(practice, "room", "pouch_sizes")
    for id_, stage in machines(practice.room.stages).items():
        for path, capacity in _capacities(("room", "stages", id_), stage):
            for size in capacity:
                if size not in known:
                    place = (*path, "capacity", size)
                    yield error(practice, "unknown-id.size", place, at_key=True, id=size, nearest=nearest(size, known))


def _capacities(path: Path, stage: MachineStage) -> Iterator[tuple[Path, Mapping[str, int]]]:
    """Where a stage says what its machines hold: once for all, or for each in a list."""
    if isinstance(stage.machines, tuple):
        for n, machine in enumerate(stage.machines):
            yield (*path, "machines", n), machine.capacity
    else:
        yield path, stage.capacity


def _file_read(practice: Draft, path: str) -> bool:
    return not any(p.path == path and p.severity == "error" for p in practice.problems)


def tables_name_known_things(practice: Draft) -> Iterator[Problem]:
    """stock.csv → instruments; schedule.csv → chairs, procedures."""
    return _unknown(practice, "stock", "schedule")


def photos_show_known_things(practice: Draft) -> Iterator[Problem]:
    """photos → instruments, sets, pouches, cassettes; a photo of nothing is never shown."""
    shown = ("instruments", "sets", "pouches", "cassettes")
    known = frozenset().union(*(ids(practice, stem) for stem in shown))
    if not all(_file_read(practice, stem) for stem in shown):
        return
    for name, path in practice.photos.items():
        if name not in known and practice.is_whole("photos", name):
            said = message("problems.unknown-photo", photo=path.name)
            yield warning(practice, "problems.unknown-photo", ("photos", name), message=said, remedy=near(name, known))


def drawings_show_known_instruments(practice: Draft) -> Iterator[Problem]:
    """drawings → instruments; a drawing of nothing is never shown."""
    known = ids(practice, "instruments")
    if not _file_read(practice, "instruments"):
        return
    for name in practice.drawings:
        if name not in known and practice.is_whole("drawings", name):
            said = message("problems.unknown-drawing", drawing=f"{name}.svg")
            path = ("drawings", name)
            yield warning(practice, "problems.unknown-drawing", path, message=said, remedy=near(name, known))
