"""Pictures on cards: our drawings, or the practice's photos where it has them."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Sequence

from kitdocs.document.blocks import Picture
from kitdocs.drawings.drawing import Drawing
from kitdocs.drawings.instruments import TIP_HEIGHT_MM, TIP_WIDTH_MM, tip, whole
from kitdocs.drawings.layouts import cassette_layout
from kitdocs.drawings.marks import chair_mark, set_mark
from kitdocs.handbook.brief import Brief
from kitdocs.practice.kinds import DrawingKind, is_neutral
from kitdocs.practice.model import Practice
from kitdocs.practice.photos import upright_photo


def drawn(name: str, drawing: Drawing, alt: str = "") -> Picture:
    """Return a drawing as a picture with that name."""
    return Picture(
        name=name, alt=alt, data=drawing.svg.encode(), width_mm=drawing.width_mm, height_mm=drawing.height_mm
    )


def drawn_once(stem: str, drawing: Drawing, alt: str, shows: Sequence[str | float] = ()) -> Picture:
    """Return a drawing as a picture whose name carries a digest of what it shows.

    `shows` are the words and numbers that it was drawn from, so that a better drawing keeps its name. Without them the
    digest is of the drawing itself, which is right for cards that no print record keeps.
    """
    parts = [f"{part:.2f}" if isinstance(part, int | float) else part for part in shows]
    digest = hashlib.sha256(("\n".join(parts) if parts else drawing.svg).encode()).hexdigest()[:10]
    return drawn(f"{stem}-{digest}", drawing, alt)


def photo_of(brief: Brief, thing: str, alt: str) -> Picture | None:
    """Return the practice's photo of an instrument, set or pouch, upright and without metadata, or None."""
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
    """Return the picture that identifies an instrument: its working end enlarged, or its photo if photos replace
    drawings."""
    return pictures_of(brief, instrument)[0]


def pictures_of(brief: Brief, instrument: str) -> tuple[Picture, ...]:
    """Return the pictures of an instrument where there is room for two: its working end and its photo.

    Where no drawing fits, the photo stands alone: the neutral drawing would say nothing beside it.
    """
    drawing = end_of(brief.practice, instrument)
    photo = photo_of(brief, instrument, brief.words("instruments.photo", name=brief.instrument(instrument)))
    if photo is None:
        return (drawing,)
    if brief.practice.settings.photos.instruments == "instead" or has_no_drawing(brief.practice, instrument):
        return (photo,)
    return (drawing, photo)


def has_no_drawing(practice: Practice, instrument: str) -> bool:
    """Whether an instrument is drawn as its family only, neither by kitdocs nor by the practice as it is."""
    return is_neutral(practice.instruments[instrument].drawing) and instrument not in practice.drawings


def end_of(practice: Practice, instrument: str) -> Picture:
    """Return the working end: as the practice drew it, else as its kind is drawn."""
    own = practice.drawings.get(instrument)
    if own is None:
        return tip_picture(practice.instruments[instrument].drawing)
    return Picture(
        name=f"own-{instrument}-{own.digest}", data=own.svg.encode(), width_mm=TIP_WIDTH_MM, height_mm=TIP_HEIGHT_MM
    )


def whole_of(brief: Brief, instrument: str, alt: str = "") -> Picture:
    """Return the closed instrument at true size."""
    record = brief.practice.instruments[instrument]
    return whole_picture(record.drawing, record.length, record.width, alt)


def tip_picture(kind: DrawingKind) -> Picture:
    """Return the working end of a kind of instrument, enlarged."""
    return drawn(f"tip-{kind}", tip(kind))


def whole_picture(kind: DrawingKind, length: float, width: float, alt: str = "") -> Picture:
    """Return a closed instrument at true size (mm). One picture serves all of the same kind, length and width."""
    return drawn(f"whole-{kind}-{length:g}x{width:g}", whole(kind, length, width), alt)


def pouch_photo(brief: Brief, pouch: str) -> Picture | None:
    """Return the practice's photo of a pouch, for a table, or None."""
    return photo_of(brief, pouch, brief.words("instruments.photo", name=brief.pouch(pouch)))


def in_pouch(brief: Brief, pouch: str) -> tuple[Picture, ...]:
    """Return the contents of a pouch, one picture per kind of instrument, or the pouch's photo if it replaces them."""
    photo = pouch_photo(brief, pouch)
    if photo and brief.practice.settings.photos.pouches == "instead":
        return (photo,)
    return tips_of(brief, brief.practice.pouches[pouch].contents)


def tips_of(brief: Brief, instruments: Iterable[str]) -> tuple[Picture, ...]:
    """Return one picture per kind of instrument, in order."""
    return tuple(tip_of(brief, instrument) for instrument in Counter(instruments))


def cassette_picture(brief: Brief, cassette: str) -> Picture:
    """Return the practice's photo of a cassette, or a drawing of it, empty, from above."""
    record = brief.practice.cassettes[cassette]
    drawing = cassette_layout(record.inside.length, record.inside.width, 1, ())
    return photo_of(brief, cassette, brief.say(record.name)) or drawn(f"cassette-{cassette}", drawing)


def chair_mark_of(brief: Brief, chair: str, *, colour: str | None = None) -> Picture:
    """Return a chair's mark, in the chair's colour by default."""
    record = brief.practice.chairs[chair]
    ink = colour or record.colour.hex
    alt = brief.words(f"card.chair-mark.{record.mark}")
    return drawn(f"chair-{record.mark}-{ink[1:]}", chair_mark(record.mark, ink), alt)


def set_mark_of(brief: Brief, set_id: str) -> Picture:
    """Return the mark on a set's cassette."""
    record = brief.practice.sets[set_id]
    ink = record.colour.hex if record.colour else "#1b1b1d"
    alt = brief.words(f"card.set-mark.{record.mark}")
    return drawn(f"set-{record.mark}-{ink[1:]}", set_mark(record.mark, ink), alt)
