"""The planning report's pages: apart from the team's handbook, not in its search, not kept for offline use."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kitdocs.document.blocks import Matrix
from kitdocs.document.card import Card, Handbook
from kitdocs.publish.site.frame import PLAN_PAGE, Here, card_page
from kitdocs.publish.site.home import Section
from kitdocs.publish.site.links import CardLink
from kitdocs.publish.site.templates import rendered


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanIndexPage:
    """All parts of the report, by section."""

    here: Here
    sections: tuple[Section, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanPage:
    """One part of the report. `index` is the address of the report's first page. `folded`: its tables are folded, and
    each of their rows, under its name, too."""

    here: Here
    card: Card
    index: str
    folded: bool
    next: CardLink | None


#: The template that draws each kind of page.
PLAN_TEMPLATES: Mapping[type, str] = {PlanIndexPage: "plan-index.html.j2", PlanPage: "plan.html.j2"}


def plan_index(report: Handbook) -> str:
    """Return the path of a report's first page inside the site."""
    return report.folder + PLAN_PAGE


def plan_pages(report: Handbook, reports: Sequence[Handbook]) -> Mapping[str, bytes]:
    """Return every page of a report, by path; `reports` are those of every language."""
    following = [*report.cards[1:], None]
    pages: list[PlanIndexPage | PlanPage] = [_index(report, reports)]
    pages += [_page(report, reports, card, after) for card, after in zip(report.cards, following, strict=True)]
    return {page.here.path: rendered(PLAN_TEMPLATES[type(page)], page) for page in pages}


def _index(report: Handbook, reports: Sequence[Handbook]) -> PlanIndexPage:
    title = report.words("site.plan.title")
    here = Here(handbook=report, path=plan_index(report), title=title, handbooks=reports)
    return PlanIndexPage(
        here=here,
        sections=tuple(
            Section(name=name, rows=tuple(_link(here, card) for card in cards), folded=False)
            for name, cards in report.sections
        ),
    )


def _page(report: Handbook, reports: Sequence[Handbook], card: Card, after: Card | None) -> PlanPage:
    here = Here(handbook=report, path=card_page(report, card.id), title=card.title, handbooks=reports)
    return PlanPage(
        here=here,
        card=card,
        index=here.file(plan_index(report)),
        folded=_is_folded(card),
        next=_link(here, after) if after else None,
    )


def _is_folded(card: Card) -> bool:
    """Whether a part is a long list to look things up in: tables in which an address can point to every row."""
    tables = [block for block in card.front if isinstance(block, Matrix)]
    return len(tables) == len(card.front) and all(row[0].anchor for table in tables for row in table.rows)


def _link(here: Here, card: Card) -> CardLink:
    return CardLink(title=card.title, subtitle="", href=here.card(card.id), band=None)
