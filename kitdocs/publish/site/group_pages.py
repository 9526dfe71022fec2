"""The pages of several practices together: the first one leads to each practice and to each part of the comparison."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import quote

from kitdocs.document.card import Handbook
from kitdocs.publish.site.chapters import chapter_pages, plain_link
from kitdocs.publish.site.frame import CARD_INDEX, Here
from kitdocs.publish.site.links import CardLink
from kitdocs.publish.site.templates import rendered

WORKBOOK = "group.xlsx"


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeLine:
    """A practice as the first page lists it. `handbook` is the path of its first page beside the group's folder; empty
    when there is none."""

    name: str
    detail: str
    handbook: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupIndexPage:
    """All practices, and the parts of the comparison."""

    here: Here
    practices: tuple[CardLink, ...]
    parts: tuple[CardLink, ...]
    workbook: str


#: The template that draws the first page.
GROUP_TEMPLATES: Mapping[type, str] = {GroupIndexPage: "group-index.html.j2"}


def group_pages(book: Handbook, books: Sequence[Handbook], lines: Sequence[PracticeLine]) -> Mapping[str, bytes]:
    """Return every page of one language, by path."""
    index = _index(book, books, lines)
    first = rendered(GROUP_TEMPLATES[GroupIndexPage], index)
    return {index.here.path: first, **dict(chapter_pages(book, books, contents=book.words("group.index")))}


def _index(book: Handbook, books: Sequence[Handbook], lines: Sequence[PracticeLine]) -> GroupIndexPage:
    title = book.words("group.index")
    here = Here(handbook=book, path=book.folder + CARD_INDEX, title=title, handbooks=books)
    return GroupIndexPage(
        here=here,
        practices=tuple(_line(here, line) for line in lines),
        parts=tuple(plain_link(here, card) for card in book.cards),
        workbook=here.file(book.folder + WORKBOOK),
    )


def _line(here: Here, line: PracticeLine) -> CardLink:
    href = f"{here.root}../{quote(line.handbook)}" if line.handbook else ""
    return CardLink(title=line.name, subtitle=line.detail, href=href, band=None)
