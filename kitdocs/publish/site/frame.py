"""Where a page of the site stands: its addresses, its language, and what frames every page."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import quote, urlsplit

from kitdocs.document.blocks import Band, Item, Items, Matrix, Picture
from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import MessageCatalog
from kitdocs.practice.problems import PublishError

CARD_INDEX = "index.html"
MANIFEST = "manifest.webmanifest"
SEARCH_PAGE = "search.html"
#: For a tablet on the wall.
WALL_PAGE = "wall.html"
#: The planning report's first page, in the folder of its language.
PLAN_PAGE = "plan/index.html"
#: What most hosts show where there is no page.
MISSING_PAGE = "404.html"

#: How the address of what is different since a card was printed ends. No card's id has a full stop.
EARLIER = ".earlier.html"

#: What `colour_class` makes, in the text of a page.
COLOUR_CLASS = re.compile(r"\bc-([0-9a-f]{6})-([0-9a-f]{6})\b")

#: What an address in a practice's own prose may begin with; anything else stays plain text.
SCHEMES = ("http", "https", "mailto", "tel")


def card_page(handbook: Handbook, card_id: str) -> str:
    """The path of a card's page inside the site."""
    return f"{handbook.folder}{card_id}.html"


def earlier_page(handbook: Handbook, card_id: str) -> str:
    """The path of the page that tells what is different since a card was printed."""
    return f"{handbook.folder}{card_id}{EARLIER}"


def picture_file(picture: Picture) -> str:
    """The path of a picture inside the site. Pictures of one name are one file."""
    parts = picture.name.split("/")
    if not all(part and part.strip(".") for part in parts) or "\\" in picture.name:
        raise PublishError(f"a picture cannot be called '{picture.name}'")
    return f"assets/pictures/{picture.name}.{'svg' if picture.format == 'svg' else 'jpg'}"


def colour_class(colour: str, ink: str) -> str:
    """The class that gives a band its colour and ink; see `colour_rule`."""
    return f"c-{colour.lstrip('#').lower()}-{ink.lstrip('#').lower()}"


def colour_rule(colour: str, ink: str) -> str:
    """The rule of style behind a `colour_class` of these six digits each."""
    return f".c-{colour}-{ink} {{ --band: #{colour}; --on-band: #{ink}; }}\n"


def band_class(band: Band) -> str:
    """The classes of a band. What could not be seen on white paper has an outline."""
    outlined = band.outlined or band.colour.lower() == "#ffffff"
    return f"band {colour_class(band.colour, band.ink)}{' outlined' if outlined else ''}"


def band_of(card: Card) -> Band | None:
    """The band by which a card is found: it opens the card, when it has one."""
    return card.front[0] if card.front and isinstance(card.front[0], Band) else None


def ticked_on(item: Item) -> str:
    """What a tick in a row is made on, the same in every language: how many belong there, by what pictures known.

    A device keeps it with the tick, which counts no more where it is another.
    """
    pictures = (picture_file(picture).rpartition("/")[2] for picture in item.pictures)
    return " ".join(["" if item.count is None else str(item.count), *pictures])


def names_cards(block: Items) -> bool:
    """Whether the rows are other cards, as in the key to the colours."""
    return not block.ticks and all(item.link and item.count is None for item in block.items)


def is_of_words(table: Matrix) -> bool:
    """Whether a row can be read by itself, so that a small screen may stack it; figures are compared down a column."""
    return len(table.numbers) < len(table.head) - 1


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedCopy:
    """The PDF beside the site that one prints a card from, and the page on which the card begins, if it is known."""

    path: str
    page: int | None = None

    @property
    def file(self) -> str:
        return self.path.rpartition("/")[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherLanguage:
    """The same page in another language; when `same` is false, that language lacks it and `href` is its index."""

    language: str
    name: str
    href: str
    same: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Here:
    """The page that is being written: its words, every address as seen from it, and what frames it.

    `title` is what the page is called, `tint` colours the frame. `handbooks` are those of every language.
    """

    handbook: Handbook
    path: str
    title: str
    handbooks: Sequence[Handbook]
    tint: str = ""

    @property
    def root(self) -> str:
        """The way up to the site's top: ``../`` for ``r/teal.html``."""
        return "../" * self.path.count("/")

    @property
    def words(self) -> MessageCatalog:
        return self.handbook.words

    @property
    def within(self) -> str:
        """The path within the folder of the page's language."""
        return self.path[len(self.handbook.folder) :]

    @property
    def home(self) -> str:
        return self.file(self.handbook.folder + CARD_INDEX)

    @property
    def manifest(self) -> str:
        """The address of what lets a device keep the site as a program of its own, in the page's language."""
        return self.file(self.handbook.folder + MANIFEST)

    @property
    def search(self) -> str:
        return self.file(self.handbook.folder + SEARCH_PAGE)

    @property
    def wall(self) -> str:
        return self.file(self.handbook.folder + WALL_PAGE)

    @property
    def care(self) -> str:
        """The address of the rules and their sources; empty where no page has them."""
        return next((self.card(card.id) for card in self.handbook.cards if card.kind == "care"), "")

    @property
    def others(self) -> tuple[OtherLanguage, ...]:
        """The page in the other languages."""
        return tuple(
            OtherLanguage(
                language=other.language,
                name=other.words("site.language"),
                href=self.file(other.folder + (self.within if _has(other, self.within) else CARD_INDEX)),
                same=_has(other, self.within),
            )
            for other in self.handbooks
            if other.language != self.handbook.language
        )

    def file(self, path: str) -> str:
        """The address of a file of the site."""
        return self.root + quote(path)

    def copy(self, copy: PrintedCopy) -> str:
        """The address of a printed copy, at its page. Every viewer that can open a file at a page knows ``#page=``."""
        return self.file(copy.path) + (f"#page={copy.page}" if copy.page else "")

    def picture(self, picture: Picture) -> str:
        return self.file(picture_file(picture))

    def card(self, card_id: str) -> str:
        """The address of another card's page."""
        if card_id not in self.handbook.by_id:
            raise PublishError(f"'{self.path}' points to the card '{card_id}', which is not there")
        return self.file(card_page(self.handbook, card_id))

    def place(self, place: str) -> str:
        """The address of a place on a card's page: ``plan/reasons#stock.core``."""
        card_id, _, anchor = place.partition("#")
        return f"{self.card(card_id)}#{quote(anchor)}"

    def href(self, href: str) -> str:
        """The address that running text gives: ``#id`` is another card. Empty when it must not be followed."""
        if href.startswith("#"):
            return self.card(href[1:])
        return href if urlsplit(href).scheme.lower() in SCHEMES else ""


def _has(other: Handbook, within: str) -> bool:
    if within.endswith(EARLIER):
        return bool(other.earlier.get(within.removesuffix(EARLIER)))
    card_id = within.removesuffix(".html")
    gone = any(card.id == card_id for card in other.withdrawn)
    return within in (CARD_INDEX, SEARCH_PAGE, WALL_PAGE, PLAN_PAGE) or card_id in other.by_id or gone
