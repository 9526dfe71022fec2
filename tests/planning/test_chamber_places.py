from __future__ import annotations

import math
from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from kitdocs.planning.measures.chamber import chamber_bound
from kitdocs.planning.measures.chamber_places import chamber_places
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


@given(MM, MM, MM, chambers(), st.integers(1, 12))
def test_every_cassette_stands_inside_the_chamber_and_none_in_another(length, width, height, chamber, count):
    outside = box(length, width, height)
    places = chamber_places(outside, chamber, count)
    if count > chamber_bound(outside, chamber).most:
        assert places == ()
        return
    assert len(places) == count
    for one in places:
        assert sorted((one.width, one.length, one.upright)) == sorted((length, width, height))
        assert one.along >= -1e-6 and one.along + one.length <= chamber.depth + 1e-6
        furthest = max(abs(one.across), abs(one.across + one.width))
        if isinstance(chamber, RoundChamber):  # each corner of its front lies inside the circle
            assert math.hypot(furthest, one.upright / 2) <= chamber.diameter / 2 + 1e-6
        else:
            assert furthest <= chamber.width / 2 + 1e-6 and one.upright <= chamber.height
    for one, other in combinations(places, 2):
        beside = max(one.across, other.across) - min(one.across + one.width, other.across + other.width)
        behind = max(one.along, other.along) - min(one.along + one.length, other.along + other.length)
        assert max(beside, behind) >= -1e-6
        if behind < -1e-6:  # in one row
            assert beside >= chamber.gap - 1e-6


def test_four_large_stand_in_one_row_on_edge_and_eight_slim_in_two():
    # 203 upright: 2 √(139.7² − 101.6²) = 191.8; four of 31.75 with 10 between are 157. Slim, 82.55 upright: 266.9 wide,
    # room for seven of 25.4 with 10 between, so eight need a second row; 2 × 203.2 < 508.
    chamber = RoundChamber.model_validate({"shape": "round", "diameter": "11 in", "depth": "20 in", "gap": "10 mm"})

    def shape(places):
        return len({one.along for one in places}), {(one.width, one.length, one.upright) for one in places}

    large = Box.model_validate({"length": "8 in", "width": "8.75 in", "height": "1.25 in"})
    slim = Box.model_validate({"length": "8 in", "width": "3.25 in", "height": "1 in"})
    assert shape(chamber_places(large, chamber, 4)) == (1, {(31.75, 222.25, 203.2)})
    assert shape(chamber_places(slim, chamber, 8)) == (2, {(25.4, 203.2, 82.55)})
