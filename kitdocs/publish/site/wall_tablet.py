"""The page for a tablet on the wall: all chairs, large, and every card one tap away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kitdocs.document.card import Handbook
from kitdocs.publish.site.frame import WALL_PAGE, Here
from kitdocs.publish.site.home import ChairTile, chair_tiles, first_of
from kitdocs.publish.site.links import CardLink, card_link


@dataclass(frozen=True, slots=True, kw_only=True)
class WallPage:
    """`wrong` is the way when something went wrong, `around` the round; `cards` are all others by section.

    `rounds` are the minutes after midnight at which the ticks of the chairs begin anew.
    """

    here: Here
    wrong: CardLink | None
    around: CardLink | None
    chairs: tuple[ChairTile, ...]
    rounds: tuple[int, ...]
    cards: tuple[tuple[str, tuple[CardLink, ...]], ...]


def wall_page(handbook: Handbook, handbooks: Sequence[Handbook]) -> WallPage:
    """The page of one language. What is looked up by picture or procedure is found from its two lists."""
    title = handbook.words("tablet.title")
    here = Here(handbook=handbook, path=handbook.folder + WALL_PAGE, title=title, handbooks=handbooks)
    wrong, around, chairs = first_of(handbook, "mishaps"), first_of(handbook, "round"), chair_tiles(here)
    shown = {card.id for card in (wrong, around) if card} | {chair.id for chair in chairs}
    sections = (
        (name, [card for card in cards if card.id not in shown and card.kind not in ("instrument", "procedure")])
        for name, cards in handbook.sections
    )
    return WallPage(
        here=here,
        wrong=card_link(here, wrong) if wrong else None,
        around=card_link(here, around) if around else None,
        chairs=chairs,
        rounds=handbook.rounds,
        cards=tuple((name, tuple(card_link(here, card) for card in cards)) for name, cards in sections if cards),
    )
