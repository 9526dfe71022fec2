"""Cards of a set and of an add-on pouch: contents, places, pack."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import astuple, replace
from itertools import chain

from kitdocs.document.blocks import Band, Block, Cell, Fact, Facts, Illustration, Item, Items
from kitdocs.document.card import Card, CardKind
from kitdocs.drawings.layouts import Piece, cassette_layout, cassette_mark, end_label
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.chairs import pouch_sizes
from kitdocs.handbook.cards.packing import five_checks, fold_steps, pack_caution, pouch_packing
from kitdocs.handbook.cards.spares import spares_for, spares_place
from kitdocs.handbook.codes import code_block
from kitdocs.handbook.layout import facts
from kitdocs.handbook.pictures import drawn_once, photo_of, set_mark_of, tip_of
from kitdocs.handbook.rules.quote import rule_text
from kitdocs.practice.kinds import Material
from kitdocs.practice.model import InstrumentSet, Pouch


def refill_set(brief: Brief, set_id: str) -> Card:
    """Return the refill card of a set: what belongs in its cassette, and how the cassette is wrapped."""
    band = set_band(brief, set_id, brief.words("card.set.note"))
    back = (fold_steps(brief, set_id), _facts_on_the_wall(brief, set_id))
    return _refill(brief, f"s/{set_id}", "refill-set", brief.practice.sets[set_id], band, back)


def refill_add_on(brief: Brief, pouch: str) -> Card:
    """Return the refill card of an add-on pouch: what belongs in it, and how it is packed."""
    record = brief.practice.pouches[pouch]
    band = Band(word=record.code, name=brief.pouch(pouch), note=_laid_on(brief, pouch))
    sizes = pouch_sizes(brief, (pouch,))
    more = (*_stands(brief, pouch), *_materials(brief, pouch), *_implant(brief, pouch))
    back = (
        pouch_packing(brief, (pouch,)),
        replace(sizes, facts=(*sizes.facts, *more)),
    )
    return _refill(brief, f"p/{pouch}", "refill-add-on", record, band, back)


def _refill(
    brief: Brief, page: str, kind: CardKind, record: InstrumentSet | Pouch, band: Band, back: tuple[Block, ...]
) -> Card:
    """Return the wall card of something with contents: its band, its instruments to tick off, its code."""
    return Card(
        id=page,
        kind=kind,
        form="wall",
        title=band.name,
        subtitle=record.code,
        section=brief.words("card.section.refill"),
        hangs=brief.words("card.hangs.refill"),
        place="wall",
        front=(
            band,
            instruments(brief, record.contents),
            pack_caution(brief),
            code_block(brief, page, _as_text(brief, band.name, record.contents)),
        ),
        back=back,
        pairs=True,
        next=_following(brief, page, kind),
    )


def _following(brief: Brief, page: str, kind: CardKind) -> str:
    """Return the refill card after this one of its kind, in a circle; empty when it is the only one."""
    pouches = (f"p/{pouch}" for pouch, record in brief.practice.pouches.items() if record.kind == "add-on")
    pages = [f"s/{set_id}" for set_id in brief.practice.sets] if kind == "refill-set" else [*pouches]
    following = pages[(pages.index(page) + 1) % len(pages)]
    return following if following != page else ""


def template(brief: Brief, set_id: str) -> Card:
    """Return the set template: the cassette at true size with numbered places, and the same list beside it."""
    words, record = brief.words, brief.practice.sets[set_id]
    blocks: list[Block] = [set_band(brief, set_id, words("card.template.note")), *_as_it_lies(brief, set_id)]
    length = _lengths_of_twins(brief, record.contents)
    numbered = tuple(
        Item(
            id=f"{laid.number}-{laid.instrument}",
            name=brief.instrument(laid.instrument),
            detail=length.get(laid.instrument, ""),
            number=laid.number,
            layer=laid.rail,
            pictures=(tip_of(brief, laid.instrument),),
        )
        for laid in brief.plan.fits[set_id].layout
    )
    return Card(
        id=f"t/{set_id}",
        kind="template",
        form="template",
        title=words("card.template.title", set=brief.set(set_id)),
        subtitle=record.code,
        section=words("card.section.templates"),
        hangs=words("card.hangs.bench"),
        place="bench",
        back_of=f"s/{set_id}",
        front=(
            *blocks,
            Items(title=words("card.template.order"), items=numbered),
            set_facts(brief, set_id),
            five_checks(brief, set_id),
            code_block(brief, f"t/{set_id}", _as_text(brief, brief.set(set_id), record.contents)),
        ),
    )


def set_band(brief: Brief, set_id: str, note: str = "") -> Band:
    """Return the band of a set: its code, its name, and the mark on its cassette. Colour belongs to chairs."""
    record = brief.practice.sets[set_id]
    return Band(word=record.code, name=brief.set(set_id), note=note, mark=set_mark_of(brief, set_id))


def set_cell(brief: Brief, set_id: str) -> Cell:
    """Return a set in a table: name, code, stated place and mark; it leads to the set's card."""
    detail = brief.at_stated_place(brief.code(set_id), set_id)
    return Cell(text=brief.set(set_id), detail=detail, picture=set_mark_of(brief, set_id), link=f"s/{set_id}")


def _as_it_lies(brief: Brief, set_id: str) -> tuple[Illustration, ...]:
    """Return the set in its cassette: drawn, and as the practice's photo shows it, beside the drawing or instead."""
    photo = photo_of(brief, set_id, brief.words("instruments.photo", name=brief.set(set_id)))
    if photo is None:
        return (layout(brief, set_id),)
    caption = brief.words("card.template.photo")
    if brief.practice.settings.photos.sets == "beside":
        return (layout(brief, set_id), Illustration(picture=photo, caption=caption))
    inside = brief.practice.cassettes[brief.practice.sets[set_id].cassette].inside
    size = min(inside.length / photo.width_mm, inside.width / photo.height_mm)
    as_large = replace(photo, width_mm=round(photo.width_mm * size, 2), height_mm=round(photo.height_mm * size, 2))
    return (Illustration(picture=as_large, caption=caption, true_size=True),)


def layout(brief: Brief, set_id: str) -> Illustration:
    """Return the set as it lies in its cassette, at true size."""
    record = brief.practice.sets[set_id]
    cassette = brief.practice.cassettes[record.cassette]
    pieces = tuple(
        Piece(
            number=laid.number,
            kind=brief.practice.instruments[laid.instrument].drawing,
            x_mm=laid.x_mm,
            y_mm=laid.y_mm,
            length_mm=laid.length_mm,
            width_mm=laid.width_mm,
            closed_width_mm=brief.practice.instruments[laid.instrument].width,
            rail=laid.rail,
        )
        for laid in brief.plan.fits[set_id].layout
    )
    # A rail on which nothing lies is not drawn: an empty frame would be packed as one.
    rails = max((piece.rail for piece in pieces), default=cassette.rails)
    drawing = cassette_layout(cassette.inside.length, cassette.inside.width, rails, pieces)
    shows = (cassette.inside.length, cassette.inside.width, rails, *chain(*map(astuple, pieces)))
    alt = brief.words("card.template.alt", set=brief.set(set_id), contents=brief.contents(record.contents))
    caption = brief.words("card.template.caption", cassette=brief.say(cassette.name))
    return Illustration(
        picture=drawn_once(f"layout-{set_id}", drawing, alt, shows),
        caption=" ".join([caption, *_layers(brief, set_id)]),
        true_size=True,
        layers=rails,
    )


def _layers(brief: Brief, set_id: str) -> list[str]:
    """Return which places lie on which layer, a sentence a layer; nothing where there is only one."""
    layers: dict[int, list[int]] = {}
    for laid in brief.plan.fits[set_id].layout:
        layers.setdefault(laid.rail, []).append(laid.number)
    if len(layers) < 2:
        return []
    return [
        brief.words(f"card.template.{'lowest' if layer == 1 else 'next'}", first=str(min(on)), last=str(max(on)))
        for layer, on in sorted(layers.items())
    ]


def instruments(brief: Brief, contents: tuple[str, ...]) -> Items:
    """Return one row for each different instrument, to be ticked off, with how many belong there."""
    length = _lengths_of_twins(brief, contents)
    return Items(
        ticks=True,
        items=tuple(
            Item(
                id=instrument,
                name=brief.instrument(instrument),
                detail=length.get(instrument, ""),
                count=count,
                pictures=(tip_of(brief, instrument),),
            )
            for instrument, count in Counter(contents).items()
        ),
    )


def _lengths_of_twins(brief: Brief, contents: Iterable[str]) -> dict[str, str]:
    """Return the lengths of the instruments that have one and the same picture: only a ruler tells those apart."""
    different = list(dict.fromkeys(contents))
    alike = Counter(tip_of(brief, instrument).name for instrument in different)
    return {
        instrument: brief.length(brief.practice.instruments[instrument].length)
        for instrument in different
        if alike[tip_of(brief, instrument).name] > 1
    }


def set_facts(brief: Brief, set_id: str) -> Facts:
    """Return cassette, wrap, tape, mark and end label of a set, with pictures of what is seen on the pack."""
    words, record = brief.words, brief.practice.sets[set_id]
    cassette = brief.practice.cassettes[record.cassette]
    marked, label = _marked(brief, set_id), _read_on_the_shelf(brief, set_id)
    shows = (
        record.mark,
        record.code,
        cassette.outside.length,
        cassette.outside.height,
        record.colour.hex if record.colour else "#1b1b1d",
    )
    labelled = (record.code, brief.set(set_id))
    mark_picture = drawn_once("cassette-mark", cassette_mark(*shows), marked, shows)
    label_picture = drawn_once("end-label", end_label(*labelled), label, labelled)
    return facts(
        (words("card.fact.cassette"), brief.say(cassette.name)),
        (words("card.fact.sheet"), sheet_text(brief, set_id)),
        (words("card.fact.tape"), words.count("card.fact.strips", brief.practice.room.wrap.strips)),
        Fact(label=words("card.fact.mark"), value=marked, picture=mark_picture),
        Fact(label=words("card.fact.end-label"), value=label, picture=label_picture),
        *_spares(brief, set_id),
        *_materials(brief, set_id),
        *_implant(brief, set_id),
        title=words("card.fact.set-title"),
    )


def _facts_on_the_wall(brief: Brief, set_id: str) -> Facts:
    """Return what a set's wall card has room for beside its fold, and what is read first when the set is opened."""
    words, record = brief.words, brief.practice.sets[set_id]
    cassette = brief.say(brief.practice.cassettes[record.cassette].name)
    return facts(
        (words("card.fact.cassette"), f"{cassette} · {sheet_text(brief, set_id)}"),
        Fact(label=words("card.fact.mark"), value=_marked(brief, set_id), picture=set_mark_of(brief, set_id)),
        (words("card.fact.end-label"), _read_on_the_shelf(brief, set_id)),
        *_spares(brief, set_id),
        (words("card.fact.opening"), rule_text(brief, "read-internal")),
        *_materials(brief, set_id),
        *_implant(brief, set_id),
        title=words("card.fact.set-title"),
    )


def _read_on_the_shelf(brief: Brief, set_id: str) -> str:
    """Return what the end label of a set says, and at which place it is read."""
    code, places = brief.practice.sets[set_id].code, brief.listed(brief.stands(set_id))
    if places:
        return brief.words("card.fact.end-label-at", code=code, places=places)
    return brief.words("card.fact.end-label-value", code=code)


def _stands(brief: Brief, pouch: str) -> Iterator[Fact]:
    """Yield where an add-on pouch stands in the store."""
    if places := brief.stands(pouch):
        yield Fact(label=brief.words("card.fact.stands"), value=brief.listed(places))


def _marked(brief: Brief, set_id: str) -> str:
    return brief.words("card.fact.mark-value", mark=set_mark_of(brief, set_id).alt)


def _spares(brief: Brief, set_id: str) -> Iterator[Fact]:
    """Yield of which instruments of a set there is a spare, and where, if there are any."""
    if names := spares_for(brief, brief.practice.sets[set_id].contents):
        value = brief.words("repair.fact-value", where=spares_place(brief), names=names)
        yield Fact(label=brief.words("repair.fact"), value=value)


#: What cleaners and steel pit, and what heat warps: said where it is packed.
_WATCHED: tuple[Material, ...] = ("aluminium", "plastic")


def _materials(brief: Brief, pack: str) -> Iterator[Fact]:
    """Yield what in a set or pouch is of aluminium or of plastic, where the practice says so."""
    practice = brief.practice
    record = practice.sets[pack] if pack in practice.sets else practice.pouches[pack]
    for material in _WATCHED:
        # A list of contents names a piece as often as there is one of it.
        of_it = [id_ for id_ in dict.fromkeys(record.contents) if practice.instruments[id_].material == material]
        made = [brief.instrument(id_) for id_ in of_it]
        if made:
            yield Fact(label=brief.words(f"card.fact.{material}"), value=" · ".join(made))


def _implant(brief: Brief, pack: str) -> Iterator[Fact]:
    """Yield what a load with this set or pouch needs when something in it is implantable."""
    if brief.practice.is_implant_related(pack):
        yield Fact(label=brief.words("card.fact.implant"), value=rule_text(brief, "implant-load", "implant-sooner"))


def sheet_text(brief: Brief, set_id: str) -> str:
    """Return the sheet that a set's cassette takes."""
    sheet = brief.plan.sheets[set_id].sheet
    if sheet is None:
        return brief.words("card.fact.no-sheet")
    return brief.say(brief.practice.room.sheets[sheet].name)


def _laid_on(brief: Brief, pouch: str) -> str:
    sets = dict.fromkeys(p.set for p in brief.practice.procedures.values() if pouch in p.add_ons)
    names = brief.listed(brief.set(set_id) for set_id in sets)
    return brief.words("card.add-on.note", sets=names) if sets else brief.words("card.add-on.note-alone")


def _as_text(brief: Brief, name: str, contents: tuple[str, ...]) -> str:
    rows = [f"{count} × {brief.instrument(instrument)}" for instrument, count in Counter(contents).items()]
    return "\n".join([name, *rows])
