"""Output of `kitdocs colours`: names, the ink that reads on each colour, and the pair hardest to tell apart."""

from __future__ import annotations

from typing import Any

from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.style import Style
from rich.text import Text

from kitdocs.command.terminal import table
from kitdocs.document.catalog import built_in_catalog
from kitdocs.planning.colours.check import eyes
from kitdocs.planning.colours.ink import contrast, ink_on
from kitdocs.planning.colours.palette import APART, ClosestPair, ProposedColour, closest_pair

_INK = {"#000000": "black", "#ffffff": "white"}


def show_colours(console: Console, colours: tuple[ProposedColour, ...]) -> None:
    """Print the colours as a table, with swatches on a colour terminal."""
    swatches = console.is_terminal and not console.no_color and console.color_system is not None
    head = ("", "Colour", "Hex", "Text on it", "Contrast", "Nearest other, ΔE00")
    drawn = table(head if swatches else head[1:], numbers=(4, 5) if swatches else (3, 4))
    for colour in colours:
        shown: list[RenderableType] = [_swatch(colour)] if swatches else []
        drawn.add_row(*shown, *_row(colour))
    console.print(Padding(drawn, (1, 0)))
    console.print(Text(_worst(colours, _pair(colours))))


def colours_json(colours: tuple[ProposedColour, ...]) -> dict[str, Any]:
    """Return the same as JSON data. The worst pair of fewer than two colours is `None`."""
    pair, spanish = _pair(colours), built_in_catalog("es")
    names = {colour.hex: str(colour.name) for colour in colours}
    return {
        "colours": [
            {
                "name": str(colour.name),
                "name_es": spanish.say(colour.name),
                "hex": colour.hex,
                "ink_hex": ink_on(colour.hex),
                "contrast_ratio": round(contrast(colour.hex, ink_on(colour.hex)), 2),
                "nearest_delta_e00": colour.nearest if pair else None,
            }
            for colour in colours
        ],
        "worst_pair": pair
        and {
            "names": [names[pair.one], names[pair.other]],
            "hexes": [pair.one, pair.other],
            "vision": pair.vision,
            "delta_e00": round(pair.distance, 2),
        },
        "wanted_delta_e00": APART,
    }


def _pair(colours: tuple[ProposedColour, ...]) -> ClosestPair | None:
    return closest_pair({colour.hex: colour.hex for colour in colours})


def _row(colour: ProposedColour) -> tuple[str, ...]:
    ink = ink_on(colour.hex)
    nearest = f"{colour.nearest:.1f}" if colour.nearest < 100 else "–"
    return str(colour.name), colour.hex, _INK[ink], f"{contrast(colour.hex, ink):.1f}:1", nearest


def _swatch(colour: ProposedColour) -> Text:
    return Text("  Aa  ", style=Style(color=ink_on(colour.hex), bgcolor=colour.hex, bold=True))


def _worst(colours: tuple[ProposedColour, ...], pair: ClosestPair | None) -> str:
    if pair is None:
        return "A single colour cannot be confused with another."
    names = {colour.hex: str(colour.name) for colour in colours}
    return (
        f"Hardest to tell apart: {names[pair.one]} and {names[pair.other]}, to {eyes(pair.vision)}: ΔE00 "
        f"{pair.distance:.1f}, the worst over normal vision and three kinds of colour blindness; at least {APART:g} "
        "is wanted. In chairs.yaml: colour: {name: …, hex: '#…'}."
    )
