"""The first day: one sheet for somebody who knows no instrument by name; and the key to colours and marks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import chain
from types import MappingProxyType

from kitdocs.document.blocks import Facts, Illustration, Item, Items
from kitdocs.document.card import Card
from kitdocs.drawings.room import way_through
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.packing import hurt_caution
from kitdocs.handbook.layout import facts, steps
from kitdocs.handbook.pictures import chair_mark_of, drawn_once, set_mark_of
from kitdocs.handbook.rules.quote import rule_text, trigger_line
from kitdocs.practice.kinds import AREAS, Area
from kitdocs.practice.message import Joined

#: What somebody new has to know at each station.
STATIONS: Mapping[Area, tuple[str, ...]] = MappingProxyType(
    {
        "receiving": ("protect", "no-feel", "paper-out"),
        "packaging": ("packing-hands", "lay-by-template", "wrap-or-pouch"),
        "sterilization": ("label-load", "cool-first"),
        "storage": ("store-only", "refill-by-card"),
    }
)


def first_day(brief: Brief) -> Card:
    """Return one sheet: the way through the room, the colours, five nevers, and whom to ask."""
    words = brief.words
    labels = [(area, words(f"card.area.{area}.short")) for area in AREAS]
    alt, shows = words("card.first-day.way-alt"), [*chain(*labels)]
    way = Illustration(
        picture=drawn_once("way", way_through(labels), alt, shows),
        caption=words("card.first-day.way"),
        narrow=drawn_once("way", way_through(labels, a_row=2), alt, ["narrow", *shows]),
    )
    stations = (f"{words(f'card.area.{area}.name')} {rule_text(brief, *STATIONS[area])}" for area in AREAS)
    return Card(
        id="first-day",
        kind="first-day",
        title=words("card.first-day.title"),
        subtitle=words("card.first-day.subtitle"),
        section=words("card.section.start"),
        hangs=words("card.hangs.entrance"),
        place="entrance",
        front=(
            way,
            steps(words("card.first-day.stations"), stations),
            chair_colours(brief),
            steps(words("card.first-day.nevers"), _nevers(brief), numbered=False),
            *whom_to_ask(brief),
            hurt_caution(brief),
        ),
    )


def whom_to_ask(brief: Brief) -> tuple[Facts, ...]:
    """Return whom to ask and where they are, by role, in a few lines; nothing where the practice names nobody."""
    named = [(brief.say(contact.who), brief.say(contact.where)) for contact in brief.practice.settings.ask]
    ask = [brief.words.say(Joined(each, ": ")) for each in named]
    return (facts((brief.words("card.first-day.ask"), " · ".join(ask))),) if ask else ()


def _nevers(brief: Brief) -> Iterator[str]:
    yield rule_text(brief, "never-backwards")
    yield rule_text(brief, "never-unpacked")
    yield trigger_line(brief, "bad-pack", 1)
    yield rule_text(brief, "never-leave")
    yield rule_text(brief, "never-guess", "start-nothing")


def key(brief: Brief) -> Card:
    """Return the key to the chairs' colours and marks and to the cassettes' marks."""
    words = brief.words
    sets = tuple(
        Item(
            id=set_id,
            name=brief.set(set_id),
            detail=words(
                "card.key.set", code=record.code, cassette=brief.say(brief.practice.cassettes[record.cassette].name)
            ),
            pictures=(set_mark_of(brief, set_id),),
            link=f"s/{set_id}",
        )
        for set_id, record in brief.practice.sets.items()
    )
    return Card(
        id="key",
        kind="key",
        title=words("card.key.title"),
        section=words("card.section.start"),
        hangs=words("card.hangs.bench"),
        place="bench",
        back_of="first-day",
        front=(chair_colours(brief), Items(title=words("card.key.sets"), items=sets)),
    )


def chair_colours(brief: Brief) -> Items:
    """Return each chair with its mark in its colour, and the colour's name: colour is never the only cue."""
    return Items(
        title=brief.words("card.key.chairs"),
        items=tuple(
            Item(
                id=chair,
                name=brief.chair(chair),
                detail=brief.words(
                    "card.key.chair",
                    colour=brief.colour(record.colour),
                    mark=brief.words(f"card.chair-mark.{record.mark}"),
                ),
                pictures=(chair_mark_of(brief, chair),),
                link=f"r/{chair}",
            )
            for chair, record in brief.practice.chairs.items()
        ),
    )
