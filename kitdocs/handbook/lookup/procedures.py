"""Procedure finder: a page to choose a procedure, and a page for each with what it needs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kitdocs.document.blocks import Block, Facts, Heading, Item, Items, Paragraph, Prose, Span
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import facts
from kitdocs.handbook.pictures import set_mark_of, tip_of, tips_of
from kitdocs.practice.values import share_text


def procedure_finder(brief: Brief) -> Iterator[Card]:
    """Yield the page to choose a procedure, then the page of each."""
    yield _chooser(brief)
    for procedure in brief.practice.procedures:
        yield procedure_page(brief, procedure)


def _chooser(brief: Brief) -> Card:
    words = brief.words
    rows = tuple(
        Item(
            id=procedure,
            name=brief.procedure(procedure),
            detail=" · ".join([brief.set(record.set), *(brief.pouch(pouch) for pouch in record.add_ons)]),
            pictures=(set_mark_of(brief, record.set),),
            link=f"d/{procedure}",
        )
        for procedure, record in brief.practice.procedures.items()
    )
    return Card(
        id="procedures",
        kind="procedures",
        form="page",
        title=words("lookup.procedures.title"),
        subtitle=words("lookup.procedures.subtitle"),
        section=words("lookup.procedures.section"),
        front=(Items(items=rows),),
    )


def procedure_page(brief: Brief, procedure: str) -> Card:
    """Return the page of a procedure: its set, its add-on pouches, the pouches in the drawer."""
    record = brief.practice.procedures[procedure]
    return Card(
        id=f"d/{procedure}",
        kind="procedure",
        form="page",
        title=brief.procedure(procedure),
        subtitle=brief.words("lookup.procedure.subtitle"),
        section=brief.words("lookup.procedures.section"),
        front=(
            _the_set(brief, record.set),
            _pouches(brief, "add-ons", record.add_ons),
            _pouches(brief, "drawer", brief.plan.drawer_pouches[procedure], brief.practice.chairs_for(procedure)),
            *_single_use(brief, record.needs),
            _where_and_how_long(brief, procedure),
        ),
    )


def _the_set(brief: Brief, set_id: str) -> Items:
    record = brief.practice.sets[set_id]
    cassette = brief.say(brief.practice.cassettes[record.cassette].name)
    return Items(
        title=brief.words("lookup.procedure.set"),
        items=(
            Item(
                id=set_id,
                name=brief.set(set_id),
                detail=f"{record.code} · {cassette}",
                pictures=(set_mark_of(brief, set_id),),
                link=f"s/{set_id}",
            ),
            Item(
                id="contents",
                name=brief.words.count("lookup.procedure.in-it", len(record.contents)),
                detail=brief.contents(record.contents),
                pictures=tips_of(brief, record.contents),
                link=f"t/{set_id}",
            ),
        ),
    )


def _pouches(brief: Brief, kind: str, shares: Mapping[str, float], chairs: tuple[str, ...] = ()) -> Block:
    """Return the pouches of one kind with how often each is used, or a sentence if there are none."""
    title = brief.words(f"lookup.procedure.{kind}")
    if not shares:
        none = Paragraph(spans=(Span(text=brief.words(f"lookup.procedure.no-{kind}")),))
        return Prose(parts=(Heading(text=title), none))
    return Items(title=title, items=tuple(_pouch(brief, pouch, share, chairs) for pouch, share in shares.items()))


def _pouch(brief: Brief, pouch: str, share: float, chairs: tuple[str, ...]) -> Item:
    record = brief.practice.pouches[pouch]
    holding = [chair for chair in chairs if pouch in brief.practice.chairs[chair].drawer]
    everywhere = len(holding) == len(chairs)
    return Item(
        id=pouch,
        name=brief.pouch(pouch),
        detail=f"{record.code} · {brief.contents(record.contents)}",
        note=" ".join([_how_often(brief, share), *([] if everywhere else [_in_drawers(brief, holding)])]),
        pictures=tips_of(brief, record.contents),
        link=f"p/{pouch}" if record.kind == "add-on" else "",
    )


def _single_use(brief: Brief, needs: Mapping[str, float]) -> Iterator[Items]:
    """Yield the instruments that come sterile from their maker and are used once."""
    items = tuple(
        Item(
            id=instrument,
            name=brief.instrument(instrument),
            note=_how_often(brief, share),
            pictures=(tip_of(brief, instrument),),
            link=f"i/{instrument}",
        )
        for instrument, share in needs.items()
        if brief.practice.instruments[instrument].single_use
    )
    if items:
        yield Items(title=brief.words("lookup.procedure.single-use"), items=items)


def _how_often(brief: Brief, share: float) -> str:
    if share == 1:
        return brief.words("lookup.procedure.always")
    return brief.words("lookup.procedure.sometimes", share=share_text(share))


def _in_drawers(brief: Brief, chairs: list[str]) -> str:
    return brief.words("lookup.in-drawers", chairs=brief.listed(brief.chair(chair) for chair in chairs))


def _where_and_how_long(brief: Brief, procedure: str) -> Facts:
    words, record = brief.words, brief.practice.procedures[procedure]
    chairs = brief.practice.chairs_for(procedure)
    everywhere = len(chairs) == len(brief.practice.chairs)
    where = words("lookup.procedure.any-chair") if everywhere else brief.listed(brief.chair(c) for c in chairs)
    booked = (words("lookup.procedure.booked"), f"{record.minutes:g} min")
    return facts((words("lookup.procedure.where"), where), booked)
