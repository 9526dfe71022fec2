"""Names and ids of instruments: those that the folder has, and new ones."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import Any, get_args

from kitdocs.importing.found import NOTHING, Known
from kitdocs.importing.names import NameMatch, match_name
from kitdocs.importing.trade import kind_name, stem, trade, words_in
from kitdocs.importing.vocabulary import folded
from kitdocs.practice import quantities, values
from kitdocs.practice.kinds import FAMILY_OF, DrawingKind, is_neutral
from kitdocs.practice.message import message
from kitdocs.practice.reading.text_file import UNPRINTABLE
from kitdocs.practice.rules.printing import LONGEST_NAME
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.practice.typeface import printable
from kitdocs.practice.values import as_id

KINDS: frozenset[str] = frozenset(k for part in get_args(DrawingKind) for k in (get_args(part) or (part,)))


def is_section(name: str) -> bool:
    """Whether a name with nothing beside it stands over the lines that follow: ``PLIERS``, ``Tijeras varias:``."""
    words = words_in(name)
    only_family = bool(words) and all(word in trade().families or word in trade().plain for word in words)
    return (name.isupper() or name.endswith(":") or only_family) and not match_name(name).certain


def name_written(text: str) -> str:
    """Return a name as the folder can hold and print it: without letters that it cannot, no longer than cards take."""
    kept = "".join(c if printable(c) and not UNPRINTABLE.search(c) else " " for c in unicodedata.normalize("NFC", text))
    return " ".join(kept.split())[:LONGEST_NAME].strip()


def names_of(id_: str, record: Any) -> list[str]:
    """Return what a record of the folder is called: its name in each language that it is written in, then its id."""
    try:
        written = values.text(record.get("name") if isinstance(record, Mapping) else None)
    except ValueError:
        return [id_]
    return [*filter(None, [written.plain, *(words for _, words in written.by_language)]), id_]


def ids_by_name(records: Mapping[str, Any]) -> dict[str, str]:
    """Return the ids of records by all that they are called, folded; of two with one name, the first."""
    found: dict[str, str] = {}
    for id_, record in records.items():
        for name in names_of(id_, record):
            found.setdefault(folded(name), id_)
    return found


def id_free(wanted: str, taken: set[str]) -> str:
    """Return an id that nothing has yet: the wanted one, or one with a number behind it."""
    wanted = wanted or "instrument"
    number = 2
    found = wanted
    while found in taken:
        found = f"{wanted[:55].rstrip('-')}-{number}"
        number += 1
    return found


def _is_neutral(kind: str | None) -> bool:
    """Whether a kind stands for whatever of a family has no drawing: then the words of a name tell it from others."""
    return kind is None or is_neutral(kind)


def _own_words(name: str) -> tuple[str, ...]:
    words = {word for word in words_in(name) if word not in trade().families and word not in trade().plain}
    return tuple(sorted(words or set(words_in(name)))) or (folded(name),)


class ThingNames:
    """The instruments that a folder has, by all that they can be called."""

    def __init__(self, known: Known) -> None:
        self.language = known.language
        self.currency: str | None = _setting(known, "currency")
        self._ids: dict[str, str] = {}
        self._names: dict[str, str] = {}
        self._by_identity: dict[tuple[str, ...], list[str]] = {}
        self._same = {about[1:2]: about[1:] for about, answer in known.answers.items() if _are_one(about, answer)}
        self.lengths: dict[str, float] = {}
        for id_, record in known.of("instruments").items():
            self._enter(id_, record if isinstance(record, Mapping) else {})

    def _enter(self, id_: str, record: Mapping[str, Any]) -> None:
        name = record.get("name", "")
        names = list(name.values()) if isinstance(name, Mapping) else [name]
        self._ids.setdefault(folded(id_.replace("-", " ")), id_)
        self._names[id_] = self.in_language(name)
        length = str(record.get("length", ""))
        with suppress(ValueError):
            self.lengths[id_] = quantities.length(length)
        for text in filter(None, map(str, names)):
            self._ids.setdefault(folded(text), id_)
            match = match_name(text.removesuffix(f", {length}"))
            if match.certain and match.kind == record.get("drawing"):
                mine = self._by_identity.setdefault(self.new(text.removesuffix(f", {length}"), match), [])
                mine += [id_] if id_ not in mine else []

    def in_language(self, name: Any) -> str:
        """Return a name of the folder, written once or by language, in the language of the folder."""
        if isinstance(name, Mapping):
            return str(name.get(self.language, next(iter(name.values()), "")))
        return "" if name is None else str(name)

    def called(self, id_: str) -> str:
        """Return what an instrument of the folder is called; its id where it has no name."""
        return self._names.get(id_) or id_

    def existing(self, name: str, match: NameMatch) -> str:
        """Return the id of the instrument of the folder that has this name, '' when none has."""
        by_name = self._ids.get(folded(name)) or self._ids.get(folded(name.replace("-", " ")))
        return by_name or (self._by_identity.get(self.new(name, match), [""])[0] if match.certain else "")

    def meant(self, text: str, drawn: Mapping[str, Sequence[str]]) -> str:
        """Return the id of the one instrument that a person means, by name or kind; '' where that is not sure.

        `drawn` are the ids there are, by the kind that is drawn. What tells a name from others of its kind must be
        told of the instrument, too: ``mirror #5`` is no other mirror, though there be only one.
        """
        match = match_name(text)
        if existing := self.existing(text, match):
            return existing
        if not match.certain or not match.kind:
            return ""
        ids = drawn.get(match.kind, ())
        exact = self.id_of((match.kind, *match.qualifiers), text)
        if exact in ids:
            return exact
        return ids[0] if len(ids) == 1 and not match.qualifiers else ""

    def alike(self, id_: str) -> tuple[tuple[str, ...], list[str]]:
        """Return what makes an instrument of the folder one with others, and all ids alike but for length."""
        return next(((identity, ids) for identity, ids in self._by_identity.items() if id_ in ids), ((id_,), [id_]))

    def identity(self, name: str, match: NameMatch) -> tuple[str, ...]:
        """Return what makes this name one instrument with others."""
        id_ = self.existing(name, match)
        return ("id", id_) if id_ else self.new(name, match)

    def new(self, name: str, match: NameMatch) -> tuple[str, ...]:
        """Return what would make a new instrument one with others: its kind with what tells it apart, or its words."""
        if _is_neutral(match.kind):
            return (match.kind or "other-instrument", *_own_words(name))
        found = (match.kind or "", *match.qualifiers)
        return self._same.get(found, found)

    def settled(self, answer: str, name: str) -> tuple[tuple[str, ...] | None, NameMatch] | None:
        """Return what a person's answer means: an identity, None for what is left out; nothing for no answer at all."""
        match = match_name(name)
        why = message("import.why.answered")
        if answer == NOTHING:
            return None, match
        if answer == "own":
            kind = match.kind if _is_neutral(match.kind) and match.kind else "other-instrument"
            own = NameMatch(kind=kind, qualifiers=(), sure=1.0, why=why)
            return self.identity(name, own), own
        if answer in KINDS:
            drawn = next(kind for kind in FAMILY_OF if kind == answer)
            chosen = NameMatch(kind=drawn, qualifiers=match.qualifiers, sure=1.0, why=why)
            return self.identity(name, chosen), chosen
        meant = match_name(answer)
        if id_ := self.existing(answer, meant):
            return ("id", id_), meant
        return (self.identity(answer, meant), meant) if meant.certain and not meant.is_none else None

    def said(self, kind: str) -> str:
        """Return the name of a kind in the language of the folder."""
        return kind_name(kind, self.language)

    def id_of(self, identity: tuple[str, ...], written: str) -> str:
        """Return the id of a new instrument: ``mosquito-forceps-curved``."""
        kind, *rest = identity
        if _is_neutral(kind):
            mark = [rest[-1]] if rest and " " in rest[-1] else []
            words = re.findall(r"[a-z0-9]+", folded(" ".join([written, *mark])))
            return as_id("-".join(map(stem, words)))
        return as_id("-".join([kind, *rest]))

    def name_of(self, match: NameMatch, written: str, identity: tuple[str, ...]) -> str:
        """Return the name of a new instrument: the trade's, with what tells it apart; else as it is written."""
        kind, *rest = identity if identity not in self._same.values() else identity[:1]
        if kind == "id":
            return self._names.get(rest[0]) or written
        if _is_neutral(kind) or not match.kind:
            own = written[:1].upper() + written[1:]
            return f"{own}, {rest[-1]}" if rest and " " in rest[-1] else own
        told = [_told(word, self.language) for word in rest]
        return ", ".join([kind_name(kind, self.language), *told])


def _are_one(about: tuple[str, ...], answer: str) -> bool:
    return about[0] == "same" and len(about) == 3 and answer == "one"


def _setting(known: Known, name: str) -> str | None:
    found = known.of("practice").get(name)
    return found if isinstance(found, str) else None


def _told(word: str, language: str) -> str:
    """A qualifier in words: ``curved``; a number stays one."""
    sentences = shipped_sentences(language)
    if word.isdigit():
        return sentences["import.number"].format(number=word)
    return sentences.get(f"import.qualifier.{word}", word)
