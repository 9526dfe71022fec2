"""Report on a chosen proposal: why each instrument lies in the set or pouch where it lies."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Block, Heading, Paragraph, Prose, Span, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import table
from kitdocs.planning.buying.why_there import Explained
from kitdocs.practice.proposal import DesignMade
from kitdocs.report.layout import report_card, sentence


def why_there_card(brief: Brief) -> Card | None:
    """Return the reasons of the proposal that was chosen; nothing where the folder keeps none."""
    record = brief.practice.proposal
    made = record.made_of.get(record.chosen) if record else None
    if not record or not made or not made.why:
        return None
    currency = None if record.bought_in == "pieces" else brief.practice.settings.currency
    explained = Explained(brief.practice, made.why, currency)
    return report_card(brief, "design", "why-there", _blocks(brief, made, explained))


def _blocks(brief: Brief, made: DesignMade, explained: Explained) -> Iterator[Block]:
    words = brief.words
    yield said(words("report.why-there.intro"))
    head = words.each("report.why-there.head", "instrument", "why")
    for id_ in explained.in_order():
        if id_ not in made.why and id_ not in made.kept:
            continue  # somebody's own, made since
        title = words("report.why-there.pack", name=brief.pack(id_), size=_size(brief, id_))
        told = " ".join(map(words.say, explained.of_pack(id_)))
        yield Prose(parts=(Heading(text=title), Paragraph(spans=(Span(text=told),))))
        rows = [(brief.instrument(i), sentence(words.say(why))) for i, why in explained.of_instruments(id_)]
        if rows:
            yield table("", head, rows)


def _size(brief: Brief, id_: str) -> str:
    practice = brief.practice
    if id_ in practice.sets:
        return brief.say(practice.cassettes[practice.sets[id_].cassette].name)
    return brief.say(practice.room.pouch_sizes[practice.pouches[id_].size].name)
