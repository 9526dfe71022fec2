"""The kinds of block that a card is made of, as plain data.

A block holds *what* is shown, in the words of one language; HTML, PDF and terminal draw it. Nothing here knows what a
chair is, and nothing here knows HTML or Typst. Every field declares its purpose, from which the rest is derived.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Annotated, Literal, TypeAlias, get_args

from kitdocs.document.purpose import (
    Answer,
    Key,
    KeyWords,
    Layout,
    Lead,
    PrintedWords,
    Purpose,
    Rows,
    Seen,
    SpacedWords,
    Title,
    Words,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing or a photo. Pictures of the same `name` are the same picture.

    `alt` is its text alternative; empty when the words beside it say the same. The size in
    millimetres is the natural one, at which a drawing that is true to size must be printed.
    """

    name: Seen[str]
    alt: Annotated[str, Purpose.RECORDED | Purpose.WORDS] = ""
    data: Layout[bytes] = field(repr=False)
    format: Layout[Literal["svg", "jpeg"]] = "svg"
    width_mm: Layout[float]
    height_mm: Layout[float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The coloured band by which a card is found from across the room. `word` is a colour's name or a code.

    `colour` and `ink` are sRGB as ``#00766c``. `outlined`: too pale to stand against white paper.
    A band without a colour of its own is drawn white with a black rule.
    """

    word: Words[str]
    name: Words[str]
    note: Words[str] = ""
    colour: Seen[str] = "#ffffff"
    ink: Seen[str] = "#000000"
    outlined: Seen[bool] = False
    mark: Seen[Picture | None] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    label: KeyWords[str]
    value: Words[str]
    picture: Seen[Picture | None] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Short facts: label and value."""

    facts: Rows[tuple[Fact, ...]]
    title: Title = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One row of a list of things. `count` is how many belong there, `number` its place on a template.

    `id` is stable from edition to edition: ticks are kept by it, and the row is compared by it.
    `link` is the id of the card with more about it. `layer` is the one it lies on, counted from 1, the lowest.
    `whole` shows all of a thing of which `pictures` show a part, at a third of its natural size on paper. `where` says
    where it belongs, with links to other cards; `stands` are the codes of its places in the store,
    with spaces between them.
    """

    id: Key
    name: Words[str]
    detail: Words[str] = ""
    note: Words[str] = ""
    count: Seen[int | None] = None
    number: Seen[int | None] = None
    layer: Seen[int] = 1
    pictures: Seen[tuple[Picture, ...]] = ()
    whole: Seen[Picture | None] = None
    where: Seen[tuple[Span, ...]] = ()
    stands: Words[str] = ""
    link: Key = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Items:
    """A list of things with pictures. `ticks`: the rows can be ticked off at the bench."""

    items: Rows[tuple[Item, ...]]
    title: Title = ""
    ticks: Layout[bool] = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A step; or a question with its `choices` and its `answer`, which a page shows on request.

    Paper never shows the answer: it is on another card. `link` is the card on which the step is done, on a page.
    """

    text: KeyWords[str]
    picture: Seen[Picture | None] = None
    choices: Words[tuple[str, ...]] = ()
    answer: Answer = ""
    link: Annotated[str, Purpose.SCREEN] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """Steps to follow. `numbered` is off for checks and prohibitions, which have no order.

    Steps for when something went wrong are named by their `trigger` (``dropped``), which is their address on a page;
    `heard` is what people say then, by which the search finds them. `also` is what holds beside the steps: what never
    to do, who decides, what is written where. `done` says when nothing is left to do.
    """

    steps: Rows[tuple[Step, ...]]
    title: Title = ""
    numbered: Seen[bool] = True
    also: Words[str] = ""
    done: Words[str] = ""
    trigger: Layout[str] = ""
    heard: Layout[str] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A caution: ISO 3864 yellow with the general warning triangle. Nothing else looks like it."""

    text: Words[str]
    title: Lead = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureBox:
    """A rectangle of a picture, in millimetres of it."""

    left: Annotated[float, Purpose.SCREEN]
    top: Annotated[float, Purpose.SCREEN]
    width: Annotated[float, Purpose.SCREEN]
    height: Annotated[float, Purpose.SCREEN]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Something in a picture that a page opens at a tap. `boxes` are where it is.

    `name` is said aloud; `link` is the id of the card about it, with a row of that card behind ``#`` where one is
    meant; `anchor` is the spot's own name on its page, for links to it, and `code` is what such a link says. `narrow`
    are the boxes in the drawing for a small screen.
    """

    name: Annotated[str, Purpose.SCREEN]
    link: Annotated[str, Purpose.SCREEN]
    anchor: Annotated[str, Purpose.SCREEN]
    code: Annotated[str, Purpose.SCREEN]
    boxes: Annotated[tuple[PictureBox, ...], Purpose.SCREEN]
    narrow: Annotated[tuple[PictureBox, ...], Purpose.SCREEN] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Illustration:
    """A picture that dominates its page. `true_size`: printed at exactly its size in millimetres.

    `layers` that lie one upon the other are drawn one below the other in equal strips, the lowest first. `spots` open
    at a tap. `narrow` shows the same on a small screen, with letters that are large enough there.
    """

    picture: Seen[Picture]
    caption: Words[str] = ""
    true_size: Layout[bool] = False
    layers: Seen[int] = 1
    spots: Annotated[tuple[Spot, ...], Purpose.SCREEN] = ()
    narrow: Annotated[Picture | None, Purpose.SCREEN] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One cell of a table. `tick`: empty on paper but for a box, for a person to tick.

    `anchor` names the row on its page; `more` is a card and such a name there, as ``plan/reasons#stock.core``.
    """

    text: Words[str] = ""
    detail: Words[str] = ""
    picture: Seen[Picture | None] = None
    link: Key = ""
    tick: Seen[bool] = False
    anchor: Annotated[str, Purpose.SCREEN] = ""
    more: Annotated[str, Purpose.SCREEN] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Matrix:
    """A table: `head` names the columns, the first cell of each row names the row.

    `numbers` tells which columns (counting from 0) hold numbers, set flush right.
    """

    head: Words[tuple[str, ...]]
    rows: Rows[tuple[tuple[Cell, ...], ...]]
    title: Title = ""
    numbers: Layout[tuple[int, ...]] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """A chart, the sentence that says what it shows, and the numbers it is drawn from.

    `narrow` shows the same numbers on a small screen, with letters that are large enough there.
    """

    picture: Seen[Picture]
    summary: Words[str]
    table: Seen[Matrix | None] = None
    title: Title = ""
    narrow: Annotated[Picture | None, Purpose.SCREEN] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FormGrid:
    """Ruled rows to be filled in by hand. `widths` are relative, one a column.

    `given` rows come first: their cells are filled in from the left, the other columns are left to the hand. Below them
    stand `rows` empty ones. A given row of one cell heads the rows below it. A grid of empty rows that ends a form has
    on paper as many more as the page holds; one that is `repeated` and ends a form stands there as often as it can.
    """

    columns: Words[tuple[str, ...]]
    widths: Layout[tuple[float, ...]]
    rows: Seen[int]
    fields: Words[tuple[str, ...]] = ()
    title: Title = ""
    given: Rows[tuple[tuple[Cell, ...], ...]] = ()
    repeated: Layout[bool] = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A run of words in one style. `href` is an address, or ``#id`` for another card; `code` is typed as it stands."""

    text: SpacedWords[str]
    strong: Seen[bool] = False
    emphasis: Seen[bool] = False
    href: Layout[str] = ""
    code: Layout[bool] = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """`level` counts from 2: the card's title is level 1. A heading of level 1 heads a group of a card's blocks."""

    text: Words[str]
    level: Seen[int] = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    spans: Seen[tuple[Span, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    items: Seen[tuple[tuple[ProsePart, ...], ...]]
    ordered: Seen[bool] = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """Lines that stand as they are: what is typed into a terminal, or what a file says."""

    text: Annotated[str, Purpose.READ | Purpose.RECORDED | Purpose.WORDS | Purpose.SEARCHED | Purpose.VERBATIM]


ProsePart: TypeAlias = Heading | Paragraph | Listing | Matrix | Sample


@dataclass(frozen=True, slots=True, kw_only=True)
class Prose:
    """Running text, as the practice's own pages have it."""

    parts: Seen[tuple[ProsePart, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """The QR code that opens the card's own page.

    `payload` is the page's address, or, without a site, the card's text itself. `address` is the same for people (empty
    without a site). `note` says what to do with it.
    """

    payload: Annotated[str, Purpose.READ | Purpose.RECORDED | Purpose.VERBATIM | Purpose.ALWAYS]
    address: PrintedWords[str]
    edition: Layout[str]
    note: PrintedWords[str]
    picture: Annotated[Picture, Purpose.PAPER]

    @property
    def encoded(self) -> str:
        """The payload with the card's edition: behind ``#`` in an address, else on a line of its own."""
        mark = "#" if self.address else "\n"
        return f"{self.payload}{mark}{self.edition}" if self.edition else self.payload


Block: TypeAlias = (
    Band | Facts | Items | Steps | Caution | Illustration | Matrix | Chart | FormGrid | Prose | Code | Heading
)


def kind_of(thing: object) -> str:
    """Return the name outside Python of a block's or part's kind, or of a kind itself: ``form-grid`` for `FormGrid`."""
    return _named(thing if isinstance(thing, type) else type(thing))


@cache
def _named(kind: type) -> str:
    return re.sub(r"(?<=[a-z])(?=[A-Z])", "-", kind.__name__).lower()


#: The register of block kinds, by name: blocks, and the parts of prose that are drawn like them.
KINDS: Mapping[str, type] = {kind_of(kind): kind for kind in (*get_args(Block), *get_args(ProsePart))}


def said(*sentences: str) -> Prose:
    """Return sentences as one paragraph."""
    return Prose(parts=(Paragraph(spans=(Span(text=" ".join(sentences)),)),))
