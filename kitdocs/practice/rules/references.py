"""Every id that is named somewhere exists, and is of the kind that is meant."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kitdocs.practice.locations import Path
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem, nearest
from kitdocs.practice.rules.looking import error, ids, warning, whole

#: What the members of a table are called, and the file in which they are written.
_CALLED: dict[Path, tuple[str, str]] = {
    ("chairs",): ("chair", "chairs.yaml"),
    ("instruments",): ("instrument", "instruments.yaml"),
    ("cassettes",): ("cassette", "cassettes.yaml"),
    ("sets",): ("set", "sets.yaml"),
    ("pouches",): ("pouch", "pouches.yaml"),
    ("procedures",): ("procedure", "procedures.yaml"),
    ("room", "pouch_sizes"): ("pouch size", "room.yaml, under 'pouch_sizes'"),
}


class _Ids:
    """The ids that exist, looked up once per table."""

    def __init__(self, practice: Practice) -> None:
        self.practice = practice
        self.known: dict[tuple[str, ...], frozenset[str]] = {}
        self.broken = {problem.path for problem in practice.problems if problem.severity == "error"}

    def unknown(self, path: Path, named: object, *tables: str, at_key: bool = False) -> Iterator[Problem]:
        """A problem when `named`, written at `path`, is not in a table that was read."""
        if tables not in self.known:
            self.known[tables] = ids(self.practice, *tables)
        known = self.known[tables]
        if not isinstance(named, str) or named in known or not self._read(tables):
            return
        one, file = _CALLED[tables]
        yield error(
            self.practice,
            "unknown-id",
            path,
            f"there is no {one} '{named}' in {file}",
            nearest(named, known),
            at_key=at_key,
        )

    def _read(self, path: tuple[str, ...]) -> bool:
        """Whether the table's file could be read at all; if not, its ids are not known to be missing."""
        return not any(".".join(path[:length]) in self.broken for length in range(1, len(path) + 1))


def chairs_name_known_pouches(practice: Practice) -> Iterator[Problem]:
    """chairs → drawer pouches."""
    known = _Ids(practice)
    for id_, chair in practice.chairs.items():
        for pouch in chair.drawer:
            path: Path = ("chairs", id_, "drawer", pouch)
            yield from known.unknown(path, pouch, "pouches", at_key=True)
            yield from _wrong_kind(practice, path, pouch, "drawer", at_key=True)


def sets_name_known_things(practice: Practice) -> Iterator[Problem]:
    """sets → cassette, instruments."""
    known = _Ids(practice)
    for id_, set_ in practice.sets.items():
        yield from known.unknown(("sets", id_, "cassette"), set_.cassette, "cassettes")
        yield from _contents(known, ("sets", id_, "contents"), set_.contents)


def pouches_name_known_things(practice: Practice) -> Iterator[Problem]:
    """pouches → size, instruments."""
    known = _Ids(practice)
    for id_, pouch in practice.pouches.items():
        yield from known.unknown(("pouches", id_, "size"), pouch.size, "room", "pouch_sizes")
        yield from _contents(known, ("pouches", id_, "contents"), pouch.contents)


def _contents(known: _Ids, path: Path, contents: Iterable[str]) -> Iterator[Problem]:
    for index, instrument in enumerate(contents):
        yield from known.unknown((*path, index), instrument, "instruments")


def procedures_name_known_things(practice: Practice) -> Iterator[Problem]:
    """procedures → set, add-ons, instruments, chairs."""
    known = _Ids(practice)
    for id_, procedure in practice.procedures.items():
        yield from known.unknown(("procedures", id_, "set"), procedure.set, "sets")
        for pouch in procedure.add_ons:
            path: Path = ("procedures", id_, "add_ons", pouch)
            yield from known.unknown(path, pouch, "pouches", at_key=True)
            yield from _wrong_kind(practice, path, pouch, "add-on", at_key=True)
        for instrument in procedure.needs:
            yield from known.unknown(("procedures", id_, "needs", instrument), instrument, "instruments", at_key=True)
        for index, chair in enumerate(procedure.chairs):
            yield from known.unknown(("procedures", id_, "chairs", index), chair, "chairs")


def _wrong_kind(practice: Practice, path: Path, pouch: str, wanted: str, *, at_key: bool) -> Iterator[Problem]:
    kind = practice.pouches[pouch].kind if pouch in practice.pouches else ""
    if kind and kind != wanted:
        of_kind = sorted(id_ for id_, other in practice.pouches.items() if other.kind == wanted)
        article = "an add-on" if kind == "add-on" else "a drawer"
        needed = "a drawer" if wanted == "drawer" else "an add-on"
        yield error(
            practice,
            "wrong-kind",
            path,
            f"'{pouch}' is {article} pouch, but {needed} pouch belongs here",
            nearest(pouch, of_kind),
            at_key=at_key,
        )


def machines_hold_known_sizes(practice: Practice) -> Iterator[Problem]:
    """stages' capacity → cassettes and pouch sizes."""
    if not (_file_read(practice, "cassettes") and _file_read(practice, "room.pouch_sizes")):
        return
    known = ids(practice, "cassettes") | ids(practice, "room", "pouch_sizes")
    for id_, stage in practice.room.stages.items():
        for size in stage.capacity if stage.kind == "machine" else ():
            if size not in known:
                yield error(
                    practice,
                    "unknown-id",
                    ("room", "stages", id_, "capacity", size),
                    f"there is no cassette and no pouch size '{size}'",
                    nearest(size, known),
                    at_key=True,
                )


def _file_read(practice: Practice, path: str) -> bool:
    return not any(p.path == path and p.severity == "error" for p in practice.problems)


def tables_name_known_things(practice: Practice) -> Iterator[Problem]:
    """stock.csv → instruments; schedule.csv → chairs, procedures."""
    known = _Ids(practice)
    for instrument in practice.stock:
        yield from known.unknown(("stock", instrument, "instrument"), instrument, "instruments")
    for index, visit in enumerate(practice.schedule):
        yield from known.unknown(("schedule", index, "chair"), visit.chair, "chairs")
        yield from known.unknown(("schedule", index, "procedure"), visit.procedure, "procedures")


def photos_show_known_things(practice: Practice) -> Iterator[Problem]:
    """photos → instruments, sets, pouches; a photo of nothing is never shown."""
    known = ids(practice, "instruments") | ids(practice, "sets") | ids(practice, "pouches")
    if not all(_file_read(practice, stem) for stem in ("instruments", "sets", "pouches")):
        return
    for name, path in practice.photos.items():
        if name not in known and whole(practice, "photos", name):
            found = warning(
                practice,
                "unknown-photo",
                ("photos", name),
                f"'{path.name}' is not named after an instrument, a set or a pouch, so no card shows it",
                nearest(name, known),
            )
            yield found
