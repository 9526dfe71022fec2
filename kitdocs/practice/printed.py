"""Print runs as the practice folder records them, and the cards that are posted by them.

A run is one small file in ``printed/``, written once and never changed. Together the runs say which card is posted
where. Two people's runs of one day are two files, so that their folders merge.
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

#: The sub-folder of the practice folder that holds the runs.
PRINTED = "printed"
#: Longest name or role of the person who posted the cards (letters).
LONGEST_NAME = 80
#: A card of one language: card id and language code.
CardKey = tuple[str, str]


def day(value: Any) -> str:
    """Return a day in ISO 8601. Raises `ValueError` for anything else."""
    try:
        if isinstance(value, str) and len(value) == 10:
            return date.fromisoformat(value).isoformat()
    except ValueError:
        pass
    raise ValueError(f"'{value}' is not a day as in '2026-11-25'")


def _blocks(value: Any) -> tuple[Mapping[str, Any], ...]:
    """Return the blocks of one side of a card, from one JSON object per line or from the blocks themselves."""
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
    """A card as it was printed: its words, its edition, and the kind of place where it was posted.

    `front` and `back` are its blocks as plain data; both are empty when an earlier run holds the same edition.
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


class PrintedLabel(Record):
    """A label or mark as it was printed. `label` is the id of what it labels, `text` what is read on it.

    `edition` changes with anything that is seen on it. `count` is how many there should be. `on` is the id of the
    cassette that carries it.
    """

    kind: Annotated[str, Field(min_length=1, max_length=40)]
    label: Annotated[str, Field(min_length=1, max_length=200)]
    language: Language
    edition: EditionCode
    text: str = ""
    count: Annotated[StrictInt, Field(ge=0, le=100_000)] = 1
    on: Annotated[str, Field(max_length=200)] = ""


class TakenOut(Record):
    """A card that was taken down because the handbook no longer has it."""

    card: Annotated[str, Field(min_length=1, max_length=200)]
    language: Language


class PrintRun(Record):
    """One print run. `follows` names the runs that were known when it was written.

    `figures` are the plan's, by id. `inputs` are the values behind them, by path, as written in the folder.
    """

    date: Day
    by: Annotated[str, Field(max_length=LONGEST_NAME)] = ""
    """A name, or better a role."""
    follows: tuple[str, ...] = ()
    cards: tuple[PrintedCard, ...] = ()
    taken_out: tuple[TakenOut, ...] = ()
    labels: tuple[PrintedLabel, ...] = ()
    """All labels of each language that has any here."""
    figures: Annotated[Mapping[str, Amount], _Frozen] = Field(default_factory=dict, validate_default=True)
    inputs: Annotated[Mapping[str, Amount], _Frozen] = Field(default_factory=dict, validate_default=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class PostedCard:
    """A printed card, and the name and day of its run."""

    card: PrintedCard
    run: str
    date: str


@dataclass(frozen=True, kw_only=True)
class PrintRecord:
    """All runs by name (``2026-11-25-4X8JM``), whatever the order in which they were read."""

    runs: Mapping[str, PrintRun] = field(default_factory=dict)

    @cached_property
    def in_order(self) -> tuple[str, ...]:
        """The names of the runs by day; on one day, each after those that it follows."""
        return tuple(sorted(self.runs, key=lambda name: (self.runs[name].date, self._depths[name], name)))

    @cached_property
    def latest(self) -> tuple[str, ...]:
        """The runs that no other follows: one, or several where people recorded independently."""
        followed = {name for run in self.runs.values() for name in run.follows}
        return tuple(name for name in self.in_order if name not in followed)

    @cached_property
    def printings(self) -> Mapping[CardKey, tuple[PostedCard, ...]]:
        """Every printing of every card, the latest last, each with its blocks."""
        found: dict[CardKey, list[PostedCard]] = {}
        for name, run in self._runs_in_order():
            for card in run.cards:
                before = found.setdefault(card.key, [])
                found[card.key].append(PostedCard(card=_with_blocks(card, before), run=name, date=run.date))
        return MappingProxyType({key: tuple(cards) for key, cards in found.items()})

    @cached_property
    def posted(self) -> Mapping[CardKey, PostedCard]:
        """The cards posted now, by card and language: the latest printing of each that was not taken out since.

        A card that one person printed on the day on which another took it out may be posted, and so counts.
        """
        by_run = {(printed.run, key): printed for key, printings in self.printings.items() for printed in printings}
        up: dict[CardKey, PostedCard] = {}
        for name, run in self._runs_in_order():
            up |= {card.key: by_run[name, card.key] for card in run.cards}
            for gone in run.taken_out:
                key = (gone.card, gone.language)
                if key in up and not self._rivals(up[key].run, name):
                    del up[key]
        return MappingProxyType(up)

    @cached_property
    def labels(self) -> Mapping[str, tuple[PrintedLabel, ...]]:
        """The labels and marks that were recorded last, by language."""
        found: dict[str, tuple[PrintedLabel, ...]] = {}
        for _, run in self._runs_in_order():
            for language in dict.fromkeys(label.language for label in run.labels):
                found[language] = tuple(label for label in run.labels if label.language == language)
        return MappingProxyType(found)

    @cached_property
    def disputed(self) -> Mapping[CardKey, tuple[str, ...]]:
        """The editions that two independent runs of one day name for a card, where they disagree."""
        found: dict[CardKey, tuple[str, ...]] = {}
        for key, last in self.posted.items():
            others = [printed for printed in self.printings[key] if self._rivals(printed.run, last.run)]
            editions = dict.fromkeys(printed.card.edition for printed in (*others, last))
            if len(editions) > 1:
                found[key] = tuple(editions)
        return MappingProxyType(found)

    def _rivals(self, one: str, other: str) -> bool:
        """Whether two runs are of one day, and neither was known when the other was written."""
        same_day = one != other and self.runs[one].date == self.runs[other].date
        return same_day and one not in self._before(other) and other not in self._before(one)

    def _before(self, name: str) -> frozenset[str]:
        """Return the runs that a run follows, and those that they follow."""
        found: set[str] = set()
        waiting = [name]
        while waiting:
            new = {known for known in self.runs[waiting.pop()].follows if known in self.runs} - found
            found |= new
            waiting += new
        return frozenset(found)

    def _runs_in_order(self) -> Iterator[tuple[str, PrintRun]]:
        return ((name, self.runs[name]) for name in self.in_order)

    @cached_property
    def _depths(self) -> Mapping[str, int]:
        """The number of runs before each on the longest way back; runs that follow each other in a ring count once."""
        depths: dict[str, int] = {}
        waiting = set(self.runs)
        while waiting:
            ready = {name for name in waiting if not waiting & set(self.runs[name].follows) - {name}} or set(waiting)
            depths |= {
                name: 1 + max((depths[other] for other in self.runs[name].follows if other in depths), default=0)
                for name in ready
            }
            waiting -= ready
        return depths


def _with_blocks(card: PrintedCard, before: list[PostedCard]) -> PrintedCard:
    """Return the card with the blocks of an earlier printing of the same edition where it has none itself."""
    if card.front or card.back:
        return card
    same = next((h.card for h in reversed(before) if h.card.edition == card.edition), None)
    return card.model_copy(update={"front": same.front, "back": same.back}) if same else card
