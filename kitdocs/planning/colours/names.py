"""Plain names for colours, ours, in English and Spanish."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from kitdocs.planning.colours.distance import distance
from kitdocs.practice.colours import NAMED
from kitdocs.practice.sentences import shipped_sentences

#: Names beside those that a practice may write without a value, each with the colour that we mean by it.
_MORE: tuple[tuple[str, str, str], ...] = (
    ("dark grey", "gris oscuro", "#4a4a4a"),
    ("light grey", "gris claro", "#c8c8c8"),
    ("dark brown", "marrón oscuro", "#46280f"),
    ("light brown", "marrón claro", "#b98a5a"),
    ("beige", "beis", "#e3d2a8"),
    ("dark red", "rojo oscuro", "#6e0f1c"),
    ("light red", "rojo claro", "#f07a76"),
    ("dark orange", "naranja oscuro", "#c55a0a"),
    ("light orange", "naranja claro", "#ffc78a"),
    ("light yellow", "amarillo claro", "#fbf3a0"),
    ("dark yellow", "amarillo oscuro", "#b79a12"),
    ("olive", "oliva", "#6b6b1c"),
    ("light lime", "lima claro", "#d5f07a"),
    ("dark green", "verde oscuro", "#124a1d"),
    ("light green", "verde claro", "#8fdc96"),
    ("bright green", "verde vivo", "#2fd24a"),
    ("dark teal", "turquesa oscuro", "#0a3f3f"),
    ("light teal", "turquesa claro", "#5fcfc0"),
    ("light sky", "celeste claro", "#bfe3fb"),
    ("dark sky", "celeste oscuro", "#2a87b5"),
    ("light blue", "azul claro", "#86a8f0"),
    ("bright blue", "azul vivo", "#2a2af0"),
    ("dark violet", "violeta oscuro", "#3b1462"),
    ("light violet", "violeta claro", "#b79be6"),
    ("bright violet", "violeta vivo", "#a22af0"),
    ("purple", "morado", "#8c1f7f"),
    ("magenta", "magenta", "#e02bb0"),
    ("light pink", "rosa claro", "#fcd3e2"),
    ("dark pink", "rosa oscuro", "#c24480"),
    ("cream", "crema", "#fff6dc"),
    ("sand", "arena", "#cac69c"),
    ("grey green", "verde grisáceo", "#567a56"),
    ("grey blue", "azul grisáceo", "#5c7488"),
    ("mauve", "malva", "#a078a0"),
    ("lavender", "lavanda", "#c8c8f0"),
    ("orchid", "orquídea", "#eea2ee"),
    ("mint", "menta", "#a8efc8"),
    ("mustard", "mostaza", "#c8a028"),
    ("plum", "ciruela", "#552050"),
    ("leaf green", "verde hoja", "#58b018"),
    ("sea green", "verde mar", "#2aa878"),
    ("aqua", "aguamarina", "#2ee6e0"),
    ("salmon", "salmón", "#f4a088"),
    ("raspberry", "frambuesa", "#ea4f78"),
    ("bright red", "rojo vivo", "#d80c08"),
    ("ochre", "ocre", "#a0780c"),
    ("cocoa", "cacao", "#785454"),
    ("old rose", "rosa viejo", "#a67c7c"),
    ("lilac", "lila", "#a27af0"),
    ("grey violet", "violeta grisáceo", "#78789e"),
    ("slate", "pizarra", "#525476"),
    ("clear blue", "azul medio", "#4c78ee"),
    ("bright teal", "turquesa vivo", "#2ca2a2"),
)

#: English name, Spanish name, colour.
NAMES: tuple[tuple[str, str, str], ...] = (
    *((name, shipped_sentences("es")[f"colour.{name}"], hex_) for name, hex_ in NAMED.items()),
    *_MORE,
)


def name_each(colours: Sequence[str], taken: Iterable[str] = ()) -> tuple[tuple[str, str], ...]:
    """A name in English and Spanish for each colour, no name twice and none of the `taken` English ones.

    The nearest colour and name are put together first, then the next nearest of what is left.
    """
    not_free = set(taken)
    free = [name for name in NAMES if name[0] not in not_free]
    if len(colours) > len(free):
        raise ValueError(f"there are names for {len(free)} colours, not for {len(colours)}")
    pairs = sorted(
        (distance(colour, hex_), index, place)
        for index, colour in enumerate(colours)
        for place, (_, _, hex_) in enumerate(free)
    )
    found: dict[int, int] = {}
    for _, index, place in pairs:
        if index not in found and place not in found.values():
            found[index] = place
    return tuple(free[found[index]][:2] for index in range(len(colours)))
