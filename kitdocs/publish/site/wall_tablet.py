"""The page for a tablet on the wall: all chairs, large, and every card one tap away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kitdocs.document.blocks import Heading
from kitdocs.document.card import Handbook
from kitdocs.publish.site.frame import WALL_PAGE, Here
from kitdocs.publish.site.home import ChairTile, chair_tiles, first_of
from kitdocs.publish.site.links import CardLink, card_link

#: Minutes without a touch that can be chosen on the wall, beside those that the practice states.
CHOICES = (1.0, 3.0, 10.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class WallPage:
    """`wrong` is the way when something went wrong, `asked` what it answers; `around` the round; `cards` all others by
    section.

    `rounds` are the minutes after midnight at which the ticks of the chairs begin anew. `back` is after how many
    minutes without a touch it is back at the chairs, `choices` what can be chosen on the wall; `night` from when to
    when it goes dim, in minutes after midnight, and `dims` that in words.
    """

    here: Here
    wrong: CardLink | None
    asked: tuple[str, ...]
    around: CardLink | None
    chairs: tuple[ChairTile, ...]
    rounds: tuple[int, ...]
    back: str
    choices: tuple[str, ...]
    night: tuple[int, int]
    dims: str
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
        asked=tuple(block.text for block in wrong.front if isinstance(block, Heading)) if wrong else (),
        around=card_link(here, around) if around else None,
        chairs=chairs,
        rounds=handbook.rounds,
        back=f"{handbook.back:g}",
        choices=tuple(f"{minutes:g}" for minutes in sorted({*CHOICES, handbook.back})),
        night=handbook.night,
        dims=_dims(handbook),
        cards=tuple((name, tuple(card_link(here, card) for card in cards)) for name, cards in sections if cards),
    )


def _dims(handbook: Handbook) -> str:
    """Say when the screen goes dim."""
    start, end = handbook.night
    if start == end:
        return handbook.words("tablet.never_dims")
    return handbook.words("tablet.dims", start=_clock(start), end=_clock(end))


def _clock(minutes: int) -> str:
    return f"{minutes // 60}:{minutes % 60:02}"
