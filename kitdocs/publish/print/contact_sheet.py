"""Contact sheet: photos side by side, numbered, each with a line to write on which instrument it shows."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from PIL import Image

from kitdocs.document.blocks import Picture
from kitdocs.document.card import Handbook
from kitdocs.document.catalog import MessageCatalog
from kitdocs.practice.typeface import is_letter
from kitdocs.publish.print.rendering import Rendering

#: A photo stands in a box of 56 mm: so many pixels are 300 dpi.
_LONGEST_PX = 660
#: Of the typeface, what stands for a letter that it lacks.
_LACKING = "?"


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactPhoto:
    """A photo on the sheet, as JPEG. `answer` is what is known or thought of it already."""

    number: int
    name: str
    jpeg: bytes
    answer: str = ""


def contact_sheet(
    photos: Sequence[ContactPhoto],
    things: Mapping[str, str],
    *,
    words: MessageCatalog,
    practice: str,
    paper: Literal["letter", "a4"],
) -> bytes:
    """Return a PDF of the photos in their order, and below them what they can show: names by id.

    Raises `PublishError` when it cannot be printed.
    """
    name, language = _printed(practice), words.language
    book = Handbook(practice=name, language=language, words=words, languages=(language,), paper=paper, cards=())
    rendering = Rendering(book)
    data = rendering.data()
    data.add(
        (),
        words("import.contact.title"),
        photos=[
            {
                "number": photo.number,
                "name": _printed(photo.name),
                "answer": _printed(photo.answer),
                "picture": data.plain(_picture(photo, words)),
            }
            for photo in photos
        ],
        things=[{"id": id_, "name": _printed(name)} for id_, name in things.items()],
        said=dict(words.part("import.contact")),
    )
    return rendering.render("contact-sheet.typ", data)


def _picture(photo: ContactPhoto, words: MessageCatalog) -> Picture:
    image = Image.open(io.BytesIO(photo.jpeg))
    image.thumbnail((_LONGEST_PX, _LONGEST_PX))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=80)
    return Picture(
        name=f"contact-{photo.number}",
        alt=words("import.contact.alt", number=photo.number, name=_printed(photo.name)),
        data=out.getvalue(),
        format="jpeg",
        width_mm=float(image.width),
        height_mm=float(image.height),
    )


def _printed(text: str) -> str:
    """A name as the typeface has it: a file may be named with any sign."""
    return "".join(sign if is_letter(sign) and sign.isprintable() else _LACKING for sign in text)
