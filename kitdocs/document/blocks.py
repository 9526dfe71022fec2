"""What a card is made of: about ten kinds of block, as plain data.

A block says *what* is to be shown, in the words of one language; HTML and PDF are two ways to draw it.
Nothing here knows what a chair is, and nothing here knows HTML or Typst.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Literal, TypeAlias


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing or a photo. Pictures of the same `name` are the same picture.

    `alt` is its text alternative; empty when the words beside it say the same. The size in
    millimetres is the natural one, at which a drawing that is true to size must be printed.
    """

    name: str
    alt: str = ""
    data: bytes = field(repr=False)
    format: Literal["svg", "jpeg"] = "svg"
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The coloured band by which a card is found from across the room: mark, `word` (a colour's name, a code), `name`.

    `colour` and `ink` are sRGB as ``#00766c``. `outlined`: too pale to stand against white paper.
    A band without a colour of its own is drawn white with a black rule.
    """

    word: str
    name: str
    note: str = ""
    colour: str = "#ffffff"
    ink: str = "#000000"
    outlined: bool = False
    mark: Picture | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    label: str
    value: str
    picture: Picture | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Short facts: label and value."""

    facts: tuple[Fact, ...]
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One row of a list of things. `count` is how many belong there, `number` its place on a template.

    `id` is stable from edition to edition: ticks are kept by it, and changes are told by it.
    `link` is the id of the card that tells more. `layer` is the one it lies on, counted from 1, the lowest.
    `whole` shows all of a thing of which `pictures` show a part, at a third of its natural size on paper. `where` says
    where it belongs, with links to the cards that tell more.
    """

    id: str
    name: str
    detail: str = ""
    note: str = ""
    count: int | None = None
    number: int | None = None
    layer: int = 1
    pictures: tuple[Picture, ...] = ()
    whole: Picture | None = None
    where: tuple[Span, ...] = ()
    link: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Items:
    """A list of things with pictures. `ticks`: the rows can be ticked off at the bench."""

    items: tuple[Item, ...]
    title: str = ""
    ticks: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A step; or a question, with `choices` to choose from, and its `answer`, which a page shows when it is asked to.

    Paper never shows the answer: it stands on another card.
    """

    text: str
    picture: Picture | None = None
    choices: tuple[str, ...] = ()
    answer: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """What to do, one thing after the other. `numbered` is off for looks and nevers, which have no order."""

    steps: tuple[Step, ...]
    title: str = ""
    numbered: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A caution: ISO 3864 yellow with the general warning triangle. Nothing else looks like it."""

    text: str
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Illustration:
    """A picture that rules its page. `true_size`: printed at exactly its size in millimetres.

    `layers` that lie one upon the other are drawn one below the other in equal strips, the lowest first.
    """

    picture: Picture
    caption: str = ""
    true_size: bool = False
    layers: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One cell of a table. `tick`: empty on paper but for a box, for a person to tick."""

    text: str = ""
    detail: str = ""
    picture: Picture | None = None
    link: str = ""
    tick: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Matrix:
    """A table: `head` names the columns, the first cell of each row names the row.

    `numbers` tells which columns (counting from 0) hold numbers, set flush right.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    title: str = ""
    numbers: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """A chart, the sentence that says what it shows, and the numbers it is drawn from."""

    picture: Picture
    summary: str
    table: Matrix | None = None
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormGrid:
    """Ruled rows to be filled in by hand. `widths` are relative, one a column.

    `given` rows come first: their cells are filled in from the left, the other columns are left to the hand. Below them
    stand `rows` empty ones. A given row of one cell heads the rows below it. A grid of empty rows that ends a form has
    on paper as many more as the page holds.
    """

    columns: tuple[str, ...]
    widths: tuple[float, ...]
    rows: int
    fields: tuple[str, ...] = ()
    title: str = ""
    given: tuple[tuple[Cell, ...], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A run of words in one style. `href` is an address, or ``#id`` for another card."""

    text: str
    strong: bool = False
    emphasis: bool = False
    href: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """`level` counts from 2: the card's title is level 1."""

    text: str
    level: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    spans: tuple[Span, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    items: tuple[tuple[ProsePart, ...], ...]
    ordered: bool = False


ProsePart: TypeAlias = "Heading | Paragraph | Listing | Matrix"


@dataclass(frozen=True, slots=True, kw_only=True)
class Prose:
    """Running text, as the practice's own pages have it."""

    parts: tuple[ProsePart, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """The square code that opens the card's own page.

    `payload` is what the code holds: the page's address with the card's edition behind ``#``, or, without a site,
    the card's text itself. `address` is the same for people (empty without a site). `note` says what to do with it.
    """

    payload: str
    address: str
    edition: str
    note: str
    picture: Picture


Block: TypeAlias = (
    Band | Facts | Items | Steps | Caution | Illustration | Matrix | Chart | FormGrid | Prose | Code | Heading
)


def kind_of(thing: object) -> str:
    """What a block, or a part of one, is called outside of Python: ``form-grid`` for a `FormGrid`."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", "-", type(thing).__name__).lower()


def said(*sentences: str) -> Prose:
    """Sentences as one paragraph."""
    return Prose(parts=(Paragraph(spans=(Span(text=" ".join(sentences)),)),))
