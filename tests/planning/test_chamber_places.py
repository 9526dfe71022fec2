from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from kitdocs.planning.measures.chamber import chamber_bound
from kitdocs.planning.measures.chamber_places import ChamberPlace, chamber_places
from kitdocs.practice.record import Box
from kitdocs.practice.room import Chamber, RoundChamber, SquareChamber

MM = st.integers(15, 250)


def box(*sides):
    return Box.model_validate(dict(zip(("length", "width", "height"), (f"{side} mm" for side in sides), strict=True)))


@st.composite
def chambers(draw: st.DrawFn) -> Chamber:
    deep, gap = f"{draw(st.integers(150, 600))} mm", f"{draw(st.integers(0, 15))} mm"
    wide = draw(st.integers(150, 500))
    if draw(st.booleans()):
        return RoundChamber.model_validate({"shape": "round", "diameter": f"{wide} mm", "depth": deep, "gap": gap})
    high = f"{draw(st.integers(150, 400))} mm"
    return SquareChamber.model_validate(
        {"shape": "square", "width": f"{wide} mm", "height": high, "depth": deep, "gap": gap}
    )


def stand_apart_inside(places: Sequence[ChamberPlace], boxes: Sequence[Box], chamber: Chamber) -> None:
    """Hold for places: each pack is whole inside the chamber, and none is nearer to the one beside it than the gap."""
    for one in places:
        assert sorted((one.width, one.length, one.upright)) == sorted(boxes[one.kind].sides)
        assert one.along >= -1e-5 and one.along + one.length <= chamber.depth + 1e-5
        furthest = max(abs(one.across), abs(one.across + one.width))
        if isinstance(chamber, RoundChamber):  # each corner of its front lies inside the circle
            assert math.hypot(furthest, one.upright / 2) <= chamber.diameter / 2 + 1e-5
        else:
            assert furthest <= chamber.width / 2 + 1e-5 and one.upright <= chamber.height
    for one, other in combinations(places, 2):
        beside = max(one.across, other.across) - min(one.across + one.width, other.across + other.width)
        behind = max(one.along, other.along) - min(one.along + one.length, other.along + other.length)
        assert max(beside, behind) >= -1e-5
        if behind < -1e-5:  # side by side
            assert beside >= chamber.gap - 1e-5


@given(MM, MM, MM, chambers(), st.integers(1, 12))
def test_one_kind_stands_as_often_as_the_bound_allows(length, width, height, chamber, count):
    outside = box(length, width, height)
    places = chamber_places([(outside, count)], chamber)
    if count > chamber_bound(outside, chamber).most:
        assert places == ()
        return
    assert len(places) == count
    stand_apart_inside(places, [outside], chamber)


@given(st.lists(st.tuples(MM, MM, MM, st.integers(0, 6)), max_size=6), chambers())
def test_a_mix_stands_whole_inside_the_chamber_or_not_at_all(kinds, chamber):
    load = [(box(*sides), count) for *sides, count in kinds]
    places = chamber_places(load, chamber)
    stand_apart_inside(places, [outside for outside, _ in load], chamber)
    if places:
        assert Counter(place.kind for place in places) == {n: count for n, (_, count) in enumerate(load) if count}
    if any(count > chamber_bound(outside, chamber).most for outside, count in load):
        assert places == ()


@given(st.lists(st.tuples(st.integers(5, 25), st.integers(40, 99), st.integers(40, 99)), min_size=1, max_size=6))
def test_a_mix_that_stands_in_one_row_of_a_square_chamber_is_found(kinds):
    chamber = SquareChamber.model_validate(
        {"shape": "square", "width": "175 mm", "height": "100 mm", "depth": "100 mm", "gap": "5 mm"}
    )
    # 6 × 25 and 5 × 5 between them are 175.
    assert len(chamber_places([(box(*sides), 1) for sides in kinds], chamber)) == len(kinds)


def test_high_packs_stand_in_the_middle_of_a_round_chamber_where_they_have_no_other_room():
    # 280 high in a circle of 300: 2 √(150² − 140²) = 107.7 wide. 100 high: 282.8; 40 × 2 + 100 + 2 × 10 = 200.
    chamber = RoundChamber.model_validate({"shape": "round", "diameter": "300 mm", "depth": "285 mm", "gap": "10 mm"})
    load = [(box(40, 100, 280), 2), (box(100, 280, 280), 1)]
    places = chamber_places(load, chamber)
    assert [place.kind for place in sorted(places, key=lambda place: place.across)] == [0, 1, 0]
    stand_apart_inside(places, [outside for outside, _ in load], chamber)


def test_four_large_stand_in_one_row_on_edge_and_eight_slim_in_two():
    # 203 upright: 2 √(139.7² − 101.6²) = 191.8; four of 31.75 with 10 between are 157. Slim, 82.55 upright: 266.9 wide,
    # room for seven of 25.4 with 10 between, so eight need a second row; 2 × 203.2 < 508.
    chamber = RoundChamber.model_validate({"shape": "round", "diameter": "11 in", "depth": "20 in", "gap": "10 mm"})

    def shape(places):
        return len({one.along for one in places}), {(one.width, one.length, one.upright) for one in places}

    large = Box.model_validate({"length": "8 in", "width": "8.75 in", "height": "1.25 in"})
    slim = Box.model_validate({"length": "8 in", "width": "3.25 in", "height": "1 in"})
    assert shape(chamber_places([(large, 4)], chamber)) == (1, {(31.75, 222.25, 203.2)})
    assert shape(chamber_places([(slim, 8)], chamber)) == (2, {(25.4, 203.2, 82.55)})
