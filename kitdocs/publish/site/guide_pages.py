"""The pages of the guide: its contents, each chapter, and the page to search them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kitdocs.document.card import Handbook
from kitdocs.publish.site.chapters import chapter_pages, plain_link
from kitdocs.publish.site.frame import CARD_INDEX, SEARCH_PAGE, Here
from kitdocs.publish.site.links import CardLink
from kitdocs.publish.site.pages import TEMPLATES, SearchPage
from kitdocs.publish.site.search import entries
from kitdocs.publish.site.templates import rendered

#: The whole guide on paper, beside its pages.
GUIDE_PDF = "guide.pdf"


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideIndexPage:
    """The contents, section by section."""

    here: Here
    sections: tuple[tuple[str, tuple[CardLink, ...]], ...]
    paper: str


#: The template that draws the first page.
GUIDE_TEMPLATES: Mapping[type, str] = {GuideIndexPage: "guide-index.html.j2"}


def guide_pages(guide: Handbook) -> Mapping[str, bytes]:
    """Return every page of the guide, by path."""
    title = guide.words("guide.contents")
    here = Here(handbook=guide, path=CARD_INDEX, title=title, handbooks=(guide,))
    sections = tuple((name, tuple(plain_link(here, card) for card in cards)) for name, cards in guide.sections)
    index = GuideIndexPage(here=here, sections=sections, paper=here.file(GUIDE_PDF))
    found = Here(handbook=guide, path=SEARCH_PAGE, title=guide.words("site.find.title"), handbooks=(guide,))
    search = SearchPage(here=found, entries=entries(guide), kept=False)
    return {
        here.path: rendered(GUIDE_TEMPLATES[GuideIndexPage], index),
        **dict(chapter_pages(guide, (guide,), contents=title, template="guide.html.j2")),
        found.path: rendered(TEMPLATES[SearchPage], search),
    }
