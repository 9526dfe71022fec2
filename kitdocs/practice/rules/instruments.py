"""Single instruments: hinges, single use, lubrication, and the hands that take them from a drawer."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from kitdocs.practice.draft import Draft
from kitdocs.practice.kinds import FAMILY_OF, OPENING_MM, is_neutral
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules.looking import error, warning


def hinged_instruments_open_wider(practice: Draft) -> Iterator[Problem]:
    """Only what has a hinge is wider open, and never narrower."""
    for id_, instrument in practice.instruments.items():
        path = ("instruments", id_, "open_width")
        if instrument.open_width is None:
            continue
        if FAMILY_OF[instrument.drawing] not in OPENING_MM:
            yield error(practice, "no-hinge.drawing", path, drawing=instrument.drawing)
        elif instrument.open_width < instrument.width:
            yield error(practice, "narrower-open", path, open=instrument.open_width, closed=instrument.width)
    for family in practice.settings.read.get("opening", {}):
        if family not in OPENING_MM:
            path = ("practice", "opening", family)
            yield error(practice, "no-hinge.family", path, at_key=True, family=family, families=", ".join(OPENING_MM))


def single_use_items_go_nowhere(practice: Draft) -> Iterator[Problem]:
    """A single-use item is in no set and no pouch, and has no field that only reusable instruments have."""
    once = {id_: instrument for id_, instrument in practice.instruments.items() if instrument.single_use}
    for stem, called, packs in (("sets", "a set", practice.sets), ("pouches", "a pouch", practice.pouches)):
        for pack, record in packs.items():
            for index, id_ in enumerate(record.contents):
                if id_ in once:
                    path = (stem, pack, "contents", index)
                    yield error(practice, "single-use-in-a-pack", path, instrument=id_, pack=called)
    for id_, instrument in once.items():
        for field in ("price", "repair", "skips", "also", "lubricate"):
            if getattr(instrument, field) not in (None, ()):
                remedy = "price" if field == "price" else "remedy"
                at = ("instruments", id_, field)
                yield error(practice, "single-use", at, remedy=remedy, instrument=id_, field=field)


def lubricant_is_stated(practice: Draft) -> Iterator[Problem]:
    """An instrument that is oiled needs a lubricant."""
    if practice.room.read.get("lubrication") is not None or not practice.is_whole("room", "lubrication"):
        return
    for id_, instrument in practice.instruments.items():
        if instrument.lubricate and not practice.has_broken("room"):
            yield warning(practice, "problems.no-lubricant", ("instruments", id_, "lubricate"))


def drawers_are_opened_as_stated(practice: Draft) -> Iterator[Problem]:
    """With the set's own cotton plier, each set has one that is used where a drawer is opened."""
    if practice.settings.read.get("drawer_access") != "cotton-plier":
        return
    for id_, procedure in practice.procedures.items():
        kit = practice.sets.get(procedure.set)
        if kit is None or not _opens_a_drawer(practice, id_) or _has_a_cotton_plier(practice, kit.contents):
            continue
        yield error(practice, "no-cotton-plier", ("procedures", id_, "set"), procedure=id_, set=procedure.set)


def what_lies_together_looks_different(practice: Draft) -> Iterator[Problem]:
    """Two instruments of a pouch have different pictures: a drawing, the practice's own, or a photo instead of it."""
    for id_, pouch in practice.pouches.items():
        seen: dict[str, str] = {}
        for index, instrument in enumerate(pouch.contents):
            record, own = practice.instruments.get(instrument), practice.drawings.get(instrument)
            if record is None:
                continue
            photo = _photo_instead(practice, instrument)
            picture = _digest(photo) if photo else own.digest if own else record.drawing
            first = seen.setdefault(picture, instrument)
            if first != instrument:
                path = ("pouches", id_, "contents", index)
                other = practice.instruments[first].name
                names: dict[str, Any] = {"instrument": record.name, "other": other, "pouch": pouch.name}
                yield warning(practice, "problems.look-alike", path, id=instrument, **names)


def _photo_instead(practice: Draft, instrument: str) -> Path | None:
    """The photo in place of an instrument's drawing: where it is to be so, and where only its family is drawn."""
    photos = practice.settings.read.get("photos")
    neutral = is_neutral(practice.instruments[instrument].drawing) and instrument not in practice.drawings
    return practice.photos.get(instrument) if neutral or (photos and photos.instruments == "instead") else None


def _digest(photo: Path) -> str:
    try:
        return hashlib.sha256(photo.read_bytes()).hexdigest()
    except OSError:
        return str(photo)


def _opens_a_drawer(practice: Draft, procedure: str) -> bool:
    """Whether something that a procedure needs may come from a drawer."""
    record = practice.procedures[procedure]
    carried = practice.carried(record)
    drawers = {pouch for chair in practice.chairs_for(procedure) for pouch in practice.chairs[chair].drawer}
    inside = {i for pouch in drawers if pouch in practice.pouches for i in practice.pouches[pouch].contents}
    return any(i in inside and carried[i] < need.count for i, need in record.needs.items())


def _has_a_cotton_plier(practice: Draft, contents: tuple[str, ...]) -> bool:
    known = (practice.instruments[i] for i in contents if i in practice.instruments)
    return any(instrument.drawing == "cotton-plier" for instrument in known)
