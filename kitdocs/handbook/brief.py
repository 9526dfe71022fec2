"""Input of every card: the practice, its plan, and the messages of one language."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from kitdocs.document.catalog import MessageCatalog, catalog_for
from kitdocs.planning.buying.supplies import SupplyUse
from kitdocs.planning.plan import Plan
from kitdocs.practice.colours import Colour
from kitdocs.practice.model import Practice
from kitdocs.practice.store_places import StoredKind
from kitdocs.practice.values import Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """Practice, plan and messages behind the cards of one language, and the names they use."""

    practice: Practice
    plan: Plan
    words: MessageCatalog

    @property
    def language(self) -> str:
        return self.words.language

    def say(self, text: Text) -> str:
        """Return a text of the practice in this language."""
        return text.in_language(self.language)

    def instrument(self, instrument: str) -> str:
        return self.say(self.practice.instruments[instrument].name)

    def pouch(self, pouch: str) -> str:
        return self.say(self.practice.pouches[pouch].name)

    def code_and_kind(self, pouch: str) -> str:
        """Return the code on a pouch's label and the kind of pouch: ``BB · drawer pouch``."""
        record = self.practice.pouches[pouch]
        return f"{record.code} · {self.words(f'card.pouch-kind.{record.kind}')}"

    def set(self, set_id: str) -> str:
        return self.say(self.practice.sets[set_id].name)

    def pack(self, pack: str) -> str:
        """Return the name of a set or pouch."""
        return self.set(pack) if pack in self.practice.sets else self.pouch(pack)

    def code(self, pack: str) -> str:
        """Return the code on the label of a set or pouch."""
        return (self.practice.sets.get(pack) or self.practice.pouches[pack]).code

    def stands(self, pack: str) -> tuple[str, ...]:
        """Return the codes of the places of a set or pouch in the store; empty where the practice states none.

        A place that is worked out stands on the storage card and on its label: it moves when counts do, and no card
        that hangs elsewhere shall have to be replaced for that.
        """
        record = self.practice.sets.get(pack) or self.practice.pouches[pack]
        return self.plan.places.get(pack, ()) if record.place else ()

    def at_stated_place(self, words: str, pack: str) -> str:
        """Return words about a set or pouch, and where the practice says that it stands: ``CO · at A1``."""
        return " · ".join((words, *(self.words("card.at", place=place) for place in self.stands(pack))))

    def lies(self, kind: StoredKind, id_: str, supply: str = "") -> str:
        """Return where a spare or something that is used up lies: ``at D1``; empty where it has no place.

        Where the practice does not say, it is the first drawer for such things, which no count moves.
        """
        found = (one.code for one in self.plan.store if (one.kind, one.id, one.supply) == (kind, id_, supply))
        place = next(found, "")
        return self.words("card.at", place=place) if place else ""

    def procedure(self, procedure: str) -> str:
        return self.say(self.practice.procedures[procedure].name)

    def chair(self, chair: str) -> str:
        return self.say(self.practice.chairs[chair].name)

    def supply(self, use: SupplyUse) -> str:
        room = self.practice.room
        if use.kind == "sheet":
            return self.say(room.sheets[use.id].name)
        if use.kind == "single-use":
            return self.instrument(use.id)
        return self.say(room.pouch_sizes[use.id].name) if use.kind == "pouch" else self.words(f"card.supply.{use.kind}")

    def colour(self, colour: Colour) -> str:
        """Return the name of a colour in this language: teal."""
        return self.words(f"colour.{colour.plain}") if colour.plain else self.say(colour.name)

    def procedures_of(self, pouch: str, chair: str = "") -> list[str]:
        """Return the names of the procedures that use a pouch, at one chair or at any."""
        return [
            self.procedure(procedure)
            for procedure, record in self.practice.procedures.items()
            if pouch in {*record.add_ons, *self.plan.drawer_pouches[procedure]}
            and (not chair or chair in self.practice.chairs_for(procedure))
        ]

    def contents(self, instruments: Iterable[str]) -> str:
        """Return the contents of a pouch as one line: ``bird-beak plier · scissors × 2``."""
        counted = Counter(instruments)
        return " · ".join(
            self.instrument(name) + (f" × {count}" if count > 1 else "") for name, count in counted.items()
        )

    def share(self, share: float) -> str:
        """Return a share of visits, never rounded to another and never broken between two lines: ``12 %``."""
        return self.words.percent(share, 4).replace(" ", "\u00a0")

    def listed(self, names: Iterable[str]) -> str:
        """Join names as in a sentence: ``a, b and c``."""
        *most, last = list(names) or [""]
        return f"{', '.join(most)} {self.words('card.and')} {last}" if most else last

    def length(self, mm: float) -> str:
        """Format a length: with inches for Letter paper, in millimetres always."""
        metric = f"{mm:.0f} mm"
        return f"{inches(mm)} in ({metric})" if self.practice.settings.paper == "letter" else metric

    def size(self, width_mm: float, length_mm: float) -> str:
        """Format a flat size, width first."""
        metric = f"{width_mm:.0f} × {length_mm:.0f} mm"
        if self.practice.settings.paper != "letter":
            return metric
        return f"{inches(width_mm)} × {inches(length_mm)} in ({metric})"


def brief_for(practice: Practice, plan: Plan, language: str | None = None) -> Brief:
    """Return the brief in a language, the practice's first by default. Raises `KitdocsError` when nobody speaks it."""
    words = catalog_for(language or practice.settings.languages[0], practice.words)
    return Brief(practice=practice, plan=plan, words=words)


_FRACTIONS = {0: "", 1: "¼", 2: "½", 3: "¾"}


def inches(mm: float) -> str:
    """Format millimetres as inches, to the nearest quarter: ``3½``."""
    whole, quarters = divmod(round(mm / 25.4 * 4), 4)
    return f"{whole or ''}{_FRACTIONS[quarters]}" or "0"
