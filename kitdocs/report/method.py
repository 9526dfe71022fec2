"""Report on the method: the limits of the figures, which an adviser must state beside them."""

from __future__ import annotations

from collections.abc import Iterable

from kitdocs.document.blocks import Caution, Heading, Listing, Paragraph, Prose, ProsePart, Span
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.packing import makers_caution
from kitdocs.practice.message import Share
from kitdocs.report.layout import report_card


def method_card(brief: Brief, section: str) -> Card:
    """Return how to read the figures."""
    words, service = brief.words, brief.plan.days.service
    shares = {"service": Share(service), "short": Share(1 - service)}
    are = (words(f"report.method.are-part.{n}") for n in range(1, 5))
    are_not = (words(f"report.method.are-not-part.{n}", **shares) for n in range(1, 7))
    blocks = (
        _list(words("report.method.are"), are),
        _list(words("report.method.are-not"), are_not),
        makers_caution(brief),
        Caution(title=words("report.method.validation-title"), text=words("report.method.validation")),
    )
    return report_card("method", words("report.method.title"), section, blocks)


def _list(title: str, sentences: Iterable[str]) -> Prose:
    entries: tuple[tuple[ProsePart, ...], ...] = tuple(
        (Paragraph(spans=(Span(text=sentence),)),) for sentence in sentences
    )
    return Prose(parts=(Heading(text=title), Listing(items=entries)))
