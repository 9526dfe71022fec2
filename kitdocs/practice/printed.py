"""What was printed and hung: the acts of printing that the practice folder records, and what hangs by them.

An act is one small file in ``printed/``, written once and never changed. Together they say what hangs where; two
people's acts of one day are two files, so that their folders merge.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from types import MappingProxyType
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field, StrictFloat, StrictInt, StrictStr, WithJsonSchema

from kitdocs.practice.record import Record
from kitdocs.practice.values import LANGUAGE_PATTERN

#: The sub-folder of the practice folder that holds the acts.
PRINTED = "printed"
#: So many letters has the name or role of who hung the cards, at most.
LONGEST_NAME = 80
#: A card of one language: card id and language code.
CardKey = tuple[str, str]


def day(value: Any) -> str:
    """A day as ISO 8601 writes it."""
    try:
        if isinstance(value, str) and len(value) == 10:
            return date.fromisoformat(value).isoformat()
    except ValueError:
        pass
    raise ValueError(f"'{value}' is not a day as in '2026-11-25'")


def _blocks(value: Any) -> tuple[Mapping[str, Any], ...]:
    """The blocks of one side of a card: a JSON object a line, or the blocks themselves."""
    blocks = [_block(line) for line in value.split("\n") if line.strip()] if isinstance(value, str) else value
    if not isinstance(blocks, list | tuple):
        raise ValueError(f"'{value}' cannot stand here; kitdocs writes one block a line")
    for number, block in enumerate(blocks, 1):
        if not isinstance(block, dict) or not isinstance(block.get("is"), str):
            raise ValueError(f"line {number} of this text is not as kitdocs wrote it; fetch the file as it was")
    return tuple(blocks)


def _block(line: str) -> Any:
    try:
        return json.loads(line)
    except (ValueError, RecursionError):
        return None


_Frozen = AfterValidator(MappingProxyType)
Day = Annotated[str, BeforeValidator(day), WithJsonSchema({"type": "string", "examples": ["2026-11-25"]})]
Blocks = Annotated[
    tuple[Mapping[str, Any], ...], BeforeValidator(_blocks), WithJsonSchema({"type": "string", "examples": ["|"]})
]
EditionCode = Annotated[str, Field(pattern="^[2-9A-Z]{4,12}$", examples=["4X8JM"])]
Language = Annotated[str, Field(pattern=LANGUAGE_PATTERN)]
Amount = StrictInt | StrictFloat | StrictStr


class PrintedCard(Record):
    """A card as it was printed: what a person reads on it, its edition, and where it was put.

    `front` and `back` are its blocks as plain data; both are empty when an earlier act holds the same edition.
    `sheets` are the labels of its sheets in the binder.
    """

    card: Annotated[str, Field(min_length=1, max_length=200)]
    language: Language
    edition: EditionCode
    title: str
    subtitle: str = ""
    section: str = ""
    hangs: str = ""
    place: str = ""
    sheets: tuple[str, ...] = ()
    front: Blocks = ()
    back: Blocks = ()

    @property
    def key(self) -> CardKey:
        return self.card, self.language


class TakenOut(Record):
    """A card that was taken down or out, because the handbook no longer has it."""

    card: Annotated[str, Field(min_length=1, max_length=200)]
    language: Language


class PrintAct(Record):
    """One act of printing and hanging. `follows` names the acts that were known when it was written.

    `figures` are the plan's by id and `inputs` what they were worked out from, by path, as written in the folder.
    """

    date: Day
    by: Annotated[str, Field(max_length=LONGEST_NAME)] = ""
    """A name, or better a role."""
    follows: tuple[str, ...] = ()
    cards: tuple[PrintedCard, ...] = ()
    taken_out: tuple[TakenOut, ...] = ()
    figures: Annotated[Mapping[str, Amount], _Frozen] = Field(default_factory=dict, validate_default=True)
    inputs: Annotated[Mapping[str, Amount], _Frozen] = Field(default_factory=dict, validate_default=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hanging:
    """A card that was printed, and the act (its name and day) that says so."""

    card: PrintedCard
    act: str
    date: str


@dataclass(frozen=True, kw_only=True)
class PrintRecord:
    """All acts, by name (``2026-11-25-4X8JM``). What it says does not depend on the order in which they were read."""

    acts: Mapping[str, PrintAct] = field(default_factory=dict)

    @cached_property
    def in_order(self) -> tuple[str, ...]:
        """The names of the acts: by day; of one day, each after those that it follows."""
        return tuple(sorted(self.acts, key=lambda name: (self.acts[name].date, self._depths[name], name)))

    @cached_property
    def latest(self) -> tuple[str, ...]:
        """The acts that no other follows: one, or several where people recorded beside each other."""
        followed = {name for act in self.acts.values() for name in act.follows}
        return tuple(name for name in self.in_order if name not in followed)

    @cached_property
    def printings(self) -> Mapping[CardKey, tuple[Hanging, ...]]:
        """Every printing of every card, the latest last, each with its blocks."""
        found: dict[CardKey, list[Hanging]] = {}
        for name, act in self._acts_in_order():
            for card in act.cards:
                before = found.setdefault(card.key, [])
                found[card.key].append(Hanging(card=_with_blocks(card, before), act=name, date=act.date))
        return MappingProxyType({key: tuple(cards) for key, cards in found.items()})

    @cached_property
    def hanging(self) -> Mapping[CardKey, Hanging]:
        """What hangs now, by card and language: the latest printing of each that was not taken out since.

        What somebody else printed on the day on which it was taken out may hang, and so does.
        """
        of_act = {(hung.act, key): hung for key, printings in self.printings.items() for hung in printings}
        up: dict[CardKey, Hanging] = {}
        for name, act in self._acts_in_order():
            up |= {card.key: of_act[name, card.key] for card in act.cards}
            for gone in act.taken_out:
                key = (gone.card, gone.language)
                if key in up and not self._rivals(up[key].act, name):
                    del up[key]
        return MappingProxyType(up)

    @cached_property
    def disputed(self) -> Mapping[CardKey, tuple[str, ...]]:
        """Cards of which two acts of one day, written without knowing each other, name other editions: all of these."""
        found: dict[CardKey, tuple[str, ...]] = {}
        for key, last in self.hanging.items():
            others = [hung for hung in self.printings[key] if self._rivals(hung.act, last.act)]
            editions = dict.fromkeys(hung.card.edition for hung in (*others, last))
            if len(editions) > 1:
                found[key] = tuple(editions)
        return MappingProxyType(found)

    def _rivals(self, one: str, other: str) -> bool:
        """Whether two acts are of one day, and neither was known when the other was written."""
        same_day = one != other and self.acts[one].date == self.acts[other].date
        return same_day and one not in self._before(other) and other not in self._before(one)

    def _before(self, name: str) -> frozenset[str]:
        """The acts that an act follows, and those that they follow."""
        found: set[str] = set()
        waiting = [name]
        while waiting:
            new = {known for known in self.acts[waiting.pop()].follows if known in self.acts} - found
            found |= new
            waiting += new
        return frozenset(found)

    def _acts_in_order(self) -> Iterator[tuple[str, PrintAct]]:
        return ((name, self.acts[name]) for name in self.in_order)

    @cached_property
    def _depths(self) -> Mapping[str, int]:
        """How many acts stand before each on the longest way back; acts that follow each other in a ring count once."""
        depths: dict[str, int] = {}
        waiting = set(self.acts)
        while waiting:
            ready = {name for name in waiting if not waiting & set(self.acts[name].follows) - {name}} or set(waiting)
            depths |= {
                name: 1 + max((depths[other] for other in self.acts[name].follows if other in depths), default=0)
                for name in ready
            }
            waiting -= ready
        return depths


def _with_blocks(card: PrintedCard, before: list[Hanging]) -> PrintedCard:
    """The card with the blocks of an earlier printing of the same edition where it has none itself."""
    if card.front or card.back:
        return card
    same = next((h.card for h in reversed(before) if h.card.edition == card.edition), None)
    return card.model_copy(update={"front": same.front, "back": same.back}) if same else card
