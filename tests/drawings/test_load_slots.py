"""What a load guide shows, counted in the picture, beside a packing that knows nothing of points or pictures."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitdocs.drawings.drawing import Drawing
from kitdocs.drawings.lettering import PT, text_width
from kitdocs.drawings.load_packs import PackLook
from kitdocs.drawings.load_slots import NARROW_MM, CommonLoad, SlotRow, load_slots, narrow_load_slots
from kitdocs.planning.day.items import ItemKind
from kitdocs.planning.day.stages import stage_pass
from kitdocs.planning.measures.loads import LoadGuide, points
from kitdocs.practice.room import MachineStage

Rect = tuple[float, float, float, float]
SVG = "{http://www.w3.org/2000/svg}"
MACHINES = st.lists(st.integers(1, 20), min_size=1, max_size=6).map(lambda n: {f"k{i}": c for i, c in enumerate(n)})


def guide(capacities: Mapping[str, int]) -> LoadGuide:
    each, whole = points(capacities)
    return LoadGuide(stage="wash", points=each, points_in_a_load=whole, full_of_cassettes=(), cassettes_and_pouches=())


def packed_one_by_one(capacities: Mapping[str, int], items: Sequence[str]) -> int:
    """How many of these items go in one after the other until one does not fit, each 1/capacity of a load."""
    left = Fraction(1)
    for n, kind in enumerate(items):
        left -= Fraction(1, capacities[kind])
        if left < 0:
            return n
    return len(items)


@st.composite
def machines_and_mix(draw: st.DrawFn) -> tuple[dict[str, int], dict[str, int]]:
    """A machine, and a mix that fits in it."""
    capacities = draw(MACHINES)
    wanted = [kind for kind in capacities for _ in range(draw(st.integers(0, capacities[kind])))]
    fitting = draw(st.permutations(wanted))[: packed_one_by_one(capacities, wanted)]
    fitting = fitting[: packed_one_by_one(capacities, fitting)]
    return capacities, {kind: fitting.count(kind) for kind in capacities if kind in fitting}


def drawn(
    capacities: Mapping[str, int], mixes: Sequence[Mapping[str, int]], draw: Callable[..., Drawing] = load_slots
) -> list[ET.Element]:
    kinds = list(capacities)
    beside = [guide(capacities).room_beside(mix) for mix in mixes]
    rows = [
        SlotRow(
            name=kind,
            look=PackLook(number=n),
            capacity=capacities[kind],
            beside=tuple(room[kind] for room in beside if room),
        )
        for n, kind in enumerate(kinds)
    ]
    loads = [
        CommonLoad(letter=letter, words=("so many",), loaded=tuple((kinds.index(k), n) for k, n in mix.items()))
        for letter, mix in zip("ABC", mixes, strict=False)
    ]
    return list(ET.fromstring(draw(rows, loads, "alone").svg))


def rects(elements: Sequence[ET.Element]) -> list[Rect]:
    found = (e for e in elements if e.tag == f"{SVG}rect")
    return [tuple(float(e.get(a, "")) for a in ("x", "y", "width", "height")) for e in found]


def slots(elements: Sequence[ET.Element], capacities: Mapping[str, int]) -> dict[str, list[float]]:
    """Where the slots of each kind begin, from left to right: boxes 4.4 mm high, row by row."""
    boxes = [box for box in rects(elements) if abs(box[3] - 4.4) < 1e-6]
    lines = sorted({y for _, y, _, _ in boxes})
    assert len(lines) == len(capacities)
    return {
        kind: sorted(x - 0.125 for x, y, _, _ in boxes if y == line)
        for kind, line in zip(capacities, lines, strict=True)
    }


def ends(elements: Sequence[ET.Element]) -> list[float]:
    """Where the loads end, in their order: each has a line down from it, and one through the slots."""
    lines = [float(e.get("x1", "")) for e in elements if e.tag == f"{SVG}line" and e.get("stroke-width") == "0.4"]
    return list(dict.fromkeys(lines))


@given(machines_and_mix())
def test_the_free_slots_to_the_right_of_a_load_are_what_the_plan_still_loads(drawn_machine) -> None:
    capacities, mix = drawn_machine
    elements = drawn(capacities, [mix])
    (end,) = ends(elements)
    kinds = [ItemKind(id=size, role="set", size=size) for size in capacities]
    stage = MachineStage.model_validate(
        {"name": "x", "area": "receiving", "kind": "machine", "cycle": "9 min", "wait": "5 min", "capacity": capacities}
    )
    run = stage_pass(stage, kinds, frozenset(range(len(kinds))))
    loaded = [kind for kind, count in mix.items() for _ in range(count)]
    for n, (kind, begins) in enumerate(slots(elements, capacities).items()):
        assert len(begins) == capacities[kind]
        free = sum(x >= end - 0.003 for x in begins)
        wanted = [*loaded, *[kind] * (capacities[kind] + 1)]
        assert free == packed_one_by_one(capacities, wanted) - len(loaded)
        # The plan's own machine, which has all of it at once, takes as many in its first load.
        queue = [list(capacities).index(size) for size in wanted]
        assert run([0] * len(queue), queue).loads[0].end == len(loaded) + free, n


@given(machines_and_mix())
def test_the_figures_beside_the_slots_are_those_that_are_counted(drawn_machine) -> None:
    capacities, mix = drawn_machine
    elements = drawn(capacities, [mix])
    (end,) = ends(elements)
    begins = slots(elements, capacities)
    figures = [e.text for e in elements if e.tag == f"{SVG}text" and e.get("text-anchor") == "end"][2:]
    counted = [count for xs in begins.values() for count in (len(xs), sum(x >= end - 0.003 for x in xs))]
    assert figures == [str(count or "–") for count in counted]


@given(MACHINES, st.data())
def test_what_is_counted_off_kind_by_kind_is_never_more_than_a_load(capacities, data) -> None:
    # The sentence below the picture: go on with the next kind in the first whole slot behind the last one.
    begins = slots(drawn(capacities, []), capacities)
    right = 170.0 - 9.5 - 1.0
    end, loaded = 0.0, []
    for kind in data.draw(st.permutations(list(capacities))):
        free = [x for x in begins[kind] if x >= end - 0.003]
        count = data.draw(st.integers(0, len(free)))
        loaded += [kind] * count
        if count:
            end = free[count] if count < len(free) else right
    assert packed_one_by_one(capacities, loaded) == len(loaded)


@given(machines_and_mix())
def test_the_drawing_for_a_phone_has_the_same_slots_and_figures(drawn_machine) -> None:
    capacities, mix = drawn_machine
    free, figures = [], []
    for elements in (drawn(capacities, [mix]), drawn(capacities, [mix], narrow_load_slots)):
        (end,) = ends(elements)
        free.append(
            {kind: (len(xs), sum(x >= end - 0.003 for x in xs)) for kind, xs in slots(elements, capacities).items()}
        )
        figures.append([e.text for e in elements if e.tag == f"{SVG}text" and e.get("text-anchor") == "end"])
    assert free[0] == free[1] and figures[0] == figures[1]
    for e in elements:
        if e.tag == f"{SVG}text":
            size, x, words = float(e.get("font-size", "")), float(e.get("x", "")), e.text or ""
            wide = text_width(words, size, bold=e.get("font-weight") is not None)
            begin = x - wide * {"end": 1.0, "middle": 0.5}.get(e.get("text-anchor", ""), 0.0)
            assert size >= 7 * PT - 0.001 and begin >= 0 and begin + wide <= NARROW_MM + 0.5


def test_a_load_is_drawn_as_wide_as_its_share_and_piece_by_piece() -> None:
    capacities = {"large": 4, "slim": 8}
    elements = drawn(capacities, [{"large": 2, "slim": 3}, {"large": 1}])
    scale = slots(elements, capacities)["large"]
    left, each = scale[0], scale[1] - scale[0]
    first, second = ends(elements)
    assert first == pytest.approx(left + 4 * each * (2 / 4 + 3 / 8), abs=0.01)
    assert second == pytest.approx(left + each, abs=0.01)
    pieces = [box for box in rects(elements) if abs(box[3] - 5.0) < 1e-6]
    assert len(pieces) == 6 and all(x + width <= first for x, _, width, _ in pieces)


def test_of_very_many_some_are_drawn_as_one_and_the_figure_says_how_many() -> None:
    elements = drawn({"tiny": 200}, [])
    boxes = [box for box in rects(elements) if abs(box[3] - 4.4) < 1e-6]
    assert len(boxes) == 40  # fives
    assert "200" in [e.text for e in elements]


def test_nothing_is_drawn_of_nothing() -> None:
    with pytest.raises(ValueError, match="at least one kind"):
        load_slots([], [], "alone")
    with pytest.raises(ValueError, match="at least one kind"):
        narrow_load_slots([], [], "alone")


def test_a_load_that_is_drawn_elsewhere_has_only_its_line_among_the_slots() -> None:
    rows = [SlotRow(name="large", look=PackLook(number=0), capacity=4, beside=(2,))]
    load = CommonLoad(letter="A", words=("so many",), loaded=((0, 2),))
    with_strip, without = (
        list(ET.fromstring(load_slots(rows, [one], "alone").svg)) for one in (load, replace(load, strip=False))
    )
    assert ends(with_strip) == ends(without)
    assert [box for box in rects(without) if abs(box[3] - 5.0) < 1e-6] == []
    assert "so many" not in [e.text for e in without]
