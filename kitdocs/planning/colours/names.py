"""Plain names for colours, ours. A colour is named by its key in the words file `colour.yaml`."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from kitdocs.planning.colours.distance import distance
from kitdocs.practice.colours import NAMED
from kitdocs.practice.message import Message, message

#: Every colour that has a name of ours: those that a practice may write without a value, and more.
NAMES: Mapping[str, str] = {
    **NAMED,
    "dark-grey": "#4a4a4a",
    "light-grey": "#c8c8c8",
    "dark-brown": "#46280f",
    "light-brown": "#b98a5a",
    "beige": "#e3d2a8",
    "dark-red": "#6e0f1c",
    "light-red": "#f07a76",
    "dark-orange": "#c55a0a",
    "light-orange": "#ffc78a",
    "light-yellow": "#fbf3a0",
    "dark-yellow": "#b79a12",
    "olive": "#6b6b1c",
    "light-lime": "#d5f07a",
    "dark-green": "#124a1d",
    "light-green": "#8fdc96",
    "bright-green": "#2fd24a",
    "dark-teal": "#0a3f3f",
    "light-teal": "#5fcfc0",
    "light-sky": "#bfe3fb",
    "dark-sky": "#2a87b5",
    "light-blue": "#86a8f0",
    "bright-blue": "#2a2af0",
    "dark-violet": "#3b1462",
    "light-violet": "#b79be6",
    "bright-violet": "#a22af0",
    "purple": "#8c1f7f",
    "magenta": "#e02bb0",
    "light-pink": "#fcd3e2",
    "dark-pink": "#c24480",
    "cream": "#fff6dc",
    "sand": "#cac69c",
    "grey-green": "#567a56",
    "grey-blue": "#5c7488",
    "mauve": "#a078a0",
    "lavender": "#c8c8f0",
    "orchid": "#eea2ee",
    "mint": "#a8efc8",
    "mustard": "#c8a028",
    "plum": "#552050",
    "leaf-green": "#58b018",
    "sea-green": "#2aa878",
    "aqua": "#2ee6e0",
    "salmon": "#f4a088",
    "raspberry": "#ea4f78",
    "bright-red": "#d80c08",
    "ochre": "#a0780c",
    "cocoa": "#785454",
    "old-rose": "#a67c7c",
    "lilac": "#a27af0",
    "grey-violet": "#78789e",
    "slate": "#525476",
    "clear-blue": "#4c78ee",
    "bright-teal": "#2ca2a2",
}


def colour_name(key: str) -> Message:
    """Return what a colour is called: ``dark grey``."""
    return message(f"colour.{key}")


def name_each(colours: Sequence[str], taken: Collection[str] = ()) -> tuple[str, ...]:
    """Return the key of a name for each colour, no name twice and none of the `taken` English ones.

    The nearest colour and name are put together first, then the next nearest of what is left.
    """
    free = [key for key in NAMES if str(colour_name(key)) not in taken]
    if len(colours) > len(free):
        raise ValueError(f"there are names for {len(free)} colours, not for {len(colours)}")
    pairs = sorted(
        (distance(colour, NAMES[key]), index, place)
        for index, colour in enumerate(colours)
        for place, key in enumerate(free)
    )
    found: dict[int, int] = {}
    for _, index, place in pairs:
        if index not in found and place not in found.values():
            found[index] = place
    return tuple(free[found[index]] for index in range(len(colours)))
