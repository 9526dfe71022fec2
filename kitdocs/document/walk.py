"""Words, pictures and title of a block, found by the purposes that its fields declare."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import Any

from kitdocs.document.blocks import Picture
from kitdocs.document.purpose import Purpose, fields_of


def words_in(thing: object, purpose: Purpose = Purpose.WORDS) -> Iterator[str]:
    """Yield the words of a block or part that are there for a purpose, in order; what pictures show is left out."""
    if isinstance(thing, tuple):
        for part in thing:
            yield from words_in(part, purpose)
    elif dataclasses.is_dataclass(thing) and not isinstance(thing, Picture):
        for field in fields_of(type(thing)):
            value = getattr(thing, field.name)
            if purpose in field.purpose:
                yield from filter(None, value if isinstance(value, tuple) else (value,))
            else:
                yield from words_in(value, purpose)


def pictures_in(thing: object, without: Purpose = Purpose.NONE) -> Iterator[Picture]:
    """Yield the pictures of a block or part, in order."""
    if isinstance(thing, Picture):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from pictures_in(part, without)
    elif dataclasses.is_dataclass(thing):
        for field in fields_of(type(thing)):
            if not without & field.purpose:
                yield from pictures_in(getattr(thing, field.name), without)


def title_of(block: object) -> str:
    """Return the title by which a sentence calls a block; empty when it has none."""
    return next((getattr(block, field.name) for field in fields_of(type(block)) if Purpose.NAME in field.purpose), "")


def text_of(block: Any) -> str:
    """Return the words of a block without its own title, in one line."""
    untitled = {field.name: "" for field in fields_of(type(block)) if Purpose.NAME in field.purpose}
    return " · ".join(words_in(dataclasses.replace(block, **untitled)))
