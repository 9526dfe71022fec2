"""Which of the choices a typed answer means: what is shown can be typed as it is shown."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from kitdocs.importing.found import NOTHING
from kitdocs.importing.vocabulary import folded

#: Between two choices of a sheet; what a choice means may have a semicolon in it, and never an equals sign.
_CHOICE = re.compile(r"(?:^|; )([^=;]+?) = ")


def shown_choice(value: str, meaning: str) -> str:
    """Return a choice as a menu shows it: what it means, and in brackets how it is written where that differs."""
    return meaning + (f" ({value})" if value not in (meaning, NOTHING) and " " not in value else "")


def chosen(answer: str, meanings: Mapping[str, str], *, whole: bool) -> str:
    """Return the choice that an answer means, by what is shown of it or its beginning; '' for none, or several.

    `whole`: any text is an answer, so a beginning ends where a clause does.
    """
    typed = folded(answer)
    said = {value: {folded(text) for text in _ways(value, meaning)} for value, meaning in meanings.items()}
    exact = [value for value, ways in said.items() if typed in ways]
    near = [value for value, ways in said.items() if typed and any(way.startswith(typed) for way in ways)]
    found = exact or ([] if whole else near)
    return found[0] if len(found) == 1 else ""


def _ways(value: str, meaning: str) -> Iterator[str]:
    yield from (value, meaning, shown_choice(value, meaning), listed_choice(value, meaning))
    yield from (meaning[: found.start()] for found in re.finditer(r"[;:,]", meaning))


def listed_choice(value: str, meaning: str) -> str:
    """Return a choice as a sheet of questions lists it."""
    return f"{value} = {meaning}"


def choices_listed(text: str) -> dict[str, str]:
    """Return the choices that a sheet of questions lists in one cell, each with what it means."""
    _, *parts = _CHOICE.split(text)
    return dict(zip(parts[::2], parts[1::2], strict=True))
