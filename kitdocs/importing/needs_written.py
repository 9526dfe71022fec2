"""Needs of a visit as a person writes them, ``2 mirrors, DEC, bird-beak 12%``: each part is read or refused."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from rapidfuzz import fuzz, process

from kitdocs.importing.found import Found, Known, Refused, RefusedWord
from kitdocs.importing.names import match_name
from kitdocs.importing.naming import ThingNames
from kitdocs.importing.trade import words_in
from kitdocs.importing.vocabulary import folded
from kitdocs.practice.message import Message, message
from kitdocs.practice.needs import ALL_OF_THE_SET, need

#: Between two instruments; a comma in ``12,5%`` is none.
_BETWEEN = re.compile(r";|,(?!\d+\s*%)|\n")
_PER_CENT = r"(?:%|percent\b|per cent\b|pct\b|por ciento\b)"
#: How often, behind the name: ``mirror 12%``, ``mirror: always``, ``mirror (.2)``.
_OFTEN = re.compile(rf"(.+?)[\s:=(]+(always|siempre|never|nunca|\d+(?:[.,]\d+)?\s*{_PER_CENT}|0?[.,]\d+)\)?")
#: How many, in front of the name or behind it.
_COUNT_FIRST = re.compile(r"([1-9])\s*(?:[x×]\s*|\s)(\D.*)")
_COUNT_LAST = re.compile(r"(.+?)(?:[\s:=(]+[x×]?|\s*[x×])\s*([1-9])\s*[x×]?\)?(?:\s+(?:at|a|en))?")
_ALWAYS, _NEVER = ("always", "siempre"), ("never", "nunca")
#: A name is suggested in place of another from this likeness on, of 100. Ours.
_LIKE = 70


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    name: str
    count: int = 1
    often: str = "always"


class WrittenNeeds:
    """The instruments that needs can name: those of the folder and of the lists, by all that they are called."""

    def __init__(self, found: Found, known: Known) -> None:
        self._names, self._known = ThingNames(known), known
        self.drawn: dict[str, list[str]] = {}
        """Ids by the kind that is drawn."""
        self._called: dict[str, str] = {}
        self._words: dict[str, str] = {}
        records = [(r.id, r.fields) for r in found.records if r.stem == "instruments"]
        for id_, record in (*known.of("instruments").items(), *records):
            if isinstance(record, Mapping):
                self._enter(id_, record)
        for merged in found.merged:
            if merged.meant in self._called.values():
                self._call(merged.written, merged.meant)
        for about, answer in known.answers.items():
            if about[0] == "names" and len(about) == 2 and (id_ := self._settled(about[1], answer)):
                self._call(about[1], id_)

    def _enter(self, id_: str, record: Mapping[str, object]) -> None:
        if "drawing" in record and id_ not in self.drawn.setdefault(str(record["drawing"]), []):
            self.drawn[str(record["drawing"])].append(id_)
        name = record.get("name", "")
        for text in (id_, id_.replace("-", " "), *(name.values() if isinstance(name, Mapping) else [name])):
            self._call(str(text), id_)

    def _call(self, text: str, id_: str) -> None:
        if text.strip():
            self._called.setdefault(folded(text), id_)
        if words := _words_of(text):
            self._words[words] = id_ if self._words.get(words, id_) == id_ else ""  # two share them: neither is meant

    def _settled(self, written: str, answer: str) -> str:
        """The id of what a person said that a name of a list is."""
        settled = self._names.settled(answer, written)
        identity = settled[0] if settled else None
        if identity is None:
            return ""
        return identity[1] if identity[0] == "id" else self._existing(self._names.id_of(identity, written))

    def _existing(self, id_: str) -> str:
        return id_ if id_ in self._called.values() else ""

    def read(self, answer: str) -> tuple[dict[str, str | int], tuple[RefusedWord, ...]]:
        """Return the needs as the folder writes them, and the parts that are no one instrument, or no share."""
        needs: dict[str, str | int] = {}
        refused: list[RefusedWord] = []
        for part in parts_of(answer):
            if part == ALL_OF_THE_SET:
                needs[part] = "always"
                continue
            id_, meant = next(self._readings(part), ("", None))
            if meant is None:
                refused.append(self._unknown(part))
            elif (often := _as_written(meant)) is None:
                refused.append(RefusedWord(part, why=message("import.refused.often", word=part)))
            else:
                needs[id_] = often
        return needs, tuple(refused)

    def check(self, answer: str) -> Refused | None:
        """Return why needs are not understood; None when they are."""
        needs, refused = self.read(answer)
        if refused:
            return Refused(why=tuple(word.why for word in refused), words=refused)
        return None if needs else Refused(why=(message("import.refused.nothing"),))

    def likely(self, answer: str) -> str:
        """Return the answer with what is most likely meant in place of each word that is not understood."""
        for word in self.read(answer)[1]:
            answer = with_word(answer, word.word, word.near)
        return answer

    def _readings(self, part: str) -> Iterator[tuple[str, _Part]]:
        for reading in _ways_to_read(part):
            if id_ := self.id_of(reading.name):
                yield id_, reading

    def _unknown(self, part: str) -> RefusedWord:
        name = [*_ways_to_read(part)][-1].name
        near = self._nearest(name)
        key = "near" if near else "unknown"
        why: Message = message(f"import.refused.{key}", word=name, **({"near": near} if near else {}))
        return RefusedWord(name, near=near, why=why)

    def _nearest(self, name: str) -> str:
        """The id that is most likely meant; '' when none is."""
        kind = match_name(name).kind
        if kind and len(self.drawn.get(kind, ())) == 1:
            return self.drawn[kind][0]
        best = process.extractOne(folded(name), [*self._called], scorer=fuzz.WRatio, score_cutoff=_LIKE)
        return self._called[best[0]] if best else ""

    def id_of(self, text: str) -> str:
        """Return the id of the one instrument that a text names; '' when it names none, or not surely one."""
        if id_ := self._called.get(folded(text)) or self._words.get(_words_of(text)):
            return id_
        return self._names.meant(text, self.drawn)


def _words_of(text: str) -> str:
    return " ".join(sorted(words_in(text)))


def parts_of(answer: str) -> list[str]:
    """Return the parts of an answer, each of one instrument."""
    return [part for part in map(str.strip, _BETWEEN.split(answer)) if part]


def with_word(answer: str, word: str, other: str) -> str:
    """Return an answer with another word in place of one that is not understood; '' takes its part out."""
    parts = parts_of(answer)
    n = next((n for n, part in enumerate(parts) if word in part), None)
    if n is not None:
        parts[n] = parts[n].replace(word, other, 1) if other else ""
    return ", ".join(filter(None, parts))


def _ways_to_read(part: str) -> Iterator[_Part]:
    """The ways in which a part can be meant, the most literal first: a figure may be of the name (``mirror #5``)."""
    part = " ".join(part.split())
    yield _Part(name=part)
    often = "always"
    if found := _OFTEN.fullmatch(part):
        part, often = found[1].rstrip(" :=("), found[2]
        yield _Part(name=part, often=often)
    for pattern, name, count in ((_COUNT_FIRST, 2, 1), (_COUNT_LAST, 1, 2)):
        if found := pattern.fullmatch(part):
            yield _Part(name=found[name].strip(), count=int(found[count]), often=often)


def _as_written(part: _Part) -> str | int | None:
    """How often and how many as the folder writes it; None for what cannot be meant: ``mirror 120%``."""
    often = re.sub(rf"\s*{_PER_CENT}", "%", part.often)
    if often in _ALWAYS:
        return part.count if part.count > 1 else "always"
    if often in _NEVER:
        return None
    try:
        return str(need(f"{part.count} at {often}" if part.count > 1 else often))
    except ValueError:
        return None
