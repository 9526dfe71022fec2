"""Ids, codes, marks and names for what a design holds: plain ones, for people to replace by their own."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterator, Sequence
from itertools import chain, count, product
from typing import get_args

from kitdocs.practice.codes import look_alike
from kitdocs.practice.kinds import SetMark
from kitdocs.practice.message import Message, message, said
from kitdocs.practice.model import InstrumentSet, Pouch, Practice
from kitdocs.practice.sentences import shipped_sentences, within_sentence
from kitdocs.practice.store_places import codes_of_places, store_places
from kitdocs.practice.values import Text, as_id
from kitdocs.proposing.design import Design, PouchKind, SetKind
from kitdocs.proposing.judge import Named, pouch_record, set_record
from kitdocs.proposing.packing import Packing

#: So many characters are still read at a glance on a label.
LONGEST = 36
#: So many are read on one line of a label.
A_LINE = 44
#: Letters that are taken for no other sign.
_LETTERS = "ACDEFGHJKMNPRTUVWXY"


def named(packing: Packing, design: Design) -> Named:
    """Return a design's sets and pouches with ids, names, codes and marks; what is kept has its own."""
    names = _Names(packing, design)
    busiest = sorted(design.sets, key=lambda kit: -packing.demand.rate(kit.procedures))
    sets = {kit: names.set(kit) for kit in busiest}
    pouches = {pouch: names.pouch(pouch) for pouch in design.pouches}
    return Named(sets=dict(sets[kit] for kit in design.sets), pouches=dict(pouches[pouch] for pouch in design.pouches))


class _Names:
    def __init__(self, packing: Packing, design: Design) -> None:
        self._packing, practice = packing, packing.demand.practice
        self._practice, self._design = practice, design
        self._ids = {*practice.instruments, *practice.sets, *practice.pouches}
        self._codes = [kit.code for kit in practice.sets.values()]
        self._codes += [pouch.code for pouch in practice.pouches.values()]
        packs = len(design.sets) + len(design.pouches)
        self._codes += [code for code, _ in codes_of_places(store_places(practice.room), packs)]
        self._marks = {(record.cassette, record.mark) for record in practice.sets.values()}
        self._taken = [kit.name for kit in practice.sets.values()]
        self._taken += [pouch.name for pouch in practice.pouches.values()]

    def set(self, kit: SetKind) -> tuple[str, InstrumentSet]:
        if kit.kept:
            return kit.kept, self._practice.sets[kit.kept]
        demand = self._packing.demand
        busiest = sorted(kit.procedures, key=lambda p: -demand.visits[p])
        cassette = self._packing.cassette_of(kit)
        mark = self._mark(cassette)
        elsewhere = {i for other in self._design.sets if other != kit for i in other.contents}
        name, what = self._short_and_new(
            [message("propose.name.set", what=self._lower(self._practice.procedures[p].name)) for p in busiest],
            [
                message("propose.name.set", what=self._lower(self._practice.instruments[i].name))
                for i in kit.contents
                if i not in elsewhere
            ],
            numbered="propose.name.plain-set",
        )
        code = self._code(what)
        return self._id(f"{busiest[0]}-set"), set_record(self._packing, kit, name=name, code=code, mark=mark)

    def _mark(self, cassette: str) -> SetMark:
        """A mark that no other set has; where all are taken, one that no set in such a cassette has."""
        taken = {mark for _, mark in self._marks}
        marks: tuple[SetMark, ...] = get_args(SetMark)
        free = (mark for mark in marks if mark not in taken)
        rest = (mark for mark in marks if (cassette, mark) not in self._marks)
        mark = next(chain(free, rest))
        self._marks.add((cassette, mark))
        return mark

    def pouch(self, pouch: PouchKind) -> tuple[str, Pouch]:
        if pouch.kept:
            return pouch.kept, self._practice.pouches[pouch.kept]
        name, what = self._short_and_new(*self._of_pouch(pouch), numbered="propose.name.plain-pouch")
        code = self._code(what)
        return self._id(f"{pouch.contents[0]}-pouch"), pouch_record(self._packing, pouch, name=name, code=code)

    def _of_pouch(self, pouch: PouchKind) -> Iterator[list[Message]]:
        """What is in it, if that is one thing; else whom it is for, the busiest who wants all of it; else one and more.

        One of what is in it is what lies in the fewest other packs. Beside an add-on with the same in it, a pouch in
        drawers is named after them.
        """
        practice, demand = self._practice, self._packing.demand
        packs = [kit.contents for kit in self._design.sets] + [other.contents for other in self._design.pouches]
        telling = sorted(pouch.contents, key=lambda i: sum(i in held for held in packs))
        instruments = [self._lower(practice.instruments[i].name) for i in telling]
        if len(instruments) == 1:
            yield [message("propose.name.pouch", what=instruments[0])]
        elif pouch.role == "add-on" or len(pouch.procedures) == 1:
            wanting = [p for p in pouch.procedures if self._packing.is_made_for(pouch.contents, p)]
            busiest = sorted(wanting or pouch.procedures, key=lambda p: -demand.visits[p])
            yield [message("propose.name.pouch", what=self._lower(practice.procedures[p].name)) for p in busiest[:1]]
        if more := len(instruments) - 1:
            yield [message("propose.name.and-more", what=one, n=more) for one in instruments]
        if pouch.role == "drawer":
            yield [message("propose.name.drawer-pouch", what=instruments[0])]

    def _short_and_new(self, *choices: Sequence[Message], numbered: str) -> tuple[Text, Text]:
        """Return a name that is new and short in each language, and what it names; a number, if there is none.

        Of the first of the choices that has one, the first that is short, or else the shortest that is no longer than a
        line of a label.
        """
        for names in choices:
            said = [(self._in_each_language(name), name) for name in names]
            new = [(text, name) for text, name in said if text not in self._taken and self._length(text) <= A_LINE]
            if new:
                text, name = min(new, key=lambda pair: max(LONGEST, self._length(pair[0])))
                self._taken.append(text)
                return text, next(value for _, value in name.values if isinstance(value, Text))
        numbers = (self._in_each_language(message(numbered, n=n)) for n in count(1))
        text = next(number for number in numbers if number not in self._taken)
        self._taken.append(text)
        return text, next(
            value for names in choices for one in names for _, value in one.values if isinstance(value, Text)
        )

    def _length(self, text: Text) -> int:
        return max(len(text.in_language(language)) for language in self._languages)

    @property
    def _languages(self) -> Sequence[str]:
        return self._practice.settings.languages

    def _in_each_language(self, name: Message) -> Text:
        text = in_each_language(self._practice, lambda: name)
        words = {one: text.in_language(one) for one in self._languages}
        begun = {one: said[:1].upper() + said[1:] for one, said in words.items()}
        return Text(plain=begun[self._languages[0]]) if text.plain else Text(by_language=tuple(begun.items()))

    def _lower(self, name: Text) -> Text:
        """A name as it stands within a sentence."""
        if name.plain:
            return Text(plain=within_sentence(name.plain, self._languages[0]))
        return Text(
            by_language=tuple((language, within_sentence(text, language)) for language, text in name.by_language)
        )

    def _code(self, name: Text) -> str:
        """Return two letters of a name, the first of them its first; any others, where those are taken."""
        code = next(
            code
            for code in chain(_two_letters(name.in_language(self._languages[0])), _any_letters())
            if not any(code == other or look_alike(code, other) for other in self._codes)
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


def _two_letters(name: str) -> Iterator[str]:
    """Yield the first letters of two words, then the first letter with each later one."""
    plain = unicodedata.normalize("NFKD", name).upper()
    words = ["".join(sign for sign in word if "A" <= sign <= "Z") for word in plain.replace("-", " ").split()]
    words = [word for word in words if word]
    if words:
        first, *others = words
        yield from (first[0] + letter for letter in first[1:])
        yield from (first[0] + word[0] for word in others)


def _any_letters() -> Iterator[str]:
    yield from ("".join(letters) for letters in product(_LETTERS, repeat=2))
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
