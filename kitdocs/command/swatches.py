"""Output of `kitdocs colours`: each chair's colour and mark, the ink that reads on it, the pair hardest to tell."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import typer
from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.style import Style
from rich.text import Text

from kitdocs.command.terminal import table
from kitdocs.document.catalog import built_in_catalog
from kitdocs.planning.colours.check import eyes
from kitdocs.planning.colours.distance import worst_distance
from kitdocs.planning.colours.ink import contrast, ink_on
from kitdocs.planning.colours.looks import MARKS, ProposedChair, marks_apart
from kitdocs.planning.colours.palette import APART, ClosestPair, ProposedColour, closest_pair
from kitdocs.shipped import shipped_languages

_INK = {"#000000": "black", "#ffffff": "white"}


def bays_of(written: str, count: int) -> tuple[int, ...]:
    """Return how many chairs each bay has, from ``8,9,8``; one bay when nothing is written."""
    if not written:
        return (count,)
    bays = tuple(int(part) for part in written.split(",") if part.strip().isdecimal())
    if sum(bays) != count or 0 in bays or len(bays) != written.count(",") + 1:
        raise typer.BadParameter(f"write how many of the {count} chairs each bay has, as in 8,9,8", param_hint="--bays")
    return bays


def show_colours(console: Console, chairs: tuple[ProposedChair, ...]) -> None:
    """Print the chairs as a table, with swatches on a colour terminal."""
    swatches = console.is_terminal and not console.no_color and console.color_system is not None
    head = ("Chair", "", "Colour", "Hex", "Mark", "Text", "Contrast", "Nearest, ΔE00")
    drawn = table(head if swatches else (head[0], *head[2:]), numbers=(0, 6, 7) if swatches else (0, 5, 6))
    for chair in chairs:
        shown: list[RenderableType] = [_swatch(chair.colour)] if swatches else []
        drawn.add_row(str(chair.number), *shown, *_row(chair))
    console.print(Padding(drawn, (1, 0)))
    colours = _colours(chairs)
    console.print(Text(_worst(colours, _pair(colours))))
    if len(chairs) > len(MARKS):
        console.print(Text(_shared(chairs)))


def chairs_yaml(chairs: tuple[ProposedChair, ...]) -> str:
    """Return the chairs as `chairs.yaml` holds them, to be pasted there."""
    return "\n".join(
        f"chair-{chair.number}:\n  name: Chair {chair.number}\n"
        f"  colour: {{name: {chair.colour.name}, hex: '{chair.colour.hex}'}}\n  mark: {chair.mark}\n"
        for chair in chairs
    )


def colours_json(chairs: tuple[ProposedChair, ...]) -> dict[str, Any]:
    """Return the same as JSON data. The worst pair of fewer than two colours is `None`."""
    colours = _colours(chairs)
    pair, catalogs = _pair(colours), [built_in_catalog(language) for language in shipped_languages()]
    names = {colour.hex: str(colour.name) for colour in colours}
    return {
        "colours": [
            {
                "name": str(colour.name),
                "name_es": built_in_catalog("es").say(colour.name),
                "names": {words.language: words.say(colour.name) for words in catalogs},
                "hex": colour.hex,
                "ink_hex": ink_on(colour.hex),
                "contrast_ratio": round(contrast(colour.hex, ink_on(colour.hex)), 2),
                "nearest_delta_e00": colour.nearest if pair else None,
            }
            for colour in colours
        ],
        "chairs": [{"number": chair.number, "hex": chair.colour.hex, "mark": chair.mark} for chair in chairs],
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


def _colours(chairs: tuple[ProposedChair, ...]) -> tuple[ProposedColour, ...]:
    """Return each colour of the chairs once."""
    return tuple({chair.colour.hex: chair.colour for chair in chairs}.values())


def _row(chair: ProposedChair) -> tuple[str, ...]:
    colour = chair.colour
    ink = ink_on(colour.hex)
    nearest = f"{colour.nearest:.1f}" if colour.nearest < 100 else "–"
    return str(colour.name), colour.hex, chair.mark, _INK[ink], f"{contrast(colour.hex, ink):.1f}:1", nearest


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


def _shared(chairs: tuple[ProposedChair, ...]) -> str:
    """Say how well chairs are told apart that share a colour or a mark."""
    pairs = list(combinations(chairs, 2))
    colour = min(worst_distance(a.colour.hex, b.colour.hex)[0] for a, b in pairs if a.mark == b.mark)
    ink = min(marks_apart(a.mark, b.mark) for a, b in pairs if a.colour.hex == b.colour.hex)
    return (
        f"Chairs of one mark have colours at least ΔE00 {colour:.1f} apart. Chairs of one colour have marks with at "
        f"least {ink:.0%} of their ink apart. Chairs one after the other share neither."
    )
