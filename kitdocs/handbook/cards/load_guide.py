"""The guides beside machines: what fits in one load, drawn, and how it is loaded and unloaded."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Chart
from kitdocs.document.card import Card
from kitdocs.drawings.load_slots import CommonLoad, SlotRow, load_slots
from kitdocs.drawings.racks import Chambered, racks_from_above
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.packing import hazard_caution, open_rules
from kitdocs.handbook.layout import facts
from kitdocs.handbook.pictures import drawn_once
from kitdocs.handbook.rules.conditions import packs_implants
from kitdocs.handbook.rules.quote import rule_steps, rule_text, trigger_line
from kitdocs.planning.measures.chamber_places import chamber_places
from kitdocs.planning.measures.loads import LoadGuide, Mix
from kitdocs.practice.room import MachineStage, RoundChamber

#: Loads that are shown. More are not compared at a glance. Common practice, no source.
_SHOWN = 3
#: As wide as a phone shows letters of 7 pt at 12 px.
_NARROW_MM = 70.0


def load_guides(brief: Brief) -> Iterator[Card]:
    """Yield what fits in one load, a card for each machine, to hang beside it; kitdocs does not validate a cycle."""
    words = brief.words
    for guide in brief.plan.load_guides:
        stage = brief.practice.room.stages[guide.stage]
        machine = brief.say(stage.name)
        steam = stage.area == "sterilization"
        rules = _sterilizer_rules(brief, guide.stage) if steam else _washer_rules(brief)
        yield Card(
            id=f"load/{guide.stage}",
            kind="load-guide",
            title=words("card.load.title", machine=machine),
            section=words("card.section.room"),
            hangs=words("card.hangs.machine", machine=machine),
            place="machine",
            area=stage.area,
            pairs=True,
            front=(*_one_load(brief, guide, packed=steam), *rules),
        )


def _sterilizer_rules(brief: Brief, stage: str) -> tuple[Block, ...]:
    """Return what burns at a sterilizer, first, and how it is loaded and unloaded."""
    tested = ("air-test",) if stage in brief.practice.room.vacuum_sterilizers else ()
    implants = ("implant-load",) if packs_implants(brief.practice) else ()
    rules = rule_steps(
        brief,
        brief.words("card.load.rules"),
        (*tested, *implants, ("label-load", "label-expiry"), "load-loosely", ("dry-closed", "rack-out", "cool-first")),
        f"{rule_text(brief, 'read-external', 'release')} {trigger_line(brief, 'external-unchanged')}",
        trigger_line(brief, "reading-missed", 1),
        trigger_line(brief, "wet-load"),
        numbered=False,
    )
    return hazard_caution(brief, "heat", "sterilizer-burns"), rules


def _washer_rules(brief: Brief) -> tuple[Block, ...]:
    """Return what cuts and burns at a washer, first, and how it is loaded and unloaded."""
    opened = open_rules(brief, brief.practice.instruments)
    rules = rule_steps(
        brief,
        brief.words("card.load.rules"),
        (
            (*opened, "each-set-seen", "paper-out", "wash-rack", "container-too"),
            ("wash-basket", "no-aluminium", "handpiece-care"),
            ("unload-clean", "lubricate", "lubricate-with"),
        ),
        trigger_line(brief, "washer-stopped"),
        numbered=False,
    )
    return hazard_caution(brief, "used", "protect", "gloves-look", "no-feel", "washer-burns", "spill-eye"), rules


def _one_load(brief: Brief, guide: LoadGuide, *, packed: bool) -> Iterator[Block]:
    """Yield the slots of one load, the chamber with each kind of cassette alone, and what stays out."""
    if guide.points:
        yield _slots(brief, guide, packed=packed)
    yield from _chamber(brief, guide)
    if kept_out := list(_kept_out(brief, guide.stage)):
        yield facts(*kept_out)


def _slots(brief: Brief, guide: LoadGuide, *, packed: bool) -> Chart:
    """Return slots to be counted. Before packing there is no pouch yet (`packed`), only what was in it."""
    words = brief.words
    names = {kind: packed_name(brief, kind) for kind in guide.points}
    if not packed:
        loose = [kind for kind in names if kind not in brief.practice.cassettes]
        names |= {kind: words("card.load.contents", pouch=names[kind]) for kind in loose}
    loads = dict(zip("ABC", _usual(brief, guide), strict=False))
    beside = [room for mix in loads.values() if (room := guide.room_beside(mix)) is not None]
    rows = [
        SlotRow(
            name=names[kind],
            capacity=guide.points_in_a_load // each,
            beside=tuple(room[kind] for room in beside),
        )
        for kind, each in guide.points.items()
    ]
    order = list(guide.points)
    drawn = [
        CommonLoad(
            letter=letter,
            words=tuple(f"{count} × {names[kind]}" for kind, count in mix.items()),
            loaded=tuple((order.index(kind), count) for kind, count in mix.items()),
        )
        for letter, mix in loads.items()
    ]
    alone = words("card.load.alone")
    return Chart(
        picture=drawn_once(
            f"slots-{guide.stage}",
            load_slots(rows, drawn, alone),
            _told(brief, rows, drawn),
            [
                alone,
                *(part for row in rows for part in (row.name, row.capacity)),
                *(part for load in drawn for part in load.words),
            ],
        ),
        summary=words("card.load.slots-told" if drawn else "card.load.slots-alone-told"),
        title=words("card.load.slots" if packed else "card.load.slots-basket"),
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


def _usual(brief: Brief, guide: LoadGuide) -> list[Mix]:
    """Return the mixes of cassettes that go in together most often, kinds in the order of the guide.

    One that a machine larger than another of its stage takes is left out: the guide is for any of them.
    """
    found = (usual.cassettes for usual in brief.plan.days.usual_loads[guide.stage])
    mixes = [mix for mix in found if guide.room_beside(mix) is not None][:_SHOWN]
    return [{kind: mix[kind] for kind in guide.points if kind in mix} for mix in mixes]


def _chamber(brief: Brief, guide: LoadGuide) -> Iterator[Chart]:
    """Yield the chamber as often as kinds of cassette go in, each with as many as fill a load; to scale."""
    words, stage = brief.words, brief.practice.room.stages[guide.stage]
    assert isinstance(stage, MachineStage)
    chamber = stage.chamber
    if chamber is None:
        return
    wide = chamber.diameter if isinstance(chamber, RoundChamber) else chamber.width
    racks = []
    for kind, each in guide.points.items():
        cassette = brief.practice.cassettes.get(kind)
        count = guide.points_in_a_load // each
        places = chamber_places(cassette.outside, chamber, count) if cassette else ()
        if cassette and places:
            racks.append(
                Chambered(
                    words=f"{count} × {brief.say(cassette.name)}",
                    places=tuple((wide / 2 + one.across, one.along, one.width, one.length) for one in places),
                )
            )
    if racks:
        shows = [wide, chamber.depth, *(part for rack in racks for part in (rack.words, *sum(rack.places, ())))]
        alt = words("card.load.chamber-alt", each=" · ".join(rack.words for rack in racks))
        narrow = racks_from_above(racks, wide, chamber.depth, width_mm=_NARROW_MM)
        yield Chart(
            picture=drawn_once(f"chamber-{guide.stage}", racks_from_above(racks, wide, chamber.depth), alt, shows),
            summary=words("card.load.chamber"),
            narrow=drawn_once(f"chamber-{guide.stage}", narrow, alt, ["narrow", *shows]),
        )


def _kept_out(brief: Brief, stage: str) -> Iterator[tuple[str, str]]:
    """Yield which instruments do not go through a stage, or which ones alone do."""
    instruments = brief.practice.instruments
    skipping = [brief.instrument(id_) for id_, record in instruments.items() if stage in record.skips]
    if brief.practice.room.stages[stage].only_listed:
        listed = [brief.instrument(id_) for id_, record in instruments.items() if stage in record.also]
        yield brief.words("card.load.only-here"), " · ".join(listed)
    elif skipping:
        yield brief.words("card.load.not-here"), " · ".join(skipping)


def packed_name(brief: Brief, kind: str) -> str:
    """Return the name of what goes into a machine: a cassette or a size of pouch."""
    cassette = brief.practice.cassettes.get(kind)
    return brief.say(cassette.name if cassette else brief.practice.room.pouch_sizes[kind].name)
