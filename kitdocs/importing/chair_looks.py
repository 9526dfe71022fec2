"""A colour and a mark for each chair that is new, which no other chair has."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import Any, get_args

from kitdocs.importing.vocabulary import folded
from kitdocs.planning.colours.names import colour_name, name_each
from kitdocs.planning.colours.palette import colours_beside
from kitdocs.practice.colours import NAMED, colour
from kitdocs.practice.kinds import ChairMark
from kitdocs.practice.message import said
from kitdocs.practice.sentences import shipped_sentences

_MARKS: tuple[str, ...] = get_args(ChairMark)


class ChairLooks:
    """What the chairs of a folder leave free. `records` are those chairs as their file holds them."""

    def __init__(self, records: Iterable[Any], language: str) -> None:
        there = [record for record in records if isinstance(record, Mapping)]
        self._language = language
        self._hexes = [found for record in there if (found := _hex(record.get("colour")))]
        self._marks = {str(record.get("mark")) for record in there}

    def take(self, field: str, written: str) -> str:
        """Return the word of the folder for a `colour` or `mark` in a list, '' where it is taken or none of ours."""
        if field == "mark":
            word = next((mark for mark in _MARKS if mark == folded(written)), "")
            if word in self._marks:
                return ""
            self._marks.add(word)
            return word
        word = _colour_words().get(folded(written), "")
        if not word or NAMED[word] in self._hexes:
            return ""
        self._hexes.append(NAMED[word])
        return word

    def free_marks(self, count: int) -> list[str]:
        """Return so many marks that no chair has, fewer when there are no more, and take them."""
        found = [mark for mark in _MARKS if mark not in self._marks][:count]
        self._marks |= set(found)
        return found

    def free_colours(self, count: int) -> list[Any]:
        """Return so many colours as chairs.yaml holds them, apart from all that chairs have, and take them."""
        found = colours_beside(self._hexes, count)
        plain = {hex_: word for word, hex_ in NAMED.items()}
        others = [hex_ for hex_ in found if hex_ not in plain]
        used = [str(colour_name(name)) for name in NAMED]
        names = dict(zip(others, name_each(others, used), strict=True))
        self._hexes += found
        return [plain.get(hex_) or {"name": self._said(names[hex_]), "hex": hex_} for hex_ in found]

    def _said(self, name: str) -> str:
        return said(colour_name(name), shipped_sentences(self._language), self._language)


def looks_of(stated: Sequence[Mapping[str, str]], looks: ChairLooks) -> list[dict[str, Any]]:
    """Return `colour` and `mark` of each new chair: what a list states of it, by field, where that is free."""
    found: list[dict[str, Any]] = [
        {field: word for field in ("colour", "mark") if (word := looks.take(field, each.get(field, "")))}
        for each in stated
    ]
    for field, free in (("colour", looks.free_colours), ("mark", looks.free_marks)):
        lacking = [look for look in found if field not in look]
        for look, value in zip(lacking, free(len(lacking)), strict=False):  # there may be fewer marks
            look[field] = value
    return [{field: look[field] for field in ("colour", "mark") if field in look} for look in found]


def is_said(field: str, written: str, value: Any) -> bool:
    """Whether a list states for `colour` or `mark` what a chair has."""
    return (
        bool(written) and (_colour_words() if field == "colour" else {}).get(folded(written), folded(written)) == value
    )


def _hex(value: Any) -> str:
    try:
        return colour(value).hex
    except ValueError:
        return ""


@cache
def _colour_words() -> Mapping[str, str]:
    """The plain colours of ours by what they are called in the languages that lists are read in."""
    spoken = {
        folded(said(colour_name(word), shipped_sentences(language), language)): word
        for language in ("en", "es")
        for word in NAMED
    }
    return {**spoken, **{word: word for word in NAMED}}
