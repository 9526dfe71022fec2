"""The guides at the stations of the reprocessing room: loads, wrap, pouches, storage, spore tests."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Caution, Cell, Matrix, Steps
from kitdocs.document.card import Card, CardKind, PostingLocation
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.packing import (
    fold_steps,
    hazard_caution,
    open_rules,
    outside_steps,
    pack_caution,
    pouch_packing,
    usual_set,
)
from kitdocs.handbook.cards.places import pack_places
from kitdocs.handbook.cards.sets import set_cell, sheet_text
from kitdocs.handbook.layout import facts, table
from kitdocs.handbook.pictures import pouch_photo
from kitdocs.handbook.rules.conditions import packs_implants
from kitdocs.handbook.rules.quote import rule_steps, rule_text, trigger_line, trigger_steps
from kitdocs.planning.measures.loads import LoadGuide, LoadRow
from kitdocs.practice.kinds import Area


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
            front=(*_one_load(brief, guide, packed=steam), *rules),
        )


def _sterilizer_rules(brief: Brief, stage: str) -> tuple[Block, ...]:
    """Return how a sterilizer is loaded and unloaded, and what burns there."""
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
    return rules, hazard_caution(brief, "heat", "sterilizer-burns")


def _washer_rules(brief: Brief) -> tuple[Block, ...]:
    """Return how a washer is loaded and unloaded, and what cuts and burns there."""
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
    return rules, hazard_caution(brief, "used", "protect", "gloves-look", "no-feel", "washer-burns", "spill-eye")


def _one_load(brief: Brief, guide: LoadGuide, *, packed: bool) -> Iterator[Block]:
    """Yield cassettes alone, then cassettes with pouches beside them, then the exact rule for every other mix.

    A row has room for its cassettes and for one size of pouch, not for all: the heads say "or", because read as "and" a
    row would load the machine several times over. Before packing there is no pouch yet (`packed`), only what was in it.
    """
    words = brief.words
    cassettes = [kind for kind in guide.points if kind in brief.practice.cassettes]
    pouches = [kind for kind in guide.points if kind not in cassettes]
    names = {kind: packed_name(brief, kind) for kind in guide.points}
    columns = names
    if not packed:
        columns = names | {kind: words("card.load.contents-head", pouch=names[kind]) for kind in pouches}
        names = names | {kind: words("card.load.contents", pouch=names[kind]) for kind in pouches}

    def mixes(title: str, kinds: list[str], rows: tuple[LoadRow, ...]) -> Matrix:
        one_of = [kind for kind in kinds if kind in pouches]
        heads = [words("card.load.or", kind=columns[kind]) if kind in one_of[1:] else columns[kind] for kind in kinds]
        return table(
            words(f"card.load.{title}"),
            (words("card.load.mix"), *heads),
            (
                (chr(ord("A") + n), *(str({**row.cassettes, **row.pouches}[kind] or "–") for kind in kinds))
                # A number would read as the first, the second load of the day.
                for n, row in enumerate(rows)
            ),
            numbers=range(1, 1 + len(kinds)),
        )

    yield mixes("cassettes", cassettes, guide.full_of_cassettes)
    if pouches:
        title = "with-pouches" if packed else "with-contents"
        yield mixes(title, [*cassettes, *pouches], guide.cassettes_and_pouches)
    each = " · ".join(f"{names[kind]} {points}" for kind, points in guide.points.items())
    rule = words("card.load.points", each=each, whole=guide.points_in_a_load)
    yield facts((words("card.load.more"), rule), *_kept_out(brief, guide.stage))


def _kept_out(brief: Brief, stage: str) -> Iterator[tuple[str, str]]:
    """Yield which instruments do not go through a stage, or which ones alone do."""
    instruments = brief.practice.instruments
    skipping = [brief.instrument(id_) for id_, record in instruments.items() if stage in record.skips]
    if brief.practice.room.stages[stage].only_listed:
        listed = [brief.instrument(id_) for id_, record in instruments.items() if stage in record.also]
        yield brief.words("card.load.only-here"), " · ".join(listed)
    elif skipping:
        yield brief.words("card.load.not-here"), " · ".join(skipping)


def wrap_guide(brief: Brief) -> Card:
    """Return how a cassette is wrapped, and which sheet each set takes."""
    words = brief.words
    cassettes = brief.practice.cassettes
    rows = (
        (set_cell(brief, set_id), brief.say(cassettes[record.cassette].name), sheet_text(brief, set_id))
        for set_id, record in brief.practice.sets.items()
    )
    head = (words("card.map.set"), words("card.fact.cassette"), words("card.fact.sheet"))
    sheets = table(words("card.wrap.sheets"), head, rows)
    shown = usual_set(brief)
    cassette = brief.say(cassettes[brief.practice.sets[shown].cassette].name)
    steps = fold_steps(brief, shown, words("card.wrap.shown", cassette=cassette))
    outside = outside_steps(brief, "label-pack", "outside-tape", "outside-label")
    return _guide(brief, "wrap-guide", "bench", "bench", (steps, outside, sheets))


def pouch_guide(brief: Brief) -> Card:
    """Return how a pouch is packed, and which size each takes."""
    words = brief.words
    rows = (
        (
            Cell(text=brief.pouch(pouch), detail=record.code, picture=pouch_photo(brief, pouch)),
            _pouch_size(brief, record.size),
            brief.contents(record.contents),
        )
        for pouch, record in brief.practice.pouches.items()
    )
    head = (words("card.map.pouch"), words("card.wrap.size"), words("card.map.contents"))
    pouches = table(words("card.wrap.pouches"), head, rows)
    steps = pouch_packing(brief, brief.practice.pouches, room=True)
    outside = outside_steps(brief, "outside-pouch")
    return _guide(brief, "pouch-guide", "bench", "bench", (steps, outside, pouches))


def _pouch_size(brief: Brief, size: str) -> Cell:
    record = brief.practice.room.pouch_sizes[size]
    return Cell(text=brief.say(record.name), detail=brief.size(record.width, record.length))


def storage_map(brief: Brief) -> Card:
    """Return where finished packs and supplies are kept."""
    words, room = brief.words, brief.practice.room
    shelves = [
        (brief.say(shelf.name), *map(brief.length, (shelf.length, shelf.from_floor, shelf.from_ceiling)))
        for shelf in room.shelves.values()
    ]
    drawers = [
        (brief.say(drawer.name), words(f"card.storage.holds.{drawer.holds}"), brief.size(drawer.width, drawer.depth))
        for drawer in room.drawers.values()
    ]
    rules = rule_steps(
        brief,
        words("card.storage.rules"),
        (
            "store-hands",
            "store-only",
            "implant-store",
            "store-row",
            "store-clear",
            "store-closed",
            ("keeps-event", "maker-date"),
        ),
        numbered=False,
    )
    shelf_head = words.each("card.storage", "shelf", "length", "floor", "ceiling")
    drawer_head = words.each("card.storage", "drawer", "for", "size")
    blocks: list[Block] = [rules, pack_caution(brief), *pack_places(brief)]
    if shelves:
        blocks.append(table(words("card.storage.shelves"), shelf_head, shelves))
    if drawers:
        blocks.append(table(words("card.storage.drawers"), drawer_head, drawers))
    return _guide(brief, "storage-map", "storage", "storage", tuple(blocks))


def spore_test(brief: Brief) -> Card:
    """Return how sterilizers are tested, every day and every week, and what follows a test that fails."""
    words = brief.words
    weekly = rule_steps(
        brief,
        words("card.spore.weekly"),
        (("spore-weekly", "spore-implant-load"), ("maker-date", "spore-place"), "spore-control", "spore-write"),
        trigger_line(brief, "no-growth"),
    )
    caution = Caution(title=words("card.spore.caution-title"), text=rule_text(brief, "lead-decides"))
    positive = trigger_steps(brief, "spore-positive")
    return _guide(brief, "spore-test", "sterilizer", "machine", (*_air_test(brief), weekly, caution, positive))


def _air_test(brief: Brief) -> Iterator[Steps]:
    """Yield the daily test of sterilizers with a vacuum pump."""
    rules = ("air-test", "air-test-log")
    if rule_text(brief, *rules):
        yield rule_steps(brief, brief.words("card.spore.daily"), rules, trigger_line(brief, "air-test-failed"))


def packed_name(brief: Brief, kind: str) -> str:
    """Return the name of what goes into a machine: a cassette or a size of pouch."""
    cassette = brief.practice.cassettes.get(kind)
    return brief.say(cassette.name if cassette else brief.practice.room.pouch_sizes[kind].name)


#: The part of the room in which a guide hangs.
_AREAS: dict[str, Area] = {"bench": "packaging", "sterilizer": "sterilization", "storage": "storage"}


def _guide(brief: Brief, kind: CardKind, hangs: str, place: PostingLocation, blocks: tuple[Block, ...]) -> Card:
    return Card(
        id=kind,
        kind=kind,
        title=brief.words(f"card.guide.{kind}"),
        section=brief.words("card.section.room"),
        hangs=brief.words(f"card.hangs.{hangs}"),
        place=place,
        area=_AREAS[hangs],
        front=blocks,
    )
