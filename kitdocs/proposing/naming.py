"""Ids, codes, marks and names for what a design holds: plain ones, for people to replace by their own."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import product
from typing import get_args

from kitdocs.practice.codes import look_alike
from kitdocs.practice.kinds import SetMark
from kitdocs.practice.message import Message, counted, message, said
from kitdocs.practice.model import InstrumentSet, Pouch, Practice
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.practice.values import Text, as_id
from kitdocs.proposing.design import Design, PouchKind, SetKind
from kitdocs.proposing.judge import Named, pouch_record, set_record
from kitdocs.proposing.packing import Packing

#: Letters that are taken for no other sign.
_LETTERS = "ACDEFGHJKMNPRTUVWXY"


def named(packing: Packing, design: Design) -> Named:
    """Return a design's sets and pouches with ids, names, codes and marks; what is kept has its own."""
    names = _Names(packing)
    busiest = sorted(design.sets, key=lambda kit: -packing.demand.rate(kit.procedures))
    sets = {kit: names.set(kit) for kit in busiest}
    pouches = {pouch: names.pouch(pouch) for pouch in design.pouches}
    return Named(sets=dict(sets[kit] for kit in design.sets), pouches=dict(pouches[pouch] for pouch in design.pouches))


class _Names:
    def __init__(self, packing: Packing) -> None:
        self._packing, practice = packing, packing.demand.practice
        self._practice = practice
        self._ids = {*practice.instruments, *practice.sets, *practice.pouches}
        self._codes = [kit.code for kit in practice.sets.values()]
        self._codes += [pouch.code for pouch in practice.pouches.values()]
        self._marks = {(record.cassette, record.mark) for record in practice.sets.values()}

    def set(self, kit: SetKind) -> tuple[str, InstrumentSet]:
        if kit.kept:
            return kit.kept, self._practice.sets[kit.kept]
        demand = self._packing.demand
        first = max(kit.procedures, key=lambda p: demand.visits[p])
        code = self._code(_LETTERS)
        cassette = self._packing.cassette_of(kit)
        mark = next(mark for mark in get_args(SetMark) if (cassette, mark) not in self._marks)
        self._marks.add((cassette, mark))
        name = in_each_language(
            self._practice,
            lambda: message("propose.name.set", code=code, procedure=self._practice.procedures[first].name),
        )
        return self._id(f"{first}-set"), set_record(self._packing, kit, name=name, code=code, mark=mark)

    def pouch(self, pouch: PouchKind) -> tuple[str, Pouch]:
        if pouch.kept:
            return pouch.kept, self._practice.pouches[pouch.kept]
        code = self._code("".join(pair) for pair in product("PQ", _LETTERS))
        first, *others = pouch.contents
        instrument = self._practice.instruments[first].name

        def say() -> Message:
            if others:
                return counted("propose.name.pouch-of-more", len(others), code=code, instrument=instrument)
            return message("propose.name.pouch", code=code, instrument=instrument)

        name = in_each_language(self._practice, say)
        return self._id(f"{first}-pouch"), pouch_record(self._packing, pouch, name=name, code=code)

    def _code(self, choices: Iterable[str]) -> str:
        code = next(
            code for code in _and_longer(choices) if not any(code == o or look_alike(code, o) for o in self._codes)
        )
        self._codes.append(code)
        return code

    def _id(self, wish: str) -> str:
        id_, n = as_id(wish), 1
        while id_ in self._ids:
            n += 1
            id_ = f"{as_id(wish)[:56]}-{n}"
        self._ids.add(id_)
        return id_


def _and_longer(choices: Iterable[str]) -> Iterator[str]:
    yield from choices
    yield from ("".join(letters) for letters in product("XYW", _LETTERS, _LETTERS))


def in_each_language(practice: Practice, say: Callable[[], Message]) -> Text:
    """Return a name in each of the practice's languages; once, where they are all alike."""
    languages: Sequence[str] = practice.settings.languages
    english = shipped_sentences("en")
    words = {
        language: said(say(), {**english, **shipped_sentences(language), **practice.words.get(language, {})}, language)
        for language in languages
    }
    if len(set(words.values())) == 1:
        return Text(plain=words[languages[0]])
    return Text(by_language=tuple(words.items()))
