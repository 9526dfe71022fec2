"""Everything one list comes to: records, what only a person can settle, merged names, and what was not used."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any

from kitdocs.importing.grids import Grid
from kitdocs.practice.message import Message, message

#: What an answer in import.yaml is about: ``("names", "weingarts")``, ``("columns", "instruments", "qty")``.
About = tuple[str, ...]

#: An answer that says: leave it out.
NOTHING = "-"


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtRecord:
    """A record, or a line of a table, for the practice folder; each value as it is written there."""

    stem: str
    """The file: ``instruments``, ``stock``, ``chairs``, ``cassettes``, ``procedures``, ``schedule``, ``practice``."""
    id: str
    """Its id, or what the line is about; '' for a line of a table without a key, and for settings of practice.yaml."""
    fields: Mapping[str, Any]
    """Texts, numbers, lists and mappings of these: ``{"name": "Howe plier", "length": "140 mm"}``."""
    sources: tuple[str, ...] = ()
    """Where it comes from: ``inventory.xlsx, Pliers, B7``. Never a value."""
    usual: tuple[str, ...] = ()
    """Fields that the list did not say, and that were filled in with what is usual."""
    notes: tuple[Message | str, ...] = ()
    """What is said in a comment above a new record."""


@dataclass(frozen=True, slots=True)
class RefusedWord:
    """A part of an answer that is not understood."""

    word: str
    near: str = field(default="", kw_only=True)
    """What is most likely meant; '' when nothing is."""
    why: Message = field(kw_only=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """Why an answer is not taken; with the parts that are not understood where the rest of it is."""

    why: tuple[Message, ...]
    words: tuple[RefusedWord, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """One thing that only a person can settle. It is asked once; the answer is kept in import.yaml under `about`."""

    about: About
    asked: Message
    choices: Mapping[str, Message | str] = field(default_factory=dict)
    """What can be answered, and what each answer means; empty where any text can be. `NOTHING` leaves it out."""
    suggested: str = ""
    """The answer that is most likely right; '' when nothing is."""
    sure: float = 0.0
    """How sure the suggestion is, from 0 to 1."""
    why: Message | str = ""
    sources: tuple[str, ...] = ()
    needed: bool = True
    """Whether something is left out as long as it is not answered."""
    any_text: bool = False
    """Whether any text can be answered beside the choices; without choices it always can."""
    check: Callable[[str], Refused | None] | None = None
    """Says why a text is not taken; None where every text is, or only the choices are."""

    def refuses(self, answer: str) -> Refused | None:
        """Return why an answer is not taken, None when it is."""
        if answer in self.choices:
            return None
        if self.choices and not self.any_text:
            return Refused(why=(message("import.refused.choice", answers=", ".join(self.choices)),))
        return self.check(answer) if self.check else None


@dataclass(frozen=True, slots=True, kw_only=True)
class MergedName:
    """A name in the list that was taken for a thing with another name: the review list."""

    written: str
    meant: str
    """The id that it was taken for."""
    sure: float
    why: Message | str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnusedCells:
    """Cells that were not used. `where` names them, never what is in them: a column that is not mapped stays unread."""

    where: str
    why: Message | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What was found in a list."""

    records: tuple[BroughtRecord, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    merged: tuple[MergedName, ...] = ()
    unused: tuple[UnusedCells, ...] = ()
    likely: Mapping[About, str] = field(default_factory=dict)
    """What the lists make likely of what they do not say surely enough, to be suggested where it is asked."""
    remembered: Mapping[About, str] = field(default_factory=dict)
    """What was understood without a question, and is kept so that the next list is understood alike."""
    told: tuple[Message, ...] = ()
    """What else a person should know: what does not count, and what was not stated because of too little."""
    details: tuple[Message, ...] = ()
    """On how much each figure rests; it stands beside a new record, too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known before a list is read: the answers so far, and the folder's records, plain, by file and id."""

    answers: Mapping[About, str] = field(default_factory=dict)
    records: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    folder: Path | None = None
    language: str = "en"
    """In which names are given."""

    def answer(self, *about: str) -> str | None:
        """Return what was answered, None when it never was. Case and blanks of what it is about do not count."""
        return self.answers.get(as_about(*about))

    def chosen(self, *about: str, among: Collection[str]) -> str | None:
        """Return what was answered if it is one of the choices, else None: then it is asked again."""
        answer = self.answer(*about)
        return answer if answer in among else None

    def of(self, stem: str) -> Mapping[str, Any]:
        """Return the records of one file of the folder by id; empty when there are none."""
        return self.records.get(stem, MappingProxyType({}))


def as_about(*parts: str) -> About:
    """Return what an answer is about, as it is looked up: small letters, one blank between words."""
    return tuple(" ".join(part.casefold().split()) for part in parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class KindOfList:
    """A kind of list that can be brought in.

    A module in `importing/kinds/` with a `KIND` is all it takes. It refuses columns that look like people itself: it
    knows which headings are its own (`people.looks_like_people`).
    """

    name: str
    """An id; what it is called stands in words/*/import.yaml under `kind`."""
    score: Callable[[Grid, Known], float]
    """How surely a sheet is such a list, from 0 to 1, by its headings."""
    take: Callable[[Sequence[Grid], Known], Found]
    """What sheets come to: all of this kind, of every file; of one file with `whole_file`."""
    whole_file: bool = False
    """Whether all sheets of a file belong together, recognised or not; else each is recognised for itself."""
    speaks_of: tuple[str, ...] = ()
    """The files whose records it speaks of (``chairs``): it is taken last, and knows what the other lists bring."""
    reads: Mapping[str, Callable[[Path], tuple[Grid, ...]]] = field(default_factory=dict)
    """Readers of further kinds of file, by suffix: ``.ics``."""
