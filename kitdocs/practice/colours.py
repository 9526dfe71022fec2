"""Colours that a practice may name, in the sRGB colour space."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema

from kitdocs.practice.sentences import shipped_sentence
from kitdocs.practice.values import Text, text
from kitdocs.shipped import shipped_languages


@dataclass(frozen=True, slots=True)
class Colour:
    """A colour with a plain name that people call it by. `hex` as ``#00766c``.

    `plain` is the name of ours by which the practice named it; empty when it has a name of its own.
    """

    name: Text
    hex: str
    plain: str = ""


#: Plain names, ours, with the sRGB value we print for them. Their names in each language stand in the words files.
NAMED: Mapping[str, str] = {
    "black": "#1a1a1a",
    "grey": "#8a8a8a",
    "brown": "#7a4a21",
    "orange": "#ec8420",
    "lime": "#a6cf3a",
    "green": "#2f8a3a",
    "teal": "#00766c",
    "sky": "#6ab8ea",
    "blue": "#1f5fbf",
    "navy": "#1c2f63",
    "violet": "#6f3fa8",
    "pink": "#ee8fb5",
    "white": "#ffffff",
}

#: Colours that mean danger or caution, on cards and machines: no chair and no tape has them. SOURCES: ISO 3864-4.
KEPT_FOR_DANGER = ("red", "yellow")


def colour(value: Any) -> Colour:
    """Return a `Colour` from a plain name of ours, or from ``{name: Sea green, hex: "#2e8b57"}``."""
    if isinstance(value, Colour):
        return value
    if isinstance(value, str):
        if value in KEPT_FOR_DANGER:
            raise ValueError(
                f"'{value}' means danger, on cards and machines, and nothing else; choose from {', '.join(NAMED)}, or "
                "as 'kitdocs colours' proposes"
            )
        if value not in NAMED:
            known = ", ".join(NAMED)
            raise ValueError(
                f"'{value}' is not one of {known}; any other is written {{name: Sea green, hex: '#2e8b57'}}"
            )
        names = ((language, shipped_sentence(language, f"colour.{value}")) for language in shipped_languages())
        return Colour(Text(by_language=tuple(names)), NAMED[value], value)
    if isinstance(value, Mapping) and set(value) == {"name", "hex"}:
        if not isinstance(value["hex"], str) or not re.fullmatch(r"#[0-9A-Fa-f]{6}", value["hex"]):
            raise ValueError("a colour's hex is written as in '#2e8b57'")
        return Colour(text(value["name"]), value["hex"].lower())
    raise ValueError("a colour is a plain name as in teal, or {name: Sea green, hex: '#2e8b57'}")


ColourValue = Annotated[
    Colour,
    BeforeValidator(colour),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "examples": ["teal"]},
                {
                    "type": "object",
                    "properties": {"name": {}, "hex": {"type": "string", "pattern": "^#[0-9A-Fa-f]{6}$"}},
                    "required": ["name", "hex"],
                    "additionalProperties": False,
                },
            ]
        }
    ),
]
