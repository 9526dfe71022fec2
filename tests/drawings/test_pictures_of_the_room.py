from __future__ import annotations

import re
from math import hypot
from typing import get_args
from xml.etree import ElementTree as ET

import pytest

from kitdocs.drawings.codes import code
from kitdocs.drawings.drawing import Drawing, number
from kitdocs.drawings.fold import Pack
from kitdocs.drawings.icons import Icon, icon
from kitdocs.drawings.instruments import tip, whole
from kitdocs.drawings.layouts import CIRCLE_MM, WALL_MM, Piece, cassette_layout, cassette_mark, end_label
from kitdocs.drawings.lettering import CAP_HEIGHT, in_lines, text_width
from kitdocs.drawings.load_packs import PackLook
from kitdocs.drawings.load_slots import CommonLoad, SlotRow, load_slots
from kitdocs.drawings.marks import chair_mark, set_mark
from kitdocs.drawings.pouching import pouch_steps
from kitdocs.drawings.racks import LoadDrawn, PackDrawn, WordsDrawn, loads_from_above
from kitdocs.drawings.room import way_through
from kitdocs.drawings.shelves import PacksDrawn, ShelfDrawn
from kitdocs.drawings.store_map import DrawerDrawn, HookDrawn, StoreMap, store_maps
from kitdocs.drawings.wrap import envelope_fold_steps, parcel_fold_steps
from kitdocs.practice.kinds import Area, ChairMark, DrawingKind, SetMark

STATIONS: list[tuple[Area, str]] = [
    ("receiving", "Receive, clean"),
    ("packaging", "Check, pack"),
    ("sterilization", "Sterilize"),
    ("storage", "Store"),
]

PACKS = PacksDrawn(id="a", code="A&B", place="A1", packs=3, start=20, end=140, height=213, wrapped=True, mark="dots")
LOOK = PackLook(number=0)
STANDING = PackDrawn(look=LOOK, across=9, along=9, width=30, length=200)
SLOTS = SlotRow(name="Large <&>", look=LOOK, capacity=12, beside=(10,))
PACK = Pack(length=203, width=152, height=32, side=457)


def everything() -> list[Drawing]:
    return [
        *(tip(k) for k in get_args(DrawingKind)),
        *(whole(k, 140, 40) for k in get_args(DrawingKind)),
        *(chair_mark(m) for m in get_args(ChairMark)),
        *(set_mark(m) for m in get_args(SetMark)),
        *(icon(i) for i in get_args(Icon)),
        *envelope_fold_steps(PACK),
        *parcel_fold_steps(PACK),
        *pouch_steps(),
        *pouch_steps(hinged=False),
        way_through(STATIONS),
        *(found.drawing for found in the_store()),
        load_slots([SLOTS], [CommonLoad(letter="A", words=("2 × <&>",), loaded=((0, 2),))], "alone"),
        loads_from_above([LoadDrawn(words=(WordsDrawn(words="<&>", look=LOOK),), packs=(STANDING,))], 280, 500),
        cassette_layout(190, 75, 1, [piece(1, 0)]),
        cassette_mark("dots", "CORE<&>", 203, 32),
        end_label("CORE", "Core & <ünïcode>"),
        code("x"),
    ]


def the_store() -> tuple[StoreMap, ...]:
    drawer = DrawerDrawn(place="D1", name="Drawer <&>", width=300, packs=(("b", "B<"),))
    shelf = ShelfDrawn(letter="A", name="Upper <&>", length=900, from_floor=1000, packs=(PACKS,))
    return store_maps([shelf], [drawer], [HookDrawn(place="H1", name="Hook <&>")], legend=("First <&>", "New <&>"))


def piece(number_: int, y: float, *, rail: int = 1, width: float = 9, kind: DrawingKind = "explorer") -> Piece:
    return Piece(number=number_, kind=kind, x_mm=0, y_mm=y, length_mm=165, width_mm=width, rail=rail)


def circles(drawing: Drawing) -> list[tuple[float, float]]:
    """Numbered circles in the coordinates of the whole drawing."""
    found = []
    for group in ET.fromstring(drawing.svg):
        shift = re.match(r"translate\(([\d.]+) ([\d.]+)\)", group.get("transform", ""))
        for c in group.iter("{http://www.w3.org/2000/svg}circle"):
            assert shift
            found.append((float(shift[1]) + float(c.get("cx", "")), float(shift[2]) + float(c.get("cy", ""))))
    return found


def test_every_drawing_stands_alone() -> None:
    for drawing in everything():
        root = ET.fromstring(drawing.svg)
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        assert root.get("width") == f"{number(drawing.width_mm)}mm"
        assert root.get("height") == f"{number(drawing.height_mm)}mm"
        assert root.get("viewBox") == f"0 0 {number(drawing.width_mm)} {number(drawing.height_mm)}"
        for element in root.iter():
            assert element.tag.split("}")[1] in {"svg", "g", "path", "rect", "line", "circle", "text"}
            assert not {"href", "class", "style", "id", "onload"} & {k.split("}")[-1] for k in element.attrib}
        assert "url(" not in drawing.svg and "nan" not in drawing.svg


def test_drawings_are_the_same_every_time() -> None:
    assert everything() == everything()


def test_the_layout_is_the_inside_and_its_wall_at_true_size() -> None:
    drawing = cassette_layout(190, 75, 1, [])
    assert (drawing.width_mm, drawing.height_mm) == (190 + 2 * WALL_MM, 75 + 2 * WALL_MM)
    assert cassette_layout(190, 75, 2, []).height_mm > 2 * 75


@pytest.mark.parametrize("width, gap", [(9, 3), (9, 0), (4, 0), (2, 0)])
def test_numbered_circles_never_touch_and_stay_inside(width: float, gap: float) -> None:
    count = int(74 // (width + gap))
    pieces = [piece(i + 1, i * (width + gap), width=width) for i in range(count)]
    drawing = cassette_layout(190, 75, 1, pieces)
    found = circles(drawing)
    assert len(found) == count
    for i, (x, y) in enumerate(found):
        assert CIRCLE_MM <= x <= drawing.width_mm - CIRCLE_MM
        assert CIRCLE_MM <= y <= drawing.height_mm - CIRCLE_MM
        assert all(hypot(x - ox, y - oy) >= 2 * CIRCLE_MM for ox, oy in found[:i])


def test_figures_in_circles_are_at_least_2_5_mm_high() -> None:
    pieces = [piece(number_, i * 12) for i, number_ in enumerate((1, 9, 10, 28, 60))]
    sizes = re.findall(r'font-size="([\d.]+)"', cassette_layout(190, 75, 1, pieces).svg)
    assert len(sizes) == 5
    assert all(float(size) * CAP_HEIGHT >= 2.5 for size in sizes)


def test_the_first_rail_is_drawn_above_the_second() -> None:
    lower, upper = circles(cassette_layout(190, 75, 2, [piece(1, 0, rail=1), piece(2, 0, rail=2)]))
    assert lower[1] + 75 < upper[1]


def test_a_place_outside_of_the_cassette_is_refused() -> None:
    with pytest.raises(ValueError, match="place 7 reaches out"):
        cassette_layout(190, 75, 1, [piece(7, 70)])
    with pytest.raises(ValueError, match="place 7 lies on rail 3 of 2"):
        cassette_layout(190, 75, 2, [piece(7, 0, rail=3)])


@pytest.mark.parametrize(
    "name",
    [
        "Removal of fixed appliances and adhesive & <ünïcode> for everybody",
        "Behandlungsinstrumentenaufbereitungskassette für festsitzende Apparaturen und Klebstoffreste",
        "Bracket-Entfernungszangen-Aufbewahrung",
    ],
)
def test_a_long_name_on_an_end_label_is_whole_and_stays_on_the_tape(name: str) -> None:
    drawn = [e for e in ET.fromstring(end_label("DEBOND", name, mark="dots").svg).iter() if e.tag.endswith("text")]
    code, *lines = drawn
    assert code.text == "DEBOND"
    said = "".join(e.text or "" for e in lines)
    assert re.sub("[ -]", "", said) == re.sub("[ -]", "", name)
    for line in lines:
        size, left = float(line.get("font-size", "")), float(line.get("x", ""))
        assert left + text_width(line.text or "", size) <= 100 - 5 - 18 - 3
        assert size < float(line.get("y", "")) < 19


def test_a_drawn_word_is_parted_only_where_no_line_could_hold_it() -> None:
    assert in_lines("Bird-beak plier, Three-prong plier", 1, 8) == ("Bird-beak plier,", "Three-prong plier")
    assert in_lines("Three-prong", 1, 4) == ("Three-", "prong")
    assert in_lines("Zange", 1, 2.3) == ("Zan-", "ge")


def test_all_step_pictures_have_one_size() -> None:
    steps = (*envelope_fold_steps(PACK), *parcel_fold_steps(PACK), *pouch_steps(), *pouch_steps(hinged=False))
    assert len(steps) == 24
    assert len({(s.width_mm, s.height_mm) for s in steps}) == 1
    # Peeled and loaded, a pouch with a plier in it is as any other.
    assert len({s.svg for s in steps}) == 22


def test_the_way_through_the_room_says_short_labels_and_numbers_long_ones() -> None:
    short = way_through(STATIONS)
    assert short.width_mm == 170
    assert all(label in short.svg for _, label in STATIONS)
    long = way_through([*STATIONS[:3], ("storage", "Almacenamiento seco")])
    assert "Store" not in long.svg and "Sterilize" not in long.svg
    assert re.findall(r">(\d)</text>", long.svg) == ["1", "2", "3", "4"]


def test_the_ways_stations_stand_left_to_right() -> None:
    svg = way_through(STATIONS).svg
    places = [float(x) for x in re.findall(r'<text x="([\d.]+)"[^>]*>\d</text>', svg)]
    assert places == sorted(places) and len(places) == 4
