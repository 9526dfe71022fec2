"""The planning report's pages: apart from the team's handbook, not in its search, not kept for offline use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kitdocs.document.card import Card, Handbook
from kitdocs.publish.site.frame import Frame, Here, card_page, frame
from kitdocs.publish.site.home import Section
from kitdocs.publish.site.links import CardLink
from kitdocs.publish.site.templates import rendered

#: The report's first page, inside the site.
PLAN_INDEX = "plan/index.html"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanIndexPage:
    """All parts of the report, by section."""

    here: Here
    frame: Frame
    sections: tuple[Section, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanPage:
    """One part of the report. `index` is the address of the report's first page."""

    here: Here
    frame: Frame
    card: Card
    index: str
    next: CardLink | None


#: The template that draws each kind of page.
PLAN_TEMPLATES: Mapping[type, str] = {PlanIndexPage: "plan-index.html.j2", PlanPage: "plan.html.j2"}


def plan_pages(report: Handbook) -> Mapping[str, bytes]:
    """Every page of the report, by path."""
    following = [*report.cards[1:], None]
    pages: list[PlanIndexPage | PlanPage] = [_index(report)]
    pages += [_page(report, card, after) for card, after in zip(report.cards, following, strict=True)]
    return {page.here.path: rendered(PLAN_TEMPLATES[type(page)], page) for page in pages}


def _index(report: Handbook) -> PlanIndexPage:
    here = Here(handbook=report, path=PLAN_INDEX)
    return PlanIndexPage(
        here=here,
        frame=frame(here, here.words("site.plan.title"), ()),
        sections=tuple(
            Section(name=name, rows=tuple(_link(here, card) for card in cards), folded=False)
            for name, cards in report.sections
        ),
    )


def _page(report: Handbook, card: Card, after: Card | None) -> PlanPage:
    here = Here(handbook=report, path=card_page(report, card.id))
    return PlanPage(
        here=here,
        frame=frame(here, card.title, ()),
        card=card,
        index=here.file(PLAN_INDEX),
        next=_link(here, after) if after else None,
    )


def _link(here: Here, card: Card) -> CardLink:
    return CardLink(title=card.title, subtitle="", href=here.card(card.id), band=None)
