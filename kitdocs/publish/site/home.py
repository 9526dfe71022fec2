"""The first page, one screen of a phone: what went wrong, the chairs, ways to find things, whom to call."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kitdocs.document.blocks import Items, Picture
from kitdocs.document.card import Card, CardKind, Handbook
from kitdocs.publish.site.frame import CARD_INDEX, Here, band_of, ticked_on
from kitdocs.publish.site.links import CardLink, card_link

#: What is looked up once in a while, or hangs somewhere else than at the bench: sections of nothing else are folded.
SELDOM: frozenset[CardKind] = frozenset({"pouch-list", "template", "form", "current-cards", "poster"})


@dataclass(frozen=True, slots=True, kw_only=True)
class ChairTile:
    """A chair to refill. `rows` are what its page ticks off: by id of the row, what a tick is made on."""

    id: str
    link: CardLink
    rows: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A way to find something, with a few pictures of what is found there."""

    link: CardLink
    pictures: tuple[Picture, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """The cards of one section. `folded`: where all cards are shown, of these only the name, until somebody asks."""

    name: str
    rows: tuple[CardLink, ...]
    folded: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HomePage:
    """`wrong` is the way when something went wrong, `start` where to begin on the first day, `ask` whom to call: each a
    role and where it is found.

    `around` is the way to the page of all chairs, if there is one. `rounds` are the minutes after midnight at which the
    ticks of the chairs begin anew. `plan` is the planning report's address, if any.
    """

    here: Here
    wrong: CardLink | None
    start: CardLink | None
    around: CardLink | None
    chairs: tuple[ChairTile, ...]
    rounds: tuple[int, ...]
    ways: tuple[Way, ...]
    ask: tuple[tuple[str, str], ...]
    sections: tuple[Section, ...]
    plan: str


def home_page(handbook: Handbook, handbooks: Sequence[Handbook], plan: str) -> HomePage:
    """The first page of one language; `plan` is the path of the planning report's first page."""
    path, title = handbook.folder + CARD_INDEX, handbook.words("site.home.title")
    here = Here(handbook=handbook, path=path, title=title, handbooks=handbooks)
    chairs = chair_tiles(here)
    wrong, start = first_of(handbook, "mishaps"), first_of(handbook, "first-day")
    around = first_of(handbook, "round")
    above = {card.id for card in (wrong, start) if card} | {chair.id for chair in chairs}
    return HomePage(
        here=here,
        wrong=card_link(here, wrong) if wrong else None,
        start=card_link(here, start) if start else None,
        around=card_link(here, around) if around else None,
        chairs=chairs,
        rounds=handbook.rounds,
        ways=tuple(
            Way(link=card_link(here, card), pictures=_samples(card))
            for card in handbook.cards
            if card.kind in ("pictures", "procedures")
        ),
        ask=handbook.ask,
        sections=tuple(sorted(_sections(here, above), key=lambda section: section.folded)),
        plan=here.file(plan) if plan else "",
    )


def chair_tiles(here: Here) -> tuple[ChairTile, ...]:
    """The chairs in walking order."""
    return tuple(
        ChairTile(id=card.id, link=card_link(here, card), rows=_ticked(card))
        for card in here.handbook.cards
        if card.kind == "refill-chair" and band_of(card)
    )


def first_of(handbook: Handbook, kind: CardKind) -> Card | None:
    """The first card of a kind, if there is one."""
    return next((card for card in handbook.cards if card.kind == kind), None)


def _ticked(card: Card) -> Mapping[str, str]:
    """What a tick is made on, by row, in the order of the card."""
    lists = (block for block in card.blocks if isinstance(block, Items) and block.ticks)
    return {item.id: ticked_on(item) for block in lists for item in block.items}


def _sections(here: Here, above: set[str]) -> Iterator[Section]:
    """The sections in the binder's order, without what stands above them and what is only looked up."""
    for name, cards in here.handbook.sections:
        rows = [card for card in cards if card.id not in above and card.form != "page"]
        if rows:
            yield Section(
                name=name,
                rows=tuple(card_link(here, card) for card in rows),
                folded=all(card.kind in SELDOM or card.form == "paper" for card in rows),
            )


def _samples(card: Card, most: int = 3) -> tuple[Picture, ...]:
    """The first pictures of the first lists; of one list when there is only one."""
    lists = [[item for item in block.items if item.pictures] for block in card.front if isinstance(block, Items)]
    items = [rows[0] for rows in lists if rows] if len(lists) > 1 else [item for rows in lists for item in rows]
    return tuple({item.pictures[0].name: item.pictures[0] for item in items}.values())[:most]
