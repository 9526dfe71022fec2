"""Colours that a practice may name, in the sRGB colour space."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kitdocs.practice.values import Text, text


@dataclass(frozen=True, slots=True)
class Colour:
    """A colour with a plain name that people call it by. `hex` as ``#00766c``."""

    name: Text
    hex: str


#: Plain names in the built-in languages, ours, with the sRGB value we print for them.
NAMED: Mapping[str, tuple[str, str]] = {
    "black": ("#1a1a1a", "negro"),
    "grey": ("#8a8a8a", "gris"),
    "brown": ("#7a4a21", "marrón"),
    "red": ("#cc2440", "rojo"),
    "orange": ("#ec8420", "naranja"),
    "yellow": ("#f4dc3c", "amarillo"),
    "lime": ("#a6cf3a", "lima"),
    "green": ("#2f8a3a", "verde"),
    "teal": ("#00766c", "turquesa"),
    "sky": ("#6ab8ea", "celeste"),
    "blue": ("#1f5fbf", "azul"),
    "navy": ("#1c2f63", "azul marino"),
    "violet": ("#6f3fa8", "violeta"),
    "pink": ("#ee8fb5", "rosa"),
    "white": ("#ffffff", "blanco"),
}


def colour(value: Any) -> Colour:
    """A `Colour` from a plain name of ours, or from ``{name: Sea green, hex: "#2e8b57"}``."""
    if isinstance(value, Colour):
        return value
    if isinstance(value, str):
        if value not in NAMED:
            known = ", ".join(NAMED)
            raise ValueError(
                f"'{value}' is not one of {known}; any other is written {{name: Sea green, hex: '#2e8b57'}}"
            )
        hex_, spanish = NAMED[value]
        return Colour(Text(by_language=(("en", value), ("es", spanish))), hex_)
    if isinstance(value, Mapping) and set(value) == {"name", "hex"}:
        if not isinstance(value["hex"], str) or not re.fullmatch(r"#[0-9A-Fa-f]{6}", value["hex"]):
            raise ValueError("a colour's hex is written as in '#2e8b57'")
        return Colour(text(value["name"]), value["hex"].lower())
    raise ValueError("a colour is a plain name as in teal, or {name: Sea green, hex: '#2e8b57'}")
