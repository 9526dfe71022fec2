"""Cards of the chairs: the refill card on the wall, the pouch list in the drawer, the poster of all colours."""

from __future__ import annotations

from dataclasses import replace

from kitdocs.document.blocks import Band, Block, Facts, Item, Items, Prose, Steps, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.packing import pack_caution, pouch_packing
from kitdocs.handbook.codes import code_block
from kitdocs.handbook.layout import facts
from kitdocs.handbook.pictures import chair_mark_of, in_pouch
from kitdocs.handbook.rules.looked_up import hurt_first
from kitdocs.handbook.rules.quote import DRAWER_ACCESS, rule_steps, rule_text, trigger_line, trigger_steps
from kitdocs.planning.colours.ink import ink_on, needs_outline


def refill_chair(brief: Brief, chair: str) -> Card:
    """Return the refill card of a chair: which pouches its drawer gets back, and how many."""
    words = brief.words
    chairs = list(brief.practice.chairs)
    following = chairs[(chairs.index(chair) + 1) % len(chairs)]
    page, drawer = f"r/{chair}", tuple(brief.practice.chairs[chair].drawer)
    note = rule_text(brief, "refill-hands") if drawer else words("card.chair.note")
    band = chair_band(brief, chair, note)
    return Card(
        id=page,
        kind="refill-chair",
        form="wall",
        title=words("card.chair.title", chair=brief.chair(chair)),
        subtitle=chair_look(brief, chair),
        section=words("card.section.refill"),
        hangs=words("card.hangs.refill"),
        place="wall",
        front=(band, drawer_items(brief, chair), pack_caution(brief), code_block(brief, page, _as_text(brief, chair))),
        back=(pouch_packing(brief, drawer), pouch_sizes(brief, drawer)),
        next=f"r/{following}" if following != chair else "",
    )


def pouch_list(brief: Brief, chair: str) -> Card:
    """Return the list that lies in a chair's drawer: what is there, and for which procedures."""
    words = brief.words
    page = f"drawer/{chair}"
    blocks: tuple[Block, ...] = (
        chair_band(brief, chair, words("card.chair.note")),
        drawer_items(brief, chair, with_procedures=True, ticks=False),
        *(_taken_out(brief) if brief.practice.chairs[chair].drawer else ()),
        pack_caution(brief),
        code_block(brief, page, _as_text(brief, chair)),
    )
    return Card(
        id=page,
        kind="pouch-list",
        title=words("card.pouch-list.title", chair=brief.chair(chair)),
        subtitle=chair_look(brief, chair),
        section=words("card.section.drawers"),
        hangs=words("card.hangs.drawer", chair=brief.chair(chair)),
        place="drawer",
        back_of=f"r/{chair}",
        front=blocks,
    )


def taking_out(brief: Brief) -> Steps:
    """Return how a pouch is taken from a drawer and opened."""
    return rule_steps(
        brief,
        brief.words("card.taking-out.title"),
        ("drawer-first", DRAWER_ACCESS, "drawer-never", ("look-pack", "look-date"), ("open-hands", "read-internal")),
        f"{trigger_line(brief, 'external-unchanged')} {rule_text(brief, 'take-other')}",
        trigger_line(brief, "internal-unchanged"),
    )


def _taken_out(brief: Brief) -> tuple[Steps, ...]:
    """Return how a pouch is taken out, and what becomes of it when it is opened, and when it is not."""
    return (taking_out(brief), trigger_steps(brief, "opened"), trigger_steps(brief, "unopened"))


def chair_band(brief: Brief, chair: str, note: str = "") -> Band:
    """Return the band of a chair: its colour, mark, colour name and name.

    The colour stands large by which the chair is known; where other chairs have it too, the chair's own name does.
    """
    record = brief.practice.chairs[chair]
    ink = ink_on(record.colour.hex)
    large, small = chair_look(brief, chair), brief.chair(chair)
    if colours_come_again(brief):
        large, small = small, large
    return Band(
        word=large,
        name=small,
        note=note,
        colour=record.colour.hex,
        ink=ink,
        outlined=needs_outline(record.colour.hex),
        mark=chair_mark_of(brief, chair, colour=ink),
    )


def colours_come_again(brief: Brief) -> bool:
    """Whether two chairs have one colour, so that each is known by its colour and its mark."""
    chairs = brief.practice.chairs.values()
    return len({chair.colour.hex for chair in chairs}) < len(chairs)


def chair_look(brief: Brief, chair: str) -> str:
    """Return by what a chair is known: ``Teal``, or ``Teal, circle`` where other chairs have its colour."""
    colour = colour_name(brief, chair)
    if not colours_come_again(brief):
        return colour
    mark = brief.words(f"card.chair-mark.{brief.practice.chairs[chair].mark}")
    return brief.words("card.key.chair", colour=colour, mark=mark)


def colour_name(brief: Brief, chair: str) -> str:
    """Return the name of a chair's colour as a sign has it, with a capital: ``Teal``."""
    name = brief.colour(brief.practice.chairs[chair].colour)
    return name[:1].upper() + name[1:]


def drawer_items(brief: Brief, chair: str, *, with_procedures: bool = False, ticks: bool = True) -> Items | Prose:
    """Return one row a drawer pouch, with how many should be there; a sentence when the drawer holds none."""
    drawer = brief.practice.chairs[chair].drawer
    if not drawer:
        return said(brief.words("card.chair.empty"))
    pouches = brief.practice.pouches
    return Items(
        ticks=ticks,
        items=tuple(
            Item(
                id=pouch,
                name=brief.pouch(pouch),
                detail=f"{pouches[pouch].code} · {brief.contents(pouches[pouch].contents)}",
                note=" · ".join(brief.procedures_of(pouch, chair)) if with_procedures else "",
                stands=" ".join(brief.stands(pouch)),
                count=brief.plan.par[chair, pouch],
                pictures=in_pouch(brief, pouch),
            )
            for pouch in drawer
        ),
    )


def pouch_sizes(brief: Brief, pouches: tuple[str, ...]) -> Facts:
    """Return which size of pouch each is packed in, and what its label says."""
    sizes, words = brief.practice.room.pouch_sizes, brief.words
    records = {pouch: brief.practice.pouches[pouch] for pouch in pouches}
    packed = (
        (brief.pouch(pouch), words("card.pouch-size", size=brief.say(sizes[record.size].name), code=record.code))
        for pouch, record in records.items()
    )
    return facts(*packed, title=words("card.pouch-size-title"))


def _as_text(brief: Brief, chair: str) -> str:
    record = brief.practice.chairs[chair]
    rows = [f"{brief.plan.par[chair, pouch]} × {brief.pouch(pouch)}" for pouch in record.drawer]
    return "\n".join([f"{brief.chair(chair)} · {chair_look(brief, chair)}", *rows])


def poster(brief: Brief) -> Card:
    """Return a band for each chair: colour, mark, both names, and what its drawer holds, in codes."""
    words = brief.words
    bands = tuple(_on_poster(brief, chair) for chair in brief.practice.chairs)
    again = "-again" if colours_come_again(brief) else ""
    text = "\n".join([words(f"poster.title{again}"), *(f"{band.word} · {band.name}" for band in bands)])
    return Card(
        id="poster",
        kind="poster",
        form="poster",
        title=words(f"poster.title{again}"),
        subtitle=words(f"poster.subtitle{again}"),
        section=words("card.section.start"),
        hangs=words("poster.hangs"),
        place="staff-room",
        front=(*bands, hurt_first(brief), code_block(brief, "poster", text)),
    )


def _on_poster(brief: Brief, chair: str) -> Band:
    """Return a chair's band with both names large, the colour's and its own, and the codes of its pouches."""
    band = chair_band(brief, chair, _drawer(brief, chair))
    return replace(band, word=colour_name(brief, chair), name=brief.chair(chair))


def _drawer(brief: Brief, chair: str) -> str:
    codes = " · ".join(brief.practice.pouches[pouch].code for pouch in brief.practice.chairs[chair].drawer)
    return brief.words("poster.drawer", codes=codes) if codes else ""
