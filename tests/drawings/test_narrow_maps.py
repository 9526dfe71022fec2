"""Maps, ways and chambers as a phone shows them: 7 pt or more of a drawing that fills the screen."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from test_pictures_of_the_room import STATIONS

from kitdocs.drawings.lettering import PT
from kitdocs.drawings.load_packs import PackLook
from kitdocs.drawings.racks import LoadDrawn, PackDrawn, WordsDrawn, loads_from_above
from kitdocs.drawings.room import STATION_WIDTH_MM, way_through
from kitdocs.drawings.shelves import PacksDrawn, ShelfDrawn
from kitdocs.drawings.store_map import DrawerDrawn, HookDrawn, StoreMap, narrow_map, store_maps

LEGEND = ("Dark: the oldest", "New ones go to the right end")


def kinds(count: int) -> tuple[PacksDrawn, ...]:
    """So many kinds side by side, each 60 mm long, with codes as they come."""
    return tuple(
        PacksDrawn(
            id=f"kind-{n}",
            code=f"{chr(65 + n // 26)}{chr(65 + n % 26)}",
            place=f"A{n + 1}",
            packs=3,
            start=60.0 * n,
            end=60.0 * (n + 1),
            height=200,
            wrapped=False,
        )
        for n in range(count)
    )


def maps(count: int) -> tuple[StoreMap, StoreMap]:
    shelf = ShelfDrawn(
        letter="A",
        name="A · Upper shelf · 60 in (1524 mm) above the floor",
        length=60.0 * count,
        from_floor=1524,
        packs=kinds(count),
    )
    drawers = [
        DrawerDrawn(place=f"D{n}", name="Spares drawer", width=width) for n, width in ((1, 660), (2, 305), (3, 305))
    ]
    hooks = [HookDrawn(place=f"H{n}", name="Tape hook at the packing table") for n in (1, 2)]
    (wide,) = store_maps([shelf], drawers, hooks, legend=LEGEND)
    return wide, narrow_map(wide, legend=LEGEND)


@pytest.mark.parametrize("count", [0, 1, 7, 10, 25, 40])
def test_a_narrow_map_has_the_packs_of_the_wide_one_in_their_order(count: int) -> None:
    wide, narrow = maps(count)
    assert [spot.id for spot in narrow.spots] == [spot.id for spot in wide.spots]
    assert narrow.drawing.width_mm == 56


@pytest.mark.parametrize("count", [1, 7, 10, 25, 40])
def test_the_letters_of_a_narrow_map_are_7_pt_or_more_and_codes_never_touch(count: int) -> None:
    """A shelf of many kinds is cut into pieces; in one, the codes of its places lay upon each other."""
    _, narrow = maps(count)
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', narrow.drawing.svg)]
    assert min(sizes) >= 7 * PT - 0.001
    labels = [spot.boxes[1:] for spot in narrow.spots]
    for of_codes in zip(*(boxes for boxes in labels if len(boxes) == 2), strict=True):
        for one, other in pairwise(of_codes):
            assert other[1] > one[1] + 1 or other[0] >= one[0] + one[2] - 0.01
    for spot in narrow.spots:
        for left, _, width, _ in spot.boxes:
            assert left >= -0.01 and left + width <= 56.01


def test_drawers_of_a_narrow_map_are_wide_enough_for_their_names() -> None:
    _, narrow = maps(3)
    assert narrow.drawing.svg.count(">drawer<") == 2, "a narrow drawer has its name in two lines"
    assert "drawer-" not in narrow.drawing.svg


def test_the_narrow_way_has_two_stations_a_row_and_its_numbers_go_on() -> None:
    way = way_through(STATIONS, a_row=2)
    assert way.width_mm == 2 * (STATION_WIDTH_MM + 1)
    assert re.findall(r">(\d)<", way.svg) == ["1", "2", "3", "4"]
    labels = re.findall(r'<text x="([\d.]+)" y="([\d.]+)"[^>]*>([A-Z][^<]*)<', way.svg)
    assert [name for *_, name in labels] == [name for _, name in STATIONS]
    assert labels[0][0] == labels[2][0] and float(labels[0][1]) < float(labels[2][1])


def test_narrow_chambers_stand_one_below_the_other_with_letters_of_7_pt_or_more() -> None:
    look = PackLook(number=0)
    pack = PackDrawn(look=look, across=9, along=9, width=30, length=200)
    loads = [
        LoadDrawn(letter=letter, words=(WordsDrawn(words="4 × Cassette", look=look),), packs=(pack,))
        for letter in "ABC"
    ]
    wide, narrow = loads_from_above(loads, 280, 500), loads_from_above(loads, 280, 500, width_mm=70)
    assert narrow.width_mm == 70
    assert narrow.height_mm > 2 * wide.height_mm
    assert min(float(size) for size in re.findall(r'font-size="([\d.]+)"', narrow.svg)) >= 7 * PT - 0.001
