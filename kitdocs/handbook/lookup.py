"""Pages for looking things up on a screen, by picture or by procedure. They are on the site only, never printed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kitdocs.document.blocks import Block, Facts, Heading, Illustration, Item, Items, Paragraph, Prose, Span
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.instruments import by_family
from kitdocs.handbook.cards.spares import spares
from kitdocs.handbook.layout import facts
from kitdocs.handbook.pictures import pictures_of, set_mark_of, tip_of, tips_of, whole_of
from kitdocs.practice.needs import Need


def instrument_finder(brief: Brief) -> Iterator[Card]:
    """Yield the page of all pictures, then the page of each instrument."""
    yield _by_picture(brief)
    for instrument in brief.practice.instruments:
        yield instrument_page(brief, instrument)


def _by_picture(brief: Brief) -> Card:
    """Return the page of all tips, grouped by family, each with its length because some tips look alike."""
    words = brief.words
    blocks = tuple(
        Items(title=family, items=tuple(_tile(brief, instrument) for instrument in alike))
        for family, alike in by_family(brief).items()
    )
    return Card(
        id="by-picture",
        kind="pictures",
        form="page",
        title=words("lookup.pictures.title"),
        subtitle=words("lookup.pictures.subtitle"),
        section=words("lookup.pictures.section"),
        front=blocks,
    )


def _tile(brief: Brief, instrument: str) -> Item:
    return Item(
        id=instrument,
        name=brief.instrument(instrument),
        detail=brief.length(brief.practice.instruments[instrument].length),
        pictures=(tip_of(brief, instrument),),
        link=f"i/{instrument}",
    )


def instrument_page(brief: Brief, instrument: str) -> Card:
    """Return the page of an instrument: by what it is known, where it belongs, its looks, its material."""
    words, record = brief.words, brief.practice.instruments[instrument]
    alt = words("lookup.instrument.alt", instrument=brief.instrument(instrument))
    return Card(
        id=f"i/{instrument}",
        kind="instrument",
        form="page",
        title=brief.instrument(instrument),
        section=words("lookup.pictures.section"),
        front=(
            *(
                Illustration(picture=picture, caption=words("lookup.instrument.tip") if picture.format == "svg" else "")
                for picture in pictures_of(brief, instrument)
            ),
            *_places(brief, instrument),
            Illustration(
                picture=whole_of(brief, instrument, alt),
                caption=words("lookup.instrument.whole", length=brief.length(record.length)),
            ),
            _about(brief, instrument),
            *(() if record.single_use else (_when_damaged(brief),)),
        ),
    )


def _places(brief: Brief, instrument: str) -> Iterator[Block]:
    """Yield where an instrument belongs: its places in sets, the pouches that hold it."""
    words = brief.words
    sets = tuple(_in_sets(brief, instrument))
    pouches = tuple(_in_pouches(brief, instrument))
    if sets:
        yield Items(title=words("lookup.instrument.sets"), items=sets)
    if pouches:
        yield Items(title=words("lookup.instrument.pouches"), items=pouches)
    if not (sets or pouches):
        single_use = brief.practice.instruments[instrument].single_use
        name = words("lookup.instrument.single-use" if single_use else "lookup.instrument.nowhere")
        yield Items(items=(Item(id="nowhere", name=name),))


def _in_sets(brief: Brief, instrument: str) -> Iterator[Item]:
    for set_id, record in brief.practice.sets.items():
        numbers = [laid.number for laid in brief.plan.fits[set_id].layout if laid.instrument == instrument]
        if numbers:
            places = brief.listed(str(number) for number in numbers)
            yield Item(
                id=set_id,
                name=brief.set(set_id),
                detail=f"{record.code} · {brief.words.count('lookup.instrument.place', len(numbers), places=places)}",
                stands=" ".join(brief.stands(set_id)),
                pictures=(set_mark_of(brief, set_id),),
                link=f"t/{set_id}",
            )


def _in_pouches(brief: Brief, instrument: str) -> Iterator[Item]:
    words, practice = brief.words, brief.practice
    for pouch, record in practice.pouches.items():
        if instrument not in record.contents:
            continue
        chairs = [brief.chair(chair) for chair, what in practice.chairs.items() if pouch in what.drawer]
        yield Item(
            id=pouch,
            name=brief.pouch(pouch),
            detail=brief.code_and_kind(pouch),
            note=words("lookup.in-drawers", chairs=brief.listed(chairs)) if chairs else "",
            stands=" ".join(brief.stands(pouch)),
            pictures=tips_of(brief, record.contents),
            link=f"p/{pouch}" if record.kind == "add-on" else "",
        )


def _about(brief: Brief, instrument: str) -> Facts:
    words, record = brief.words, brief.practice.instruments[instrument]
    spare = spares(brief).get(instrument, 0)
    kept = [(words("lookup.instrument.spares"), words.count("lookup.instrument.spare", spare))] if spare else []
    return facts(
        (words("lookup.instrument.length"), brief.length(record.length)),
        (words("lookup.instrument.material"), words(f"lookup.material.{record.material}")),
        *kept,
        title=words("lookup.instrument.about"),
    )


def _when_damaged(brief: Brief) -> Items:
    words = brief.words
    row = Item(id="repair", name=words("card.guide.repair"), detail=words("lookup.instrument.damaged"), link="repair")
    return Items(items=(row,))


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
                stands=" ".join(brief.stands(set_id)),
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
    where = brief.words("lookup.in-drawers", chairs=brief.listed(map(brief.chair, holding)))
    return Item(
        id=pouch,
        name=brief.pouch(pouch),
        detail=f"{record.code} · {brief.contents(record.contents)}",
        note=" ".join([_how_often(brief, share), *([] if everywhere else [where])]),
        stands=" ".join(brief.stands(pouch)) if record.kind == "add-on" else "",
        pictures=tips_of(brief, record.contents),
        link=f"p/{pouch}" if record.kind == "add-on" else "",
    )


def _single_use(brief: Brief, needs: Mapping[str, Need]) -> Iterator[Items]:
    """Yield the instruments that come sterile from their maker and are used once."""
    items = tuple(
        Item(
            id=instrument,
            name=brief.contents((instrument,) * need.count),
            note=_how_often(brief, need.share),
            pictures=(tip_of(brief, instrument),),
            link=f"i/{instrument}",
        )
        for instrument, need in needs.items()
        if brief.practice.instruments[instrument].single_use
    )
    if items:
        yield Items(title=brief.words("lookup.procedure.single-use"), items=items)


def _how_often(brief: Brief, share: float) -> str:
    if share == 1:
        return brief.words("lookup.procedure.always")
    return brief.words("lookup.procedure.sometimes", share=brief.share(share))


def _where_and_how_long(brief: Brief, procedure: str) -> Facts:
    words, record = brief.words, brief.practice.procedures[procedure]
    chairs = brief.practice.chairs_for(procedure)
    everywhere = len(chairs) == len(brief.practice.chairs)
    where = words("lookup.procedure.any-chair") if everywhere else brief.listed(brief.chair(c) for c in chairs)
    booked = (words("lookup.procedure.booked"), f"{words.number(record.minutes, 4)} min")
    return facts((words("lookup.procedure.where"), where), booked)
