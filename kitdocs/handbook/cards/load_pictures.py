"""How much one load of a machine holds, as pictures: the usual loads in the chamber, and slots to be counted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from kitdocs.document.blocks import Chart
from kitdocs.drawings.load_packs import PackLook
from kitdocs.drawings.load_slots import NARROW_MM, CommonLoad, SlotRow, load_slots, narrow_load_slots
from kitdocs.drawings.racks import LoadDrawn, PackDrawn, WordsDrawn, loads_from_above
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.pictures import drawn_once
from kitdocs.planning.measures.chamber_places import ChamberPlace, chamber_places
from kitdocs.planning.measures.loads import LoadGuide, Mix
from kitdocs.planning.measures.loads_in_chamber import LoadInChamber, load_in_chamber
from kitdocs.practice.room import MachineStage, RoundChamber, machines

#: Loads that are shown. More are not compared at a glance. Common practice, no source.
_SHOWN = 3


def load_charts(brief: Brief, guide: LoadGuide, *, packed: bool) -> Iterator[Chart]:
    """Yield the usual loads and each kind of cassette alone in the chamber, and the slots of one load.

    A load that cannot be drawn in the chamber is drawn as a strip above the slots, which say why. Before packing
    (`packed`) there is no pouch yet, only what was in it.
    """
    loads = list(_usual(brief, guide, packed=packed))
    first, *others = [*_chamber(brief, guide, loads), _slots(brief, guide, loads, packed=packed)]
    yield replace(first, title=brief.words("card.load.slots" if packed else "card.load.slots-basket"))
    yield from others


def packed_name(brief: Brief, kind: str) -> str:
    """Return the name of what goes into a machine: a cassette or a size of pouch."""
    cassette = brief.practice.cassettes.get(kind)
    return brief.say(cassette.name if cassette else brief.practice.room.pouch_sizes[kind].name)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Usual:
    """A load that goes in often, with its letter, and where it stands in the chamber if that can be drawn."""

    letter: str
    mix: Mix
    places: LoadInChamber | None


def _usual(brief: Brief, guide: LoadGuide, *, packed: bool) -> Iterator[_Usual]:
    """Yield the mixes of cassettes that go in together most often, with the pouches that lie beside them most often,
    kinds in the order of the guide.

    One that a machine larger than another of its stage takes is left out: the guide is for any of them.
    """
    found = brief.plan.days.usual_loads[guide.stage]
    mixes = ({**usual.cassettes, **(usual.pouches if packed else {})} for usual in found)
    fitting = islice((mix for mix in mixes if guide.room_beside(mix) is not None), _SHOWN)
    for letter, mix in zip("ABC", fitting, strict=False):
        in_order = {kind: mix[kind] for kind in guide.points if kind in mix}
        places = load_in_chamber(brief.practice, guide, in_order, packed=packed)
        yield _Usual(letter=letter, mix=in_order, places=places)


def _looks(brief: Brief, guide: LoadGuide) -> dict[str, PackLook]:
    """Return how each kind is drawn."""
    cassettes = [kind for kind in guide.points if kind in brief.practice.cassettes]
    pouches = [kind for kind in guide.points if kind not in cassettes]
    looks = {kind: PackLook(number=n) for n, kind in enumerate(cassettes)}
    return looks | {kind: PackLook(number=n, pouch=True) for n, kind in enumerate(pouches)}


def _slots(brief: Brief, guide: LoadGuide, loads: Sequence[_Usual], *, packed: bool) -> Chart:
    """Return slots to be counted. Before packing there is no pouch yet (`packed`), only what was in it."""
    words = brief.words
    looks = _looks(brief, guide)
    names = {kind: packed_name(brief, kind) for kind in guide.points}
    if not packed:
        loose = [kind for kind in names if kind not in brief.practice.cassettes]
        names |= {kind: words("card.load.contents", pouch=names[kind]) for kind in loose}
    beside = [room for load in loads if (room := guide.room_beside(load.mix)) is not None]
    rows = [
        SlotRow(
            name=names[kind],
            look=looks[kind],
            capacity=guide.points_in_a_load // each,
            beside=tuple(room[kind] for room in beside),
        )
        for kind, each in guide.points.items()
    ]
    order = list(guide.points)
    drawn = [
        CommonLoad(
            letter=load.letter,
            words=tuple(f"{count} × {names[kind]}" for kind, count in load.mix.items()),
            loaded=tuple((order.index(kind), count) for kind, count in load.mix.items()),
            strip=load.places is None,
        )
        for load in loads
    ]
    alone = words("card.load.alone")
    strips = [load.letter for load in drawn if load.strip]
    said = [words("card.load.often", letters=brief.listed(strips))] if strips else []
    if strips:
        said.append(
            words("card.load.strip-no-place" if _stage(brief, guide).chamber else "card.load.strip-no-measures")
        )
    said.append(words("card.load.slots-beside" if drawn else "card.load.slots-alone-told"))
    if drawn:
        said.append(words("card.load.slots-told"))
    alt = _told(brief, rows, drawn)
    shows: list[str | float] = [alone]
    for row in rows:
        shows += [row.name, row.capacity]
    shows += [*(part for load in drawn for part in load.words), *strips]
    narrow = narrow_load_slots(rows, drawn, alone)
    return Chart(
        picture=drawn_once(f"slots-{guide.stage}", load_slots(rows, drawn, alone), alt, shows),
        summary=" ".join(said),
        narrow=drawn_once(f"slots-{guide.stage}", narrow, alt, ["narrow", *shows]),
    )


def _told(brief: Brief, rows: list[SlotRow], loads: list[CommonLoad]) -> str:
    """Return everything that the picture of the slots shows, for who cannot see it."""
    words = brief.words
    alone = words("card.load.alone-alt", each=" · ".join(f"{row.name} {row.capacity}" for row in rows))
    beside = (
        words(
            "card.load.beside-alt",
            letter=load.letter,
            load=" + ".join(load.words),
            each=" · ".join(f"{row.name} {row.beside[n]}" for row in rows),
        )
        for n, load in enumerate(loads)
    )
    return " ".join((alone, *beside))


def _stage(brief: Brief, guide: LoadGuide) -> MachineStage:
    return machines(brief.practice.room.stages)[guide.stage]


def _chamber(brief: Brief, guide: LoadGuide, loads: Sequence[_Usual]) -> Iterator[Chart]:
    """Yield the chamber with the usual loads, and as often as kinds of cassette go in with as many as fill it."""
    words, chamber = brief.words, _stage(brief, guide).chamber
    if chamber is None:
        return
    wide = chamber.diameter if isinstance(chamber, RoundChamber) else chamber.width
    looks = _looks(brief, guide)

    def drawn(places: Mapping[str, Sequence[ChamberPlace]], *, free: bool = False) -> Iterator[PackDrawn]:
        for kind, standing in places.items():
            for one in standing:
                across = wide / 2 + one.across
                yield PackDrawn(
                    look=looks[kind], across=across, along=one.along, width=one.width, length=one.length, free=free
                )

    def said(kind: str, count: int) -> str:
        return f"{count} × {packed_name(brief, kind)}"

    shown = []
    for load in loads:
        if load.places is None:
            continue
        parts = [WordsDrawn(words=said(kind, count), look=looks[kind]) for kind, count in load.mix.items()]
        for kind, places in load.places.free.items():
            parts.append(WordsDrawn(words=f"+ {said(kind, len(places))}", look=looks[kind], free=True))
        if not load.places.free:
            parts.append(WordsDrawn(words=words("card.load.full")))
        packs = (*drawn(load.places.loaded), *drawn(load.places.free, free=True))
        shown.append(LoadDrawn(letter=load.letter, words=tuple(parts), packs=packs))
    for kind, each in guide.points.items():
        cassette = brief.practice.cassettes.get(kind)
        count = guide.points_in_a_load // each
        if cassette and (places := chamber_places([(cassette.outside, count)], chamber)):
            alone = WordsDrawn(words=said(kind, count), look=looks[kind])
            shown.append(LoadDrawn(words=(alone,), packs=tuple(drawn({kind: places}))))
    if shown:
        yield _seen_from_above(brief, guide, shown, wide, chamber.depth)


def _seen_from_above(brief: Brief, guide: LoadGuide, loads: Sequence[LoadDrawn], wide: float, deep: float) -> Chart:
    words = brief.words
    letters = [load.letter for load in loads if load.letter]
    each = [f"{load.letter} {_in_words(brief, load)}".strip() for load in loads]
    packs = [pack for load in loads for pack in load.packs]
    said = [
        words("card.load.often-drawn", letters=brief.listed(letters)) if letters else "",
        words("card.load.alone-drawn") if len(letters) < len(loads) else "",
        words("card.load.chamber"),
        words("card.load.pouches-drawn") if any(pack.look.pouch for pack in packs) else "",
    ]
    alt = words("card.load.chamber-alt", each=" · ".join(each))
    measures = [measure for pack in packs for measure in (pack.across, pack.along, pack.width, pack.length)]
    shows: list[str | float] = [wide, deep, *each, *measures]
    narrow = loads_from_above(loads, wide, deep, width_mm=NARROW_MM)
    return Chart(
        picture=drawn_once(f"chamber-{guide.stage}", loads_from_above(loads, wide, deep), alt, shows),
        summary=" ".join(filter(None, said)),
        narrow=drawn_once(f"chamber-{guide.stage}", narrow, alt, ["narrow", *shows]),
    )


def _in_words(brief: Brief, load: LoadDrawn) -> str:
    """Return what a load is and what is free beside it, for who cannot see it."""
    loaded = " + ".join(part.words for part in load.words if part.look and not part.free)
    others = [
        brief.words("card.load.free", kind=part.words.removeprefix("+ ")) if part.free else part.words
        for part in load.words
        if part.free or not part.look
    ]
    return ", ".join((loaded, *others))
