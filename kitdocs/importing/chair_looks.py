"""A colour and a mark for each chair that is new: of its own, or a pair of its own where there are more than marks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import Any

from kitdocs.importing.vocabulary import folded, of_one_meaning
from kitdocs.planning.colours.looks import LEAST_COLOURS, MARKS, look_beside
from kitdocs.planning.colours.names import colour_name, name_each
from kitdocs.planning.colours.palette import colours_beside
from kitdocs.practice.colours import NAMED, colour
from kitdocs.practice.message import said
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.shipped import shipped_languages


class ChairLooks:
    """What the chairs of a folder leave free. `records` are those chairs as their file holds them."""

    def __init__(self, records: Iterable[Any], language: str) -> None:
        there = [record for record in records if isinstance(record, Mapping)]
        self.count = len(there)
        self._language = language
        self._records = there
        self._hexes = [found for record in there if (found := _hex(record.get("colour")))]
        self._marks = {str(record.get("mark")) for record in there}

    def take(self, field: str, written: str) -> str:
        """Return the word of the folder for a `colour` or `mark` in a list, '' where it is taken or none of ours."""
        if field == "mark":
            word = next((mark for mark in MARKS if mark == folded(written)), "")
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
        found = [mark for mark in MARKS if mark not in self._marks][:count]
        self._marks |= set(found)
        return list(found)

    def free_pairs(self, stated: Sequence[Mapping[str, str]]) -> list[dict[str, Any]]:
        """Return `colour` and `mark` of so many chairs beside each other: pairs that no chair has, while there are any.

        What a list states of a chair is taken where the pair is free.
        """
        colours = dict.fromkeys(self._hexes)
        for hex_ in colours_beside(list(colours), max(0, LEAST_COLOURS - len(colours))):
            colours[hex_] = None
        values = {hex_: record["colour"] for record in self._records if (hex_ := _hex(record.get("colour")))}
        taken = [
            (hex_, record["mark"])
            for record in self._records
            if (hex_ := _hex(record.get("colour"))) and record.get("mark") in MARKS
        ]
        added = [hex_ for hex_ in colours if hex_ not in values]
        values.update(zip(added, self._written(added), strict=True))
        found: list[dict[str, Any]] = []
        for each in stated:
            named = NAMED.get(_colour_words().get(folded(each.get("colour", "")), ""), "")
            mark = next((mark for mark in MARKS if mark == folded(each.get("mark", ""))), None)
            look = look_beside(taken, [named] if named else list(colours), [mark] if mark else MARKS)
            look = look or look_beside(taken, list(colours))
            if look is None:
                found.append({})
                continue
            taken.append(look)
            found.append({"colour": values.get(look[0]) or self._written([look[0]])[0], "mark": look[1]})
        return found

    def free_colours(self, count: int) -> list[Any]:
        """Return so many colours as chairs.yaml holds them, apart from all that chairs have, and take them."""
        found = colours_beside(self._hexes, count)
        self._hexes += found
        return self._written(found)

    def _written(self, hexes: Sequence[str]) -> list[Any]:
        """Return colours as chairs.yaml holds them."""
        plain = {hex_: word for word, hex_ in NAMED.items()}
        others = [hex_ for hex_ in hexes if hex_ not in plain]
        used = [str(colour_name(name)) for name in NAMED]
        names = dict(zip(others, name_each(others, used), strict=True))
        return [plain.get(hex_) or {"name": self._said(names[hex_]), "hex": hex_} for hex_ in hexes]

    def _said(self, name: str) -> str:
        return said(colour_name(name), shipped_sentences(self._language), self._language)


def looks_of(stated: Sequence[Mapping[str, str]], looks: ChairLooks) -> list[dict[str, Any]]:
    """Return `colour` and `mark` of each new chair: what a list states of it, by field, where that is free."""
    if looks.count + len(stated) > len(MARKS):
        return looks.free_pairs(stated)
    found: list[dict[str, Any]] = [
        {field: word for field in ("colour", "mark") if (word := looks.take(field, each.get(field, "")))}
        for each in stated
    ]
    for field, free in (("colour", looks.free_colours), ("mark", looks.free_marks)):
        lacking = [look for look in found if field not in look]
        for look, value in zip(lacking, free(len(lacking)), strict=True):
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
    spoken = of_one_meaning(
        (folded(said(colour_name(word), shipped_sentences(language), language)), word)
        for language in shipped_languages()
        for word in NAMED
    )
    return {**spoken, **{word: word for word in NAMED}}
