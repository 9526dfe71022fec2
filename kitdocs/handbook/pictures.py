"""The pictures on cards: drawings of ours, or the practice's photos where it has them."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Sequence

from kitdocs.document.blocks import Picture
from kitdocs.drawings.drawing import Drawing
from kitdocs.drawings.instruments import tip, whole
from kitdocs.drawings.layouts import cassette_layout
from kitdocs.drawings.marks import chair_mark, set_mark
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.photos import upright_photo
from kitdocs.practice.kinds import DrawingKind


def drawn(name: str, drawing: Drawing, alt: str = "") -> Picture:
    """A drawing as a picture of that name."""
    return Picture(
        name=name, alt=alt, data=drawing.svg.encode(), width_mm=drawing.width_mm, height_mm=drawing.height_mm
    )


def drawn_once(stem: str, drawing: Drawing, alt: str, shows: Sequence[str | float] = ()) -> Picture:
    """A drawing that is one of many alike: its name tells it from the others by what it shows.

    `shows` are the words and numbers that it was drawn from: drawn better, it is still the same picture. Without them
    every stroke counts, which is right where a card is not kept from one kitdocs to the next.
    """
    told = [f"{part:.2f}" if isinstance(part, int | float) else part for part in shows]
    digest = hashlib.sha256(("\n".join(told) if told else drawing.svg).encode()).hexdigest()[:10]
    return drawn(f"{stem}-{digest}", drawing, alt)


def photo_of(brief: Brief, thing: str, alt: str) -> Picture | None:
    """The practice's photo of an instrument, set or pouch, turned upright and without what cameras add."""
    path = brief.practice.photos.get(thing)
    if path is None:
        return None
    photo = upright_photo(path)
    return Picture(
        name=f"photo-{thing}-{photo.digest}",
        alt=alt,
        data=photo.jpeg,
        format="jpeg",
        width_mm=60.0,
        height_mm=round(60.0 * photo.height_px / photo.width_px, 2),
    )


def tip_of(brief: Brief, instrument: str) -> Picture:
    """The one picture by which an instrument is told from the others: its working end enlarged, or its photo where the
    practice wants photos instead."""
    return pictures_of(brief, instrument)[0]


def pictures_of(brief: Brief, instrument: str) -> tuple[Picture, ...]:
    """The pictures of one instrument where there is room for two: its working end, and its photo beside or instead."""
    drawing = tip_picture(brief.practice.instruments[instrument].drawing)
    photo = photo_of(brief, instrument, brief.words("instruments.photo", name=brief.instrument(instrument)))
    if photo is None:
        return (drawing,)
    if brief.practice.settings.photos.instruments == "instead":
        return (photo,)
    return (drawing, photo)


def whole_of(brief: Brief, instrument: str, alt: str = "") -> Picture:
    """The closed instrument of the practice, its natural size the true one."""
    of = brief.practice.instruments[instrument]
    return whole_picture(of.drawing, of.length, of.width, alt)


def tip_picture(kind: DrawingKind) -> Picture:
    """The working end of a kind of instrument, enlarged."""
    return drawn(f"tip-{kind}", tip(kind))


def whole_picture(kind: DrawingKind, length: float, width: float, alt: str = "") -> Picture:
    """A closed instrument, its natural size the true one. The same for all of one kind, length and width (in mm)."""
    return drawn(f"whole-{kind}-{length:g}x{width:g}", whole(kind, length, width), alt)


def pouch_photo(brief: Brief, pouch: str) -> Picture | None:
    """The practice's photo of a pouch, to stand by its name in a table."""
    return photo_of(brief, pouch, brief.words("instruments.photo", name=brief.pouch(pouch)))


def in_pouch(brief: Brief, pouch: str) -> tuple[Picture, ...]:
    """What is in a pouch, one picture for each different instrument, or the pouch's photo instead of them."""
    photo = pouch_photo(brief, pouch)
    if photo and brief.practice.settings.photos.pouches == "instead":
        return (photo,)
    return tips_of(brief, brief.practice.pouches[pouch].contents)


def tips_of(brief: Brief, instruments: Iterable[str]) -> tuple[Picture, ...]:
    """One picture for each different instrument, in order."""
    return tuple(tip_of(brief, instrument) for instrument in Counter(instruments))


def cassette_picture(brief: Brief, cassette: str) -> Picture:
    """The practice's photo of a cassette, or an empty one seen from above."""
    of = brief.practice.cassettes[cassette]
    drawing = cassette_layout(of.inside.length, of.inside.width, 1, ())
    return photo_of(brief, cassette, brief.say(of.name)) or drawn(f"cassette-{cassette}", drawing)


def chair_mark_of(brief: Brief, chair: str, *, colour: str | None = None) -> Picture:
    """A chair's mark, in its own colour unless another is named."""
    of = brief.practice.chairs[chair]
    ink = colour or of.colour.hex
    alt = brief.words(f"card.chair-mark.{of.mark}")
    return drawn(f"chair-{of.mark}-{ink[1:]}", chair_mark(of.mark, ink), alt)


def set_mark_of(brief: Brief, set_id: str) -> Picture:
    """The mark on a set's cassette."""
    of = brief.practice.sets[set_id]
    ink = of.colour.hex if of.colour else "#1b1b1d"
    alt = brief.words(f"card.set-mark.{of.mark}")
    return drawn(f"set-{of.mark}-{ink[1:]}", set_mark(of.mark, ink), alt)
