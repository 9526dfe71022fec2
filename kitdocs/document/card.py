"""Cards, each a heading, an edition and a list of blocks; and the handbook, all cards of one language in order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from kitdocs.document.blocks import Block
from kitdocs.document.catalog import MessageCatalog
from kitdocs.document.history import EarlierEdition, WithdrawnCard
from kitdocs.document.label_sheet import LabelSheet
from kitdocs.document.purpose import Words
from kitdocs.practice.kinds import Area

CardKind = Literal[
    "first-day",
    "key",
    "map",
    "room",
    "template",
    "refill-chair",
    "refill-add-on",
    "refill-set",
    "pouch-list",
    "chair-side",
    "load-guide",
    "wrap-guide",
    "pouch-guide",
    "storage-map",
    "stock",
    "instruments",
    "poster",
    "form",
    "move",
    "training",
    "repair",
    "spore-test",
    "page",
    "procedures",
    "procedure",
    "pictures",
    "instrument",
    "round",
    "current-cards",
    "mishaps",
    "care",
    "plan",
    "guide",
]

#: Posting locations of printed cards, in the order of a walk through the room.
PostingLocation: TypeAlias = Literal[
    "entrance", "wall", "bench", "machine", "storage", "chair", "drawer", "staff-room", "binder"
]

#: How a card is printed: *wall* cards have the practice's card size, a front and a back; a *template* is at true size,
#: for the packing table; a *poster* is posted by itself and is not in the binder; a *paper* is printed for one occasion
#: and not kept; a *page* is on the site only; everything else is a *sheet*.
Form = Literal["wall", "sheet", "template", "poster", "paper", "page"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One card. `id` is also the address of its page: ``r/teal`` is ``r/teal.html``.

    `edition` is a short code of the content, the same as long as the content is the same.
    `hangs` says in words where the printed card belongs, `place` which kind of place that is, `copies` how many of it
    are posted. `next` is the card that a person takes up after this one.
    `back` is the back of a wall card; on a page it follows the front. `landscape`: a sheet that lies on its long side.
    `area` is the part of the reprocessing room that a card is about, if it is about one.
    In the binder the card goes on on the sheets of the one that it is the `back_of`. Two that follow each other in a
    section and may each be in a pair (`pairs`) share a sheet.
    """

    id: str
    kind: CardKind
    form: Form = "sheet"
    title: Words[str]
    subtitle: Words[str] = ""
    edition: str = ""
    section: Words[str]
    hangs: Words[str] = ""
    place: PostingLocation = "binder"
    copies: int = 1
    front: tuple[Block, ...]
    back: tuple[Block, ...] = ()
    next: str = ""
    landscape: bool = False
    area: Area | None = None
    back_of: str = ""
    pairs: bool = False

    @property
    def blocks(self) -> tuple[Block, ...]:
        return self.front + self.back

    @property
    def is_kept(self) -> bool:
        """Whether a printed copy is kept somewhere, and so must be kept up to date."""
        return self.form not in ("paper", "page")

    @property
    def in_binder(self) -> bool:
        return self.is_kept and self.form != "poster"


def is_name(subtitle: str) -> bool:
    """Whether a subtitle is a name, as a chair's colour and a set's code are; a longer one is a sentence."""
    return 0 < len(subtitle) <= 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Handbook:
    """Every card of one language, in the order of the binder.

    `language` is the one of this handbook; `languages` all that the practice lists, the first one first.
    `paper` is ``letter`` or ``a4``. `card_mm` is the size of a wall card, width and height. `text_mm` is the least
    height of a capital letter on a wall card; `poster_from_mm` the distance from which the poster is read.
    `words` is what kitdocs itself says in this language.
    `earlier` holds, by card id, the editions that were printed before the present one, the latest first, and
    `withdrawn` the printed cards that the handbook no longer has; `sheets` holds, by card id, the labels of the sheets
    that a card was given in the printed binder, and, by names of no card, labels that stay taken. All three are empty
    when nothing was recorded. `labels` are the sheets of labels and tags. `lead` is whom to ask about a card: a role,
    and where to find it; empty when the practice names nobody. `ask` is everybody to ask, each a role and where it is
    found. `rounds` are the times of a day, in minutes after
    midnight, at which ticks on the pages begin anew; none: at midnight. `back` is after how many minutes without a
    touch a tablet on the wall is back at the chairs, `night` from when to when it goes dim, in minutes after midnight.
    """

    practice: str
    language: str
    words: MessageCatalog
    languages: tuple[str, ...]
    site: str = ""
    lead: str = ""
    ask: tuple[tuple[str, str], ...] = ()
    rounds: tuple[int, ...] = ()
    back: float = 3.0
    night: tuple[int, int] = (20 * 60, 6 * 60)
    paper: Literal["letter", "a4"]
    card_mm: tuple[float, float] = (152.4, 101.6)
    text_mm: float = 2.5
    poster_from_mm: float = 2000.0
    cards: tuple[Card, ...]
    earlier: Mapping[str, tuple[EarlierEdition, ...]] = field(default_factory=dict)
    withdrawn: tuple[WithdrawnCard, ...] = ()
    sheets: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    labels: tuple[LabelSheet, ...] = ()
    by_id: Mapping[str, Card] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_id", {card.id: card for card in self.cards})

    @property
    def folder(self) -> str:
        """The site's folder for this language: the first language lives at the top."""
        return "" if self.language == self.languages[0] else f"{self.language}/"

    @property
    def kept(self) -> tuple[Card, ...]:
        """The cards of which a printed copy is kept."""
        return tuple(card for card in self.cards if card.is_kept)

    def card(self, card_id: str) -> Card:
        """Return the card with that id. Raises `KeyError` when there is none."""
        return self.by_id[card_id]

    @property
    def sections(self) -> tuple[tuple[str, tuple[Card, ...]], ...]:
        """The cards by section, both in order."""
        names = dict.fromkeys(card.section for card in self.cards)
        return tuple((name, tuple(c for c in self.cards if c.section == name)) for name in names)
