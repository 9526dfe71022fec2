"""Pages that are on the site only, to look something up: nothing is ticked, and no printed copy goes out of date."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kitdocs.document.card import Card, Handbook
from kitdocs.publish.site.frame import Frame, Here, card_page, frame
from kitdocs.publish.site.links import CardLink, card_link, cards_that_name


@dataclass(frozen=True, slots=True, kw_only=True)
class LookupPage:
    """One page to look something up. `up` is the page on which it was chosen."""

    here: Here
    frame: Frame
    card: Card
    up: CardLink | None


def lookup_pages(handbook: Handbook, handbooks: Sequence[Handbook]) -> list[LookupPage]:
    """The pages of the cards that have no printed copy."""
    chosen_on = cards_that_name(handbook, "procedures", "pictures")
    made = []
    for card in handbook.cards:
        if card.form == "page":
            here = Here(handbook=handbook, path=card_page(handbook, card.id))
            up = chosen_on.get(card.id)
            made.append(
                LookupPage(
                    here=here,
                    frame=frame(here, card.title, handbooks),
                    card=card,
                    up=card_link(here, up[0]) if up else None,
                )
            )
    return made
