"""The handbook as Typst reads it: one JSON file and the pictures, each once."""

from __future__ import annotations

import dataclasses
import hashlib
import json
import re
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from kitdocs.document.blocks import KINDS, Code, Heading, Picture, kind_of
from kitdocs.document.card import Card, Handbook
from kitdocs.document.purpose import Purpose, fields_of
from kitdocs.practice.paper import PAPER_MM
from kitdocs.practice.typeface import has_deep_letters, is_letter, more_families
from kitdocs.publish.print.paper_use import PaperUse
from kitdocs.publish.print.render_pdf import DocumentSource
from kitdocs.publish.print.wall_grid import BLEED_MM, WallGrid, wall_grid

_NUMBER_AND_UNIT = re.compile(
    r"(?<=\d) (?=(?:mm|cm|m|in|ft|min|h|s|d|°C|°F|%|kg|g|lb|l|ml|µS/cm|ppm|psi|kPa|bar)\b|%|°)"
)


def well_set(text: str) -> str:
    """The same words with a number held to its unit, and letters composed so that the typeface has them."""
    return _NUMBER_AND_UNIT.sub("\N{NO-BREAK SPACE}", unicodedata.normalize("NFC", text))


def as_json(said: object) -> bytes:
    """The same bytes for the same content."""
    return json.dumps(said, ensure_ascii=False, sort_keys=True).encode()


@dataclass(slots=True)
class PrintData:
    """Data of one document, gathered until it is complete: what ``data.json`` says, and the pictures beside it."""

    handbook: Handbook
    files: dict[str, bytes] = field(default_factory=lambda: {"fits.json": b"{}"})
    photos: dict[str, bytes] = field(default_factory=dict)
    said: dict[str, object] = field(default_factory=dict)
    marked: Mapping[str, Collection[str]] = field(default_factory=dict)
    """Changed parts by the id of a card that is replaced; see `Replacement.marked`."""
    codes: list[str] = field(default_factory=list)
    """What the codes on the cards hold."""
    known: dict[str, PrintData] = field(default_factory=dict, repr=False)
    """Data of single cards that another document of the same handbook has read already, by id."""

    def add(self, cards: Sequence[Card], title: str, **more: object) -> None:
        """Put the cards into ``data.json`` and their pictures beside it."""
        h = self.handbook
        self.codes = codes_on(cards)
        width, height = PAPER_MM[h.paper]
        grid = self.wall_grid
        self.said = {
            "title": well_set(title),
            "practice": well_set(h.practice),
            "language": h.language,
            "decimal_sign": h.words.fixed(0.5).strip("05"),
            "from_right": h.words.direction == "rtl",
            "deep_letters": has_deep_letters(h.language),
            "more_typefaces": more_families(),
            "paper": {"width": width, "height": height},
            "card": {"width": h.card_mm[0], "height": h.card_mm[1], "bleed": BLEED_MM},
            "wall_grid": {"columns": grid.columns, "rows": grid.rows, "width": grid.width, "height": grid.height},
            "text_mm": h.text_mm,
            "distance_mm": h.poster_from_mm,
            # The three share no key.
            "words": {**h.words.part("print"), **h.words.part("binder"), **h.words.part("swap")},
            "cards": [self._card(card) for card in cards],
            **more,
        }
        self.files["data.json"] = as_json(self.said)

    @property
    def wall_grid(self) -> WallGrid:
        """How wall cards lie on the practice's paper."""
        return wall_grid(PAPER_MM[self.handbook.paper], self.handbook.card_mm)

    def source(self, template: str, use: PaperUse | None = None) -> DocumentSource:
        """Return the document that `template` makes of this data; without a `use`, a part of one."""
        return DocumentSource(template=template, files=self.files, photos=self.photos, use=use)

    def has_its_letters(self) -> bool:
        """Whether the typeface has every sign of the data and the drawings, so that nothing else need be tried."""
        texts = [text.decode() for text in self.files.values()]
        # A control character stands in JSON as its number.
        return all("\\u" not in text and all(map(is_letter, set(text) - {"\n"})) for text in texts)

    def plain(self, value: object) -> object:
        """Anything that is made of values and pictures, as Typst reads it; its pictures lie beside the data."""
        return self._value(value, Purpose.NONE, _HeadingDepth())

    def _card(self, card: Card) -> dict[str, object]:
        if marked := self.marked.get(card.id):
            return self._said_of(card, marked)
        read = self.known.get(card.id)
        if read is None:
            read = PrintData(self.handbook, files={})
            read.said = read._said_of(card, ())
            self.known[card.id] = read
        self.files.update(read.files)
        self.photos.update(read.photos)
        return read.said

    def _said_of(self, card: Card, marked: Collection[str]) -> dict[str, object]:
        depth = _HeadingDepth()
        said = self._fields(card, depth)
        if marked:
            _mark(said, marked)
        return {**said, "blocks": [*said["front"], *said["back"]]}

    def _value(self, value: object, purpose: Purpose, depth: _HeadingDepth) -> object:
        if isinstance(value, Picture):
            return self._picture(value)
        if isinstance(value, Heading):
            level = depth.next(value.level)
            return {"kind": "heading", "text": well_set(value.text), "level": level, "group": value.level == 1}
        if dataclasses.is_dataclass(value):
            return {"kind": kind_of(value), **self._fields(value, depth)}
        if isinstance(value, tuple):
            return [self._value(part, purpose, depth) for part in value]
        return well_set(value) if isinstance(value, str) and Purpose.WORDS in purpose else value

    def _fields(self, thing: object, depth: _HeadingDepth) -> dict[str, Any]:
        found = {}
        for own in fields_of(type(thing)):
            if Purpose.SCREEN in own.purpose:
                continue
            value = getattr(thing, own.name)
            if value and Purpose.HEADING in own.purpose:
                depth.next(2)
            found[own.name] = self._value(value, own.purpose, depth)
        return found

    def _picture(self, picture: Picture) -> Mapping[str, object]:
        suffix = "svg" if picture.format == "svg" else "jpg"
        path = f"pictures/{hashlib.sha256(picture.data).hexdigest()[:24]}.{suffix}"
        (self.files if suffix == "svg" else self.photos)[path] = picture.data
        return {
            "path": f"/{path}",
            "alt": well_set(picture.alt),
            "width_mm": picture.width_mm,
            "height_mm": picture.height_mm,
        }


def codes_on(cards: Iterable[Card]) -> list[str]:
    """Return what the codes on some cards hold."""
    return [block.encoded for card in cards for block in card.blocks if isinstance(block, Code)]


def titles_of(cards: Iterable[Card]) -> dict[str, str]:
    """Return the titles of some cards as they are printed, by id."""
    return {card.id: well_set(card.title) for card in cards}


class _HeadingDepth:
    """Levels of a card's headings without gaps, whatever a page's author wrote: PDF/UA-1 (7.4.2) forbids them."""

    def __init__(self) -> None:
        self._last = 1

    def next(self, level: int) -> int:
        self._last = max(2, min(level, self._last + 1))
        return self._last


def _mark(card: dict[str, Any], marked: Collection[str]) -> None:
    """Set ``new`` on what is `marked` of a card as ``data.json`` has it: see `Replacement.marked`.

    What is marked below a row marks the row, and what is below no row that the block has marks the block.
    """
    card["changed"] = bool(marked)
    card["changed_back"] = any(path.startswith("back") for path in marked)
    for side in ("front", "back"):
        for place, block in enumerate(card[side]):
            below = [path.split(".")[2:] for path in marked if path.split(".")[:2] == [side, str(place)]]
            if below:
                _mark_block(block, [steps[0] if steps else "" for steps in below])


def _mark_block(block: dict[str, Any], names: Collection[str]) -> None:
    rows = dict(_rows(block))
    for name in names:
        row = rows.get(name, block)
        # A row of a table is a list of cells.
        (row[0] if isinstance(row, list) and row else row)["new"] = True


def _rows(block: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    """Yield the rows that have a bar of their own, each with its id, or, without one, its place."""
    for own in fields_of(KINDS[block["kind"]]):
        for place, row in enumerate(block[own.name] if Purpose.ROWS in own.purpose else ()):
            yield str(row.get("id", place) if isinstance(row, dict) else place), row
